//! Any number of people's ledgers, merged in any order, by command or side by side as files:
//! corrections before what they correct, records twice and in two versions.

use std::path::Path;
use std::sync::Arc;

use hilum::notebook::disk::Disk;
use hilum::notebook::ledger::Ledger;
use hilum::notebook::record::{Body, Id, Record};
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::fold;
use proptest::prelude::*;

use super::ledger::{at, gathering, named, note, records, state_of};
use super::plug::Plug;

const FOLDER: &str = "/oren";

fn begin(plug: &Plug) -> Ledger {
    let disk: Arc<dyn Disk> = Arc::new(plug.clone());
    Ledger::begin(Path::new(FOLDER), disk, &Settings::new("Oren".into())).unwrap()
}

fn open(plug: &Plug) -> Ledger {
    Ledger::open(Path::new(FOLDER), Arc::new(plug.clone())).unwrap()
}

/// As the command does: everything of the other is appended by one's own hand.
fn merge(other: &Ledger, into: &mut Ledger, hand: &str) {
    let placed = other.everything(&mut Vec::new()).unwrap();
    let records: Vec<Record> = placed.into_iter().map(|p| p.record).collect();
    into.append(&records, hand, &at(0)).unwrap();
}

/// Some records edited by hand under the same id: another text, or another number.
fn with_versions(records: &[Record], picks: &[u8]) -> Vec<Record> {
    let mut out = records.to_vec();
    for (record, pick) in records.iter().zip(picks) {
        let mut other = match pick % 8 {
            0 => note(2, "another text", 30),
            1 => gathering(3, 31),
            2 => named(1, "Rosa canina L.", "2026-06-01", 32),
            _ => continue,
        };
        if matches!(record.body, Body::Correction(_)) {
            other = record.clone();
            if let Body::Correction(c) = &mut other.body {
                c.reason = Some("read again".into());
            }
        }
        other.id = record.id.clone();
        out.push(other);
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn any_number_of_ledgers_in_any_order(
        records in records(),
        picks in prop::collection::vec(any::<u8>(), 14),
        people in 2..6_usize,
        owners in prop::collection::vec(any::<u8>(), 40),
        order in prop::collection::vec((0..6_usize, 0..6_usize), 0..8),
    ) {
        let all = with_versions(&records, &picks);
        let hands = ["ashdown", "holt", "oren", "sura", "weir", "lund"];
        let plugs: Vec<Plug> = (0..people).map(|n| Plug::new(n as u64)).collect();
        let mut ledgers: Vec<Ledger> = plugs.iter().map(begin).collect();
        // everyone holds some, the last first; many are held twice, and every one by someone
        for (n, ledger) in ledgers.iter_mut().enumerate() {
            let mut own: Vec<Record> = all
                .iter()
                .enumerate()
                .filter(|(i, _)| i % people == n || owners[i % 40] >> n & 1 == 1)
                .map(|(_, r)| r.clone())
                .collect();
            if n % 2 == 0 {
                own.reverse();
            }
            for r in own {
                ledger.append(&[r], hands[n], &at(0)).unwrap();
            }
        }
        // some merge with some, as they meet
        for (from, to) in order {
            let (from, to) = (from % people, to % people);
            if from != to {
                merge(&open(&plugs[from]), &mut ledgers[to], hands[to]);
            }
        }
        // then everyone with the first, and the first with everyone
        for plug in &plugs[1..] {
            merge(&open(plug), &mut ledgers[0], hands[0]);
        }
        let whole = state_of(&ledgers[0]);
        for n in (1..people).rev() {
            merge(&open(&plugs[0]), &mut ledgers[n], hands[n]);
            prop_assert_eq!(&state_of(&ledgers[n]), &whole);
        }
        // from the index
        drop(ledgers);
        for plug in &plugs {
            prop_assert_eq!(&state_of(&open(plug)), &whole);
        }
        // as files side by side, every record there several times
        let beside = Plug::new(99);
        drop(begin(&beside));
        for (n, plug) in plugs.iter().enumerate() {
            for (path, bytes) in plug.contents() {
                if path.starts_with("/oren/records") {
                    let name = path.file_name().unwrap().to_string_lossy().into_owned();
                    let path = Path::new("/oren/records").join(format!("{n}-{name}"));
                    beside.append(&path, &bytes).unwrap();
                }
            }
        }
        prop_assert_eq!(&state_of(&open(&beside)), &whole);
        // and folded all at once, without any index
        let placed = open(&plugs[0]).everything(&mut Vec::new()).unwrap();
        let folded = fold(placed, &mut Vec::new());
        let ledger = open(&plugs[0]);
        let catalogue = ledger.catalogue();
        let paged: Vec<_> = catalogue
            .keys()
            .filter_map(|k| catalogue.specimen(k, &mut Vec::new()).unwrap())
            .collect();
        prop_assert_eq!(
            serde_json::to_string(&paged).unwrap(),
            serde_json::to_string(&folded).unwrap()
        );
    }
}

/// A record whose number was changed by hand on one side of a merge is one record, not two.
#[test]
fn a_record_in_two_versions_under_two_numbers_counts_once() {
    let plug = Plug::new(1);
    let mut ledger = begin(&plug);
    let first = gathering(1, 0);
    let mut other = gathering(2, 0);
    other.id = first.id.clone();
    ledger.append(&[first, other], "ashdown", &at(0)).unwrap();
    let catalogue = ledger.catalogue();
    let found: Vec<_> =
        catalogue.keys().filter_map(|k| catalogue.specimen(k, &mut Vec::new()).unwrap()).collect();
    assert_eq!(found.len(), 1);
    assert_eq!(catalogue.summaries().unwrap().len(), 1);
    assert_eq!(catalogue.numbering().unwrap()[0].count, 1);
    let rules: Vec<_> = ledger.faults().unwrap().iter().map(|f| f.finding.rule).collect();
    assert_eq!(rules, ["two-versions"]);
}

/// A chain of confirmations, and one of corrections, is followed in time that grows with it.
#[test]
fn long_chains_are_followed_once() {
    let plug = Plug::new(1);
    let mut ledger = begin(&plug);
    let mut records = vec![gathering(1, 0)];
    let mut last: Option<Id> = None;
    for n in 0..3000_u32 {
        let mut det = named(1, "Papaver rhoeas L.", "2026-05-02", n % 3000);
        if let (Body::Determination(d), Some(id)) = (&mut det.body, &last) {
            d.confirms = Some(id.to_string());
        }
        det.id = Id::written(&format!("det-{n}"));
        last = Some(det.id.clone());
        records.push(det);
    }
    let mut target = records[0].id.clone();
    for n in 0..3000_u32 {
        let mut c = hilum::notebook::record::Correction::new();
        c.withdraw = true;
        let record = Record::correcting(target, Some(at(n)), c);
        target = record.id.clone();
        records.push(record);
    }
    ledger.append(&records, "ashdown", &at(0)).unwrap();
    let catalogue = ledger.catalogue();
    let key = catalogue.keys().next().unwrap().clone();
    let s = catalogue.specimen(&key, &mut Vec::new()).unwrap().unwrap();
    let current = s.current().unwrap();
    assert_eq!(current.named.id.as_str(), "det-0");
    assert_eq!(s.confirmations(current.named).count(), 2999);
    let confirmed: usize = s.determinations.iter().map(|d| s.confirmations(d).count()).sum();
    assert_eq!(confirmed, 2999);
    assert_eq!(s.corrections.len(), 3000);
    assert!(catalogue.summaries().unwrap()[0].confirmed);
}
