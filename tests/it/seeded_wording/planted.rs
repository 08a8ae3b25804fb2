//! One fault of each rule of style, and how it is planted in a sound sheet.

use super::sheet::{Goes, Place, Sheet, TOPICS};
use crate::generate::Dice;

/// A fault of one rule: how it is planted, and what may be found besides, since it follows from it.
pub(super) struct Fault {
    pub rule: &'static str,
    pub besides: &'static [&'static str],
    pub plant: fn(&mut Sheet, &mut Dice) -> Place,
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

pub(super) const FAULTS: [Fault; 39] = [
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
