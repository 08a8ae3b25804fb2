//! What a person looks up in the session: the taxa still possible, an account, the trail as a file.

use std::collections::BTreeSet;

use anyhow::Result;

use super::pages;
use super::session::Session;
use crate::cli::paper::Paper;
use crate::key::{Key, Library, TaxonId};
use crate::text::language::fold;
use crate::walk::{Event, View};

impl Session<'_, '_> {
    pub(super) fn possible(&mut self, view: &View) -> Result<bool> {
        let possible: BTreeSet<String> = self
            .walk
            .possible(view)
            .into_iter()
            .map(|(k, t)| pages::named(&self.library.keys[k], t, self.language))
            .collect();
        let mut page = String::new();
        for name in &possible {
            page.push_str(&format!("  {name}\n"));
        }
        page.push_str(&format!("{} possible.\n", possible.len()));
        self.tell(&page)
    }

    pub(super) fn account(&mut self, name: &str) -> Result<bool> {
        match find_taxon(self.library, name) {
            Found::One(key, id) => {
                let page = pages::account(&self.paper(), key, id, self.language);
                self.tell(&page)
            }
            Found::Several(names) => self.tell(&format!("Which one? {}\n", names.join(", "))),
            Found::None => self.tell(&format!(
                "The key has no taxon `{name}`; `possible` lists those still open.\n"
            )),
        }
    }

    /// The trail and the ends as text, into a file that does not exist yet.
    pub(super) fn save(&mut self, file: &str, view: &View) -> Result<bool> {
        let paper = Paper { width: 80, colour: false };
        let mut page = pages::opening(&paper, self.library.main(), self.walk.possible(view).len());
        if let Some(route) = &view.asked {
            let taken: Vec<_> =
                route.steps.iter().map(|s| self.walk.taken_step(s, self.language)).collect();
            page.push_str(&pages::trail(&paper, &taken));
            page.push_str("Not finished.\n");
        }
        for i in 0..view.ends.len() {
            page.push_str(&pages::end(
                &paper,
                &self.walk,
                &view.ends[i],
                self.language,
                &self.held(&view.ends[i]),
            ));
        }
        for event in self.walk.events() {
            if let Event::Remarked { text } = event {
                page.push_str(&format!("Remark: {text}\n"));
            }
        }
        let written = std::fs::OpenOptions::new().write(true).create_new(true).open(file).and_then(
            |mut f| std::io::Write::write_all(&mut f, page.as_bytes()).and_then(|()| f.sync_all()),
        );
        match written {
            Ok(()) => self.tell(&format!("Written to {file}.\n")),
            Err(e) => self.tell(&format!(
                "{file} was not written: {e}. Name a file that does not exist yet.\n"
            )),
        }
    }
}

/// What a typed name finds.
pub enum Found<'k> {
    One(&'k Key, TaxonId),
    Several(Vec<String>),
    None,
}

/// A taxon by its name, a synonym, a common name, or the beginning of one.
pub fn find_taxon<'k>(library: &'k Library, name: &str) -> Found<'k> {
    let low = fold(name);
    let mut begins: Vec<(&Key, TaxonId)> = Vec::new();
    for key in &library.keys {
        if let Some(&id) = key.names.get(&low) {
            return Found::One(key, id);
        }
        for id in key.taxon_ids() {
            let t = key.taxon(id);
            if t.called.iter().any(|(_, n)| fold(n) == low) {
                return Found::One(key, id);
            }
            let part = fold(&t.name).starts_with(&low)
                || t.name.split(' ').nth(1).is_some_and(|e| fold(e) == low);
            if part {
                begins.push((key, id));
            }
        }
    }
    match begins.as_slice() {
        [] => Found::None,
        [(key, id)] => Found::One(key, *id),
        many => {
            Found::Several(many.iter().take(12).map(|(k, t)| k.taxon(*t).name.clone()).collect())
        }
    }
}
