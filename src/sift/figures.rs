//! Numbers as an observer writes them: read to the last digit written, one or several.

use rust_decimal::Decimal;

use super::about::extreme_of;
use super::cut::Interval;
use super::observation::{Reading, Seen};
use super::unread::Unread;
use crate::key::{Character, Kind};
use crate::text::amount::{Amount, Extent, Unit};
use crate::text::language::{Language, fold};
use crate::text::notation;

/// Reads `text`, the whole of it, as what was measured or counted of `character`.
///
/// `34 mm` is 33.5 to 34.5 mm; `34.0 mm` is 33.95 to 34.05 mm; a count is exact. `3-5 cm` are two
/// readings, 3 and 5, and `34, 36, 41 mm` are three: an account must allow every one. `4 or 5` is
/// one reading, the observer does not say which. `ca.`, `up to`, `more than` leave a range.
pub fn read(character: &Character, text: &str, language: &Language) -> Result<Seen, Unread> {
    let text = text.trim().trim_end_matches('.');
    if let Kind::Ratio { dimension } = &character.kind {
        let bare = bare_ratio(text, language);
        let reading = notation::read_ratio(text, dimension, language)
            .filter(|r| is_whole(r, text))
            .or_else(|| {
                // What has a unit is measured, not compared.
                let plain = |r: &notation::Reading| is_whole(r, bare) && r.unit.is_none();
                notation::read(bare, language).filter(plain)
            })
            .ok_or_else(|| no_number(text, ""))?;
        return Ok(Seen::Numbers(vec![Reading::within(&reading.amount, character)]));
    }
    if let (Kind::Count, Some(many)) = (&character.kind, &character.many)
        && language.many.contains(&fold(text).as_str())
    {
        return Ok(Seen::Numbers(vec![Reading::within(many, character)]));
    }
    if let Some(reading) = notation::read(text, language).filter(|r| is_whole(r, text)) {
        if reading.second.is_some() {
            return Err(no_number(text, "two dimensions are two observations"));
        }
        return readings(character, &reading.amount, reading.unit, text).map(Seen::Numbers);
    }
    several(character, text, language).map(Seen::Numbers)
}

/// The figures of `1.2 ×`, `1.2 x`, `1.2 times`: a person need not say again what is compared.
fn bare_ratio<'t>(text: &'t str, language: &Language) -> &'t str {
    let times = language.compare.times.iter().copied().chain(["×", "x"]);
    let mut bare = times.filter_map(|w| text.strip_suffix(w)).map(str::trim_end);
    bare.find(|t| t.ends_with(|c: char| c.is_ascii_digit())).unwrap_or(text)
}

/// Whether all of a text was read, and nothing is wrong with it.
fn is_whole(reading: &notation::Reading, text: &str) -> bool {
    reading.len >= text.len() && !reading.is_spoilt() && !reading.to_many
}

/// `34, 36, 41 mm`: the unit once at the end, or after each.
fn several(character: &Character, text: &str, language: &Language) -> Result<Vec<Reading>, Unread> {
    let mut text_of = text.replace([';', '+', '&'], ",");
    for and in language.and {
        text_of = text_of.replace(&format!(" {and} "), ",");
    }
    let pieces: Vec<&str> = text_of.split(',').map(str::trim).filter(|p| !p.is_empty()).collect();
    if pieces.len() < 2 {
        return Err(no_number(text, ""));
    }
    let mut read = Vec::new();
    for piece in &pieces {
        let reading = notation::read(piece, language)
            .filter(|r| is_whole(r, piece) && r.second.is_none())
            .ok_or_else(|| no_number(piece, ""))?;
        read.push((reading.amount, reading.unit, *piece));
    }
    let last = read.last().and_then(|(_, unit, _)| *unit);
    let mut out = Vec::new();
    for (amount, unit, piece) in read {
        out.extend(readings(character, &amount, unit.or(last), piece)?);
    }
    Ok(out)
}

/// The readings that one amount stands for, in the character's unit.
fn readings(
    character: &Character,
    amount: &Amount,
    unit: Option<Unit>,
    text: &str,
) -> Result<Vec<Reading>, Unread> {
    let is_count = matches!(character.kind, Kind::Count);
    let factor = match (&character.kind, unit) {
        (Kind::Measure { unit: own }, Some(unit)) => match unit.factor(*own) {
            Some(factor) => factor,
            None => {
                let why = format!("`{}` is measured in {}", character.name, own.sign());
                return Err(no_number(text, &why));
            }
        },
        (Kind::Measure { unit }, None) => {
            return Err(Unread::UnitMissing {
                character: character.name.clone(),
                figure: text.to_string(),
                unit: unit.sign().to_string(),
            });
        }
        (_, None | Some(Unit::Count)) => Decimal::ONE,
        (_, Some(_)) => return Err(no_number(text, "a count has no unit")),
    };
    let one = |value: Decimal| {
        if is_count { Reading::exactly(value) } else { Reading::measured(value, value.scale()) }
    };
    let each = |extent: &Extent| -> Vec<Reading> {
        let exact = Reading::ends(extent, one).filter(|_| !extent.about && closed(extent));
        exact.unwrap_or_else(|| vec![Reading { within: vec![extreme_of(extent, is_count)] }])
    };
    let read = match amount.extents.as_slice() {
        [extent] => each(extent),
        // Alternatives: one reading that lies in one of them.
        several => {
            let hull = |e: &Extent| {
                let all = each(e).into_iter().flat_map(|r| r.within);
                all.reduce(|a, b| a.join(&b))
            };
            vec![Reading { within: several.iter().filter_map(hull).collect() }]
        }
    };
    let scaled = |i: &Interval| i.scaled(factor);
    read.iter()
        .map(|r| r.within.iter().map(scaled).collect::<Option<Vec<_>>>())
        .map(|w| w.filter(|w| !w.is_empty() && w.iter().all(|i| !i.is_void())))
        .map(|w| w.map(|within| Reading { within }).ok_or_else(|| no_number(text, "")))
        .collect()
}

fn closed(extent: &Extent) -> bool {
    [extent.extreme.low, extent.extreme.high].into_iter().flatten().all(|l| !l.open)
}

fn no_number(words: &str, why: &str) -> Unread {
    Unread::NoNumber { words: words.to_string(), why: why.to_string() }
}

/// Where in `text` the number stands that was read as `value`, as it was written: its digits tell
/// how finely it was read.
pub(super) fn written<'t>(
    text: &'t str,
    value: &Amount,
    character: &Character,
    language: &Language,
) -> Option<&'t str> {
    let own = character.unit()?;
    let starts = text
        .char_indices()
        .filter(|&(i, c)| !c.is_whitespace() && (i == 0 || text[..i].ends_with([' ', '\t', ','])));
    for (at, _) in starts {
        let rest = &text[at..];
        let Some(reading) = notation::read(rest, language) else { continue };
        let factor = reading.unit.map_or(Some(Decimal::ONE), |u| u.factor(own));
        let same = factor.and_then(|f| reading.amount.scaled(f)).is_some_and(|a| a == *value);
        if same && reading.second.is_none() {
            return Some(rest[..reading.len.min(rest.len())].trim());
        }
    }
    None
}
