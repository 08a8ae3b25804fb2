//! Accounts that no lead on the way to the taxon tests.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// No lead tests anything that the account says.
    ///
    /// ## What it finds
    /// Accounts with statements that were read, of a taxon on whose way no couplet asks for any of
    /// their characters. A key none of whose leads was read is left alone.
    ///
    /// ## Why it matters
    /// Account and key speak of different things: neither can confirm the other.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue; leaves entire.
    ///
    /// Papaver rhoeas L.
    ///   Leaves lobed.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// leaves: Leaves _
    ///   states    lobed, entire
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue; leaves entire.
    ///
    /// Papaver rhoeas L.
    ///   Petals red; leaves lobed.
    /// ```
    ///
    /// ## Remedy
    /// Say in the account what the key asks, or ask in the key what the account says.
    ///
    /// ## Source
    /// Flora of North America, "Content": key characters are repeated in the descriptions (read).
    "account-never-tested", Note, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    if !exam.ground().reads_anything() {
        return;
    }
    for run in exam.courses().of.iter().filter(|run| !run.course.tested) {
        let taxon = exam.key.taxon(run.course.taxon);
        out.push(
            RULE.at(taxon.span, format!("no lead on the way to {} tests its account", taxon.name))
                .why("Account and key speak of different things: neither can confirm the other.")
                .remedy("Say in the account what the key asks, or ask in the key what it says."),
        );
    }
}
