//! Reading one part of a lead or account, item by item.

use std::collections::BTreeMap;

use super::Lexicon;
use super::forms::{Form, Node};
use super::gap::Filled;
use super::phrases::follows;
use super::tokens::{Token, Word};
use crate::key::character::CharacterId;
use crate::key::statement::{Part, Statement, Value};
use crate::text::span::Span;
use crate::text::words::Words;

/// A part read, with what is to be said about how it was read.
#[derive(Clone, Debug)]
pub struct Read {
    pub part: Part,
    /// Two sentences that fit the same words.
    pub ambiguity: Option<Ambiguity>,
    /// Measures written without a unit, by place.
    pub units_missing: Vec<(CharacterId, Span)>,
    /// Two states of one character, parted by a bare comma.
    pub at_once: Vec<(CharacterId, Span)>,
}

/// Words that two characters claim.
#[derive(Clone, Debug)]
pub struct Ambiguity {
    pub span: Span,
    pub characters: (CharacterId, CharacterId),
}

/// One item on the way through a part: words `from..to`, read with an opening that ends at `node`.
#[derive(Clone, Debug)]
struct Item {
    from: usize,
    to: usize,
    node: Node,
    found: Vec<Found>,
    rival: Option<(CharacterId, CharacterId)>,
}

#[derive(Clone, Debug)]
struct Found {
    character: CharacterId,
    value: Value,
    unit_missing: bool,
}

/// The best way found to a place in a part.
#[derive(Clone, Debug)]
struct Way {
    items: usize,
    /// The lengths of the items so far would be compared; the first item's suffices, since ways
    /// are made longest first.
    item: Option<(Item, Key)>,
}

/// A place in a part: the word where the next item begins, and the opening in force.
type Key = (usize, Node);

impl Lexicon {
    /// Reads the bytes `range` of `text`; `words` maps places in `text` to the source.
    pub fn read(&self, text: &str, range: (usize, usize), words: &Words) -> Read {
        let mut tokens = self.scratch.take();
        let part = &text[range.0..range.1];
        self.vocabulary.read(part, self.language, &mut tokens);
        self.measures.borrow_mut().clear();
        let items = self.items(part, &tokens);
        let read = self.finish(text, range, words, &tokens, items);
        self.scratch.replace(tokens);
        read
    }

    /// The items that read furthest into `tokens`: fewest, then longest.
    fn items(&self, part: &str, tokens: &[Token]) -> Vec<Item> {
        let mut ways: BTreeMap<Key, Way> = BTreeMap::new();
        ways.insert((0, 0), Way { items: 0, item: None });
        let mut best: Key = (0, 0);
        let mut done: Option<Key> = None;
        while let Some((&key, _)) = match done {
            None => ways.range(..).next(),
            Some(last) => {
                ways.range((std::ops::Bound::Excluded(last), std::ops::Bound::Unbounded)).next()
            }
        } {
            done = Some(key);
            let (at, opening) = key;
            let items = ways[&key].items;
            if at > best.0 || (at == best.0 && items < ways[&best].items) {
                best = key;
            }
            let begin = self.item_begin(tokens, at);
            if begin >= tokens.len() {
                continue;
            }
            for item in self.next_items(part, tokens, begin, opening, at == 0) {
                let to = (item.to, item.node);
                let better = ways.get(&to).is_none_or(|w| items + 1 < w.items);
                if better {
                    ways.insert(to, Way { items: items + 1, item: Some((item, key)) });
                }
            }
        }
        let mut chain = Vec::new();
        let mut at = best;
        while let Some(Way { item: Some((item, from)), .. }) = ways.remove(&at) {
            chain.push(item);
            at = from;
        }
        chain.reverse();
        self.withdraw(tokens, &mut chain);
        chain
    }

    /// Past the comma, and the "and", that part two items.
    fn item_begin(&self, tokens: &[Token], at: usize) -> usize {
        let mut i = at;
        if at > 0 {
            if tokens.get(i).is_some_and(|t| t.word == Word::COMMA) {
                i += 1;
            }
            i += self.phrases.and.met(&tokens[i.min(tokens.len())..]);
        }
        i
    }

