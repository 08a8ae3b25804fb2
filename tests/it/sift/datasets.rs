//! The engine against open data and answers computed outside: gains of every column, pairs that
//! cannot be told apart.

use std::collections::BTreeMap;

use hilum::key::statement::Value;
use hilum::key::{CharacterId, ConditionId, StateId};
use hilum::sift::apart::Pairs;
use hilum::sift::bits::Bits;
use hilum::sift::{Cell, Known, Meta, Observation, Seen, Table};

use super::outside::{information, saw, table};
use crate::support::shared;

/// A file of data: the head, and the rows.
struct Data {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

fn data(name: &str) -> Option<Data> {
    let path = shared(&format!("datasets/{name}"))?;
    let mut reader = csv::Reader::from_path(path).expect("readable");
    let head = reader.headers().expect("a head").iter().map(String::from).collect();
    let rows =
        reader.records().map(|r| r.expect("a row").iter().map(String::from).collect()).collect();
    Some(Data { head, rows })
}

impl Data {
    fn column(&self, name: &str) -> usize {
        self.head.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column {name}"))
    }

    /// The values of a column, numbered in the order in which they sort; missing ones left out.
    fn values(&self, at: usize) -> BTreeMap<&str, usize> {
        let mut out: BTreeMap<&str, usize> = self
            .rows
            .iter()
            .map(|r| r[at].as_str())
            .filter(|v| !v.is_empty())
            .map(|v| (v, 0))
            .collect();
        out.values_mut().enumerate().for_each(|(i, v)| *v = i);
        out
    }
}

#[test]
fn gains_of_every_column() {
    // ref/information_gain_bits.csv: scikit-learn mutual_info_score, bits, missing rows left out.
    let Some(wanted) = data("ref/information_gain_bits.csv") else { return };
    let mut files: BTreeMap<String, Data> = BTreeMap::new();
    let mut checked = 0;
    for row in &wanted.rows {
        let (file, target, character) = (&row[0], &row[1], &row[2]);
        if !files.contains_key(file) {
            files.insert(file.clone(), data(file).expect("named by the reference"));
        }
        let data = &files[file];
        let gain: f64 = row[6].parse().expect("a figure");
        let (t, c) = (data.column(target), data.column(character));
        let (classes, values) = (data.values(t), data.values(c));
        // The classes as taxa that show each value as often as their cases do.
        let mut counts = vec![vec![0.0; values.len()]; classes.len()];
        for case in data.rows.iter().filter(|r| !r[c].is_empty()) {
            counts[classes[case[t].as_str()]][values[case[c].as_str()]] += 1.0;
        }
        let weights: Vec<f64> = counts.iter().map(|c| c.iter().sum()).collect();
        let present: Vec<usize> = (0..classes.len()).filter(|i| weights[*i] > 0.0).collect();
        let of = |rows: &[usize]| rows.iter().map(|r| counts[*r].clone()).collect::<Vec<_>>();
        let engine = table(present.len(), &[of(&present)]);
        let weights: Vec<f64> = present.iter().map(|r| weights[*r]).collect();
        let got = information(&engine, 0, &weights);
        assert!((got - gain).abs() < 1e-8, "{file} {character}: {got} is not {gain}");
        // The cases as taxa, `dna` kept apart as "does not apply": the same from the sets of bits.
        let by_sets = from_cases(data, t, c);
        assert!((by_sets - gain).abs() < 1e-8, "{file} {character}: {by_sets} is not {gain}");
        checked += 1;
    }
    assert!(checked >= 55, "only {checked} columns");
}

/// The gain from what the table's sets leave of each class after each answer.
fn from_cases(data: &Data, target: usize, character: usize) -> f64 {
    let cases: Vec<&Vec<String>> = data.rows.iter().filter(|r| !r[character].is_empty()).collect();
    let values = data.values(character);
    let mut engine = Table::new(cases.len(), ConditionId::FRESH);
    let mut meta = Meta::of_states("c", values.len());
    // It depends on something; on what does not matter here.
    meta.applies.push((CharacterId(1), Value::States(Vec::new())));
    engine.add(meta, |row| match cases[row][character].as_str() {
        "dna" => Cell { known: Some(Known::Lacking), may_lack: true },
        v => Cell {
            known: Some(Known::States(vec![(StateId(values[v] as u16), 1.0)])),
            may_lack: false,
        },
    });
    let entropy = |counts: &[usize]| -> f64 {
        let n: usize = counts.iter().sum();
        let share = |c: &usize| *c as f64 / n.max(1) as f64;
        counts.iter().map(share).filter(|p| *p > 0.0).map(|p| -p * p.log2()).sum()
    };
    let classes = data.values(target);
    let by_class: Vec<Bits> = classes
        .keys()
        .map(|k| Bits::of(cases.len(), (0..cases.len()).filter(|i| cases[*i][target] == **k)))
        .collect();
    let counts = |set: &Bits| -> Vec<usize> {
        by_class
            .iter()
            .map(|c| {
                let mut both = c.clone();
                both.and(set);
                both.count()
            })
            .collect()
    };
    let mut gain = entropy(&counts(&Bits::all(cases.len())));
    let lacks = Observation::new(CharacterId(0), Seen::DoesNotApply, ConditionId::FRESH);
    let answers = (0..values.len()).map(|s| saw(0, s)).chain([lacks]);
    let mut total = 0;
    for answer in answers {
        let left = counts(&engine.fits(&answer));
        let n: usize = left.iter().sum();
        total += n;
        gain -= n as f64 / cases.len() as f64 * entropy(&left);
    }
    // Every case gives just one answer.
    assert_eq!(total, cases.len());
    gain
}

#[test]
fn pairs_that_cannot_be_told_apart() {
    // ref/separability.csv, computed outside; zoo has 104 identical pairs, two of them frogs.
    let Some(wanted) = data("ref/separability.csv") else { return };
    for row in &wanted.rows {
        let number = |i: usize| row[i].parse::<usize>().expect("a figure");
        let data = data(&row[0]).expect("named by the reference");
        // The first column names the taxon; zoo's last one is no character but the class.
        let characters = 1..1 + number(2);
        let mut engine = Table::new(data.rows.len(), ConditionId::FRESH);
        let mut variable = 0;
        for c in characters.clone() {
            let split = |v: &str| v.split('&').map(String::from).collect::<Vec<_>>();
            let mut states: Vec<String> = data.rows.iter().flat_map(|r| split(&r[c])).collect();
            states.sort();
            states.dedup();
            engine.add(Meta::of_states(&data.head[c], states.len()), |row| {
                let shown = split(&data.rows[row][c]);
                variable += usize::from(shown.len() > 1);
                let at = |s: &String| StateId(states.iter().position(|t| t == s).unwrap() as u16);
                let share = 1.0 / shown.len() as f64;
                let shown = shown.iter().map(|s| (at(s), share)).collect();
                Cell { known: Some(Known::States(shown)), may_lack: false }
            });
        }
        let rows: Vec<usize> = (0..data.rows.len()).collect();
        assert_eq!(rows.len(), number(1), "{}", row[0]);
        let all = characters.map(|c| (CharacterId(c as u32 - 1), ConditionId::FRESH));
        let pairs = Pairs::new(&engine, &rows, all);
        assert_eq!(Pairs::count(rows.len()), number(3));
        assert_eq!(number(3) - pairs.all().count(), number(4), "{}", row[0]);
        assert_eq!(variable, number(5), "{}", row[0]);
        // A pair is told apart just where no state is shared: the plain way.
        let cell = |r: usize, c: usize| {
            let known = engine.column(CharacterId(c as u32)).known(r);
            known.map(|k| k.states()).unwrap_or_default()
        };
        let apart = |i: usize, j: usize| (0..number(2)).any(|c| !cell(i, c).overlaps(&cell(j, c)));
        let all = pairs.all();
        for j in 1..rows.len() {
            for i in 0..j {
                assert_eq!(all.contains(Pairs::number(i, j)), apart(i, j));
            }
        }
    }
}
