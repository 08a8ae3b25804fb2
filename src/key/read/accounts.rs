//! Accounts of taxa: names, statements, and what else is said of a plant.

use indexmap::IndexMap;

use super::names::{folded, split_name};
use super::{Reader, Taxa, slips};
use crate::key::character::Character;
use crate::key::lexicon::Lexicon;
use crate::key::taxon::{Rank, Taxon, TaxonId};
use crate::text::finding::Finding;
use crate::text::language::{Language, fold};
use crate::text::months;
use crate::text::span::Span;
use crate::text::tree::{Below, Body, Entry, Note, SectionKind};

impl Reader<'_> {
    pub(super) fn accounts(&mut self, characters: &[Character], lexicon: &Lexicon) -> Taxa {
        let mut taxa: Vec<Taxon> = Vec::new();
        let mut names: IndexMap<String, TaxonId> = IndexMap::new();
        let mut under: Vec<Option<(String, Span)>> = Vec::new();
        for entry in self.entries(SectionKind::Taxa) {
            let Body::Account { name } = &entry.body else { continue };
            let id = TaxonId(taxa.len() as u32);
            let (taxon, above) =
                self.account(entry, &name.text(self.text), name.span(), characters, lexicon);
            let key = folded(&taxon.name);
            if let Some(&first) = names.get(&key) {
                self.out.push(
                    Finding::error(
                        "taxon-account-twice",
                        taxon.span,
                        format!("`{}` has two accounts", taxon.name),
                    )
                    .why("Only the first is used.")
                    .remedy("Join the two.")
                    .related(taxa[first.0 as usize].span, "the first is here"),
                );
            } else {
                names.insert(key, id);
            }
            taxa.push(taxon);
            under.push(above);
        }
        // A synonym leads to its taxon, unless an account bears that name.
        for (i, taxon) in taxa.iter().enumerate() {
            for synonym in &taxon.synonyms {
                names.entry(folded(&split_name(synonym).name)).or_insert(TaxonId(i as u32));
            }
        }
        for i in 0..taxa.len() {
            taxa[i].above = self.above(i, &taxa, &names, under[i].as_ref());
        }
        self.rings(&mut taxa);
        Taxa { taxa, names }
    }

    fn account(
        &mut self,
        entry: &Entry,
        written: &str,
        span: Span,
        characters: &[Character],
        lexicon: &Lexicon,
    ) -> (Taxon, Option<(String, Span)>) {
        let name = split_name(written);
        let mut t = Taxon {
            name: name.name,
            authors: name.authors,
            rank: name.rank,
            span,
            has_account: true,
            ..Taxon::default()
        };
        let mut under = None;
        let mut seen = Vec::new();
        for below in &entry.below {
            match below {
                Below::Text { words, .. } => t.parts.extend(self.parts(words, characters, lexicon)),
                Below::Note(note) => {
                    self.said_of_taxon(&mut t, note, &mut under, &mut seen, lexicon.language)
                }
            }
        }
        (t, under)
    }

    fn said_of_taxon(
        &mut self,
        t: &mut Taxon,
        note: &Note,
        under: &mut Option<(String, Span)>,
        seen: &mut Vec<(String, Span)>,
        language: &'static Language,
    ) {
        let word = self.word(note);
        let value = self.value(note);
        if value.is_empty() {
            return self.empty(note);
        }
        match word.as_str() {
            "called" => {
                let names = self.list(&note.value);
                let slips = names.iter().filter_map(|(n, s)| slips::language_among_names(n, *s));
                self.out.extend(slips);
                t.called.extend(names.into_iter().map(|(n, _)| (None, n)));
            }
            "synonym" => {
                t.synonyms.extend(self.pieces(&note.value, ';').into_iter().map(|(n, _)| n))
            }
            "found" => {
                if t.abundance.is_none() {
                    t.abundance = abundance(&value, language);
                }
                t.found.push(value);
            }
            "caution" => t.cautions.push(value),
            "remark" => t.remarks.push(value),
            "picture" => t.pictures.push(self.picture(&note.value)),
            "intended" => t.intended.extend(self.intended(note)),
            _ if Language::of(&word).is_some() => {
                let code = Language::of(&word).map(|l| l.code);
                t.called.extend(self.list(&note.value).into_iter().map(|(n, _)| (code, n)));
            }
            _ if !self.once(seen, note) => {}
            "family" => t.family = Some(value),
            "under" => *under = Some((value, note.value.span())),
            "flowers" | "fruits" => {
                let reading = months::read(&value, language);
                self.out.extend(reading.faults.iter().map(|fault| {
                    let span = note.value.locate_span(fault.span.start, fault.span.end);
                    Finding::error("months-unreadable", span, fault.kind.what())
                        .why("The months rank what may be in flower or fruit.")
                        .remedy("Write `Apr-Jun`, `IV-VI`, or `Apr, Jun-Jul`.")
                }));
                if reading.faults.is_empty() {
                    *(if word == "flowers" { &mut t.flowers } else { &mut t.fruits }) =
                        reading.months;
                }
            }
            _ => {}
        }
    }

    /// `under NAME`; else the genus' account; else the family's.
    fn above(
        &mut self,
        i: usize,
        taxa: &[Taxon],
        names: &IndexMap<String, TaxonId>,
        under: Option<&(String, Span)>,
    ) -> Option<TaxonId> {
        let t = &taxa[i];
        let own = TaxonId(i as u32);
        if let Some((name, span)) = under {
            let found = names.get(&folded(&split_name(name).name)).copied();
            if found.is_none() {
                self.out.push(
                    Finding::error(
                        "missing-taxon-above",
                        *span,
                        format!("there is no account of `{name}`"),
                    )
                    .why("This account would inherit nothing.")
                    .remedy("Write that account, or mend the name."),
                );
            }
            return found.filter(|f| *f != own);
        }
        let genus = t.name.trim_start_matches('×').split(' ').next().unwrap_or("");
        let species = t.name.split(' ').take(2).collect::<Vec<_>>().join(" ");
        let candidates = [
            (t.rank == Rank::BelowSpecies).then_some(species),
            (t.rank >= Rank::Species).then(|| genus.to_string()),
            (t.rank >= Rank::Genus).then(|| t.family.clone()).flatten(),
        ];
        candidates
            .into_iter()
            .flatten()
            .find_map(|name| names.get(&folded(&name)).copied().filter(|f| *f != own))
    }

    /// Accounts that inherit each other in a ring inherit nothing.
    fn rings(&mut self, taxa: &mut [Taxon]) {
        // 0 not looked at, 1 on the way, 2 done
        let mut state = vec![0u8; taxa.len()];
        for i in 0..taxa.len() {
            let mut path = Vec::new();
            let mut at = i;
            while state[at] == 0 {
                state[at] = 1;
                path.push(at);
                match taxa[at].above {
                    Some(next) => at = next.0 as usize,
                    None => break,
                }
            }
            if state[at] == 1 && taxa[at].above.is_some() && path.contains(&at) {
                self.out.push(
                    Finding::error(
                        "missing-taxon-above",
                        taxa[at].span,
                        format!("`{}` inherits from itself by a detour", taxa[at].name),
                    )
                    .why("Accounts are inherited upwards only.")
                    .remedy("Mend one of the `under` lines."),
                );
                taxa[at].above = None;
            }
            path.iter().for_each(|&p| state[p] = 2);
        }
    }
}

/// The abundance word in `found`, the longest that fits, with its weight.
fn abundance(value: &str, language: &Language) -> Option<(String, f64)> {
    let low = format!(" {} ", fold(&value.replace([';', ',', '.'], " ")));
    language
        .abundance
        .iter()
        .filter(|(w, _)| low.contains(&format!(" {w} ")))
        .max_by_key(|(w, _)| w.len())
        .map(|(w, weight)| (w.to_string(), *weight))
}
