//! Faults of wording planted in sound keys: each is found at its place, and nothing else is.

use std::collections::BTreeSet;
use std::fmt::Write;

use hilum::check::{Accepted, Options, Report, examine, rules};
use hilum::key::Key;
use hilum::text::source::Source;

use crate::generate::Dice;

/// Where a finding is expected.
#[derive(Clone, Copy, Debug)]
enum Place {
    Lead(usize, usize),
    Title,
    /// The line that begins with this.
    Line(&'static str),
}

#[derive(Clone, Debug)]
enum Goes {
    Couplet(usize),
    Taxon(String),
}

#[derive(Clone, Debug)]
struct Lead {
    parts: Vec<String>,
    between: &'static str,
    goes: Goes,
}

#[derive(Clone, Debug)]
struct Couplet {
    leads: Vec<Lead>,
    origins: Vec<usize>,
    back: bool,
    /// The topics of the first two parts.
    topics: (usize, usize),
    /// The lengths of the blade that its leads ask for, in mm, where they do.
    measured: Option<[Range; 2]>,
}

/// From one whole number of mm to another.
type Range = (usize, usize);

/// A key as a generator holds it.
#[derive(Clone, Debug)]
struct Sheet {
    title: String,
    heading: Vec<String>,
    characters: String,
    couplets: Vec<Couplet>,
    accounts: Vec<String>,
    accepted: Vec<String>,
}

/// Parts of plants and the states that part them; none is a size, a colour, a term, or lost in the
/// press.
const TOPICS: [(&str, &str, &str); 14] = [
    ("Leaves", "lobed", "entire"),
    ("Stem", "round", "square"),
    ("Bark", "rough", "smooth"),
    ("Buds", "pointed", "blunt"),
    ("Roots", "branched", "unbranched"),
    ("Twigs", "hollow", "solid"),
    ("Veins", "forked", "parallel"),
    ("Tendrils", "coiled", "split"),
    ("Thorns", "hooked", "straight"),
    ("Nodes", "swollen", "even"),
    ("Needles", "flat", "four-edged"),
    ("Shoots", "ribbed", "furrowed"),
    ("Branches", "hanging", "upright"),
    ("Trunk", "fluted", "cylindrical"),
];

const NAMES: [&str; 28] = [
    "Acer campestre",
    "Alnus glutinosa",
    "Betula pendula",
    "Carpinus betulus",
    "Corylus avellana",
    "Fagus sylvatica",
    "Fraxinus excelsior",
    "Ilex aquifolium",
    "Juglans regia",
    "Malus domestica",
    "Populus tremula",
    "Prunus avium",
    "Quercus robur",
    "Rhamnus cathartica",
    "Robinia pseudoacacia",
    "Salix caprea",
    "Sambucus nigra",
    "Sorbus aucuparia",
    "Tilia cordata",
    "Ulmus glabra",
    "Viburnum opulus",
    "Crataegus monogyna",
    "Ligustrum vulgare",
    "Lonicera periclymenum",
    "Euonymus europaeus",
    "Cornus sanguinea",
    "Hedera helix",
    "Clematis vitalba",
];

impl Sheet {
    /// A sound key to some of the names; a comb where it is to be lopsided.
    fn sound(dice: &mut Dice, comb: bool) -> Sheet {
        let mut names: Vec<&str> = NAMES.to_vec();
        for i in (1..names.len()).rev() {
            names.swap(i, dice.below(i + 1));
        }
        names.truncate(20 + dice.below(8));
        let mut sheet = Sheet {
            title: "Key to the woody plants of the Oren valley".into(),
            heading: vec![
                "place      the Oren valley (invented)".into(),
                "season     all the year".into(),
            ],
            characters: "blade length: Leaf blade _ long\n  measure   mm\n  pressed   0.9 to 1\n"
                .into(),
            couplets: Vec::new(),
            accounts: names.iter().map(|n| n.to_string()).collect(),
            accepted: names.iter().map(|n| n.to_string()).collect(),
        };
        // What is still to be parted: its names, the lead that should point at it, and the lengths
        // that are left there.
        let mut open: Vec<(Vec<&str>, Option<(usize, usize)>, Range)> =
            vec![(names, None, (1, 400))];
        while let Some((names, from, length)) = open.pop() {
            let own = sheet.couplets.len();
            if let Some((couplet, lead)) = from {
                sheet.couplets[couplet].leads[lead].goes = Goes::Couplet(own);
            }
            let above = from.map(|(c, _)| sheet.couplets[c].topics.0);
            let first = loop {
                let topic = dice.below(TOPICS.len());
                if Some(topic) != above {
                    break topic;
                }
            };
            let second = (first + 1 + dice.below(TOPICS.len() - 1)) % TOPICS.len();
            let (low, high) = length;
            let middle = (low + high) / 2;
            let measured = ((dice.once_in(3) || own < 3) && high - low > 6)
                .then_some([(low, middle - 1), (middle + 1, high)]);
            let least = if comb { 1 } else { names.len().div_ceil(3).min(names.len() / 2) };
            let most = if comb { 1 } else { names.len() / 2 };
            let cut = (least + dice.below(most - least + 1)).max(1);
            let mut leads = Vec::new();
            for i in 0..2 {
                let state = |t: usize| if i == 0 { TOPICS[t].1 } else { TOPICS[t].2 };
                let mut parts = vec![
                    format!("{} {}", TOPICS[first].0, state(first)),
                    format!("{} {}", TOPICS[second].0.to_lowercase(), state(second)),
                ];
                if let Some((low, high)) = measured.map(|m| m[i]) {
                    parts.push(format!("leaf blade {low}-{high} mm long"));
                }
                leads.push(Lead { parts, between: "; ", goes: Goes::Taxon(String::new()) });
            }
            let (few, many) = names.split_at(cut);
            for (i, group) in [many, few].into_iter().enumerate() {
                let lead = 1 - i;
                match group {
                    [one] => leads[lead].goes = Goes::Taxon(one.to_string()),
                    more => {
                        let length = measured.map_or(length, |m| m[lead]);
                        open.push((more.to_vec(), Some((own, lead)), length));
                    }
                }
            }
            let origins = from.map(|(c, _)| c).into_iter().collect();
            let topics = (first, second);
            sheet.couplets.push(Couplet { leads, origins, back: own > 0, topics, measured });
        }
        sheet
    }

