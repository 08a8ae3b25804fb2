//! How often the rules of style speak on printed floras, against what was counted there by eye and
//! by regular expressions; and that they keep quiet on the keys inside the program.

use std::collections::BTreeMap;

use hilum::check::{Options, examine, rules};
use hilum::craft::adopt;
use hilum::key::{Key, bundled};
use hilum::text::finding::Severity;
use hilum::text::source::Source;

use crate::support::shared;

/// Findings of each rule of style, and the couplets of the file.
fn counts(key: &Key) -> (BTreeMap<&'static str, usize>, usize) {
    let report = examine(key, &Options::default());
    let mut out = BTreeMap::new();
    for f in report.open().filter(|f| rules::find(f.rule).is_some_and(|r| r.style)) {
        *out.entry(f.rule).or_default() += 1;
    }
    (out, key.couplets.len())
}

/// The keys of several manuscripts together, where all are at hand.
fn printed(files: &[&str]) -> Option<(BTreeMap<&'static str, usize>, usize)> {
    let mut all: BTreeMap<&'static str, usize> = BTreeMap::new();
    let mut couplets = 0;
    for file in files {
        let path = shared(&format!("manuscripts/{file}.txt"))?;
        let bytes = std::fs::read(&path).unwrap();
        let adopted = adopt::adopt(file, &bytes, &adopt::Options::default())
            .unwrap_or_else(|e| panic!("{file}: {e}"));
        let key = Key::read(Source::new(*file, adopted.key_text.as_str()));
        let (own, n) = counts(&key);
        couplets += n;
        own.into_iter().for_each(|(rule, n)| *all.entry(rule).or_default() += n);
    }
    println!("{files:?}, {couplets} couplets: {all:?}");
    Some((all, couplets))
}

/// A share of the couplets, at most; the counted base rate stands behind it.
struct Most {
    rule: &'static str,
    of_100: usize,
}

fn hold(files: &[&str], limits: &[Most]) {
    let Some((counts, couplets)) = printed(files) else { return };
    for limit in limits {
        let found = counts.get(limit.rule).copied().unwrap_or(0);
        assert!(
            found * 100 <= limit.of_100 * couplets,
            "{}: {found} of {couplets} couplets, more than {} of 100",
            limit.rule,
            limit.of_100
        );
    }
}

const GLEASON: [&str; 4] = [
    "gleason1918_fagaceae",
    "gleason1918_salicaceae",
    "gleason1918_liliaceae",
    "gleason1918_juncaceae",
];

// Base rates: own counts on the whole books, good to a few per cent. The limits are those rates
// with room for three families of a book.
#[test]
fn a_flora_of_1918_is_nagged_no_more_than_its_base_rates() {
    hold(
        &GLEASON,
        &[
            // The same first word in 89 of 100.
            Most { rule: "first-words-differ", of_100: 11 },
            // 1.7 of 100 have a negative first lead.
            Most { rule: "negative-first", of_100: 4 },
            // 4.4 of 100 have sizes in all leads and no figure.
            Most { rule: "relative-size", of_100: 6 },
            // Unequal numbers of parts in 20 of 100.
            Most { rule: "feature-without-contrast", of_100: 20 },
            // 0.2 of 100.
            Most { rule: "not-as-above", of_100: 1 },
            Most { rule: "geography-alone", of_100: 1 },
            // A hedge in 20 of 100, seldom on the only character.
            Most { rule: "hedged-sole-character", of_100: 5 },
            // 95 of 100 leads have 17 words or fewer.
            Most { rule: "long-lead", of_100: 3 },
        ],
    );
}

#[test]
fn a_key_to_trees_of_1915_is_nagged_no_more_than_its_base_rates() {
    hold(
        &["otis1915_summer_genera"],
        &[
            // The same first word in 100 of 100.
            Most { rule: "first-words-differ", of_100: 2 },
            // 1.5 of 100.
            Most { rule: "negative-first", of_100: 4 },
            // 10 of 100.
            Most { rule: "relative-size", of_100: 12 },
            // Unequal numbers of parts in 12 of 100.
            Most { rule: "feature-without-contrast", of_100: 12 },
            Most { rule: "not-as-above", of_100: 0 },
            Most { rule: "geography-alone", of_100: 0 },
            Most { rule: "hedged-sole-character", of_100: 4 },
            Most { rule: "long-lead", of_100: 4 },
        ],
    );
}

/// What the printed keys are known to hold is found there, and told once.
#[test]
fn a_flora_of_1918_has_these() {
    let Some((counts, _)) = printed(&["gleason1918_liliaceae"]) else { return };
    let of = |rule: &str| counts.get(rule).copied().unwrap_or(0);
    // 21: "Perianth yellow" against "Perianth white, bluish, or pinkish".
    assert_eq!(of("plastic-character"), 1);
    // 2: leaves minute or broad; 31: the stem against its leaves.
    assert_eq!(of("relative-size"), 1);
    assert_eq!(of("first-words-differ"), 1);
    // Pedicels and flower-stalks.
    assert_eq!(of("two-words-for-one-thing"), 1);
    assert_eq!(of("hedged-leads"), 1);
}

/// German has no lists: only the rules that need none speak.
#[test]
fn a_german_flora_is_spared_the_rules_that_need_lists() {
    let Some((counts, _)) = printed(&["schmeil1922_veronica_de"]) else { return };
    let without = [
        "first-words-differ",
        "hedged-leads",
        "hedged-sole-character",
        "long-lead",
        "lopsided-key",
        "negative-first",
        "sole-character",
    ];
    for rule in counts.keys() {
        assert!(without.contains(rule), "{rule}");
    }
}

#[test]
fn the_keys_inside_the_program_have_no_open_warning() {
    for bundled in bundled::ALL {
        let key = bundled.key();
        println!("{}: {:?}", bundled.name, counts(&key));
        let report = examine(&key, &Options::default());
        let open: Vec<_> = report
            .open()
            .filter(|f| f.severity > Severity::Note)
            .map(|f| (f.rule, &f.what))
            .collect();
        assert!(open.is_empty(), "{}: {open:?}", bundled.name);
    }
}
