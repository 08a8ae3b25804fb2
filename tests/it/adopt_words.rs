//! Words are accounted for: whatever a manuscript says, however damaged, is in the key or in the
//! list of what was left out.

use std::collections::BTreeMap;

use hilum::craft::adopt::{Adopted, Options, adopt, characters, layout};
use hilum::key::Key;
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::tidy::{TidyOptions, tidy};

use crate::support::checkout;

fn read(name: &str, text: &str, layout: Option<&str>) -> Option<Adopted> {
    let options = Options { layout: layout.map(str::to_string), ..Options::default() };
    adopt(name, text.as_bytes(), &options).ok()
}

/// Words of three letters and more in lower case, with how often they stand; no Roman labels.
fn words(text: &str) -> BTreeMap<String, usize> {
    let mut out = BTreeMap::new();
    for word in text
        .split(|c: char| !c.is_alphabetic())
        .filter(|w| w.len() > 2 && !w.chars().all(|c| c == 'I'))
    {
        *out.entry(word.to_lowercase()).or_default() += 1;
    }
    out
}

/// Holds a small manuscript to the promise, by counting its words as well as by its own report.
fn kept(name: &str, text: &str, layout: Option<&str>) -> Adopted {
    let found = read(name, text, layout).unwrap_or_else(|| panic!("refused:\n{text}"));
    assert_eq!(found.report.words.unaccounted, 0, "{text}\n{}", found.key_text);
    let again =
        tidy(&parse(Source::new("oren.key", found.key_text.as_str())), &TidyOptions::default());
    assert_eq!(again, found.key_text, "not tidy");
    let left: Vec<&str> = found.report.left_out.iter().map(|l| l.text.as_str()).collect();
    let there = words(&format!("{}\n{}", found.key_text, left.join("\n")));
    let bare: Vec<&str> = text.split('<').map(|p| p.split_once('>').map_or(p, |s| s.1)).collect();
    let bare = bare.join(" ");
    for (word, count) in words(&bare) {
        let has = there.get(&word).copied().unwrap_or(0);
        assert!(has >= count, "`{word}`: {has} of {count}\n{text}\n{}\n{left:?}", found.key_text);
    }
    found
}

#[test]
fn a_couplet_without_its_first_lead_has_no_empty_one() {
    let text = "Key to the trees of Oren\n\n\
        Couplet 1\na. Leaves opposite ........ 2\nb. Leaves alternate ........ 3\n\n\
        Couplet 2\na. Leaves pinnate ........ Fraxinus excelsior\n\
        b. Leaves lobed ........ Acer campestre\n\n\
        Couplet 3\na. Leaf base oblique ........ Ulmus glabra\nb. Leaf base equal ........ 4\n\n\
        Couplet 4\nb. Petiole round ........ Tilia cordata\n";
    let found = kept("oren.txt", text, None);
    assert_eq!((found.report.counts.couplets, found.report.counts.leads), (4, 7));
    assert!(found.report.faults.iter().any(|f| f.rule == "couplet-with-one-lead"));
}

#[test]
fn a_label_alone_at_the_end_of_a_line_is_told() {
    let text = "Key\n\n1. Leaves pinnate. Fraxinus excelsior.\n1. Leaves lobed. 2.\n2.\n\
        2. Buds brown. Acer campestre.\n2. Buds green. 3.\n3. Base oblique. Ulmus glabra.\n\
        3. Base equal. Tilia cordata.\n";
    kept("oren.txt", text, None);
    kept("oren.txt", text, Some("number-twice"));
}

const POPLARS: &str = "                    KEY TO THE POPLARS AND WILLOWS

     1. Leaves about as broad as long, on long flattened stalks,
trembling in the wind. 2.
     1. Leaves much longer than broad. 4.
     2. Leaves white beneath, lobed on vigorous shoots. POPULUS ALBA.
     2. Leaves green beneath. 3.
     3. Leaves round, with few blunt teeth. POPULUS TREMULA.
     3. Leaves triangular, with many small teeth. POPULUS NIGRA.
     4. Leaves silky on both sides. SALIX ALBA.
     4. Leaves hairless. SALIX FRAGILIS.
";

#[test]
fn a_number_at_the_end_of_a_lead_that_goes_nowhere_is_kept() {
    for layout in ["indented", "outline", "number-twice"] {
        kept("oren.txt", POPLARS, Some(layout));
    }
}

#[test]
fn a_label_within_a_line_parts_the_lines_of_an_outline() {
    let text = POPLARS.replace("ALBA.\n     2. Leaves", "ALBA.     2. Leaves");
    assert_ne!(text, POPLARS);
    kept("oren.txt", &text, None);
    for layout in layout::ALL.iter().map(|l| l.name()) {
        if read("oren.txt", &text, Some(layout)).is_some() {
            kept("oren.txt", &text, Some(layout));
        }
    }
}

#[test]
fn a_lone_statement_keeps_its_back_reference() {
    let text = "KEY TO THE TREES\n\n1a. Leaves opposite ....... 2\n1b. Leaves alternate ...... 3\n\n\
        2a. Leaves pinnate ........ Fraxinus excelsior\n2b. Leaves lobed .......... Acer campestre\n\n\
        3 (1). Leaves in whorls .... 4\n\n\
        3a. Base oblique .......... Ulmus glabra\n3b. Base equal ............ Quercus robur\n";
    let found = kept("oren.txt", text, None);
    assert!(
        found.report.left_out.iter().any(|l| l.text == "3 (1). Leaves in whorls .... 4"),
        "{:?}",
        found.report.left_out
    );
}

