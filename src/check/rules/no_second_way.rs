//! Couplets at which one wrong turn is final.

use fixedbitset::FixedBitSet;

use crate::check::Examination;
use crate::check::rule::rule;
use crate::key::couplet::Place;
use crate::key::graph::target;
use crate::key::{LeadId, Outcome};
use crate::text::finding::Finding;

rule! {
    /// A reader who takes the wrong lead of a couplet has no second way to the right name.
    ///
    /// ## What it finds
    /// Couplets no two leads of which lead to one taxon, or on to one couplet. A list, and no fault.
    /// Silent unless it is asked for: `profile  second ways`; and in keys so interwoven that the
    /// list would take too long.
    ///
    /// ## Why it matters
    /// Readers misread. Where a plant is easily taken for something else, keying it out both ways
    /// brings the right name whichever lead they take.
    ///
    /// ## Example
    /// ```key-bad
    /// Woodland plants of the Oren valley
    ///   profile   second ways
    ///
    /// key
    ///
    /// 1a  Leaves in threes; stem smooth ....... Trillium grandiflorum
    /// 1b  Leaves in rings; stem hairy ......... Medeola virginiana
    /// ```
    /// ```key-good
    /// Woodland plants of the Oren valley
    ///   profile   second ways
    ///
    /// key
    ///
    /// 1a  Leaves in threes; stem smooth ....... Trillium grandiflorum or Medeola virginiana
    /// 1b  Leaves in rings; stem hairy ......... Medeola virginiana
    ///       intended  taxon-twice: its upper leaves stand in threes
    /// ```
    ///
    /// ## Remedy
    /// Where readers go wrong, key the plant out under both leads. Else nothing.
    ///
    /// ## Source
    /// H. A. Gleason 1918, who keys a plant out in two groups where it may be misread; E. Stillwell
    /// 1939: so to arrange the key that the right answer will be reached whichever the choice;
    /// Schmeil & Fitschen 1922.
    "no-second-way", Note, Sure, ["second ways"], examine; style
}

/// How many times the size of the key may be walked.
const EFFORT: usize = 64;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let Some(second) = second_ways(exam) else { return };
    for (id, couplet) in exam.key.couplets() {
        if couplet.leads.len() < 2 || second.contains(id.0 as usize) || !exam.reached.couplet(id) {
            continue;
        }
        out.push(
            RULE.at(
                exam.place(id),
                format!(
                    "{}: no name is reached by more than one of its leads",
                    exam.couplet_name(id)
                ),
            )
            .why("Who takes the wrong lead here cannot come to the right name.")
            .remedy("Where readers go wrong, key the plant out under both leads; else nothing."),
        );
    }
}

// The couplets that reach something through two leads or more; `None` where it takes too long.
fn second_ways(exam: &Examination) -> Option<FixedBitSet> {
    let key = exam.key;
    let mut named: Vec<Vec<LeadId>> = vec![Vec::new(); key.taxa.len()];
    for (id, lead) in key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            taxa.iter().for_each(|t| named[t.0 as usize].push(id));
        }
    }
    let shared = key.couplets().map(|(id, _)| exam.graph.origins(id));
    let meetings = named.into_iter().chain(shared).filter(|leads| leads.len() > 1);
    let mut effort = EFFORT * exam.graph.positions();
    let mut second = FixedBitSet::with_capacity(key.couplets.len());
    let mut couplets = FixedBitSet::with_capacity(key.couplets.len());
    let mut leads = FixedBitSet::with_capacity(exam.graph.positions());
    for mut stack in meetings {
        let mut passed: Vec<LeadId> = Vec::new();
        while let Some(lead) = stack.pop() {
            if leads.put(exam.graph.position(Place::Lead(lead))) {
                continue;
            }
            effort = effort.checked_sub(1)?;
            passed.push(lead);
            let couplet = lead.couplet.0 as usize;
            stack.extend(exam.graph.origins_of_lead(lead));
            if couplets.put(couplet) {
                // Through this couplet something was reached by another lead already.
                second.insert(couplet);
                continue;
            }
            let whole = |l: &LeadId| {
                target(key, &exam.lead(*l).outcome) == Some(Place::Couplet(lead.couplet))
            };
            stack.extend(exam.graph.origins(lead.couplet).into_iter().filter(whole));
        }
        for lead in passed {
            leads.set(exam.graph.position(Place::Lead(lead)), false);
            couplets.set(lead.couplet.0 as usize, false);
        }
    }
    Some(second)
}
