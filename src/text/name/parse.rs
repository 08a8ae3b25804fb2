//! The reader of names: one pass over the words, nothing guessed, every stop with its place.

use super::author::Authorship;
use super::qualifier::{Doubt, Qualifier};
use super::rank::Rank;
use super::token::{Token, tokens};
use super::{Epithet, Hybrid, NameFault, ScientificName};

/// The longest text that is taken for a name, in bytes.
const LONGEST: usize = 1000;

/// Reads `text` as one scientific name or hybrid formula, with or without authors.
///
/// # Errors
/// The first word that the Code's way of writing names has no place for.
pub fn read(text: &str) -> Result<ScientificName, NameFault> {
    if text.len() > LONGEST {
        let what = format!("a name of {} bytes is not read", text.len());
        return Err(NameFault { what, remedy: "Give one name.".into(), start: 0, end: LONGEST });
    }
    let mut reader = Reader { text, tokens: tokens(text), at: 0, kept: Vec::new() };
    let mut name = reader.single(None)?;
    if reader.peek().is_some_and(|t| t.is_cross()) {
        let mut formula = vec![std::mem::take(&mut name)];
        while reader.peek().is_some_and(|t| t.is_cross()) {
            reader.at += 1;
            let genus = formula[0].genus.clone();
            formula.push(reader.single(Some(&genus))?);
        }
        name.genus = formula[0].genus.clone();
        name.formula = formula;
    }
    if let Some(t) = reader.peek() {
        return Err(reader.not_understood(t));
    }
    name.verbatim = text.to_string();
    Ok(name)
}

struct Reader<'a> {
    text: &'a str,
    tokens: Vec<Token<'a>>,
    at: usize,
    /// What belongs to the name and is no author, of the single name in hand.
    kept: Vec<Token<'a>>,
}

/// A qualifier as met: its word's place among the kept words, and whether it stands behind.
struct Met {
    doubt: Doubt,
    kept: usize,
    behind: bool,
    on: Rank,
}

