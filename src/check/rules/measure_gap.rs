//! Couplets whose leads leave out some measures between them.

use rust_decimal::Decimal;

use crate::check::Examination;
use crate::check::reason::demand::Demand;
use crate::check::reason::intervals::Intervals;
use crate::check::reason::values::Values;
use crate::check::reason::words::sentence;
use crate::check::rule::rule;
use crate::key::{CharacterId, CoupletId, LeadId};
use crate::sift::cut::Interval;
use crate::text::finding::Finding;

rule! {
    /// The leads of a couplet part by one measure, and no lead takes what lies between.
    ///
    /// ## What it finds
    /// Couplets in which every lead gives the same measure, no two of them share a value of it,
    /// no other character that was read parts them, and some values between them are in no lead:
    /// more of them than a step of the last digit written, and than a tenth of the measure. Ten times as much is taken for a slip of the unit.
    /// It is a note: many good keys leave such gaps where no plant falls into them. That a plant
    /// as an account describes it falls in is told by `fits-no-lead`.
    ///
    /// ## Why it matters
    /// Whoever holds such a plant, a young one or one from a dry place, cannot go on.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade: Blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Blade 4-8 cm long ................... Acer campestre
    /// 1b  Blade 10-18 cm long ................. Acer platanoides
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// blade: Blade _ long
    ///   measure   cm
    ///
    /// key
    ///
    /// 1a  Blade up to 9 cm long ............... Acer campestre
    /// 1b  Blade more than 9 cm long ........... Acer platanoides
    /// ```
    ///
    /// ## Remedy
    /// Let the leads meet, or add a character that parts the plants between.
    ///
    /// ## Source
    /// Ours; 61 in 100 couplets of printed floras that part by a measure have a gap (own count),
    /// so that it is no more than a note.
    "measure-gap", Note, Sure, examine
}

/// Couplets with more leads than this part by steps, and are looked at by eye.
const FEW: usize = 24;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (couplet, of) in exam.key.couplets() {
        if !(2..=FEW).contains(&of.leads.len()) {
            continue;
        }
        for &character in exam.ground().asked(couplet) {
            let unit = exam.key.character(character).unit();
            if unit.is_some_and(|u| u != crate::text::amount::Unit::Count) {
                out.extend(gap(exam, couplet, character));
            }
        }
    }
}

fn gap(exam: &Examination, couplet: CoupletId, character: CharacterId) -> Option<Finding> {
    let mut leads: Vec<(Interval, LeadId, &Demand)> = Vec::new();
    for lead in exam.leads(couplet) {
        let demand = exam.ground().demands(lead).get(character)?;
        let Values::Numbers(set) = &demand.values else { return None };
        let mut all = set.iter();
        let (Some(one), None) = (all.next(), all.next()) else { return None };
        if demand.implied_by.is_some() {
            return None;
        }
        leads.push((*one, lead, demand));
    }
    leads.sort_by_key(|(range, _, _)| *range);
    let apart = leads.windows(2).all(|w| w[0].2.values.parts(&w[1].2.values));
    let (lower, upper) = leads.windows(2).map(|w| (&w[0], &w[1])).find(|(a, b)| {
        let ends = a.0.high.value().zip(b.0.low.value());
        ends.is_some_and(|(end, begin)| is_wide(end, begin))
    })?;
    if !apart || parted_otherwise(exam, lower.1, upper.1, character) {
        return None;
    }
    let between = Interval { low: lower.0.high, high: upper.0.low };
    let between = Values::Numbers(Intervals::of([between]));
    let (a, b) = (exam.key.lead_name(lower.1), exam.key.lead_name(upper.1));
    let words = sentence(exam.key, character, &between);
    let (first, second) = if lower.1 < upper.1 { (lower, upper) } else { (upper, lower) };
    Some(
        RULE.at(
            second.2.span,
            format!("between leads {a} and {b} there is a gap: `{words}` fits neither"),
        )
        .why("Whoever holds such a plant cannot go on.")
        .remedy("Let the leads meet, or add a character that parts the plants between.")
        .related(first.2.span, format!("lead {}", exam.key.lead_name(first.1))),
    )
}

// Whether a gap is more than figures that were rounded leave between them: `4-8` and `9-14`, `up to
// 199` and `201-240`. A step of the last digit written, and a tenth of the measure, are no gap; ten times as much is a
// slip of the unit, which other rules tell.
fn is_wide(end: Decimal, begin: Decimal) -> bool {
    let Some(width) = begin.checked_sub(end) else { return false };
    let scale = end.normalize().scale().max(begin.normalize().scale());
    let times = |tenths| Decimal::new(tenths, 1).checked_mul(end.abs());
    let slip = times(100).is_some_and(|t| end > Decimal::ZERO && begin >= t);
    width > Decimal::new(1, scale) && times(1).is_some_and(|t| width > t) && !slip
}

// Whether another character that was read parts two leads.
fn parted_otherwise(exam: &Examination, a: LeadId, b: LeadId, measure: CharacterId) -> bool {
    let other = exam.ground().demands(b);
    let all = exam.ground().demands(a).of.iter().filter(|d| d.character != measure);
    all.filter_map(|d| Some((d, other.get(d.character)?))).any(|(x, y)| x.values.parts(&y.values))
}
