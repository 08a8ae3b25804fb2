//! Key texts made from a seed: valid ones of any size, the same written carelessly, and damaged
//! ones. The same seed and shape give the same text everywhere.
#![allow(dead_code)]

use proptest::prelude::*;

mod pen;

use pen::Pen;

/// A small generator of numbers (splitmix64); good enough to choose words with.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 up to, not including, `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    /// True once in `n` times.
    pub fn once_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    pub fn pick<'a, T: ?Sized>(&mut self, of: &[&'a T]) -> &'a T {
        of[self.below(of.len())]
    }
}

/// What a generated key holds.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    /// Of the first key; at least 1.
    pub couplets: usize,
    pub characters: usize,
    /// Accounts of taxa that the key names; at most one each.
    pub accounts: usize,
    /// Further keys, of up to five couplets each.
    pub subkeys: usize,
    pub comments: bool,
    /// Wrapped lines, runs of blanks, tabs, blank lines: all that changes nothing.
    pub careless: bool,
}

impl Shape {
    /// A plain key of a given size, for measuring.
    pub fn plain(couplets: usize) -> Shape {
        Shape {
            couplets,
            characters: 12,
            accounts: couplets / 2,
            subkeys: 0,
            comments: false,
            careless: false,
        }
    }
}

/// Seeds and shapes of small keys.
pub fn shapes() -> impl Strategy<Value = (u64, Shape)> {
    let sizes = (1usize..30, 0usize..12, 0usize..20, 0usize..3);
    (any::<u64>(), sizes, any::<bool>(), any::<bool>()).prop_map(
        |(seed, sizes, comments, careless)| {
            let (couplets, characters, accounts, subkeys) = sizes;
            (seed, Shape { couplets, characters, accounts, subkeys, comments, careless })
        },
    )
}

/// Texts of valid keys.
pub fn keys() -> impl Strategy<Value = String> {
    shapes().prop_map(|(seed, shape)| key(seed, &shape))
}

/// Texts that were keys before someone damaged them.
pub fn damaged_keys() -> impl Strategy<Value = String> {
    (shapes(), any::<u64>(), 1usize..12).prop_map(|((seed, shape), damage, times)| {
        let mut dice = Dice::new(damage);
        (0..times).fold(key(seed, &shape), |text, _| damaged(&mut dice, &text))
    })
}

/// Scraps of keys in any order: texts that no person writes.
pub fn scraps() -> impl Strategy<Value = String> {
    const SCRAPS: &[&str] = &[
        " ",
        " ",
        " ",
        "  ",
        "    ",
        "\t",
        "\n",
        "\n",
        "\n",
        "\n  ",
        "\n    ",
        "\n\n",
        "\r\n",
        "\r",
        "\u{A0}",
        "\u{2003}",
        "\u{3000}",
        "\n\u{FEFF}",
        "#",
        " # ",
        "# so",
        "1a",
        "1b",
        "2a ",
        "7",
        "84Aa",
        "Ia ",
        "(4)",
        "[1, 2b]",
        "(",
        ")",
        ".",
        "..",
        "...",
        "…",
        ". . .",
        " ..... ",
        " ..... 2\n",
        "go to",
        "see",
        "->",
        "-",
        "5",
        "2",
        "key",
        "key\n",
        "key to the poppies",
        "\nkey\n",
        "\ncharacters\n",
        "\ntaxa\n",
        "\nglossary\n",
        "\nconditions\n",
        "taxa",
        "characters",
        "Title\n",
        "Petals _",
        "petals: Petals _",
        "_",
        ":",
        ";",
        ",",
        "states",
        "states  red, white",
        "  part  flower",
        "picture",
        "remark  ",
        "caution  ",
        "intended  x: y",
        "language  de",
        "language",
        "de",
        "merkmale",
        "schlüssel",
        "charred",
        "Papaver rhoeas",
        "G. verum",
        "or",
        "and",
        "mm",
        "3-5",
        "×",
        "é",
        "e\u{301}",
        "植物",
        "stop: why",
        "Petals red",
        "leaves",
        "family  X",
        "prat  x",
        "foo",
    ];
    proptest::collection::vec(proptest::sample::select(SCRAPS), 0..60).prop_map(|v| v.concat())
}

