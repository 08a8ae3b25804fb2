//! What a session on a specimen adds to the notebook: what was seen and taken back, the name.

use std::collections::BTreeMap;
use std::io::Write;

use anyhow::Result;

use super::specimen::InHand;
use crate::cli::notebook::{Place, desk};
use crate::key::ConditionId;
use crate::notebook::desk::evidence::key_used;
use crate::notebook::desk::{Ready, named};
use crate::notebook::number::Citation;
use crate::notebook::record::{Body, Correction, Id, Note, Observation, Record, Seen};
use crate::notebook::value::Fields;
use crate::sift::report::Report;
use crate::text::language::{Language, fold};
use crate::text::shown::shown;
use crate::walk::{Event, Walk};

/// What the observations say, where a session was ended with that; `key` is the place of the key
/// among those of the session.
pub struct Reckoned {
    pub key: usize,
    pub report: Report,
}

/// What a session added to the notebook.
pub struct Recorded {
    citation: Citation,
    ids: Vec<Id>,
    /// As it was recorded; `None` where the session came to no name.
    name: Option<String>,
    /// Without a name, where the session was ended with what was seen: why there is none.
    verdict: Option<String>,
    /// Without a name: what all that agree with it have in common, such as `Papaver sp.`
    shared: Option<String>,
    /// What was taken back and stands in the gathering's own fields.
    stays: Vec<String>,
    place: Place,
}

impl Recorded {
    /// Says it to a person, with what can be done next.
    pub fn tell(&self, mut out: impl Write) -> Result<()> {
        let citation = &self.citation;
        for text in &self.stays {
            let (place, number) = (self.place.typed(), desk::quoted(&self.citation));
            writeln!(
                out,
                "\"{text}\" stands in the gathering itself; hilum notebook{place} correct {number} \
                 changes it."
            )?;
        }
        if self.ids.is_empty() && self.verdict.is_none() {
            writeln!(out, "Nothing new was recorded of {citation}.")?;
            return Ok(());
        }
        match &self.name {
            Some(name) => writeln!(out, "Recorded: {citation}, {}", shown(name))?,
            None => {
                if !self.ids.is_empty() {
                    writeln!(out, "Recorded: {citation}, what was seen")?;
                }
                if let Some(verdict) = &self.verdict {
                    writeln!(out, "No name was recorded: {verdict}.")?;
                }
                let (place, number) = (self.place.typed(), desk::quoted(&self.citation));
                let name = match &self.shared {
                    Some(shared) => {
                        let genus = shared.trim_end_matches(" sp.");
                        writeln!(out, "All that agree with it are of {genus}; to record that:")?;
                        format!("\"{shared}\"")
                    }
                    None => {
                        if self.verdict.is_none() {
                            writeln!(
                                out,
                                "It has no name from this session; `finish` there takes what was \
                                 seen for the result."
                            )?;
                        }
                        writeln!(out, "To give one yourself:")?;
                        "NAME".to_string()
                    }
                };
                writeln!(out, "  hilum notebook{place} name {number} {name}")?;
            }
        }
        Ok(())
    }

    /// For a program: {"format":1, "specimen", "recorded":[ids], "name"}, on a line.
    pub fn print_json(&self, mut out: impl Write) -> Result<()> {
        let ids: Vec<&str> = self.ids.iter().map(Id::as_str).collect();
        let said = serde_json::json!({
            "format": 1, "specimen": self.citation, "recorded": ids, "name": self.name,
        });
        writeln!(out, "{said}")?;
        Ok(())
    }
}

