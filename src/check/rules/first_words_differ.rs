//! Couplets whose leads begin with different words.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::rules::not_as_above;
use crate::text::finding::Finding;

rule! {
    /// The leads of a couplet begin with different words.
    ///
    /// ## What it finds
    /// Couplets whose leads do not all begin with the same word; singular and plural are one, and
    /// articles do not count. Leads whose first statements are of one declared character are taken
    /// as alike, however they are worded, and so are leads that both begin with the whole plant
    /// (`trees`, `shrubs`).
    ///
    /// ## Why it matters
    /// A reader who finds the same word at the head of both leads sees at once what is asked, and
    /// looks at one thing.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Cones none; leaves broad ............ Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves needles; cones woody ......... Pinus sylvestris
    /// 1b  Leaves broad; cones none ............ Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Begin every lead of the couplet with the part that tells most.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, on key construction, rule 5; a school handout.
    /// It holds in 83 to 100 couplets of 100 in five printed floras (own count).
    "first-words-differ", Note, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (id, _) in exam.key.couplets() {
        let leads = wording.couplet(id);
        let [first_lead, others @ ..] = leads else { continue };
        let Some(first) = wording.first(first_lead) else { continue };
        let character = first_lead.features.first().and_then(|f| f.character);
        for (i, said) in others.iter().enumerate() {
            let Some(word) = wording.first(said) else { continue };
            let alike =
                character.is_some() && said.features.first().and_then(|f| f.character) == character;
            if wording.heads_alike(word, first)
                || alike
                || not_as_above::dismisses(wording, said).is_some()
            {
                continue;
            }
            let slice = |w: &crate::check::wording::Word| exam.key.source.slice(w.span);
            let lead = crate::key::LeadId { couplet: id, index: i as u16 + 1 };
            out.push(
                RULE.at(
                    word.span,
                    format!(
                        "{} begins with `{}`, the first lead with `{}`",
                        exam.lead_name(lead),
                        slice(word),
                        slice(first)
                    ),
                )
                .why("The same word at the head of both says at once what is asked.")
                .remedy("Begin every lead of the couplet with the same part.")
                .related(first.span, "the first lead begins so"),
            );
            break;
        }
    }
}
