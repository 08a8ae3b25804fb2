//! Where a lead goes: what the text after its dots means.

use std::cell::OnceCell;

use foldhash::HashMap;
use indexmap::IndexMap;

use super::names::{folded, is_abbreviated, split_name};
use super::slips;
use super::{Reader, Taxa};
use crate::key::couplet::{CoupletId, LeadId, Outcome, Place, SubkeyId};
use crate::key::taxon::{Rank, Taxon, TaxonId};
use crate::text::finding::Finding;
use crate::text::language::Language;
use crate::text::parse::letters_of_label;
use crate::text::pointer::{self, Pointer};
use crate::text::span::Span;
use crate::text::words::Words;

/// What an outcome says before couplets and keys are looked up.
#[derive(Clone, Debug)]
pub(super) enum Said {
    Label { number: u32, capital: Option<char>, letter: Option<char>, span: Span },
    Key(Box<ToKey>),
    Taxa(Vec<TaxonId>),
    Stop(String),
    Nothing,
}

/// `key to the grasses`, perhaps at a place in it, perhaps in another file.
#[derive(Clone, Debug)]
pub(super) struct ToKey {
    head: String,
    at: Option<String>,
    file: Option<String>,
    span: Span,
}

/// The couplets of one key by label, and the keys of a file by head.
pub(super) struct Directory {
    pub couplets: Vec<HashMap<(u32, Option<char>), CoupletId>>,
    /// The numbers of each key in order, looked up only where a pointer fails.
    pub numbers: OnceCell<Vec<Vec<u32>>>,
    pub heads: IndexMap<String, SubkeyId>,
    /// The letters of every couplet, one couplet after the other, each with the first lead that
    /// bears it; and where those of each couplet end.
    pub letters: Vec<(char, u16)>,
    pub until: Vec<u32>,
}

impl Directory {
    fn letters(&self, couplet: CoupletId) -> &[(char, u16)] {
        let at = couplet.0 as usize;
        let from = at.checked_sub(1).map_or(0, |before| self.until[before]);
        &self.letters[from as usize..self.until[at] as usize]
    }
}

/// How many heads are looked through for the one that was meant.
const FEW: usize = 64;

