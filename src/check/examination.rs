//! What all rules look at: the key, its graph, and what can be reached, found out once.

use std::cell::OnceCell;
use std::collections::HashMap;
use std::sync::Arc;

use crate::key::couplet::Place;
use crate::key::graph::{Circle, Reached};
use crate::key::{Couplet, CoupletId, Graph, Key, Lead, LeadId, SubkeyId};
use crate::text::span::Span;

use super::accepted::Accepted;
use super::beside;
use super::branches::Branches;
use super::claims::Claims;
use super::names::{self, Pair};
use super::reason::Ground;
use super::reason::against::{Against, against};
use super::reason::bounds::Bounds;
use super::reason::courses::Courses;
use super::watch::Watch;

use super::wording::Wording;

/// Something that a fault of the key kept from being examined.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct NotExamined {
    /// `what becomes of plants that take lead 3b`.
    pub what: String,
    pub why: String,
}

static UNWATCHED: Watch = Watch::new();

/// One key under examination.
pub struct Examination<'a> {
    pub key: &'a Key,
    pub graph: Arc<Graph>,
    /// The other files at hand.
    pub beside: &'a [&'a Key],
    /// The taxa that the key should cover, where a list is given.
    pub accepted: Option<&'a Accepted>,
    /// What can be reached from the beginning and from what other files enter.
    pub reached: Reached,
    /// Where other files enter this one.
    pub entered: Vec<Place>,
    labels: HashMap<(SubkeyId, u32, Option<char>), CoupletId>,
    claims: OnceCell<Claims>,
    near: OnceCell<Vec<Pair>>,
    circles: OnceCell<Vec<Circle>>,
    watch: &'a Watch,
    ground: OnceCell<Ground<'a>>,
    bounds: OnceCell<Bounds>,
    courses: OnceCell<Courses>,
    against: OnceCell<Vec<Against>>,
    wording: OnceCell<Wording>,
    branches: OnceCell<Branches>,
}

