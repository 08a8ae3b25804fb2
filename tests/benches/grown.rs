//! Keys of any size for benchmarks: a balanced key over invented taxa, with accounts.

use std::fmt::Write;

const STATES: [&str; 8] =
    ["alternate", "opposite", "whorled", "basal", "rosulate", "scattered", "tufted", "crowded"];
const ORGANS: [&str; 12] = [
    "Leaves", "Petals", "Sepals", "Stems", "Capsules", "Seeds", "Stipules", "Bracts", "Anthers",
    "Styles", "Roots", "Twigs",
];

/// The text of a key with `couplets` couplets and one more taxon, each with an account of ten
/// statements. The same every time.
pub fn key(couplets: usize) -> String {
    let mut out = String::from("Key to a grown flora\n\ncharacters\n");
    for organ in ORGANS {
        let _ =
            write!(out, "\n{organ} arrangement: {organ} _\n  states    {}\n", STATES.join(", "));
        let _ = write!(out, "\n{organ} length: {organ} _ long\n  measure   mm\n");
    }
    out.push_str("\nkey\n\n");
    // Couplet i leads to couplets 2i and 2i+1, as a heap does.
    for i in 1..=couplets {
        for (letter, child) in [('a', 2 * i), ('b', 2 * i + 1)] {
            let organ = ORGANS[i % 12];
            let state = STATES[(i / 12 + usize::from(letter == 'b')) % 8];
            let low = 2 + (i * 7) % 40 + if letter == 'b' { 50 } else { 0 };
            let back = if letter == 'a' && i > 1 { format!(" ({})", i / 2) } else { String::new() };
            let _ = write!(
                out,
                "{i}{letter}{back}  {organ} {state}, {low}-{}(-{}) mm long; a little scented when crushed ..... ",
                low + 9,
                low + 14
            );
            if child <= couplets {
                let _ = writeln!(out, "{child}");
            } else {
                let _ = writeln!(out, "{}", name(child - couplets - 1));
            }
        }
        out.push('\n');
    }
    out.push_str("taxa\n");
    for t in 0..=couplets {
        let _ = write!(out, "\n{} L.\n  family    Graminaceae\n  ", name(t));
        for (k, organ) in ORGANS.iter().take(5).enumerate() {
            let low = 2 + (t * 3 + k) % 40;
            let state = STATES[(t + k) % 8];
            let _ = write!(
                out,
                "{organ} {state}, rarely {}; {organ} ({low}-){}-{} mm long; ",
                STATES[(t + k + 1) % 8],
                low + 2,
                low + 9
            );
        }
        out.push_str("all over.\n");
    }
    out
}

fn name(n: usize) -> String {
    let mut word = String::new();
    let mut rest = n;
    for _ in 0..4 {
        word.push(['b', 'c', 'd', 'f', 'g', 'l', 'm', 'n', 'p', 'r'][rest % 10]);
        word.push(['a', 'e', 'i', 'o', 'u'][rest / 10 % 5]);
        rest /= 50;
    }
    format!("Herba {word}sis")
}
