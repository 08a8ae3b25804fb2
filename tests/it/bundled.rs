//! The keys that come with the program: sound, tidy, and true to what they promise.

use hilum::check::{Options, examine};
use hilum::key::bundled;
use hilum::text::finding::Severity;
use hilum::text::parse::parse;
use hilum::text::tidy::{TidyOptions, tidy};

#[test]
fn they_have_no_open_error_or_warning() {
    for b in bundled::ALL {
        let report = examine(&b.key(), &Options::default());
        let open: Vec<_> = report
            .findings
            .iter()
            .filter(|f| f.intended.is_none() && f.severity > Severity::Note)
            .map(|f| format!("{}: {}", f.rule, f.what))
            .collect();
        assert!(open.is_empty(), "{}: {open:?}", b.name);
    }
}

#[test]
fn they_are_tidy() {
    for b in bundled::ALL {
        let tidied = tidy(&parse(b.source()), &TidyOptions::default());
        assert_eq!(tidied, b.text, "{}", b.name);
    }
}

#[test]
fn they_are_as_large_as_they_promise_and_say_what_they_are_worth() {
    let species = |name: &str| {
        let key = bundled::find(name).expect("a bundled key").key();
        let n = key.taxa.iter().filter(|t| t.rank >= hilum::key::taxon::Rank::Species).count();
        assert!(
            key.heading.remarks.iter().any(|r| r.to_lowercase().contains("from memory")),
            "{name} says that it was compiled from memory"
        );
        n
    };
    assert!(species("field-weeds") >= 60);
    assert!(species("field-weed-seeds") >= 40);
    assert!(species("tree-leaves") >= 15);
    assert!(species("oren-valley") >= 12);
    assert!(bundled::find("tree-leaves").expect("it").key().characters.is_empty(), "prose only");
}

#[test]
fn no_key_says_that_a_plant_is_safe_to_eat() {
    for b in bundled::ALL {
        let low = b.text.to_lowercase();
        for word in [
            "edible",
            "eaten raw",
            "salad",
            "good to eat",
            "tasty",
            "delicious",
            "safe to eat",
            "culinary",
        ] {
            let at = low.find(word);
            // "it says of no plant that it is safe" is the only way in which the word may come.
            assert!(at.is_none(), "{}: `{word}` at byte {at:?}", b.name);
        }
    }
}
