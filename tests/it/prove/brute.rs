//! The shares of every taxon at every end, against walking each of its forms on its own.

use std::collections::{BTreeMap, BTreeSet};

use hilum::check::Examination;
use hilum::key::{Key, LeadId};
use hilum::text::source::Source;

use super::small::{Character, Dice, Lead, Model, Said, Shape, To};

/// A rare state, and each extreme of a count, stand for 5 plants in 100: the table of
/// `text::frequency`.
const RARE: f64 = 0.05;

/// Each value of a character with its share.
fn values(said: &Said) -> Option<Vec<(usize, f64)>> {
    match said {
        Said::Nothing => None,
        Said::States(all) => {
            let rare = all.iter().filter(|(_, r)| *r).count() as f64;
            let plain = all.len() as f64 - rare;
            let each = (1.0 - RARE * rare) / plain;
            Some(all.iter().map(|(s, r)| (*s, if *r { RARE } else { each })).collect())
        }
        Said::Count(least, low, high, most) => {
            let tails = usize::from(least < low) + usize::from(most > high);
            let mut out = Vec::new();
            let mut spread = |from: usize, to: usize, share: f64| {
                let n = (to - from + 1) as f64;
                out.extend((from..=to).map(|v| (v, share / n)));
            };
            spread(*low, *high, 1.0 - RARE * tails as f64);
            if least < low {
                spread(*least, low - 1, RARE);
            }
            if most > high {
                spread(high + 1, *most, RARE);
            }
            Some(out)
        }
    }
}

#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Fit {
    No,
    Open,
    Yes,
}

fn fit(lead: &Lead, form: &[Option<usize>]) -> Fit {
    let mut fit = if lead.prose { Fit::Open } else { Fit::Yes };
    for (c, set) in &lead.demands {
        match form[*c] {
            None if fit == Fit::Yes => fit = Fit::Open,
            None => {}
            Some(v) if set.contains(&v) => {}
            Some(_) => return Fit::No,
        }
    }
    fit
}

#[derive(Default)]
struct Ends {
    /// By couplet and lead.
    ends: BTreeMap<(usize, usize), f64>,
    stuck: BTreeMap<usize, f64>,
}

/// Whether the taxon stands behind a lead.
fn behind(model: &Model, lead: &Lead, taxon: usize) -> bool {
    match lead.to {
        To::Taxon(t) => t == taxon,
        To::Couplet(c) => model.couplets[c].iter().any(|l| behind(model, l, taxon)),
    }
}

fn walk(
    model: &Model,
    taxon: usize,
    form: &[Option<usize>],
    at: usize,
    share: f64,
    home: bool,
    out: &mut Ends,
) {
    let leads = &model.couplets[at];
    let fits: Vec<Fit> = leads.iter().map(|l| fit(l, form)).collect();
    let is_home: Vec<bool> = leads.iter().map(|l| home && behind(model, l, taxon)).collect();
    let of = |wanted: Fit| (0..leads.len()).filter(|i| fits[*i] == wanted).collect::<Vec<_>>();
    let (yes, open) = (of(Fit::Yes), of(Fit::Open));
    let trusted: Vec<usize> = open.iter().copied().filter(|i| is_home[*i]).collect();
    let chosen = if yes.iter().any(|i| is_home[*i]) {
        yes
    } else if !trusted.is_empty() {
        trusted
    } else if !yes.is_empty() {
        yes
    } else {
        open
    };
    if chosen.is_empty() {
        *out.stuck.entry(at).or_default() += share;
        return;
    }
    let each = share / chosen.len() as f64;
    for i in chosen {
        match leads[i].to {
            To::Taxon(_) => *out.ends.entry((at, i)).or_default() += each,
            To::Couplet(c) => walk(model, taxon, form, c, each, is_home[i], out),
        }
    }
}

fn every_form(model: &Model, taxon: usize) -> Vec<(Vec<Option<usize>>, f64)> {
    let mut forms = vec![(Vec::new(), 1.0)];
    for said in &model.accounts[taxon] {
        let values = values(said);
        let mut next = Vec::new();
        for (form, share) in &forms {
            let mut add = |v: Option<usize>, s: f64| {
                let mut longer: Vec<Option<usize>> = form.clone();
                longer.push(v);
                next.push((longer, share * s));
            };
            match &values {
                None => add(None, 1.0),
                Some(all) => all.iter().for_each(|(v, s)| add(Some(*v), *s)),
            }
        }
        forms = next;
    }
    forms
}

/// The taxa that some route from the beginning ends in.
fn reached(model: &Model) -> BTreeSet<usize> {
    (0..model.accounts.len())
        .filter(|t| model.couplets[0].iter().any(|l| behind(model, l, *t)))
        .collect()
}