    fn text(&self) -> String {
        let mut out = format!("{}\n", self.title);
        for line in &self.heading {
            let _ = writeln!(out, "  {line}");
        }
        let _ = write!(out, "\ncharacters\n\n{}\nkey\n\n", self.characters);
        for (i, couplet) in self.couplets.iter().enumerate() {
            for (j, lead) in couplet.leads.iter().enumerate() {
                let letter = (b'a' + j as u8) as char;
                let origins: Vec<String> =
                    couplet.origins.iter().map(|o| (o + 1).to_string()).collect();
                let back = match couplet.back && j == 0 {
                    true => format!(" ({})", origins.join(", ")),
                    false => String::new(),
                };
                let mut said = lead.parts.join(lead.between);
                if lead.between == ". " {
                    said = said
                        .split(". ")
                        .map(|p| p[..1].to_uppercase() + &p[1..])
                        .collect::<Vec<_>>()
                        .join(". ");
                }
                let goes = match &lead.goes {
                    Goes::Couplet(c) => (c + 1).to_string(),
                    Goes::Taxon(name) => name.clone(),
                };
                let _ = writeln!(out, "{}{letter}{back}  {said} ..... {goes}", i + 1);
            }
        }
        out.push_str("\ntaxa\n");
        for name in &self.accounts {
            let _ = write!(out, "\n{name} L.\n  Grows in hedges.\n");
        }
        out.push_str(
            "\nglossary\n\nmargin: the line where a blade ends\n\n\
             stipules: two leaf-like pieces at the foot of a leaf\n",
        );
        out
    }

    fn line(&self, text: &str, place: Place) -> usize {
        let at = |begin: &str| text.lines().position(|l| l.starts_with(begin)).map(|i| i + 1);
        match place {
            Place::Title => 1,
            Place::Line(begin) => at(begin).unwrap_or_else(|| panic!("no line {begin}")),
            Place::Lead(c, l) => {
                let letter = (b'a' + l as u8) as char;
                let label = format!("{}{letter} ", c + 1);
                at(&label).unwrap_or_else(|| panic!("no lead {label}"))
            }
        }
    }

