//! `notebook list`: specimens a line each, all or those that are looked for.

use std::io::Write;

use anyhow::{Result, bail};
use clap::{Args, ValueEnum};
use unicode_width::UnicodeWidthStr;

use super::Place;
use super::desk::{self, Desk};
use crate::cli::{Outcome, Terminal};
use crate::notebook::catalogue::Summary;
use crate::notebook::search::{Search, State};
use crate::text::shown::shown;

/// List specimens: all, or by number, name, place, date, part, state
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  hilum notebook --in oren list
  hilum notebook --in oren list 1040-1050
  hilum notebook --in oren list --name Papaver --state unconfirmed
  hilum notebook --in oren list --since 2026-05-01 --part \"seed packet\"

With --json
  {\"format\":1, \"specimens\":[{\"citation\":{\"collector\", \"number\"}, \"date\":
  [year, month, day], zeros where unknown, \"place\", \"habitat\", \"name\", \"family\",
  \"determined_by\", \"confirmed\", \"parts\", \"gatherings\", \"determinations\",
  \"observations\", \"notes\", \"withhold\"}]}")]
pub struct List {
    /// A number, or a run of them: 1040-1050
    numbers: Option<String>,
    /// Whose numbers: part of the collector's name
    #[arg(long, value_name = "NAME")]
    collector: Option<String>,
    /// Part of the name or the family
    #[arg(long)]
    name: Option<String>,
    /// Part of the place or the habitat
    #[arg(long)]
    place: Option<String>,
    /// Gathered on this date or later
    #[arg(long, value_name = "DATE")]
    since: Option<String>,
    /// Gathered on this date or earlier
    #[arg(long, value_name = "DATE")]
    until: Option<String>,
    /// With a part of this kind
    #[arg(long)]
    part: Option<String>,
    /// With a part of this standing: missing, on loan ...
    #[arg(long)]
    status: Option<String>,
    /// How far the name has come
    #[arg(long)]
    state: Option<StateArg>,
    /// These words stand anywhere in its records (slow in a large notebook)
    #[arg(long, value_name = "WORDS")]
    mentions: Option<String>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum StateArg {
    /// No determination
    Unnamed,
    /// A name with cf., aff. or ?, or of a genus only
    Doubtful,
    /// A sure name that nobody has confirmed
    Unconfirmed,
    /// A name that somebody has confirmed
    Confirmed,
}

impl List {
    pub fn run(self, place: &Place, terminal: &mut Terminal) -> Result<Outcome> {
        let desk = Desk::open(place)?;
        let search = self.search()?;
        let catalogue = desk.ledger.catalogue();
        let mut found: Vec<Summary> = catalogue.summaries().map_err(desk::told)?;
        found.retain(|s| search.wants(s));
        if let Some(words) = &self.mentions {
            let mut kept = Vec::new();
            for s in found {
                let specimen =
                    catalogue.specimen(&s.citation.key(), &mut Vec::new()).map_err(desk::told)?;
                if specimen.is_some_and(|s| s.mentions(words)) {
                    kept.push(s);
                }
            }
            found = kept;
        }
        if terminal.json {
            terminal.print_json(&serde_json::json!({"format": 1, "specimens": found}))?;
            return Ok(Outcome::Well);
        }
        let people: std::collections::BTreeSet<&str> =
            found.iter().map(|s| s.citation.collector.as_str()).collect();
        let one_person = people.len() == 1;
        let width = terminal.width;
        let numbers: Vec<String> = found.iter().map(|s| number(s, one_person)).collect();
        let widest = |widths: &mut dyn Iterator<Item = usize>| widths.max().unwrap_or(0);
        let columns = (
            widest(&mut numbers.iter().map(|n| n.width())).clamp(4, 28),
            widest(&mut found.iter().map(|s| named(s).width())).clamp(12, 40),
        );
        for (s, number) in found.iter().zip(&numbers) {
            for line in lines(s, number, columns, width) {
                writeln!(terminal, "{line}")?;
            }
        }
        writeln!(terminal, "{} of {}", found.len(), catalogue.len())?;
        Ok(Outcome::Well)
    }

