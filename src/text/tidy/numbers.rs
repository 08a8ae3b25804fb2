//! Couplets numbered anew, and back-references written, as changes of the text.

use std::collections::BTreeMap;

use super::prose;
use super::{BackReferences, Remark, RemarkKind, TidyOptions};
use crate::text::language::{Language, fold};
use crate::text::pointer::{self, Pointer};
use crate::text::span::Span;
use crate::text::tree::{Back, Body, Lead, SectionKind, Tree};

/// What is to be changed in a text, and what to say of it.
#[derive(Default)]
pub(super) struct Plan {
    pub edits: Vec<(Span, String)>,
    pub renumbered: usize,
    pub back_references: usize,
    pub remarks: Vec<Remark>,
}

/// A key of the file: its couplets in the order of the text.
pub(super) struct Numbered<'a> {
    head: String,
    couplets: Vec<Couplet<'a>>,
    /// The first couplet of each number.
    by_number: BTreeMap<(u32, Option<char>), usize>,
    /// Whether its couplets get new numbers.
    pub renumbers: bool,
}

pub(super) struct Couplet<'a> {
    leads: Vec<&'a Lead>,
    /// The couplets of the same key that lead here, in the order of the text, each once.
    origins: Vec<usize>,
}

pub(super) fn plan(tree: &Tree, options: &TidyOptions) -> Plan {
    let mut plan = Plan::default();
    if !options.renumber && options.back_references == BackReferences::Keep {
        return plan;
    }
    let mut keys = keys(tree);
    follow(tree, &mut keys, options, &mut plan);
    for key in &keys {
        for (i, couplet) in key.couplets.iter().enumerate() {
            for lead in &couplet.leads {
                label(tree.text(), key, i, lead, &mut plan);
            }
            backs(key, i, options.back_references, &mut plan);
        }
    }
    if options.renumber {
        plan.renumbered = keys.iter().map(Numbered::changed).sum();
        prose::report(tree, &keys, &mut plan.remarks);
    }
    plan
}

/// The text with its changes made.
pub(super) fn edited(text: &str, edits: &mut [(Span, String)]) -> String {
    edits.sort();
    let mut out = String::with_capacity(text.len() + 64);
    let mut at = 0;
    for (span, new) in edits.iter() {
        // No two changes overlap: labels, origins and outcomes are places apart.
        if (span.start as usize) < at {
            continue;
        }
        out.push_str(&text[at..span.start as usize]);
        out.push_str(new);
        at = span.end as usize;
    }
    out.push_str(&text[at..]);
    out
}

impl Numbered<'_> {
    /// The number of a couplet as it will be written.
    fn number(&self, couplet: usize) -> String {
        if self.renumbers { (couplet + 1).to_string() } else { name(self.old(couplet)) }
    }

    fn old(&self, couplet: usize) -> (u32, Option<char>) {
        let label = self.couplets[couplet].leads[0].label;
        (label.number, label.capital)
    }

    fn changed(&self) -> usize {
        (0..self.couplets.len()).filter(|&i| self.is_changed(i)).count()
    }

    fn is_changed(&self, couplet: usize) -> bool {
        self.renumbers && self.old(couplet) != (couplet as u32 + 1, None)
    }

    /// The new number of what bore an old one; `None` where nothing changes.
    pub fn moved(&self, number: (u32, Option<char>)) -> Option<String> {
        let couplet = *self.by_number.get(&number)?;
        self.is_changed(couplet).then(|| self.number(couplet))
    }
}

fn name((number, capital): (u32, Option<char>)) -> String {
    match capital {
        Some(c) => format!("{number}{c}"),
        None => number.to_string(),
    }
}

fn keys(tree: &Tree) -> Vec<Numbered<'_>> {
    let mut out = Vec::new();
    for section in tree.sections.iter().filter(|s| s.kind == SectionKind::Key) {
        let head = section.head.text(tree.text());
        let mut key = Numbered {
            head: if head.is_empty() { "key".into() } else { fold(&head) },
            couplets: Vec::new(),
            by_number: BTreeMap::new(),
            renumbers: false,
        };
        let mut last = None;
        for entry in &section.entries {
            let Body::Lead(lead) = &entry.body else { continue };
            let number = (lead.label.number, lead.label.capital);
            match key.couplets.last_mut() {
                Some(couplet) if last == Some(number) => couplet.leads.push(lead),
                _ => {
                    // Of two with one number the first is meant by pointers.
                    key.by_number.entry(number).or_insert(key.couplets.len());
                    key.couplets.push(Couplet { leads: vec![lead], origins: Vec::new() });
                }
            }
            last = Some(number);
        }
        out.push(key);
    }
    out
}

/// A pointer to a couplet: from which key and couplet, to which, and where its number stands.
struct Arrow {
    from: (usize, usize),
    to: (usize, Option<usize>),
    lead: Span,
    at: Span,
    letter: Option<char>,
}

