//! Any text as an amount, in every language: what is read is an amount alone and can be written.
#![no_main]

use hilum::text::amount::Unit;
use hilum::text::language;
use hilum::text::notation::{read, read_count, read_ratio, write};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    for language in language::ALL {
        for entry in [read, read_count] {
            let Some(r) = entry(text, language) else { continue };
            assert!(r.len > 0 && text.get(..r.len).is_some());
            assert!(!r.amount.extents.is_empty());
            for fault in &r.faults {
                assert!(text.get(fault.span.clone()).is_some() && fault.span.end <= r.len);
            }
            if r.is_spoilt() {
                continue;
            }
            for e in &r.amount.extents {
                assert!(!e.usual.is_void() && e.extreme.covers(&e.usual));
            }
            let unit = r.unit.unwrap_or(Unit::Count);
            let written = write(&r.amount, unit, language);
            assert!(read(&written, language).is_some(), "wrote `{written}`, which cannot be read");
        }
        let _ = read_ratio(text, "as long as wide", language);
        let _ = read_ratio(text, "", language);
    }
});
