//! Before leaving the site: which names are not settled, and which part or fresh note would settle
//! them.

use serde::Serialize;

use super::ask::{asked, asked_next};
use super::evidence::Ready;
use crate::key::ConditionId;
use crate::notebook::number::Citation;
use crate::notebook::specimen::Specimen;
use crate::sift::report::{Options, report};
use crate::sift::{Verdict, Want, agree, before_pressing};

/// A specimen that is not done with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Leaving {
    pub specimen: Citation,
    /// The name so far, as written.
    pub name: Option<String>,
    /// Where the determination stands, in words.
    pub stands: String,
    /// Parts to look for, the most telling first.
    pub parts: Vec<String>,
    /// Questions to answer while the plant is fresh, the greatest loss first.
    pub note_fresh: Vec<String>,
    /// Questions that can be answered at any time.
    pub ask: Vec<String>,
}

/// The most lines of a kind that a tired person reads.
const MOST: usize = 3;

/// What a specimen still wants; `None` where its name is settled and nothing is lost by pressing.
pub fn leaving(ready: &Ready, specimen: &Specimen) -> Option<Leaving> {
    let evidence = ready.evidence(specimen, ConditionId::FRESH);
    let (key, table) = (ready.key, &ready.table);
    let observations = &evidence.observations;
    let said = report(key, table, observations, &evidence.specimen, &Options::default());
    let current = specimen.current();
    let settled = matches!(said.verdict.verdict, Verdict::Settled { .. });
    let named = current.is_some_and(|c| {
        let name = c.named.body.read_name();
        name.is_some_and(|n| n.species.is_some() && !n.is_qualified())
    });
    if settled || named {
        return None;
    }
    let agreement = agree(table, observations, 1);
    let left =
        if agreement.agreeing().is_empty() { agreement.tolerated() } else { agreement.agreeing() };
    let agreeing: Vec<String> =
        agreement.agreeing().iter().map(|r| key.taxon(table.taxon(r)).name.clone()).collect();
    let agreeing = match agreeing.len() {
        1..=MOST => format!("; nothing seen speaks against {}", agreeing.join(", ")),
        _ => String::new(),
    };
    let question = |c| asked(key.character(c), key.heading.language);
    let fresh = before_pressing(table, left, observations, ConditionId::PRESSED);
    let note_fresh: Vec<String> = fresh
        .iter()
        // Only what can be seen on what is there.
        .filter(|n| evidence.specimen.bears(table.column(n.character).meta.part.as_deref()))
        .take(MOST)
        .map(|n| question(n.character))
        .collect();
    let parts = said.missing.wanted.iter().filter_map(|w| match &w.what {
        Want::Part { part } => {
            let telling =
                if w.characters.is_empty() { w.best.clone() } else { w.characters.join(", ") };
            Some(format!("{part}: {telling}"))
        }
        _ => None,
    });
    let ask = said.next.iter().map(|q| asked_next(key, q)).filter(|q| !note_fresh.contains(q));
    Some(Leaving {
        specimen: specimen.citation.clone(),
        name: current.map(|c| c.named.body.name.clone()),
        stands: format!("{}{agreeing}", said.verdict.words),
        parts: parts.take(MOST).collect(),
        ask: ask.take(MOST).collect(),
        note_fresh,
    })
}
