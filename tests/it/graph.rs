//! The graph of couplets: reach, origins, circles, what is cut off; against a plain search too.

use std::collections::BTreeSet;
use std::fmt::Write;

use hilum::key::couplet::Place;
use hilum::key::{CoupletId, Graph, Key, LeadId};
use hilum::text::source::Source;
use proptest::prelude::*;

fn key(leads: &str) -> Key {
    Key::read(Source::new("a.key", format!("Title\n\nkey\n\n{leads}")))
}

fn name(key: &Key, place: Place) -> String {
    match place {
        Place::Couplet(c) => key.couplet(c).name(),
        Place::Lead(l) => key.lead_name(l),
    }
}

fn route(key: &Key, circle: &hilum::key::graph::Circle) -> String {
    let mut steps: Vec<String> = circle.leads.iter().map(|&l| key.lead_name(l)).collect();
    steps.push(name(key, circle.at));
    steps.join(" ")
}

#[test]
fn a_circle_is_shown_by_its_shortest_route() {
    let key = key("1a  A ..... 2\n1b  B ..... Abies alba\n2a  C ..... 3\n2b  D ..... 4\n\
                   3a  E ..... 4\n3b  F ..... Picea abies\n4a  G ..... 2\n4b  H ..... Tilia cordata\n");
    let circles = Graph::new(&key).circles();
    assert_eq!(circles.len(), 1);
    assert_eq!(route(&key, &circles[0]), "2b 4a 2");
}

#[test]
fn a_couplet_that_points_at_itself_is_a_circle() {
    let key = key("1a  A ..... 1\n1b  B ..... Abies alba\n");
    let circles = Graph::new(&key).circles();
    assert_eq!(circles.iter().map(|c| route(&key, c)).collect::<Vec<_>>(), ["1a 1"]);
}

#[test]
fn leads_that_point_at_each_other_are_a_circle() {
    let key =
        key("1a  A ..... 2a\n1b  B ..... Abies alba\n2a  C ..... 1a\n2b  D ..... Picea abies\n");
    let circles = Graph::new(&key).circles();
    assert_eq!(circles.iter().map(|c| route(&key, c)).collect::<Vec<_>>(), ["1a 2a 1a"]);
}

#[test]
fn circles_apart_are_each_shown() {
    let key = key("1a  A ..... 2\n1b  B ..... 3\n2a  C ..... 2\n2b  D ..... Abies alba\n\
                   3a  E ..... 3\n3b  F ..... Picea abies\n");
    let circles = Graph::new(&key).circles();
    let routes: Vec<_> = circles.iter().map(|c| route(&key, c)).collect();
    assert_eq!(routes, ["2a 2", "3a 3"]);
}

#[test]
fn what_is_cut_off_is_told_by_its_heads() {
    let key = key("1a  A ..... Abies alba\n1b  B ..... Picea abies\n2a  C ..... 3\n\
                   2b  D ..... Tilia cordata\n3a  E ..... Acer campestre\n3b  F ..... Ulmus minor\n\
                   4a  G ..... 5\n4b  H ..... Fagus sylvatica\n5a  I ..... 4\n5b  J ..... Salix alba\n");
    let graph = Graph::new(&key);
    let reached = graph.reach(graph.start().map(Place::Couplet));
    let groups: Vec<(String, usize)> = graph
        .cut_off(&reached)
        .iter()
        .map(|g| (key.couplet(g.head).name(), g.couplets.len()))
        .collect();
    // 4 and 5 run in a circle: the first in the text stands for both.
    assert_eq!(groups, [("2".to_string(), 2), ("4".to_string(), 2)]);
}

#[test]
fn origins_are_the_leads_that_point_here() {
    let key = key("1a  A ..... 3\n1b  B ..... 2\n2a  C ..... 3b\n2b  D ..... Abies alba\n\
                   3a  E ..... Picea abies\n3b  F ..... Tilia cordata\n");
    let graph = Graph::new(&key);
    let names = |leads: Vec<LeadId>| leads.iter().map(|&l| key.lead_name(l)).collect::<Vec<_>>();
    assert_eq!(names(graph.origins(CoupletId(2))), ["1a", "2a"]);
    let third_b = LeadId { couplet: CoupletId(2), index: 1 };
    assert_eq!(names(graph.origins_of_lead(third_b)), ["2a"]);
    assert_eq!(graph.origins(CoupletId(0)), []);
}

