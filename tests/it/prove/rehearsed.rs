//! Simulated readers: against outside values, against drawing them one by one, against brute force.
//!
//! Values of the tables: SOURCES 1.6, [CALC] from (1 - e)^d and its mean over the taxa.

use hilum::check::Examination;
use hilum::craft::rehearse::{Readers, Rehearsal, rehearse};
use hilum::key::Key;
use hilum::text::source::Source;

use super::small::{Dice, Model, Shape};

const ORGANS: [&str; 7] = ["Leaves", "Petals", "Sepals", "Stems", "Seeds", "Roots", "Twigs"];

/// A key with one character of two states at each couplet and an account of everything: `next`
/// gives for each couplet the couplet or taxon of its two leads.
fn plain(
    couplets: usize,
    next: impl Fn(usize, usize) -> Result<usize, usize>,
    taxa: usize,
) -> String {
    let mut out = String::from("A key to herbs\n\ncharacters\n");
    for i in 0..couplets {
        out += &format!(
            "\nc{i}: {} of kind {} _\n  states    smooth, hairy\n",
            ORGANS[i % 7],
            letters(i)
        );
    }
    out += "\nkey\n\n";
    // What each taxon shows, from the leads that lead to it.
    let mut ways: Vec<Vec<String>> = vec![Vec::new(); taxa];
    let mut open = vec![(0, Vec::<String>::new())];
    while let Some((i, way)) = open.pop() {
        for (lead, word) in ["smooth", "hairy"].into_iter().enumerate() {
            let mut way = way.clone();
            way.push(format!("{} of kind {} {word}", ORGANS[i % 7], letters(i)));
            match next(i, lead) {
                Ok(c) => open.push((c, way)),
                Err(t) => ways[t] = way,
            }
        }
    }
    for i in 0..couplets {
        for (lead, word) in ["smooth", "hairy"].into_iter().enumerate() {
            let letter = ["a", "b"][lead];
            let to = next(i, lead).map_or_else(Model::taxon, |c| (c + 1).to_string());
            out += &format!(
                "{}{letter}  {} of kind {} {word} ..... {to}\n",
                i + 1,
                ORGANS[i % 7],
                letters(i)
            );
        }
    }
    out += "\ntaxa\n";
    for (t, way) in ways.iter().enumerate() {
        out += &format!("\n{}\n  {}.\n", Model::taxon(t), way.join("; "));
    }
    out
}

fn letters(i: usize) -> String {
    format!("{}{}", (b'a' + (i / 26) as u8) as char, (b'a' + (i % 26) as u8) as char)
}

/// One taxon falls out at each couplet.
fn comb(taxa: usize) -> String {
    let next = |i: usize, lead: usize| match lead {
        0 => Err(i),
        _ if i + 2 == taxa => Err(taxa - 1),
        _ => Ok(i + 1),
    };
    plain(taxa - 1, next, taxa)
}

/// Every couplet at every level.
fn even(levels: u32) -> String {
    let inner = 2_usize.pow(levels) - 1;
    let next = |i: usize, lead: usize| {
        let child = 2 * i + 1 + lead;
        if child < inner { Ok(child) } else { Err(child - inner) }
    };
    plain(inner, next, inner + 1)
}

fn run(text: &str, readers: &Readers, repairs: usize) -> Rehearsal {
    let key = Key::read(Source::new("made.key", text));
    assert!(
        key.findings.iter().all(|f| f.rule == "two-states-at-once"),
        "{:?}",
        key.findings.first()
    );
    let exam = Examination::new(&key, &[], None);
    rehearse(&exam, readers, repairs)
}

fn at(misreading: f64) -> Readers {
    Readers { misreading, ..Readers::default() }
}

#[test]
fn eight_taxa_fare_as_the_table_says() {
    for (e, balanced, combed) in [(0.05, 0.857375, 0.803741), (0.21, 0.493039, 0.403939)] {
        let r = run(&even(3), &at(e), 0);
        assert!((r.right - balanced).abs() < 5e-7, "{e}: {}", r.right);
        assert!(r.seed.is_none(), "worked out, not drawn");
        let r = run(&comb(8), &at(e), 0);
        assert!((r.right - combed).abs() < 5e-7, "{e}: {}", r.right);
    }
    // The rate that is taken where none is given.
    assert!((run(&even(3), &Readers::default(), 0).right - 0.493039).abs() < 5e-7);
}

