//! One fault at a time planted in sound keys: each is found at its place, and nothing else is.

use std::collections::BTreeSet;
use std::fmt::Write;

use hilum::check::{Options, Report, examine};
use hilum::key::Key;
use hilum::text::source::Source;

use super::small::{Dice, Model};

/// The rules that reason over routes and accounts.
const RULES: [&str; 13] = [
    "account-against-itself",
    "account-against-route",
    "account-leaves-out",
    "account-never-tested",
    "character-not-applicable",
    "contradicted-statement",
    "couplet-decides-nothing",
    "fits-no-lead",
    "measure-outside-route",
    "overlapping-leads",
    "place-out-of-reach",
    "taxa-not-told-apart",
    "wrong-name",
];

#[derive(Clone)]
enum To {
    Couplet(usize),
    Taxon(usize),
}

#[derive(Clone)]
struct Lead {
    statements: Vec<String>,
    to: To,
    /// A note under it.
    note: &'static str,
}

#[derive(Clone)]
struct Account {
    statements: Vec<String>,
}

/// A sound key: a tree whose every couplet asks for one character of its own, and now and then for
/// a measure too; every account says what the leads on the way to it say.
#[derive(Clone)]
struct Sheet {
    couplets: Vec<Vec<Lead>>,
    accounts: Vec<Account>,
    /// The couplets that ask for a measure too.
    measured: BTreeSet<usize>,
}

fn mark(c: usize) -> String {
    let letter = |n: usize| (b'a' + n as u8) as char;
    format!("Mark {}{}", letter(c / 26), letter(c % 26))
}

const STATES: [&str; 4] = ["smooth", "hairy", "warty", "spiny"];

impl Sheet {
    fn sound(dice: &mut Dice) -> Sheet {
        let couplets = 4 + dice.below(6);
        let mut leads: Vec<Vec<Lead>> = Vec::new();
        let mut open: Vec<(usize, usize)> = Vec::new();
        let mut measured = BTreeSet::new();
        for i in 0..couplets {
            // Couplet 0 parts what has petals from what has none, couplet 1 asks for their colour.
            let width = if i > 1 && dice.once_in(4) { 3 } else { 2 };
            if i > 1 && dice.once_in(2) {
                measured.insert(i);
            }
            let lead = |j: usize| {
                let mut statements = vec![match (i, j) {
                    (0, 0) => "Petals present".to_string(),
                    (0, _) => "Petals none".to_string(),
                    (1, 0) => "Petals red".to_string(),
                    (1, _) => "Petals white".to_string(),
                    _ => format!("{} {}", mark(i), STATES[j]),
                }];
                if measured.contains(&i) {
                    statements.push(measure(i, j));
                }
                Lead { statements, to: To::Taxon(0), note: "" }
            };
            leads.push((0..width).map(lead).collect());
            match i {
                0 => {}
                1 => leads[0][0].to = To::Couplet(1),
                _ => {
                    let at = dice.below(open.len());
                    let (c, l) = open.swap_remove(at);
                    leads[c][l].to = To::Couplet(i);
                }
            }
            open.extend((0..width).map(|l| (i, l)).filter(|o| *o != (0, 0)));
        }
        open.sort_unstable();
        let mut sheet = Sheet { couplets: leads, accounts: Vec::new(), measured };
        for (t, (c, l)) in open.into_iter().enumerate() {
            sheet.couplets[c][l].to = To::Taxon(t);
            let statements = sheet
                .way(c, l)
                .into_iter()
                .flat_map(|(c, l)| sheet.couplets[c][l].statements.clone());
            let mut statements: Vec<String> = statements.collect();
            statements.push("Whole plant upright".into());
            sheet.accounts.push(Account { statements });
        }
        sheet
    }

    /// The leads on the way to a lead, from the beginning.
    fn way(&self, couplet: usize, lead: usize) -> Vec<(usize, usize)> {
        let mut way = vec![(couplet, lead)];
        while let Some(&(c, _)) = way.first()
            && c > 0
        {
            let into = |l: &Lead| matches!(l.to, To::Couplet(to) if to == c);
            let (from, at) = (0..self.couplets.len())
                .find_map(|i| Some((i, self.couplets[i].iter().position(into)?)))
                .expect("every couplet is led to");
            way.insert(0, (from, at));
        }
        way
    }

