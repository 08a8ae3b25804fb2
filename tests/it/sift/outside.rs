//! The engine against published figures; the source stands beside each.

use hilum::key::statement::StateSet;
use hilum::key::{CharacterId, ConditionId, StateId};
use hilum::sift::apart::Pairs;
use hilum::sift::bits::Bits;
use hilum::sift::evidence::MISREADING;
use hilum::sift::split::split;
use hilum::sift::verdict::SETTLED;
use hilum::sift::weights::Weights;
use hilum::sift::{
    Assumptions, Cell, Known, Meta, Observation, Prior, Seen, Specimen, Table, chance_kept,
    next_questions, rank,
};
use hilum::text::frequency::Frequency;

const FRESH: ConditionId = ConditionId::FRESH;

/// A table of characters with states, `shares[character][taxon][state]`; an empty list: nothing is
/// said.
pub fn table(rows: usize, shares: &[Vec<Vec<f64>>]) -> Table {
    let mut table = Table::new(rows, FRESH);
    for (i, by_row) in shares.iter().enumerate() {
        let states = by_row.iter().map(Vec::len).max().unwrap_or(0);
        table.add(Meta::of_states(format!("c{i}"), states), |row| {
            let sum: f64 = by_row[row].iter().sum();
            let shown: Vec<(StateId, f64)> = by_row[row]
                .iter()
                .enumerate()
                .filter(|(_, s)| **s > 0.0)
                .map(|(s, share)| (StateId(s as u16), share / sum))
                .collect();
            Cell { known: (!shown.is_empty()).then_some(Known::States(shown)), may_lack: false }
        });
    }
    table
}

pub fn saw(character: usize, state: usize) -> Observation {
    let seen = Seen::States(StateSet::of([StateId(state as u16)]));
    Observation::new(CharacterId(character as u32), seen, FRESH)
}

/// The information of a character over weighted taxa, in bits.
pub fn information(table: &Table, character: usize, weights: &[f64]) -> f64 {
    let weights = Weights::of(Bits::all(table.rows()), |row| weights[row]);
    split(table, CharacterId(character as u32), &weights, FRESH).map_or(0.0, |s| s.information)
}

#[track_caller]
fn near(got: f64, wanted: f64, by: f64) {
    assert!((got - wanted).abs() <= by, "{got} is not {wanted} within {by}");
}

/// Outlook, temperature, humidity, windy; then whether one plays. J. R. Quinlan 1986, Induction of
/// decision trees, Machine Learning 1: 81-106 [MEM]; the table [READ] in several public copies.
const MORNINGS: [([usize; 4], bool); 14] = [
    ([0, 0, 0, 0], false),
    ([0, 0, 0, 1], false),
    ([1, 0, 0, 0], true),
    ([2, 1, 0, 0], true),
    ([2, 2, 1, 0], true),
    ([2, 2, 1, 1], false),
    ([1, 2, 1, 1], true),
    ([0, 1, 0, 0], false),
    ([0, 2, 1, 0], true),
    ([2, 1, 1, 0], true),
    ([0, 1, 1, 1], true),
    ([1, 1, 0, 1], true),
    ([1, 0, 1, 0], true),
    ([2, 1, 0, 1], false),
];
const VALUES: [usize; 4] = [3, 3, 2, 2];

/// The two classes as taxa, N first, with the shares that some of the mornings give.
fn mornings(of: &[&([usize; 4], bool)]) -> (Table, Vec<f64>) {
    let class = |c: bool| of.iter().filter(move |m| m.1 == c);
    let shares: Vec<Vec<Vec<f64>>> = (0..4)
        .map(|a| {
            [false, true]
                .map(|c| {
                    let count = |v: usize| class(c).filter(|m| m.0[a] == v).count() as f64;
                    (0..VALUES[a]).map(count).collect()
                })
                .to_vec()
        })
        .collect();
    let weights = [false, true].map(|c| class(c).count() as f64).to_vec();
    (table(2, &shares), weights)
}

