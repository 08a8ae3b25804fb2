//! Back-references that name another origin than the pointers do.

use std::collections::BTreeSet;

use crate::check::Examination;
use crate::check::claims::{Unmet, label_name};
use crate::check::examination::{counted, list};
use crate::check::rule::rule;
use crate::key::{CoupletId, LeadId};
use crate::text::finding::{Finding, Severity};

rule! {
    /// A back-reference names a couplet that does not lead here.
    ///
    /// ## What it finds
    /// `7a (4)` where no lead of couplet 4 points to 7: an error. `7a (4)` where 4 does, but another
    /// couplet of the same key does too and is not named: a warning; write `(4, 9)`. Back-references
    /// may be left out altogether.
    ///
    /// ## Why it matters
    /// A reader who retraces the way arrives at the wrong couplet. And one of the two numbers is
    /// mistyped: if it is the pointer, plants are sent astray. Where a couplet has lost its only
    /// pointer, its back-reference names the couplet in which to look for the mistake.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... 3
    ///
    /// 2a (1)  Needles in pairs ................ Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    ///
    /// 3a (2)  Leaves lobed .................... Quercus robur
    /// 3b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... 3
    ///
    /// 2a (1)  Needles in pairs ................ Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    ///
    /// 3a (1)  Leaves lobed .................... Quercus robur
    /// 3b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Look at both numbers, correct the wrong one. When all pointers are right,
    /// `hilum tidy --back-references` writes the back-references anew.
    ///
    /// ## Source
    /// L. Packer, A survey of keys for the identification of newly described insect genera
    /// (preprint): fewer than one key in five lets the reader retrace. Disagreement met in print
    /// (own count).
    "back-reference-disagrees", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let claims = exam.claims();
    for of_one in claims.unmet.chunk_by(|a, b| a.couplet == b.couplet) {
        let couplet = of_one[0].couplet;
        let origins = exam.graph.origins(couplet);
        // A couplet that its lost pointer has cut off is the matter of another rule.
        let lost = origins.is_empty() || claims.missing.contains_key(&couplet);
        if exam.reached.any_of(couplet) || !lost {
            out.extend(of_one.iter().map(|unmet| unmet_finding(exam, unmet, &origins)));
        }
    }
    // A pointer that closes a circle has a rule of its own.
    let closing: BTreeSet<LeadId> =
        exam.circles().iter().filter_map(|c| c.leads.last().copied()).collect();
    for (id, _) in exam.key.couplets() {
        let told = claims.unmet.binary_search_by_key(&id, |u| u.couplet).is_ok();
        if !claims.named(id).is_empty() && !told {
            unnamed(exam, id, &closing, out);
        }
    }
}

fn unmet_finding(exam: &Examination, unmet: &Unmet, origins: &[LeadId]) -> Finding {
    let name = exam.couplet_name(unmet.couplet);
    let number = exam.couplet(unmet.couplet).name();
    let origin = label_name(unmet.origin);
    let what = match (unmet.named, origins) {
        (None, _) => format!("{name} names {origin} as its origin, but there is no such couplet"),
        (_, []) => format!("{name} names {origin} as its origin, but nothing leads here"),
        _ => {
            let from = leads_in_words(exam, origins);
            format!("{name} names {origin} as its origin, but is reached from {from}")
        }
    };
    let mut finding = RULE.at(unmet.origin.span, what).why(
        "Whoever retraces the way comes to the wrong couplet; one of the numbers is mistyped.",
    );
    for &l in origins.iter().take(3) {
        finding = finding.related(exam.outcome_place(l), "leads here");
    }
    if let Some(pointer) = unmet.doubted {
        let place = exam.outcome_place(pointer);
        finding = finding.related(place, format!("should this lead to {number}?")).remedy(format!(
            "If the back-reference is right, let lead {} lead to {number}.",
            exam.key.lead_name(pointer)
        ));
        if !exam.lead(pointer).outcome_words.is_empty() {
            finding = finding.mend(place, number);
        }
        return finding;
    }
    match origins {
        [one] => {
            let right = exam.couplet(one.couplet).name();
            finding
                .remedy(format!("If the pointer is right, write {right} here."))
                .mend(unmet.origin.span, right)
        }
        [] => finding.remedy("Let the lead that should come before this couplet point to it."),
        _ => finding.remedy("Correct the back-reference, or the pointer that is wrong."),
    }
}

// Couplets that lead here and are not named by the back-reference.
fn unnamed(exam: &Examination, id: CoupletId, closing: &BTreeSet<LeadId>, out: &mut Vec<Finding>) {
    let couplet = exam.couplet(id);
    let claims = exam.claims();
    let unnamed: Vec<LeadId> = exam
        .graph
        .origins(id)
        .into_iter()
        .filter(|l| exam.couplet(l.couplet).subkey == couplet.subkey)
        .filter(|&l| !claims.names(exam, id, l))
        .filter(|l| !claims.doubted.contains_key(l) && !closing.contains(l))
        .collect();
    let Some(&first) = unnamed.first() else { return };
    let Some(back) = couplet.leads.iter().find_map(|l| l.back.as_ref()) else { return };
    let mut all: Vec<String> = claims.named(id).iter().map(|&l| label_name(l)).collect();
    all.extend(unnamed.iter().map(|l| exam.couplet(l.couplet).name()));
    all.dedup();
    let mut finding = RULE
        .at(
            back.span,
            format!(
                "{} is also reached from {}, which its back-reference does not name",
                exam.couplet_name(id),
                leads_in_words(exam, &unnamed)
            ),
        )
        .why("Whoever came that way cannot retrace it; or that pointer has a wrong number.")
        .remedy("Look at the pointer; if it is right, name its couplet here too.")
        .related(exam.outcome_place(first), "leads here too");
    finding.severity = Severity::Warning;
    // Only where the back-reference stands on one lead, and speaks for all of them.
    let bearing = couplet.leads.iter().filter(|l| l.back.is_some()).count();
    let single = (0..couplet.leads.len())
        .map(|i| LeadId { couplet: id, index: i as u16 })
        .any(|l| !exam.graph.origins_of_lead(l).is_empty());
    if bearing == 1 && !single {
        finding = finding.mend(back.span, format!("({})", all.join(", ")));
    }
    out.push(finding);
}

fn leads_in_words(exam: &Examination, leads: &[LeadId]) -> String {
    // A faulty file may have any number of them, and say so any number of times.
    if leads.len() > 100 {
        return counted(leads.len(), "lead");
    }
    let names: Vec<String> = leads.iter().map(|&l| exam.key.lead_name(l)).collect();
    list(&names, 4)
}
