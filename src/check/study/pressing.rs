//! What to note before pressing, for a whole key.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::organs::organs;
use super::specimen::Sight;
use crate::check::Examination;
use crate::check::rules::drying_not_said::changes_unsaid;
use crate::key::character::Reading;
use crate::key::{CharacterId, ConditionId, CoupletId};
use crate::sift::meta::Meta;
use crate::text::language::fold;

/// A character that a pressed plant does not show as a fresh one does.
#[derive(Clone, Debug, Serialize)]
pub struct NoteFirst {
    pub character: String,
    /// The question to answer while the plant is fresh.
    pub question: String,
    /// What becomes of it, in the key's own words.
    pub becomes: String,
    pub lost: bool,
    /// How many couplets ask for it, and which of them cannot be answered from the pressed plant.
    pub asked: usize,
    pub stops: Vec<String>,
    /// How many taxa lie behind those couplets on their way.
    pub taxa: usize,
}

/// In the order of need: first what stops most taxa.
pub fn before_pressing(exam: &Examination) -> Vec<NoteFirst> {
    let key = exam.key;
    if key.heading.described == ConditionId::PRESSED {
        return Vec::new();
    }
    let organs = organs(key);
    let metas: Vec<Meta> = key.characters.iter().map(Meta::of).collect();
    let lost = lost(exam);
    let sight = Sight::pressed(exam, &organs, &metas, &lost);
    let mut stopped: BTreeSet<CoupletId> = BTreeSet::new();
    for (id, _) in key.leads() {
        if !sight.answers(id) {
            stopped.insert(id.couplet);
        }
    }
    let mut out: Vec<NoteFirst> = Vec::new();
    let mut stopping: BTreeMap<CoupletId, Vec<usize>> = BTreeMap::new();
    for id in key.character_ids() {
        let character = key.character(id);
        let said = character.readings.iter().find(|(c, _, _)| *c == ConditionId::PRESSED);
        let (becomes, is_lost) = match (said, lost[id.0 as usize]) {
            (Some((_, reading, span)), _) => {
                (fold(key.source.slice(*span)), matches!(reading, Reading::CannotBeSeen))
            }
            (None, Some(what)) => (format!("not said; {what} is lost"), true),
            (None, None) => continue,
        };
        let asked: Vec<CoupletId> = asking(exam, id).collect();
        if asked.is_empty() {
            continue;
        }
        let stops: Vec<CoupletId> = asked.iter().copied().filter(|c| stopped.contains(c)).collect();
        for couplet in &stops {
            stopping.entry(*couplet).or_default().push(out.len());
        }
        out.push(NoteFirst {
            character: character.name.clone(),
            question: character.question().to_string(),
            becomes,
            lost: is_lost,
            asked: asked.len(),
            stops: stops.iter().map(|c| exam.couplet_name(*c)).collect(),
            taxa: 0,
        });
    }
    if !stopping.is_empty() {
        let courses = exam.courses();
        for run in courses.all() {
            let way = courses.way(exam.ground(), run);
            let notes = way.taken.keys().filter_map(|l| stopping.get(&l.couplet)).flatten();
            for note in notes.collect::<BTreeSet<_>>() {
                out[*note].taxa += 1;
            }
        }
    }
    out.sort_by(|a, b| {
        (b.taxa, b.lost, b.asked)
            .cmp(&(a.taxa, a.lost, a.asked))
            .then(a.character.cmp(&b.character))
    });
    out
}

/// For each character of which the key says nothing of the press what it is, if that is lost there:
/// smells, sap, what withers and the colours of flowers.
pub(super) fn lost(exam: &Examination) -> Vec<Option<&'static str>> {
    exam.key.character_ids().map(|c| changes_unsaid(exam, c)).collect()
}

fn asking(exam: &Examination, id: CharacterId) -> impl Iterator<Item = CoupletId> {
    let stated = move |couplet: &CoupletId| {
        exam.couplet(*couplet).leads.iter().any(|l| l.statements().any(|s| s.character == id))
    };
    exam.key.couplets().map(|(c, _)| c).filter(stated)
}