const GENERA: &[&str] =
    &["Papaver", "Galium", "Vicia", "Lathyrus", "Adonis", "Silene", "Malva", "Bromus"];
const EPITHETS: &[&str] =
    &["alba", "arvensis", "dubia", "minor", "sativa", "montana", "hirta", "vulgaris"];
const PROSE: &[&str] = &[
    "whole plant with a smell of garlic",
    "in wet places",
    "stem often rooting at the base, or floating",
    "a plant of walls (rarely rocks) near the sea",
    "épi dense, 植物 small",
    "leaves of the year before still there in spring, brown",
];
const COMMENTS: &[&str] = &[
    "# to be checked in June",
    "# see sheet 12",
    "#",
    "# 3a is doubtful ..... or not",
    "# states  red",
];

struct Character {
    opening: String,
    closing: &'static str,
    fills: Vec<String>,
    lines: Vec<String>,
}

fn characters(dice: &mut Dice, n: usize) -> Vec<Character> {
    const PARTS: &[&str] =
        &["Petals", "Leaves", "Sepals", "Stipules", "Fruit", "Seed", "Stem", "Root"];
    const STATES: &[&str] = &[
        "red",
        "pale blue",
        "none",
        "lobed",
        "entire",
        "with hooked prickles",
        "hairy",
        "all basal",
    ];
    (0..n)
        .map(|i| {
            let part = PARTS[i % PARTS.len()];
            // Different beyond the eighth: `Seed surface ab`.
            let zone: String = match i / PARTS.len() {
                0 => String::new(),
                k => format!(" zone {}", letters(k)),
            };
            let name = format!("{}{zone}", part.to_lowercase());
            match dice.below(4) {
                0 => Character {
                    opening: format!("{part}{zone}"),
                    closing: " long",
                    fills: ["3-5 mm", "(2-)3-5(-7) mm", "up to 4 cm", "8 or 9 mm"]
                        .map(String::from)
                        .to_vec(),
                    lines: vec![
                        format!("{name} length: {part}{zone} _ long"),
                        "measure   mm".into(),
                    ],
                },
                1 => Character {
                    opening: format!("{part}{zone}"),
                    closing: " per flower",
                    fills: ["4", "5(or 10)", "3 or 4", "more than 12"].map(String::from).to_vec(),
                    lines: vec![
                        format!("{name} number: {part}{zone} _ per flower"),
                        "measure   count".into(),
                    ],
                },
                _ => {
                    let n = 2 + dice.below(4);
                    let from = dice.below(STATES.len() - n);
                    let states = &STATES[from..from + n];
                    Character {
                        opening: format!("{part}{zone}"),
                        closing: "",
                        fills: states.iter().map(|s| s.to_string()).collect(),
                        lines: vec![
                            format!("{name}: {part}{zone} _"),
                            format!("states    {}", states.join(", ")),
                            format!("part      {}", part.to_lowercase()),
                            format!("means     {}: as one would think of it", states[0]),
                        ],
                    }
                }
            }
        })
        .collect()
}

/// a, b, ... z, ba, bb, ...
fn letters(mut n: usize) -> String {
    let mut out = String::new();
    loop {
        out.insert(0, (b'a' + (n % 26) as u8) as char);
        n /= 26;
        if n == 0 {
            return out;
        }
    }
}

fn name(i: usize) -> String {
    let n = GENERA.len() * EPITHETS.len();
    let more = if i >= n { format!("{}ii", letters(i / n + 600)) } else { String::new() };
    format!("{} {}{more}", GENERA[i % GENERA.len()], EPITHETS[(i / GENERA.len()) % EPITHETS.len()])
}

