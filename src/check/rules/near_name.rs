//! Names that could be one name misspelt.

use crate::check::Examination;
use crate::check::examination::counted;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// Two names differ by one or two letters.
    ///
    /// ## What it finds
    /// Names of which either the genus or the rest is the same, and the other half differs by one
    /// letter, by two in words of six letters or more, or by two letters that changed places. Names
    /// with figures in them are left out, and names that are near to more than three others. In a genus of more than 64 species some pairs may be
    /// missed.
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
    /// 1b  Capsule long ........................ Papaver dubium
    ///
    /// 2a  Petals red .......................... Papaver rhoeas
    /// 2b  Petals white ........................ Papaver rhoeus
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
    /// Ours. A note and no more, since real pairs exist (`Carex flava` and `Carex flacca`).
    "near-name", Note, Weak, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for pair in exam.near_names() {
        let (first, second) = (exam.key.taxon(pair.first), exam.key.taxon(pair.second));
        // The name without an account is the likelier slip; else the later one.
        let (doubted, other) = match (first.has_account, second.has_account) {
            (false, true) => (first, second),
            (true, false) => (second, first),
            _ if first.span > second.span => (first, second),
            _ => (second, first),
        };
        let letters = counted(pair.letters, "letter");
        out.push(
            RULE.at(doubted.span, format!("{} is {letters} from {}", doubted.name, other.name))
                .why("If they are one plant, it counts as two.")
                .remedy("Correct the name that is wrong; nothing, if both plants exist.")
                .related(other.span, "the other name"),
        );
    }
}
