//! A session on a specimen of the notebook: it begins with what was recorded, and what comes of it
//! is appended.

use std::collections::BTreeMap;
use std::io::Write;

use anyhow::{Result, bail};

use super::record::OnSpecimen;
use crate::cli::notebook::{Desk, Place, desk};
use crate::cli::paper::plural;
use crate::key::{ConditionId, Library};
use crate::notebook::desk::evidence::key_used;
use crate::notebook::desk::{Ready, named};
use crate::notebook::number::Citation;
use crate::notebook::record::{Body, Id, Observation, Record, Seen};
use crate::notebook::specimen::Specimen;
use crate::sift::report::Report;
use crate::text::language::Language;
use crate::text::shown::shown;
use crate::walk::{Event, Walk};

/// The specimen that is being named.
pub struct InHand {
    place: Place,
    desk: Desk,
    specimen: Specimen,
    /// What the session begins with.
    pub known: Vec<Event>,
}

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
    /// Without a name: what all that agree with it have in common, such as `Papaver sp.`
    shared: Option<String>,
    place: Place,
}

impl Recorded {
    /// Says it to a person, with what can be done next.
    pub fn tell(&self, mut out: impl Write) -> Result<()> {
        let citation = &self.citation;
        if self.ids.is_empty() {
            writeln!(out, "Nothing new was recorded of {citation}.")?;
            return Ok(());
        }
        match &self.name {
            Some(name) => writeln!(out, "Recorded: {citation}, {}", shown(name))?,
            None => {
                writeln!(out, "Recorded: {citation}, what was seen")?;
                let (place, number) = (self.place.typed(), &citation.number);
                let name = match &self.shared {
                    Some(shared) => {
                        let genus = shared.trim_end_matches(" sp.");
                        writeln!(out, "All that agree with it are of {genus}; to record that:")?;
                        format!("\"{shared}\"")
                    }
                    None => {
                        writeln!(out, "It has no name from this session. To give one:")?;
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
    /// Opens the notebook and says what it knows: condition, parts, observations.
    pub fn open(
        place: &Place,
        number: &str,
        condition: Option<&str>,
        library: &Library,
    ) -> Result<InHand> {
        let desk = Desk::open(place)?;
        desk.writer()?;
        let specimen = desk.see(number)?;
        let ready = Ready::of(library.main());
        let now = match condition {
            Some(name) => match ready.condition(name) {
                Some(condition) => condition,
                None => {
                    let known: Vec<&str> =
                        ready.key.conditions.iter().map(|c| c.name.as_str()).collect();
                    bail!("the key knows no condition \"{name}\"; it has {}", known.join(", "));
                }
            },
            // Fresh on the day, pressed from then on.
            None => match specimen.gathering() {
                Some(g) if g.date.sort_key() == desk::today().sort_key() => ConditionId::FRESH,
                _ => ConditionId::PRESSED,
            },
        };
        let name = |c: ConditionId| ready.key.condition(c).name.clone();
        let evidence = ready.evidence(&specimen, now);
        let mut known = vec![Event::Condition { name: name(now) }];
        let absent = evidence.specimen.absent.iter();
        known.extend(absent.map(|p| Event::Part { name: p.clone(), borne: false }));
        let said = |o: &crate::sift::Observation| Event::Observed {
            text: o.words.clone(),
            condition: name(o.condition),
            doubt: o.doubt != crate::sift::Doubt::Sure,
        };
        for event in evidence.observations.iter().map(said) {
            if !known.contains(&event) {
                known.push(event);
            }
        }
        for (says, why) in &evidence.unread {
            eprintln!("hilum: not used: {says}: {why}");
        }
        let observed = known.iter().filter(|e| matches!(e, Event::Observed { .. })).count();
        eprintln!(
            "{}: looked at {}, {observed} {} known from the notebook",
            specimen.citation,
            name(now),
            plural(observed, "observation", "observations")
        );
        Ok(InHand { place: place.clone(), desk, specimen, known })
    }

    /// What a session's record keeps of it.
    pub fn on(&self) -> OnSpecimen {
        let folder = self.desk.ledger.folder();
        OnSpecimen {
            citation: self.specimen.citation.to_string(),
            notebook: std::path::absolute(folder).unwrap_or_else(|_| folder.to_path_buf()),
        }
    }

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
        let det = match reckoned {
            Some(r) => named::from_report(&walk.library.keys[r.key], &r.report),
            None if finished => named::from_walk(walk, language),
            None => None,
        };
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
        Ok(Recorded { citation, ids, name, shared, place: self.place })
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
        let withdrawn: Vec<usize> = walk
            .events()
            .iter()
            .filter_map(|e| match e {
                Event::Withdrawn { observation } => Some(*observation),
                _ => None,
            })
            .collect();
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

    fn used(&self, walk: &Walk) -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for event in walk.events() {
            if let Event::Observed { text, condition, .. } = event {
                let line = format!("{text} ({condition})");
                if !out.contains(&line) {
                    out.push(line);
                }
            }
        }
        out
    }
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