impl Reader<'_> {
    pub(super) fn said(
        &mut self,
        words: &Words,
        language: &'static Language,
        taxa: &mut Taxa,
    ) -> Said {
        if words.is_empty() {
            return Said::Nothing;
        }
        let text = words.text(self.text).into_owned();
        let span = words.span();
        match pointer::read(&text, language) {
            Some(Pointer::Couplet { place, at, phrase }) => {
                if phrase {
                    self.phrase(text.trim(), &text[at], span);
                }
                let (number, capital, letter) = place;
                return Said::Label { number, capital, letter, span };
            }
            Some(Pointer::Key { head, at, file }) => {
                let at = at.map(|entry| text[entry.at].to_string());
                return Said::Key(Box::new(ToKey { head, at, file, span }));
            }
            Some(Pointer::Stop(reason)) => return Said::Stop(reason),
            None => {}
        }
        let core = text.trim().trim_end_matches('.');
        if core.starts_with(|c: char| c.is_ascii_digit()) {
            self.out.push(
                Finding::error("outcome-unreadable", span, format!("`{core}` is no couplet, no key and no name"))
                    .why("Whoever takes this lead is left nowhere.")
                    .remedy("Write one couplet's number (`7`), one lead (`9b`), a name, `key to ...`, or `stop: the reason`."),
            );
            return Said::Nothing;
        }
        Said::Taxa(self.taxa_named(&text, words, language, taxa))
    }

    /// `go to 5`, `see 5`: read, and told.
    fn phrase(&mut self, written: &str, label: &str, span: Span) {
        self.out.push(
            Finding::warning(
                "outcome-phrase",
                span,
                format!("`{written}` is written where a number alone stands in this format"),
            )
            .why("The dots say \"go to\" already.")
            .remedy(format!("Write `{label}`; it was read so."))
            .mend(span, label),
        );
    }

    /// One name, or several parted by `or`. A trailing parenthesis is a remark.
    fn taxa_named(
        &mut self,
        text: &str,
        words: &Words,
        language: &Language,
        taxa: &mut Taxa,
    ) -> Vec<TaxonId> {
        let mut pieces: Vec<(usize, usize)> = Vec::new();
        let mut start = 0;
        let mut at = 0;
        for word in text.split_inclusive(char::is_whitespace) {
            if language.or.contains(&word.trim().to_lowercase().as_str()) {
                pieces.push((start, at));
                start = at + word.len();
            }
            at += word.len();
        }
        pieces.push((start, text.len()));
        let mut out = Vec::new();
        let mut genus: Option<String> = None;
        for (from, to) in pieces {
            let piece = &text[from..to];
            let bare = match piece.find(['(', '[']) {
                // `(beech)` at the end is a remark; authors in brackets are not compared anyway.
                Some(open) => piece[..open].trim(),
                None => piece.trim(),
            };
            let bare = bare.trim_end_matches([',', ';', '.']);
            if bare.is_empty() {
                continue;
            }
            let lead_in = piece.len() - piece.trim_start().len();
            let span = words.locate_span(from + lead_in, from + lead_in + bare.len());
            if let Some(id) = self.taxon_named(bare, span, &mut genus, taxa)
                && !out.contains(&id)
            {
                out.push(id);
            }
        }
        out
    }

    fn taxon_named(
        &mut self,
        text: &str,
        span: Span,
        genus: &mut Option<String>,
        taxa: &mut Taxa,
    ) -> Option<TaxonId> {
        let mut written = text.to_string();
        let first = text.split_whitespace().next()?;
        if is_abbreviated(first) {
            match genus.as_ref().filter(|g| g.starts_with(&first[..first.len() - 1])) {
                Some(g) => written = format!("{g}{}", &text[first.len()..]),
                None => {
                    self.out.push(
                        Finding::error(
                            "name-unreadable",
                            span,
                            format!("`{first}` stands for no genus written out before it"),
                        )
                        .why(
                            "An abbreviated genus is the last one written out in the same outcome.",
                        )
                        .remedy("Write the genus out."),
                    );
                }
            }
        }
        let name = split_name(&written);
        if let Some(figures) = slips::figures(text) {
            self.out.push(slips::letter_for_figure(text, span, &figures));
        } else if !name
            .name
            .starts_with(|c: char| c.is_uppercase() || c == '×' || c == '"' || c == '\'')
        {
            self.out.push(
                Finding::warning("name-unreadable", span, format!("`{text}` begins like no name of a taxon"))
                    .why("It was taken as a name all the same: every lead has to go somewhere.")
                    .remedy("Write the name with a capital; or a couplet's number, `key to ...`, `stop: the reason`."),
            );
        }
        if let Some(comma) = slips::comma_between_names(text, &taxa.names) {
            self.out.push(slips::write_or(text, span, comma));
        }
        if name.rank != Rank::Group {
            *genus = name.name.split(' ').next().map(str::to_string);
        }
        let key = folded(&name.name);
        if let Some(&id) = taxa.names.get(&key) {
            return Some(id);
        }
        let id = TaxonId(taxa.taxa.len() as u32);
        taxa.names.insert(key, id);
        taxa.taxa.push(Taxon {
            name: name.name,
            authors: name.authors,
            rank: name.rank,
            span,
            ..Taxon::default()
        });
        Some(id)
    }

    /// Looks up what was said.
    pub(super) fn outcome(&mut self, said: Said, own: SubkeyId, directory: &Directory) -> Outcome {
        match said {
            Said::Nothing => Outcome::Nowhere,
            Said::Stop(reason) => Outcome::Stop(reason),
            Said::Taxa(ids) if ids.is_empty() => Outcome::Nowhere,
            Said::Taxa(ids) => Outcome::Taxa(ids),
            Said::Label { number, capital, letter, span } => {
                match self.place(own, (number, capital, letter), span, directory) {
                    Some(Place::Couplet(c)) => Outcome::Couplet(c),
                    Some(Place::Lead(l)) => Outcome::Lead(l),
                    None => Outcome::Nowhere,
                }
            }
            Said::Key(to) => {
                let ToKey { head, at, file, span } = *to;
                if let Some(file) = file {
                    return Outcome::Elsewhere { key: head, file, at };
                }
                let Some(&subkey) = directory.heads.get(&head) else {
                    self.no_such_key(&head, span, directory);
                    return Outcome::Nowhere;
                };
                let at = match at.as_deref().and_then(letters_of_label) {
                    Some(label) => match self.place(subkey, label, span, directory) {
                        Some(place) => Some(place),
                        None => return Outcome::Nowhere,
                    },
                    None => None,
                };
                Outcome::Subkey { subkey, at }
            }
        }
    }

    fn place(
        &mut self,
        subkey: SubkeyId,
        label: (u32, Option<char>, Option<char>),
        span: Span,
        directory: &Directory,
    ) -> Option<Place> {
        let (number, capital, letter) = label;
        let shown = || format!("{number}{}", capital.map(String::from).unwrap_or_default());
        let Some(&couplet) = directory.couplets[subkey.0 as usize].get(&(number, capital)) else {
            let mut f = Finding::error(
                "pointer-without-couplet",
                span,
                format!("there is no couplet {} in this key", shown()),
            )
            .why("Whoever takes this lead is left without a next question.");
            f = match nearest_number(directory, subkey, number) {
                Some(n) => f.remedy(format!("Write the number of a couplet that exists (the nearest is {n}), or write the couplet.")),
                None => f.remedy("Write the couplet."),
            };
            self.out.push(f);
            return None;
        };
        let Some(letter) = letter else { return Some(Place::Couplet(couplet)) };
        let letters = directory.letters(couplet);
        match letters.iter().find(|(l, _)| *l == letter) {
            Some(&(_, index)) => Some(Place::Lead(LeadId { couplet, index })),
            None => {
                self.out.push(
                    Finding::error(
                        "pointer-without-couplet",
                        span,
                        format!("couplet {} has no lead {letter}", shown()),
                    )
                    .why("Whoever takes this lead is left without a next question.")
                    .remedy(format!("Write `{}`, or the letter of one of its leads.", shown())),
                );
                None
            }
        }
    }

    fn no_such_key(&mut self, head: &str, span: Span, directory: &Directory) {
        let near = crate::key::lexicon::nearest(
            head,
            directory.heads.keys().take(FEW).map(String::as_str),
        );
        let mut f = Finding::error(
            "pointer-without-couplet",
            span,
            format!("there is no `{head}` in this file"),
        )
        .why("Whoever takes this lead is left without a next question.");
        f = match near {
            Some(n) => f.remedy(format!("Did you mean `{n}`?")).mend(span, n),
            None => f.remedy(format!("Write a line `{head}` alone at the margin, and its couplets below it; or name its file: `{head} in FILE.key`.")),
        };
        self.out.push(f);
    }
}

fn nearest_number(directory: &Directory, subkey: SubkeyId, number: u32) -> Option<u32> {
    let numbers = directory.numbers.get_or_init(|| {
        let sorted = |map: &HashMap<(u32, Option<char>), CoupletId>| {
            let mut numbers: Vec<u32> = map.keys().map(|(n, _)| *n).collect();
            numbers.sort_unstable();
            numbers
        };
        directory.couplets.iter().map(sorted).collect()
    });
    let known = &numbers[subkey.0 as usize];
    let above = known.partition_point(|n| *n < number);
    // The nearest, the lower of two that are equally near.
    let two = above.checked_sub(1).into_iter().chain([above]).filter_map(|i| known.get(i));
    two.copied().min_by_key(|n| (n.abs_diff(number), *n))
}
