//! Leads that name the same features in different order.

use std::collections::HashMap;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, WordId};
use crate::key::{CharacterId, LeadId};
use crate::text::finding::Finding;

rule! {
    /// A lead names the same features as the first lead, in another order.
    ///
    /// ## What it finds
    /// Declared characters, and parts of the plant named in prose, that stand once in each of two
    /// leads and in another order.
    ///
    /// ## Why it matters
    /// The leads are held against each other item by item; and the order says which feature tells
    /// most.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough; buds brown ............ Quercus robur
    /// 1b  Leaves heart-shaped; buds red; bark smooth ...... Tilia cordata
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough; buds brown ............ Quercus robur
    /// 1b  Leaves heart-shaped; bark smooth; buds red ...... Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// Put them in the same order in every lead, the most telling first.
    ///
    /// ## Source
    /// Moss Flora of China, guidelines for contributors, section 7.2; Flora of Nepal, guidelines for
    /// contributors, section 6.4.
    "features-in-another-order", Note, Strong, examine; style
}

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Topic {
    Character(CharacterId),
    Part(WordId),
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, _) in exam.key.couplets() {
        let [first, others @ ..] = exam.wording().couplet(id) else { continue };
        let order = topics(first);
        for (i, said) in others.iter().enumerate() {
            let mut own: Vec<(usize, &Feature)> = topics(said)
                .into_iter()
                .filter_map(|(topic, at)| {
                    let there = *order.get(&topic)?;
                    Some((there?, &said.features[at?]))
                })
                .collect();
            own.sort_by_key(|(_, f)| f.span);
            let Some(pair) = own.windows(2).find(|p| p[0].0 > p[1].0) else { continue };
            let lead = LeadId { couplet: id, index: i as u16 + 1 };
            out.push(
                RULE.at(
                    pair[1].1.span,
                    format!("{} names this later than the first lead does", exam.lead_name(lead)),
                )
                .why("The leads are held against each other item by item.")
                .remedy("Put the features in the same order in every lead.")
                .related(first.features[pair[1].0].span, "here it comes earlier"),
            );
        }
    }
}

// Where each topic stands among the features; `None` where it comes back.
fn topics(said: &Said) -> HashMap<Topic, Option<usize>> {
    let mut out: HashMap<Topic, Option<usize>> = HashMap::new();
    for (i, f) in said.features.iter().enumerate().filter(|(_, f)| f.contrasted) {
        let topic = match f.character {
            Some(c) => Some(Topic::Character(c)),
            None => f.subject(said).last().map(|w| Topic::Part(w.id)),
        };
        if let Some(topic) = topic {
            out.entry(topic).and_modify(|at| *at = None).or_insert(Some(i));
        }
    }
    out
}
