//! Keys that part their characters now by one mark, now by another.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A lead parts its characters by another mark than most leads of the key.
    ///
    /// ## What it finds
    /// Leads that part characters by full stops or commas in a key whose leads mostly have semicolons,
    /// or the other way round. A comma counts where a part of the plant is named after it, in prose.
    /// Silent unless it is asked for: `profile  one punctuation`.
    ///
    /// ## Why it matters
    /// Where a character ends must be seen at a glance; a comma also stands within characters.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   one punctuation
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Leaves lobed. Bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   one punctuation
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ 2
    ///
    /// 2a  Leaves lobed; bark rough ............ Quercus robur
    /// 2b  Leaves heart-shaped; bark smooth .... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Use one mark throughout the key; semicolons are the commonest.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, on key construction, rule 3: semicolons. Flora of
    /// Nepal, guidelines for contributors, section 6.3: a sentence each. Either, but one of them.
    "mixed-punctuation", Note, Sure, ["one punctuation"], examine; style
}

/// In the order of preference where two are as common.
const MARKS: [(char, &str); 3] = [(';', "a semicolon"), ('.', "a full stop"), (',', "a comma")];

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut used = [0_usize; MARKS.len()];
    let mut places: Vec<(usize, Span)> = Vec::new();
    for (lead, written) in exam.key.leads() {
        let mut own = [None; MARKS.len()];
        for pair in written.parts.windows(2) {
            let between = Span { start: pair[0].span.end, end: pair[1].span.start };
            let text = exam.key.source.slice(between);
            for (i, (mark, _)) in MARKS.iter().enumerate().take(2) {
                if let Some(at) = text.find(*mark) {
                    let at = between.start as usize + at;
                    own[i] = own[i].or(Some(Span::new(at, at + 1)));
                }
            }
        }
        let said = exam.wording().said(lead);
        let clauses = said.features.iter().filter(|f| f.is_prose());
        let comma = clauses.filter_map(|f| f.words(said).first()).find(|w| w.after_comma);
        own[2] = comma.map(|w| w.span);
        for (i, place) in own.iter().enumerate() {
            if let Some(place) = place {
                used[i] += 1;
                places.push((i, *place));
            }
        }
    }
    let usual = (0..MARKS.len()).rev().max_by_key(|&i| used[i]).unwrap_or(0);
    for (i, place) in places.into_iter().filter(|(i, _)| *i != usual) {
        let (what, instead) = (MARKS[i].1, MARKS[usual].1);
        out.push(
            RULE.at(place, format!("{what} parts two characters; in most leads {instead} does"))
                .why("Where a character ends must be seen at a glance.")
                .remedy("Use one mark throughout the key."),
        );
    }
}
