//! The compiled table: for each character the taxa that fit each state, or the limits of its
//! measure, as bits.
//!
//! Conditions take no room in it: what was seen under a condition is turned into the states and
//! limits of accounts that may look so, which comes to the same set of taxa.

use std::sync::OnceLock;

use super::account::{Accounts, Known};
use super::bits::Bits;
use super::evidence::Spread;
use super::meta::{Gap, Meta};
use super::numbers::Numbers;
use crate::key::{CharacterId, ConditionId, Key, StateId, TaxonId};

/// What is known of one character of one taxon, on its way into the table.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell {
    /// `None`: nothing is said.
    pub known: Option<Known>,
    /// The character depends on others and may not apply.
    pub may_lack: bool,
}

/// One character over all taxa.
#[derive(Clone, Debug)]
pub struct Column {
    pub meta: Meta,
    /// Taxa of which anything is said, that it does not apply included.
    pub(super) known: Bits,
    /// Taxa to which the character may not apply; only where it depends on others.
    pub(super) may_lack: Option<Bits>,
    pub(super) body: Body,
    /// A measure spread over its line, uncorrected; worked out when it is first weighed.
    pub(super) spread: OnceLock<Spread>,
}

#[derive(Clone, Debug)]
pub(super) enum Body {
    States {
        /// For each state the taxa that may show it: all bits set for a taxon of which nothing is
        /// said, none for one to which the character does not apply, several for a variable one.
        fits: Vec<Bits>,
        /// Taxa that do not show their states equally often, by row.
        uneven: Vec<(u32, Box<[(StateId, f64)]>)>,
    },
    Numbers(Numbers),
}

/// A key's accounts, compiled.
#[derive(Clone, Debug)]
pub struct Table {
    rows: usize,
    /// The condition in which the accounts were described.
    pub described: ConditionId,
    pub columns: Vec<Column>,
    /// What the table was compiled from; empty where it was filled without a key.
    pub accounts: Accounts,
}

impl Table {
    /// A table for `rows` taxa without characters, to be filled with [`Table::add`].
    pub fn new(rows: usize, described: ConditionId) -> Table {
        Table { rows, described, columns: Vec::new(), accounts: Accounts::default() }
    }

    /// Compiles a key: a row for each taxon that can be named.
    pub fn of(key: &Key) -> Table {
        let accounts = Accounts::of(key);
        let mut table = Table::new(accounts.taxa.len(), key.heading.described);
        for (i, character) in key.characters.iter().enumerate() {
            let id = CharacterId(i as u32);
            table.add(Meta::of(character), |row| Cell {
                known: accounts.entry(row, id).map(|e| e.known.clone()),
                may_lack: accounts.may_lack(row, id),
            });
        }
        table.accounts = accounts;
        table
    }

    /// Adds a character; `cell` says what is known of it for each row.
    pub fn add(&mut self, meta: Meta, mut cell: impl FnMut(usize) -> Cell) -> CharacterId {
        let id = CharacterId(self.columns.len() as u32);
        let mut known = Bits::none(self.rows);
        let mut may_lack = (!meta.applies.is_empty()).then(|| Bits::none(self.rows));
        let body = match meta.gap {
            Gap::States { all, .. } => {
                let mut fits = vec![Bits::all(self.rows); all];
                let mut uneven = Vec::new();
                for row in 0..self.rows {
                    let cell = cell(row);
                    known.set(row, cell.known.is_some());
                    if let Some(lack) = &mut may_lack {
                        lack.set(row, cell.may_lack || cell.known == Some(Known::Lacking));
                    }
                    let Some(known) = cell.known else { continue };
                    fits.iter_mut().for_each(|f| f.remove(row));
                    if let Known::States(shown) = known {
                        for (state, _) in &shown {
                            if let Some(f) = fits.get_mut(state.0 as usize) {
                                f.insert(row);
                            }
                        }
                        if !is_even(&shown) {
                            uneven.push((row as u32, shown.into_boxed_slice()));
                        }
                    }
                }
                Body::States { fits, uneven }
            }
            _ => Body::Numbers(Numbers::of(self.rows, |row| {
                let cell = cell(row);
                known.set(row, cell.known.is_some());
                if let Some(lack) = &mut may_lack {
                    lack.set(row, cell.may_lack || cell.known == Some(Known::Lacking));
                }
                cell.known
            })),
        };
        self.columns.push(Column { meta, known, may_lack, body, spread: OnceLock::new() });
        id
    }

