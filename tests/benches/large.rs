//! A table as large as a flora of the world, the same at every run and in `tests/outside/sift.py`.

use hilum::key::{CharacterId, ConditionId, StateId};
use hilum::sift::about::Reach;
use hilum::sift::cut::Interval;
use hilum::sift::{Cell, Gap, Known, Meta, Table};
use rust_decimal::Decimal;

/// How many characters it has: every eighth is a measure, the others have 2 to 6 states.
pub const CHARACTERS: usize = 500;

/// The states of a character; `None` for a measure.
pub fn states(character: usize) -> Option<usize> {
    (character % 8 != 7).then_some(2 + character % 5)
}

/// The number that everything in a cell is taken from (splitmix64).
pub fn number(row: usize, character: usize) -> u64 {
    let mut z = ((row as u64) << 16 | character as u64).wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ z >> 30).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ z >> 27).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ z >> 31
}

/// One cell in ten says nothing; of the others, one in six shows two states.
pub fn cell(row: usize, character: usize) -> Cell {
    let n = number(row, character);
    if n % 100 < 10 {
        return Cell { known: None, may_lack: false };
    }
    let known = match states(character) {
        Some(count) => {
            let one = (n >> 8) as usize % count;
            let mut shown = vec![(StateId(one as u16), 1.0)];
            if n % 100 < 25 {
                let other = (one + 1) % count;
                shown = vec![
                    (StateId(one.min(other) as u16), 0.5),
                    (StateId(one.max(other) as u16), 0.5),
                ];
            }
            Known::States(shown)
        }
        None => {
            let low = (n >> 8) as i64 % 200;
            let high = low + (n >> 20) as i64 % 40 + 1;
            let between = |a, b| Interval::between(Decimal::from(a), Decimal::from(b));
            let reach = Reach {
                usual: between(low + 5, high + 5),
                extreme: between(low, high + 10),
                share: 1.0,
            };
            Known::Numbers(vec![reach])
        }
    };
    Cell { known: Some(known), may_lack: false }
}

pub fn table(rows: usize) -> Table {
    let mut table = Table::new(rows, ConditionId::FRESH);
    for c in 0..CHARACTERS {
        let meta = match states(c) {
            Some(count) => Meta::of_states(format!("c{c}"), count),
            None => Meta::plain(format!("c{c}"), Gap::Measure),
        };
        let id = table.add(meta, |row| cell(row, c));
        assert_eq!(id, CharacterId(c as u32));
    }
    table
}