#[test]
fn quinlans_mornings() {
    let all: Vec<_> = MORNINGS.iter().collect();
    let (table, weights) = mornings(&all);
    // Exact gains [CALC], scikit-learn agrees; he prints .246 .029 .151 .048 [MEM].
    for (a, gain) in [0.246750, 0.029223, 0.151836, 0.048127].into_iter().enumerate() {
        near(information(&table, a, &weights), gain, 5e-7);
    }
    // The second level, under sunny and under rain [CALC].
    for (outlook, gains) in
        [(0, [0.570951, 0.970951, 0.019973]), (2, [0.019973, 0.019973, 0.970951])]
    {
        let some: Vec<_> = MORNINGS.iter().filter(|m| m.0[0] == outlook).collect();
        let (table, weights) = mornings(&some);
        for (a, gain) in gains.into_iter().enumerate() {
            near(information(&table, a + 1, &weights), gain, 5e-7);
        }
    }
    // Always asking what tells most makes his tree: 24/14 tests on average [CALC].
    assert_eq!(tests_of_tree(&all), 24);
}

/// The number of tests, summed over the cases, of the tree that the engine's questions make.
fn tests_of_tree(of: &[&([usize; 4], bool)]) -> usize {
    if of.iter().all(|m| m.1 == of[0].1) {
        return 0;
    }
    let (table, weights) = mornings(of);
    let questions =
        next_questions(&table, &Bits::all(2), |row| weights[row], &[], &Specimen::default());
    let a = questions[0].character.0 as usize;
    let branch = |v: usize| of.iter().copied().filter(|m| m.0[a] == v).collect::<Vec<_>>();
    of.len()
        + (0..VALUES[a])
            .map(branch)
            .filter(|b| !b.is_empty())
            .map(|b| tests_of_tree(&b))
            .sum::<usize>()
}

fn bare() -> Assumptions {
    Assumptions { misreading: 0.0, none: 0.0, ..Assumptions::default() }
}

#[test]
fn bayes_on_the_same_mornings() {
    let (table, weights) = mornings(&MORNINGS.iter().collect::<Vec<_>>());
    let unknown = [saw(0, 0), saw(1, 2), saw(2, 0), saw(3, 1)];
    let prior = Prior { weights, ..Prior::equal(2) };
    // Witten & Frank; Mitchell 1997 p. 179: .205 / .795 [READ after a course tutor]; exact [CALC].
    let with = rank(&table, &unknown, &prior, &bare());
    near(with.probability(0), 0.795417, 2e-6);
    near(with.probability(1), 0.204583, 2e-6);
    // Without priors 4374/4999; windy not observed .795417 again [CALC].
    let equal = Prior::equal(2);
    near(rank(&table, &unknown, &equal, &bare()).probability(0), 4374.0 / 4999.0, 2e-6);
    near(4374.0f64 / 4999.0, 0.874975, 5e-7);
    near(rank(&table, &unknown[..3], &equal, &bare()).probability(0), 0.795417, 2e-6);
    // "P(overcast | N) = 0/5: a zero wipes a class out; needs a floor" (SOURCES.md 2.2).
    let overcast = rank(&table, &[saw(0, 1)], &equal, &bare());
    assert!(overcast.probability(0) > 0.0 && overcast.probability(1) < 1.0);
}

#[test]
fn willcox_scores_with_a_test_missing() {
    // A constructed matrix for the formulas of Willcox et al. 1973 [CALC] (SOURCES.md 2.3).
    let matrix = [
        [0.99, 0.95, 0.01, 0.90, 0.05],
        [0.99, 0.10, 0.01, 0.50, 0.95],
        [0.01, 0.95, 0.99, 0.90, 0.05],
    ];
    let shares: Vec<Vec<Vec<f64>>> =
        (0..5).map(|t| matrix.iter().map(|row| vec![row[t], 1.0 - row[t]]).collect()).collect();
    let table = table(3, &shares);
    let prior = Prior::equal(3);
    let all = [saw(0, 0), saw(1, 0), saw(2, 1), saw(3, 0), saw(4, 1)];
    let full = rank(&table, &all, &prior, &bare());
    for (row, score) in [0.996830, 0.003068, 0.000102].into_iter().enumerate() {
        near(full.probability(row), score, 2e-6);
    }
    let missing = [all[0].clone(), all[2].clone(), all[3].clone(), all[4].clone()];
    let less = rank(&table, &missing, &prior, &bare());
    for (row, score) in [0.971495, 0.028406, 0.000099].into_iter().enumerate() {
        near(less.probability(row), score, 2e-6);
    }
    // ".9968 passes a .95 or .995 level and fails .999".
    let passes: Vec<bool> = SETTLED.iter().map(|limit| full.probability(0) >= *limit).collect();
    assert_eq!(passes, [true, true, false]);
}

