//! Dates as collectors know them: whole, without the day, without the month, or from one to another.
//!
//! Kept as ISO 8601-1:2019 writes them; a part is dropped only from the right (YYYY-MM, YYYY).

use jiff::civil::Date;
use serde::{Serialize, Serializer};

/// A date of which the day, or day and month, may be unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Partial {
    /// 1 to 9999.
    pub year: i16,
    /// 1 to 12.
    pub month: Option<i8>,
    /// Only with a month.
    pub day: Option<i8>,
}

/// A date or an interval, perhaps with a time of day.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct When {
    pub first: Partial,
    pub last: Option<Partial>,
    /// `T14:07-06:00`: kept as written, after the first date.
    pub time: Option<String>,
    /// The same for the end of an interval.
    pub last_time: Option<String>,
}

const MONTHS: [[&str; 3]; 12] = [
    ["january", "januar", "janvier"],
    ["february", "februar", "février"],
    ["march", "märz", "mars"],
    ["april", "april", "avril"],
    ["may", "mai", "mai"],
    ["june", "juni", "juin"],
    ["july", "juli", "juillet"],
    ["august", "august", "août"],
    ["september", "september", "septembre"],
    ["october", "oktober", "octobre"],
    ["november", "november", "novembre"],
    ["december", "dezember", "décembre"],
];

/// Months as labels number them.
pub const ROMAN: [&str; 12] =
    ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"];

/// Months in English words.
pub const WORDS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl Partial {
    /// A whole or partial date; `None` where the calendar has no such day.
    pub fn new(year: i16, month: Option<i8>, day: Option<i8>) -> Option<Partial> {
        let real = (1..=9999).contains(&year)
            && match (month, day) {
                (None, None) => true,
                (Some(m), None) => (1..=12).contains(&m),
                (Some(m), Some(d)) => Date::new(year, m, d).is_ok(),
                (None, Some(_)) => false,
            };
        real.then_some(Partial { year, month, day })
    }

    /// The whole date, where the day is known.
    pub fn whole(self) -> Option<Date> {
        Date::new(self.year, self.month?, self.day?).ok()
    }

    /// `27 April 2009`, `April 2009`, `2009`.
    pub fn in_words(self) -> String {
        self.with_month(|m| format!(" {} ", WORDS[m]))
    }

    /// `27.IV.2009`, `IV.2009`, `2009`.
    pub fn in_roman(self) -> String {
        self.with_month(|m| format!(".{}.", ROMAN[m]))
    }

    fn with_month(self, word: impl Fn(usize) -> String) -> String {
        let Some(month) = self.month else { return self.year.to_string() };
        let word = word(month.clamp(1, 12) as usize - 1);
        match self.day {
            Some(day) => format!("{day}{word}{}", self.year),
            None => format!("{}{}", word.trim_start_matches([' ', '.']), self.year),
        }
    }

    fn read_iso(text: &str) -> Option<Partial> {
        let mut parts = text.split('-');
        let mut part = |width: usize| match parts.next() {
            None => Some(None),
            // 1999-03-XX: the day is not known
            Some(t) if t.len() == width && t.bytes().all(|b| b == b'X' || b == b'x') => Some(None),
            Some(t) if t.len() == width && t.bytes().all(|b| b.is_ascii_digit()) => {
                Some(Some(t.parse::<i16>().ok()?))
            }
            Some(_) => None,
        };
        let (year, month, day) = (part(4)??, part(2)?, part(2)?);
        if parts.next().is_some() {
            return None;
        }
        Partial::new(year, month.map(|m| m as i8), day.map(|d| d as i8))
    }

    /// `2 May 2026`, `2.V.2026`, `17IV1934`, `May 2026`, `27. April 2009`.
    fn read_words(text: &str) -> Option<Partial> {
        let (day, month, year) = Partial::parts(text)?;
        // A day that no calendar has is none, rather than left out.
        let day = day.map(i8::try_from).transpose().ok()?;
        Partial::new(year, Some(month), day)
    }

    /// Day, month and year of a date with its month in words, whether there is such a day or not.
    fn parts(text: &str) -> Option<(Option<i16>, i8, i16)> {
        let mut parts: Vec<String> = Vec::new();
        for c in text.chars() {
            let class = |c: char| (c.is_ascii_digit(), c.is_alphabetic());
            match parts.last_mut() {
                Some(last) if last.ends_with(|l| class(l) == class(c)) => last.push(c),
                _ => parts.push(c.to_string()),
            }
        }
        parts.retain(|p| p.chars().all(char::is_alphanumeric));
        let number = |t: &String| t.parse::<i16>().ok();
        let (day, month, year) = match &parts[..] {
            [month, year] => (None, month_of(month)?, number(year)?),
            // "May 2, 2026" and "2 May 2026": a word cannot be the day
            [a, b, year] => match (month_of(a), month_of(b)) {
                (Some(month), None) => (Some(number(b)?), month, number(year)?),
                (None, Some(month)) => (Some(number(a)?), month, number(year)?),
                _ => return None,
            },
            _ => return None,
        };
        if year < 1000 {
            return None;
        }
        Some((day, month, year))
    }
}

