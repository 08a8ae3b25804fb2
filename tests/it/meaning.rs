//! What a key says, as text to compare: everything but where it stands and how it is spaced.
#![allow(dead_code)]

use std::fmt::Write;

use hilum::key::character::{Kind, Picture, Reading};
use hilum::key::couplet::{Intended, Lead, Outcome, Place};
use hilum::key::statement::{Part, StateSet, Statement, Value};
use hilum::key::{Character, Key, Taxon};
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::span::Span;
use hilum::text::tree::{Below, Body, notes};

/// Two texts mean the same where their meanings are equal.
pub fn meaning(text: &str) -> String {
    let source = Source::new("compared.key", text);
    let key = Key::read(source.clone());
    let mut m = Meaning { key: &key, segments: segments(source), out: String::new() };
    m.heading();
    key.conditions
        .iter()
        .skip(2)
        .for_each(|c| m.say("condition", (squeeze(&c.name), squeeze(&c.means))));
    key.characters.iter().for_each(|c| m.character(c));
    for s in &key.subkeys {
        m.say("subkey", (squeeze(&s.head), &s.couplets));
        m.intended(&s.intended);
    }
    for (id, c) in key.couplets() {
        m.say("couplet", (id, c.subkey, c.number, c.capital));
        c.leads.iter().for_each(|l| m.lead(l));
    }
    key.taxa.iter().for_each(|t| m.taxon(t));
    for t in &key.terms {
        m.say("term", (squeeze(&t.word), list(&t.also), squeeze(&t.definition)));
        m.pictures(&t.pictures);
    }
    let names: Vec<_> = key.names.iter().map(|(n, id)| (squeeze(n), id)).collect();
    m.say("names", names);
    m.say("share", key.share);
    m.out
}

/// Routes by taxon: from which lead, through which leads, in words instead of numbers.
pub fn routes(text: &str) -> Vec<String> {
    let key = Key::read(Source::new("compared.key", text));
    let named = |place: &Place| match place {
        Place::Couplet(c) => {
            key.couplet(*c).leads.first().map(|l| said(&key, l)).unwrap_or_default()
        }
        Place::Lead(l) => said(&key, key.lead(*l)),
    };
    key.leads()
        .map(|(_, lead)| {
            let to = match &lead.outcome {
                Outcome::Couplet(c) => named(&Place::Couplet(*c)),
                Outcome::Lead(l) => named(&Place::Lead(*l)),
                Outcome::Subkey { subkey, at } => {
                    format!("{} {:?}", key.subkey(*subkey).head, at.as_ref().map(named))
                }
                Outcome::Taxa(t) => {
                    t.iter().map(|t| key.taxon(*t).name.clone()).collect::<Vec<_>>().join("/")
                }
                other => format!("{other:?}"),
            };
            format!("{} -> {to}", said(&key, lead))
        })
        .collect()
}

fn said(key: &Key, lead: &Lead) -> String {
    squeeze(&lead.body.text(key.source.text()))
}

pub fn squeeze(text: &str) -> String {
    text.split(|c: char| c.is_whitespace() || c == '\u{FEFF}')
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

fn list(texts: &[String]) -> Vec<String> {
    texts.iter().map(|t| squeeze(t)).collect()
}

/// Every piece of running text, by place.
fn segments(source: Source) -> Vec<Span> {
    let tree = parse(source).tree;
    let mut out = Vec::new();
    let mut below = |b: &[Below]| {
        notes(b).for_each(|n| out.extend(&n.value.segments));
        for item in b {
            if let Below::Text { words, .. } = item {
                out.extend(&words.segments);
            }
        }
    };
    below(&tree.heading);
    for s in &tree.sections {
        below(&s.below);
        s.entries.iter().for_each(|e| below(&e.below));
    }
    for e in tree.sections.iter().flat_map(|s| &s.entries) {
        if let Body::Lead(l) = &e.body {
            out.extend(&l.body.segments);
        }
    }
    out.sort();
    out
}

struct Meaning<'a> {
    key: &'a Key,
    segments: Vec<Span>,
    out: String,
}

