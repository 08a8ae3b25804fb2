//! Couplets that leave out what a taxon on its way can show.

use std::collections::BTreeMap;

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::reason::course::Showing;
use crate::check::reason::words::{share, showing};
use crate::check::rule::rule;
use crate::key::{CoupletId, TaxonId};
use crate::text::finding::{Finding, Severity};

rule! {
    /// Plants that arrive at a couplet fit none of its leads.
    ///
    /// ## What it finds
    /// Forms that an account describes, on the way to its own name, that every lead of a couplet
    /// rules out: a value between two measures, a state that no lead names, a character that does
    /// not apply to them. It is a note where only rare forms and extremes are left out. A gap
    /// between two measures that no taxon shows is `measure-gap`, no more than a note.
    ///
    /// ## Why it matters
    /// Whoever has such a plant cannot go on, or forces it into a lead that does not fit.
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
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue or white.
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
    /// 1b  Petals blue or white ................ Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue or white.
    ///
    /// Papaver rhoeas L.
    ///   Petals red.
    /// ```
    ///
    /// ## Remedy
    /// Widen the lead that leads to the taxon.
    ///
    /// ## Source
    /// Common practice of editors, cited from memory; that a gap between measures is normal was
    /// measured on printed floras (61 in 100 measured couplets).
    "fits-no-lead", Warning, Strong, examine
}

/// The plants of one taxon that a couplet leaves out.
struct Out<'c> {
    taxon: TaxonId,
    share: f64,
    /// The kinds of them, the most frequent first.
    kinds: Vec<(&'c Showing, f64)>,
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut all: BTreeMap<(CoupletId, bool), Vec<Out>> = BTreeMap::new();
    for run in &exam.courses().of {
        let course = &run.course;
        if course.right() <= 0.0 {
            continue;
        }
        for stuck in course.stuck.iter().filter(|s| !s.astray && s.share > 0.0) {
            let here = all.entry((stuck.couplet, stuck.usual)).or_default();
            let kind = (&stuck.showing, stuck.share);
            match here.last_mut().filter(|o| o.taxon == course.taxon) {
                Some(o) => {
                    o.share += stuck.share;
                    o.kinds.push(kind);
                }
                None => {
                    here.push(Out { taxon: course.taxon, share: stuck.share, kinds: vec![kind] })
                }
            }
        }
    }
    for ((couplet, usual), mut taxa) in all {
        for o in &mut taxa {
            o.kinds.sort_by(|a, b| b.1.total_cmp(&a.1));
        }
        out.push(finding(exam, couplet, usual, &taxa));
    }
}

fn finding(exam: &Examination, couplet: CoupletId, usual: bool, taxa: &[Out]) -> Finding {
    let each: Vec<String> = taxa
        .iter()
        .map(|o| {
            let name = &exam.key.taxon(o.taxon).name;
            let forms = o.kinds.first().map_or_else(String::new, |k| showing(exam.key, k.0));
            if forms.is_empty() { name.clone() } else { format!("{name} with `{forms}`") }
        })
        .collect();
    let fits = if taxa.len() == 1 { "fits" } else { "fit" };
    let most = taxa.iter().map(|o| o.share).fold(0.0, f64::max);
    let mut finding = RULE
        .at(
            exam.place(couplet),
            format!("{} {fits} no lead of {}", list(&each, 4), exam.couplet_name(couplet)),
        )
        .why(match taxa.len() {
            1 => format!("The account describes such plants: {}.", share(most)),
            _ => format!("The accounts describe such plants: up to {}.", share(most)),
        })
        .remedy("Widen the lead that leads to the taxon.");
    if !usual {
        finding.severity = Severity::Note;
    }
    for o in taxa.iter().take(4) {
        let run = exam.courses().get(o.taxon);
        let name = &exam.key.taxon(o.taxon).name;
        for (character, _) in o.kinds.first().into_iter().flat_map(|k| k.0) {
            for span in run.and_then(|r| r.forms.get(*character)).iter().flat_map(|s| &s.spans) {
                if finding.related.iter().all(|r| r.span != *span) {
                    finding = finding.related(*span, format!("the account of {name}"));
                }
            }
        }
    }
    finding
}