    fn search(&self) -> Result<Search> {
        let date = |t: &Option<String>| t.as_deref().map(|t| desk::date(Some(t))).transpose();
        let numbers = match self.numbers.as_deref() {
            None => None,
            Some(text) => match (desk::run(text), text.parse()) {
                (Some(run), _) => Some(run),
                (None, Ok(n)) => Some((n, n)),
                (None, Err(_)) => bail!("\"{text}\" is no number and no run such as 1040-1050"),
            },
        };
        Ok(Search {
            collector: self.collector.clone(),
            numbers,
            name: self.name.clone(),
            place: self.place.clone(),
            since: date(&self.since)?,
            until: date(&self.until)?,
            part: self.part.clone(),
            status: self.status.clone(),
            state: self.state.map(|s| match s {
                StateArg::Unnamed => State::Unnamed,
                StateArg::Doubtful => State::Doubtful,
                StateArg::Unconfirmed => State::Unconfirmed,
                StateArg::Confirmed => State::Confirmed,
            }),
        })
    }
}

/// The number, with the collector where there are several.
fn number(s: &Summary, one_person: bool) -> String {
    if one_person { s.citation.number.to_string() } else { s.citation.to_string() }
}

/// The name, and whether someone confirmed it.
fn named(s: &Summary) -> String {
    let mark = if s.confirmed { " (conf.)" } else { "" };
    s.name.as_ref().map_or("-".to_string(), |n| format!("{n}{mark}"))
}

/// `columns` are the widths of the numbers and of the names:
/// `1042  2026-05-02  Papaver dubium L. (conf.)  upper Oren valley ...`. Where that is wider than
/// the window, place and parts stand on a line of their own.
fn lines(s: &Summary, number: &str, columns: (usize, usize), width: usize) -> Vec<String> {
    let (y, m, d) = s.date;
    let date = match (y, m, d) {
        (0, _, _) => "-".to_string(),
        (y, 0, _) => format!("{y}"),
        (y, m, 0) => format!("{y}-{m:02}"),
        (y, m, d) => format!("{y}-{m:02}-{d:02}"),
    };
    let named = named(s);
    let blanks = " ".repeat(columns.0.saturating_sub(number.width()));
    let head = format!("{number}{blanks}  {date:<10}");
    let twice = if s.gatherings > 1 { "number given twice; " } else { "" };
    let parts: Vec<&str> = s.parts.iter().map(|p| p.what.as_str()).collect();
    let parts = if parts.is_empty() { String::new() } else { format!(" [{}]", parts.join(", ")) };
    let place = s.place.clone().unwrap_or_default();
    let rest = format!("{twice}{place}{parts}");
    let blanks = " ".repeat(columns.1.saturating_sub(named.width()));
    let whole = format!("{head}  {named}{blanks}  {rest}");
    let whole = shown(whole.trim_end());
    if whole.width() <= width {
        return vec![whole.into_owned()];
    }
    let mut out = Vec::new();
    let first = format!("{head}  {named}");
    let first = shown(&first);
    if first.width() <= width {
        out.push(first.into_owned());
    } else {
        out.push(cut(&shown(&head), width));
        out.push(cut(&format!("    {}", shown(&named)), width));
    }
    if !rest.is_empty() {
        out.push(cut(&format!("    {}", shown(rest.trim_start())), width));
    }
    out
}

/// As much as a line holds, and a sign where more was there.
pub fn cut(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let mut out = String::new();
    for c in text.chars() {
        out.push(c);
        if out.width() >= width {
            out.pop();
            break;
        }
    }
    out.push('…');
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::notebook::number::{Citation, Number};

    #[test]
    fn what_does_not_fit_stands_on_a_line_of_its_own() {
        let s = Summary {
            citation: Citation::new("A. Ashdown", Number::plain(2291)),
            date: (2025, 5, 4),
            place: Some("terrace below the spring, two kilometres north of Tell Sura".into()),
            habitat: None,
            name: Some("Adonis aestivalis L.".into()),
            family: None,
            determined_by: None,
            confirmed: true,
            parts: Vec::new(),
            gatherings: 2,
            determinations: 1,
            observations: 0,
            notes: 0,
            withhold: false,
        };
        let at = |width| lines(&s, "2291", (6, 40), width);
        assert_eq!(at(200).len(), 1);
        assert_eq!(
            at(80),
            [
                "2291    2025-05-04  Adonis aestivalis L. (conf.)",
                "    number given twice; terrace below the spring, two kilometres north of Tell …"
            ]
        );
        let narrow = at(40);
        assert_eq!(narrow[1], "    Adonis aestivalis L. (conf.)");
        assert!(narrow.iter().all(|l| l.width() <= 40) && narrow[2].ends_with('…'));
    }
}
