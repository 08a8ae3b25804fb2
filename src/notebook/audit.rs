//! Everything that is wrong in a notebook, each with file, line and remedy.

use std::collections::HashMap;

use super::catalogue::At;
use super::date::When;
use super::fault::Fault;
use super::ledger::{ASIDE, Ledger, LedgerError, RECORDS};
use super::number::Citation;
use super::record::Kind;
use super::scan::{MOST_FAULTS, more_faults};
use super::settings::{Here, Settings};
use super::specimen::fold;
use crate::text::finding::Severity;

/// The finding that a gathering has a date to come.
pub(super) fn in_the_future(file: &str, line: usize, of: &Citation, date: &When) -> Fault {
    let what = format!("{of} was gathered on {date}, which is still to come");
    Fault::new("future-date", Severity::Warning, file, line, what)
        .why("A slip in the year, or a clock that is wrong.")
        .remedy("Correct the date.")
}

impl Ledger {
    /// What is wrong in the files, in the order of files and lines.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn faults(&self) -> Result<Vec<Fault>, LedgerError> {
        let mut out = Vec::new();
        Settings::load(self.disk().as_ref(), self.folder(), &mut out)?;
        Here::load(self.disk().as_ref(), self.folder(), &mut out)?;
        self.unreadable(&mut out)?;
        self.torn_tails(&mut out);
        self.set_aside(&mut out);
        self.two_versions(&mut out)?;
        self.connections(&mut out)?;
        out.sort_by(|a, b| {
            (&a.file, a.line, a.finding.rule).cmp(&(&b.file, b.line, b.finding.rule))
        });
        out.dedup();
        Ok(out)
    }

    /// Gatherings of a day that is still to come, in the order of files and lines.
    ///
    /// # Errors
    /// Where a file cannot be read.
    pub fn in_the_future(&self, today: &When) -> Result<Vec<Fault>, LedgerError> {
        let catalogue = self.catalogue();
        let mut out = Vec::new();
        for s in catalogue.summaries()? {
            // Of a number given twice the summary has one date.
            if s.date <= today.sort_key() && s.gatherings < 2 {
                continue;
            }
            let specimen = catalogue.specimen(&s.citation.key(), &mut Vec::new())?;
            for g in specimen.iter().flat_map(|s| &s.gatherings) {
                if g.body.date.is_after(today) {
                    out.push(in_the_future(&g.file, g.line, &s.citation, &g.body.date));
                }
            }
        }
        out.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
        Ok(out)
    }

    fn unreadable(&self, out: &mut Vec<Fault>) -> Result<(), LedgerError> {
        for (f, file) in self.files().iter().enumerate() {
            let faulty = file.known.digests.iter().enumerate().filter(|(_, d)| d.faulty);
            for (d, _) in faulty.clone().take(MOST_FAULTS) {
                self.fetch(f, d, out)?;
            }
            if let Some((_, next)) = faulty.clone().nth(MOST_FAULTS) {
                let name = format!("{RECORDS}/{}", file.known.name);
                let more = faulty.count() - MOST_FAULTS;
                out.push(more_faults(&name, next.line as usize, more));
            }
        }
        Ok(())
    }

    fn torn_tails(&self, out: &mut Vec<Fault>) {
        for file in self.files() {
            let Some(torn) = file.torn else { continue };
            let what = format!("the last {} bytes are a record that was not finished", torn.len);
            let line = torn.line as usize;
            let name = format!("{RECORDS}/{}", file.known.name);
            out.push(
                Fault::new("half-written", Severity::Warning, &name, line, what)
                    .why(
                        "The program or the machine stopped while it was written, or another \
                         program is writing it now. It was never confirmed as recorded.",
                    )
                    .remedy(format!(
                        "Finish it by hand and add a line with three full stops; or leave it: the \
                         next record moves it to {ASIDE}/."
                    )),
            );
        }
    }

    fn set_aside(&self, out: &mut Vec<Fault>) {
        let Ok(listed) = self.disk().list(&self.folder().join(ASIDE)) else { return };
        for file in listed.iter().filter(|l| l.name.ends_with(".txt")) {
            let name = format!("{ASIDE}/{}", file.name);
            let what = format!("{} bytes of a half-written record were set aside", file.len);
            out.push(
                Fault::new("set-aside", Severity::Note, &name, 1, what)
                    .remedy("Enter what is in it again if it is missing, then delete the file."),
            );
        }
    }

    /// One id, two texts.
    fn two_versions(&self, out: &mut Vec<Fault>) -> Result<(), LedgerError> {
        let mut seen: HashMap<u64, At> = HashMap::new();
        for (f, file) in self.files().iter().enumerate() {
            for (d, digest) in file.known.digests.iter().enumerate() {
                if digest.kind().is_none() {
                    continue;
                }
                let Some(first) = seen.get(&digest.id).copied() else {
                    seen.insert(digest.id, (f, d));
                    continue;
                };
                if self.files()[first.0].known.digests[first.1].says == digest.says {
                    continue;
                }
                let (Some(a), Some(b)) = (
                    self.fetch(first.0, first.1, &mut Vec::new())?,
                    self.fetch(f, d, &mut Vec::new())?,
                ) else {
                    continue;
                };
                if a.record.id != b.record.id {
                    continue;
                }
                let what = format!(
                    "the record {} stands here in another version than in {}:{}",
                    b.record.id, a.file, a.line
                );
                out.push(
                    Fault::new("two-versions", Severity::Warning, &b.file, b.line, what)
                        .why("One of them was changed by hand; of two, the one is used whose text sorts last.")
                        .remedy("Delete the one that is wrong; change records with a correction."),
                );
            }
        }
        Ok(())
    }

    /// Corrections of nothing, records without a gathering, numbers given twice.
    fn connections(&self, out: &mut Vec<Fault>) -> Result<(), LedgerError> {
        let catalogue = self.catalogue();
        for at in catalogue.dangling() {
            if let Some(placed) = self.fetch(at.0, at.1, &mut Vec::new())? {
                let what = "the record that this corrects is not in the notebook".to_string();
                out.push(
                    Fault::new(
                        "correction-of-nothing",
                        Severity::Warning,
                        &placed.file,
                        placed.line,
                        what,
                    )
                    .why("It may stand in another's ledger that was not merged yet.")
                    .remedy("Merge that ledger, or mend the id after \"correction:\"."),
                );
            }
        }
        for (i, (key, list)) in catalogue.groups().iter().enumerate() {
            let kinds = || list.iter().map(|at| catalogue.digest(*at).kind());
            let gatherings = kinds().filter(|k| *k == Some(Kind::Gathering)).count();
            let corrected = catalogue.is_changed(i);
            if gatherings == 1 && !corrected {
                continue;
            }
            let mut placed = catalogue.records(i, &mut Vec::new())?;
            placed.sort_by(|a, b| (&a.file, a.line).cmp(&(&b.file, b.line)));
            let first = placed.first().map(|p| (p.file.clone(), p.line));
            let specimen = fold(placed, out).into_iter().find(|s| s.key() == *key);
            let (Some(specimen), Some((file, line))) = (specimen, first) else { continue };
            match &specimen.gatherings[..] {
                [_] => {}
                [] if specimen.standing().is_empty() => {}
                [] => {
                    let what = format!("{} has no gathering", specimen.citation);
                    out.push(
                        Fault::new("no-gathering", Severity::Warning, &file, line, what)
                            .why("What is known of its place and date cannot be found.")
                            .remedy("Enter the gathering, or correct the number."),
                    );
                }
                [first, rest @ ..] => {
                    for again in rest {
                        let what = format!(
                            "the number {} was given before, in {}:{}",
                            specimen.citation, first.file, first.line
                        );
                        out.push(
                            Fault::new(
                                "number-repeated",
                                Severity::Error,
                                &again.file,
                                again.line,
                                what,
                            )
                            .why("Two gatherings cannot be told apart by it.")
                            .remedy(
                                "Withdraw one and enter it under a new number. Names, parts and \
                                 notes stand under both until then: withdraw those that belong \
                                 to the other and enter them anew, one by one. Duplicates of one \
                                 gathering are parts, not gatherings.",
                            ),
                        );
                    }
                }
            }
        }
        Ok(())
    }
}