impl InHand {
    /// Appends what was seen, and the name if the session came to one: by the couplets, or where
    /// it was ended with what the observations say (`reckoned`). Returns what was recorded.
    pub fn keep(
        mut self,
        walk: &Walk,
        language: &Language,
        finished: bool,
        reckoned: Option<&Reckoned>,
    ) -> Result<Recorded> {
        let citation = self.specimen.citation.clone();
        let by = vec![self.desk.writer()?.to_string()];
        let mut records: Vec<Record> = Vec::new();
        for (condition, seen) in self.seen(walk) {
            let mut o = Observation::new(seen);
            o.condition = Some(condition);
            o.by = by.clone();
            o.date = Some(desk::today());
            o.key = Some(key_used(walk.library.main()));
            records.push(self.desk.record(&citation, Body::Observation(o)));
        }
        let taken_back = self.withdrawn(walk, &by);
        records.extend(taken_back.records);
        let det = match reckoned {
            Some(r) => named::from_report(&walk.library.keys[r.key], &r.report),
            None if finished => named::from_walk(walk, language),
            None => None,
        };
        // Names without so much as a genus in common are no determination, and not to be lost.
        if let (None, None, true) = (&det, reckoned, finished)
            && let Some(mut note) = left_over(walk, language)
        {
            note.by = by.clone();
            note.date = Some(desk::today());
            if self.specimen.notes.iter().all(|n| n.body != note) {
                records.push(self.desk.record(&citation, Body::Note(note)));
            }
        }
        let mut name = None;
        if let Some(mut det) = det {
            det.by = by;
            det.date = Some(desk::today());
            det.used = self.used(walk);
            det.remarks = remarks(walk);
            name = Some(det.name.clone());
            // A session looked into again is no second determination.
            if self.specimen.determinations.iter().all(|d| d.body != det) {
                records.push(self.desk.record(&citation, Body::Determination(det)));
            }
        }
        let ids = if records.is_empty() { Vec::new() } else { self.desk.keep(&records)? };
        let shared = reckoned.filter(|_| name.is_none()).and_then(|r| {
            let agree = r.report.agreement.by_misfits.iter().find(|l| l.misfits == 0)?;
            // The report may not list them all.
            let all = agree.taxa.len() == agree.count;
            named::common_name(&agree.taxa).filter(|n| all && n.ends_with(" sp."))
        });
        let verdict = reckoned.filter(|_| name.is_none()).map(|r| r.report.verdict.words.clone());
        let stays = taken_back.stays;
        Ok(Recorded { citation, ids, name, verdict, shared, stays, place: self.place })
    }

    /// What was seen in this session and is not in the notebook yet, by the condition in which it
    /// was seen: typed statements, then what the leads taken say.
    fn seen(&self, walk: &Walk) -> Vec<(String, Vec<Seen>)> {
        let mut out: Vec<(String, Vec<Seen>)> = Vec::new();
        let mut put = |condition: &str, seen: Seen| match out.iter_mut().find(|o| o.0 == condition)
        {
            Some((_, list)) => list.push(seen),
            None => out.push((condition.to_string(), vec![seen])),
        };
        let withdrawn = numbers_withdrawn(walk);
        let ready = Ready::of(walk.library.main());
        let typed = |text: String, condition: &str| {
            let condition = ready.condition(condition).unwrap_or(ConditionId::FRESH);
            // What only another of the session's keys reads is kept in its words.
            ready.seen(&text, condition).unwrap_or_else(|_| Seen::new(text))
        };
        let mut now = "fresh".to_string();
        // The condition in which a couplet was answered last.
        let mut answered: BTreeMap<(usize, u32), String> = BTreeMap::new();
        let mut number = 0;
        for event in walk.events() {
            match event {
                Event::Condition { name } => now = name.clone(),
                Event::Answered { key, couplet, .. } => {
                    answered.insert((*key, *couplet), now.clone());
                }
                Event::Observed { text, condition, doubt } => {
                    number += 1;
                    if withdrawn.contains(&number) || self.known.contains(event) {
                        continue;
                    }
                    // As it was typed, so that it reads the same again.
                    let doubted = *doubt && !text.ends_with('?');
                    let text = format!("{text}{}", if doubted { "?" } else { "" });
                    put(condition, typed(text, condition));
                }
                _ => {}
            }
        }
        let recorded = self.specimen.observations.iter().flat_map(|k| &k.body.seen);
        let recorded: Vec<&Seen> = recorded.collect();
        for (stand, seen) in named::seen_in_leads(walk) {
            if !recorded.iter().any(|r| r.says == seen.says && r.lead == seen.lead) {
                put(answered.get(&(stand.key, stand.couplet.0)).unwrap_or(&now), seen);
            }
        }
        out
    }