#[test]
fn a_pointer_that_the_format_cannot_write_is_no_loss() {
    let text = "I.   Folia opposita . . . . . . . . II\n1. (a) Leaves opposite (go to couplet 2)\n\
        I'.  Folia alterna\nII.  Calyx 5-dentatus  . . . . . .  Lamium\n\
        II.  Calyx 5-dentatus  . . . . . .  Lamium\n\
        II'. Calyx bilabiatus  . . . . . .  Salvia\nIII. Corolla papilionacea  . . . .  Vicia\n\
        III'. Corolla rotata . . . . . . .  Verbascum\n";
    kept("oren.txt", text, Some("doubled-letters"));
}

#[test]
fn two_headings_in_one_line_of_a_file_are_two() {
    let text = "<html>Trees of Oren<h2>Key</h2><ol>\n\
        <li><p>a. Leaves opposite ... 2</p><p>b. Leaves alternate ... <em>Ulmus glabra</em></p></li>\n\
        <li><p>a. Leaves pinnate ... <em>Fraxinus excelsior</em></p><p>b. Leaves lobed ... <em>Acer campestre</em></p></li></ol></html>\n";
    kept("oren.html", text, None);
    kept("oren.html", text, Some("indented"));
}

#[test]
fn two_leads_that_say_the_same_are_no_running_head() {
    let text = "KEY TO THE PLANTS OF THE OREN VALLEY\n\n\
        1. Capsule narrow      Ulmus glabra\n\nCapsule solitary in the axils      2\n\n\
        2. Capsule hairy      Acer campestre\n\nCapsule solitary in the axils      3\n\n\n\
        \u{C}PLANTS OF THE OREN VALLEY        211\n\n\
        3. Stamens four      Betula pendula\n\nStamens two      Fraxinus excelsior\n";
    let found = kept("oren.txt", text, None);
    assert_eq!((found.report.counts.couplets, found.report.counts.leads), (3, 6));
    assert_eq!(found.report.left_out.len(), 1, "{:?}", found.report.left_out);
}

/// A small generator of numbers: a case is told by one seed.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % n.max(1) as u64) as usize
    }
}

/// Damages a manuscript as copying and scanning do, and worse.
fn damaged(text: &str, other: &str, dice: &mut Dice) -> String {
    const SIGNS: &[u8] = b" .1a2b-()[]\t*_/:;,|#IlO\n";
    let theirs: Vec<&str> = other.split('\n').collect();
    let mut lines: Vec<Vec<char>> = text.split('\n').map(|l| l.chars().collect()).collect();
    for _ in 0..1 + dice.roll(6) {
        let at = dice.roll(lines.len());
        let sign = char::from(SIGNS[dice.roll(SIGNS.len())]);
        let column = dice.roll(lines[at].len() + 1);
        match dice.roll(9) {
            0 if lines.len() > 1 => drop(lines.remove(at)),
            1 => {
                let with = dice.roll(lines.len());
                lines.swap(at, with);
            }
            2 => lines.insert(at, theirs[dice.roll(theirs.len())].chars().collect()),
            3 => lines.insert(at, lines[at].clone()),
            4 if column < lines[at].len() => lines[at][column] = sign,
            5 if column < lines[at].len() => drop(lines[at].remove(column)),
            6 => lines[at].insert(column, sign),
            7 => lines[at].truncate(column),
            _ => {
                let more = lines[dice.roll(lines.len())].clone();
                lines[at].extend(more);
            }
        }
    }
    lines.iter().map(|l| l.iter().collect::<String>()).collect::<Vec<_>>().join("\n")
}

/// How many damaged manuscripts are tried: `HILUM_CASES`, else two hundred.
fn cases() -> u64 {
    std::env::var("HILUM_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(200)
}

#[test]
fn damaged_manuscripts_lose_no_word() {
    let mut all: Vec<(String, String)> = std::fs::read_dir(checkout("tests/manuscripts"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter_map(|path| {
            let text = std::fs::read_to_string(&path).ok()?;
            let name = path.file_name()?.to_string_lossy().into_owned();
            (text.len() < 2000).then_some((name, text))
        })
        .collect();
    all.sort();
    assert!(all.len() > 30, "only {} manuscripts", all.len());
    let mut read_as_keys = 0;
    for seed in 1..=cases() {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let (name, text) = &all[dice.roll(all.len())];
        let text = damaged(text, &all[dice.roll(all.len())].1, &mut dice);
        let layout = layout::ALL.get(dice.roll(2 * layout::ALL.len())).map(|l| l.name());
        let Some(found) = read(name, &text, layout) else { continue };
        read_as_keys += 1;
        let told = format!("seed {seed}, {name}, {layout:?}\n{text}\n{}", found.key_text);
        assert_eq!(found.report.words.unaccounted, 0, "words are in neither place: {told}");
        let source = || Source::new("oren.key", found.key_text.as_str());
        assert_eq!(tidy(&parse(source()), &TidyOptions::default()), found.key_text, "{told}");
        let offered = characters::proposals(&Key::read(source()));
        let _ = characters::declare("oren.key", &found.key_text, &offered);
    }
    assert!(read_as_keys * 3 > cases(), "only {read_as_keys} were read as keys");
}
