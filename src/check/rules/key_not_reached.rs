//! Keys of a file to which no route leads.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{CoupletId, LeadId, SubkeyId};
use crate::text::finding::Finding;

rule! {
    /// A key of the file is never entered.
    ///
    /// ## What it finds
    /// A key after the first to which no lead points, neither from this file nor from another one
    /// that is read with it. Of several such keys that lead to one another, the first is named.
    ///
    /// ## Why it matters
    /// Determination begins at the first key of a file. Whatever only stands in a key that nobody
    /// enters cannot be named.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Adonis annua
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// key to the poppies
    ///
    /// 1a  Capsule round ....................... Papaver rhoeas
    /// 1b  Capsule long ........................ Papaver dubium
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... key to the poppies
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// key to the poppies
    ///
    /// 1a  Capsule round ....................... Papaver rhoeas
    /// 1b  Capsule long ........................ Papaver dubium
    /// ```
    ///
    /// ## Remedy
    /// Let a lead point to it by its heading. If only other files enter it, check them together, or
    /// write `intended  key-not-reached: entered from FILE` under its heading.
    ///
    /// ## Source
    /// Follows from what a key is; several keys in one book are the custom of printed floras.
    "key-not-reached", Error, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    let missed = |s: SubkeyId| {
        let couplets = &key.subkey(s).couplets;
        !couplets.is_empty() && !couplets.iter().any(|&c| exam.reached.any_of(c))
    };
    let all = (1..key.subkeys.len() as u32).map(SubkeyId).filter(|&s| missed(s));
    let missed: Vec<SubkeyId> = all.collect();
    let mut led_to = vec![false; key.subkeys.len()];
    for &s in &missed {
        next(exam, s).filter(|&n| n != s).for_each(|n| led_to[n.0 as usize] = true);
    }
    let mut told = vec![false; key.subkeys.len()];
    // What is left after the keys to which nothing leads runs in circles.
    let heads = missed.iter().filter(|s| !led_to[s.0 as usize]).chain(&missed);
    for &head in heads {
        if told[head.0 as usize] {
            continue;
        }
        told[head.0 as usize] = true;
        let mut stack = vec![head];
        while let Some(s) = stack.pop() {
            for n in next(exam, s) {
                if !std::mem::replace(&mut told[n.0 as usize], true) {
                    stack.push(n);
                }
            }
        }
        let name = exam.head(head);
        out.push(
            RULE.at(key.subkey(head).span, format!("no lead points to `{name}`"))
                .why("Determination begins at the first key of the file; nobody gets to this one.")
                .remedy(format!("Let a lead end in `{name}`.")),
        );
    }
}

fn next(exam: &Examination, subkey: SubkeyId) -> impl Iterator<Item = SubkeyId> {
    let leads = |couplet: CoupletId| {
        (0..exam.couplet(couplet).leads.len()).map(move |i| LeadId { couplet, index: i as u16 })
    };
    exam.key.subkey(subkey).couplets.iter().flat_map(move |&c| leads(c)).filter_map(|l| {
        let place = target(exam.key, &exam.lead(l).outcome)?;
        let couplet = match place {
            Place::Couplet(c) => c,
            Place::Lead(l) => l.couplet,
        };
        Some(exam.couplet(couplet).subkey)
    })
}
