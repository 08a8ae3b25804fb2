//! Features of which only one lead of a couplet says anything.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::check::rules::not_as_above;
use crate::key::LeadId;
use crate::text::finding::Finding;

rule! {
    /// A lead names a feature that no other lead of its couplet speaks of.
    ///
    /// ## What it finds
    /// Statements of a declared character that the other leads do not mention, and prose on a part
    /// of the plant that they do not name. Features that cannot apply under the other lead (`petals
    /// none` beside `petals red`) are left out, and so is what stands in parentheses. One note a
    /// lead.
    ///
    /// ## Why it matters
    /// A lead that is silent on a character says nothing about it: its plants may show the same. What
    /// is only good to know belongs in parentheses.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed (bark rough) ........... Quercus robur
    /// 1b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Say in the other lead what its plants show; or put the feature in parentheses.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.2; Michigan State University, PLB
    /// 418 ("leads should be parallel"); University of Wisconsin-Madison, Botany 400, hints. The
    /// leads have unequal numbers of parts in 2 to 64 couplets of 100, by author (own count).
    "feature-without-contrast", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, couplet) in exam.key.couplets() {
        // A lead that dismisses the others has a rule of its own.
        let dismissed = |said| not_as_above::dismisses(wording, said).is_some();
        if couplet.leads.len() < 2 || wording.couplet(id).iter().any(dismissed) {
            continue;
        }
        for (i, said) in wording.couplet(id).iter().enumerate() {
            let alone: Vec<_> = said.features.iter().filter(|f| f.alone).collect();
            let Some(first) = alone.first() else { continue };
            let lead = LeadId { couplet: id, index: i as u16 };
            let names: Vec<String> = alone
                .iter()
                .map(|f| match f.character {
                    Some(c) => format!("`{}`", exam.key.character(c).name),
                    None => {
                        let subject: Vec<&str> =
                            f.subject(said).iter().map(|w| wording.text(w.id)).collect();
                        format!("`{}`", subject.join(" "))
                    }
                })
                .collect();
            let other = if couplet.leads.len() == 2 { "the other lead" } else { "no other lead" };
            let verb = if couplet.leads.len() == 2 { "does not" } else { "does" };
            out.push(
                RULE.at(
                    first.span,
                    format!(
                        "{} speaks of {}, {other} {verb}",
                        exam.lead_name(lead),
                        list(&names, 3)
                    ),
                )
                .why("A lead that is silent on a character says nothing about it.")
                .remedy("Say there what its plants show, or put this in parentheses."),
            );
        }
    }
}
