//! Numbers that stand for a gathering already: in the ledger, or further up in the table.

use std::collections::HashMap;

use crate::notebook::catalogue::Catalogue;
use crate::notebook::ledger::LedgerError;
use crate::notebook::number::Key;
use crate::notebook::record::{Body, Gathering, Record};

/// What is known of the number of a gathering that is to be taken in.
pub(super) enum Standing {
    /// Nothing stands under it, or this very record.
    Free,
    /// The same gathering is in the ledger, from another row or another table.
    Here,
    /// Another gathering has it; where that stands.
    Elsewhere(String),
}

/// The numbers of the ledger and of the rows read so far.
#[derive(Default)]
pub(super) struct Given<'a> {
    pub ledger: Option<Catalogue<'a>>,
    pub above: HashMap<Key, usize>,
}

impl Given<'_> {
    /// Asks for a gathering, and remembers it by its line.
    ///
    /// # Errors
    /// Where the ledger cannot be read.
    pub fn take(&mut self, record: &Record, line: usize) -> Result<Standing, LedgerError> {
        let (Some(citation), Body::Gathering(body)) = (record.specimen(), &record.body) else {
            return Ok(Standing::Free);
        };
        let key = citation.key();
        if let Some(above) = self.above.get(&key) {
            return Ok(Standing::Elsewhere(format!("line {above}")));
        }
        let specimen = match &self.ledger {
            Some(ledger) => ledger.specimen(&key, &mut Vec::new())?,
            None => None,
        };
        if let Some(specimen) = specimen {
            let own = specimen.gatherings.iter().any(|g| g.id == record.id);
            let withdrawn = specimen.withdrawn.iter().any(|r| r.id == record.id);
            if !own && !withdrawn {
                let body = without_source(body);
                if specimen.gatherings.iter().any(|g| without_source(&g.body) == body) {
                    self.above.insert(key, line);
                    return Ok(Standing::Here);
                }
                if let Some(other) = specimen.gatherings.first() {
                    return Ok(Standing::Elsewhere(format!("{}:{}", other.file, other.line)));
                }
            }
        }
        self.above.insert(key, line);
        Ok(Standing::Free)
    }
}

/// Where it was read does not make it another gathering.
fn without_source(gathering: &Gathering) -> Gathering {
    Gathering { source: None, ..gathering.clone() }
}
