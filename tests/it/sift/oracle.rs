//! The engine against the plain implementation, on random keys and observations.

use hilum::sift::{agree, misfits_of};
use proptest::prelude::*;

use super::Desk;
use super::naive::{May, Naive};
use super::random::{Dice, key_text, observations};

/// Everything that can be compared for one seed.
fn compare(seed: u64) {
    let mut dice = Dice::new(seed);
    let text = key_text(&mut dice);
    let desk = Desk::new(&text);
    let naive = Naive { key: &desk.key };
    for _ in 0..6 {
        let seen = observations(&mut dice, &desk.key, 6);
        let tolerance = dice.roll(4);
        let agreement = agree(&desk.table, &seen, tolerance);
        for row in 0..desk.table.rows() {
            let taxon = desk.table.taxon(row);
            let mut wanted = Vec::new();
            let mut counted = 0;
            for (i, o) in seen.iter().enumerate() {
                match naive.misfit(taxon, o) {
                    None => {}
                    Some(misfit) => {
                        counted += 1;
                        if misfit {
                            wanted.push(i);
                        }
                    }
                }
            }
            let name = &desk.key.taxon(taxon).name;
            let got = misfits_of(&desk.table, &seen, row);
            let differ = (0..seen.len()).find(|i| got.contains(i) != wanted.contains(i));
            if let Some(i) = differ {
                let c = desk.key.character(seen[i].character);
                let may = naive.may(taxon, seen[i].character);
                panic!(
                    "seed {seed}, {name}: `{}` seen as {:?} under condition {}; it may be {may:?}; \
                     misfit is {} and should be {}\n{text}",
                    c.name,
                    seen[i].seen,
                    seen[i].condition.0,
                    got.contains(&i),
                    wanted.contains(&i)
                );
            }
            let most = agreement.tolerance();
            let misfits = (wanted.len() <= most).then_some(wanted.len());
            assert_eq!(agreement.misfits(row), misfits, "{name} of seed {seed}\n{text}");
            assert_eq!(agreement.counted, counted, "seed {seed}");
        }
    }
    for row in 0..desk.table.rows() {
        for c in desk.key.character_ids() {
            let may = naive.may(desk.table.taxon(row), c);
            let column = desk.table.column(c);
            let name = desk.name(row);
            let character = &desk.key.character(c).name;
            let known = (!column.is_known(row), column.is_lacking(row));
            let wanted = (may == May::Anything, may == May::Nothing);
            assert_eq!(known, wanted, "seed {seed}, {name}, {character}: {may:?}\n{text}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_engine_agrees_with_the_plain_way(seed in any::<u64>()) {
        compare(seed);
    }
}

#[test]
fn the_random_keys_hold_what_is_to_be_tested() {
    // A test that meets no pressed account, no dependent character and no gap would prove little.
    let mut texts = String::new();
    let (mut inherited, mut lacking, mut from_leads, mut misfits, mut fits) = (0, 0, 0, 0, 0);
    for seed in 0..100 {
        let mut dice = Dice::new(seed);
        let text = key_text(&mut dice);
        let desk = Desk::new(&text);
        for row in 0..desk.table.rows() {
            for c in desk.key.character_ids() {
                use hilum::sift::Origin;
                match desk.table.accounts.entry(row, c).map(|e| e.origin) {
                    Some(Origin::Inherited(_)) => inherited += 1,
                    Some(Origin::Follows(_)) => lacking += 1,
                    Some(Origin::Leads) => from_leads += 1,
                    _ => {}
                }
            }
            let seen = observations(&mut dice, &desk.key, 6);
            let out = misfits_of(&desk.table, &seen, row).len();
            misfits += out;
            fits += seen.len() - out;
        }
        texts.push_str(&text);
    }
    for word in
        ["described  pressed", "applies", "includes", "looks", "rarely", "(or ", "cannot be seen"]
    {
        assert!(texts.contains(word), "no random key holds `{word}`");
    }
    for (what, n) in [
        ("inherited", inherited),
        ("not applicable", lacking),
        ("from leads", from_leads),
        ("misfits", misfits),
        ("fits", fits),
    ] {
        assert!(n > 100, "only {n} {what}");
    }
}
