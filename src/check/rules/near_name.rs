//! Names that could be one name misspelt.

use fixedbitset::FixedBitSet;

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::examination::counted;
use crate::check::rule::rule;
use crate::key::{Key, Outcome, Taxon, TaxonId};
use crate::text::finding::{Finding, Severity};
use crate::text::language::fold;

rule! {
    /// Two names differ by one or two letters.
    ///
    /// ## What it finds
    /// Names of which either the genus or the rest is the same, and the other half differs by one
    /// letter, by two in words of six letters or more, or by two letters that changed places. A half
    /// that has an account, or stands in two leads or more, is taken as established: where both are,
    /// nothing is said, and where neither is, it is a note. Names with figures in them are left out,
    /// and names that are near to more than three others. In a genus of more than 64 species some
    /// pairs may be missed.
    ///
    /// ## Why it matters
    /// `Papaver rhoeas` and `Papaver rhoeus` are one plant, and count as two.
    ///
    /// ## Example
    /// ```key-bad
    /// Poppies of the school garden
    ///
    /// key
    ///
    /// 1a  Capsule round ....................... 2
    /// 1b  Capsule long ........................ Papaver rhoeus
    ///
    /// 2a  Petals red .......................... Papaver rhoeas
    /// 2b  Petals white ........................ Papaver somniferum
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    /// ```
    /// ```key-good
    /// Poppies of the school garden
    ///
    /// key
    ///
    /// 1a  Capsule round ....................... 2
    /// 1b  Capsule long ........................ Papaver dubium
    ///
    /// 2a  Petals red .......................... Papaver rhoeas
    /// 2b  Petals white ........................ Papaver somniferum
    /// ```
    ///
    /// ## Remedy
    /// Correct the name that is wrong; nothing where both plants exist.
    ///
    /// ## Source
    /// Practice of the trade: names in the key agree with the text, spelling included. Met in print
    /// (own count). Real pairs exist (`Carex flava` and `Carex flacca`), so it is no error.
    "near-name", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let uses = Uses::of(exam.key);
    for pair in exam.near_names() {
        let (first, second) = (exam.key.taxon(pair.first), exam.key.taxon(pair.second));
        // One slip, one message: an account that no lead names has a rule that tells of both.
        let lost = |t: &Taxon, id: TaxonId| t.has_account && !uses.keyed.contains(id.0 as usize);
        if (lost(first, pair.first) && !second.has_account)
            || (lost(second, pair.second) && !first.has_account)
        {
            continue;
        }
        let known = (uses.knows(first, second), uses.knows(second, first));
        let severity = match known {
            (true, true) => continue,
            (false, false) => Severity::Note,
            _ => Severity::Warning,
        };
        // The name that is not established is the likelier slip; else the later one.
        let (doubted, other) = match known {
            (false, true) => (first, second),
            (true, false) => (second, first),
            _ if first.span > second.span => (first, second),
            _ => (second, first),
        };
        let letters = counted(pair.letters, "letter");
        let mut finding = RULE
            .at(doubted.span, format!("{} is {letters} from {}", doubted.name, other.name))
            .why("If they are one plant, it counts as two.")
            .remedy("Correct the name that is wrong; nothing, if both plants exist.")
            .related(other.span, "the other name");
        finding.severity = severity;
        out.push(finding);
    }
}

/// How often a name is used that is established. An account is enough by itself.
const ENOUGH: usize = 2;

/// How often each first word of a name, and each whole name, is used.
struct Uses {
    words: HashMap<String, usize>,
    names: HashMap<String, usize>,
    /// The taxa that leads name.
    keyed: FixedBitSet,
}

impl Uses {
    fn of(key: &Key) -> Uses {
        let mut uses = Uses {
            words: HashMap::new(),
            names: HashMap::new(),
            keyed: FixedBitSet::with_capacity(key.taxa.len()),
        };
        let accounts = key.taxa.iter().filter(|t| t.has_account);
        accounts.for_each(|t| uses.add(t, ENOUGH));
        for (_, lead) in key.leads() {
            if let Outcome::Taxa(taxa) = &lead.outcome {
                taxa.iter().for_each(|t| uses.add(key.taxon(*t), 1));
                uses.keyed.extend(taxa.iter().map(|t| t.0 as usize));
            }
        }
        uses
    }

    fn add(&mut self, taxon: &Taxon, times: usize) {
        let name = fold(&taxon.name);
        *self.words.entry(genus(&name).to_string()).or_default() += times;
        *self.names.entry(name).or_default() += times;
    }

    // Whether the half of the name that differs from `other` is used elsewhere too.
    fn knows(&self, taxon: &Taxon, other: &Taxon) -> bool {
        let (name, other) = (fold(&taxon.name), fold(&other.name));
        let same_genus = genus(&name) == genus(&other);
        let count = if same_genus { self.names.get(&name) } else { self.words.get(genus(&name)) };
        count.is_some_and(|n| *n >= ENOUGH)
    }
}

fn genus(folded: &str) -> &str {
    folded.split(' ').next().unwrap_or(folded)
}
