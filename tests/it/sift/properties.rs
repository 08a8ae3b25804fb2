//! What always holds, on random keys and observations.

use hilum::sift::bits::Bits;
use hilum::sift::report::{Options, report};
use hilum::sift::{
    Assumptions, Observation, Prior, Specimen, agree, explain, next_questions, plan, rank, verdict,
};
use proptest::prelude::*;

use super::Desk;
use super::random::{Dice, key_text, observations};

fn desk(seed: u64) -> (Desk, Vec<Observation>, Dice) {
    let mut dice = Dice::new(seed);
    let desk = Desk::new(&key_text(&mut dice));
    let seen = observations(&mut dice, &desk.key, 7);
    (desk, seen, dice)
}

fn within(a: &Bits, b: &Bits) -> bool {
    a.iter().all(|row| b.contains(row))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_observations_never_enlarge_the_agreeing_set(seed in any::<u64>()) {
        let (desk, seen, mut dice) = desk(seed);
        let t = dice.roll(3);
        for n in 1..=seen.len() {
            let (fewer, more) = (agree(&desk.table, &seen[..n - 1], 9), agree(&desk.table, &seen[..n], 9));
            prop_assert!(within(more.agreeing(), fewer.agreeing()));
            // And so with each tolerance that both have.
            let k = t.min(n - 1);
            prop_assert!(within(&more.at_most[k], &fewer.at_most[k]));
        }
    }

    #[test]
    fn the_order_of_observations_never_matters_and_retracting_restores(seed in any::<u64>()) {
        let (desk, seen, mut dice) = desk(seed);
        let prior = Prior::equal(desk.table.rows());
        let assumed = Assumptions::default();
        let mut other = seen.clone();
        for i in (1..other.len()).rev() {
            other.swap(i, dice.roll(i + 1));
        }
        prop_assert_eq!(agree(&desk.table, &seen, 2).at_most, agree(&desk.table, &other, 2).at_most);
        // Not even the last digit depends on it.
        prop_assert_eq!(
            rank(&desk.table, &seen, &prior, &assumed),
            rank(&desk.table, &other, &prior, &assumed)
        );
        if let Some((last, before)) = seen.split_last() {
            let first = agree(&desk.table, before, 1);
            let mut put = before.to_vec();
            put.push(last.clone());
            agree(&desk.table, &put, 1);
            put.pop();
            prop_assert_eq!(agree(&desk.table, &put, 1), first);
        }
    }

    #[test]
    fn unknown_never_excludes(seed in any::<u64>()) {
        let (desk, seen, _) = desk(seed);
        for o in seen {
            let column = desk.table.column(o.character);
            let fits = desk.table.fits(&o);
            for row in 0..desk.table.rows() {
                let surely = o.seen == hilum::sift::Seen::DoesNotApply && !column.may_lack(row);
                prop_assert!(column.is_known(row) || surely || fits.contains(row));
            }
        }
    }

    #[test]
    fn tolerance_is_monotone(seed in any::<u64>()) {
        let (desk, seen, _) = desk(seed);
        for t in 0..seen.len() {
            let a = agree(&desk.table, &seen, t);
            let b = agree(&desk.table, &seen, t + 1);
            prop_assert!(within(a.tolerated(), b.tolerated()));
            prop_assert_eq!(&a.at_most[..], &b.at_most[..=t]);
        }
        let all = agree(&desk.table, &seen, seen.len());
        prop_assert_eq!(all.tolerated().count(), desk.table.rows());
    }

    #[test]
    fn probabilities_sum_to_one_and_none_is_sure(seed in any::<u64>(), rate in 0.0..=1.0f64, none in 0.0..=1.0f64) {
        let (desk, seen, mut dice) = desk(seed);
        let mut prior = Prior::equal(desk.table.rows());
        prior.weights.iter_mut().for_each(|w| *w = dice.roll(5) as f64);
        let assumed = Assumptions { misreading: rate, none, ..Assumptions::default() };
        let ranking = rank(&desk.table, &seen, &prior, &assumed);
        let sum: f64 = ranking.order.iter().map(|(_, p)| p).sum::<f64>() + ranking.none;
        prop_assert!((sum - 1.0).abs() < 1e-12, "they sum to {sum}");
        for p in ranking.order.iter().map(|(_, p)| *p).chain([ranking.none]) {
            prop_assert!(p > 0.0 && p < 1.0);
        }
        let mut rows: Vec<usize> = ranking.order.iter().map(|(r, _)| *r).collect();
        rows.sort_unstable();
        prop_assert_eq!(rows, (0..desk.table.rows()).collect::<Vec<_>>());
    }

    #[test]
    fn everything_can_be_said_of_anything(seed in any::<u64>()) {
        let (desk, seen, _) = desk(seed);
        let specimen = Specimen::in_condition(hilum::key::ConditionId(1));
        let options = Options::default();
        let said = report(&desk.key, &desk.table, &seen, &specimen, &options);
        let once = serde_json::to_string(&said).unwrap();
        let again = Desk::new(desk.key.source.text());
        let said = report(&again.key, &again.table, &seen, &specimen, &options);
        prop_assert_eq!(once, serde_json::to_string(&said).unwrap());
        let agreement = agree(&desk.table, &seen, 1);
        let ranking = rank(&desk.table, &seen, &Prior::equal(desk.table.rows()), &Assumptions::default());
        verdict(&desk.table, &seen, &agreement, &ranking);
        for row in 0..desk.table.rows() {
            // The explanation and the sets of bits count the same misfits.
            let all = explain(&desk.key, &desk.table, &seen, row);
            let misfits = hilum::sift::misfits_of(&desk.table, &seen, row);
            let against: Vec<usize> = all.against.iter().map(|j| j.observation).collect();
            prop_assert_eq!(against, misfits);
            hilum::sift::describe(&desk.key, &desk.table, &seen, row);
        }
    }

    #[test]
    fn an_answer_leaves_what_the_question_said(seed in any::<u64>()) {
        let (desk, seen, mut dice) = desk(seed);
        let condition = hilum::key::ConditionId(dice.roll(3) as u16);
        let specimen = Specimen::in_condition(condition);
        let left = agree(&desk.table, &seen, 0).agreeing().clone();
        for q in next_questions(&desk.table, &left, |r| (r + 1) as f64, &seen, &specimen) {
            prop_assert!(q.information > 0.0 && q.cost > 0.0);
            let sum: f64 = q.answers.iter().map(|a| a.share).sum();
            prop_assert!((sum - 1.0).abs() < 1e-9);
            // No answer tells more than all there is to be told.
            prop_assert!(q.information <= (q.answers.len() as f64).log2() + 1e-9);
            for a in q.answers {
                let mut then = seen.clone();
                then.push(Observation::new(q.character, a.value.seen(), condition));
                prop_assert_eq!(agree(&desk.table, &then, 0).agreeing().count(), a.left);
            }
        }
    }

    #[test]
    fn a_plan_parts_whatever_can_be_parted(seed in any::<u64>()) {
        let (desk, seen, _) = desk(seed);
        let left = agree(&desk.table, &seen, 0).agreeing().clone();
        let specimen = Specimen::default();
        let made = plan(&desk.table, &left, &seen, &specimen);
        let rows: Vec<usize> = left.iter().collect();
        let of = |chosen: &[hilum::key::CharacterId]| {
            let fresh = chosen.iter().map(|c| (*c, specimen.condition));
            hilum::sift::apart::Pairs::new(&desk.table, &rows, fresh).all()
        };
        let done = hilum::sift::next::answered(&desk.table, &seen);
        let able: Vec<_> = desk.key.character_ids().filter(|c| !done.contains(c)).collect();
        prop_assert_eq!(of(&made.characters), of(&able));
        // Against every subset.
        let all = of(&able);
        let fewest = (0u32..1 << able.len())
            .filter(|s| {
                let some: Vec<_> = (0..able.len()).filter(|i| s >> i & 1 == 1).map(|i| able[i]).collect();
                of(&some) == all
            })
            .map(u32::count_ones)
            .min();
        prop_assert!(made.proved);
        prop_assert_eq!(Some(made.characters.len() as u32), fewest);
    }
}