fn compare(model: &Model) -> usize {
    let text = model.text();
    let key = Key::read(Source::new("small.key", text.as_str()));
    assert!(
        key.findings.iter().all(|f| f.rule == "two-states-at-once"),
        "{:?}\n{text}",
        key.findings.first()
    );
    let exam = Examination::new(&key, &[], None);
    let mut compared = 0;
    for taxon in reached(model) {
        let id = key
            .taxon_ids()
            .find(|t| key.taxon(*t).name == Model::taxon(taxon))
            .unwrap_or_else(|| panic!("{} in\n{text}", Model::taxon(taxon)));
        let Some(run) = exam.courses().get(id) else {
            assert!(model.accounts[taxon].iter().all(|s| matches!(s, Said::Nothing)));
            continue;
        };
        assert!(run.course.exact);
        let mut brute = Ends::default();
        for (form, share) in every_form(model, taxon) {
            walk(model, taxon, &form, 0, share, true, &mut brute);
        }
        let mut all: BTreeSet<(usize, usize)> = brute.ends.keys().copied().collect();
        all.extend(
            run.course.ends.iter().map(|e| (e.lead.couplet.0 as usize, e.lead.index as usize)),
        );
        for (c, l) in all {
            let lead = LeadId { couplet: hilum::key::CoupletId(c as u32), index: l as u16 };
            let (a, b) = (run.course.at(lead), brute.ends.get(&(c, l)).copied().unwrap_or(0.0));
            assert!((a - b).abs() < 1e-9, "taxon {taxon} at {c} {l}: {a} against {b}\n{text}");
            compared += 1;
        }
        for c in 0..model.couplets.len() {
            let a: f64 = run
                .course
                .stuck
                .iter()
                .filter(|s| s.couplet.0 as usize == c)
                .map(|s| s.share)
                .sum();
            let b = brute.stuck.get(&c).copied().unwrap_or(0.0);
            assert!((a - b).abs() < 1e-9, "taxon {taxon} stuck at {c}: {a} against {b}\n{text}");
        }
        let all: f64 = run.course.ends.iter().map(|e| e.share).sum::<f64>()
            + run.course.stuck.iter().map(|s| s.share).sum::<f64>();
        assert!((all - 1.0).abs() < 1e-9, "no plant is lost: {all}");
    }
    compared
}

#[test]
fn shares_are_those_of_every_form_walked_on_its_own() {
    let mut compared = 0;
    for seed in 0..800 {
        let mut dice = Dice::new(seed);
        let shape = Shape {
            couplets: 2 + dice.below(7),
            characters: 2 + dice.below(4),
            reticulate: seed % 2 == 0,
            polytomies: seed % 3 == 0,
            prose: seed % 5 == 0,
        };
        compared += compare(&Model::random(&mut dice, shape));
    }
    assert!(compared > 5_000, "{compared}");
}

/// What a statement rules out, it rules out for every plant; and the other way round for keys in
/// which no two routes meet and each character is asked on its own.
#[test]
fn bounds_are_those_of_every_plant_there_can_be() {
    let mut clashes = 0;
    let mut certain = 0;
    for seed in 0..300 {
        let mut dice = Dice::new(seed);
        let shape = Shape {
            couplets: 2 + dice.below(6),
            characters: 2 + dice.below(2),
            reticulate: seed % 2 == 0,
            polytomies: seed % 3 == 0,
            prose: false,
        };
        let model = Model::random(&mut dice, shape);
        let text = model.text();
        let key = Key::read(Source::new("small.key", text.as_str()));
        let exam = Examination::new(&key, &[], None);
        let truth = Truth::of(&model);
        for c in &exam.bounds().certain {
            let (couplet, lead) = (c.lead.couplet.0 as usize, c.lead.index as usize);
            let arriving = &truth.arriving[couplet];
            let fits = |p: &&Vec<usize>| fits_plant(&model.couplets[couplet][lead], p);
            let all = arriving.iter().all(|p| fits(&p));
            // A slip is believed from there on, so behind it no plant arrives at all.
            assert!(all, "{couplet} {lead}\n{text}");
            certain += 1;
        }
        for c in &exam.bounds().clashes {
            let (couplet, lead) = (c.lead.couplet.0 as usize, c.lead.index as usize);
            let arriving = &truth.arriving[couplet];
            let any = arriving.iter().any(|p| fits_plant(&model.couplets[couplet][lead], p));
            assert!(!any, "{couplet} {lead}\n{text}");
            clashes += 1;
        }
        if !shape.reticulate {
            // In a tree nothing is lost by looking at each character on its own.
            for (couplet, leads) in model.couplets.iter().enumerate() {
                for (i, lead) in leads.iter().enumerate() {
                    let arriving = &truth.arriving[couplet];
                    if arriving.is_empty() || lead.prose {
                        continue;
                    }
                    let id =
                        LeadId { couplet: hilum::key::CoupletId(couplet as u32), index: i as u16 };
                    let possible = arriving.iter().any(|p| fits_plant(lead, p));
                    assert_eq!(exam.bounds().is_ruled_out(id), !possible, "{couplet} {i}\n{text}");
                }
            }
        }
    }
    assert!(clashes > 50 && certain > 20, "{clashes} {certain}");
}

/// Every plant there can be, and where it can come to.
struct Truth {
    arriving: Vec<BTreeSet<Vec<usize>>>,
}

impl Truth {
    fn of(model: &Model) -> Truth {
        let mut plants = vec![Vec::new()];
        for c in &model.characters {
            let n = match c {
                Character::States(n) => *n,
                // Beyond the last number that a lead asks for, all counts are alike.
                Character::Count => super::small::MOST + 2,
            };
            plants = plants
                .iter()
                .flat_map(|p: &Vec<usize>| {
                    (0..n).map(move |v| p.iter().copied().chain([v]).collect::<Vec<_>>())
                })
                .collect();
        }
        let mut arriving = vec![BTreeSet::new(); model.couplets.len()];
        arriving[0] = plants.into_iter().collect();
        // A lead goes only to a later couplet.
        for c in 0..model.couplets.len() {
            let here = arriving[c].clone();
            for lead in &model.couplets[c] {
                if let To::Couplet(next) = lead.to {
                    arriving[next].extend(here.iter().filter(|p| fits_plant(lead, p)).cloned());
                }
            }
        }
        Truth { arriving }
    }
}

fn fits_plant(lead: &Lead, plant: &[usize]) -> bool {
    lead.demands.iter().all(|(c, set)| set.contains(&plant[*c]))
}
