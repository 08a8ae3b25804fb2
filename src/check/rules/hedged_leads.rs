//! How many couplets hold only usually.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// Some couplets hold only usually: a count.
    ///
    /// ## What it finds
    /// The number of couplets in which some lead has a word of frequency (`usually`, `often`,
    /// `rarely`). One note a file, at the first of them.
    ///
    /// ## Why it matters
    /// No fault: plants vary. A key in which it stands in every second couplet may be looked over for
    /// characters that are more constant.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves usually lobed; bark rough .... Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Nothing, where the plants are so. Else look for a more constant character.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, hints for using keys ("weasel words"). Met in 20
    /// to 43 couplets of 100 in five printed floras (own count).
    "hedged-leads", Note, Sure, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    let hedges = Kinds::HEDGE.and(Kinds::EXCEPTION);
    let mut first = None;
    let mut count = 0;
    for (id, _) in exam.key.couplets() {
        let words = wording.couplet(id).iter().flat_map(|said| &said.words);
        let hedge = words.into_iter().find(|w| !w.in_remark && wording.kinds(w).has(hedges));
        if let Some(word) = hedge {
            first = first.or(Some(word.span));
            count += 1;
        }
    }
    let Some(span) = first else { return };
    let all = exam.key.couplets.len();
    let share = 100.0 * f64::from(count) / all as f64;
    out.push(
        RULE.at(
            span,
            format!(
                "{count} of {all} couplets hold only usually, often or rarely ({share:.0} in 100)"
            ),
        )
        .why("In printed floras it is 20 to 43 of 100.")
        .remedy("Nothing, where the plants are so; else look for a more constant character."),
    );
}
