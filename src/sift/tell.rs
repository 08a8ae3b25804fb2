//! A taxon's account as prose, what tells taxa apart, and the fewest characters that no other
//! taxon shares.

use serde::Serialize;

use super::account::Origin;
use super::apart::{Pairs, Shown};
use super::bits::Bits;
use super::cost::cost;
use super::cover;
use super::specimen::Specimen;
use super::table::Table;
use super::words;
use crate::key::lexicon::Lexicon;
use crate::key::statement::Statement;
use crate::key::{CharacterId, ConditionId, Key};
use crate::text::span::Span;
use crate::text::words::Words;

/// A taxon's account.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Told {
    pub taxon: String,
    pub authors: String,
    /// Common names in the key's own language.
    pub called: Vec<String>,
    pub family: Option<String>,
    /// What its own account and those it inherits say, part by part of the plant.
    pub text: String,
    /// What only the key's leads say.
    pub from_leads: String,
    /// What its account says in words that are not compared.
    pub prose: Vec<String>,
    pub found: Vec<String>,
    /// Months, 1 to 12.
    pub flowers: Vec<u8>,
    pub fruits: Vec<u8>,
    pub cautions: Vec<String>,
    pub remarks: Vec<String>,
}

/// The account of the taxon in a row as readable prose: the parts of the plant in the order in
/// which the key declares them, sentences with the same beginning drawn together where they read
/// the same so.
pub fn tell(key: &Key, lexicon: &Lexicon, table: &Table, row: usize) -> Told {
    let taxon = key.taxon(table.taxon(row));
    let source = key.source.text();
    let prose = |span: Span| source[span.range()].split_whitespace().collect::<Vec<_>>().join(" ");
    Told {
        taxon: taxon.name.clone(),
        authors: taxon.authors.clone(),
        called: taxon.called.iter().filter(|(l, _)| l.is_none()).map(|(_, n)| n.clone()).collect(),
        family: taxon.family.clone(),
        text: text(key, lexicon, table, row, |o| matches!(o, Origin::Own | Origin::Inherited(_))),
        from_leads: text(key, lexicon, table, row, |o| o == Origin::Leads),
        prose: taxon.parts.iter().filter_map(|p| p.prose).map(prose).collect(),
        found: taxon.found.clone(),
        flowers: taxon.flowers.clone(),
        fruits: taxon.fruits.clone(),
        cautions: taxon.cautions.clone(),
        remarks: taxon.remarks.clone(),
    }
}

fn text(
    key: &Key,
    lexicon: &Lexicon,
    table: &Table,
    row: usize,
    wanted: impl Fn(Origin) -> bool,
) -> String {
    // The parts of the plant in the order of declaration, with their sentences.
    let mut parts: Vec<(Option<&str>, Vec<(CharacterId, String, String)>)> = Vec::new();
    for id in key.character_ids() {
        let Some(entry) = table.accounts.entry(row, id).filter(|e| wanted(e.origin)) else {
            continue;
        };
        let character = key.character(id);
        let Some(value) = words::entry(key, character, entry) else { continue };
        let part = character.part.as_deref();
        let at = match parts.iter().position(|(p, _)| *p == part) {
            Some(at) => at,
            None => {
                parts.push((part, Vec::new()));
                parts.len() - 1
            }
        };
        parts[at].1.push((id, character.sentence.clone(), value));
    }
    let mut out = String::new();
    for (_, sentences) in parts {
        if !out.is_empty() {
            out.push(' ');
        }
        let sentence = joined(key, lexicon, &sentences);
        let mut letters = sentence.chars();
        if let Some(first) = letters.next() {
            out.extend(first.to_uppercase());
            out.push_str(letters.as_str());
            out.push('.');
        }
    }
    out
}

/// Sentences in one: those with the same opening share it, where that reads the same.
fn joined(key: &Key, lexicon: &Lexicon, sentences: &[(CharacterId, String, String)]) -> String {
    let mut pieces: Vec<String> = Vec::new();
    // What the last piece says, so that it can be checked that it still does.
    let mut said: Vec<(CharacterId, &str)> = Vec::new();
    let mut opening = String::new();
    for (id, sentence, value) in sentences {
        let (before, after) = sentence.split_once('_').unwrap_or((sentence, ""));
        if let Some(last) = pieces.last_mut()
            && !before.is_empty()
            && before == opening
        {
            let longer = format!("{last}, {value}{after}");
            said.push((*id, value));
            if reads_as(key, lexicon, &longer, &said) {
                *last = longer;
                continue;
            }
        }
        pieces.push(lower(&key.character(*id).fill_in(value, key.heading.language)));
        said = vec![(*id, value)];
        opening = before.to_string();
    }
    pieces.join("; ")
}

