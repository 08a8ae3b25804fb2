//! Any bytes as a key file: read, examined, laid out anew.
#![no_main]

use hilum::check::{Options, examine};
use hilum::key::Key;
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::tidy::{BackReferences, TidyOptions, tidy};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(source) = Source::from_bytes("fuzzed.key", bytes.to_vec()) else { return };
    let parsed = parse(source);
    let key = Key::of(&parsed);
    let report = examine(&key, &Options::default());
    let text = parsed.tree.text();
    for f in &report.findings {
        assert!(text.get(f.span.range()).is_some(), "{} stands outside the text", f.rule);
    }
    let options = TidyOptions::default();
    let once = tidy(&parsed, &options);
    let again = parse(Source::new("fuzzed.key", once.as_str()));
    assert_eq!(tidy(&again, &options), once, "tidy is not done in one go");
    let after = Key::of(&again);
    assert_eq!(key.couplets.len(), after.couplets.len(), "tidy made other couplets");
    assert_eq!(key.taxa.len(), after.taxa.len(), "tidy made other taxa");
    assert_eq!(key.share, after.share, "tidy changed what statements are read");
    let renumbered =
        TidyOptions { renumber: true, back_references: BackReferences::Write, width: 60 };
    let _ = tidy(&parsed, &renumbered);
});
