//! Killed at every write: nothing acknowledged is lost, and the ledger always opens.
//!
//! `HILUM_KILLS` sets the number of runs on the simulated disk, a twentieth of it that of real
//! processes killed.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

use hilum::notebook::ledger::{Ledger, LedgerError};
use hilum::notebook::record::Record;
use hilum::notebook::settings::Settings;

use super::ledger::{WHO, at, begin, gathering, note, open, specimen};
use super::plug::{Fate, Plug};

fn runs() -> u64 {
    std::env::var("HILUM_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(200)
}

fn ids(ledger: &Ledger) -> BTreeSet<String> {
    let catalogue = ledger.catalogue();
    let mut out = BTreeSet::new();
    for key in catalogue.keys() {
        let s = catalogue.specimen(key, &mut Vec::new()).unwrap().unwrap();
        out.extend(s.standing().iter().map(|r| r.id.to_string()));
    }
    out
}

/// What one run did.
#[derive(Default, Debug)]
struct Tally {
    cuts: u64,
    refusals: u64,
    acknowledged: u64,
    set_aside: u64,
    half_written: u64,
}

fn batch(seed: u64, i: u32, plug: &Plug) -> Vec<Record> {
    let number = u64::from(i) / 3 + 1;
    let n = 1 + plug.roll(3) as u32;
    (0..n)
        .map(|k| match (i, k) {
            (_, 0) if i.is_multiple_of(3) => gathering(number, i * 10),
            _ => note(number, &format!("run {seed}\nstep {i} line {k}: all's well"), i * 10 + k),
        })
        .collect()
}

/// One life of a notebook: written until the plug is pulled, restarted, and again.
fn live(seed: u64, fate: Fate, tally: &mut Tally) {
    let folder = PathBuf::from("/oren");
    let mut plug = Plug::new(seed + 1);
    let mut acknowledged: BTreeSet<String> = BTreeSet::new();
    let mut offered: BTreeSet<String> = BTreeSet::new();
    let mut begun = false;
    let mut step = 0;
    for _ in 0..4 {
        let after = 1 + plug.roll(24) as u64;
        plug.fate(after, fate);
        let disk = Arc::new(plug.clone());
        let mut ledger = if begun {
            Some(Ledger::open(&folder, disk).unwrap_or_else(|e| panic!("{seed}: {e}")))
        } else {
            let settings = Settings::new("Oren".into());
            match Ledger::begin(&folder, disk.clone(), &settings) {
                Ok(ledger) => {
                    begun = true;
                    Some(ledger)
                }
                // it was begun, though the power went before that was said
                Err(LedgerError::IsANotebook(_)) => {
                    begun = true;
                    Some(Ledger::open(&folder, disk).unwrap())
                }
                Err(_) => None,
            }
        };
        for _ in 0..6 {
            let Some(ledger) = &mut ledger else { break };
            step += 1;
            let hand = ["ashdown", "holt"][plug.roll(2)];
            let records = batch(seed, step, &plug);
            offered.extend(records.iter().map(|r| r.id.to_string()));
            match ledger.append(&records, hand, &at(0)) {
                Ok(done) => {
                    tally.acknowledged += done.ids.len() as u64;
                    acknowledged.extend(done.ids.iter().map(ToString::to_string));
                }
                Err(e) => {
                    tally.refusals += 1;
                    assert!(
                        e.to_string().starts_with("nothing was recorded") || plug.is_dead(),
                        "{e}"
                    );
                    if !plug.is_dead() {
                        plug.make_room();
                        let now = ids(&open_on(&folder, &plug));
                        assert!(now.is_superset(&acknowledged), "{seed}: lost at once");
                    }
                }
            }
        }
        drop(ledger);
        if plug.is_dead() {
            tally.cuts += 1;
            plug = plug.restart();
        } else {
            plug.make_room();
        }
        if !begun {
            continue;
        }
        let ledger = open_on(&folder, &plug);
        let now = ids(&ledger);
        let lost: Vec<_> = acknowledged.difference(&now).collect();
        assert!(lost.is_empty(), "seed {seed}: lost {lost:?}\n{:#?}", texts(&plug));
        let invented: Vec<_> = now.difference(&offered).collect();
        assert!(invented.is_empty(), "seed {seed}: invented {invented:?}");
        let faults = ledger.faults().unwrap();
        tally.half_written += u64::from(faults.iter().any(|f| f.finding.rule == "half-written"));
        for f in &faults {
            let known = ["half-written", "set-aside", "no-gathering"].contains(&f.finding.rule);
            assert!(known, "seed {seed}: {f}");
        }
    }
    let aside = plug.contents().keys().filter(|p| p.starts_with("/oren/aside")).count();
    tally.set_aside += aside as u64;
}

fn open_on(folder: &Path, plug: &Plug) -> Ledger {
    Ledger::open(folder, Arc::new(plug.clone())).unwrap()
}

fn texts(plug: &Plug) -> Vec<(PathBuf, String)> {
    let contents = plug.contents().into_iter();
    contents.map(|(p, b)| (p, String::from_utf8_lossy(&b).into_owned())).collect()
}

#[test]
fn the_plug_is_pulled_at_every_write() {
    let mut tally = Tally::default();
    for seed in 0..runs() {
        live(seed, Fate::PowerCut, &mut tally);
    }
    eprintln!("power cuts: {tally:?} in {} runs", runs());
    assert!(tally.cuts > runs() && tally.half_written > 0 && tally.set_aside > 0, "{tally:?}");
}

#[test]
fn the_disk_is_full_or_fails_once() {
    let mut tally = Tally::default();
    for seed in 0..runs() {
        let fate = [Fate::DiskFull, Fate::Hiccup][seed as usize % 2];
        live(seed, fate, &mut tally);
    }
    eprintln!("refusals: {tally:?} in {} runs", runs());
    assert!(tally.refusals > runs() / 2, "{tally:?}");
}

/// Not a test of its own: run by the others as a process of its own, it writes notes and says
/// after each that it is safe.
#[test]
fn child_that_writes() {
    let Some(folder) = std::env::var_os("HILUM_CHILD") else { return };
    let name = std::env::var("HILUM_CHILD_NAME").unwrap();
    let count: u32 = std::env::var("HILUM_CHILD_COUNT").unwrap().parse().unwrap();
    let mut ledger = open(Path::new(&folder));
    let mut out = std::io::stdout();
    for i in 0..count {
        let text = format!("{name} {i} {}", "x".repeat(i as usize % 200));
        match ledger.append(&[note(1, &text, i)], WHO, &at(0)) {
            Ok(done) => writeln!(out, "\nsafe {}", done.ids[0]).unwrap(),
            Err(e) => {
                writeln!(out, "\nrefused {e}").unwrap();
                break;
            }
        }
        out.flush().unwrap();
    }
}

fn child(folder: &Path, name: &str, count: u32, shell: &str) -> std::process::Child {
    Command::new("sh")
        .arg("-c")
        .arg(format!("{shell} exec \"$0\" notebook::kill::child_that_writes --exact --nocapture"))
        .arg(std::env::current_exe().unwrap())
        .env("HILUM_CHILD", folder)
        .env("HILUM_CHILD_NAME", name)
        .env("HILUM_CHILD_COUNT", count.to_string())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn safe(lines: impl Iterator<Item = std::io::Result<String>>) -> Vec<String> {
    lines
        .map_while(Result::ok)
        .filter_map(|l| l.strip_prefix("safe ").map(str::to_string))
        .collect()
}

#[test]
fn processes_are_killed_while_they_write() {
    let folder = tempfile::tempdir().unwrap();
    begin(folder.path()).append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    let mut acknowledged: BTreeSet<String> = BTreeSet::new();
    let rounds = (runs() / 20).max(5);
    for round in 0..rounds {
        let mut child = child(folder.path(), &format!("round {round}"), 100_000, "");
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        // some notes in, then at once
        let wait = round % 5;
        let mut seen = 0;
        let mut said = Vec::new();
        while seen < wait {
            let Some(Ok(line)) = lines.next() else { break };
            if let Some(id) = line.strip_prefix("safe ") {
                said.push(id.to_string());
                seen += 1;
            }
        }
        std::thread::sleep(std::time::Duration::from_micros(round * 677 % 9000));
        child.kill().unwrap();
        child.wait().unwrap();
        said.extend(safe(lines));
        acknowledged.extend(said);
    }
    let ledger = open(folder.path());
    let now = ids(&ledger);
    let lost = acknowledged.difference(&now).count();
    eprintln!("{rounds} processes killed, {} notes acknowledged, {lost} lost", acknowledged.len());
    assert_eq!(lost, 0);
    assert!(acknowledged.len() as u64 >= rounds);
}

#[test]
fn two_programs_write_at_once() {
    let folder = tempfile::tempdir().unwrap();
    begin(folder.path()).append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    let children: Vec<_> =
        ["one", "two", "three"].iter().map(|n| child(folder.path(), n, 40, "")).collect();
    let mut acknowledged = 0;
    for c in children {
        let out = c.wait_with_output().unwrap();
        acknowledged += safe(out.stdout.lines()).len();
    }
    let ledger = open(folder.path());
    assert_eq!(acknowledged, 120);
    assert_eq!(specimen(&ledger, 1).notes.len(), 120);
    assert_eq!(ledger.faults().unwrap(), []);
}

/// A limit on the size of files, as the system enforces it: a real write that fails half-way.
#[test]
fn the_system_refuses_in_the_middle_of_a_write() {
    let folder = tempfile::tempdir().unwrap();
    begin(folder.path()).append(&[gathering(1, 0)], WHO, &at(0)).unwrap();
    let out =
        child(folder.path(), "big", 400, "trap '' XFSZ; ulimit -f 16;").wait_with_output().unwrap();
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(text.contains("refused nothing was recorded"), "{text}");
    let said = safe(text.as_bytes().lines());
    let mut ledger = open(folder.path());
    let s = specimen(&ledger, 1);
    assert_eq!(s.notes.len(), said.len());
    assert!(said.len() > 10);
    assert_eq!(ledger.faults().unwrap(), [], "what was half written was taken away again");
    ledger.append(&[note(1, "there is room again", 900)], WHO, &at(0)).unwrap();
    assert_eq!(specimen(&ledger, 1).notes.len(), said.len() + 1);
}
