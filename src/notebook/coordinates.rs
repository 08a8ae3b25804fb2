//! Where a plant stood: decimal degrees, or degrees, minutes and seconds, as map or receiver gave.

use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

/// A place on the globe, with the words it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Coordinates {
    /// Decimal degrees, -90 to 90.
    pub latitude: Decimal,
    /// Decimal degrees, -180 to 180.
    pub longitude: Decimal,
    pub verbatim: String,
}

/// Why a text is no place on the globe.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoPlace {
    #[error("\"{0}\" is no pair of coordinates; write 33.5123, 36.2988 or 33°30'44\"N 36°17'56\"E")]
    NotRead(String),
    #[error("a latitude lies between -90 and 90, and this is {0}")]
    Latitude(Decimal),
    #[error("a longitude lies between -180 and 180, and this is {0}")]
    Longitude(Decimal),
    #[error("minutes and seconds run from 0 to 59, and this is {0}")]
    Sixty(Decimal),
    #[error("\"{0}\" gives two latitudes or two longitudes; one needs N or S, the other E or W")]
    SameAxis(String),
    #[error("\"{0}\" has a letter on one half only: say {1} on the other too")]
    OneLetter(String, &'static str),
}

/// Half of a pair: figures, and the letter that was with them.
#[derive(Default)]
struct Half {
    figures: Vec<(Decimal, u32)>,
    letter: Option<char>,
    negative: bool,
}

impl Coordinates {
    /// Reads a pair: latitude first unless letters say otherwise. Signs or letters N, S, E, W (O
    /// for east in German and west in French is refused as unclear).
    ///
    /// # Errors
    /// What is no pair, a pair with a letter on one half only, and values that lie outside the globe.
    pub fn read(text: &str) -> Result<Coordinates, NoPlace> {
        let verbatim = text.trim().to_string();
        let fault = || NoPlace::NotRead(verbatim.clone());
        let halves = halves(&verbatim).ok_or_else(fault)?;
        let [a, b] = &halves;
        let is_east = |h: &Half| h.letter.map(|c| matches!(c, 'E' | 'W'));
        let (latitude, longitude) = match (is_east(a), is_east(b)) {
            (Some(x), Some(y)) if x == y => return Err(NoPlace::SameAxis(verbatim)),
            (Some(east), None) | (None, Some(east)) => {
                let other = if east { "N or S" } else { "E or W" };
                return Err(NoPlace::OneLetter(verbatim, other));
            }
            (Some(true), _) => (b, a),
            _ => (a, b),
        };
        let latitude = latitude.degrees(fault)?;
        let longitude = longitude.degrees(fault)?;
        if latitude.abs() > Decimal::from(90) {
            return Err(NoPlace::Latitude(latitude));
        }
        if longitude.abs() > Decimal::from(180) {
            return Err(NoPlace::Longitude(longitude));
        }
        Ok(Coordinates { latitude, longitude, verbatim })
    }
}

/// Parts the text at the letter, comma or blank between the two halves.
fn halves(text: &str) -> Option<[Half; 2]> {
    let mut out: Vec<Half> = vec![Half::default()];
    let mut chars = text.char_indices().peekable();
    let mut figures_per_half = None;
    while let Some((at, c)) = chars.next() {
        let letter = c.to_ascii_uppercase();
        let half = out.last_mut()?;
        match c {
            '0'..='9' => {
                let mut end = at + 1;
                while let Some(&(i, d)) = chars.peek() {
                    // a comma between digits is a decimal comma only where no blank follows it
                    // and the halves are parted by something else
                    if !(d.is_ascii_digit() || d == '.') {
                        break;
                    }
                    end = i + 1;
                    chars.next();
                }
                let figure: Decimal = text[at..end].parse().ok()?;
                let scale = figure.scale();
                half.figures.push((figure, scale));
            }
            '-' | '−' | '+' => {
                if !half.figures.is_empty() {
                    out.push(Half::default());
                }
                out.last_mut()?.negative = c != '+';
            }
            _ if matches!(letter, 'N' | 'S' | 'E' | 'W') => {
                if half.letter.is_some() {
                    out.push(Half::default());
                }
                let half = out.last_mut()?;
                half.letter = Some(letter);
                // a letter before or behind: "N 33 30" or "33 30 N"
                let behind = !half.figures.is_empty();
                if behind && chars.peek().is_some() {
                    out.push(Half::default());
                }
            }
            ',' | ';' => {
                if !half.figures.is_empty() {
                    figures_per_half = Some(half.figures.len());
                    out.push(Half::default());
                }
            }
            ' ' | '\t' | '°' | 'º' | '\'' | '′' | '’' | '"' | '″' | '”' | '“' | '˚' => {
            }
            _ => return None,
        }
    }
    out.retain(|h| !h.figures.is_empty() || h.letter.is_some());
    // "33.51 36.29": two figures without any mark between them
    if let [half] = &out[..]
        && figures_per_half.is_none()
        && half.letter.is_none()
        && half.figures.len() == 2
        && half.figures[0].1 > 0
    {
        let half = out.pop()?;
        return Some([
            Half { figures: vec![half.figures[0]], letter: None, negative: half.negative },
            Half { figures: vec![half.figures[1]], letter: None, negative: false },
        ]);
    }
    out.try_into().ok()
}

impl Half {
    /// Decimal degrees, rounded to one place beyond what the last figure written can tell
    /// (one second of arc is 0.00028 degrees).
    fn degrees(&self, fault: impl Fn() -> NoPlace) -> Result<Decimal, NoPlace> {
        let sixty = Decimal::from(60);
        let (first, rest) = self.figures.split_first().ok_or_else(&fault)?;
        // only the last figure may have a fraction
        let broken = self.figures.iter().rev().skip(1).any(|(_, scale)| *scale > 0);
        if rest.len() > 2 || broken || self.negative && self.letter.is_some() {
            return Err(fault());
        }
        let mut value = first.0;
        let mut unit = Decimal::ONE;
        let mut places = first.1;
        for (figure, scale) in rest {
            if *figure >= sixty {
                return Err(NoPlace::Sixty(*figure));
            }
            unit = unit.checked_mul(sixty).ok_or_else(&fault)?;
            value = figure
                .checked_div(unit)
                .and_then(|part| value.checked_add(part))
                .ok_or_else(&fault)?;
            places = scale + if unit == sixty { 4 } else { 5 };
        }
        let value = if rest.is_empty() { value } else { value.round_dp(places).normalize() };
        let negative = self.negative || matches!(self.letter, Some('S' | 'W'));
        Ok(if negative { -value } else { value })
    }
}

impl std::fmt::Display for Coordinates {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(&self.verbatim)
    }
}

impl Serialize for Coordinates {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_letter_on_one_half_asks_for_the_other() {
        let why = |text: &str| Coordinates::read(text).unwrap_err().to_string();
        assert!(why("33 30.73 N, 36 17.93").ends_with("say E or W on the other too"));
        assert!(why("33.5, E 36.2").ends_with("say N or S on the other too"));
        assert!(Coordinates::read("E 36 17.93, 33 30.73 N").is_ok());
        assert!(Coordinates::read("33.5, 36.2").is_ok());
    }
}
