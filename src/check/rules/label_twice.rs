//! One label on two leads.

use crate::check::Examination;
use crate::check::claims::label_name;
use crate::check::rule::rule;
use crate::key::{CoupletId, LeadId};
use crate::text::finding::Finding;
use crate::text::tree::Label;

rule! {
    /// The same label stands before two leads of one key.
    ///
    /// ## What it finds
    /// A number with its letter that was already given to another lead, as two `3a`, or a whole
    /// couplet whose number is taken. Keys of one file number their couplets each for itself.
    ///
    /// ## Why it matters
    /// A pointer to that number could mean either. The reader is sent to the first one.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1a  Leaves are broad .................... Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves are needles .................. Pinus sylvestris
    /// 1b  Leaves are broad .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Give the lead its own label. A couplet that was put in later may have a capital, as `84A`
    /// after `84`, so that the others keep their numbers.
    ///
    /// ## Source
    /// Practice of printed keys; met in print (own count of floras of 1901-1922).
    "label-twice", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, couplet) in exam.key.couplets() {
        let used = couplet.leads.iter().filter_map(|l| l.label.letter).fold(0, with);
        let first = exam.numbered(couplet.subkey, couplet.number, couplet.capital).unwrap_or(id);
        let mut seen = Letters::default();
        if first != id {
            seen.take_in(exam, first);
        }
        for (i, lead) in couplet.leads.iter().enumerate() {
            let Some(letter) = lead.label.letter else { continue };
            let Some(before) = seen.of(letter) else {
                seen.add(letter, LeadId { couplet: id, index: i as u16 });
                continue;
            };
            out.push(finding(exam, LeadId { couplet: id, index: i as u16 }, before, used));
            // The second lead of a repeated couplet adds nothing.
            if first != id {
                break;
            }
        }
    }
}

/// The first lead of each letter.
#[derive(Default)]
struct Letters([Option<LeadId>; 26]);

impl Letters {
    fn of(&self, letter: char) -> Option<LeadId> {
        *self.0.get((letter as usize).wrapping_sub('a' as usize))?
    }

    fn add(&mut self, letter: char, lead: LeadId) {
        if let Some(place) = self.0.get_mut((letter as usize).wrapping_sub('a' as usize)) {
            place.get_or_insert(lead);
        }
    }

    fn take_in(&mut self, exam: &Examination, couplet: CoupletId) {
        for (i, lead) in exam.couplet(couplet).leads.iter().enumerate() {
            if let Some(letter) = lead.label.letter {
                self.add(letter, LeadId { couplet, index: i as u16 });
            }
        }
    }
}

// A set of the letters a to z as bits.
fn with(set: u32, letter: char) -> u32 {
    set | 1_u32.checked_shl((letter as u32).wrapping_sub('a' as u32)).unwrap_or(0)
}

fn finding(exam: &Examination, second: LeadId, first: LeadId, used: u32) -> Finding {
    let couplet = exam.couplet(second.couplet);
    let label = exam.lead(second).label;
    let name = label_name(label);
    let finding = RULE
        .at(label.span, format!("the label {name} is used twice{}", exam.of_key(couplet.subkey)))
        .why("A pointer to it could mean either lead.")
        .remedy("Give this lead its own label.")
        .related(exam.lead(first).label.span, format!("{name} stands here already"));
    // `3a` twice in a row is `3a` and `3b`, if no `3b` follows.
    let next = label.letter.and_then(|c| ('a'..='z').find(|n| *n as u32 == c as u32 + 1));
    match next {
        Some(next) if first.couplet == second.couplet && with(used, next) != used => {
            let new = label_name(Label { letter: Some(next), ..label });
            finding.remedy(format!("Should it be {new}?")).mend(label.span, new)
        }
        _ => finding,
    }
}
