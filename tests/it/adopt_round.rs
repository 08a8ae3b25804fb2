//! Round trips: a key printed in any layout that can be recognised, and adopted again, is the same
//! key; with any width, with page breaks, hyphens and noise.

use std::fmt::Write as _;

use hilum::craft::adopt::{Adopted, Options, adopt};
use hilum::key::{CoupletId, Key, Outcome};
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::tidy::{TidyOptions, tidy};
use proptest::prelude::*;

/// A key as a tree: what a lead says and where it goes.
#[derive(Clone, Debug)]
enum Node {
    Couplet(Vec<(String, Node)>),
    Name(String),
}

const PARTS: [&str; 12] = [
    "Leaves",
    "Petals",
    "Stamens",
    "Capsule",
    "Stem",
    "Sepals",
    "Bracts",
    "Seeds",
    "Roots",
    "Styles",
    "Fruit",
    "Leaf margin",
];
const STATES: [&str; 16] = [
    "hairy beneath when mature",
    "glabrous and shining on both sides",
    "longer than the calyx, spreading widely",
    "opposite, rarely whorled in threes",
    "entire or with a few shallow teeth",
    "berry-like, pale blue at maturity",
    "slender, much branched above the middle",
    "3-5 mm long, narrowed to the base",
    "10-20 cm wide, rounded at the apex",
    "yellow, turning brown when pressed",
    "with (2-)4-6 narrow ribs",
    "covered with silvery scales",
    "solitary in the axils, drooping",
    "in dense heads at the ends of the branches",
    "heart-shaped, prickly on the nerves",
    "without stalks, clasping the stem",
];
const NAMES: [&str; 20] = [
    "Papaver rhoeas",
    "Papaver dubium",
    "Galium aparine",
    "Galium tricornutum",
    "Agrostemma githago",
    "Vaccaria hispanica",
    "Quercus robur",
    "Quercus petraea",
    "Acer campestre",
    "Acer platanoides",
    "Tilia cordata",
    "Fraxinus excelsior",
    "Carpinus betulus",
    "Corylus avellana",
    "Ulmus glabra",
    "Betula pendula",
    "Alnus glutinosa",
    "Salix alba",
    "Populus tremula",
    "Fagus sylvatica",
];

/// A small generator of numbers, so that a case is told by one seed.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        ((self.0 >> 33) % n.max(1) as u64) as usize
    }
}

fn tree(dice: &mut Dice, couplets: &mut usize, depth: usize) -> Node {
    if *couplets == 0 || (depth > 0 && dice.roll(5) == 0) || depth > 7 {
        return Node::Name(NAMES[dice.roll(NAMES.len())].to_string());
    }
    *couplets -= 1;
    let count = if dice.roll(8) == 0 { 3 } else { 2 };
    let part = dice.roll(PARTS.len());
    let first = dice.roll(STATES.len());
    let mut leads = Vec::new();
    for i in 0..count {
        let mut text = format!("{} {}", PARTS[part], STATES[(first + i * 5) % STATES.len()]);
        for _ in 0..dice.roll(3) {
            let more = PARTS[dice.roll(PARTS.len())].to_lowercase();
            write!(text, "; {more} {}", STATES[dice.roll(STATES.len())]).unwrap();
        }
        let below = tree(dice, couplets, depth + 1);
        leads.push((text, below));
    }
    Node::Couplet(leads)
}

/// Couplets in the order of the print, each with its leads; a lead's target is a couplet's index.
fn flat(node: &Node, out: &mut Vec<Vec<(String, Result<usize, String>)>>) -> usize {
    let Node::Couplet(leads) = node else { unreachable!("a key begins with a couplet") };
    let own = out.len();
    out.push(Vec::new());
    for (text, below) in leads {
        let target = match below {
            Node::Name(name) => Err(name.clone()),
            Node::Couplet(_) => Ok(flat(below, out)),
        };
        out[own].push((text.clone(), target));
    }
    own
}

fn shape(node: &Node, out: &mut String) {
    match node {
        Node::Name(name) => out.push_str(name),
        Node::Couplet(leads) => {
            for (text, below) in leads {
                write!(out, "[{text} -> ").unwrap();
                shape(below, out);
                out.push(']');
            }
        }
    }
}

/// The shape of an adopted key, from its first couplet.
fn shape_of(key: &Key) -> String {
    fn walk(key: &Key, at: CoupletId, deep: usize, out: &mut String) {
        for lead in &key.couplet(at).leads {
            write!(out, "[{} -> ", lead.body.text(key.source.text())).unwrap();
            match &lead.outcome {
                Outcome::Couplet(to) if deep < 40 => walk(key, *to, deep + 1, out),
                Outcome::Taxa(taxa) => {
                    let names: Vec<&str> =
                        taxa.iter().map(|t| key.taxon(*t).name.as_str()).collect();
                    out.push_str(&names.join(" or "));
                }
                other => write!(out, "{other:?}").unwrap(),
            }
            out.push(']');
        }
    }
    let mut out = String::new();
    walk(key, CoupletId(0), 0, &mut out);
    out
}