#[test]
fn the_tolerance_table() {
    // Binomial sums [CALC] (SOURCES.md 1.6); .21 from Wäldchen et al. 2022 [READ].
    for (m, e, kept) in [
        (6, 0.10, [0.5314, 0.8857, 0.9842, 0.9987, 0.9999]),
        (10, 0.05, [0.5987, 0.9139, 0.9885, 0.9990, 0.9999]),
        (10, 0.21, [0.0947, 0.3464, 0.6474, 0.8609, 0.9601]),
        (20, 0.05, [0.3585, 0.7358, 0.9245, 0.9841, 0.9974]),
    ] {
        for (t, kept) in kept.into_iter().enumerate() {
            near(chance_kept(m, e, t), kept, 5.1e-5);
        }
    }
    assert_eq!(MISREADING, 0.21);
    assert_eq!(chance_kept(0, 0.21, 0), 1.0);
    assert_eq!(chance_kept(3, 1.0, 2), 0.0);
    assert_eq!(chance_kept(3, 1.0, 3), 1.0);
}

/// Taxa that each show one state, so many of each.
fn groups(sizes: &[usize]) -> Table {
    let rows: Vec<Vec<f64>> = sizes
        .iter()
        .enumerate()
        .flat_map(|(s, n)| {
            let mut one = vec![0.0; sizes.len()];
            one[s] = 1.0;
            std::iter::repeat_n(one, *n)
        })
        .collect();
    table(rows.len(), &[rows])
}

#[test]
fn separation_and_information() {
    // SOURCES.md 1.5 [CALC]: sizes, pairs separated, of all pairs, bits, expected number left.
    let cases: [(&[usize], usize, usize, f64, f64); 14] = [
        (&[8, 8], 64, 120, 1.0000, 8.0),
        (&[4, 12], 48, 120, 0.8113, 10.0),
        (&[2, 14], 28, 120, 0.5436, 12.5),
        (&[1, 15], 15, 120, 0.3373, 14.125),
        (&[5, 5], 25, 45, 1.0000, 5.0),
        (&[3, 7], 21, 45, 0.8813, 5.8),
        (&[1, 9], 9, 45, 0.4690, 8.2),
        (&[50, 50], 2500, 4950, 1.0000, 50.0),
        (&[10, 90], 900, 4950, 0.4690, 82.0),
        (&[8, 4, 4], 80, 120, 1.5000, 6.0),
        (&[6, 5, 5], 85, 120, 1.5794, 5.375),
        (&[4, 4, 4, 4], 96, 120, 2.0000, 4.0),
        (&[2, 3, 5], 31, 45, 1.4855, 3.8),
        (&[3, 3, 4], 33, 45, 1.5710, 3.4),
    ];
    for (sizes, apart, of, bits, left) in cases {
        let table = groups(sizes);
        let n = table.rows();
        let rows: Vec<usize> = (0..n).collect();
        let pairs = Pairs::new(&table, &rows, [(CharacterId(0), FRESH)]);
        assert_eq!(pairs.all().count(), apart, "{sizes:?}");
        assert_eq!(Pairs::count(n), of);
        near(information(&table, 0, &vec![1.0; n]), bits, 5.1e-5);
        let weights = Weights::equal(Bits::all(n));
        let split = split(&table, CharacterId(0), &weights, FRESH).unwrap();
        let expected: f64 = split.answers.iter().map(|a| a.share * a.left as f64).sum();
        near(expected, left, 1e-9);
    }
}

