//! Leads with verbs that they can do without.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A lead has a verb that it can do without.
    ///
    /// ## What it finds
    /// `is`, `are`, `has`, `have`, `bear` and the like in leads. One note a lead. Silent unless it is
    /// asked for: `profile  no verbs`.
    ///
    /// ## Why it matters
    /// Keys are read at a glance: `Leaves opposite` says all that `The leaves are opposite` says.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   no verbs
    ///
    /// key
    ///
    /// 1a  Leaves are lobed; bark rough ........ Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   no verbs
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Leave the verb out.
    ///
    /// ## Source
    /// Michigan State University, PLB 418; a school handout.
    "verb-in-lead", Note, Sure, ["no verbs"], examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        let verb = said.words.iter().find(|w| !w.in_remark && wording.kinds(w).has(Kinds::VERB));
        let Some(verb) = verb else { continue };
        out.push(
            RULE.at(
                verb.span,
                format!(
                    "{} has the verb `{}`",
                    exam.lead_name(lead),
                    exam.key.source.slice(verb.span)
                ),
            )
            .why("Keys are read at a glance.")
            .remedy("Leave the verb out."),
        );
    }
}
