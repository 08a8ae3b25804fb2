//! Faults planted at drawn places of the bundled keys: each is found at its place.

use std::collections::BTreeMap;
use std::fmt::Write;

use hilum::check::{Options, Report, examine};
use hilum::key::couplet::Place;
use hilum::key::{Graph, Key, LeadId, Outcome, Value, bundled};
use hilum::text::finding::{Finding, Severity};
use hilum::text::source::Source;
use hilum::text::span::Span;

use super::small::Dice;

/// What follows where a way is cut and is not counted as false: what lies behind is not reached, a
/// taxon that had a second place must do with the other one, and claims about the way and answers
/// to what was found on it hold no longer.
const CUT: &[&str] = &[
    "account-against-route",
    "answer-without-question",
    "back-reference-disagrees",
    "couplet-not-reached",
    "key-not-reached",
    "pointer-without-couplet",
    "taxon-not-keyed",
    "wrong-name",
];

/// What contradicts the way contradicts the accounts behind it as well; and the colour of a part
/// that the way denies is a character that does not apply.
const CONTRADICTED: &[&str] = &[
    "account-against-route",
    "character-not-applicable",
    "fits-no-lead",
    "place-out-of-reach",
    "wrong-name",
];

/// Each fault: its rule, and what follows from it.
const FAULTS: [(&str, &[&str]); 6] = [
    ("pointer-without-couplet", CUT),
    ("circular-route", CUT),
    ("couplet-not-reached", CUT),
    ("lead-without-outcome", CUT),
    ("couplet-with-one-lead", CUT),
    ("contradicted-statement", CONTRADICTED),
];

fn report(text: &str) -> (Key, Report) {
    let key = Key::read(Source::new("planted.key", text));
    let report = examine(&key, &Options::default());
    (key, report)
}

/// A change of the text, and what of the untouched text the finding is to stand at.
struct Planted {
    at: Span,
    new: String,
    place: Span,
}

fn plant(fault: &str, key: &Key, dice: &mut Dice) -> Option<Planted> {
    let graph = Graph::new(key);
    let leads: Vec<LeadId> = key.leads().map(|(id, _)| id).collect();
    let id = leads[dice.below(leads.len())];
    let lead = key.lead(id);
    let words = lead.outcome_words.span();
    let couplet_at = |c| key.couplet(c).leads[0].label.span;
    match (fault, &lead.outcome) {
        ("pointer-without-couplet", Outcome::Couplet(_)) => {
            Some(Planted { at: words, new: "9999".into(), place: words })
        }
        ("circular-route", Outcome::Couplet(_)) => {
            // Back to the couplet that it stands in, or one on the way there.
            let start = graph.start()?;
            let before = graph.last_before(Place::Couplet(start));
            let mut way = vec![id.couplet];
            let mut at = Place::Couplet(id.couplet);
            while let Some(earlier) = before[graph.position(at)] {
                at = earlier;
                if let Place::Couplet(c) = at {
                    way.push(c);
                }
            }
            let own = key.couplet(id.couplet).subkey;
            way.retain(|c| key.couplet(*c).subkey == own);
            let back = way[dice.below(way.len())];
            Some(Planted { at: words, new: key.couplet(back).name(), place: words })
        }
        ("couplet-not-reached", Outcome::Couplet(to)) => {
            let sole = graph.origins(*to).len() == 1;
            let new = "stop: not seen here".to_string();
            sole.then(|| Planted { at: words, new, place: couplet_at(*to) })
        }
        ("lead-without-outcome", Outcome::Couplet(_) | Outcome::Taxa(_)) => {
            let at = Span { start: lead.body.span().end, end: words.end };
            Some(Planted { at, new: String::new(), place: lead.label.span })
        }
        ("couplet-with-one-lead", Outcome::Taxa(_)) => {
            let couplet = key.couplet(id.couplet);
            if couplet.leads.len() != 2 || id.index != 1 || !lead.intended.is_empty() {
                return None;
            }
            let at = Span { start: lead.label.span.start, end: words.end };
            Some(Planted { at, new: String::new(), place: couplet_at(id.couplet) })
        }
        ("contradicted-statement", _) => {
            // A statement of the lead beside one on the only way here.
            let start = graph.start()?;
            let before = graph.last_before(Place::Couplet(start));
            let mut way = Vec::new();
            let mut at = Place::Lead(id);
            while let Some(earlier) = before[graph.position(at)] {
                at = earlier;
                if let Place::Lead(l) = at {
                    way.push(l);
                }
            }
            let above = *way.get(dice.below(way.len().max(1)))?;
            let couplet = key.couplet(above.couplet);
            let beside = &couplet.leads[(above.index as usize + 1) % couplet.leads.len()];
            let own = key.lead(above);
            let part = beside.parts.iter().find(|p| {
                let [one] = p.statements.as_slice() else { return false };
                let Value::States(there) = &one.value else { return false };
                let here = own.statements().find(|s| s.character == one.character);
                let Some(Value::States(here)) = here.map(|s| &s.value) else { return false };
                let apart =
                    there.iter().all(|a| here.iter().all(|b| !a.accepts.overlaps(&b.accepts)));
                // A later lead may ask again and leave less still, never more.
                let spoken = lead.statements().any(|s| s.character == one.character);
                p.prose.is_none() && apart && !spoken
            })?;
            let text = key.source.slice(part.statements[0].span);
            let end = lead.body.span().end;
            let new = format!("; {}{}", text[..1].to_lowercase(), &text[1..]);
            let at = Span { start: end, end };
            Some(Planted { at, new, place: lead.body.span() })
        }
        _ => None,
    }
}

