//! Counts and route lengths against what is known of trees, whatever program drew them.
//!
//! Tags of the values: [CALC] computed from the stated formula outside this project, [MEM] cited
//! from memory.

use std::fmt::Write;

use hilum::key::figures::{least_deepest, least_total};
use hilum::key::{Figures, Graph, Key};
use hilum::text::source::Source;

/// n, least total path length with two, three and four leads, and the longest path with two.
/// [CALC] equal-weight optimal trees; the formula for two leads is D. E. Knuth, The Art of Computer
/// Programming 3, section 5.3.1 [MEM], checked against an independent construction [CALC].
const LEAST: [(u64, u64, u32, u64, u64); 26] = [
    (2, 2, 1, 2, 2),
    (3, 5, 2, 3, 3),
    (4, 8, 2, 6, 4),
    (5, 12, 3, 8, 7),
    (6, 16, 3, 11, 9),
    (7, 20, 3, 13, 11),
    (8, 24, 3, 16, 14),
    (10, 34, 4, 22, 18),
    (12, 44, 4, 29, 23),
    (13, 49, 4, 32, 25),
    (15, 59, 4, 39, 30),
    (16, 64, 4, 43, 32),
    (20, 88, 5, 57, 46),
    (24, 112, 5, 71, 59),
    (25, 118, 5, 74, 62),
    (30, 148, 5, 95, 79),
    (32, 160, 5, 104, 86),
    (50, 286, 6, 185, 146),
    (64, 384, 6, 248, 192),
    (80, 512, 7, 320, 262),
    (100, 672, 7, 429, 348),
    (128, 896, 7, 583, 470),
    (200, 1544, 8, 979, 782),
    (500, 4488, 9, 2886, 2326),
    (1000, 9976, 10, 6407, 4992),
    (4800, 59008, 13, 37520, 29739),
];

#[test]
fn the_least_path_lengths_are_those_of_the_table() {
    for (n, two, longest, three, four) in LEAST {
        assert_eq!(least_total(n, 2), two, "{n} end points, two leads");
        assert_eq!(least_total(n, 3), three, "{n} end points, three leads");
        assert_eq!(least_total(n, 4), four, "{n} end points, four leads");
        assert_eq!(least_deepest(n, 2), longest, "{n} end points");
    }
}

#[test]
fn the_least_mean_lies_just_above_the_logarithm() {
    // log2 n <= mean <= log2 n + 0.08607 for n < 5000 [CALC]; Knuth gives 0.0861 [MEM].
    for n in 2..5000_u64 {
        let mean = least_total(n, 2) as f64 / n as f64;
        let log = (n as f64).log2();
        assert!(mean >= log - 1e-9 && mean <= log + 0.08608, "{n}: {mean} against {log}");
    }
}

fn figures(text: String) -> Figures {
    let key = Key::read(Source::new("generated.key", text));
    assert!(key.findings.is_empty(), "{:?}", key.findings.first());
    Figures::of(&key, &Graph::new(&key))
}

fn name(i: usize) -> String {
    let letters = |mut i: usize| {
        let mut out = String::new();
        for _ in 0..6 {
            out.push((b'a' + (i % 26) as u8) as char);
            i /= 26;
        }
        out
    };
    format!("Planta {}", letters(i))
}

/// One taxon falls out at each couplet.
fn comb(end_points: usize) -> String {
    let mut out = String::from("A comb\n\nkey\n\n");
    for i in 1..end_points {
        let _ = writeln!(out, "{i}a  Mark {i} there ..... {}", name(i));
        match i + 1 {
            next if next == end_points => {
                let _ = writeln!(out, "{i}b  Mark {i} missing ..... {}", name(0));
            }
            next => {
                let _ = writeln!(out, "{i}b  Mark {i} missing ..... {next}");
            }
        }
    }
    out
}

/// Every couplet at every level has `leads` leads; the couplets are numbered level by level.
fn full(leads: usize, levels: u32) -> String {
    let mut out = String::from("A full tree\n\nkey\n\n");
    let inner = (leads.pow(levels) - 1) / (leads - 1);
    for i in 0..inner {
        for j in 0..leads {
            let letter = (b'a' + j as u8) as char;
            let child = i * leads + 1 + j;
            let outcome = if child < inner { (child + 1).to_string() } else { name(child - inner) };
            let _ = writeln!(out, "{}{letter}  Mark {i} of kind {j} ..... {outcome}", i + 1);
        }
    }
    out
}