    /// If what cannot be read begins with `or`, `except` and the like, the item before it is
    /// prose as well: it does not say the whole.
    fn withdraw(&self, tokens: &[Token], chain: &mut Vec<Item>) {
        let Some(last) = chain.last() else { return };
        let mut rest = last.to;
        if tokens.get(rest).is_some_and(|t| t.word == Word::COMMA) {
            rest += 1;
        }
        if rest < tokens.len() && self.phrases.binding.met(&tokens[rest..]) > 0 {
            // Only the item that the rest hangs on is drawn in.
            chain.pop();
        }
    }

    /// Every item that begins at word `begin`: with its own opening, else with a beginning of the
    /// one before, longest first.
    fn next_items(
        &self,
        part: &str,
        tokens: &[Token],
        begin: usize,
        opening: Node,
        first: bool,
    ) -> Vec<Item> {
        let mut out: Vec<Item> = Vec::new();
        let mut carried = Vec::new();
        if !first {
            let mut node = opening;
            while node != 0 {
                carried.push(node);
                node = self.forms.parent(node);
            }
        }
        // Its own sentence first.
        for start in std::iter::once(0).chain(carried) {
            let mut found: BTreeMap<(usize, Node), Vec<(usize, &Form, Filled)>> = BTreeMap::new();
            let mut node = start;
            let mut at = begin;
            loop {
                for (order, form) in self.forms.at(node).iter().enumerate() {
                    // What is carried whole needs no word of its own; but a sentence that is only
                    // implied is not carried.
                    self.try_form(part, tokens, begin, at, node, order, form, &mut found);
                }
                let Some(token) = tokens.get(at) else { break };
                let Some(next) = self.forms.child(node, token.word) else { break };
                node = next;
                at += 1;
            }
            for ((to, node), readings) in found {
                if let Some(item) = self.item(begin, to, node, readings)
                    && !out.iter().any(|o| (o.to, o.node) == (item.to, item.node))
                {
                    out.push(item);
                }
            }
        }
        // Longest first.
        out.sort_by_key(|i| std::cmp::Reverse(i.to));
        out
    }

    #[allow(clippy::too_many_arguments)]
    fn try_form<'a>(
        &'a self,
        part: &str,
        tokens: &[Token],
        begin: usize,
        at: usize,
        node: Node,
        order: usize,
        form: &'a Form,
        found: &mut BTreeMap<(usize, Node), Vec<(usize, &'a Form, Filled)>>,
    ) {
        if at >= tokens.len() {
            return;
        }
        let filling = &self.forms.fillings[form.character.0 as usize];
        for filled in self.fill(part, &tokens[at..], filling) {
            let end = at + filled.words;
            // Two dimensions bring their own closings: `3-6 × 1-2 cm`.
            let closing: &[Word] = if filled.second.is_some() { &[] } else { &form.closing };
            if filled.second.is_some() && !form.closing.is_empty() && !self.is_long(&form.closing) {
                continue;
            }
            if !follows(&tokens[end..], closing) {
                continue;
            }
            let to = end + closing.len();
            if to > begin && self.is_boundary(tokens, to) {
                found.entry((to, node)).or_default().push((order, form, filled));
            }
        }
    }

    fn is_long(&self, closing: &[Word]) -> bool {
        self.dimensions.0.iter().any(|w| w == closing)
    }

    fn is_wide(&self, closing: &[Word]) -> bool {
        self.dimensions.1.iter().any(|w| w == closing)
    }

    fn is_boundary(&self, tokens: &[Token], at: usize) -> bool {
        match tokens.get(at) {
            None => true,
            Some(t) => t.word == Word::COMMA || self.phrases.and.met(&tokens[at..]) > 0,
        }
    }

