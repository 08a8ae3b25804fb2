//! The leads of a key held against what was seen: which are contradicted, and which remain.

use super::ask::asked;
use crate::key::couplet::Outcome;
use crate::key::{CharacterId, CoupletId, Key, LeadId, Library, Onward, Stand};
use crate::key::{Kind, Lead, Value};
use crate::sift::meta::Meta;
use crate::sift::{Cell, Known, Observation, Query, Table, misfits_of, shares};
use crate::text::language::fold;

/// The statements of every lead of a key, compiled as the accounts of taxa are.
pub struct Leads {
    table: Table,
    /// The row of each couplet's first lead.
    first: Vec<usize>,
}

impl Leads {
    pub fn of(key: &Key) -> Leads {
        let all: Vec<&Lead> = key.leads().map(|(_, lead)| lead).collect();
        let mut first = Vec::with_capacity(key.couplets.len());
        let mut row = 0;
        for couplet in &key.couplets {
            first.push(row);
            row += couplet.leads.len();
        }
        let mut table = Table::new(all.len(), key.heading.described);
        for (i, character) in key.characters.iter().enumerate() {
            let id = CharacterId(i as u32);
            let is_count = matches!(character.kind, Kind::Count);
            table.add(Meta::of(character), |row| Cell {
                known: all[row].statements().find(|s| s.character == id).map(|s| match &s.value {
                    Value::States(choices) => Known::States(shares::of_choices(choices)),
                    Value::Number(amount) => {
                        Known::Numbers(shares::of_extents(&amount.extents, is_count))
                    }
                }),
                // A lead is silent about what it does not say.
                may_lack: true,
            });
        }
        Leads { table, first }
    }

    fn row(&self, lead: LeadId) -> usize {
        self.first.get(lead.couplet.0 as usize).copied().unwrap_or(0) + lead.index as usize
    }

    /// Whether anything that was seen contradicts the lead.
    fn is_contradicted(&self, lead: LeadId, observations: &[Observation]) -> bool {
        !misfits_of(&self.table, observations, self.row(lead)).is_empty()
    }

    /// Whether the lead says anything of a character that was seen.
    fn is_spoken_of(&self, lead: LeadId, observations: &[Observation]) -> bool {
        let row = self.row(lead);
        observations.iter().any(|o| {
            self.table.column(o.character).is_known(row)
                && !matches!(Query::of(&self.table, o), Query::Silent(_))
        })
    }
}

/// How far observations lead through a key.
pub struct Route {
    /// The leads taken, each with the key it is of.
    pub steps: Vec<(usize, LeadId)>,
    pub end: End,
}

/// Where the observations stop leading.
pub enum End {
    /// Names, in the key's own words.
    Names(Vec<String>),
    /// The key itself stops.
    Stop(String),
    /// At this couplet nothing that was seen decides; these characters would.
    Open { stand: Stand, ask: Vec<String> },
    /// What was seen contradicts every lead of this couplet.
    Contradicted(Stand),
}

/// Goes through the key as far as the observations decide, and where they say nothing, as far as a
/// lead stands there word for word that was taken before (`taken`, folded).
pub fn follow(
    library: &Library,
    leads: &[Leads],
    observations: &[Vec<Observation>],
    taken: &[String],
) -> Route {
    let mut steps: Vec<(usize, LeadId)> = Vec::new();
    let Some(mut stand) = library.start() else {
        return Route { steps, end: End::Stop("the key has no couplet".to_string()) };
    };
    loop {
        let key = &library.keys[stand.key];
        if steps.iter().any(|(k, l)| (*k, l.couplet) == (stand.key, stand.couplet)) {
            return Route { steps, end: End::Stop("the key goes in a circle".to_string()) };
        }
        let lead = match decide(key, &leads[stand.key], stand, &observations[stand.key], taken) {
            Ok(lead) => lead,
            Err(end) => return Route { steps, end },
        };
        steps.push((stand.key, lead));
        match library.onward(stand.key, lead) {
            Onward::To(next) => stand = next,
            Onward::NotAtHand { key, file } => {
                let why = format!("the key goes on in {key} in {file}, which is not at hand");
                return Route { steps, end: End::Stop(why) };
            }
            Onward::End => {
                let end = match &key.lead(lead).outcome {
                    Outcome::Taxa(taxa) => {
                        End::Names(taxa.iter().map(|t| key.taxon(*t).full_name()).collect())
                    }
                    Outcome::Stop(why) => End::Stop(why.clone()),
                    _ => End::Stop("the lead goes nowhere".to_string()),
                };
                return Route { steps, end };
            }
        }
    }
}

fn decide(
    key: &Key,
    leads: &Leads,
    stand: Stand,
    observations: &[Observation],
    taken: &[String],
) -> Result<LeadId, End> {
    let couplet = key.couplet(stand.couplet);
    if let Some(index) = stand.lead {
        return Ok(LeadId { couplet: stand.couplet, index });
    }
    let all = (0..couplet.leads.len() as u16).map(|index| LeadId { couplet: stand.couplet, index });
    let open: Vec<LeadId> =
        all.clone().filter(|l| !leads.is_contradicted(*l, observations)).collect();
    match open[..] {
        [] => return Err(End::Contradicted(stand)),
        // The only one left, and not only because it says nothing.
        [one] if couplet.leads.len() == 1 || leads.is_spoken_of(one, observations) => {
            return Ok(one);
        }
        _ => {}
    }
    // Nothing that was seen decides: a lead that was taken before and reads the same still holds.
    let same: Vec<LeadId> = open.iter().copied().filter(|l| is_taken(key, *l, taken)).collect();
    match same[..] {
        [one] => Ok(one),
        _ => Err(End::Open { stand, ask: asks(key, stand.couplet, observations) }),
    }
}

/// Whether every statement of the lead was found to hold before.
fn is_taken(key: &Key, lead: LeadId, taken: &[String]) -> bool {
    let lead = key.lead(lead);
    !lead.parts.is_empty()
        && lead.parts.iter().all(|part| {
            let words = lead.body.within(part.span).text(key.source.text());
            taken.contains(&fold(&words))
        })
}

/// The questions that the couplet's leads turn on and that were not answered; where the leads have
/// only prose, their words.
fn asks(key: &Key, couplet: CoupletId, observations: &[Observation]) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for lead in &key.couplet(couplet).leads {
        for s in lead.statements() {
            let seen = observations.iter().any(|o| o.is_evidence() && o.character == s.character);
            let question = asked(key.character(s.character), key.heading.language);
            if !seen && !out.contains(&question) {
                out.push(question);
            }
        }
    }
    if out.is_empty() {
        let text = key.source.text();
        out.extend(key.couplet(couplet).leads.iter().map(|l| l.body.text(text).into_owned()));
    }
    out
}
