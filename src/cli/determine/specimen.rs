//! A session on a specimen of the notebook begins with what was recorded of it.

use anyhow::{Result, bail};

use super::record::OnSpecimen;
use crate::cli::notebook::{Desk, Place, desk};
use crate::cli::paper::plural;
use crate::key::{ConditionId, Library};
use crate::notebook::desk::Ready;
use crate::notebook::specimen::Specimen;
use crate::walk::Event;

/// The specimen that is being named.
pub struct InHand {
    pub(super) place: Place,
    pub(super) desk: Desk,
    pub(super) specimen: Specimen,
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
            None if desk::is_fresh(&specimen) => ConditionId::FRESH,
            None => ConditionId::PRESSED,
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
}