    /// The place of a taxon.
    fn place(&self, taxon: usize) -> (usize, usize) {
        let is = |l: &Lead| matches!(l.to, To::Taxon(t) if t == taxon);
        (0..self.couplets.len())
            .find_map(|i| Some((i, self.couplets[i].iter().position(is)?)))
            .expect("every taxon is keyed")
    }

    fn text(&self) -> String {
        let mut out = String::from(
            "Key to herbs\n\ncharacters\n\npetals: Petals _\n  states  present, none\n\npetal colour: Petals _\n  states  red, white, blue\n  applies  where petals present\n\nhabit: Whole plant _\n  states  upright, creeping\n",
        );
        for i in 2..self.couplets.len() {
            let m = mark(i);
            let _ = write!(out, "\nc{i}: {m} _\n  states  {}\n", STATES.join(", "));
            let _ = write!(out, "\nm{i}: {m} _ long\n  measure  mm\n");
        }
        out.push_str("\nkey\n\n");
        for (i, couplet) in self.couplets.iter().enumerate() {
            for (j, lead) in couplet.iter().enumerate() {
                let letter = (b'a' + j as u8) as char;
                let to = match lead.to {
                    To::Couplet(c) => (c + 1).to_string(),
                    To::Taxon(t) => Model::taxon(t),
                };
                let _ =
                    writeln!(out, "{}{letter}  {} ..... {to}", i + 1, lead.statements.join("; "));
                if !lead.note.is_empty() {
                    let _ = writeln!(out, "      {}", lead.note);
                }
            }
            out.push('\n');
        }
        out.push_str("taxa\n");
        for (t, account) in self.accounts.iter().enumerate() {
            let _ = write!(out, "\n{}\n  {}.\n", Model::taxon(t), account.statements.join("; "));
        }
        out
    }
}

fn measure(c: usize, lead: usize) -> String {
    format!("{} {}-{} mm long", mark(c), 10 + 20 * lead, 20 + 20 * lead)
}

/// Where a finding is expected: a lead, or an account.
enum At {
    Lead(usize, usize),
    Account(usize),
}