/// Follows every pointer: notes the origins, decides which keys can be numbered anew, and changes
/// the numbers after the dots.
fn follow(tree: &Tree, keys: &mut [Numbered<'_>], options: &TidyOptions, plan: &mut Plan) {
    let arrows = arrows(tree, keys, tree.language());
    for key in keys.iter_mut() {
        key.renumbers = options.renumber;
    }
    for arrow in &arrows {
        let (key, couplet) = arrow.to;
        match couplet {
            Some(couplet) if arrow.from.0 == key => {
                let origins = &mut keys[key].couplets[couplet].origins;
                if !origins.contains(&arrow.from.1) {
                    origins.push(arrow.from.1);
                }
            }
            // With new numbers it might come to point at some couplet.
            None if keys[key].renumbers => {
                keys[key].renumbers = false;
                plan.remarks.push(not_renumbered(tree, &keys[key].head, arrow));
            }
            _ => {}
        }
    }
    for arrow in arrows {
        if let (key, Some(couplet)) = arrow.to
            && keys[key].is_changed(couplet)
        {
            let letter = arrow.letter.map(String::from).unwrap_or_default();
            plan.edits.push((arrow.at, format!("{}{letter}", keys[key].number(couplet))));
        }
    }
}

fn not_renumbered(tree: &Tree, head: &str, arrow: &Arrow) -> Remark {
    let label = &tree.text()[arrow.lead.range()];
    let target = &tree.text()[arrow.at.range()];
    Remark {
        kind: RemarkKind::NotRenumbered,
        span: arrow.at,
        words: format!(
            "`{head}` keeps its numbers: {label} points to {target}, which is not there, and with \
             new numbers it might lead to a couplet that nobody meant. Mend it, then renumber."
        ),
    }
}

fn arrows(tree: &Tree, keys: &[Numbered<'_>], language: &Language) -> Vec<Arrow> {
    let mut out = Vec::new();
    for (k, key) in keys.iter().enumerate() {
        for (c, couplet) in key.couplets.iter().enumerate() {
            for lead in &couplet.leads {
                let text = lead.outcome.text(tree.text());
                let (target, (number, capital, letter), at) = match pointer::read(&text, language) {
                    Some(Pointer::Couplet { place, at, .. }) => (k, place, at),
                    Some(Pointer::Key { head, at: Some(entry), file: None }) => {
                        let Some(target) = keys.iter().position(|k| k.head == head) else {
                            continue;
                        };
                        (target, entry.place, entry.at)
                    }
                    _ => continue,
                };
                out.push(Arrow {
                    from: (k, c),
                    to: (target, keys[target].by_number.get(&(number, capital)).copied()),
                    lead: lead.label.span,
                    at: lead.outcome.locate_span(at.start, at.end),
                    letter,
                });
            }
        }
    }
    out
}

fn label(text: &str, key: &Numbered<'_>, couplet: usize, lead: &Lead, plan: &mut Plan) {
    if !key.renumbers {
        return;
    }
    let span = lead.label.span;
    let written = &text[span.range()];
    let core = written.trim_end_matches(['.', ':', ')']);
    let letter = lead.label.letter.map(String::from).unwrap_or_default();
    let new = format!("{}{letter}", key.number(couplet));
    if new != core {
        let core = Span::new(span.start as usize, span.start as usize + core.len());
        plan.edits.push((core, new));
    }
}

/// The back-references of one couplet's leads.
fn backs(key: &Numbered<'_>, couplet: usize, wish: BackReferences, plan: &mut Plan) {
    let leads = &key.couplets[couplet].leads;
    if wish == BackReferences::Drop {
        for lead in leads {
            if let Some(back) = &lead.back {
                let label = lead.label.span.end as usize;
                plan.edits.push((Span::new(label, back.span.end as usize), String::new()));
                plan.back_references += 1;
            }
        }
        return;
    }
    let origins = &key.couplets[couplet].origins;
    let first_with = leads.iter().position(|l| l.back.is_some());
    let right = leads.iter().filter_map(|l| l.back.as_ref()).any(|b| names(key, b, origins));
    let rewrite = wish == BackReferences::Write && !right && !origins.is_empty();
    for (i, lead) in leads.iter().enumerate() {
        match &lead.back {
            Some(back) if rewrite && Some(i) == first_with => {
                let new = written(key, origins);
                plan.remarks.push(corrected(back, &new, lead));
                plan.edits.push((back.span, new));
                plan.back_references += 1;
            }
            Some(back) => {
                for origin in &back.origins {
                    if let Some(new) = key.moved((origin.number, origin.capital)) {
                        let letter = origin.letter.map(String::from).unwrap_or_default();
                        plan.edits.push((origin.span, format!("{new}{letter}")));
                    }
                }
            }
            None => {}
        }
    }
    // Where it is reached from the couplet above, and from nowhere else, nothing need be said.
    let from_above = origins.len() == 1 && origins[0] + 1 == couplet;
    if rewrite && first_with.is_none() && !from_above {
        let at = leads[0].label.span.end as usize;
        plan.edits.push((Span::at(at), format!(" {}", written(key, origins))));
        plan.back_references += 1;
    }
}

fn names(key: &Numbered<'_>, back: &Back, origins: &[usize]) -> bool {
    let mut named: Vec<Option<usize>> =
        back.origins.iter().map(|o| key.by_number.get(&(o.number, o.capital)).copied()).collect();
    named.sort_unstable();
    named.dedup();
    named.len() == origins.len() && named.iter().zip(origins).all(|(a, b)| *a == Some(*b))
}

fn written(key: &Numbered<'_>, origins: &[usize]) -> String {
    let numbers: Vec<String> = origins.iter().map(|&o| key.number(o)).collect();
    format!("({})", numbers.join(", "))
}

fn corrected(back: &Back, new: &str, lead: &Lead) -> Remark {
    let said: Vec<String> = back.origins.iter().map(|o| name((o.number, o.capital))).collect();
    let label = name((lead.label.number, lead.label.capital));
    Remark {
        kind: RemarkKind::BackReferenceCorrected,
        span: back.span,
        words: format!(
            "Couplet {label} said that it is reached from {}; by the pointers it is {new} now. If \
             the back-reference was right, a pointer is wrong.",
            said.join(", ")
        ),
    }
}
