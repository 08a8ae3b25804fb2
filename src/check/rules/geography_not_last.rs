//! Leads that name the place before the plant.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::rules::geography_alone::is_place;
use crate::text::finding::Finding;

rule! {
    /// A lead says where the plant grows before it says what it looks like.
    ///
    /// ## What it finds
    /// Places, as `geography-alone` sees them, that stand before another feature of the lead.
    ///
    /// ## Why it matters
    /// What is read first decides, and the place should decide least.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the Oren valley
    ///
    /// key
    ///
    /// 1a  Northern part of the valley; acorn cup scaly .......... Quercus robur
    /// 1b  Known only from the Lower Oren; acorn cup bristly ..... Quercus cerris
    /// ```
    /// ```key-good
    /// Trees of the Oren valley
    ///
    /// key
    ///
    /// 1a  Acorn cup scaly; northern part of the valley .......... Quercus robur
    /// 1b  Acorn cup bristly; known only from the Lower Oren ..... Quercus cerris
    /// ```
    ///
    /// ## Remedy
    /// Move the place to the end of the lead.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.3: geography last.
    "geography-not-last", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        let place = |f| is_place(exam, wording, lead, said, f);
        let Some(last) = said.features.iter().rposition(|f| !place(f)) else { continue };
        let Some(early) = said.features[..last].iter().find(|f| place(f)) else { continue };
        out.push(
            RULE.at(
                early.span,
                format!("{} names the place before the plant's own features", exam.lead_name(lead)),
            )
            .why("What is read first decides, and the place should decide least.")
            .remedy("Move the place to the end of the lead."),
        );
    }
}