/// Plants one fault; `None` where the sheet has no room for it.
fn plant(sheet: &mut Sheet, fault: &str, dice: &mut Dice) -> Option<At> {
    let taxa = sheet.accounts.len();
    // A lead below others, of a couplet with a character of its own.
    let deep = |dice: &mut Dice, sheet: &Sheet| {
        let all: Vec<(usize, usize)> = (2..sheet.couplets.len())
            .flat_map(|c| (0..sheet.couplets[c].len()).map(move |l| (c, l)))
            .collect();
        all[dice.below(all.len())]
    };
    match fault {
        "contradicted-statement" => {
            let (c, l) = deep(dice, sheet);
            let way = sheet.way(c, l);
            let (from, at) = way[dice.below(way.len() - 1)];
            let other = (at + 1) % 2;
            let statement = match from {
                0 => ["Petals present", "Petals none"][other].to_string(),
                1 => ["Petals red", "Petals white"][other].to_string(),
                _ => format!("{} spiny", mark(from)),
            };
            // The colour of what has no petals is another fault.
            if from == 0 && way.iter().any(|(c, _)| *c == 1) {
                return None;
            }
            sheet.couplets[c][l].statements.push(statement);
            Some(At::Lead(c, l))
        }
        "measure-outside-route" => {
            let (c, l) = deep(dice, sheet);
            let above: Vec<usize> = sheet
                .way(c, l)
                .into_iter()
                .map(|(c, _)| c)
                .filter(|a| *a != c && sheet.measured.contains(a))
                .collect();
            let from = *above.get(dice.below(above.len()))?;
            sheet.couplets[c][l].statements.push(format!("{} 90-95 cm long", mark(from)));
            Some(At::Lead(c, l))
        }
        "character-not-applicable" => {
            let (c, l) = deep(dice, sheet);
            if sheet.way(c, l)[0] != (0, 1) {
                return None;
            }
            sheet.couplets[c][l].statements.push("Petals blue".into());
            Some(At::Lead(c, l))
        }
        "couplet-decides-nothing" => {
            let (c, l) = deep(dice, sheet);
            let way = sheet.way(c, l);
            let (from, at) = way[dice.below(way.len() - 1)];
            sheet.couplets[c][l].statements = vec![sheet.couplets[from][at].statements[0].clone()];
            Some(At::Lead(c, l))
        }
        "overlapping-leads" => {
            let all: Vec<usize> = sheet.measured.iter().copied().collect();
            let c = *all.get(dice.below(all.len()))?;
            // The measure is left to part the leads, and does not.
            for lead in &mut sheet.couplets[c] {
                lead.statements.remove(0);
            }
            sheet.couplets[c][1].statements[0] = format!("{} 15-40 mm long", mark(c));
            Some(At::Lead(c, 1))
        }
        "account-against-route" => {
            let t = dice.below(taxa);
            let (c, l) = sheet.place(t);
            if c < 2 {
                return None;
            }
            let wrong = format!("{} {}", mark(c), STATES[3]);
            let right = &sheet.couplets[c][l].statements[0];
            let said = sheet.accounts[t].statements.iter_mut().find(|s| *s == right)?;
            *said = wrong;
            Some(At::Lead(c, l))
        }
        "place-out-of-reach" => {
            // A second place where another taxon should stand.
            let t = dice.below(taxa);
            let (c, l) = deep(dice, sheet);
            match sheet.couplets[c][l].to {
                To::Taxon(other) if other != t => {}
                _ => return None,
            }
            let (own, _) = sheet.place(t);
            // Where the ways part, its account speaks against the second one.
            let mine = sheet.way(own, sheet.place(t).1);
            let theirs = sheet.way(c, l);
            let fork = theirs.iter().find(|p| !mine.contains(p)).copied()?;
            sheet.couplets[c][l].to = To::Taxon(t);
            sheet.couplets[c][l].note = "intended  taxon-twice: planted";
            Some(At::Lead(fork.0, fork.1))
        }
        "wrong-name" => {
            let t = dice.below(taxa);
            let (c, l) = sheet.place(t);
            if c < 2 || sheet.measured.contains(&c) {
                return None;
            }
            let other = (l + 1) % sheet.couplets[c].len();
            let right = sheet.couplets[c][l].statements[0].clone();
            let said = sheet.accounts[t].statements.iter_mut().find(|s| **s == right)?;
            *said = format!("{right} or {}", STATES[other]);
            // Another character parts the accounts all the same.
            sheet.accounts[t].statements.retain(|s| s != "Whole plant upright");
            sheet.accounts[t].statements.push("Whole plant creeping".into());
            Some(At::Lead(c, other))
        }
        "fits-no-lead" => {
            let t = dice.below(taxa);
            let (c, l) = sheet.place(t);
            if c < 2 {
                return None;
            }
            let right = sheet.couplets[c][l].statements[0].clone();
            let said = sheet.accounts[t].statements.iter_mut().find(|s| **s == right)?;
            *said = format!("{right} or {}", STATES[3]);
            Some(At::Lead(c, 0))
        }
        "account-leaves-out" => {
            let t = dice.below(taxa);
            let (c, l) = sheet.place(t);
            if c < 2 || sheet.measured.contains(&c) {
                return None;
            }
            let right = sheet.couplets[c][l].statements[0].clone();
            sheet.accounts[t].statements.retain(|s| *s != right);
            // Something else tells it from its neighbours.
            sheet.accounts[t].statements.retain(|s| s != "Whole plant upright");
            sheet.accounts[t].statements.push("Whole plant creeping".into());
            Some(At::Account(t))
        }
        "account-never-tested" => {
            let t = dice.below(taxa);
            sheet.accounts[t].statements = vec!["Whole plant creeping".into()];
            Some(At::Account(t))
        }
        "account-against-itself" => {
            let t = dice.below(taxa);
            let (c, l) = sheet.place(t);
            if sheet.way(c, l)[0] != (0, 1) {
                return None;
            }
            sheet.accounts[t].statements.push("Petals blue".into());
            Some(At::Account(t))
        }
        "taxa-not-told-apart" => {
            // A couplet with two taxa: prose parts them, and nothing in their accounts.
            let ends = |c: &usize| {
                sheet.couplets[*c].len() == 2
                    && sheet.couplets[*c].iter().all(|l| matches!(l.to, To::Taxon(_)))
            };
            let all: Vec<usize> = (2..sheet.couplets.len()).filter(ends).collect();
            let c = *all.get(dice.below(all.len()))?;
            let mut taxa = Vec::new();
            for (l, words) in ["a look of its own", "the look of others"].into_iter().enumerate() {
                let To::Taxon(t) = sheet.couplets[c][l].to else { return None };
                let old = std::mem::replace(
                    &mut sheet.couplets[c][l].statements,
                    vec![words.to_string()],
                );
                sheet.accounts[t].statements.retain(|s| !old.contains(s));
                taxa.push(t);
            }
            Some(At::Account(*taxa.iter().min()?))
        }
        _ => None,
    }
}

