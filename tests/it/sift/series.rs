//! Many specimens in a series: the same as each by itself.

use std::fmt::Write;

use hilum::key::ConditionId;
use hilum::sift::{Assumptions, Prior, Series, Specimen, agree, rank, verdict};

use super::Desk;
use super::random::Dice;

const COLOURS: [&str; 4] = ["red", "white", "blue", "yellow"];

/// Two hundred taxa, some silent of something, some common, some in flower in one month.
fn desk() -> Desk {
    let mut dice = Dice::new(11);
    let mut text = "Key to two hundred\n\ncharacters\n\nPetal colour: Petals _\n  states    red, white, blue, yellow\n  pressed   blue looks white\n\nBlade length: Leaf blade _ long\n  measure   mm\n\nSap: Sap _\n  states    milky, clear\n\ntaxa\n".to_string();
    for i in 0..200 {
        let letter = |n: usize| char::from(b'a' + n as u8);
        let _ = write!(text, "\nHerba {}{}osa\n", letter(i / 20), letter(i % 20));
        if dice.chance(60) {
            let _ = writeln!(text, "  flowers   {}", 1 + dice.roll(12));
        }
        if dice.chance(40) {
            let _ = writeln!(text, "  found     {}", ["barley", "roadsides"][dice.roll(2)]);
        }
        if dice.chance(80) {
            let _ = write!(text, "  Petals {}", COLOURS[dice.roll(4)]);
            let _ = writeln!(text, ", rarely {};", COLOURS[dice.roll(4)]);
        }
        let low = 2 + dice.roll(60);
        let _ =
            writeln!(text, "  leaf blade ({}-){low}-{} mm long.", low - 1, low + 1 + dice.roll(9));
    }
    Desk::sound(&text)
}

#[test]
fn a_series_names_each_specimen_as_if_it_were_the_only_one() {
    let desk = desk();
    let assumptions = Assumptions::default();
    let series = Series::new(&desk.key, assumptions.clone(), 1, 3);
    let mut dice = Dice::new(5);
    let (mut short, mut whole) = (0, 0);
    for _ in 0..400 {
        let mut answers = Vec::new();
        if dice.chance(80) {
            answers.push(format!("petals {}{}", COLOURS[dice.roll(4)], ["", "?"][dice.roll(2)]));
        }
        if dice.chance(80) {
            answers.push(format!("blade {} mm", 2 + dice.roll(20)));
        }
        if dice.chance(40) {
            answers.push(
                ["sap milky", "sap: cannot tell", "sap clear; petals red"][dice.roll(3)].into(),
            );
        }
        let condition = [ConditionId::FRESH, ConditionId::PRESSED][dice.roll(2)];
        let month = dice.chance(50).then(|| 1 + dice.roll(12) as u8);
        let place: Vec<String> =
            dice.chance(30).then(|| "barley".to_string()).into_iter().collect();
        let found = series.name(&answers, condition, month, &place).expect("it is read");

        let read =
            |t: &String| hilum::sift::read_observation(&desk.key, &desk.lexicon, t, condition);
        let seen: Vec<_> = answers.iter().flat_map(|t| read(t).expect("it is read")).collect();
        // What was said twice counts once.
        let seen = hilum::sift::once(&seen);
        let in_flower = month.is_some();
        let specimen = Specimen { month, in_flower, place, ..Specimen::default() };
        let prior = Prior::of(&desk.key, &desk.table, &specimen);
        let agreement = agree(&desk.table, &seen, 1);
        let ranking = rank(&desk.table, &seen, &prior, &assumptions);
        assert_eq!(found.observations, seen);
        assert_eq!(found.agreement, agreement);
        assert_eq!(found.ranking.order, ranking.order[..found.ranking.order.len()]);
        assert_eq!((found.ranking.none, found.ranking.prior), (ranking.none, ranking.prior));
        assert_eq!(found.verdict, verdict(&desk.table, &seen, &agreement, &ranking));
        short += usize::from(found.ranking.order.len() < desk.table.rows() / 8);
        whole += usize::from(found.agreement.counted > 1);
    }
    assert!(short == 400 && whole > 100, "{short} {whole}");
}

#[test]
fn an_answer_that_is_not_read_is_named_by_its_place() {
    let desk = desk();
    let series = Series::new(&desk.key, Assumptions::default(), 1, 3);
    let answers = ["petals red", "sap green"].map(String::from);
    for _ in 0..2 {
        let (at, why) = series
            .name(&answers, ConditionId::FRESH, None, &[])
            .expect_err("no state is called green");
        assert_eq!(at, 1);
        assert_eq!(why, desk.try_read("sap green").expect_err("nor by itself"));
    }
}
