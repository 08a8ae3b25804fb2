//! Reading one part of a lead or account, item by item.

use super::forms::{Form, Node};
use super::gap::{Filled, Place};
use super::phrases::follows;
use super::tokens::{Token, Word};
use super::{Lexicon, Scratch};
use crate::key::character::CharacterId;
use crate::key::statement::{Part, Statement, Value};
use crate::text::notation::{Fault, FaultKind};
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
    /// Figures that were not read because of what is wrong with them.
    pub spoilt: Vec<(Span, FaultKind)>,
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

/// A sentence that fits the words up to `to`, its opening ending at `node`.
struct Fits<'a> {
    to: usize,
    node: Node,
    form: &'a Form,
    filled: Filled,
}

/// A place in a part: the word where the next item begins, and the opening in force.
type Key = (usize, Node);

impl Lexicon {
    /// Reads the bytes `range` of `text`; `words` maps places in `text` to the source.
    pub fn read(&self, text: &str, range: (usize, usize), words: &Words) -> Read {
        self.read_with(text, range, words, &mut Scratch::default())
    }

    /// Like [`Lexicon::read`], with room to work in that is kept from one part to the next.
    pub fn read_with(
        &self,
        text: &str,
        range: (usize, usize),
        words: &Words,
        scratch: &mut Scratch,
    ) -> Read {
        let part = &text[range.0..range.1];
        let Scratch { tokens, measures, spoilt, known } = scratch;
        self.vocabulary.read(part, self.language, known, tokens);
        measures.clear();
        spoilt.clear();
        let mut place = Place { part, tokens, measures, spoilt };
        let items = self.items(&mut place);
        let mut read = self.finish(text, range, words, tokens, items);
        let whole = |f: &Fault| words.locate_span(range.0 + f.span.start, range.0 + f.span.end);
        // What another sentence could read after all is no fault.
        if let Some(prose) = read.part.prose {
            read.spoilt = spoilt.iter().map(|f| (whole(f), f.kind)).collect();
            read.spoilt.retain(|(span, _)| span.start >= prose.start);
        }
        read
    }

    /// The items that read furthest into the part: fewest, then longest.
    fn items(&self, place: &mut Place) -> Vec<Item> {
        // By key; a way is only ever followed to keys above its own.
        let mut ways: Vec<(Key, Way)> = vec![((0, 0), Way { items: 0, item: None })];
        let mut best = 0;
        let mut here = 0;
        while let Some((key, Way { items, .. })) = ways.get(here) {
            let ((at, opening), items) = (*key, *items);
            let (best_at, best_items) = (ways[best].0.0, ways[best].1.items);
            if at > best_at || (at == best_at && items < best_items) {
                best = here;
            }
            let begin = self.item_begin(place.tokens, at);
            if begin < place.tokens.len() {
                for item in self.next_items(place, begin, opening, at == 0) {
                    let to = (item.to, item.node);
                    let way = Way { items: items + 1, item: Some((item, (at, opening))) };
                    match ways.binary_search_by_key(&to, |w| w.0) {
                        Ok(i) if way.items < ways[i].1.items => ways[i].1 = way,
                        Ok(_) => {}
                        Err(i) => ways.insert(i, (to, way)),
                    }
                }
            }
            here += 1;
        }
        let mut chain = Vec::new();
        let mut at = ways[best].0;
        while let Ok(i) = ways.binary_search_by_key(&at, |w| w.0)
            && let Some((item, from)) = ways[i].1.item.take()
        {
            chain.push(item);
            at = from;
        }
        chain.reverse();
        let tokens = place.tokens;
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
    fn next_items(&self, place: &mut Place, begin: usize, opening: Node, first: bool) -> Vec<Item> {
        let mut out: Vec<Item> = Vec::new();
        let mut found: Vec<Fits> = Vec::new();
        let above = |n: Node| Some(self.forms.parent(n)).filter(|&n| n != 0);
        let carried = Some(opening).filter(|&n| n != 0 && !first);
        // Its own sentence first.
        for start in std::iter::once(0).chain(std::iter::successors(carried, |&n| above(n))) {
            let mut node = start;
            let mut at = begin;
            loop {
                for form in self.forms.at(node) {
                    // What is carried whole needs no word of its own; but a sentence that is only
                    // implied is not carried.
                    self.try_form(place, begin, at, node, form, &mut found);
                }
                let Some(token) = place.tokens.get(at) else { break };
                let Some(next) = self.forms.child(node, token.word) else { break };
                node = next;
                at += 1;
            }
            // Stable, so that of one place the readings stay in the order of declaration.
            found.sort_by_key(|f| (f.to, f.node));
            while let Some((to, node)) = found.first().map(|f| (f.to, f.node)) {
                let n = found.iter().take_while(|f| (f.to, f.node) == (to, node)).count();
                if let Some(item) = self.item(begin, &mut found[..n])
                    && !out.iter().any(|o| (o.to, o.node) == (item.to, item.node))
                {
                    out.push(item);
                }
                found.drain(..n);
            }
        }
        // Longest first.
        out.sort_by_key(|i| std::cmp::Reverse(i.to));
        out
    }

    fn try_form<'a>(
        &'a self,
        place: &mut Place,
        begin: usize,
        at: usize,
        node: Node,
        form: &'a Form,
        found: &mut Vec<Fits<'a>>,
    ) {
        let tokens = place.tokens;
        if at >= tokens.len() {
            return;
        }
        let filling = &self.forms.fillings[form.character.0 as usize];
        for filled in self.fill(place, at, filling) {
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
                found.push(Fits { to, node, form, filled });
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
    fn item(&self, from: usize, readings: &mut [Fits]) -> Option<Item> {
        let first = readings.first()?;
        let (to, node) = (first.to, first.node);
        if first.filled.second.is_some() {
            return self.two_dimensions(from, to, node, readings);
        }
        // A sentence that someone wrote goes before one that is only implied.
        let best = readings.iter().position(|f| !f.form.implied).unwrap_or(0);
        let implied = readings[best].form.implied;
        let character = readings[best].form.character;
        let rival = readings[best + 1..]
            .iter()
            .filter(|f| implied || !f.form.implied)
            .find(|f| f.form.character != character)
            .map(|f| (character, f.form.character));
        let filled = &mut readings[best].filled;
        let value = std::mem::replace(&mut filled.value, Value::States(Vec::new()));
        Some(Item {
            from,
            to,
            node,
            found: vec![Found { character, value, unit_missing: filled.unit_missing }],
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
        readings: &[Fits],
    ) -> Option<Item> {
        let Fits { form: long, filled, .. } =
            readings.iter().find(|f| f.form.implied || self.is_long(&f.form.closing))?;
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
        let said = items.iter().map(|i| i.found.len()).sum();
        let mut read = Read {
            part: Part { span: whole, statements: Vec::with_capacity(said), prose: None },
            ambiguity: None,
            units_missing: Vec::new(),
            spoilt: Vec::new(),
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
