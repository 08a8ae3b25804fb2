//! Small random keys as plain data: written as text for the program, and walked without it.
//!
//! The model knows nothing of the program's types. It holds what a reader of FORMAT would hold:
//! characters with states or a count, leads that ask for some of them, accounts with words of
//! frequency.

use std::collections::BTreeSet;
use std::fmt::Write;

pub use crate::generate::Dice;

const ORGANS: [&str; 12] = [
    "Leaves", "Petals", "Sepals", "Stems", "Capsules", "Seeds", "Stipules", "Bracts", "Anthers",
    "Styles", "Roots", "Twigs",
];
const STATES: [&str; 5] = ["smooth", "hairy", "warty", "ridged", "spiny"];
/// Counts run from 0 to this.
pub const MOST: usize = 12;

#[derive(Clone, Debug, PartialEq)]
pub enum Character {
    States(usize),
    Count,
}

#[derive(Clone, Debug, PartialEq)]
pub enum To {
    Couplet(usize),
    Taxon(usize),
}

/// What a lead asks: a character and the states or numbers that fit it.
pub type Demand = (usize, BTreeSet<usize>);

#[derive(Clone, Debug)]
pub struct Lead {
    pub demands: Vec<Demand>,
    /// A statement that fits no sentence stands in it too.
    pub prose: bool,
    pub to: To,
}

/// How an account speaks of a character.
#[derive(Clone, Debug)]
pub enum Said {
    Nothing,
    /// States and whether each is rare.
    States(Vec<(usize, bool)>),
    /// Lowest extreme, usual low and high, highest extreme.
    Count(usize, usize, usize, usize),
}

#[derive(Clone, Debug)]
pub struct Model {
    pub characters: Vec<Character>,
    pub couplets: Vec<Vec<Lead>>,
    pub accounts: Vec<Vec<Said>>,
}

/// What kind of keys to make.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    pub couplets: usize,
    pub characters: usize,
    /// Two leads may go to one couplet.
    pub reticulate: bool,
    pub polytomies: bool,
    pub prose: bool,
}

impl Model {
    /// A key of any kind: leads ask at random, accounts say at random.
    pub fn random(dice: &mut Dice, shape: Shape) -> Model {
        let characters: Vec<Character> = (0..shape.characters)
            .map(|_| {
                if dice.once_in(4) {
                    Character::Count
                } else {
                    Character::States(2 + dice.below(3))
                }
            })
            .collect();
        let mut taxa = 0;
        let mut couplets: Vec<Vec<Lead>> = Vec::new();
        let mut owed: Vec<(usize, usize)> = Vec::new();
        for i in 0..shape.couplets {
            let n = if shape.polytomies && dice.once_in(4) { 3 + dice.below(2) } else { 2 };
            couplets.push(
                (0..n).map(|_| Lead { demands: vec![], prose: false, to: To::Taxon(0) }).collect(),
            );
            if i > 0 {
                // One lead among those still open leads here.
                let at = dice.below(owed.len());
                let (c, l) = owed.swap_remove(at);
                couplets[c][l].to = To::Couplet(i);
            }
            owed.extend((0..n).map(|l| (i, l)));
        }
        owed.sort_unstable();
        for (c, l) in owed {
            let later = shape.couplets - c - 1;
            couplets[c][l].to = if shape.reticulate && later > 0 && dice.once_in(5) {
                To::Couplet(c + 1 + dice.below(later))
            } else if taxa > 2 && dice.once_in(8) {
                To::Taxon(dice.below(taxa))
            } else {
                taxa += 1;
                To::Taxon(taxa - 1)
            };
        }
        for couplet in &mut couplets {
            let asked: BTreeSet<usize> =
                (0..1 + dice.below(2)).map(|_| dice.below(characters.len())).collect();
            for lead in couplet.iter_mut() {
                for &c in &asked {
                    if dice.once_in(8) {
                        continue;
                    }
                    lead.demands.push((c, demand(dice, &characters[c])));
                }
                lead.prose = lead.demands.is_empty() || (shape.prose && dice.once_in(6));
            }
        }
        let accounts =
            (0..taxa).map(|_| characters.iter().map(|c| said(dice, c)).collect()).collect();
        Model { characters, couplets, accounts }
    }

