//! Random keys and observations, written as text so that the whole way is tested.

use std::fmt::Write;

use hilum::key::statement::StateSet;
use hilum::key::{CharacterId, ConditionId, Key, Kind, StateId};
use hilum::sift::cut::{Cut, Interval};
use hilum::sift::{Doubt, Observation, Reading, Seen};
use rust_decimal::Decimal;

/// A small generator of numbers: the same seed, the same key.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed ^ 0x9E37_79B9_7F4A_7C15)
    }

    pub fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize % below.max(1)
    }

    pub fn chance(&mut self, percent: usize) -> bool {
        self.roll(100) < percent
    }

    fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.roll(of.len())]
    }
}

const ORGANS: [&str; 10] = [
    "Petals", "Sepals", "Bracts", "Stipules", "Anthers", "Style", "Fruits", "Seeds", "Stems",
    "Roots",
];
const WORDS: [&str; 6] = ["red", "white", "blue", "green", "black", "yellow"];

struct Made {
    sentence: String,
    states: usize,
    /// 0 states, 1 measure, 2 count.
    kind: usize,
}

/// A key with states, steps, measures, counts, dependent characters, general words, looks,
/// inheritance, a tree of couplets, and taxa that come out of it twice.
pub fn key_text(dice: &mut Dice) -> String {
    let mut out = String::from("A random key\n");
    if dice.chance(30) {
        out.push_str("  described  pressed\n");
    }
    out.push_str("conditions\ncharred    burnt\ncharacters\n");
    let count = 3 + dice.roll(6);
    let mut made: Vec<Made> = Vec::new();
    for (i, organ) in ORGANS.iter().enumerate().take(count) {
        let kind = dice.roll(5).saturating_sub(2);
        let states = if kind == 0 { 2 + dice.roll(4) } else { 0 };
        let sentence = if kind == 1 { format!("{organ} _ long") } else { format!("{organ} _") };
        let _ = writeln!(out, "c{i}: {sentence}");
        match kind {
            0 => {
                let _ = writeln!(out, "  states    {}", WORDS[..states].join(", "));
                if states > 2 && dice.chance(40) {
                    let _ = writeln!(out, "  includes  {}: {}", WORDS[0], WORDS[1]);
                }
                if states > 2 && dice.chance(30) {
                    let _ = writeln!(out, "  includes  pale: {}, {}", WORDS[1], WORDS[2]);
                }
                for condition in ["pressed", "charred"] {
                    match dice.roll(4) {
                        0 => {
                            let _ = writeln!(out, "  {condition}   cannot be seen");
                        }
                        1 => {
                            let _ = writeln!(
                                out,
                                "  {condition}   {} looks {} or brown; {} looks {}",
                                WORDS[0], WORDS[1], WORDS[1], WORDS[0]
                            );
                        }
                        _ => {}
                    }
                }
            }
            1 => {
                out.push_str("  measure   mm\n");
                if dice.chance(60) {
                    out.push_str("  pressed   0.80 to 1.10\n");
                }
                if dice.chance(30) {
                    out.push_str("  charred   0.5 to 0.75\n");
                }
            }
            _ => out.push_str("  measure   count\n"),
        }
        if i > 0 && dice.chance(40) {
            let on = dice.roll(i);
            let value = value(dice, &made[on], true);
            let _ = writeln!(out, "  applies   where {value}");
        }
        made.push(Made { sentence, states, kind });
    }
    let taxa = 3 + dice.roll(8);
    let name = |i: usize| {
        format!(
            "Genus{} species{}",
            ["a", "e"][i % 2],
            ["a", "e", "i", "o", "u", "y", "aa", "ee", "ii", "oo", "uu"][i]
        )
    };
    // A tree of couplets, now and then one taxon twice.
    out.push_str("key\n");
    let mut open = vec![(1usize, (0..taxa).collect::<Vec<_>>())];
    let mut next = 2;
    while let Some((number, below)) = open.pop() {
        let at = 1 + dice.roll(below.len().saturating_sub(1).max(1));
        let (left, right) = below.split_at(at.min(below.len()));
        let mut right = right.to_vec();
        if right.is_empty() || dice.chance(15) {
            right.push(left[0]);
        }
        for (letter, side) in [("a", left.to_vec()), ("b", right)] {
            let mut statements: Vec<String> = Vec::new();
            for character in made.iter() {
                if dice.chance(35) {
                    statements.push(value(dice, character, false));
                }
            }
            if statements.is_empty() {
                statements.push("nothing in particular".into());
            }
            let _ = write!(out, "{number}{letter}  {} ......... ", statements.join("; "));
            if side.len() == 1 {
                let _ = writeln!(out, "{}", name(side[0]));
            } else {
                let _ = writeln!(out, "{next}");
                open.push((next, side));
                next += 1;
            }
        }
    }
    out.push_str("taxa\n");
    for genus in ["Genusa", "Genuse"] {
        if dice.chance(60) {
            let _ = writeln!(out, "{genus}\n  {}", account(dice, &made, 30));
        }
    }
    for i in 0..taxa {
        if dice.chance(85) {
            let _ = writeln!(out, "{}\n  {}", name(i), account(dice, &made, 55));
        }
    }
    out
}