impl<'a> Examination<'a> {
    pub fn new(
        key: &'a Key,
        beside: &'a [&'a Key],
        accepted: Option<&'a Accepted>,
    ) -> Examination<'a> {
        Examination::watched(key, beside, accepted, &UNWATCHED)
    }

    /// The same, with long work that can be broken off.
    pub fn watched(
        key: &'a Key,
        beside: &'a [&'a Key],
        accepted: Option<&'a Accepted>,
        watch: &'a Watch,
    ) -> Examination<'a> {
        let graph = Arc::new(Graph::new(key));
        let entered = beside::entered(key, beside);
        let start = graph.start().map(Place::Couplet);
        let reached = graph.reach(start.into_iter().chain(entered.iter().copied()));
        let mut labels = HashMap::with_capacity(key.couplets.len());
        for (id, c) in key.couplets() {
            labels.entry((c.subkey, c.number, c.capital)).or_insert(id);
        }
        Examination {
            key,
            graph,
            beside,
            accepted,
            reached,
            entered,
            labels,
            claims: OnceCell::new(),
            near: OnceCell::new(),
            circles: OnceCell::new(),
            watch,
            ground: OnceCell::new(),
            bounds: OnceCell::new(),
            courses: OnceCell::new(),
            against: OnceCell::new(),
            wording: OnceCell::new(),
            branches: OnceCell::new(),
        }
    }

    /// The couplet that bears this number in a key; the first where several do.
    pub fn numbered(
        &self,
        subkey: SubkeyId,
        number: u32,
        capital: Option<char>,
    ) -> Option<CoupletId> {
        self.labels.get(&(subkey, number, capital)).copied()
    }

    /// What the back-references claim, and which pointers they put in doubt.
    pub(super) fn claims(&self) -> &Claims {
        self.claims.get_or_init(|| Claims::of(self))
    }

    /// Pairs of names that differ by one or two letters.
    pub(super) fn near_names(&self) -> &[Pair] {
        self.near.get_or_init(|| names::near(self.key))
    }

    /// What the leads say, word by word and feature by feature.
    pub(super) fn wording(&self) -> &Wording {
        self.wording.get_or_init(|| Wording::of(self.key))
    }

    /// How much lies behind each lead.
    pub(super) fn branches(&self) -> &Branches {
        self.branches.get_or_init(|| Branches::of(self.key, &self.graph))
    }

    /// The leads of a couplet.
    pub fn leads(&self, couplet: CoupletId) -> impl Iterator<Item = LeadId> + use<> {
        (0..self.couplet(couplet).leads.len()).map(move |i| LeadId { couplet, index: i as u16 })
    }

    /// The title; where there is none, the beginning of the file.
    pub fn title_place(&self) -> Span {
        let (text, lines) = (self.key.source.text(), self.key.source.lines());
        let title = (0..lines.lines()).map(|i| lines.line_span(text, i)).find(|l| {
            let line = text[l.range()].trim();
            !line.is_empty() && !line.starts_with('#')
        });
        title.filter(|_| !self.key.heading.title.is_empty()).unwrap_or_default()
    }

    /// The circular routes.
    pub fn circles(&self) -> &[Circle] {
        self.circles.get_or_init(|| self.graph.circles())
    }

    /// What the leads demand.
    pub fn ground(&self) -> &Ground<'a> {
        self.ground.get_or_init(|| Ground::new(self.key, Arc::clone(&self.graph)))
    }

    /// What a plant can still be at every couplet, and what follows from that.
    pub fn bounds(&self) -> &Bounds {
        self.bounds.get_or_init(|| Bounds::of(self.ground()))
    }

    /// Every taxon run through the key from its account.
    pub fn courses(&self) -> &Courses {
        self.courses.get_or_init(|| {
            let reached = |lead| self.reached.lead(lead);
            let cut_off = self.graph.cut_off(&self.reached);
            let heads: Vec<Place> = cut_off.iter().map(|c| Place::Couplet(c.head)).collect();
            Courses::of(self.ground(), reached, &self.entered, &heads, self.watch)
        })
    }

    /// Leads that the accounts behind them speak against.
    pub fn against(&self) -> &[Against] {
        self.against.get_or_init(|| against(self.ground(), self.courses()))
    }

    /// What was left out of the examination for a fault of the key, and why.
    pub fn not_examined(&self) -> Vec<NotExamined> {
        let mut out = Vec::new();
        let name = |l: &LeadId| self.lead_name(*l);
        let closing: Vec<String> = self.ground().closing().iter().map(name).collect();
        if closing.is_empty() {
            return out;
        }
        let why = "a route goes round in a circle (circular-route)".to_string();
        let what = format!("what becomes of plants that take {}", list(&closing, 6));
        out.push(NotExamined { what, why: why.clone() });
        let what = "how evenly couplets divide the key".to_string();
        out.push(NotExamined { what, why });
        out
    }

    pub fn watch(&self) -> &'a Watch {
        self.watch
    }

    pub fn lead(&self, id: LeadId) -> &'a Lead {
        self.key.lead(id)
    }

    pub fn couplet(&self, id: CoupletId) -> &'a Couplet {
        self.key.couplet(id)
    }

    /// The label of a couplet's first lead: where the couplet stands.
    pub fn place(&self, id: CoupletId) -> Span {
        self.couplet(id).leads.first().map_or(Span::default(), |l| l.label.span)
    }

    /// The lead's outcome, or its label where none is written.
    pub fn outcome_place(&self, id: LeadId) -> Span {
        let lead = self.lead(id);
        if lead.outcome_words.is_empty() { lead.label.span } else { lead.outcome_words.span() }
    }

    /// ` of "key to the poppies"` where the file has several keys; else nothing.
    pub fn of_key(&self, subkey: SubkeyId) -> String {
        if self.key.subkeys.len() < 2 {
            return String::new();
        }
        format!(" of `{}`", self.head(subkey))
    }

    /// A key's heading with single blanks; its beginning where it is very long.
    pub fn head(&self, subkey: SubkeyId) -> String {
        let head = &self.key.subkey(subkey).head;
        let end = head.char_indices().nth(80).map_or(head.len(), |(i, _)| i);
        let words: Vec<&str> = head[..end].split_whitespace().collect();
        let cut = if end < head.len() { "…" } else { "" };
        words.join(" ") + cut
    }

    /// `couplet 7`, `couplet 7 of "key to the poppies"`.
    pub fn couplet_name(&self, id: CoupletId) -> String {
        let c = self.couplet(id);
        format!("couplet {}{}", c.name(), self.of_key(c.subkey))
    }

    /// `lead 7a`, `lead 7a of "key to the poppies"`.
    pub fn lead_name(&self, id: LeadId) -> String {
        let subkey = self.couplet(id.couplet).subkey;
        format!("lead {}{}", self.key.lead_name(id), self.of_key(subkey))
    }
}

/// `a, b and c`; beyond `most`, how many more there are.
pub(super) fn list<S: AsRef<str>>(items: &[S], most: usize) -> String {
    let shown = if items.len() > most { &items[..most.saturating_sub(1).max(1)] } else { items };
    let words: Vec<&str> = shown.iter().map(AsRef::as_ref).collect();
    match (words.as_slice(), items.len() - shown.len()) {
        ([], _) => String::new(),
        ([one], 0) => one.to_string(),
        ([first @ .., last], 0) => format!("{} and {last}", first.join(", ")),
        (many, more) => format!("{} and {more} more", many.join(", ")),
    }
}

/// `1 couplet`, `2 couplets`.
pub(super) fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
