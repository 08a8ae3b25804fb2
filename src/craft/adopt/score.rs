//! How well a layout explains a manuscript.

use std::collections::BTreeSet;

use serde::Serialize;

use super::draft::{Draft, Goes};
use super::mark::Style;
use super::number::{Numbered, Target};

/// The figures by which layouts are compared, each a share from 0 to 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Score {
    /// Couplets that have two leads or more.
    pub paired: f64,
    /// Leads that go somewhere.
    pub ended: f64,
    /// Couplets that can be reached from their key's first.
    pub reached: f64,
    /// Labels that follow each other.
    pub in_order: f64,
    /// Letters between a key's first lead and its last that are in leads.
    pub covered: f64,
    /// Letters of the whole manuscript that are in leads.
    pub taken: usize,
    pub leads: usize,
    pub whole: f64,
}

impl Score {
    pub fn of(draft: &Draft, numbered: &Numbered) -> Score {
        let leads = draft.leads().count();
        let couplets = draft.couplets().count();
        if leads < 2 || couplets == 0 {
            return Score::default();
        }
        let share = |n: usize, of: usize| n as f64 / of.max(1) as f64;
        let paired = draft.couplets().filter(|c| c.leads.len() >= 2).count();
        // More than four leads are rare: a list has many.
        let many = draft.couplets().filter(|c| c.leads.len() > 5).count();
        let mut ended = 0;
        let mut named = 0;
        let mut reached = 0;
        for (k, key) in draft.keys.iter().enumerate() {
            let mut edges: Vec<Vec<usize>> = vec![Vec::new(); key.couplets.len()];
            for (c, couplet) in key.couplets.iter().enumerate() {
                for lead in &couplet.leads {
                    let target = numbered.target(draft, k, &lead.goes);
                    edges[c].extend(numbered.next(k, &lead.goes));
                    ended += usize::from(!matches!(target, Target::Nowhere | Target::Dangling(_)));
                    named += usize::from(matches!(lead.goes, Goes::Names(_) | Goes::Key { .. }));
                }
            }
            let mut seen = BTreeSet::new();
            let mut todo = vec![0];
            while let Some(at) = todo.pop() {
                if seen.insert(at) {
                    todo.extend(edges[at].iter().copied());
                }
            }
            reached += seen.len();
        }
        let taken: usize = draft.leads().map(|l| l.letters.chars().count()).sum();
        let between: usize = draft
            .left
            .iter()
            .filter(|l| l.why == "text between leads")
            .map(|l| l.text.chars().filter(|c| c.is_alphanumeric()).count())
            .sum();
        let mut score = Score {
            paired: share(paired, couplets) * (1.0 - 0.7 * share(many, couplets)),
            ended: share(ended, leads),
            reached: share(reached, couplets),
            in_order: 1.0 - share(draft.odd_labels, draft.labels),
            covered: share(taken.saturating_sub(draft.behind), taken + between),
            taken,
            leads,
            whole: 0.0,
        };
        // Leads of real keys are short; paragraphs of description are not leads.
        let long = draft.leads().filter(|l| l.text.split_whitespace().count() > 150).count();
        // Labels that stand in the text were not understood.
        let labelled = draft
            .leads()
            .filter(|l| {
                super::mark::readings(&l.text, 0).iter().any(|m| {
                    let counted = m.style == Style::Number
                        && l.text[m.rest.min(l.text.len())..].starts_with(char::is_uppercase);
                    !m.slip && (m.stop == '.' || m.bracket > 0 || m.letter.is_some() || counted)
                })
            })
            .count();
        // Several names in one lead, and leaders within the text, tell of leads run together.
        let merged = draft.oddities.iter().filter(|o| o.rule == "several-names").count();
        let dotted = draft
            .leads()
            .filter(|l| l.text.contains("...") || l.text.contains("…") || l.text.contains(". . ."))
            .count();
        let mixed = share((merged + dotted + draft.run_together).min(leads), leads);
        // A single numbered row of species with what is said of each is a list.
        let listed = draft.leads().filter(|l| super::name::is_binomial(&l.text)).count();
        let list = if couplets == 1 && leads > 2 { share(listed, leads) } else { 0.0 };
        let brief = 1.0 - share(long, leads);
        score.whole = score.paired
            * score.ended.powf(1.3)
            * score.reached.sqrt()
            * score.in_order.sqrt()
            * score.covered
            * brief
            * (1.0 - list)
            * (1.0 - mixed)
            * (1.0 - 0.7 * share(labelled, leads))
            * if named == 0 { 0.5 } else { 1.0 };
        score
    }
}