/// Lays text out in lines of a width; some words are broken with a hyphen.
fn wrap(
    first: &str,
    hang: &str,
    text: &str,
    width: usize,
    dice: &mut Dice,
    hyphens: bool,
) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_string();
    let mut begun = false;
    for word in text.split(' ') {
        let room = width.saturating_sub(line.chars().count() + 1);
        if begun && word.chars().count() > room {
            let letters = word.len() >= 9 && word.bytes().all(|b| b.is_ascii_lowercase());
            if hyphens && letters && room > 5 && dice.roll(2) == 0 {
                // Not where both pieces are words: that no reader could tell from a compound.
                let at = 4;
                lines.push(format!("{line} {}-", &word[..at]));
                line = format!("{hang}{}", &word[at..]);
                continue;
            }
            lines.push(std::mem::replace(&mut line, format!("{hang}{word}")));
            continue;
        }
        if begun {
            line.push(' ');
        }
        line.push_str(word);
        begun = true;
    }
    lines.push(line);
    lines
}

/// What a printed page has around the text.
#[derive(Clone, Copy, Debug)]
struct Look {
    width: usize,
    hyphens: bool,
    pages: bool,
    captions: bool,
    blank: bool,
    emphasis: bool,
    leader: usize,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Layout {
    NumberLetter,
    NumberTwice,
    NumberPrime,
    NumberDash,
    NumberFirst,
    Doubled,
    Primed,
    Outline,
    Groups,
    NestedNumbers,
    Indented,
    Table,
}

fn print(node: &Node, layout: Layout, look: Look, dice: &mut Dice) -> String {
    let mut couplets = Vec::new();
    flat(node, &mut couplets);
    let mut blocks: Vec<Vec<String>> = Vec::new();
    match layout {
        Layout::Doubled
        | Layout::Primed
        | Layout::Outline
        | Layout::NestedNumbers
        | Layout::Indented => {
            let mut number = 0;
            nested(node, 0, layout, look, dice, &mut number, &mut blocks);
        }
        _ => {
            for (c, leads) in couplets.iter().enumerate() {
                for (l, (text, target)) in leads.iter().enumerate() {
                    let n = c + 1;
                    let label = match layout {
                        Layout::NumberLetter => format!("{n}{}. ", char::from(b'a' + l as u8)),
                        Layout::NumberPrime => format!("{n}{} ", "'".repeat(l)),
                        Layout::NumberDash if l > 0 => "\u{2013} ".to_string(),
                        Layout::NumberFirst if l > 0 => String::new(),
                        Layout::Groups => format!("{}. ", char::from(b'A' + c as u8)),
                        Layout::Table => format!("{n}{}\t", char::from(b'a' + l as u8)),
                        _ => format!("{n}. "),
                    };
                    let goes = match target {
                        Ok(to) if layout == Layout::Groups => {
                            format!("({})", char::from(b'A' + *to as u8))
                        }
                        Ok(to) => (to + 1).to_string(),
                        Err(name) if look.emphasis => format!("_{name}_"),
                        Err(name) => name.clone(),
                    };
                    if layout == Layout::Table {
                        blocks.push(vec![format!("{label}{text}\t{goes}")]);
                        continue;
                    }
                    let mut lines = wrap(&label, "     ", text, look.width, dice, look.hyphens);
                    end(&mut lines, &goes, look);
                    blocks.push(lines);
                }
            }
        }
    }
    page(blocks, layout, look, dice)
}

/// Puts an outcome behind a lead.
fn end(lines: &mut Vec<String>, goes: &str, look: Look) {
    let last = lines.last_mut().unwrap();
    match look.leader {
        0 => write!(last, " ........ {goes}").unwrap(),
        1 => write!(last, "      {goes}").unwrap(),
        2 => write!(last, " . . . . . {goes}").unwrap(),
        _ => lines.push(format!("{:>1$}", goes, 40 + goes.chars().count())),
    }
}

fn nested(
    node: &Node,
    depth: usize,
    layout: Layout,
    look: Look,
    dice: &mut Dice,
    number: &mut usize,
    out: &mut Vec<Vec<String>>,
) {
    let Node::Couplet(leads) = node else { return };
    *number += 1;
    let own = *number;
    for (l, (text, below)) in leads.iter().enumerate() {
        let letter = char::from(b'a' + depth as u8);
        let roman = ["I", "II", "III", "IV"][l];
        let label = match layout {
            Layout::Doubled => format!("{}. ", letter.to_string().repeat(l + 1)),
            Layout::Primed => format!("{}{}. ", letter.to_ascii_uppercase(), "'".repeat(l)),
            Layout::Outline => match depth {
                0 => format!("{roman}. "),
                1 => format!("{}. ", char::from(b'A' + l as u8)),
                2 => format!("{}. ", l + 1),
                3 => format!("{}. ", char::from(b'a' + l as u8)),
                4 => format!("({}) ", char::from(b'a' + l as u8)),
                5 => format!("({}) ", l + 1),
                6 => format!("[{}] ", char::from(b'a' + l as u8)),
                _ => format!("[{}] ", l + 1),
            },
            Layout::NestedNumbers => format!("{own}. "),
            _ => String::new(),
        };
        let indent = "  ".repeat(depth);
        let hang = format!("{indent}      ");
        let mut lines = wrap(
            &format!("{indent}{label}"),
            &hang,
            text,
            look.width.max(30 + 2 * depth),
            dice,
            look.hyphens,
        );
        match below {
            Node::Name(name) => {
                let shown = if look.emphasis { format!("_{name}_") } else { name.clone() };
                end(&mut lines, &shown, look);
                out.push(lines);
            }
            Node::Couplet(_) => {
                let last = lines.last_mut().unwrap();
                last.push('.');
                out.push(lines);
                nested(below, depth + 1, layout, look, dice, number, out);
            }
        }
    }
}

/// Sets blocks on pages with running heads, captions and blank lines.
fn page(blocks: Vec<Vec<String>>, layout: Layout, look: Look, dice: &mut Dice) -> String {
    let mut out = String::from("KEY TO THE PLANTS OF THE OREN VALLEY\n\n");
    let mut number = 211;
    let mut since = 0;
    let blank = look.blank || layout == Layout::NumberFirst;
    for block in blocks {
        for (i, line) in block.iter().enumerate() {
            since += 1;
            if look.pages && since > 14 && i == 0 {
                since = 0;
                write!(out, "\n\u{C}PLANTS OF THE OREN VALLEY        {number}\n\n").unwrap();
                number += 1;
            }
            out.push_str(line);
            out.push('\n');
        }
        if blank {
            out.push('\n');
        }
        if look.captions && blank && dice.roll(6) == 0 {
            writeln!(out, "[Illustration: Fig. {}. A sprig in flower.]\n", dice.roll(90) + 1)
                .unwrap();
        }
    }
    out
}

fn wanted(node: &Node, nested: bool) -> String {
    let mut out = String::new();
    shape(node, &mut out);
    // In nested prints a lead that goes on ends with a full stop.
    if nested { out.replace(". -> [", " -> [") } else { out }
}

fn look() -> impl Strategy<Value = Look> {
    (
        28usize..100,
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        any::<bool>(),
        0usize..4,
    )
        .prop_map(|(width, hyphens, pages, captions, blank, emphasis, leader)| Look {
            width,
            hyphens,
            pages,
            captions,
            blank,
            emphasis,
            leader,
        })
}

fn adopted(text: &str) -> Result<Adopted, String> {
    adopt("oren.txt", text.as_bytes(), &Options::default()).map_err(|e| e.to_string())
}

fn round(seed: u64, size: usize, layout: Layout, look: Look) -> Result<(), TestCaseError> {
    let mut dice = Dice(seed);
    let mut left = size;
    let node = tree(&mut dice, &mut left, 0);
    let text = print(&node, layout, look, &mut dice);
    let found = adopted(&text)
        .map_err(|e| TestCaseError::fail(format!("{layout:?} refused: {e}\n{text}")))?;
    let key = Key::read(Source::new("oren.key", found.key_text.as_str()));
    let nested = matches!(
        layout,
        Layout::Doubled
            | Layout::Primed
            | Layout::Outline
            | Layout::NestedNumbers
            | Layout::Indented
    );
    let got = shape_of(&key).replace(". -> [", " -> [");
    prop_assert_eq!(
        got,
        wanted(&node, nested),
        "{:?} {:?} taken as {}\n{}\n{}",
        layout,
        look,
        found.report.layout.name,
        text,
        found.key_text
    );
    let again =
        tidy(&parse(Source::new("oren.key", found.key_text.as_str())), &TidyOptions::default());
    prop_assert_eq!(&again, &found.key_text, "not tidy");
    prop_assert_eq!(found.report.words.unaccounted, 0, "words lost\n{}\n{}", text, found.key_text);
    Ok(())
}

/// How many cases a layout gets: `HILUM_CASES`, else a few.
fn cases() -> u32 {
    std::env::var("HILUM_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(24)
}

macro_rules! rounds {
    ($($name:ident: $layout:expr;)*) => {
        proptest! {
            #![proptest_config(ProptestConfig { cases: cases(), max_shrink_iters: 200, ..ProptestConfig::default() })]
            $(
                #[test]
                fn $name(seed in any::<u64>(), size in 4usize..16, look in look()) {
                    round(seed, size, $layout, look)?;
                }
            )*
        }
    };
}

rounds! {
    numbers_with_letters_come_back: Layout::NumberLetter;
    numbers_twice_come_back: Layout::NumberTwice;
    numbers_with_primes_come_back: Layout::NumberPrime;
    numbers_and_dashes_come_back: Layout::NumberDash;
    numbers_on_first_leads_come_back: Layout::NumberFirst;
    doubled_letters_come_back: Layout::Doubled;
    primed_letters_come_back: Layout::Primed;
    outlines_come_back: Layout::Outline;
    groups_come_back: Layout::Groups;
    nested_numbers_come_back: Layout::NestedNumbers;
    indents_come_back: Layout::Indented;
    tables_come_back: Layout::Table;
}