#[test]
fn a_comb_has_the_routes_of_the_formula() {
    // Couplets r-1, leads 2(r-1), longest r-1, mean (r-1)(r+2)/(2r) [CALC]. The means of the table
    // in digits: [CALC].
    let table = [(2, 1.0), (5, 2.8), (8, 4.375), (20, 10.45), (100, 50.49), (1000, 500.499)];
    for (r, mean) in table {
        let f = figures(comb(r));
        assert_eq!((f.couplets, f.leads, f.end_points), (r - 1, 2 * (r - 1), r));
        assert_eq!(f.taxa, r);
        let routes = f.routes.unwrap();
        assert_eq!(routes.deepest as usize, r - 1);
        assert_eq!(routes.number, r as f64);
        let exact = ((r - 1) * (r + 2)) as f64 / (2 * r) as f64;
        assert!((routes.mean - exact).abs() < 1e-9, "{r}: {}", routes.mean);
        assert!((routes.mean - mean).abs() < 1e-9, "{r}: {}", routes.mean);
    }
}

#[test]
fn a_balanced_key_needs_no_more_than_the_least() {
    for levels in 1..10 {
        let f = figures(full(2, levels));
        let (routes, least) = (f.routes.unwrap(), f.least.unwrap());
        assert_eq!(f.end_points, 1 << levels);
        assert_eq!(f.couplets, f.end_points - 1);
        assert_eq!((routes.deepest, routes.mean), (least.deepest, least.mean));
        assert_eq!(routes.mean, f64::from(levels));
        assert!(f.least_with_polytomies.is_none());
    }
}

#[test]
fn polytomies_are_held_against_as_many_leads() {
    // The sum over all couplets of (leads - 1) is r - 1; longest >= ceil(log_k r) [CALC].
    for (leads, levels) in [(3, 1), (3, 4), (4, 3), (7, 2)] {
        let f = figures(full(leads, levels));
        assert_eq!(f.end_points, leads.pow(levels));
        assert_eq!(f.couplets * (leads - 1), f.end_points - 1);
        assert_eq!((f.polytomies, f.most_leads), (f.couplets, leads));
        let (routes, least) = (f.routes.unwrap(), f.least_with_polytomies.unwrap());
        assert_eq!((routes.deepest, routes.mean), (least.deepest, least.mean));
        assert!(f.least.unwrap().mean >= routes.mean);
    }
}

#[test]
fn a_taxon_keyed_out_twice_counts_twice_as_an_end_point() {
    let text = "Twice\n\nkey\n\n1a  A ..... 2\n1b  B ..... Abies alba\n\n2a  C ..... Abies alba\n\
                2b  D ..... Picea abies\n";
    let f = figures(text.to_string());
    assert_eq!((f.end_points, f.taxa, f.couplets), (3, 2, 2));
}

#[test]
fn where_routes_meet_each_route_counts() {
    // 1a and 1b both lead to 2: four routes of two decisions to two end points.
    let text = "Meeting\n\nkey\n\n1a  A ..... 2\n1b  B ..... 2\n\n2a  C ..... Abies alba\n\
                2b  D ..... Picea abies\n";
    let f = figures(text.to_string());
    let routes = f.routes.unwrap();
    assert_eq!((routes.number, routes.deepest, routes.mean), (4.0, 2, 2.0));
    assert_eq!(f.end_points, 2);
}

#[test]
fn a_pointer_to_one_lead_asks_nothing() {
    // 1b goes on as if 2a had been taken: one decision.
    let text = "One lead\n\nkey\n\n1a  A ..... 2\n1b  B ..... 2a\n\n2a  C ..... Abies alba\n\
                2b  D ..... Picea abies\n";
    let routes = figures(text.to_string()).routes.unwrap();
    assert_eq!((routes.number, routes.deepest), (3.0, 2));
    assert!((routes.mean - 5.0 / 3.0).abs() < 1e-12);
}

#[test]
fn routes_past_all_counting_still_have_a_mean() {
    // Both leads of 5,000 couplets lead to the next one: 2^5000 routes, all of one length.
    let mut text = String::from("A ladder\n\nkey\n\n");
    for i in 1..5000 {
        let _ = writeln!(text, "{i}a  A ..... {}\n{i}b  B ..... {}", i + 1, i + 1);
    }
    text.push_str("5000a  A ..... Abies alba\n5000b  B ..... Picea abies\n");
    let routes = figures(text).routes.unwrap();
    assert_eq!(routes.deepest, 5000);
    assert!((routes.mean - 5000.0).abs() < 1e-6, "{}", routes.mean);
    assert_eq!(routes.number, f64::MAX);
}

#[test]
fn a_circle_has_no_longest_route() {
    let text = "Round\n\nkey\n\n1a  A ..... 2\n1b  B ..... Abies alba\n\n2a  C ..... 1\n\
                2b  D ..... Picea abies\n";
    let f = figures(text.to_string());
    assert!(f.routes.is_none());
    assert_eq!(f.end_points_reached, 2);
}

#[test]
fn a_long_comb_overflows_no_stack() {
    let f = figures(comb(200_001));
    assert_eq!(f.routes.unwrap().deepest, 200_000);
}