fn account(dice: &mut Dice, made: &[Made], percent: usize) -> String {
    let mut out: Vec<String> = Vec::new();
    for character in made {
        if dice.chance(percent) {
            out.push(value(dice, character, false));
        }
    }
    if out.is_empty() { "A plant.".into() } else { out.join("; ") + "." }
}

/// A statement of one character; `plain` ones hold no words of frequency.
fn value(dice: &mut Dice, character: &Made, plain: bool) -> String {
    let filling = match character.kind {
        0 => {
            let words = &WORDS[..character.states];
            match dice.roll(if plain { 2 } else { 6 }) {
                0 | 3 => dice.pick(words).to_string(),
                1 => format!("{} or {}", dice.pick(words), dice.pick(words)),
                2 => format!("{}, rarely {}", dice.pick(words), dice.pick(words)),
                4 => format!("usually {}, sometimes {}", dice.pick(words), dice.pick(words)),
                _ => format!("not {}", dice.pick(words)),
            }
        }
        1 => {
            let (a, b) = (1 + dice.roll(30), 1 + dice.roll(15));
            match dice.roll(6) {
                0 => format!("{a}-{} mm", a + b),
                1 => format!(
                    "({}-){a}-{}(-{}) mm",
                    a.saturating_sub(3).max(1).min(a),
                    a + b,
                    a + 2 * b
                ),
                2 => format!("up to {a} mm"),
                3 => format!("more than {a} mm"),
                4 => format!("{a}.5-{}.5 mm", a + b),
                _ => format!("ca. {a} mm"),
            }
        }
        _ => {
            let (a, b) = (1 + dice.roll(8), 1 + dice.roll(4));
            match dice.roll(6) {
                0 => format!("{a}"),
                1 => format!("{a}-{}", a + b),
                2 => format!("{a} or {}", a + 2 * b),
                3 => format!("{a}(or {})", a + 3),
                4 => format!("more than {a}"),
                _ => format!("ca. {a}"),
            }
        }
    };
    character.sentence.replacen('_', &filling, 1)
}

/// Up to `most` observations of every sort.
pub fn observations(dice: &mut Dice, key: &Key, most: usize) -> Vec<Observation> {
    (0..dice.roll(most + 1)).map(|_| observation(dice, key)).collect()
}

fn observation(dice: &mut Dice, key: &Key) -> Observation {
    let id = CharacterId(dice.roll(key.characters.len()) as u32);
    let character = key.character(id);
    let condition = ConditionId(dice.roll(key.conditions.len()) as u16);
    let seen = match dice.roll(20) {
        0 => Seen::CannotTell,
        1 => Seen::NotHere,
        2 | 3 => Seen::DoesNotApply,
        _ => match &character.kind {
            Kind::States { states, .. } => {
                let n = 1 + dice.roll(2);
                Seen::States(StateSet::of((0..n).map(|_| StateId(dice.roll(states.len()) as u16))))
            }
            kind => {
                let is_count = matches!(kind, Kind::Count);
                let n = 1 + dice.roll(3).saturating_sub(1);
                Seen::Numbers((0..n).map(|_| reading(dice, is_count)).collect())
            }
        },
    };
    let doubt = *dice.pick(&[Doubt::Sure, Doubt::Sure, Doubt::Some, Doubt::Much]);
    Observation::new(id, seen, condition).doubted(doubt)
}

fn reading(dice: &mut Dice, is_count: bool) -> Reading {
    let value = Decimal::from(1 + dice.roll(40));
    match dice.roll(5) {
        0 => Reading { within: vec![Interval { low: Cut::after(value), high: Cut::Above }] },
        1 => Reading { within: vec![Interval { low: Cut::Below, high: Cut::after(value) }] },
        2 => Reading {
            within: vec![
                Interval::exactly(value),
                Interval::between(value + Decimal::from(3), value + Decimal::from(5)),
            ],
        },
        _ if is_count => Reading::exactly(Decimal::from(1 + dice.roll(12))),
        _ => Reading::measured(value, dice.roll(2) as u32),
    }
}
