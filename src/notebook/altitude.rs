//! Metres above the sea, and how far off a place may be.

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

use crate::text::amount::Unit;

/// An altitude or a range of altitudes, in metres, with the words it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Altitude {
    pub lowest: Decimal,
    pub highest: Decimal,
    pub verbatim: String,
}

/// The radius around the coordinates within which the plant stood, in metres; above zero.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Uncertainty {
    pub metres: Decimal,
    pub verbatim: String,
}

/// Why a text is no altitude or uncertainty.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoHeight {
    #[error("\"{0}\" is no altitude; write 640 m, 640-660 m or 2100 ft")]
    Altitude(String),
    #[error(
        "an altitude lies between {LOWEST} and {HIGHEST} m, and this is {0} m; a figure in feet \
         wants ft behind it"
    )]
    Beyond(Decimal),
    #[error("\"{0}\" begins above its end")]
    Backwards(String),
    #[error("\"{0}\" is no distance; write 30 m, 0.5 km or 100 ft")]
    Uncertainty(String),
    #[error("no place is known to 0 m; leave the uncertainty out where you cannot say it")]
    Zero,
}

/// The lowest shore on land (-430 m) and the highest summit (8849 m), in whole metres with room.
const LOWEST: i32 = -450;
const HIGHEST: i32 = 9000;

impl Altitude {
    /// Reads `640`, `640 m`, `ca. 640-660 m`, `2100 ft`, `-390 m`.
    ///
    /// # Errors
    /// Texts of another shape, ranges that begin above their end, and what lies beyond the land of
    /// this globe.
    pub fn read(text: &str) -> Result<Altitude, NoHeight> {
        let verbatim = text.trim().to_string();
        let fault = || NoHeight::Altitude(verbatim.clone());
        let words = verbatim.trim_start_matches(|c: char| c.is_alphabetic() || "~± .".contains(c));
        let (figures, unit) = with_unit(words).ok_or_else(fault)?;
        if unit == Unit::Millimetre {
            return Err(fault());
        }
        let (a, b) = range(figures).ok_or_else(fault)?;
        let factor = unit.factor(Unit::Metre).ok_or_else(fault)?;
        let metres = |v: Decimal| {
            let metres = v.checked_mul(factor).ok_or_else(fault)?;
            // 2100 feet were not measured to the centimetre.
            let metres = if unit == Unit::Foot { metres.round() } else { metres };
            Ok(metres.normalize())
        };
        let (lowest, highest) = (metres(a)?, metres(b)?);
        if lowest > highest {
            return Err(NoHeight::Backwards(verbatim));
        }
        for metres in [lowest, highest] {
            if metres < LOWEST.into() || metres > HIGHEST.into() {
                return Err(NoHeight::Beyond(metres));
            }
        }
        Ok(Altitude { lowest, highest, verbatim })
    }
}

impl Uncertainty {
    /// Reads `30 m`, `30`, `0.5 km`, `± 100 ft`.
    ///
    /// # Errors
    /// Texts of another shape, and zero: Darwin Core has no valid uncertainty of 0 m.
    pub fn read(text: &str) -> Result<Uncertainty, NoHeight> {
        let verbatim = text.trim().to_string();
        let fault = || NoHeight::Uncertainty(verbatim.clone());
        let words = verbatim.trim_start_matches(['±', '~', ' ']);
        let kilometres = words.strip_suffix("km").map(str::trim_end);
        let (figures, factor) = match kilometres {
            Some(figures) => (figures, Decimal::from(1000)),
            None => {
                let (figures, unit) = with_unit(words).ok_or_else(fault)?;
                (figures, unit.factor(Unit::Metre).ok_or_else(fault)?)
            }
        };
        let value: Decimal = figures.trim().parse().map_err(|_| fault())?;
        let metres = value.checked_mul(factor).ok_or_else(fault)?.normalize();
        if metres.is_zero() {
            return Err(NoHeight::Zero);
        }
        if metres.is_sign_negative() {
            return Err(fault());
        }
        Ok(Uncertainty { metres, verbatim })
    }

    /// `± 30 m`, in the unit in which it was written.
    pub fn in_words(&self) -> String {
        let words = self.verbatim.trim_start_matches(['±', '~', ' ']);
        let unit = if words.ends_with(|c: char| c.is_ascii_digit()) { " m" } else { "" };
        format!("± {words}{unit}")
    }
}

/// The figures, and the unit behind them; metres where none is written.
fn with_unit(text: &str) -> Option<(&str, Unit)> {
    let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    let word = text[end..].trim().trim_end_matches('.').to_lowercase();
    let unit = match word.trim_end_matches("a.s.l").trim_end_matches("asl").trim() {
        "" | "m" | "metres" | "meters" | "metre" => Unit::Metre,
        "ft" | "feet" | "'" => Unit::Foot,
        _ => return None,
    };
    Some((&text[..end], unit))
}

/// `640`, `640-660`, `640 to 660`, `640 m - 660`.
fn range(text: &str) -> Option<(Decimal, Decimal)> {
    let number = |t: &str| t.trim().trim_end_matches(['m', ' ']).parse::<Decimal>().ok();
    if let Some(one) = number(text) {
        return Some((one, one));
    }
    let (a, b) = text.split_once(" to ").or_else(|| {
        let at = text.char_indices().skip(1).find(|(_, c)| matches!(c, '-' | '–' | '—'))?;
        Some((&text[..at.0], &text[at.0 + at.1.len_utf8()..]))
    })?;
    Some((number(a)?, number(b)?))
}

impl std::fmt::Display for Altitude {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.verbatim)
    }
}

impl std::fmt::Display for Uncertainty {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.verbatim)
    }
}

impl Serialize for Altitude {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

impl Serialize for Uncertainty {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<String, String> {
        let metres = |a: Altitude| format!("{}-{}", a.lowest, a.highest);
        Altitude::read(text).map(metres).map_err(|e| e.to_string())
    }

    #[test]
    fn feet_become_whole_metres() {
        assert_eq!(read("2100 ft").as_deref(), Ok("640-640"));
        assert_eq!(read("2100-2200 ft").as_deref(), Ok("640-671"));
        assert_eq!(read("640.5 m").as_deref(), Ok("640.5-640.5"));
    }

    #[test]
    fn what_lies_beyond_the_land_of_this_globe_is_refused() {
        assert_eq!(read("-430").as_deref(), Ok("-430--430"));
        assert_eq!(read("29000 ft").as_deref(), Ok("8839-8839"));
        for (text, said) in [("-451", "-451 m"), ("64000", "64000 m"), ("640-9001 m", "9001 m")] {
            let why = read(text).unwrap_err();
            assert!(why.contains("between -450 and 9000 m") && why.contains(said), "{why}");
        }
    }
}