/// A valid key.
pub fn key(seed: u64, shape: &Shape) -> String {
    let mut dice = Dice::new(seed);
    let characters = characters(&mut dice, shape.characters);
    let mut w = Pen { dice, out: String::new(), shape: *shape };
    w.line(0, "Key to the plants of a made place", "");
    w.property(2, "place", "upper valley (invented)");
    w.property(2, "by", "nobody, by a throw of the dice");
    if w.dice.once_in(2) {
        w.property(
            2,
            "remark",
            "Nothing of this is true; it is only long enough to be wrapped, as remarks are.",
        );
    }
    if !characters.is_empty() {
        w.section("characters");
        for c in &characters {
            w.between();
            w.line(0, &c.lines[0], "");
            for line in &c.lines[1..] {
                w.indented(2, line);
            }
            w.gap();
        }
    }
    let mut taxa = 0;
    w.section("key");
    w.couplets(shape.couplets.max(1), &characters, shape.subkeys, &mut taxa);
    for i in 0..shape.subkeys {
        w.section(&format!("key to group {}", letters(i)));
        let n = 1 + w.dice.below(5);
        w.couplets(n, &characters, 0, &mut taxa);
    }
    if shape.accounts > 0 {
        w.section("taxa");
        for i in 0..shape.accounts.min(taxa) {
            w.account(i, &characters);
        }
    }
    w.out
}

/// The text with one thing broken, as hands and programs break them.
pub fn damaged(dice: &mut Dice, text: &str) -> String {
    let mut lines: Vec<String> = text.split('\n').map(String::from).collect();
    let i = dice.below(lines.len());
    let j = dice.below(lines.len());
    match dice.below(16) {
        0 => drop(lines.remove(i)),
        1 => lines.swap(i, j),
        2 => lines.insert(i, lines[j].clone()),
        3 => lines[i] = lines[i].trim_start().to_string(),
        4 => lines[i].insert_str(0, dice.pick(&["  ", "\t", "      ", "\u{FEFF}", "\u{A0}"])),
        5 => {
            let next = if i + 1 < lines.len() { lines.remove(i + 1) } else { String::new() };
            lines[i].push_str(&next);
        }
        6 => lines[i] = lines[i].replace("..", ""),
        7 => {
            lines[i] =
                lines[i].replacen("....", dice.pick(&[".", "…", "\t", "go to", "see", "-"]), 1)
        }
        8 => lines[i] = lines[i].replacen('a', dice.pick(&["", "b", "A", "aa"]), 1),
        9 => lines[i] = lines[i].replacen('1', dice.pick(&["I", "l", "7", ""]), 1),
        10 => lines[i].push_str(dice.pick(&[" # so", " #", "\r", ".", " ..", "  5", " go to 5"])),
        11 => lines.insert(
            i,
            dice.pick(&["stray words", "taxa", "key", "key to x", "1a", "  word  value"]).into(),
        ),
        12 => lines[i] = lines[i].replace(' ', "  "),
        _ => {
            let line = &lines[i];
            let at = line.char_indices().map(|(at, _)| at).nth(dice.below(line.chars().count()));
            if let Some(at) = at {
                let scrap =
                    dice.pick(&["#", ".", " ", "  ", "\t", "_", ":", "(", "\u{2003}", "…", " # "]);
                lines[i].insert_str(at, scrap);
            }
        }
    }
    let end = if dice.once_in(12) { "\r\n" } else { "\n" };
    lines.join(end)
}

#[test]
fn generated_keys_are_valid() {
    for seed in 0..60 {
        let careless = seed % 2 == 1;
        let shape = Shape {
            couplets: 1 + seed as usize,
            characters: (seed % 15) as usize,
            accounts: 20,
            subkeys: (seed % 3) as usize,
            comments: seed % 4 > 1,
            careless,
        };
        let text = key(seed, &shape);
        let read =
            hilum::key::Key::read(hilum::text::source::Source::new("made.key", text.as_str()));
        let errors: Vec<_> = read
            .findings
            .iter()
            .filter(|f| f.severity == hilum::text::finding::Severity::Error)
            .map(|f| (f.rule, &f.what, &text[f.span.range()]))
            .collect();
        assert!(errors.is_empty(), "seed {seed}: {errors:?}\n{text}");
        assert_eq!(read.couplets.iter().filter(|c| c.subkey.0 == 0).count(), shape.couplets);
    }
}

#[test]
fn the_same_seed_makes_the_same_key() {
    let shape = Shape::plain(40);
    assert_eq!(key(7, &shape), key(7, &shape));
    assert_ne!(key(7, &shape), key(8, &shape));
}
