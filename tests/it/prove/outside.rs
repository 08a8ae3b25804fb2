//! Figures of a key against values from outside. Tags: [CALC] computed from the stated formula
//! outside this project, [MEM] cited from memory.

use hilum::check::Examination;
use hilum::check::study::Quality;
use hilum::check::study::quality::{entropy, huffman};
use hilum::key::Key;
use hilum::text::source::Source;

/// Weights, the mean of Huffman's tree, the entropy. The first is D. A. Huffman 1952, Table I
/// [MEM for the list and for 3.42; CALC reproduces 3.42]; all others [CALC].
const WEIGHED: [(&[f64], f64, f64); 5] = [
    (
        &[0.20, 0.18, 0.10, 0.10, 0.10, 0.06, 0.06, 0.04, 0.04, 0.04, 0.04, 0.03, 0.01],
        3.42,
        3.354561,
    ),
    (&[0.5, 0.25, 0.125, 0.125], 1.75, 1.75),
    (&[0.40, 0.30, 0.15, 0.10, 0.05], 2.05, 2.008695),
    (&[0.50, 0.20, 0.15, 0.10, 0.05], 1.95, 1.923220),
    (&[1.0 / 3.0, 1.0 / 3.0, 1.0 / 6.0, 1.0 / 6.0], 2.0, 1.918296),
];

#[test]
fn the_best_tree_and_the_entropy_are_those_of_the_table() {
    for (weights, mean, bits) in WEIGHED {
        assert!((huffman(weights) - mean).abs() < 1e-9, "{weights:?}: {}", huffman(weights));
        assert!((entropy(weights) - bits).abs() < 5e-7, "{weights:?}: {}", entropy(weights));
        // Scaled weights are the same weights.
        let twice: Vec<f64> = weights.iter().map(|w| w * 2.0).collect();
        assert!((huffman(&twice) - mean).abs() < 1e-9);
    }
    assert_eq!(huffman(&[1.0]), 0.0);
    assert_eq!(huffman(&[]), 0.0);
}

#[test]
fn equal_weights_give_the_least_path_length() {
    // The least total path length by an independent formula [CALC].
    for n in 2..400_usize {
        let least = hilum::key::figures::least_total(n as u64, 2) as f64 / n as f64;
        assert!((huffman(&vec![1.0; n]) - least).abs() < 1e-9, "{n}");
    }
}

fn quality(text: &str) -> Quality {
    let key = Key::read(Source::new("made.key", text));
    assert!(key.findings.is_empty(), "{:?}", key.findings.first());
    let exam = Examination::new(&key, &[], None);
    Quality::of(&exam).expect("it has taxa")
}

/// Quinlan's tree of 1986 [MEM] as a key: one attribute for 4 of 14 cases, two for 10; the mean
/// 24/14 = 1.714286 [CALC]. Three leads at the first couplet.
#[test]
fn the_mean_of_a_weighted_key_is_the_sum_over_its_ends() {
    let text = "\
Saturday mornings

key

1a  Outlook sunny ..... 2
1b  Outlook overcast ..... Dies coeruleus
1c  Outlook rainy ..... 3

2a  Humidity high ..... Dies humidus
2b  Humidity normal ..... Dies clarus

3a  Wind strong ..... Dies ventosus
3b  Wind weak ..... Dies pluvius
";
    let q = quality(text);
    // Each taxon alike: (1 + 4 × 2) / 5 decisions; (3 + 4 × 5) / 5 leads.
    assert!((q.mean.decisions - 9.0 / 5.0).abs() < 1e-12);
    assert!((q.mean.leads - 23.0 / 5.0).abs() < 1e-12);
    assert_eq!(q.deepest, 2);
}

#[test]
fn common_taxa_weigh_more() {
    // very common 2, common 1, rare 0.05, very rare 0.02, as the English table says.
    let text = "\
Four herbs

key

1a  Sap milky ..... Herba prima
1b  Sap clear ..... 2
2a  Stem square ..... Herba secunda
2b  Stem round ..... 3
3a  Root thick ..... Herba tertia
3b  Root thin ..... Herba quarta

taxa

Herba prima
  found     very common

Herba secunda
  found     common

Herba tertia
  found     rare

Herba quarta
  found     very rare
";
    let q = quality(text);
    let by = q.by_abundance.expect("abundance is said");
    let all = 2.0 + 1.0 + 0.05 + 0.02;
    let mean = (2.0 + 2.0 + 3.0 * 0.07) / all;
    assert!((by.mean.decisions - mean).abs() < 1e-12, "{}", by.mean.decisions);
    assert!((by.mean.leads - 2.0 * mean).abs() < 1e-12);
    assert!(by.entropy <= by.huffman && by.huffman < by.entropy + 1.0);
    // This key is the best tree.
    assert!((by.huffman - mean).abs() < 1e-12);
    assert!((q.mean.decisions - 9.0 / 4.0).abs() < 1e-12);
}

#[test]
fn an_even_key_is_balanced_and_a_comb_is_not() {
    let even = "A\n\nkey\n\n1a  Sap a ..... 2\n1b  Sap b ..... 3\n2a  Stem a ..... Aus aus\n2b  Stem b ..... Aus bus\n3a  Root a ..... Aus cus\n3b  Root b ..... Aus dus\n";
    assert!((quality(even).balance - 1.0).abs() < 1e-12);
    let comb = "A\n\nkey\n\n1a  Sap a ..... Aus aus\n1b  Sap b ..... 2\n2a  Stem a ..... Aus bus\n2b  Stem b ..... 3\n3a  Root a ..... Aus cus\n3b  Root b ..... Aus dus\n";
    // (4 H(1/4) + 3 H(1/3) + 2) / 9, with H(1/4) = 0.811278 and H(1/3) = 0.918296 [CALC].
    let expected = (4.0 * 0.811_278_124_459 + 3.0 * 0.918_295_834_054 + 2.0) / 9.0;
    assert!((quality(comb).balance - expected).abs() < 1e-9, "{}", quality(comb).balance);
}
