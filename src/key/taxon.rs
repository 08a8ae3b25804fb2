//! Taxa, their accounts, and the terms of the glossary.

use crate::text::span::Span;

use super::character::Picture;
use super::couplet::Intended;
use super::statement::{Part, Statement};

/// Index of a taxon in its key file: accounts first, in the order of the text, then the names that
/// only leads mention.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TaxonId(pub u32);

#[derive(Clone, Debug, Default)]
pub struct Taxon {
    /// The name without authors: `Papaver rhoeas`.
    pub name: String,
    /// The authors as written: `L.`; empty where none are given.
    pub authors: String,
    /// Where the name stands: in `taxa`, else in the first lead that mentions it.
    pub span: Span,
    pub rank: Rank,
    /// It has an entry under `taxa`.
    pub has_account: bool,
    pub family: Option<String>,
    /// The taxon whose account it inherits: `under`, else its genus', else its family's account.
    pub above: Option<TaxonId>,
    /// Common names: language code (`None` is the key's own) and name.
    pub called: Vec<(Option<&'static str>, String)>,
    pub synonyms: Vec<String>,
    /// `found` as written, and the abundance word read from it with its weight.
    pub found: Vec<String>,
    pub abundance: Option<(String, f64)>,
    /// Months 1 to 12.
    pub flowers: Vec<u8>,
    pub fruits: Vec<u8>,
    pub cautions: Vec<String>,
    pub remarks: Vec<String>,
    pub pictures: Vec<Picture>,
    /// What its own account says, in the order of the text.
    pub parts: Vec<Part>,
    pub intended: Vec<Intended>,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// Family, order or any group that is no genus and no species.
    Group,
    Genus,
    #[default]
    Species,
    /// Subspecies, variety, form.
    BelowSpecies,
}

impl Taxon {
    /// What the taxon's own account says, without what it inherits.
    pub fn own_statements(&self) -> impl Iterator<Item = &Statement> {
        self.parts.iter().flat_map(|p| &p.statements)
    }

    /// Name with authors.
    pub fn full_name(&self) -> String {
        if self.authors.is_empty() {
            self.name.clone()
        } else {
            format!("{} {}", self.name, self.authors)
        }
    }
}

/// A glossary entry.
#[derive(Clone, Debug)]
pub struct Term {
    pub word: String,
    pub also: Vec<String>,
    pub definition: String,
    pub pictures: Vec<Picture>,
    pub span: Span,
}
