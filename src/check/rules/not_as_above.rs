//! Leads that dismiss the other lead instead of saying something.

use crate::check::Examination;
use crate::check::examination::counted;
use crate::check::lists::{Kinds, Organ};
use crate::check::rule::rule;
use crate::check::wording::{Said, Wording, body};
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A lead says only that the plant is not as above.
    ///
    /// ## What it finds
    /// Leads that consist of a phrase such as `not as above`, `not agreeing with`, `without this
    /// combination`, `otherwise`, and of nothing to look at.
    ///
    /// ## Why it matters
    /// The reader has to hold all of the other lead against the plant and can confirm nothing. A
    /// last resort for one striking plant with a combination that no other has; a trap where many
    /// taxa stand behind it.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves like fans; veins forked ...... Ginkgo biloba
    /// 1b  Not as above ........................ Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves like fans; veins forked ...... Ginkgo biloba
    /// 1b  Leaves lobed; veins in a net ........ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Say what these plants do show, one feature at least.
    ///
    /// ## Source
    /// Disputed on the Taxacom list, 1995 (threads on horrible and on bad keys): Fletcher,
    /// Laferriere and Lamboy against; Jensen and Crisp for it, for a distinctive taxon and as a last
    /// resort. Met in 0.2 couplets of 100 in one printed flora of five, in none of the others (own
    /// count).
    "not-as-above", Warning, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let Some(phrase) = dismisses(wording, wording.said(lead)) else { continue };
        let behind = exam.branches().behind(&exam.graph, lead).unwrap_or(0);
        let many = match behind {
            0..=3 => String::new(),
            n => format!(", and {} stand behind it", counted(n as usize, "end point")),
        };
        let finding = RULE
            .at(phrase, format!("{} says only what the plant is not{many}", exam.lead_name(lead)))
            .why("The reader can confirm nothing.")
            .remedy("Say what these plants do show, one feature at least.");
        // The place is the whole lead where the phrase is all of it.
        out.push(Finding { span: phrase.to(body(exam.key, lead)), ..finding });
    }
}

/// The most words that a lead may have besides the phrase.
const REST: usize = 4;

/// The phrase with which a lead dismisses the others, where it says nothing else.
pub(in crate::check) fn dismisses(wording: &Wording, said: &Said) -> Option<Span> {
    let lists = wording.lists?;
    let words: Vec<_> = said
        .words
        .iter()
        .filter(|w| !w.in_remark && !wording.kinds(w).has(Kinds::UNSTRESSED))
        .take(4 + 2 * REST)
        .collect();
    // Something before the phrase, other than the whole plant, is what the lead is about.
    let lead_in = words
        .iter()
        .take_while(|w| {
            let text = wording.text(w.id);
            lists.organ(text) == Some(Organ::Whole) || matches!(text, "character" | "specimen")
        })
        .count();
    let rest = &words[lead_in..];
    lists.dismissals.iter().find_map(|phrase| {
        let length = phrase.split(' ').count();
        let own = rest.get(..length)?;
        let same = own.iter().zip(phrase.split(' ')).all(|(w, p)| wording.text(w.id) == p);
        (same && rest.len() - length <= REST).then(|| own[0].span.to(own[length - 1].span))
    })
}