    pub fn rows(&self) -> usize {
        self.rows
    }

    pub fn column(&self, character: CharacterId) -> &Column {
        &self.columns[character.0 as usize]
    }

    /// The taxon in a row; in a table filled without a key, a taxon of that number.
    pub fn taxon(&self, row: usize) -> TaxonId {
        self.accounts.taxa.get(row).copied().unwrap_or(TaxonId(row as u32))
    }

    /// The row of a taxon, where it can be named.
    pub fn row(&self, taxon: TaxonId) -> Option<usize> {
        if self.accounts.taxa.is_empty() {
            return ((taxon.0 as usize) < self.rows).then_some(taxon.0 as usize);
        }
        self.accounts.taxa.binary_search(&taxon).ok()
    }

    /// How many words narrowing by a measure reads; 0 for states.
    pub fn plane_words(&self, character: CharacterId) -> usize {
        match &self.column(character).body {
            Body::States { .. } => 0,
            Body::Numbers(numbers) => 2 * numbers.bits() * self.rows.div_ceil(64),
        }
    }

    /// How many bytes the sets and planes take, and how many the bits in them need: one for each
    /// taxon and state, one for whether anything is said, one for whether a dependent character
    /// applies, and for a measure four limits of as many bits as tell its values apart.
    pub fn bytes(&self) -> (usize, usize) {
        let mut held = 0;
        let mut needed = 0;
        for column in &self.columns {
            let sets = 1 + usize::from(column.may_lack.is_some());
            match &column.body {
                Body::States { fits, uneven } => {
                    let entry = std::mem::size_of::<(StateId, f64)>();
                    let pair = std::mem::size_of::<(u32, Box<[(StateId, f64)]>)>();
                    held += uneven.iter().map(|(_, s)| pair + s.len() * entry).sum::<usize>();
                    held += (fits.len() + sets) * column.known.words().len() * 8;
                    needed += (fits.len() + sets) * self.rows;
                }
                Body::Numbers(numbers) => {
                    held += sets * column.known.words().len() * 8 + numbers.bytes();
                    needed += (sets + 4 * numbers.bits()) * self.rows;
                }
            }
        }
        (held, needed.div_ceil(8))
    }
}

fn is_even(shown: &[(StateId, f64)]) -> bool {
    shown.iter().all(|(_, share)| (share - shown[0].1).abs() < 1e-12)
}

impl Column {
    /// Whether anything is said of the taxon in `row`, that it does not apply included.
    pub fn is_known(&self, row: usize) -> bool {
        self.known.contains(row)
    }

    /// Whether the character does not apply to the taxon in `row`.
    pub fn is_lacking(&self, row: usize) -> bool {
        self.is_known(row)
            && match &self.body {
                Body::States { fits, .. } => !fits.iter().any(|f| f.contains(row)),
                Body::Numbers(numbers) => numbers.is_void(row),
            }
    }

    /// Whether it may not apply to the taxon in `row`.
    pub fn may_lack(&self, row: usize) -> bool {
        match &self.may_lack {
            Some(lack) => lack.contains(row),
            None => self.is_lacking(row),
        }
    }

    /// What is known of the taxon in `row`, as it went in.
    pub fn known(&self, row: usize) -> Option<Known> {
        if !self.is_known(row) {
            return None;
        }
        if self.is_lacking(row) {
            return Some(Known::Lacking);
        }
        Some(match &self.body {
            Body::States { fits, uneven } => {
                match uneven.binary_search_by_key(&(row as u32), |(r, _)| *r) {
                    Ok(at) => Known::States(uneven[at].1.to_vec()),
                    Err(_) => {
                        let shown: Vec<StateId> = (0..fits.len())
                            .filter(|s| fits[*s].contains(row))
                            .map(|s| StateId(s as u16))
                            .collect();
                        let share = 1.0 / shown.len() as f64;
                        Known::States(shown.into_iter().map(|s| (s, share)).collect())
                    }
                }
            }
            Body::Numbers(numbers) => Known::Numbers(numbers.reaches(row)),
        })
    }
}
