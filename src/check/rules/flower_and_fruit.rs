//! Routes on which flowers are needed first and fruits later, or the other way round.

use crate::check::Examination;
use crate::check::lists::Organ;
use crate::check::rule::rule;
use crate::key::CoupletId;
use crate::key::couplet::Place;
use crate::text::finding::Finding;

rule! {
    /// Whoever comes to a couplet needed flowers, and now needs fruits; or the other way round.
    ///
    /// ## What it finds
    /// Couplets that can only be answered with fruits or seeds, on routes all of which have passed a
    /// couplet that can only be answered with flowers; or the other way round. The part is that of
    /// the declared character, else the part that the prose names. Only the first such couplet of a
    /// route is told.
    ///
    /// ## Why it matters
    /// Few plants show both at once, and a gathering is made on one day.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ 2
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    ///
    /// 2a  Capsule round; seeds brown .......... Papaver rhoeas
    /// 2b  Capsule long; seeds black ........... Papaver dubium
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///   season    May to August
    ///
    /// key
    ///
    /// 1a  Petals red; stamens many ............ 2
    /// 1b  Petals yellow; stamens six .......... Sinapis arvensis
    ///
    /// 2a  Capsule round; stem hairs spreading ..... Papaver rhoeas
    /// 2b  Capsule long; stem hairs pressed flat ... Papaver dubium
    /// ```
    ///
    /// ## Remedy
    /// Add a character of leaf, stem or flower to the couplet.
    ///
    /// ## Source
    /// J. Laferriere on the Taxacom list, 1995: keys that need both together are "totally useless".
    /// Flora of Nepal, guidelines for contributors, section 6.2: include characters of both
    /// flowering and fruiting plants. Flora of North America, on keys.
    "flower-and-fruit", Note, Strong, examine; style
}

/// What the reader has needed, on every route to a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Needed {
    flower: bool,
    fruit: bool,
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let (ground, nothing) = (exam.ground(), Needed { flower: false, fruit: false });
    let Some(order) = ground.graph.forward() else { return };
    let mut needed: Vec<Option<Needed>> = vec![None; exam.graph.positions()];
    for place in ground.reopened() {
        needed[exam.graph.position(*place)] = Some(nothing);
    }
    for place in order {
        let mut own = needed[exam.graph.position(place)].unwrap_or(nothing);
        if let Place::Couplet(id) = place {
            let (flower, fruit) = needs(exam, id);
            if exam.reached.couplet(id) && (own.flower && fruit || own.fruit && flower) {
                if !(own.flower && own.fruit) {
                    out.push(finding(exam, id, fruit));
                }
                own = Needed { flower: true, fruit: true };
            }
            own.flower |= flower;
            own.fruit |= fruit;
        }
        for next in ground.graph.next(place) {
            let there = &mut needed[exam.graph.position(next)];
            *there = Some(match *there {
                None => own,
                Some(n) => Needed { flower: n.flower && own.flower, fruit: n.fruit && own.fruit },
            });
        }
    }
}

fn finding(exam: &Examination, id: CoupletId, fruit: bool) -> Finding {
    let (now, before) = if fruit { ("fruits", "flowers") } else { ("flowers", "fruits") };
    RULE.at(
        exam.place(id),
        format!("{} needs {now}, after {before} were needed on the way", exam.couplet_name(id)),
    )
    .why("Few plants show both at once.")
    .remedy("Add a character of another part, here or there.")
}

/// Whether a couplet can only be answered with flowers; with fruits or seeds.
pub(in crate::check) fn needs(exam: &Examination, id: CoupletId) -> (bool, bool) {
    let only = |organs: &[Organ]| {
        exam.wording().decided_by(id, |_, _, f| f.organ.is_some_and(|o| organs.contains(&o)))
    };
    (only(&[Organ::Flower]), only(&[Organ::Fruit, Organ::Seed]))
}