impl Meaning<'_> {
    fn say(&mut self, what: &str, said: impl std::fmt::Debug) {
        let _ = writeln!(self.out, "{what}: {said:?}");
    }

    fn heading(&mut self) {
        let h = &self.key.heading;
        let one = |t: &Option<String>| t.as_deref().map(squeeze);
        let texts =
            (squeeze(&h.title), one(&h.place), one(&h.issue), one(&h.season), one(&h.licence));
        let lists = (list(&h.by), list(&h.source), list(&h.uses), list(&h.profile));
        let more = (list(&h.cautions), list(&h.remarks), h.described, h.language.code);
        self.say("heading", (texts, lists, more));
        self.intended(&self.key.heading.intended);
    }

    fn character(&mut self, c: &Character) {
        let sentences: Vec<_> = c.also.iter().map(|(s, _)| squeeze(s)).collect();
        self.say("character", (squeeze(&c.name), squeeze(&c.sentence), sentences));
        let words = (c.part.as_deref().map(squeeze), c.tool, c.ease, c.ask.as_deref().map(squeeze));
        self.say("  about", (words, &c.many, c.means.as_deref().map(squeeze), list(&c.remarks)));
        self.pictures(&c.pictures);
        match &c.kind {
            Kind::States { ordered, states, groups } => {
                self.say("  states", ordered);
                for s in states {
                    let means = s.means.as_deref().map(squeeze);
                    self.say(
                        "  state",
                        (squeeze(&s.word), list(&s.also), means, set(&s.accepts), s.only_a_look),
                    );
                    self.pictures(&s.pictures);
                }
                for g in groups {
                    self.say("  group", (squeeze(&g.word), set(&g.accepts)));
                }
            }
            other => self.say("  kind", other),
        }
        c.applies.iter().for_each(|s| self.statement(s));
        for (condition, reading, _) in &c.readings {
            match reading {
                Reading::Looks(sets) => {
                    self.say("  looks", (condition, sets.iter().map(set).collect::<Vec<_>>()));
                }
                other => self.say("  reading", (condition, other)),
            }
        }
        for t in &c.translations {
            self.say("  translation", (t.language, squeeze(&t.sentence), list(&t.states)));
        }
    }

    fn lead(&mut self, l: &Lead) {
        let origins: Option<Vec<_>> = l
            .back
            .as_ref()
            .map(|b| b.origins.iter().map(|o| (o.number, o.capital, o.letter)).collect());
        self.say(" lead", (l.label.number, l.label.capital, l.label.letter, origins));
        self.say("  says", squeeze(&l.body.text(self.key.source.text())));
        match &l.outcome {
            Outcome::Stop(reason) => self.say("  stop", squeeze(reason)),
            other => self.say("  goes", other),
        }
        self.parts(&l.parts);
        self.pictures(&l.pictures);
        self.say("  remarks", list(&l.remarks));
        self.intended(&l.intended);
    }

    fn taxon(&mut self, t: &Taxon) {
        self.say("taxon", (squeeze(&t.name), squeeze(&t.authors), t.rank, t.has_account, t.above));
        let called: Vec<_> = t.called.iter().map(|(l, n)| (l, squeeze(n))).collect();
        self.say("  called", (t.family.as_deref().map(squeeze), called, list(&t.synonyms)));
        self.say("  found", (list(&t.found), &t.abundance, &t.flowers, &t.fruits));
        self.say("  cautions", (list(&t.cautions), list(&t.remarks)));
        self.pictures(&t.pictures);
        self.parts(&t.parts);
        self.intended(&t.intended);
    }

    fn parts(&mut self, parts: &[Part]) {
        for p in parts {
            let prose = p.prose.map(|s| self.words(s));
            self.say("  part", (self.words(p.span), prose));
            p.statements.iter().for_each(|s| self.statement(s));
        }
    }

    fn statement(&mut self, s: &Statement) {
        match &s.value {
            Value::States(choices) => {
                let choices: Vec<_> =
                    choices.iter().map(|c| (set(&c.accepts), c.named, c.frequency)).collect();
                self.say("    states", (s.character, choices));
            }
            other => self.say("    value", (s.character, other)),
        }
    }

    /// The running text within a place, without the comments that may stand between its lines.
    fn words(&self, span: Span) -> String {
        let mut out = String::new();
        let from = self.segments.partition_point(|s| s.end <= span.start);
        for s in self.segments[from..].iter().take_while(|s| s.start < span.end) {
            let (a, b) = (s.start.max(span.start) as usize, s.end.min(span.end) as usize);
            out.push_str(&self.key.source.text()[a..b]);
            out.push(' ');
        }
        squeeze(&out)
    }

    fn pictures(&mut self, pictures: &[Picture]) {
        for p in pictures {
            self.say("  picture", (&p.path, &p.caption, &p.credit));
        }
    }

    fn intended(&mut self, answers: &[Intended]) {
        for a in answers {
            self.say("  intended", (squeeze(&a.rule), squeeze(&a.reason)));
        }
    }
}

fn set(s: &StateSet) -> Vec<u16> {
    s.iter().map(|s| s.0).collect()
}
