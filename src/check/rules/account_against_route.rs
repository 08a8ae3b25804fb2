//! Accounts that deny a lead on the way to their own name.

use crate::check::Examination;
use crate::check::examination::{counted, list};
use crate::check::reason::against::{Against, Contrary};
use crate::check::reason::words::sentence;
use crate::check::rule::rule;
use crate::key::{CharacterId, LeadId, TaxonId};
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// An account contradicts a lead on the way to its own name.
    ///
    /// ## What it finds
    /// A statement of a lead that no form of a taxon behind it satisfies, rare forms and extremes
    /// included, where the taxon has no other place that it reaches. Inherited statements count,
    /// and the condition on which a character applies. One finding for each statement, with all
    /// taxa that deny it.
    ///
    /// ## Why it matters
    /// A plant as it is described is never named by the key: it goes another way, or nowhere.
    /// Either the lead is wrong or the account.
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
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red; leaves lobed ............ Papaver rhoeas
    /// 1b  Petals blue; leaves entire .......... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue; leaves lobed.
    ///
    /// Papaver rhoeas L.
    ///   Petals red; leaves lobed.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red; leaves lobed ............ Papaver rhoeas
    /// 1b  Petals blue; leaves entire .......... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue; leaves entire.
    ///
    /// Papaver rhoeas L.
    ///   Petals red; leaves lobed.
    /// ```
    ///
    /// ## Remedy
    /// Look at a plant: correct the account, widen the lead, or key the taxon out both ways.
    ///
    /// ## Source
    /// Flora of China, guidelines for contributors, section 6, and Flora of Nepal, section 6: keys
    /// that contradict the descriptions are not allowed (read).
    "account-against-route", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for against in exam.against() {
        let taxa: Vec<&Contrary> = against.taxa.iter().filter(|c| !c.elsewhere).collect();
        if !taxa.is_empty() {
            out.push(finding(exam, against, &taxa));
        }
    }
}

fn finding(exam: &Examination, against: &Against, taxa: &[&Contrary]) -> Finding {
    let lead = exam.lead_name(against.lead);
    let names = names(exam, taxa, against.more);
    let accounts = if taxa.len() == 1 { "the account" } else { "the accounts" };
    let ending = if taxa.len() == 1 { "s" } else { "" };
    let what = match against.demand {
        Some(_) => {
            format!("{accounts} of {names} contradict{ending} {lead} on the way to the name")
        }
        None => format!("what the leads before it leave of {names} does not fit {lead}"),
    };
    let mut finding = RULE
        .at(place(exam, against), what)
        .why(whither(exam, taxa))
        .remedy("Correct the account, widen the lead, or key the taxon out both ways.");
    for c in taxa {
        finding = said(exam, finding, against.demand, c);
    }
    finding
}

/// The statement, or the whole lead.
pub(super) fn place(exam: &Examination, against: &Against) -> Span {
    match against.demand {
        Some((_, span)) => span,
        None => exam.lead(against.lead).body.span(),
    }
}

/// Shows the account of one taxon beside a finding.
pub(super) fn said(
    exam: &Examination,
    finding: Finding,
    demand: Option<(CharacterId, Span)>,
    contrary: &Contrary,
) -> Finding {
    let name = &exam.key.taxon(contrary.taxon).name;
    let Some((character, _)) = demand else {
        return finding
            .related(exam.key.taxon(contrary.taxon).span, format!("the account of {name}"));
    };
    let run = exam.courses().get(contrary.taxon);
    let shown = run.and_then(|r| r.forms.get(character)).and_then(|s| s.values());
    let words = match shown {
        Some(values) => format!("{name}: `{}`", sentence(exam.key, character, &values)),
        None => format!("{name}: its account"),
    };
    let span = contrary.said.first().copied().unwrap_or(exam.key.taxon(contrary.taxon).span);
    // Two taxa that inherit one statement show it once.
    if finding.related.iter().any(|r| r.span == span) {
        return finding;
    }
    finding.related(span, words)
}

fn names(exam: &Examination, taxa: &[&Contrary], more: usize) -> String {
    let names: Vec<&str> = taxa.iter().map(|c| exam.key.taxon(c.taxon).name.as_str()).collect();
    match more {
        0 => list(&names, names.len()),
        more => format!("{} and {more} more", names.join(", ")),
    }
}

// Where plants as described end instead.
fn whither(exam: &Examination, taxa: &[&Contrary]) -> String {
    let Some(first) = taxa.first() else { return String::new() };
    let name = &exam.key.taxon(first.taxon).name;
    let who = if taxa.len() == 1 {
        "A plant as it is described".into()
    } else {
        format!("{name} as it is described")
    };
    let Some(run) = exam.courses().get(first.taxon) else { return String::new() };
    let ends: Vec<(LeadId, f64)> = run.course.ends.iter().map(|e| (e.lead, e.share)).collect();
    let nowhere: f64 = run.course.stuck.iter().map(|s| s.share).sum();
    let best = ends.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    match best {
        Some((lead, share)) if *share > nowhere => {
            format!("{who} ends at {}, {}.", exam.lead_name(*lead), end_in_words(exam, *lead))
        }
        _ => match run.course.stuck.iter().max_by(|a, b| a.share.total_cmp(&b.share)) {
            Some(stuck) => {
                let leads = counted(exam.couplet(stuck.couplet).leads.len(), "lead");
                format!("{who} fits none of the {leads} of {}.", exam.couplet_name(stuck.couplet))
            }
            None => "A plant as it is described is never named by the key.".to_string(),
        },
    }
}

/// What a lead ends in: names, or that it gives none.
pub(super) fn end_in_words(exam: &Examination, lead: LeadId) -> String {
    use crate::key::Outcome;
    match &exam.lead(lead).outcome {
        Outcome::Taxa(taxa) => {
            let name = |t: &TaxonId| exam.key.taxon(*t).name.as_str();
            taxa.iter().map(name).collect::<Vec<_>>().join(" or ")
        }
        Outcome::Stop(_) => "without a name".to_string(),
        Outcome::Elsewhere { file, .. } => format!("in {file}"),
        _ => "nowhere".to_string(),
    }
}
