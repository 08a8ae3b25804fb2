//! Any text as a number, a date, coordinates, an altitude, an uncertainty and a plant's name: what
//! is read can be written, and is the same when it is read again.
#![no_main]

use hilum::notebook::altitude::{Altitude, Uncertainty};
use hilum::notebook::coordinates::Coordinates;
use hilum::notebook::date::When;
use hilum::notebook::number::{Citation, Number};
use hilum::notebook::record::Written;
use hilum::text::name;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    if let Some(number) = Number::read(text) {
        let written = number.to_string();
        assert_eq!(Number::read(&written).as_ref(), Some(&number), "{written}");
        let _ = number.cited();
        let key = Citation::new(text, number).key();
        assert_eq!(key, key.clone());
    }
    if let Ok(when) = When::read(text) {
        assert_eq!(When::read(&when.to_string()).as_ref(), Ok(&when), "{when}");
        assert!(when.last.is_none_or(|last| last >= when.first));
        let _ = (when.in_roman(), when.in_words(), when.sort_key());
    }
    if let Ok(c) = Coordinates::read(text) {
        assert_eq!(Coordinates::read(&c.to_string()).as_ref(), Ok(&c));
        let degrees = format!("{}, {}", c.latitude, c.longitude);
        let again = Coordinates::read(&degrees).unwrap();
        assert_eq!((again.latitude, again.longitude), (c.latitude, c.longitude), "{degrees}");
    }
    if let Ok(a) = Altitude::read(text) {
        assert_eq!(Altitude::read(&a.to_string()).as_ref(), Ok(&a));
        assert!(a.lowest <= a.highest);
        let metres = format!("{}-{} m", a.lowest, a.highest);
        let again = Altitude::read(&metres).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((again.lowest, again.highest), (a.lowest, a.highest), "{metres}");
    }
    if let Ok(u) = Uncertainty::read(text) {
        assert_eq!(Uncertainty::read(&u.to_string()).as_ref(), Ok(&u));
        assert!(u.metres > rust_decimal::Decimal::ZERO);
    }
    if let Ok(w) = Written::read(text) {
        let _ = (w.year(), w.next(), w.date());
    }
    if let Ok(name) = name::read(text) {
        // Names that follow no Code may be written so that they read otherwise.
        let _ = (name.folded(), name.qualifier_phrase(), name.rank(), name::read(&name.full()));
    }
});