    fn report(&self, text: &str) -> (Key, Report) {
        let key = Key::read(Source::new("seeded.key", text));
        let accepted = Accepted::read(&self.accepted.join("\n"));
        // Everything that can be asked for, but the list of couplets without a second way.
        let profiles: Vec<String> = rules::ALL
            .iter()
            .filter(|r| !r.asked_by.is_empty() && r.id != "no-second-way")
            .map(|r| r.id.to_string())
            .collect();
        let options =
            Options { profiles: &profiles, accepted: Some(&accepted), ..Options::default() };
        let report = examine(&key, &options);
        (key, report)
    }

    /// A couplet both of whose leads end in a taxon.
    fn last(&self, dice: &mut Dice) -> usize {
        let ends = |c: &Couplet| c.leads.iter().all(|l| matches!(l.goes, Goes::Taxon(_)));
        let all: Vec<usize> =
            (0..self.couplets.len()).filter(|&c| ends(&self.couplets[c])).collect();
        all[dice.below(all.len())]
    }

    fn any(&self, dice: &mut Dice) -> usize {
        dice.below(self.couplets.len())
    }

    /// A couplet whose leads ask for the length of the blade, and what the second asks for.
    fn measured(&self, dice: &mut Dice) -> (usize, Range) {
        let all: Vec<(usize, Range)> = self
            .couplets
            .iter()
            .enumerate()
            .filter_map(|(c, x)| Some((c, x.measured?[1])))
            .collect();
        all[dice.below(all.len())]
    }

    /// Replaces all that a couplet says.
    fn say(&mut self, couplet: usize, a: &[&str], b: &[&str]) {
        for (lead, parts) in self.couplets[couplet].leads.iter_mut().zip([a, b]) {
            lead.parts = parts.iter().map(|p| p.to_string()).collect();
        }
    }

    /// A lead that ends in a taxon, and its name.
    fn end(&self, dice: &mut Dice) -> (usize, usize, String) {
        let ends: Vec<(usize, usize, String)> = self
            .couplets
            .iter()
            .enumerate()
            .flat_map(|(c, couplet)| {
                couplet.leads.iter().enumerate().filter_map(move |(l, lead)| match &lead.goes {
                    Goes::Taxon(name) => Some((c, l, name.clone())),
                    Goes::Couplet(_) => None,
                })
            })
            .collect();
        ends[dice.below(ends.len())].clone()
    }
}

/// A fault of one rule: how it is planted, and what may be found besides, since it follows from it.
struct Fault {
    rule: &'static str,
    besides: &'static [&'static str],
    plant: fn(&mut Sheet, &mut Dice) -> Place,
}

const fn fault(rule: &'static str, plant: fn(&mut Sheet, &mut Dice) -> Place) -> Fault {
    Fault { rule, besides: &[], plant }
}

const fn with(
    rule: &'static str,
    besides: &'static [&'static str],
    plant: fn(&mut Sheet, &mut Dice) -> Place,
) -> Fault {
    Fault { rule, besides, plant }
}

const SOLE: &[&str] = &["sole-character"];