    /// One item from the readings of the same words with the same opening; a second character that
    /// fits as well makes it ambiguous.
    fn item(
        &self,
        from: usize,
        to: usize,
        node: Node,
        readings: Vec<(usize, &Form, Filled)>,
    ) -> Option<Item> {
        let (_, form, filled) = readings.first()?;
        if filled.second.is_some() {
            return self.two_dimensions(from, to, node, &readings);
        }
        // A sentence that someone wrote goes before one that is only implied.
        let written = readings.iter().filter(|(_, f, _)| !f.implied).count();
        let mut of_rank = readings.iter().filter(|(_, f, _)| written == 0 || !f.implied);
        let (_, form, filled) =
            of_rank.next().map(|r| (r.0, r.1, &r.2)).unwrap_or((0, *form, filled));
        let rival = of_rank
            .find(|(_, f, _)| f.character != form.character)
            .map(|(_, f, _)| (form.character, f.character));
        Some(Item {
            from,
            to,
            node,
            found: vec![Found {
                character: form.character,
                value: filled.value.clone(),
                unit_missing: filled.unit_missing,
            }],
            rival,
        })
    }

    /// `Leaf blade 3-6 × 1-2 cm` is a length and a width, where both sentences are declared with
    /// the same opening.
    fn two_dimensions(
        &self,
        from: usize,
        to: usize,
        node: Node,
        readings: &[(usize, &Form, Filled)],
    ) -> Option<Item> {
        let (_, long, filled) =
            readings.iter().find(|(_, f, _)| f.implied || self.is_long(&f.closing))?;
        let wide = self.forms.at(node).iter().find(|f| self.is_wide(&f.closing))?;
        let second = filled.second.clone()?;
        // The width is kept in its own character's unit.
        let scaled = match (self.unit_of(long.character), self.unit_of(wide.character)) {
            (Some(a), Some(b)) => second.scaled(a.factor(b)?)?,
            _ => return None,
        };
        Some(Item {
            from,
            to,
            node,
            found: vec![
                Found {
                    character: long.character,
                    value: filled.value.clone(),
                    unit_missing: filled.unit_missing,
                },
                Found {
                    character: wide.character,
                    value: Value::Number(scaled),
                    unit_missing: false,
                },
            ],
            rival: None,
        })
    }

    fn finish(
        &self,
        text: &str,
        range: (usize, usize),
        words: &Words,
        tokens: &[Token],
        items: Vec<Item>,
    ) -> Read {
        let base = range.0;
        let place =
            |from: u32, to: u32| words.locate_span(base + from as usize, base + to as usize);
        let whole = words.locate_span(range.0, range.1);
        let mut read = Read {
            part: Part { span: whole, statements: Vec::new(), prose: None },
            ambiguity: None,
            units_missing: Vec::new(),
            at_once: Vec::new(),
        };
        let mut reached = 0;
        for item in items {
            let span = place(tokens[item.from].start, tokens[item.to - 1].end);
            if let Some(characters) = item.rival {
                read.ambiguity = Some(Ambiguity { span, characters });
                break;
            }
            if item.found.iter().any(|f| f.unit_missing) {
                read.units_missing.extend(
                    item.found.iter().filter(|f| f.unit_missing).map(|f| (f.character, span)),
                );
                break;
            }
            for found in item.found {
                let mut value = found.value;
                if let Value::States(choices) = &mut value {
                    for c in choices {
                        c.span =
                            if c.span.is_empty() { span } else { place(c.span.start, c.span.end) };
                    }
                    if read.part.statements.iter().any(|s| s.character == found.character) {
                        read.at_once.push((found.character, span));
                    }
                }
                read.part.statements.push(Statement { character: found.character, value, span });
            }
            reached = item.to;
        }
        if reached < tokens.len() {
            let from = if reached == 0 { 0 } else { tokens[reached].start };
            let mut start = base + from as usize;
            // The comma before what is left is no part of it.
            let rest = &text[start..range.1];
            start += rest.len() - rest.trim_start_matches([',', ' ']).len();
            read.part.prose = Some(words.locate_span(start.min(range.1), range.1));
        } else if tokens.is_empty() {
            // Only a remark: nothing to compare, nothing left unread.
            read.part.prose = None;
        }
        read
    }
}