fn weighty(report: &Report) -> impl Iterator<Item = &Finding> {
    report.open().filter(|f| f.severity >= Severity::Warning)
}

#[test]
fn each_is_found_at_its_place_and_nothing_else() {
    const EACH: usize = 4;
    let mut table = String::new();
    let mut wrong = Vec::new();
    for (fault, follows) in FAULTS {
        let (mut planted, mut found, mut false_ones) = (0, 0, 0);
        for b in bundled::ALL {
            let (key, sound) = report(b.text);
            let mut before: BTreeMap<&str, usize> = BTreeMap::new();
            weighty(&sound).for_each(|f| *before.entry(f.rule).or_default() += 1);
            assert!(!before.contains_key(fault), "{}: {fault} untouched", b.name);
            let mut here = 0;
            for seed in 0..4_000 {
                let mut dice = Dice::new(seed * 31 + 5);
                let Some(p) = plant(fault, &key, &mut dice) else { continue };
                here += 1;
                planted += 1;
                let mut text = b.text.to_string();
                text.replace_range(p.at.range(), &p.new);
                let (changed, after) = report(&text);
                // Lines stay where they are.
                let line = |key: &Key, at: u32| key.source.line_column(at as usize).line;
                let place = line(&key, p.place.start)..=line(&key, p.place.end);
                let at_place = |f: &&Finding| {
                    let spans = f.related.iter().map(|r| r.span).chain([f.span]);
                    f.rule == fault
                        && spans.into_iter().any(|s| place.contains(&line(&changed, s.start)))
                };
                let name = b.name;
                match weighty(&after).find(at_place) {
                    Some(_) => found += 1,
                    None => wrong.push(format!(
                        "{name}: {fault} not found at line {}: {:?}",
                        place.start(),
                        weighty(&after).map(|f| (f.rule, &f.what)).collect::<Vec<_>>()
                    )),
                }
                let mut more: BTreeMap<&str, usize> = BTreeMap::new();
                weighty(&after).for_each(|f| *more.entry(f.rule).or_default() += 1);
                for (rule, n) in more {
                    let old = before.get(rule).copied().unwrap_or(0);
                    if rule != fault && !follows.contains(&rule) && n > old {
                        false_ones += n - old;
                        wrong.push(format!("{name}: {fault} at {place:?}: falsely {rule}"));
                    }
                }
                if here == EACH {
                    break;
                }
            }
        }
        let _ = writeln!(table, "{fault:28} planted {planted}, found {found}, false {false_ones}");
        assert!(planted >= EACH, "{fault}: planted {planted} times only");
    }
    eprintln!("{table}");
    assert!(wrong.is_empty(), "{} wrong:\n{}\n{table}", wrong.len(), wrong.join("\n"));
}

/// Two names of a bundled key change places: both accounts then speak against their leads.
#[test]
fn swapped_names_in_the_bundled_keys_are_found() {
    let (mut planted, mut found) = (0, 0);
    for b in bundled::ALL {
        let key = b.key();
        let sound = examine(&key, &Options::default());
        assert!(sound.open().all(|f| f.rule != "account-against-route"), "{}", b.name);
        for (id, couplet) in key.couplets() {
            let one = |i: usize| match &couplet.leads.get(i)?.outcome {
                Outcome::Taxa(t) if t.len() == 1 => {
                    let read = key.statements_of(t[0]).len() > 3;
                    read.then(|| (couplet.leads[i].outcome_words.span(), t[0]))
                }
                _ => None,
            };
            let (Some((a, x)), Some((c, y))) = (one(0), one(1)) else { continue };
            // Only leads of which something was read can be held against an account.
            if couplet.leads.iter().any(|l| l.statements().next().is_none()) || x == y {
                continue;
            }
            let keyed = |t| {
                let names = |l: &hilum::key::Lead| matches!(&l.outcome, Outcome::Taxa(all) if all.contains(&t));
                key.leads().filter(|(_, l)| names(l)).count()
            };
            // A taxon with a second place may still be reached there.
            if keyed(x) + keyed(y) > 2 {
                continue;
            }
            let name = |t: hilum::key::TaxonId| key.taxon(t).name.clone();
            let mut text = b.text.to_string();
            text.replace_range(c.range(), &name(x));
            text.replace_range(a.range(), &name(y));
            planted += 1;
            let swapped = Key::read(Source::new("swapped.key", text.as_str()));
            let report = examine(&swapped, &Options::default());
            let spans: Vec<_> = swapped.couplet(id).leads.iter().map(|l| l.body.span()).collect();
            let here = report.open().any(|f| {
                f.rule == "account-against-route" && spans.iter().any(|s| s.contains(f.span))
            });
            if here {
                found += 1;
            } else {
                eprintln!("{}: not found at {}", b.name, swapped.couplet(id).name());
            }
        }
    }
    eprintln!("swapped names: planted {planted}, found {found}");
    assert!(planted > 40 && found == planted, "{found} of {planted}");
}