const FAULTS: [Fault; 39] = [
    fault("and-with-or", |s, d| {
        let c = s.any(d);
        s.couplets[c].leads[1].parts[1].push_str(" and dotted or warty");
        Place::Lead(c, 1)
    }),
    fault("back-reference-missing", |s, d| {
        let far: Vec<usize> =
            (1..s.couplets.len()).filter(|&c| s.couplets[c].origins[0] + 1 != c).collect();
        let c = far[d.below(far.len())];
        s.couplets[c].back = false;
        Place::Lead(c, 0)
    }),
    with("bare-negation", SOLE, |s, d| {
        let c = s.last(d);
        s.say(c, &["Galls dotted"], &["Galls not dotted"]);
        Place::Lead(c, 1)
    }),
    fault("difference-in-parentheses", |s, d| {
        // Leads with one measure would overlap as well.
        let plain: Vec<usize> =
            (0..s.couplets.len()).filter(|&c| s.couplets[c].measured.is_none()).collect();
        let c = plain[d.below(plain.len())];
        let parts = s.couplets[c].leads[0].parts.clone();
        s.couplets[c].leads[1].parts = parts;
        s.couplets[c].leads[1].parts[1].push_str(" (when dry)");
        Place::Lead(c, 1)
    }),
    fault("drying-not-said", |s, _| {
        s.characters
            .push_str("\npetal colour: Petals _\n  states    red, blue\n  part      flower\n");
        Place::Line("petal colour")
    }),
    fault("feature-without-contrast", |s, d| {
        let (c, l) = (s.any(d), d.below(2));
        s.couplets[c].leads[l].parts.push("hilum dotted".into());
        Place::Lead(c, l)
    }),
    fault("features-in-another-order", |s, d| {
        let c = s.any(d);
        s.couplets[c].leads[0].parts.push("stipules split".into());
        s.couplets[c].leads[1].parts.insert(1, "stipules joined".into());
        Place::Lead(c, 1)
    }),
    fault("first-words-differ", |s, d| {
        let c = s.last(d);
        let part = &mut s.couplets[c].leads[1].parts[0];
        *part = format!("Upper {}", part.to_lowercase());
        Place::Lead(c, 1)
    }),
    with("flower-and-fruit", SOLE, |s, d| {
        let inner: Vec<usize> = (1..s.couplets.len()).collect();
        let c = inner[d.below(inner.len())];
        let above = s.couplets[c].origins[0];
        s.say(above, &["Petals notched; stamens free"], &["Petals whole; stamens joined"]);
        s.say(c, &["Capsule round; seeds ribbed"], &["Capsule oval; seeds dotted"]);
        Place::Lead(c, 0)
    }),
    with("fresh-plant-needed", SOLE, |s, d| {
        let c = s.last(d);
        s.say(c, &["Sap milky"], &["Sap watery"]);
        Place::Lead(c, 0)
    }),
    with("geography-alone", &["feature-without-contrast", "first-words-differ"], |s, d| {
        let c = s.any(d);
        s.couplets[c].leads[1].parts = vec!["Known only from the Lower Oren".into()];
        Place::Lead(c, 1)
    }),
    fault("geography-not-last", |s, d| {
        let c = s.any(d);
        s.couplets[c].leads[0].parts.insert(1, "northern part of the valley".into());
        Place::Lead(c, 0)
    }),
    fault("hedged-leads", |s, d| {
        let c = s.any(d);
        let part = &mut s.couplets[c].leads[0].parts[1];
        *part = part.replacen(' ', " often ", 1);
        Place::Lead(c, 0)
    }),
    with("hedged-sole-character", &["sole-character", "hedged-leads"], |s, d| {
        let c = s.last(d);
        s.say(c, &["Galls usually dotted"], &["Galls warty"]);
        Place::Lead(c, 0)
    }),
    with("lead-opens-without-part", &["first-words-differ"], |s, d| {
        let c = s.last(d);
        let part = &mut s.couplets[c].leads[1].parts[0];
        *part = format!("With {}", part.to_lowercase());
        Place::Lead(c, 1)
    }),
    fault("listed-taxon-not-keyed", |s, d| {
        let at = d.below(s.accepted.len());
        s.accepted.insert(at, "Zelkova serrata (Thunb.) Makino".into());
        Place::Title
    }),
    fault("long-lead", |s, d| {
        let (c, l) = (s.any(d), d.below(2));
        let remark = format!(" ({})", vec!["dotted"; 40].join(" "));
        s.couplets[c].leads[l].parts[1].push_str(&remark);
        Place::Lead(c, l)
    }),
    fault("longer-branch-first", |s, d| {
        let size = |goes: &Goes| matches!(goes, Goes::Taxon(_));
        let unequal: Vec<usize> = (0..s.couplets.len())
            .filter(|&c| size(&s.couplets[c].leads[0].goes) && !size(&s.couplets[c].leads[1].goes))
            .collect();
        let c = unequal[d.below(unequal.len())];
        s.couplets[c].leads.swap(0, 1);
        Place::Lead(c, 0)
    }),
    fault("lopsided-key", |s, d| {
        *s = Sheet::sound(d, true);
        Place::Title
    }),
    fault("mixed-punctuation", |s, d| {
        let (c, l) = (s.any(d), d.below(2));
        s.couplets[c].leads[l].between = ". ";
        Place::Lead(c, l)
    }),
    with("near-name", &["taxon-without-account", "taxon-not-listed"], |s, d| {
        // Where another plant stood, the name of one that is keyed elsewhere, a letter in the
        // middle of the epithet lost. Were its own account left without a lead, that would be told.
        let (_, _, mut name) = s.end(d);
        let (c, l, lost) = loop {
            let end = s.end(d);
            if end.2 != name {
                break end;
            }
        };
        s.accounts.retain(|n| *n != lost);
        s.accepted.retain(|n| *n != lost);
        let at = (name.find(' ').unwrap() + name.len()) / 2;
        name.remove(at);
        s.couplets[c].leads[l].goes = Goes::Taxon(name);
        Place::Lead(c, l)
    }),
    fault("negative-first", |s, d| {
        let c = s.last(d);
        s.couplets[c].leads[0].parts[0] = "Galls none".into();
        s.couplets[c].leads[1].parts[0] = "Galls present".into();
        Place::Lead(c, 0)
    }),
    fault("not-as-above", |s, d| {
        let c = s.any(d);
        s.couplets[c].leads[1].parts = vec!["Not as above".into()];
        Place::Lead(c, 1)
    }),
    fault("obscure-character", |s, d| {
        let c = s.last(d);
        s.say(c, &["Ovules curved", "embryo folded"], &["Ovules straight", "embryo flat"]);
        Place::Lead(c, 0)
    }),
    with("plastic-character", SOLE, |s, d| {
        let c = s.last(d);
        s.say(c, &["Stipules red"], &["Stipules green"]);
        Place::Lead(c, 0)
    }),
    with("relative-size", SOLE, |s, d| {
        let c = s.last(d);
        s.say(c, &["Stipules large"], &["Stipules rather small"]);
        Place::Lead(c, 0)
    }),
    fault("same-opening-as-above", |s, d| {
        let c = s.last(d);
        let topic = TOPICS[s.couplets[s.couplets[c].origins[0]].topics.0].0;
        let (a, b) = (format!("{topic} dotted"), format!("{topic} warty"));
        s.say(c, &[&a, "stipules split"], &[&b, "stipules joined"]);
        Place::Lead(c, 0)
    }),
    fault("scope-not-said", |s, _| {
        s.title = "Woody plants".into();
        s.heading.remove(0);
        Place::Title
    }),
    fault("season-not-said", |s, d| {
        s.heading.pop();
        let c = s.any(d);
        s.say(c, &["Petals notched; stamens free"], &["Petals whole; stamens joined"]);
        Place::Title
    }),
    with(
        "shared-couplet",
        &["longer-branch-first", "taxon-not-keyed", "listed-taxon-not-keyed"],
        |s, d| {
            // An end before a couplet, so that no circle is closed.
            let (c, l, target) = loop {
                let (c, l, _) = s.end(d);
                let target = s.any(d);
                if target > c && s.couplets[target].origins != [c] {
                    break (c, l, target);
                }
            };
            let first = s.couplets[target].origins[0];
            let there = s.couplets[first]
                .leads
                .iter()
                .position(|l| matches!(l.goes, Goes::Couplet(t) if t == target));
            s.couplets[c].leads[l].goes = Goes::Couplet(target);
            s.couplets[target].origins.push(c);
            let (c, l) = (c, l).max((first, there.unwrap()));
            Place::Lead(c, l)
        },
    ),
    // The slip contradicts the measures before and behind it.
    with("size-unlike-others", &["units-differ", "measure-outside-route"], |s, d| {
        let (c, _) = s.measured(d);
        s.couplets[c].leads[1].parts[2] = "leaf blade 500-600 cm long".into();
        Place::Lead(c, 1)
    }),
    fault("sole-character", |s, d| {
        let c = s.any(d);
        s.couplets[c].leads.iter_mut().for_each(|l| l.parts.truncate(1));
        Place::Lead(c, 0)
    }),
    fault("taxon-not-listed", |s, d| {
        let (c, l, name) = s.end(d);
        s.accepted.retain(|n| *n != name);
        Place::Lead(c, l)
    }),
    fault("taxon-without-account", |s, d| {
        let (c, l, name) = s.end(d);
        s.accounts.retain(|n| *n != name);
        Place::Lead(c, l)
    }),
    fault("term-not-defined", |s, d| {
        let (c, l) = (s.any(d), d.below(2));
        s.couplets[c].leads[l].parts[1].push_str(", ciliate");
        Place::Lead(c, l)
    }),
    fault("two-words-for-one-thing", |s, d| {
        let (c, other) = (s.last(d), s.any(d));
        s.couplets[other].leads[0].parts.push("edge split".into());
        s.couplets[other].leads[1].parts.push("edge whole".into());
        s.couplets[c].leads[0].parts.push("margin ribbed".into());
        s.couplets[c].leads[1].parts.push("margin dotted".into());
        Place::Lead(c, 0)
    }),
    fault("units-differ", |s, d| {
        let (c, (low, high)) = s.measured(d);
        let cm = |mm: usize| mm as f64 / 10.0;
        s.couplets[c].leads[1].parts[2] = format!("leaf blade {}-{} cm long", cm(low), cm(high));
        Place::Lead(c, 1)
    }),
    fault("unknown-profile", |s, _| {
        s.heading.push("profile    strickt pairs".into());
        Place::Line("  profile")
    }),
    fault("verb-in-lead", |s, d| {
        let (c, l) = (s.any(d), d.below(2));
        let part = &mut s.couplets[c].leads[l].parts[1];
        *part = part.replacen(' ', " are ", 1);
        Place::Lead(c, l)
    }),
];

