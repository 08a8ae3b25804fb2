//! Couplets whose first lead keeps more taxa than a later one.

use crate::check::Examination;
use crate::check::examination::counted;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// The first lead of a couplet leads to more end points than a later one.
    ///
    /// ## What it finds
    /// Couplets whose leads do not stand in the order of how many end points lie behind them. Where
    /// branches meet again, an end point counts once for each route to it. Silent where a lead goes
    /// into another file, and unless it is asked for: `profile  shorter branch first`.
    ///
    /// ## Why it matters
    /// With the shorter branch first, the pair stands close together on the page, above all when
    /// the key is printed indented.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   shorter branch first
    ///
    /// key
    ///
    /// 1a  Leaves broad; cones none ............ 2
    /// 1b  Leaves needles; cones woody ......... Pinus sylvestris
    ///
    /// 2a  Leaves lobed; bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   shorter branch first
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Leaves lobed; bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Change the order of the leads.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.2; Flora of Nepal, guidelines
    /// for contributors, section 6.4.
    "longer-branch-first", Note, Sure, ["shorter branch first"], examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, _) in exam.key.couplets() {
        let behind: Option<Vec<_>> = exam
            .leads(id)
            .map(|l| exam.branches().behind(&exam.graph, l).map(|n| (l, n)))
            .collect();
        let Some(behind) = behind else { continue };
        let Some(pair) = behind.windows(2).find(|p| p[0].1 > p[1].1 && p[1].1 > 0) else {
            continue;
        };
        let [(first, more), (second, fewer)] = pair else { continue };
        out.push(
            RULE.at(
                exam.lead(*first).label.span,
                format!(
                    "{} leads to {}, {} after it only to {fewer}",
                    exam.lead_name(*first),
                    counted(*more as usize, "end point"),
                    exam.key.lead_name(*second),
                ),
            )
            .why("The key's profile asks for the shorter branch first.")
            .remedy("Change the order of the leads.")
            .related(exam.lead(*second).label.span, "the shorter branch"),
        );
    }
}