    pub fn taxon(i: usize) -> String {
        let letter = |n: usize| (b'a' + (n % 26) as u8) as char;
        let name: String = [i / 26, i, i * 7, i * 3].into_iter().map(letter).collect();
        format!("Planta {name}{}", "x".repeat(i % 5))
    }

    /// The key as its author would type it.
    pub fn text(&self) -> String {
        let mut out = String::from("A small random key\n\ncharacters\n");
        for (i, c) in self.characters.iter().enumerate() {
            let organ = ORGANS[i];
            let _ = match c {
                Character::States(n) => {
                    write!(out, "\nc{i}: {organ} _\n  states    {}\n", STATES[..*n].join(", "))
                }
                Character::Count => write!(out, "\nc{i}: {organ} _\n  measure   count\n"),
            };
        }
        out.push_str("\nkey\n\n");
        for (i, couplet) in self.couplets.iter().enumerate() {
            for (j, lead) in couplet.iter().enumerate() {
                let letter = (b'a' + j as u8) as char;
                let mut said: Vec<String> =
                    lead.demands.iter().map(|(c, set)| self.demand_in_words(*c, set)).collect();
                if lead.prose {
                    said.push(format!("the look of the whole {letter}"));
                }
                let to = match lead.to {
                    To::Couplet(c) => (c + 1).to_string(),
                    To::Taxon(t) => Model::taxon(t),
                };
                let _ = writeln!(out, "{}{letter}  {} ..... {to}", i + 1, said.join("; "));
            }
            out.push('\n');
        }
        out.push_str("taxa\n");
        for (t, account) in self.accounts.iter().enumerate() {
            let said: Vec<String> =
                account.iter().enumerate().filter_map(|(c, s)| said_in_words(c, s)).collect();
            let _ = write!(out, "\n{}\n  {}.\n", Model::taxon(t), said.join("; "));
        }
        out
    }

    pub fn demand_in_words(&self, c: usize, set: &BTreeSet<usize>) -> String {
        let organ = ORGANS[c];
        match self.characters[c] {
            Character::States(_) => {
                let words: Vec<&str> = set.iter().map(|s| STATES[*s]).collect();
                format!("{organ} {}", words.join(" or "))
            }
            Character::Count => {
                let (low, high) =
                    (set.first().copied().unwrap_or(0), set.last().copied().unwrap_or(0));
                if low == high { format!("{organ} {low}") } else { format!("{organ} {low}-{high}") }
            }
        }
    }
}

fn demand(dice: &mut Dice, character: &Character) -> BTreeSet<usize> {
    match character {
        Character::States(n) => {
            let one = dice.below(*n);
            let mut set = BTreeSet::from([one]);
            if dice.once_in(3) {
                set.insert(dice.below(*n));
            }
            set
        }
        Character::Count => {
            let low = dice.below(MOST);
            (low..=low + dice.below(MOST - low)).collect()
        }
    }
}

fn said(dice: &mut Dice, character: &Character) -> Said {
    if dice.once_in(5) {
        return Said::Nothing;
    }
    match character {
        Character::States(n) => {
            let first = dice.below(*n);
            let mut all = vec![(first, false)];
            for s in 0..*n {
                if s != first && dice.once_in(3) {
                    all.push((s, dice.once_in(2)));
                }
            }
            Said::States(all)
        }
        Character::Count => {
            let low = 1 + dice.below(6);
            let high = low + dice.below(4);
            Said::Count(low - dice.below(2), low, high, high + dice.below(3))
        }
    }
}

fn said_in_words(c: usize, said: &Said) -> Option<String> {
    let organ = ORGANS[c];
    Some(match said {
        Said::Nothing => return None,
        Said::States(all) => {
            let plain: Vec<&str> =
                all.iter().filter(|(_, rare)| !rare).map(|(s, _)| STATES[*s]).collect();
            let rare: Vec<&str> =
                all.iter().filter(|(_, rare)| *rare).map(|(s, _)| STATES[*s]).collect();
            let mut out = format!("{organ} {}", plain.join(" or "));
            for word in rare {
                let _ = write!(out, ", rarely {word}");
            }
            out
        }
        Said::Count(least, low, high, most) => {
            let below = if least < low { format!("({least}-)") } else { String::new() };
            let above = if most > high { format!("(-{most})") } else { String::new() };
            let middle = if low == high { low.to_string() } else { format!("{low}-{high}") };
            format!("{organ} {below}{middle}{above}")
        }
    })
}