#[test]
fn taxa_behind_a_lead_are_counted_once() {
    let key = key("1a  A ..... 2\n1b  B ..... 3\n2a  C ..... Abies alba\n2b  D ..... 3\n\
                   3a  E ..... Abies alba or Picea abies\n3b  F ..... stop: no cones\n");
    let graph = Graph::new(&key);
    let behind = |index| {
        let lead = LeadId { couplet: CoupletId(0), index };
        let taxa = graph.taxa_behind(&key, lead);
        taxa.iter().map(|&t| key.taxon(t).name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(behind(0), ["Abies alba", "Picea abies"]);
    assert_eq!(behind(1), ["Abies alba", "Picea abies"]);
}

#[test]
fn a_circle_of_a_hundred_thousand_couplets_overflows_no_stack() {
    let n = 100_000;
    let mut leads = String::new();
    for i in 1..=n {
        let next = if i == n { 1 } else { i + 1 };
        let _ = writeln!(leads, "{i}a  A ..... {next}\n{i}b  B ..... Abies alba");
    }
    let key = key(&leads);
    let circles = Graph::new(&key).circles();
    assert_eq!(circles.len(), 1);
    assert_eq!(circles[0].leads.len(), n);
}

/// Where each lead of a random key goes: a couplet, one lead of it, or a name.
fn keys() -> impl Strategy<Value = String> {
    let lead = (0_u8..4, 1_usize..12, 0_usize..2);
    proptest::collection::vec((lead.clone(), lead), 1..12).prop_map(|couplets| {
        let n = couplets.len();
        let mut text = String::new();
        for (i, (a, b)) in couplets.into_iter().enumerate() {
            for (letter, (kind, to, index)) in [('a', a), ('b', b)] {
                let to = (to - 1) % n + 1;
                let outcome = match kind {
                    0 => "Abies alba".to_string(),
                    1 => format!("{to}{}", ['a', 'b'][index]),
                    _ => to.to_string(),
                };
                let _ = writeln!(text, "{}{letter}  Mark {letter} ..... {outcome}", i + 1);
            }
        }
        text
    })
}

/// All places that follow from `place`, found by repeating until nothing is added.
fn plainly_reached(key: &Key, from: Place) -> BTreeSet<Place2> {
    let mut reached = BTreeSet::from([Place2::of(from)]);
    loop {
        let before = reached.len();
        for place in reached.clone() {
            match place {
                Place2::Couplet(c) => {
                    let leads = key.couplet(CoupletId(c)).leads.len();
                    reached.extend((0..leads).map(|i| Place2::Lead(c, i as u16)));
                }
                Place2::Lead(c, i) => {
                    let lead = key.lead(LeadId { couplet: CoupletId(c), index: i });
                    let next = hilum::key::graph::target(key, &lead.outcome);
                    reached.extend(next.map(Place2::of));
                }
            }
        }
        if reached.len() == before {
            return reached;
        }
    }
}

/// [`Place`] with an order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
enum Place2 {
    Couplet(u32),
    Lead(u32, u16),
}

impl Place2 {
    fn of(place: Place) -> Place2 {
        match place {
            Place::Couplet(c) => Place2::Couplet(c.0),
            Place::Lead(l) => Place2::Lead(l.couplet.0, l.index),
        }
    }
}

proptest! {
    #[test]
    fn reach_is_that_of_a_plain_search(leads in keys()) {
        let key = key(&leads);
        let graph = Graph::new(&key);
        let start = Place::Couplet(graph.start().unwrap());
        let reached = graph.reach([start]);
        let plain = plainly_reached(&key, start);
        for (id, _) in key.couplets() {
            prop_assert_eq!(reached.couplet(id), plain.contains(&Place2::Couplet(id.0)));
        }
        for (id, _) in key.leads() {
            prop_assert_eq!(reached.lead(id), plain.contains(&Place2::Lead(id.couplet.0, id.index)));
        }
    }

    #[test]
    fn a_circle_is_found_where_some_place_follows_from_itself(leads in keys()) {
        let key = key(&leads);
        let graph = Graph::new(&key);
        let circular = key.leads().any(|(id, lead)| {
            hilum::key::graph::target(&key, &lead.outcome).is_some_and(|next| {
                plainly_reached(&key, next).contains(&Place2::of(Place::Lead(id)))
            })
        });
        prop_assert_eq!(graph.is_circular(), circular);
        prop_assert_eq!(!graph.circles().is_empty(), circular);
        for circle in graph.circles() {
            // Each step of the route follows from the one before, and the last leads back.
            let mut at = circle.at;
            for &lead in &circle.leads {
                match at {
                    Place::Couplet(c) => prop_assert_eq!(c, lead.couplet),
                    Place::Lead(l) => prop_assert_eq!(l, lead),
                }
                at = hilum::key::graph::target(&key, &key.lead(lead).outcome).unwrap();
            }
            prop_assert_eq!(at, circle.at);
        }
    }

    #[test]
    fn every_couplet_is_reached_or_stands_in_one_group(leads in keys()) {
        let key = key(&leads);
        let graph = Graph::new(&key);
        let reached = graph.reach(graph.start().map(Place::Couplet));
        let mut count = vec![0; key.couplets.len()];
        for group in graph.cut_off(&reached) {
            prop_assert!(group.couplets.contains(&group.head));
            for c in group.couplets {
                count[c.0 as usize] += 1;
            }
        }
        for (id, _) in key.couplets() {
            let expected = usize::from(!reached.couplet(id));
            prop_assert_eq!(count[id.0 as usize], expected);
        }
    }

    #[test]
    fn no_text_makes_an_examination_panic(text in "[ -~\n\t…äß\u{202E}]{0,400}") {
        let key = Key::read(Source::new("a.key", text));
        let first = hilum::check::examine(&key, &hilum::check::Options::default());
        let again = hilum::check::examine(&key, &hilum::check::Options::default());
        prop_assert_eq!(first.findings, again.findings);
    }

    #[test]
    fn no_key_makes_an_examination_panic(leads in keys(), cut in 0_usize..600, put in "[0-9ab (.]{0,6}") {
        let mut text = leads;
        let at = (0..=cut.min(text.len())).rev().find(|&i| text.is_char_boundary(i)).unwrap();
        text.insert_str(at, &put);
        let key = key(&text);
        let report = hilum::check::examine(&key, &hilum::check::Options::default());
        for f in &report.findings {
            prop_assert!((f.span.end as usize) <= key.source.text().len());
        }
    }
}