#[test]
fn a_route_of_d_couplets_is_read_right_as_the_table_says() {
    // e, then the share at d = 1, 2, 3, 4, 5, 7, 10, 20.
    let depths = [1, 2, 3, 4, 5, 7, 10, 20];
    let table: [(f64, [f64; 8]); 6] = [
        (0.01, [0.9900, 0.9801, 0.9703, 0.9606, 0.9510, 0.9321, 0.9044, 0.8179]),
        (0.02, [0.9800, 0.9604, 0.9412, 0.9224, 0.9039, 0.8681, 0.8171, 0.6676]),
        (0.05, [0.9500, 0.9025, 0.8574, 0.8145, 0.7738, 0.6983, 0.5987, 0.3585]),
        (0.10, [0.9000, 0.8100, 0.7290, 0.6561, 0.5905, 0.4783, 0.3487, 0.1216]),
        (0.20, [0.8000, 0.6400, 0.5120, 0.4096, 0.3277, 0.2097, 0.1074, 0.0115]),
        (0.21, [0.7900, 0.6241, 0.4930, 0.3895, 0.3077, 0.1920, 0.0947, 0.0090]),
    ];
    let text = comb(22);
    for (e, row) in table {
        let r = run(&text, &at(e), 0);
        for (d, share) in depths.into_iter().zip(row) {
            // Taxon d - 1 falls out at couplet d.
            let name = Model::taxon(d - 1);
            let one = r.taxa.iter().find(|t| t.taxon == name).expect("it is in the key");
            assert!((one.right - share).abs() < 6e-5, "{e} {d}: {} against {share}", one.right);
        }
    }
}

#[test]
fn rates_can_differ_by_character() {
    let text = even(1);
    let key = Key::read(Source::new("made.key", text.as_str()));
    let mut readers = at(0.21);
    readers.of_character.insert(hilum::key::CharacterId(0), 0.0);
    assert!((rehearse(&Examination::new(&key, &[], None), &readers, 0).right - 1.0).abs() < 1e-12);
}

#[test]
fn drawn_readers_agree_with_the_shares_worked_out() {
    let mut compared = 0;
    for seed in 0..40 {
        let mut dice = Dice::new(1000 + seed);
        let shape = Shape {
            couplets: 2 + dice.below(6),
            characters: 2 + dice.below(4),
            reticulate: seed % 2 == 0,
            polytomies: seed % 3 == 0,
            prose: seed % 2 == 1,
        };
        let text = Model::random(&mut dice, shape).text();
        let exact = run(&text, &at(0.21), 0);
        assert!(exact.seed.is_none());
        let drawn = Readers { always_draw: true, drawn: 2_000, seed, ..at(0.21) };
        let drawn = run(&text, &drawn, 0);
        assert_eq!(drawn.seed, Some(seed));
        for (a, b) in exact.taxa.iter().zip(&drawn.taxa) {
            assert_eq!(a.taxon, b.taxon);
            let all: f64 = a.right + a.gave_up + a.confusions.iter().map(|c| c.share).sum::<f64>();
            assert!((all - 1.0).abs() < 1e-9, "no reader is lost: {all}\n{text}");
            // Five standard errors: by chance once in millions.
            let error = (a.right * (1.0 - a.right) / 2_000.0).sqrt().max(5e-4);
            assert!(
                (a.right - b.right).abs() < 5.0 * error,
                "{}: {} against {}\n{text}",
                a.taxon,
                a.right,
                b.right
            );
            compared += 1;
        }
    }
    assert!(compared > 120, "{compared}");
}

#[test]
fn without_misreading_readers_end_where_the_account_leads() {
    let mut compared = 0;
    for seed in 0..1200 {
        let mut dice = Dice::new(seed);
        let shape = Shape {
            couplets: 2 + dice.below(6),
            characters: 2 + dice.below(4),
            reticulate: seed % 2 == 0,
            polytomies: seed % 3 == 0,
            prose: false,
        };
        let text = Model::random(&mut dice, shape).text();
        // What prose says, an account cannot decide.
        if text.contains("the look of") {
            continue;
        }
        let key = Key::read(Source::new("made.key", text.as_str()));
        let exam = Examination::new(&key, &[], None);
        let r = rehearse(&exam, &at(0.0), 0);
        for one in &r.taxa {
            let id = key.taxon_ids().find(|t| key.taxon(*t).name == one.taxon).expect("taxon");
            let Some(run) = exam.courses().get(id) else { continue };
            // Of a character that the account leaves out, each reader makes up his own mind.
            if run.forms.iter().count() < key.characters.len() {
                continue;
            }
            // Where the account decides everything, that is where they end.
            let decided: f64 = run.course.ends.iter().map(|e| e.sure).sum();
            if decided > 1.0 - 1e-9 {
                assert!((one.right - run.course.right()).abs() < 1e-9, "{}\n{text}", one.taxon);
                compared += 1;
            }
        }
    }
    assert!(compared > 50, "{compared}");
}

const THREE: &str = "\
Three herbs

characters

petals: Petals _
  states    red, white
  part      flower

leaves: Leaves _
  states    lobed, entire
  part      leaf

fruit: Fruit _
  states    round, long
  part      fruit
  tool      lens

seeds: Seeds _
  states    black, brown
  part      seed

key

1a  Petals red ..... 2
1b  Petals white ..... Herba tertia

2a  Fruit round ..... Herba prima
2b  Fruit long ..... Herba secunda

taxa

Herba prima
  flowers   May
  Petals red; leaves lobed; fruit round; seeds black.

