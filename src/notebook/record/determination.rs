//! A name given to a specimen, with its evidence; a confirmation is one too.

use crate::notebook::date::When;
use crate::text::name::{self, ScientificName};

use super::field::{fields, inner};

fields! {
    /// One determination.
    pub struct Determination {
        required {
            /// As the determiner wrote it, doubt and authors included.
            name: String = "name",
        }
        /// The phrase of doubt, as Darwin Core's identificationQualifier wants it.
        qualifier: Option<String> = "qualifier",
        family: Option<String> = "family",
        /// Who determined it.
        by: Vec<String> = "by",
        date: Option<When> = "date",
        /// The determination that this one confirms, by its id.
        confirms: Option<String> = "confirms",
        key: Option<KeyUsed> = "key",
        /// The leads taken, in order: `1a`, `3b`, `the poppies 2a`.
        route: Vec<String> = "route",
        /// The observations that were used, as statements or by the ids of their records.
        used: Vec<String> = "used",
        /// What the evidence left, best first.
        ranking: Vec<Ranked> = "ranking",
        /// How far the evidence reached, in a word or a sentence.
        verdict: Option<String> = "verdict",
        /// Literature beside the key.
        references: Vec<String> = "references",
        type_status: Option<String> = "type status",
        remarks: Option<String> = "remarks",
    }
}

fields! {
    /// The key that was used.
    pub struct KeyUsed {
        required {
            title: String = "title",
        }
        issue: Option<String> = "issue",
        /// `sha256:` and the digest of the key file's bytes.
        hash: Option<String> = "hash",
        file: Option<String> = "file",
    }
}

fields! {
    /// A taxon that the evidence left open.
    pub struct Ranked {
        required {
            name: String = "name",
        }
        /// The engine's figure, as it prints it.
        score: Option<String> = "score",
        /// What speaks for and against.
        fits: Vec<String> = "for",
        misfits: Vec<String> = "against",
    }
}

inner!(KeyUsed, title);
inner!(Ranked, name);

impl Determination {
    /// A determination of a name as written; the qualifier is taken out of it where it can be
    /// read.
    pub fn of(name: impl Into<String>) -> Determination {
        let mut det = Determination::new(name.into());
        det.qualifier = det.read_name().and_then(|n| n.qualifier_phrase());
        det
    }

    /// The name in parts, where it follows the Code.
    pub fn read_name(&self) -> Option<ScientificName> {
        name::read(&self.name).ok()
    }

    pub fn is_confirmation(&self) -> bool {
        self.confirms.is_some()
    }
}
