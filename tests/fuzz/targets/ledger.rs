//! Any bytes as a file of a ledger, parted by zeros into several files: it opens, every fault names
//! a line that is there and what to do, what is read is the same when it is written and read again,
//! and the stored index says what the files say.
#![no_main]

use std::path::Path;
use std::sync::Arc;

use hilum::notebook::disk::Disk;
use hilum::notebook::fault::Fault;
use hilum::notebook::ledger::Ledger;
use hilum::notebook::record::{Placed, Record};
use hilum::notebook::scan::read_documents;
use hilum::notebook::search::Search;
use hilum::notebook::settings::Settings;
use hilum::notebook::specimen::fold;
use libfuzzer_sys::fuzz_target;

#[allow(dead_code)]
#[path = "../../it/notebook/plug.rs"]
mod plug;

fuzz_target!(|bytes: &[u8]| {
    if bytes.len() > 16_384 {
        return;
    }
    let folder = Path::new("/oren");
    let disk = plug::Plug::new(1);
    let disk: Arc<dyn Disk> = Arc::new(disk);
    drop(Ledger::begin(folder, disk.clone(), &Settings::new("Oren".into())).unwrap());
    let mut lines = Vec::new();
    for (i, part) in bytes.splitn(3, |b| *b == 0).enumerate() {
        let name = format!("records/hand-{i}.yaml");
        disk.append(&folder.join(&name), part).unwrap();
        lines.push((name, 1 + part.iter().filter(|b| **b == b'\n').count()));
    }
    let said = |faults: &[Fault]| {
        for f in faults {
            let (_, last) = lines.iter().find(|l| l.0 == f.file).unwrap();
            assert!((1..=*last).contains(&f.line), "{f}");
            assert!(!f.finding.remedy.is_empty(), "{f}");
        }
    };

    let ledger = Ledger::open(folder, disk.clone()).unwrap();
    let faults = ledger.faults().unwrap();
    said(&faults);
    let state = state(&ledger);
    let mut found = Vec::new();
    let records = ledger.everything(&mut found).unwrap();
    said(&found);
    let folded = fold(records.clone(), &mut found);
    said(&found);
    assert_eq!(serde_json::to_value(&folded).unwrap(), state, "the index leads elsewhere");
    drop(ledger);

    // from the index
    let mut ledger = Ledger::open(folder, disk.clone()).unwrap();
    assert_eq!(ledger.faults().unwrap(), faults);
    assert_eq!(self::state(&ledger), state);

    // written and read again
    let texts: Vec<String> = records.iter().map(|p| p.record.document()).collect();
    let mut found = Vec::new();
    let again = read_documents(texts.concat().as_bytes(), "again.yaml", &mut found);
    let bare = |placed: &[Placed]| placed.iter().map(|p| p.record.clone()).collect::<Vec<Record>>();
    assert_eq!(bare(&again), bare(&records));
    // and in any order
    let mut turned = records;
    turned.reverse();
    let turned = fold(turned, &mut Vec::new());
    assert_eq!(serde_json::to_value(&turned).unwrap(), state, "the order counts");

    // appended to, in a file of its own and in theirs
    for (hand, record) in ["hand", "other"].iter().zip(again) {
        let at = hilum::notebook::record::Written::read("2026-05-02T06:00:00Z").unwrap();
        ledger.append(&[record.record], hand, &at).unwrap();
    }
    assert_eq!(self::state(&ledger), state, "a record that was there changed something");
    let wanted = Search { name: Some("a".into()), place: Some("e".into()), ..Search::default() };
    let _ = ledger.catalogue().summaries().unwrap().iter().filter(|s| wanted.wants(s)).count();
});

/// Every specimen, found one by one by its number.
fn state(ledger: &Ledger) -> serde_json::Value {
    let catalogue = ledger.catalogue();
    let mut out = Vec::new();
    for key in catalogue.keys() {
        out.extend(catalogue.specimen(key, &mut Vec::new()).unwrap());
    }
    for s in &out {
        let _ = (s.current(), s.mentions("red"), s.standing());
    }
    let lines = catalogue.summaries().unwrap();
    for line in &lines {
        let s = out.iter().find(|s| s.key() == line.citation.key()).unwrap();
        assert_eq!(line.name.as_ref(), s.current().map(|c| &c.named.body.name));
        assert_eq!(line.gatherings, s.gatherings.len());
    }
    for series in catalogue.numbering().unwrap() {
        let _ = (series.next(), series.missing());
    }
    serde_json::to_value(out).unwrap()
}
