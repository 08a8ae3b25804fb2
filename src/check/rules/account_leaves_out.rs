//! Characters that the key uses on the way to a taxon and that its account leaves out.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// An account says nothing of characters that the key uses.
    ///
    /// ## What it finds
    /// Characters, read in the leads on the way to a taxon, of which its account and those it
    /// inherits say nothing. One finding for each taxon. A taxon without any account that was read
    /// is left alone.
    ///
    /// ## Why it matters
    /// Whether the plant really goes this way cannot be shown, and a reader who wants to confirm a
    /// name finds nothing to hold the plant against.
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
    /// 1a  Petals red; leaves lobed ............ Papaver rhoeas
    /// 1b  Petals blue; leaves entire .......... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Centaurea cyanus L.
    ///   Petals blue.
    ///
    /// Papaver rhoeas L.
    ///   Petals red; leaves lobed.
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
    /// 1a  Petals red; leaves lobed ............ Papaver rhoeas
    /// 1b  Petals blue; leaves entire .......... Centaurea cyanus
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
    /// Say in the account what the key asks.
    ///
    /// ## Source
    /// Flora of North America, "Content": key characters are repeated in the descriptions (read).
    "account-leaves-out", Note, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for run in &exam.courses().of {
        let left_out = &run.course.left_out;
        if left_out.is_empty() || !run.course.tested {
            continue;
        }
        let taxon = exam.key.taxon(run.course.taxon);
        let names: Vec<String> =
            left_out.iter().map(|c| format!("`{}`", exam.key.character(*c).name)).collect();
        let names = match run.course.left_out_count - left_out.len() {
            0 => list(&names, names.len()),
            more => format!("{} and {more} more", names.join(", ")),
        };
        out.push(
            RULE.at(
                taxon.span,
                format!(
                    "the account of {} says nothing of {}, which the key asks",
                    taxon.name, names
                ),
            )
            .why("Whether the plant really goes this way cannot be shown.")
            .remedy("Say in the account what the key asks."),
        );
    }
}