Herba secunda
  flowers   Jun
  Petals red; leaves lobed; fruit long; seeds brown.

Herba tertia
  Petals white; leaves entire; fruit round; seeds black.
";

#[test]
fn a_missing_part_a_missing_lens_and_the_wrong_month_make_readers_give_up() {
    let given_up = |change: &dyn Fn(&mut Readers)| {
        let mut readers = at(0.0);
        change(&mut readers);
        let r = run(THREE, &readers, 0);
        r.taxa.iter().map(|t| t.gave_up).collect::<Vec<_>>()
    };
    assert_eq!(given_up(&|_| ()), [0.0, 0.0, 0.0]);
    assert_eq!(given_up(&|r| r.specimens.missing = vec!["flower".into()]), [1.0, 1.0, 1.0]);
    assert_eq!(given_up(&|r| r.specimens.missing = vec!["fruit".into()]), [1.0, 1.0, 0.0]);
    assert_eq!(given_up(&|r| r.specimens.tool = hilum::key::character::Tool::Eye), [1.0, 1.0, 0.0]);
    assert_eq!(given_up(&|r| r.specimens.month = Some(6)), [1.0, 0.0, 0.0]);
    // Who guesses is right by chance.
    let mut readers = at(0.0);
    readers.guess = true;
    readers.specimens.missing = vec!["fruit".into()];
    let r = run(THREE, &readers, 0);
    assert_eq!(r.taxa.iter().map(|t| t.right).collect::<Vec<_>>(), [0.5, 0.5, 1.0]);
}

#[test]
fn losses_and_repairs_are_those_of_the_arithmetic() {
    let e = 0.2;
    let r = run(THREE, &at(e), 8);
    // Couplet 1 loses e of each of three taxa; couplet 2 e of those of two that came.
    assert_eq!(r.losses[0].couplet, "couplet 1");
    assert!((r.losses[0].share - e).abs() < 1e-12);
    assert!((r.losses[1].share - 2.0 * e * (1.0 - e) / 3.0).abs() < 1e-12);
    assert!((r.losses[1].of_arriving - e).abs() < 1e-12);
    // Two looks of equal worth decide no better than one, and a second place costs the one what
    // it wins the other: nothing is offered.
    assert!(r.repairs.is_empty(), "{:?}", r.repairs);
    // With a character that is rarely misread both are worth it.
    let f = 0.05;
    let mut readers = at(e);
    readers.of_character.insert(hilum::key::CharacterId(1), f);
    let r = run(THREE, &readers, 8);
    let gain = |words: &str| {
        let found = r.repairs.iter().find(|x| x.words.contains(words));
        found.unwrap_or_else(|| panic!("{words}: {:?}", r.repairs)).gain
    };
    // Both looks right, or one of them and the toss of a coin, at the first couplet.
    let both = (1.0 - e) * (1.0 - f) + 0.5 * (e * (1.0 - f) + (1.0 - e) * f) - (1.0 - e);
    let rise = (both + 2.0 * both * (1.0 - e)) / 3.0;
    assert!((gain("add `leaves` to couplet 1") - rise).abs() < 1e-12);
    // Herba tertia, misread at couplet 1, comes to Herba prima at 2a.
    let second = (e * (1.0 - e) * (1.0 - f) - (1.0 - e) * (1.0 - e) * f) / 3.0;
    assert!((gain("key Herba tertia out at lead 2a too") - second).abs() < 1e-12);
    for repair in &r.repairs {
        assert!(repair.gain > 0.0 && r.right + repair.gain <= 1.0, "{repair:?}");
    }
    assert!(r.repairs.windows(2).all(|w| w[0].gain >= w[1].gain));
}

#[test]
fn a_third_look_gains_what_the_binomial_says() {
    // A couplet with two characters: both right, or one and then the toss of a coin. A third
    // makes it two of three: 3 (1-e)^2 e + (1-e)^3.
    let text = "\
Two herbs

characters

petals: Petals _
  states    red, white

leaves: Leaves _
  states    lobed, entire

stems: Stems _
  states    round, square

key

1a  Petals red; leaves lobed ..... Herba prima
1b  Petals white; leaves entire ..... Herba secunda

taxa

Herba prima
  Petals red; leaves lobed; stems round.

Herba secunda
  Petals white; leaves entire; stems square.
";
    let e: f64 = 0.2;
    let r = run(text, &at(e), 8);
    assert!((r.right - (1.0 - e)).abs() < 1e-12);
    let with_three = 3.0 * (1.0 - e).powi(2) * e + (1.0 - e).powi(3);
    let best = &r.repairs[0];
    assert!(best.words.contains("add `stems` to couplet 1"), "{best:?}");
    assert!((best.gain - (with_three - (1.0 - e))).abs() < 1e-12, "{best:?}");
    // The figures of a majority of three, as in the table of chances kept: m = 3, t = 1.
    assert!((with_three - 0.896).abs() < 1e-12);
}