/// What a planted fault entails beside its own finding: not false, and not counted.
fn follows(fault: &str) -> &'static [&'static str] {
    match fault {
        // The accounts behind a lead that no plant can take deny it as well.
        "contradicted-statement" | "measure-outside-route" | "character-not-applicable" => {
            &["account-against-route", "account-leaves-out", "wrong-name", "fits-no-lead"]
        }
        // Plants fit both leads then, or are no longer asked what their account says.
        "couplet-decides-nothing" => {
            &["wrong-name", "fits-no-lead", "account-against-route", "overlapping-leads"]
        }
        "overlapping-leads" => &["account-against-route", "fits-no-lead", "wrong-name"],
        // The taxon that stood there has lost its place.
        "place-out-of-reach" => &["taxa-not-told-apart"],
        _ => &[],
    }
}

fn report(text: &str) -> Report {
    examine(&Key::read(Source::new("planted.key", text)), &Options::default())
}

/// The lines, counted from 0, that belong to a place.
fn lines(text: &str, at: &At) -> std::ops::Range<usize> {
    let begins = |head: String| {
        let taxa = text.lines().position(|l| l == "taxa").expect("it has accounts");
        let found = match at {
            At::Lead(..) => text.lines().position(|l| l.starts_with(&head)),
            At::Account(_) => text.lines().skip(taxa).position(|l| l == head).map(|i| i + taxa),
        };
        found.unwrap_or_else(|| panic!("{head} in\n{text}"))
    };
    match at {
        At::Lead(c, l) => {
            let from = begins(format!("{}{}  ", c + 1, (b'a' + *l as u8) as char));
            from..from + 1
        }
        At::Account(t) => {
            let from = begins(Model::taxon(*t));
            from..from + 2
        }
    }
}

fn ours(report: &Report) -> impl Iterator<Item = &hilum::text::finding::Finding> {
    report.open().filter(|f| RULES.contains(&f.rule))
}

#[test]
fn sound_keys_have_no_finding() {
    for seed in 0..300 {
        let text = Sheet::sound(&mut Dice::new(seed)).text();
        let report = report(&text);
        let found: Vec<_> = ours(&report).map(|f| (f.rule, &f.what)).collect();
        assert!(found.is_empty(), "{found:?}\n{text}");
        assert!(
            report.open().all(|f| f.severity < hilum::text::finding::Severity::Error),
            "{text}"
        );
    }
}

#[test]
fn each_planted_fault_is_found_at_its_place_and_nothing_else() {
    const EACH: usize = 40;
    let mut table = String::new();
    let mut wrong = Vec::new();
    for fault in RULES {
        let (mut planted, mut found, mut false_ones) = (0, 0, 0);
        let mut seed = 0;
        while planted < EACH {
            seed += 1;
            assert!(seed < 4_000, "{fault}: no room for it");
            let mut dice = Dice::new(seed * 31 + 7);
            let mut sheet = Sheet::sound(&mut dice);
            let Some(at) = plant(&mut sheet, fault, &mut dice) else { continue };
            planted += 1;
            let text = sheet.text();
            let report = report(&text);
            let key = Source::new("planted.key", text.as_str());
            let line =
                |f: &hilum::text::finding::Finding| key.line_column(f.span.start as usize).line - 1;
            let place = lines(&text, &at);
            if ours(&report).any(|f| f.rule == fault && place.contains(&line(f))) {
                found += 1;
            } else {
                let all: Vec<_> = ours(&report).map(|f| (f.rule, line(f) + 1, &f.what)).collect();
                wrong.push(format!(
                    "{fault} not found at line {}: {all:?}\n{text}",
                    place.start + 1
                ));
            }
            for f in ours(&report) {
                let meant = f.rule == fault || follows(fault).contains(&f.rule);
                if !meant {
                    false_ones += 1;
                    wrong.push(format!("{fault}: false {} {}\n{text}", f.rule, f.what));
                }
            }
        }
        let _ = writeln!(table, "{fault:28} planted {planted}, found {found}, false {false_ones}");
    }
    eprintln!("{table}");
    assert!(wrong.is_empty(), "{}\n{} wrong; {table}", wrong[0], wrong.len());
}