const SHEETS: u64 = 12;

#[test]
fn sound_keys_are_found_sound() {
    for seed in 0..SHEETS {
        let sheet = Sheet::sound(&mut Dice::new(seed), false);
        let text = sheet.text();
        let (_, report) = sheet.report(&text);
        let found: Vec<_> = report.findings.iter().map(|f| (f.rule, &f.what)).collect();
        assert!(found.is_empty(), "seed {seed}: {found:?}\n{text}");
    }
}

#[test]
fn every_planted_fault_is_found_at_its_place_and_nothing_else() {
    let (mut found, mut falsely) = (0, 0);
    let mut wrong = Vec::new();
    for fault in &FAULTS {
        for seed in 0..SHEETS {
            let mut dice = Dice::new(seed * 1000 + 7);
            let mut sheet = Sheet::sound(&mut dice, false);
            let place = (fault.plant)(&mut sheet, &mut dice);
            let text = sheet.text();
            let (key, report) = sheet.report(&text);
            let line = sheet.line(&text, place);
            let lines: Vec<usize> = report
                .findings
                .iter()
                .filter(|f| f.rule == fault.rule)
                .map(|f| key.source.line_column(f.span.start as usize).line)
                .collect();
            if lines.contains(&line) {
                found += 1;
            } else {
                wrong.push(format!("{} seed {seed}: line {line}, found at {lines:?}", fault.rule));
            }
            let more: Vec<_> = report
                .findings
                .iter()
                .filter(|f| f.rule != fault.rule && !fault.besides.contains(&f.rule))
                .map(|f| (f.rule, &f.what))
                .collect();
            falsely += more.len() + lines.iter().filter(|l| **l != line).count();
            if !more.is_empty() {
                wrong.push(format!("{} seed {seed}: falsely {more:?}", fault.rule));
            }
        }
    }
    let planted = FAULTS.len() * SHEETS as usize;
    println!("{planted} faults of {} kinds: {found} found, {falsely} false", FAULTS.len());
    assert!(
        wrong.is_empty(),
        "{} of them:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(25)].join("\n")
    );
    assert_eq!((found, falsely), (planted, 0));
}

/// What is not planted here has its own tests, or is found while the text is read.
#[test]
fn every_rule_of_style_is_planted() {
    let planted: BTreeSet<&str> = FAULTS.iter().map(|f| f.rule).collect();
    assert_eq!(planted.len(), FAULTS.len());
    let elsewhere = ["no-second-way", "three-leads"];
    let left: Vec<&str> = rules::ALL
        .iter()
        .filter(|r| r.style && !planted.contains(r.id) && !elsewhere.contains(&r.id))
        .map(|r| r.id)
        .collect();
    assert!(left.is_empty(), "{left:?}");
}