/// A month by its word (English, German, French; three letters suffice) or Roman numeral.
fn month_of(word: &str) -> Option<i8> {
    let roman = ROMAN.iter().position(|r| r.eq_ignore_ascii_case(word));
    let small = word.to_lowercase();
    let named = || {
        (small.chars().count() >= 3)
            .then(|| MONTHS.iter().position(|m| m.iter().any(|w| w.starts_with(&small))))?
    };
    roman.or_else(named).map(|i| i as i8 + 1)
}

/// Why a text is no date.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoDate {
    #[error("\"{0}\" may be day/month or month/day; write it as 2026-05-02 or 2 May 2026")]
    Ambiguous(String),
    #[error("\"{0}\" is no date: {month} has no {1}{end}", month = WORDS[*.2], end = ordinal(*.1))]
    NoDay(String, i16, usize),
    #[error("\"{0}\" may be of several centuries; write the year with four figures")]
    ShortYear(String),
    #[error("\"{0}\" ends before it begins")]
    Backwards(String),
    #[error(
        "\"{0}\" is no date; write 2026-05-02, 2026-05, 2026, 2 May 2026 or 2026-05-02/2026-05-04"
    )]
    NotRead(String),
}

impl When {
    pub fn on(date: Partial) -> When {
        When { first: date, last: None, time: None, last_time: None }
    }

    /// Reads a date, a partial date or an interval, in ISO 8601 or with the month in words.
    ///
    /// # Errors
    /// Texts that are no date, days that the calendar lacks, and `2/5/2026`, which two countries
    /// read as two days.
    pub fn read(text: &str) -> Result<When, NoDate> {
        let text = text.trim();
        let fault = || NoDate::NotRead(text.to_string());
        let slashed: Vec<&str> = text.split('/').collect();
        let digits = |t: &&str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        let dotted: Vec<&str> = text.split('.').map(str::trim).collect();
        for parts in [&slashed, &dotted] {
            if parts.len() == 3 && parts.iter().all(digits) && parts[2].len() == 4 {
                return day_first(text, parts, parts.len() == dotted.len());
            }
            if parts.len() == 3 && parts.iter().all(digits) && parts.iter().all(|p| p.len() < 3) {
                return Err(NoDate::ShortYear(text.to_string()));
            }
        }
        let when = match slashed[..] {
            [one] => {
                let (first, time) = moment(one).ok_or_else(|| why_not(one))?;
                When { first, last: None, time, last_time: None }
            }
            [a, b] => {
                let (first, time) = moment(a).ok_or_else(fault)?;
                // 2007-11-13/15: what is left out is as before
                let end = shortened(a, b);
                let (last, last_time) = moment(&end).ok_or_else(fault)?;
                When { first, last: Some(last), time, last_time }
            }
            _ => return Err(fault()),
        };
        if when.last.is_some_and(|l| l < when.first) {
            return Err(NoDate::Backwards(text.to_string()));
        }
        Ok(when)
    }

    /// Whether it begins behind another; where day or month is not known, surely so.
    pub fn is_after(&self, other: &When) -> bool {
        self.sort_key() > other.sort_key()
    }

    /// For order: year, month, day; what is unknown comes first.
    pub fn sort_key(&self) -> (i16, i8, i8) {
        let p = self.first;
        (p.year, p.month.unwrap_or(0), p.day.unwrap_or(0))
    }

    /// `13–15 November 2007`, `27 April 2009`, `1900–1909`.
    pub fn in_words(&self) -> String {
        self.spelled(Partial::in_words)
    }

    /// `27.IV.2009`.
    pub fn in_roman(&self) -> String {
        self.spelled(Partial::in_roman)
    }

    fn spelled(&self, spell: fn(Partial) -> String) -> String {
        let Some(last) = self.last else { return spell(self.first) };
        let same_month = (last.year, last.month) == (self.first.year, self.first.month);
        match self.first.day {
            Some(day) if same_month && last.day.is_some() => format!("{day}–{}", spell(last)),
            _ => format!("{}–{}", spell(self.first), spell(last)),
        }
    }
}

/// `2.5.2026` is day, month, year wherever it is written with full stops; with slashes it is
/// clear only where one of the two cannot be a month.
fn day_first(text: &str, parts: &[&str], dotted: bool) -> Result<When, NoDate> {
    let fault = || NoDate::NotRead(text.to_string());
    let n: Vec<i16> = parts.iter().filter_map(|p| p.parse().ok()).collect();
    let [a, b, year] = n[..] else { return Err(fault()) };
    let (day, month) = match (a > 12, b > 12) {
        (true, true) => return Err(fault()),
        (true, _) => (a, b),
        (_, true) => (b, a),
        _ if dotted || a == b => (a, b),
        _ => return Err(NoDate::Ambiguous(text.to_string())),
    };
    let whole = i8::try_from(day).ok().zip(i8::try_from(month).ok());
    let partial = whole.and_then(|(day, month)| Partial::new(year, Some(month), Some(day)));
    partial.map(When::on).ok_or_else(|| no_such_day(text, day, month, year).unwrap_or_else(fault))
}