#[test]
fn variable_taxa_go_both_ways() {
    // SOURCES.md 1.5 [CALC]: 4 taxa only state 0, 3 only state 1, 3 variable: S = 12 of 45, and the
    // branches hold 7 and 6.
    let mut shares = vec![vec![1.0, 0.0]; 4];
    shares.extend(vec![vec![0.0, 1.0]; 3]);
    shares.extend(vec![vec![1.0, 1.0]; 3]);
    let variable = table(10, &[shares.clone()]);
    // The same where nothing is said of the three.
    let mut unsaid = shares;
    unsaid[7..].iter_mut().for_each(|s| s.clear());
    unsaid[0] = vec![1.0, 0.0];
    let unsaid = table(10, &[unsaid]);
    for table in [&variable, &unsaid] {
        let rows: Vec<usize> = (0..10).collect();
        assert_eq!(Pairs::new(table, &rows, [(CharacterId(0), FRESH)]).all().count(), 12);
        let weights = Weights::equal(Bits::all(10));
        let split = split(table, CharacterId(0), &weights, FRESH).unwrap();
        let left: Vec<usize> = split.answers.iter().map(|a| a.left).collect();
        assert_eq!(left, [7, 6]);
    }
    // A variable taxon halves its own information, one of which nothing is said gives none:
    // H(.55,.45) - .3 and .7 H(4/7,3/7) [CALC].
    near(information(&variable, 0, &[1.0; 10]), 0.992774 - 0.3, 1e-6);
    near(information(&unsaid, 0, &[1.0; 10]), 0.7 * 0.985228, 1e-6);
}

#[test]
fn words_of_frequency() {
    // Sample data of TDWG 116 1.1 [READ] (SOURCES.md 4.4).
    for (word, low, high) in [
        (Frequency::ExtremelyRarely, 0.0, 0.01),
        (Frequency::VeryRarely, 0.0001, 0.05),
        (Frequency::Rarely, 0.0001, 0.15),
        (Frequency::Often, 0.2, 0.8),
        (Frequency::Usually, 0.5, 0.999),
        (Frequency::AlmostAlways, 0.9, 0.999),
        (Frequency::Perhaps, 0.0, 0.5),
        (Frequency::Probably, 0.6, 1.0),
        (Frequency::ByMisinterpretation, 0.0, 0.0),
    ] {
        let row = word.row();
        assert_eq!((row.low, row.high, row.published), (low, high, true), "{word:?}");
        assert!(low <= row.share && row.share <= high, "{word:?}");
    }
    // What a ranking makes of `red, rarely white`: white is 19 times less probable than red.
    let desk = super::Desk::sound(
        "Frequency\ncharacters\npetals: Petals _\n  states  red, white\ntaxa\n\
         Alba una\n  Petals red, rarely white.\nAlba altera\n  Petals red or white.\n",
    );
    let assumptions = bare();
    let prior = Prior::equal(2);
    let red = rank(&desk.table, &desk.read("petals red"), &prior, &assumptions);
    let white = rank(&desk.table, &desk.read("petals white"), &prior, &assumptions);
    near(red.probability(0), 0.95 / 1.45, 2e-6);
    near(white.probability(0), 0.05 / 0.55, 2e-6);
    // The word never excludes.
    assert!(hilum::sift::agree(&desk.table, &desk.read("petals white"), 0).agreeing().contains(0));
}

#[test]
fn the_fewest_characters_of_a_small_table() {
    // Eight taxa, six characters (SOURCES.md 1.4) [CALC there for trees]. Here: the fewest
    // characters that part all, against every subset.
    let matrix = [
        [0, 1, 1, 1, 0, 0],
        [0, 1, 0, 1, 0, 1],
        [0, 0, 0, 1, 1, 0],
        [1, 1, 0, 1, 1, 0],
        [1, 1, 0, 1, 0, 1],
        [0, 1, 0, 1, 1, 0],
        [0, 1, 1, 1, 1, 0],
        [0, 0, 0, 0, 0, 1],
    ];
    let shares: Vec<Vec<Vec<f64>>> = (0..6)
        .map(|c| matrix.iter().map(|r| vec![1.0 - r[c] as f64, r[c] as f64]).collect())
        .collect();
    let table = table(8, &shares);
    let parts = |subset: u32| {
        (0..8).all(|j| {
            (0..j).all(|i| (0..6).any(|c| subset >> c & 1 == 1 && matrix[i][c] != matrix[j][c]))
        })
    };
    let fewest = (0u32..64).filter(|s| parts(*s)).map(u32::count_ones).min().unwrap();
    let plan = hilum::sift::plan(&table, &Bits::all(8), &[], &Specimen::default());
    assert!(plan.proved && plan.together.is_empty());
    assert_eq!(plan.characters.len() as u32, fewest);
    let chosen = plan.characters.iter().fold(0u32, |s, c| s | 1 << c.0);
    assert!(parts(chosen));
}
