//! Leads of one couplet that one plant can satisfy together.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::reason::overlap::{Degree, Overlap, Shared};
use crate::check::reason::words::sentence;
use crate::check::rule::rule;
use crate::key::LeadId;
use crate::text::finding::{Finding, Severity};

rule! {
    /// A plant can satisfy two leads of one couplet.
    ///
    /// ## What it finds
    /// Measures that overlap, and leads, read whole, of which no character parts the plants that
    /// arrive. The usual ranges are compared: where only the extremes or rare states overlap, or
    /// where two ranges share one value at their ends, it is a note; so it is where another
    /// character parts the leads all the same. A gap between two measures is not told.
    ///
    /// ## Why it matters
    /// A plant with such a value goes either way, and half of its readers end at a wrong name.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Leaf blade 2-6 cm long .............. Betula pendula
    /// 1b  Leaf blade 4-12 cm long ............. Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade length: Leaf blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Leaf blade 2-4 cm long .............. Betula pendula
    /// 1b  Leaf blade 5-12 cm long ............. Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Narrow one of the leads, add a character that parts them, or key the plants out both ways.
    ///
    /// ## Source
    /// Univ. of Wisconsin-Madison, Botany 400, rule 7 (read, by example); Radford et al. 1974
    /// (from memory). Of the measured couplets of four printed floras about 4 in 100 truly
    /// overlap, 20 touch at one value and 61 leave a gap (measured, good to a few in 100).
    "overlapping-leads", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for overlap in &exam.bounds().overlaps {
        // Without a measure, what was not read may part them.
        let measured = overlap.shared.iter().any(|s| s.values.is_number());
        if overlap.whole || measured {
            out.push(finding(exam, overlap));
        }
    }
}

fn finding(exam: &Examination, overlap: &Overlap) -> Finding {
    let lead = |index| LeadId { couplet: overlap.couplet, index };
    let said = |s: &Shared| format!("`{}`", sentence(exam.key, s.character, &s.values));
    // Where nothing parts the leads, all that they share; else only the measures.
    let values: Vec<String> = overlap.shared.iter().map(said).collect();
    let values = list(&values, 4);
    let of = exam.of_key(exam.couplet(overlap.couplet).subkey);
    let (a, b) =
        (exam.key.lead_name(lead(overlap.first)), exam.key.lead_name(lead(overlap.second)));
    let what = match overlap.degree() {
        Degree::Touch => format!("leads {a} and {b}{of} touch: {values} satisfies both"),
        Degree::Extremes => {
            format!("leads {a} and {b}{of} overlap at their extremes: {values} satisfies both")
        }
        Degree::Usual => format!("leads {a} and {b}{of} overlap: {values} satisfies both"),
    };
    let worst = overlap.shared.iter().max_by_key(|s| (s.degree, s.values.is_number()));
    let (first, second) = worst.map_or_else(
        || {
            (
                exam.lead(lead(overlap.first)).body.span(),
                exam.lead(lead(overlap.second)).body.span(),
            )
        },
        |s| (s.first, s.second),
    );
    let mut finding = RULE
        .at(second, what)
        .why("A plant with such a value goes either way.")
        .remedy("Narrow one of the leads, or add a character that parts them.")
        .related(first, format!("lead {a}"));
    if overlap.degree() < Degree::Usual || overlap.parted_by.is_some() {
        finding.severity = Severity::Note;
    }
    if let Some(character) = overlap.parted_by {
        let name = &exam.key.character(character).name;
        finding.why = format!("`{name}` parts the leads all the same; this character does not.");
    }
    finding
}
