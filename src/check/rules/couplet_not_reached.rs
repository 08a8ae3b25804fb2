//! Couplets to which no route leads.

use crate::check::Examination;
use crate::check::claims::label_name;
use crate::check::examination::{counted, list};
use crate::check::rule::rule;
use crate::key::couplet::Place;
use crate::key::graph::CutOff;
use crate::key::{CoupletId, Outcome};
use crate::text::finding::Finding;

rule! {
    /// No lead points to a couplet, so nobody gets to it.
    ///
    /// ## What it finds
    /// A couplet to which no route leads from the beginning of its key. Of several that hang
    /// together the first is named, and how many stand behind it. A couplet that another file
    /// enters is reached, if that file is read too.
    ///
    /// ## Why it matters
    /// Every plant behind the couplet is lost to the reader. Nearly always one pointer has a wrong
    /// number; the back-reference of the couplet, where it has one, tells which.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Acer campestre
    ///
    /// 2a (1)  Needles in pairs ................ Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    ///
    /// 3a (1)  Leaves lobed .................... Quercus robur
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
    /// Find the lead that should point here and correct its number, or take the couplet out.
    ///
    /// ## Source
    /// Entry points that other keys use: a printed flora of 1918 has 196 of them (own count). The
    /// rule follows from what a key is.
    "couplet-not-reached", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    // A whole key that is not reached is the matter of another rule.
    let first = key.subkeys.iter().filter_map(|s| s.couplets.first()).map(|&c| Place::Couplet(c));
    let reached = exam.graph.reach(first.chain(exam.entered.iter().copied()));
    for group in exam.graph.cut_off(&reached) {
        let head = group.head;
        let name = exam.couplet_name(head);
        let what = if reached.any_of(head) {
            format!("only single leads of {name} are pointed at, and nobody reads the others")
        } else {
            format!("{name} cannot be reached: no lead points to it")
        };
        let mut finding = RULE.at(exam.place(head), what).why(lost(exam, &group));
        let origins = exam.graph.origins(head);
        if let Some(&pointer) = exam.claims().missing.get(&head) {
            let number = exam.couplet(head).name();
            let place = exam.outcome_place(pointer);
            finding = finding
                .remedy(format!(
                    "Its back-reference names couplet {}: let lead {} lead to {number}.",
                    exam.couplet(pointer.couplet).name(),
                    key.lead_name(pointer),
                ))
                .related(place, format!("should this lead to {number}?"));
            if !exam.lead(pointer).outcome_words.is_empty() {
                finding = finding.mend(place, number);
            }
        } else if let Some(&back) = origins.first().filter(|_| !reached.any_of(head)) {
            finding.what = format!("{name} cannot be reached: only what it leads to points to it");
            finding = finding
                .related(exam.outcome_place(back), "points to it from behind")
                .remedy("Let the lead that should come before it point here.");
        } else if let Some(origin) = exam.claims().named(head).first() {
            finding = finding.remedy(format!(
                "Its back-reference names {}: let a lead of that couplet point here.",
                label_name(*origin)
            ));
        } else {
            finding = finding
                .remedy("Let the lead that should come before it point here, or take it out.");
        }
        out.push(finding);
    }
}

fn lost(exam: &Examination, group: &CutOff) -> String {
    let leads = group.couplets.iter().flat_map(|&c: &CoupletId| &exam.couplet(c).leads);
    let mut names: Vec<&str> = leads
        .filter_map(|l| match &l.outcome {
            Outcome::Taxa(taxa) => Some(taxa),
            _ => None,
        })
        .flatten()
        .map(|&t| exam.key.taxon(t).name.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    let behind = match group.couplets.len() - 1 {
        0 => String::new(),
        n => format!(", to the {} behind it", counted(n, "couplet")),
    };
    match names.len() {
        0 => format!("Nobody gets to it{behind} by any route."),
        _ => format!("Nobody gets to it{behind} or to {}.", list(&names, 6)),
    }
}
