//! Taxa that more than one lead names.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::key::{LeadId, Outcome};
use crate::text::finding::Finding;

rule! {
    /// A taxon is keyed out in more than one place.
    ///
    /// ## What it finds
    /// Taxa that several leads name. A list for the writer's eye.
    ///
    /// ## Why it matters
    /// Done on purpose it is a virtue: a variable plant is named whichever lead its reader takes. Not
    /// on purpose, one of the names is a slip.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves in pairs ..................... 2
    /// 1b  Leaves one by one ................... 3
    ///
    /// 2a  Leaves lobed ........................ Acer campestre
    /// 2b  Leaves pinnate ...................... Fraxinus excelsior
    ///
    /// 3a  Leaves lobed ........................ Quercus robur
    /// 3b  Leaves heart-shaped ................. Acer campestre
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves in pairs ..................... 2
    /// 1b  Leaves one by one ................... 3
    ///
    /// 2a  Leaves lobed ........................ Acer campestre
    /// 2b  Leaves pinnate ...................... Fraxinus excelsior
    ///
    /// 3a  Leaves lobed ........................ Quercus robur
    /// 3b  Leaves heart-shaped ................. Tilia cordata
    /// ```
    ///
    /// ## Remedy
    /// None where it is meant so.
    ///
    /// ## Source
    /// Flora of China, guidelines for contributors (1994), section 6: "a taxon may be keyed out more
    /// than once".
    "taxon-twice", Note, Weak, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut leads: Vec<Vec<LeadId>> = vec![Vec::new(); exam.key.taxa.len()];
    for (id, lead) in exam.key.leads() {
        if let Outcome::Taxa(taxa) = &lead.outcome {
            for t in taxa {
                let own = &mut leads[t.0 as usize];
                if own.last() != Some(&id) {
                    own.push(id);
                }
            }
        }
    }
    for (taxon, leads) in exam.key.taxa.iter().zip(&leads) {
        let [first, second, ..] = leads.as_slice() else { continue };
        let names: Vec<String> = leads.iter().map(|&l| exam.key.lead_name(l)).collect();
        out.push(
            RULE.at(
                exam.outcome_place(*second),
                format!("{} is keyed out in leads {}", taxon.name, list(&names, 6)),
            )
            .remedy("Nothing, if it is meant so.")
            .related(exam.outcome_place(*first), "here first"),
        );
    }
}
