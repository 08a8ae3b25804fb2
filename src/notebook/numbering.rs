//! One running number for a collector's whole life: the next one, the gaps, the repeats.

use serde::Serialize;

use super::catalogue::Catalogue;
use super::ledger::LedgerError;
use super::number::{Citation, Key, Number, fold_person};
use super::record::Kind;

/// The numbers of one collector with one prefix.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Series {
    pub collector: String,
    /// Empty for plain numbers.
    pub prefix: String,
    /// How many different running numbers there are.
    pub count: u64,
    pub first: u64,
    pub last: u64,
    /// Runs of numbers between first and last that have no gathering: from, to.
    pub gaps: Vec<(u64, u64)>,
    /// Numbers that were given to more than one gathering.
    pub repeats: Vec<Repeat>,
    /// Gatherings without a number.
    pub unnumbered: u64,
}

/// A number with more than one gathering.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Repeat {
    pub number: Number,
    pub gatherings: usize,
}

impl Series {
    /// The number that the next gathering gets.
    pub fn next(&self) -> Number {
        let running = if self.count == 0 { 1 } else { self.last.saturating_add(1) };
        Number { prefix: self.prefix.clone(), running: Some(running), suffix: String::new() }
    }

    /// How many numbers are missing.
    pub fn missing(&self) -> u64 {
        self.gaps.iter().map(|(a, b)| b - a + 1).sum()
    }
}

impl Catalogue<'_> {
    /// The series of all collectors, in the order of collectors and prefixes.
    ///
    /// # Errors
    /// Where a corrected record cannot be read.
    pub fn numbering(&self) -> Result<Vec<Series>, LedgerError> {
        let mut out: Vec<Series> = Vec::new();
        let mut of: Option<(&str, &str)> = None;
        for (i, (key, list)) in self.groups().iter().enumerate() {
            let gatherings =
                list.iter().filter(|at| self.digest(**at).kind() == Some(Kind::Gathering)).count();
            if gatherings == 0 {
                continue;
            }
            // Only where there may be more or fewer than one, corrections have to be asked.
            let gatherings = match self.settled(i, gatherings)? {
                0 => continue,
                n => n,
            };
            let Some(citation) =
                list.iter().find_map(|at| self.ledger().words().citation(self.digest(*at).subject))
            else {
                continue;
            };
            // What has no number stands under the plain series, which comes first of a collector.
            let series_of = (key.collector.as_ref(), key.prefix.as_str());
            let series = match out.last_mut() {
                Some(series) if of == Some(series_of) => series,
                _ if key.unnumbered && of.is_some_and(|of| of.0 == series_of.0) => {
                    let plain = out.iter_mut().rev().find(|s| {
                        fold_person(&s.collector) == key.collector && s.prefix.is_empty()
                    });
                    match plain {
                        Some(series) => series,
                        None => push(&mut out, citation, ""),
                    }
                }
                _ => {
                    of = Some(series_of);
                    push(&mut out, citation, &citation.number.prefix)
                }
            };
            series.take(key, citation, gatherings);
        }
        Ok(out)
    }

    /// The number that the collector's next gathering gets, with the prefix given.
    ///
    /// # Errors
    /// As [`Catalogue::numbering`].
    pub fn next_number(&self, collector: &str, prefix: &str) -> Result<Number, LedgerError> {
        let who = fold_person(collector);
        let series = self
            .numbering()?
            .into_iter()
            .find(|s| fold_person(&s.collector) == who && s.prefix.eq_ignore_ascii_case(prefix));
        Ok(series.map_or_else(
            || Number { prefix: prefix.to_string(), ..Number::plain(1) },
            |s| s.next(),
        ))
    }

    /// What tells a gathering without a number from others of that collector and day: the date,
    /// with a letter where one is there already.
    pub fn next_unnumbered(&self, collector: &str, date: &str) -> Number {
        let plain = |suffix| Number { prefix: String::new(), running: None, suffix };
        let free = |n: &Number| {
            let key = Citation::new(collector, n.clone()).key();
            self.groups().binary_search_by(|(k, _)| k.cmp(&key)).is_err()
        };
        let letters = ('b'..='z').map(|c| c.to_string());
        let beyond = (2_u32..).map(|n| n.to_string());
        let mut tries = std::iter::once(plain(date.to_string()))
            .chain(letters.chain(beyond).map(|l| plain(format!("{date} {l}"))));
        tries.find(free).unwrap_or_else(|| plain(date.to_string()))
    }
}

fn push<'s>(out: &'s mut Vec<Series>, citation: &Citation, prefix: &str) -> &'s mut Series {
    out.push(Series {
        collector: citation.collector.clone(),
        prefix: prefix.to_string(),
        count: 0,
        first: 0,
        last: 0,
        gaps: Vec::new(),
        repeats: Vec::new(),
        unnumbered: 0,
    });
    let last = out.len() - 1;
    &mut out[last]
}

impl Series {
    /// Takes the next key in order.
    fn take(&mut self, key: &Key, citation: &Citation, gatherings: usize) {
        if key.unnumbered {
            self.unnumbered += gatherings as u64;
            return;
        }
        if gatherings > 1 {
            self.repeats.push(Repeat { number: citation.number.clone(), gatherings });
        }
        let n = key.running;
        if self.count == 0 {
            self.first = n;
        } else if n == self.last {
            // 1042a beside 1042
            return;
        } else if n > self.last + 1 {
            self.gaps.push((self.last + 1, n - 1));
        }
        self.count += 1;
        self.last = n;
    }
}