    /// What was used for the name: typed, not taken back, with its condition and its doubt.
    fn used(&self, walk: &Walk) -> Vec<String> {
        let withdrawn = numbers_withdrawn(walk);
        let mut out: Vec<String> = Vec::new();
        let observed = walk.events().iter().filter_map(|e| match e {
            Event::Observed { text, condition, doubt } => Some((text, condition, *doubt)),
            _ => None,
        });
        for (i, (text, condition, doubt)) in observed.enumerate() {
            let mark = if doubt && !text.ends_with('?') { "?" } else { "" };
            let line = format!("{text}{mark} ({condition})");
            if !withdrawn.contains(&(i + 1)) && !out.contains(&line) {
                out.push(line);
            }
        }
        out
    }

    /// Corrections of what the notebook held and the session took back.
    fn withdrawn(&mut self, walk: &Walk, by: &[String]) -> TakenBack {
        let mut out = TakenBack::default();
        let withdrawn = numbers_withdrawn(walk);
        let observed = walk.events().iter().filter(|e| matches!(e, Event::Observed { .. }));
        let gone: Vec<&Event> = observed
            .enumerate()
            .filter(|(i, e)| withdrawn.contains(&(i + 1)) && self.known.contains(e))
            .map(|(_, e)| e)
            .collect();
        let texts = gone.iter().filter_map(|e| match e {
            Event::Observed { text, .. } => Some(fold(text.trim_end_matches('?'))),
            _ => None,
        });
        let texts: Vec<String> = texts.collect();
        let is_gone = |says: &str| texts.contains(&fold(says.trim_end_matches('?')));
        let mut found: Vec<String> = Vec::new();
        for kept in self.specimen.observations.clone() {
            let stays: Vec<Seen> =
                kept.body.seen.iter().filter(|s| !is_gone(&s.says)).cloned().collect();
            if stays.len() == kept.body.seen.len() {
                continue;
            }
            found.extend(kept.body.seen.iter().map(|s| fold(s.says.trim_end_matches('?'))));
            let mut c = Correction::new();
            let mut fields = Fields::new();
            Observation::new(stays).write(&mut fields);
            match fields.swap_remove("seen") {
                Some(seen) if !seen.is_empty() => {
                    c.set.insert("seen".to_string(), seen);
                }
                _ => c.withdraw = true,
            }
            c.reason = Some("taken back when it was looked at again".to_string());
            c.by = by.to_vec();
            c.date = Some(desk::today());
            let at = Some(self.desk.moment());
            out.records.push(Record::correcting(kept.id.clone(), at, c));
        }
        out.stays = texts.into_iter().filter(|t| !found.contains(t)).collect();
        out
    }
}

/// What taking back came to.
#[derive(Default)]
struct TakenBack {
    records: Vec<Record>,
    /// What stands in the gathering's own fields, where only a correction changes it.
    stays: Vec<String>,
}

/// The numbers of the observations that were taken back, from 1.
fn numbers_withdrawn(walk: &Walk) -> Vec<usize> {
    let events = walk.events().iter();
    let numbers = events.filter_map(|e| match e {
        Event::Withdrawn { observation } => Some(*observation),
        _ => None,
    });
    numbers.collect()
}

/// The names that a finished walk came to, where they are no determination.
fn left_over(walk: &Walk, language: &Language) -> Option<Note> {
    let view = walk.view();
    let mut names: Vec<String> = Vec::new();
    for name in view.ends.iter().flat_map(|e| walk.reached(e, language).names) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let key = key_used(walk.library.main());
    let issue = key.issue.map(|i| format!(", issue {i}")).unwrap_or_default();
    let text = format!("Left open by the {}{issue}: {}", key.title, names.join("; "));
    (names.len() > 1).then(|| Note::new(text))
}

fn remarks(walk: &Walk) -> Option<String> {
    let texts: Vec<&str> = walk
        .events()
        .iter()
        .filter_map(|e| match e {
            Event::Remarked { text } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    (!texts.is_empty()).then(|| texts.join("; "))
}
