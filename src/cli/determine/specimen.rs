//! A session on a specimen of the notebook: it begins with what was recorded, and what comes of it
//! is appended.

use std::collections::BTreeMap;
use std::io::Write;

use anyhow::{Result, bail};

use crate::cli::Terminal;
use crate::cli::notebook::{Desk, Place, desk};
use crate::cli::paper::plural;
use crate::key::{ConditionId, Library};
use crate::notebook::desk::evidence::key_used;
use crate::notebook::desk::{Ready, named};
use crate::notebook::record::{Body, Observation, Record, Seen};
use crate::notebook::specimen::Specimen;
use crate::sift::report::Report;
use crate::text::language::Language;
use crate::walk::{Event, Walk};

/// The specimen that is being named.
pub struct InHand {
    desk: Desk,
    specimen: Specimen,
    /// What the session begins with.
    pub known: Vec<Event>,
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
        Ok(InHand { desk, specimen, known })
    }

    /// Appends what was seen, and the name if the session came to one: by the couplets, or where
    /// it was ended with what the observations say (`reckoned`).
    pub fn keep(
        mut self,
        walk: &Walk,
        language: &Language,
        finished: bool,
        reckoned: Option<&Report>,
        terminal: &mut Terminal,
    ) -> Result<()> {
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
            Some(report) => named::from_report(walk.library.main(), report),
            None if finished => named::from_walk(walk, language),
            None => None,
        };
        let named = det.is_some();
        let mut line = ", what was seen".to_string();
        if let Some(mut det) = det {
            det.by = by;
            det.date = Some(desk::today());
            det.used = self.used(walk);
            det.remarks = remarks(walk);
            line = format!(", {}", det.name);
            records.push(self.desk.record(&citation, Body::Determination(det)));
        }
        if records.is_empty() {
            writeln!(terminal, "Nothing new was recorded of {citation}.")?;
            return Ok(());
        }
        self.desk.keep(&records)?;
        writeln!(terminal, "Recorded: {citation}{line}")?;
        if !named {
            let number = &citation.number;
            writeln!(
                terminal,
                "It has no name from this session. To give one: hilum notebook name {number} NAME"
            )?;
        }
        Ok(())
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
                    put(condition, Seen::new(format!("{text}{}", if doubted { "?" } else { "" })));
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
