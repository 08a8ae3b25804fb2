//! Numbers and letters that do not follow one another.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::{CoupletId, SubkeyId};
use crate::text::finding::Finding;

rule! {
    /// A couplet's number, or a lead's letter, does not follow the one before it.
    ///
    /// ## What it finds
    /// Couplets of one key whose numbers leave a gap or go backwards, and leads of one couplet whose
    /// letters do. A key begins at 1; a later key of the file may go on from the number where the
    /// one before it ended. `84A` after `84`, and `84B` after that, are in sequence.
    ///
    /// ## Why it matters
    /// A reader looks for couplet 12 between 11 and 13. A gap often is a couplet that was lost, a
    /// number out of place one that was mistyped, and then some pointer is wrong as well.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 3
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 3a  Needles in pairs .................... Pinus sylvestris
    /// 3b  Needles single ...................... Picea abies
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. 2
    /// 1b  Leaves are broad .................... Quercus robur
    ///
    /// 2a  Needles in pairs .................... Pinus sylvestris
    /// 2b  Needles single ...................... Picea abies
    /// ```
    ///
    /// ## Remedy
    /// Correct the number. Where only the order of numbers is wrong and every pointer is right,
    /// renumber: `hilum tidy --renumber` lets the pointers follow.
    ///
    /// ## Source
    /// Practice of printed keys; met in print (own count of floras of 1901-1922). The capital after
    /// a number is the custom of a flora of 1939.
    "label-out-of-sequence", Error, Sure, examine
}

type Number = (u32, Option<char>);

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut ended: Option<Number> = None;
    for (i, subkey) in exam.key.subkeys.iter().enumerate() {
        let couplets = numbered_once(exam, &subkey.couplets, SubkeyId(i as u32));
        numbers(exam, &couplets, ended, out);
        ended = couplets.last().map(|&c| number(exam, c)).or(ended);
    }
    for (id, couplet) in exam.key.couplets() {
        letters(exam, id, couplet.leads.len(), out);
    }
}

// A number that is used twice is the matter of another rule.
fn numbered_once(exam: &Examination, couplets: &[CoupletId], subkey: SubkeyId) -> Vec<CoupletId> {
    let first = |&c: &CoupletId| {
        let (n, capital) = number(exam, c);
        exam.numbered(subkey, n, capital) == Some(c)
    };
    couplets.iter().copied().filter(first).collect()
}

fn number(exam: &Examination, id: CoupletId) -> Number {
    let couplet = exam.couplet(id);
    (couplet.number, couplet.capital)
}

fn follows((n, capital): Number, (before, before_capital): Number) -> bool {
    let next = |c: Option<char>| c.map_or('A', |c| (c as u8 + 1) as char);
    (n == before + 1 && capital.is_none_or(|c| c == 'A'))
        || (n == before && capital == Some(next(before_capital)))
}

fn numbers(
    exam: &Examination,
    couplets: &[CoupletId],
    ended: Option<Number>,
    out: &mut Vec<Finding>,
) {
    let Some(&first) = couplets.first() else { return };
    let begins = number(exam, first);
    let goes_on = ended.is_some_and(|e| follows(begins, e));
    if !goes_on && !follows(begins, (0, None)) {
        let what = format!("{} is the first of its key", exam.couplet_name(first));
        out.push(sequence(exam, first, what, "1"));
    }
    let mut before = begins;
    for (i, &id) in couplets.iter().enumerate().skip(1) {
        let here = number(exam, id);
        let after = couplets.get(i + 1).map(|&c| number(exam, c));
        if follows(here, before) {
            before = here;
            continue;
        }
        let expected = before.0 + 1;
        let what = format!(
            "{} stands after couplet {}{}",
            exam.couplet_name(id),
            before.0,
            before.1.map(String::from).unwrap_or_default(),
        );
        out.push(sequence(exam, id, what, &expected.to_string()));
        // One number out of place: go on as if it were right.
        before = match after {
            Some(a) if follows(a, before) => before,
            Some(a) if follows(a, (expected, None)) => (expected, None),
            _ => here,
        };
    }
}

fn sequence(exam: &Examination, id: CoupletId, what: String, expected: &str) -> Finding {
    RULE.at(exam.place(id), format!("{what}, where {expected} is expected"))
        .why("A couplet may be missing, or a number mistyped; a reader looks for it in its place.")
        .remedy(
            "Correct the number, or number the key anew with \"hilum tidy --renumber\", which \
             lets every pointer follow.",
        )
}

fn letters(exam: &Examination, id: CoupletId, leads: usize, out: &mut Vec<Finding>) {
    // A lone lead and a forgotten letter have rules of their own.
    if leads < 2 {
        return;
    }
    let mut expected = 'a';
    let mut seen = 0_u32;
    for (i, lead) in exam.couplet(id).leads.iter().enumerate() {
        let Some(letter) = lead.label.letter else {
            expected = next(expected);
            continue;
        };
        let bit = 1_u32.checked_shl((letter as u32).wrapping_sub('a' as u32)).unwrap_or(0);
        if seen & bit != 0 {
            continue;
        }
        seen |= bit;
        if letter != expected {
            let lead = crate::key::LeadId { couplet: id, index: i as u16 };
            let name = exam.couplet(id).name();
            out.push(
                RULE.at(
                    exam.lead(lead).label.span,
                    format!("{} stands where {name}{expected} is expected", exam.lead_name(lead)),
                )
                .why("A lead may be missing, or a letter mistyped.")
                .remedy(format!("Write lead {name}{expected}, or correct this letter.")),
            );
        }
        expected = next(letter);
    }
}

fn next(letter: char) -> char {
    char::from_u32(letter as u32 + 1).unwrap_or(letter)
}
