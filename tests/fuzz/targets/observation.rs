//! Any line as what somebody typed about a specimen, against a bundled key.
#![no_main]

use std::sync::OnceLock;

use hilum::key::{ConditionId, Key, bundled};
use hilum::sift::suggest::suggest;
use hilum::sift::{Table, agree, misfits_of, read_observation};
use libfuzzer_sys::fuzz_target;

fn ground() -> &'static (Key, Table) {
    static GROUND: OnceLock<(Key, Table)> = OnceLock::new();
    GROUND.get_or_init(|| {
        let key = bundled::ALL[0].key();
        let table = Table::of(&key);
        (key, table)
    })
}

fuzz_target!(|text: &str| {
    let (key, table) = ground();
    let lexicon = key.lexicon();
    for condition in [ConditionId(0), ConditionId(1)] {
        if let Ok(seen) = read_observation(key, &lexicon, text, condition) {
            assert!(!seen.is_empty());
            let agreement = agree(table, &seen, 1);
            for row in 0..table.rows() {
                let misfits = misfits_of(table, &seen, row).len();
                assert_eq!(agreement.agreeing().contains(row), misfits == 0);
            }
        }
    }
    let _ = suggest(key, key.heading.language, text);
});