/// Whether a text is read whole as just these values of these characters.
fn reads_as(key: &Key, lexicon: &Lexicon, text: &str, wanted: &[(CharacterId, &str)]) -> bool {
    let read = lexicon.read(text, (0, text.len()), &Words::one(Span::new(0, text.len())));
    let same = |s: &Statement, (id, value): &(CharacterId, &str)| {
        s.character == *id
            && key.character(*id).value_in_words(&s.value, key.heading.language) == *value
    };
    read.part.prose.is_none()
        && read.ambiguity.is_none()
        && read.part.statements.len() == wanted.len()
        && read.part.statements.iter().zip(wanted).all(|(s, w)| same(s, w))
}

/// With a small first letter, unless the word is written in capitals.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), second) if second.is_none_or(|c| !c.is_uppercase()) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => text.to_string(),
    }
}

/// A character by which taxa differ.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    pub character: CharacterId,
    /// How many of their pairs it tells apart for certain.
    pub pairs: usize,
    pub cost: f64,
}

/// The characters that tell some of the taxa in `rows` apart, best first: the most pairs, then the
/// least cost. With a specimen, only those that it can show, in its condition; else all, fresh.
pub fn differences(table: &Table, rows: &[usize], specimen: Option<&Specimen>) -> Vec<Difference> {
    let condition = specimen.map_or(ConditionId::FRESH, |s| s.condition);
    let able = (0..table.columns.len() as u32)
        .map(CharacterId)
        .filter(|c| specimen.is_none_or(|s| s.hides(&table.column(*c).meta).is_none()));
    let pairs = Pairs::new(table, rows, able.map(|c| (c, condition)));
    let mut out: Vec<Difference> = pairs
        .by_character
        .into_iter()
        .map(|(character, bits)| Difference {
            character,
            pairs: bits.count(),
            cost: cost(&table.column(character).meta, &Default::default()),
        })
        .filter(|d| d.pairs > 0)
        .collect();
    out.sort_by(|a, b| {
        b.pairs.cmp(&a.pairs).then(a.cost.total_cmp(&b.cost)).then(a.character.cmp(&b.character))
    });
    out
}

/// A set of characters that, together, no other taxon of the key shares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnosis {
    pub characters: Vec<CharacterId>,
    /// No smaller set does.
    pub proved: bool,
    pub at_least: usize,
    /// Rows that nothing tells apart from it.
    pub shared_with: Vec<usize>,
}

/// The fewest characters by which the taxon in `row` differs from every other of the key.
pub fn diagnosis(table: &Table, row: usize, specimen: Option<&Specimen>) -> Diagnosis {
    use rayon::prelude::*;
    let condition = specimen.map_or(ConditionId::FRESH, |s| s.condition);
    let able: Vec<CharacterId> = (0..table.columns.len() as u32)
        .map(CharacterId)
        .filter(|c| table.column(*c).is_known(row))
        .filter(|c| specimen.is_none_or(|s| s.hides(&table.column(*c).meta).is_none()))
        .collect();
    // The taxon itself first, then all others.
    let others: Vec<usize> = (0..table.rows()).filter(|r| *r != row).collect();
    let rows: Vec<usize> = std::iter::once(row).chain(others.iter().copied()).collect();
    let sets: Vec<(Bits, f64)> = able
        .par_iter()
        .map(|c| {
            let shown = Shown::new(table, *c, &rows, condition);
            let apart = (0..others.len()).filter(|i| shown.apart(0, i + 1));
            let bits = Bits::of(others.len(), apart);
            (bits, cost(&table.column(*c).meta, &Default::default()))
        })
        .collect();
    let mut apart = Bits::none(others.len());
    sets.iter().for_each(|(b, _)| apart.or(b));
    let cover = cover::smallest(&sets);
    Diagnosis {
        characters: cover.chosen.iter().map(|i| able[*i]).collect(),
        proved: cover.proved,
        at_least: cover.at_least,
        shared_with: (0..others.len()).filter(|i| !apart.contains(*i)).map(|i| others[i]).collect(),
    }
}