/// A day that the month lacks, where all else is a date.
fn no_such_day(text: &str, day: i16, month: i16, year: i16) -> Option<NoDate> {
    let of = i8::try_from(month).ok()?;
    Partial::new(year, Some(of), None)?;
    (29..=31).contains(&day).then(|| NoDate::NoDay(text.to_string(), day, of as usize - 1))
}

/// Why a text that looks like a single date is none.
fn why_not(text: &str) -> NoDate {
    let iso: Vec<i16> = text.split('-').filter_map(|p| p.parse().ok()).collect();
    let found = match (&iso[..], Partial::parts(text)) {
        ([year, month, day], _) => no_such_day(text, *day, *month, *year),
        (_, Some((Some(day), month, year))) => no_such_day(text, day, month.into(), year),
        _ => None,
    };
    found.unwrap_or_else(|| NoDate::NotRead(text.to_string()))
}

/// `st`, `nd`, `rd`, `th`.
fn ordinal(day: i16) -> &'static str {
    match (day % 10, day / 10) {
        (1, tens) if tens != 1 => "st",
        (2, tens) if tens != 1 => "nd",
        (3, tens) if tens != 1 => "rd",
        _ => "th",
    }
}

/// A date with a time behind `T`, which is checked and kept as written.
fn moment(text: &str) -> Option<(Partial, Option<String>)> {
    let text = text.trim();
    if let Some((date, time)) = text.split_once('T')
        && let Some(partial) = Partial::read_iso(date)
    {
        partial.day?;
        return is_time(time).then(|| (partial, Some(time.to_string())));
    }
    Partial::read_iso(text).or_else(|| Partial::read_words(text)).map(|p| (p, None))
}

/// `14:07-06:00`, `08:40Z`, `15:19`, `13:00:00Z`.
fn is_time(text: &str) -> bool {
    let (clock, zone) = match text.find(['Z', '+', '-']) {
        Some(at) => text.split_at(at),
        None => (text, ""),
    };
    let zone_fits = zone.is_empty()
        || zone == "Z"
        || zone.get(1..).is_some_and(|z| z.len() == 2 || z.parse::<jiff::civil::Time>().is_ok());
    zone_fits && clock.len() >= 5 && clock.parse::<jiff::civil::Time>().is_ok()
}

/// The second half of an interval with what it leaves out taken from the first.
fn shortened(first: &str, second: &str) -> String {
    let (date, _) = first.split_once('T').unwrap_or((first, ""));
    let (end, time) = match second.split_once('T') {
        Some((end, time)) => (end, format!("T{time}")),
        None => (second, String::new()),
    };
    let iso = |t: &str| t.bytes().all(|b| b.is_ascii_digit() || b == b'-');
    if iso(date) && iso(end) && end.len() < date.len() && end.len() != 4 && end.len() != 7 {
        format!("{}{end}{time}", &date[..date.len() - end.len()])
    } else {
        second.to_string()
    }
}

impl std::fmt::Display for Partial {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{:04}", self.year)?;
        if let Some(m) = self.month {
            write!(f, "-{m:02}")?;
        }
        if let Some(d) = self.day {
            write!(f, "-{d:02}")?;
        }
        Ok(())
    }
}

/// ISO 8601.
impl std::fmt::Display for When {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        write!(f, "{}", self.first)?;
        if let Some(t) = &self.time {
            write!(f, "T{t}")?;
        }
        if let Some(last) = self.last {
            write!(f, "/{last}")?;
        }
        if let Some(t) = &self.last_time {
            write!(f, "T{t}")?;
        }
        Ok(())
    }
}

impl Serialize for When {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_that_the_month_lacks_is_named() {
        let why = |text: &str| When::read(text).unwrap_err().to_string();
        for text in ["31.11.2026", "31/11/2026", "2026-11-31", "31 November 2026", "31.XI.2026"] {
            assert_eq!(why(text), format!("\"{text}\" is no date: November has no 31st"));
        }
        assert!(why("29.2.2026").ends_with("February has no 29th"));
        assert!(why("2/5/2026").contains("day/month or month/day"));
        assert!(why("7.5.25").ends_with("the year with four figures"));
        assert!(why("31.13.2026").contains("is no date; write"));
        assert!(When::read("29.2.2024").is_ok());
    }

    #[test]
    fn what_is_surely_later() {
        let after = |a: &str, b: &str| When::read(a).unwrap().is_after(&When::read(b).unwrap());
        assert!(after("2026-03-02", "2026-03-01") && after("2027", "2026-12-31"));
        assert!(!after("2026-03", "2026-03-01") && !after("2026-03-01", "2026-03-01"));
    }
}
