//! A determination with its evidence, from a walk through a key or from the engine's ranking.

use crate::key::{Key, Stand};
use crate::notebook::record::{Determination, Ranked, Seen};
use crate::sift::Verdict;
use crate::sift::report::{Report, percent};
use crate::text::language::{Language, fold};
use crate::text::name;
use crate::walk::{Answer, End, Ending, Walk};

use super::evidence::key_used;

/// The name that several have in common: the one, or their genus with `sp.`
pub fn common_name(names: &[String]) -> Option<String> {
    match names {
        [] => None,
        [one] => Some(one.clone()),
        [first, rest @ ..] => {
            let genus = |n: &String| name::read(n).ok().map(|n| n.genus);
            let wanted = genus(first)?;
            rest.iter().all(|n| genus(n).as_ref() == Some(&wanted)).then(|| format!("{wanted} sp."))
        }
    }
}

/// The determination that the ends of a walk give; several ends are an honest short list.
pub fn from_walk(walk: &Walk, language: &Language) -> Option<Determination> {
    let view = walk.view();
    let reached: Vec<_> = view.ends.iter().map(|e| walk.reached(e, language)).collect();
    let mut names: Vec<String> = Vec::new();
    for name in reached.iter().flat_map(|r| &r.names) {
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    let open = view.asked.is_some() || !view.waiting.is_empty();
    let mut det = Determination::of(common_name(&names)?);
    det.key = Some(key_used(walk.library.main()));
    det.family = family(walk, &view.ends);
    // The route to the first end; where a branch was open, the others are in the ranking.
    let first = view.ends.iter().zip(&reached).find(|(_, r)| !r.names.is_empty());
    let steps = first.map(|(end, _)| end.steps.as_slice()).unwrap_or_default();
    let lead = |s: &crate::walk::Step| walk.library.keys[s.stand.key].lead_in_full(s.lead);
    det.route = steps.iter().map(lead).collect();
    if names.len() > 1 {
        det.ranking = names.iter().map(|n| Ranked::new(n.clone())).collect();
    }
    let uncertain: Vec<&String> = reached.iter().flat_map(|r| &r.uncertain).collect();
    det.verdict = Some(match (names.len(), open, uncertain.first()) {
        (1, false, None) => "named by the key, every couplet answered".to_string(),
        (1, false, Some(at)) => format!("named by the key; at couplet {at} several leads fitted"),
        (1, true, _) => "the only name reached; other branches were left open".to_string(),
        (n, _, _) => format!("{n} names are left"),
    });
    Some(det)
}

fn family(walk: &Walk, ends: &[End]) -> Option<String> {
    let mut families = ends.iter().flat_map(|e| match &e.ending {
        Ending::Taxa { key, taxa } => {
            let key = &walk.library.keys[*key];
            taxa.iter().map(|t| key.taxon(*t).family.clone()).collect()
        }
        _ => Vec::new(),
    });
    let first = families.next()??;
    families.all(|f| f.as_ref() == Some(&first)).then_some(first)
}

/// What the leads say that were taken for certain: each statement that is a sentence of the key,
/// with the lead it stands in and the couplet where it was taken, on routes that are still open
/// too. So a later issue can be asked the same again.
pub fn seen_in_leads(walk: &Walk) -> Vec<(Stand, Seen)> {
    let mut out: Vec<(Stand, Seen)> = Vec::new();
    let view = walk.view();
    let open = view.asked.iter().chain(&view.waiting).map(|r| &r.steps);
    for steps in view.ends.iter().map(|e| &e.steps).chain(open) {
        for step in steps {
            if !matches!(step.answer, Some(Answer::Lead { .. })) {
                continue;
            }
            let key = &walk.library.keys[step.stand.key];
            let lead = key.lead(step.lead);
            for part in &lead.parts {
                let says = lead.body.within(part.span).text(key.source.text()).into_owned();
                let mut seen = Seen::new(says);
                seen.lead = Some(key.lead_in_full(step.lead));
                if let ([statement], None) = (&part.statements[..], part.prose) {
                    let character = key.character(statement.character);
                    let language = key.heading.language;
                    seen.character = Some(character.name.clone());
                    // What was taken away (`not in spikelets`) is not spelt out state by state.
                    let value = character.value_in_words(&statement.value, language);
                    seen.value = Some(value).filter(|v| fold(&seen.says).contains(&fold(v)));
                }
                if !out.iter().any(|(_, o)| *o == seen) {
                    out.push((step.stand, seen));
                }
            }
        }
    }
    out
}

/// The determination that the engine's report gives, with its ranking and what speaks for and
/// against each name. `None` where the names left have nothing in common, and where the verdict
/// names none: what was seen contradicts every account, speaks against the key, or leaves too many.
pub fn from_report(key: &Key, report: &Report) -> Option<Determination> {
    if !matches!(report.verdict.verdict, Verdict::Settled { .. } | Verdict::ShortList { .. }) {
        return None;
    }
    let taxa = &report.verdict.taxa;
    let full = |name: &String| {
        let taxon = key.taxa.iter().find(|t| t.name == *name);
        taxon.map_or_else(|| name.clone(), |t| t.full_name())
    };
    let names: Vec<String> = taxa.iter().map(full).collect();
    let mut det = Determination::of(common_name(&names)?);
    det.key = Some(key_used(key));
    det.used = report.observations.iter().map(|o| o.text.clone()).collect();
    det.verdict = Some(report.verdict.words.clone());
    let families: Vec<Option<String>> = taxa
        .iter()
        .map(|n| key.taxa.iter().find(|t| t.name == *n).and_then(|t| t.family.clone()))
        .collect();
    det.family = families
        .first()
        .cloned()
        .flatten()
        .filter(|f| families.iter().all(|other| other.as_ref() == Some(f)));
    det.ranking = report
        .ranking
        .names
        .iter()
        .filter(|n| n.probability >= 0.001)
        .map(|n| {
            let mut ranked = Ranked::new(n.taxon.clone());
            ranked.score = Some(percent(n.probability));
            if let Some(e) = report.explanations.iter().find(|e| e.taxon == n.taxon) {
                ranked.fits = e.in_favour.iter().map(|j| j.observed.clone()).collect();
                ranked.misfits = e.against.iter().map(|j| j.observed.clone()).collect();
            }
            ranked
        })
        .collect();
    Some(det)
}