impl<'a> Reader<'a> {
    fn peek(&self) -> Option<Token<'a>> {
        self.tokens.get(self.at).copied()
    }

    fn ahead(&self, n: usize) -> Option<Token<'a>> {
        self.tokens.get(self.at + n).copied()
    }

    fn keep(&mut self) {
        if let Some(t) = self.peek() {
            self.kept.push(t);
            self.at += 1;
        }
    }

    fn fault<T>(&self, t: Option<Token>, what: String, remedy: &str) -> Result<T, NameFault> {
        let (start, end) = t.map_or((self.text.len(), self.text.len()), |t| (t.start, t.end));
        Err(NameFault { what, remedy: remedy.to_string(), start, end })
    }

    fn not_understood(&self, t: Token) -> NameFault {
        let (what, remedy) = if t.is_epithet() {
            (
                format!("\"{}\" is an epithet without its rank", t.text),
                "Write the rank before it: subsp., var., subvar., f. or subf.",
            )
        } else {
            (
                format!("\"{}\" has no place in a name here", t.text),
                "Write genus, epithet, authors, then rank and epithet.",
            )
        };
        NameFault { what, remedy: remedy.to_string(), start: t.start, end: t.end }
    }

    /// One name that is no formula. `genus` is the first genus of the formula it belongs to.
    fn single(&mut self, genus: Option<&str>) -> Result<ScientificName, NameFault> {
        self.kept.clear();
        let begin = self.peek().map_or(self.text.len(), |t| t.start);
        let mut name = ScientificName::default();
        let mut met = Vec::new();
        self.qualifiers(Rank::Genus, Rank::Genus, &mut met);
        self.genus(&mut name, genus)?;
        let genus_rank = Rank::of_single_word(&name.genus);
        self.qualifiers(genus_rank, Rank::Species, &mut met);
        // "cf. T. lepturus": behind a qualifier no author of the genus can follow.
        if !met.iter().any(|m| m.on == Rank::Species) {
            name.authorship = self.authors()?;
        }
        while let Some(rank) = self.peek().and_then(|t| Rank::within_genus(t.text)) {
            self.keep();
            match self.peek() {
                Some(t) if t.is_capitalised_word() => {
                    name.within_genus = Some((rank, t.text.to_string()));
                    self.keep();
                }
                t => {
                    let what = format!("the {} has no name", rank.word());
                    return self.fault(t, what, "Write its epithet with a capital.");
                }
            }
            name.authorship = self.authors()?;
        }
        if name.authorship.is_empty() {
            self.qualifiers(Rank::Genus, Rank::Species, &mut met);
            self.species(&mut name, &mut met)?;
        }
        self.cultivar(&mut name)?;
        name.remark = self.remark();
        name.qualifiers = met.iter().map(|m| self.qualifier(m)).collect();
        let end = self.at.checked_sub(1).map_or(begin, |i| self.tokens[i].end);
        name.verbatim = self.text[begin.min(end)..end].to_string();
        Ok(name)
    }

    fn genus(&mut self, name: &mut ScientificName, known: Option<&str>) -> Result<(), NameFault> {
        if self.peek().is_some_and(|t| t.is_cross()) {
            name.hybrid.genus = true;
            self.keep();
        }
        match (self.peek(), known) {
            (Some(t), _) if t.is_capitalised_word() => {
                name.genus = t.text.to_string();
                self.keep();
            }
            (Some(t), Some(genus)) if repeats(t, genus) => {
                name.genus = genus.to_string();
                self.keep();
            }
            (Some(t), Some(genus)) if t.is_epithet() => name.genus = genus.to_string(),
            (t @ Some(w), None) if w.is_abbreviated_genus() => {
                let what = format!("the genus is cut short to \"{}\"", w.text);
                return self.fault(t, what, "Write it out.");
            }
            (t @ Some(w), _) => {
                let what = format!("a name cannot begin with \"{}\"", w.text);
                return self.fault(t, what, "Begin with the genus, its first letter a capital.");
            }
            (None, _) => {
                return self.fault(None, "here a name is missing".into(), "Write it.");
            }
        }
        Ok(())
    }

    fn species(&mut self, name: &mut ScientificName, met: &mut Vec<Met>) -> Result<(), NameFault> {
        if let Some(open) = self.open_species() {
            name.open = Some(open);
            return Ok(());
        }
        // The genus said once more.
        if !met.is_empty() && self.peek().is_some_and(|t| repeats(t, &name.genus)) {
            self.at += 1;
        }
        if self.peek().is_some_and(|t| t.is_cross())
            && self.ahead(1).is_some_and(|t| t.is_epithet())
        {
            name.hybrid = Hybrid { species: true, ..name.hybrid };
            self.keep();
        }
        let Some(epithet) = self.peek().filter(Token::is_epithet) else { return Ok(()) };
        name.species = Some(epithet.text.to_string());
        self.keep();
        self.qualifiers(Rank::Species, Rank::Subspecies, met);
        name.authorship = self.authors()?;
        let mut above = Rank::Species;
        loop {
            self.qualifiers(above, Rank::Subspecies, met);
            let Some((rank, hybrid)) = self.rank_ahead() else { break };
            let written = self.peek().map_or("", |t| t.text).to_string();
            self.keep();
            let crossed = self.peek().is_some_and(|t| t.is_cross());
            if crossed {
                self.keep();
            }
            let Some(epithet) = self.peek() else { break };
            self.keep();
            self.qualifiers(rank, rank, met);
            let before = std::mem::replace(&mut name.authorship, self.authors()?);
            match name.below_species.last_mut() {
                Some(last) => last.authorship = before,
                None => name.species_authorship = before,
            }
            name.below_species.push(Epithet {
                rank,
                rank_as_written: written,
                epithet: epithet.text.to_string(),
                hybrid: hybrid || crossed,
                authorship: name.authorship.clone(),
            });
            for m in met.iter_mut().filter(|m| m.on == Rank::Subspecies && !m.behind) {
                m.on = rank;
            }
            above = rank;
        }
        Ok(())
    }

    /// A rank word with its epithet behind: without one, `f.` is an author's son.
    fn rank_ahead(&self) -> Option<(Rank, bool)> {
        let found = Rank::below_species(self.peek()?.text)?;
        let next = if self.ahead(1)?.is_cross() { self.ahead(2)? } else { self.ahead(1)? };
        next.is_epithet().then_some(found)
    }

    /// Qualifiers here; one that touches only what stands before it is `behind`.
    fn qualifiers(&mut self, behind: Rank, before: Rank, met: &mut Vec<Met>) {
        while let Some(t) = self.peek() {
            let Some(doubt) = Doubt::of(t.text) else { break };
            let touches = |a: Option<Token>, b: Option<Token>| {
                a.zip(b).is_some_and(|(a, b)| a.end == b.start)
            };
            let last = self.at.checked_sub(1).and_then(|i| self.tokens.get(i)).copied();
            let ends = self.ahead(1).is_none_or(|n| n.is_cross() && self.ahead(2).is_some());
            let is_behind =
                ends || t.text == "?" && touches(last, Some(t)) && !touches(Some(t), self.ahead(1));
            let on = if is_behind { behind } else { before };
            met.push(Met { doubt, kept: self.kept.len(), behind: is_behind, on });
            self.keep();
        }
    }

    fn qualifier(&self, m: &Met) -> Qualifier {
        let words = &self.kept[m.kept..];
        let words = if m.behind { &words[..1] } else { words };
        let mut phrase = String::new();
        for (i, w) in words.iter().enumerate() {
            let glued = i > 0 && (words[i - 1].end == w.start || words[i - 1].is_cross());
            if i > 0 && !glued {
                phrase.push(' ');
            }
            phrase.push_str(w.text);
        }
        let word = words.first().map_or("", |t| t.text).to_string();
        Qualifier { doubt: m.doubt, word, on: m.on, phrase }
    }

    /// `sp.`, `sp. 1`, `spp.`, `sp. nov.`: the rest of the words belong to it.
    fn open_species(&mut self) -> Option<String> {
        let t = self.peek()?;
        if !matches!(t.text, "sp." | "sp" | "spp." | "spp" | "indet." | "indet") {
            return None;
        }
        let from = self.at;
        while self.peek().is_some_and(|t| !t.is_cross()) {
            self.at += 1;
        }
        let words: Vec<&str> = self.tokens[from..self.at].iter().map(|t| t.text).collect();
        Some(words.join(" "))
    }

    /// Whether no author can begin or go on at this word.
    fn ends_authors(&self, t: Token) -> bool {
        t.is_cross()
            || t.is_quoted()
            || t.is_epithet()
            || t.text == "cv."
            || Doubt::of(t.text).is_some()
            || Rank::within_genus(t.text).is_some()
            || self.rank_ahead().is_some()
            || is_remark(t.text)
            || matches!(t.text, "sp." | "spp." | "indet.")
    }

    fn authors(&mut self) -> Result<Authorship, NameFault> {
        let from = self.at;
        while let Some(t) = self.peek() {
            if self.ends_authors(t) {
                break;
            }
            self.at += 1;
        }
        let (Some(first), Some(last)) = (
            self.tokens[from..self.at].first().copied(),
            self.tokens[from..self.at].last().copied(),
        ) else {
            return Ok(Authorship::default());
        };
        let text = &self.text[first.start..last.end];
        let opens = first.text.starts_with(|c: char| c.is_uppercase() || c == '(' || c == '\'');
        match Authorship::read(text) {
            Some(read) if opens || super::token::is_particle(first.text) => Ok(read),
            _ => {
                let what = format!("\"{text}\" is no author citation");
                let span = Token { text, start: first.start, end: last.end };
                let remedy = "Write authors with capitals, those of the basionym in parentheses.";
                self.fault(Some(span), what, remedy)
            }
        }
    }

    fn cultivar(&mut self, name: &mut ScientificName) -> Result<(), NameFault> {
        let Some(t) = self.peek() else { return Ok(()) };
        if t.is_quoted() {
            let inner = t.text.trim_matches(['\'', '‘', '’', '"', '“', '”']);
            name.cultivar = Some(inner.to_string());
            self.keep();
        } else if t.text == "cv." {
            self.keep();
            let Some(word) = self.peek() else {
                return self.fault(None, "the cultivar has no name".into(), "Write it.");
            };
            name.cultivar = Some(word.text.trim_matches(['\'', '"']).to_string());
            self.keep();
        }
        Ok(())
    }

    fn remark(&mut self) -> Option<String> {
        let first = self.peek().filter(|t| is_remark(t.text))?;
        while self.peek().is_some_and(|t| !t.is_cross()) {
            self.at += 1;
        }
        Some(self.text[first.start..self.tokens[self.at - 1].end].to_string())
    }
}

/// Whether `t` is `genus` cut to its first letters.
fn repeats(t: Token, genus: &str) -> bool {
    t.is_abbreviated_genus() && genus.starts_with(t.text.trim_end_matches('.'))
}

/// The first word of what stands behind a name and is no part of it.
fn is_remark(word: &str) -> bool {
    matches!(
        word,
        "s.l."
            | "s.lat."
            | "s.str."
            | "s.s."
            | "sens."
            | "sensu"
            | "sec."
            | "auct."
            | "auctt."
            | "nom."
            | "agg."
            | "p.p."
            | "non"
            | "pro"
            | "emend."
    )
}
