//! From the syntax tree to a key: what every line means, and everything that cannot be meant.

mod accounts;
mod characters;
mod collisions;
mod couplets;
mod heading;
mod looks;
pub(crate) mod names;
mod outcomes;
mod properties;
mod slips;
mod statements;
mod states;

use indexmap::IndexMap;

use super::character::Character;
use super::character::{Condition, ConditionId};
use super::lexicon::Lexicon;
use super::model::{Key, Share};
use super::taxon::TaxonId;
use crate::text::finding::{Finding, settle};
use crate::text::parse::{Parsed, parse};
use crate::text::source::Source;
use crate::text::span::Span;
use crate::text::tree::{Body, SectionKind, Tree};

pub use names::{Name, split_name};

/// What is shared by the readers of a file's sections.
struct Reader<'a> {
    tree: &'a Tree,
    text: &'a str,
    out: Vec<Finding>,
    share: Share,
    ahead: statements::Ahead<'a>,
}

impl Key {
    /// Reads one key file. Never fails; what could not be read is in [`Key::findings`].
    pub fn read(source: Source) -> Key {
        Key::of(&parse(source))
    }

    /// The key of a file that is parsed already.
    pub fn of(parsed: &Parsed) -> Key {
        let tree = &parsed.tree;
        let mut r = Reader {
            tree,
            text: tree.text(),
            out: parsed.findings.clone(),
            share: Share::default(),
            ahead: statements::Ahead::of(tree),
        };
        let conditions = r.conditions();
        let heading = r.heading(&conditions);
        let mut characters = r.characters(&conditions, heading.language);
        r.collisions(&characters, heading.language);
        let lexicon = Lexicon::new(&characters, heading.language);
        r.applies(&mut characters, &lexicon);
        let mut taxa = r.accounts(&characters, &lexicon);
        let (subkeys, couplets) = r.couplets(&characters, &lexicon, &mut taxa);
        let terms = r.terms();
        let mut findings = r.out;
        settle(&mut findings);
        Key {
            source: tree.source.clone(),
            heading,
            conditions,
            characters,
            subkeys,
            couplets,
            taxa: taxa.taxa,
            terms,
            names: taxa.names,
            share: r.share,
            findings,
        }
    }

    /// The sentences of this key, ready to read statements in its own language.
    pub fn lexicon(&self) -> Lexicon {
        Lexicon::new(&self.characters, self.heading.language)
    }
}

/// Taxa while they are gathered: accounts first, then what leads mention.
struct Taxa {
    taxa: Vec<super::taxon::Taxon>,
    names: IndexMap<String, TaxonId>,
}

impl<'a> Reader<'a> {
    fn conditions(&mut self) -> Vec<Condition> {
        let built_in = |name: &str, means: &str| Condition {
            name: name.into(),
            means: means.into(),
            span: Span::default(),
        };
        let mut out = vec![
            built_in("fresh", "as it grows, or just gathered"),
            built_in("pressed", "dried flat in a press"),
        ];
        for entry in self.entries(SectionKind::Conditions) {
            let Body::Condition { name, means } = &entry.body else { continue };
            let word = self.text[name.range()].to_lowercase();
            if let Some(old) = out.iter().find(|c| c.name == word) {
                let mut f = Finding::error(
                    "condition-twice",
                    *name,
                    format!("the condition `{word}` is there already"),
                )
                .why("A condition has one meaning in a key.");
                f = if old.span.is_empty() {
                    f.remedy("`fresh` and `pressed` are built in; delete this line.")
                } else {
                    f.remedy("Delete one of the two.").related(old.span, "it is declared here")
                };
                self.out.push(f);
                continue;
            }
            out.push(Condition {
                name: word,
                means: means.text(self.text).into_owned(),
                span: *name,
            });
        }
        out
    }

    fn entries(
        &self,
        kind: SectionKind,
    ) -> impl Iterator<Item = &'a crate::text::tree::Entry> + use<'a> {
        let tree = self.tree;
        tree.sections.iter().filter(move |s| s.kind == kind).flat_map(|s| &s.entries)
    }

    fn condition(&self, conditions: &[Condition], name: &str) -> Option<ConditionId> {
        let low = name.trim().to_lowercase();
        conditions.iter().position(|c| c.name == low).map(|i| ConditionId(i as u16))
    }
}

fn character_named(characters: &[Character], id: super::character::CharacterId) -> &str {
    &characters[id.0 as usize].name
}
