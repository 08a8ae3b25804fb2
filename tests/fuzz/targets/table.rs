//! Any bytes as a table with a map of its columns, parted by a zero: no row is dropped, and the
//! records made of it are the same when they are written and read again.
#![no_main]

use hilum::notebook::import::{ColumnMap, columns, read, refused_table};
use hilum::notebook::record::{Kind, Record};
use hilum::notebook::scan::read_documents;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if bytes.len() > 16_384 {
        return;
    }
    let (own, table) = match bytes.iter().position(|b| *b == 0) {
        Some(at) => (&bytes[..at], &bytes[at + 1..]),
        None => (&b""[..], bytes),
    };
    let Ok((names, _)) = columns(table) else { return };
    let guessed = ColumnMap::guess(&names);
    assert_eq!(ColumnMap::read(&guessed.text()).as_ref(), Ok(&guessed), "{}", guessed.text());
    let own = std::str::from_utf8(own).ok().and_then(|t| ColumnMap::read(t).ok());
    for map in own.into_iter().chain([guessed]) {
        let map = map.with_collector("A. K. Ashdown");
        let Ok(out) = read(table, "table.csv", &map) else { continue };
        let taken = out.records.iter().filter(|r| r.kind() == Kind::Gathering).count();
        let back = out.refused.iter().filter(|r| !r.cells.is_empty()).count();
        assert_eq!(taken + back, out.rows, "a row is in neither place");
        assert!(out.faults.iter().all(|f| !f.finding.remedy.is_empty() && f.line > 0));
        let text: String = out.records.iter().map(Record::document).collect();
        let again = read_documents(text.as_bytes(), "again.yaml", &mut Vec::new());
        let again: Vec<Record> = again.into_iter().map(|p| p.record).collect();
        assert_eq!(again, out.records);
        let refused = refused_table(&out.columns, &out.refused);
        assert!(columns(refused.as_bytes()).is_ok());
    }
});
