//! Couplets that begin like the one from which they are reached.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A couplet begins with the same word as the one before it.
    ///
    /// ## What it finds
    /// Couplets whose first lead begins with the word with which a couplet that leads here begins.
    /// Silent unless it is asked for: `profile  new opening`.
    ///
    /// ## Why it matters
    /// The eye slips from one couplet into the other when both begin alike.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   new opening
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Leaves lobed; bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   new opening
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Bark rough; leaves lobed ............ Quercus robur
    /// 2b  Bark smooth; leaves heart-shaped .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Put another character first.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, on key construction, rule 6; a school handout.
    "same-opening-as-above", Note, Sure, ["new opening"], examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    let first = |id| wording.couplet(id).first().and_then(|said| wording.first(said));
    for (id, _) in exam.key.couplets() {
        let Some(word) = first(id) else { continue };
        let above = exam.graph.origins(id).into_iter().find_map(|origin| {
            first(origin.couplet).filter(|w| w.id == word.id && origin.couplet != id)
        });
        let Some(above) = above else { continue };
        out.push(
            RULE.at(
                word.span,
                format!(
                    "{} begins with `{}`, like the one that leads here",
                    exam.couplet_name(id),
                    exam.key.source.slice(word.span)
                ),
            )
            .why("The eye slips from one into the other.")
            .remedy("Put another character first.")
            .related(above.span, "the couplet that leads here"),
        );
    }
}
