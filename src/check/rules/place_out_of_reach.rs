//! Places of a taxon that its account never comes to.

use super::account_against_route::{place, said};
use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A taxon is keyed out at several places and cannot reach one of them.
    ///
    /// ## What it finds
    /// A taxon that more than one lead names and that, by its account, reaches one of these places
    /// but not another: no form of it, however rare, satisfies the leads on the way there.
    ///
    /// ## Why it matters
    /// The second place is there for plants that are read otherwise; if no plant looks like that,
    /// it is a slip, or the account leaves out a form.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals white or blue ................ 2
    ///
    /// 2a  Petals white ........................ Papaver rhoeas
    ///       intended  taxon-twice: its petals vary
    /// 2b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue.
    ///
    /// Papaver rhoeas L.
    ///   Petals red.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals white or blue ................ 2
    ///
    /// 2a  Petals white ........................ Papaver rhoeas
    ///       intended  taxon-twice: its petals vary
    /// 2b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue.
    ///
    /// Papaver rhoeas L.
    ///   Petals red, rarely white.
    /// ```
    ///
    /// ## Remedy
    /// Add the form to the account (`rarely ...`), or take the place out of the key.
    ///
    /// ## Source
    /// Flora of Nepal, guidelines for contributors, section 6 (read): some taxa may be keyed out
    /// more than once; that both places must agree follows.
    "place-out-of-reach", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for against in exam.against() {
        for c in against.taxa.iter().filter(|c| c.elsewhere) {
            let name = &exam.key.taxon(c.taxon).name;
            let ends: Vec<String> = c.ends.iter().map(|e| exam.lead_name(*e)).collect();
            let mut finding = RULE
                .at(
                    place(exam, against),
                    format!("{name} cannot reach its place at {}", list(&ends, 4)),
                )
                .why(format!(
                    "By its account no form of it satisfies {}; it reaches another of its places.",
                    exam.lead_name(against.lead)
                ))
                .remedy("Add the form to the account (`rarely ...`), or take the place out.");
            finding = said(exam, finding, against.demand, c);
            for end in &c.ends {
                finding = finding.related(exam.outcome_place(*end), "the place");
            }
            out.push(finding);
        }
    }
}
