//! Couplets whose leads give one measure in two units.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Word, WordId, Wording};
use crate::key::{CharacterId, LeadId};
use crate::text::amount::Unit;
use crate::text::finding::Finding;

rule! {
    /// The leads of a couplet give one measure in two units.
    ///
    /// ## What it finds
    /// A declared character, or a part named in prose, whose measure stands in one unit in one lead
    /// and in another unit in another (`mm` and `cm`, `cm` and `inches`).
    ///
    /// ## Why it matters
    /// The reader has to convert, and slips by a factor of ten. The program converts by itself.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves 8-12 cm long; bark rough ..... Quercus robur
    /// 1b  Leaves 40-60 mm long; bark smooth ... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves 8-12 cm long; bark rough ..... Quercus robur
    /// 1b  Leaves 4-6 cm long; bark smooth ..... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Write both in one unit.
    ///
    /// ## Source
    /// Practice of the trade, cited from memory.
    "units-differ", Note, Sure, examine; style
}

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Topic {
    Character(CharacterId),
    Part(WordId),
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let mut units: HashMap<Topic, (usize, Unit, Word)> = HashMap::new();
        for (i, said) in wording.couplet(id).iter().enumerate() {
            for feature in said.features.iter() {
                let Some(topic) = topic(said, feature) else { continue };
                let Some((unit, word)) = unit(wording, said, feature) else { continue };
                let &mut (lead, first, place) = units.entry(topic).or_insert((i, unit, word));
                if lead == i || first == unit {
                    continue;
                }
                let own = LeadId { couplet: id, index: i as u16 };
                let slice = |w: Word| exam.key.source.slice(w.span);
                out.push(
                    RULE.at(
                        word.span,
                        format!(
                            "{} measures in `{}`, an earlier lead in `{}`",
                            exam.lead_name(own),
                            slice(word),
                            slice(place)
                        ),
                    )
                    .why("The reader has to convert, and slips by a factor of ten.")
                    .remedy("Write both in one unit.")
                    .related(place.span, "the other unit"),
                );
                break;
            }
        }
    }
}

fn topic(said: &Said, feature: &Feature) -> Option<Topic> {
    match feature.character {
        Some(c) => Some(Topic::Character(c)),
        None => feature.subject(said).last().map(|w| Topic::Part(w.id)),
    }
}

/// The unit that a feature's measure is written in, with its place.
pub(in crate::check) fn unit(
    wording: &Wording,
    said: &Said,
    feature: &Feature,
) -> Option<(Unit, Word)> {
    let words = feature.words(said);
    let mut figure = false;
    for word in words.iter().filter(|w| !w.in_remark) {
        let text = wording.text(word.id);
        if figure && let Some(unit) = sign(text) {
            return Some((unit, *word));
        }
        figure = wording.kinds(word).has(Kinds::NUMBER);
    }
    None
}

/// Units of length; `in` alone is a preposition too often.
fn sign(word: &str) -> Option<Unit> {
    Some(match word {
        "mm" => Unit::Millimetre,
        "cm" => Unit::Centimetre,
        "dm" => Unit::Decimetre,
        "m" => Unit::Metre,
        "µm" | "μm" | "um" => Unit::Micrometre,
        "inch" | "inche" | "″" => Unit::Inch,
        "ft" | "foot" | "feet" => Unit::Foot,
        _ => return None,
    })
}
