//! Characters asked of plants that do not have them.

use super::contradicted_statement::earlier;
use crate::check::Examination;
use crate::check::reason::bounds::Clash;
use crate::check::rule::rule;
use crate::key::CharacterId;
use crate::text::finding::Finding;

rule! {
    /// A character is asked where it does not apply.
    ///
    /// ## What it finds
    /// A statement about a character whose `applies` condition the route has denied, or that the
    /// same lead denies. A couplet of which several leads do so is told of once.
    ///
    /// ## Why it matters
    /// The plants that arrive do not have what is asked for; nobody can answer.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    present, none
    ///
    /// petal colour: Petals _
    ///   states    red, white
    ///   applies   where petals present
    ///
    /// key
    ///
    /// 1a  Petals present ...................... Papaver rhoeas
    /// 1b  Petals none ......................... 2
    ///
    /// 2a  Petals red .......................... Rumex acetosa
    /// 2b  Petals white ........................ Urtica dioica
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    present, none
    ///
    /// leaves: Leaves _
    ///   states    alternate, opposite
    ///
    /// key
    ///
    /// 1a  Petals present ...................... Papaver rhoeas
    /// 1b  Petals none ......................... 2
    ///
    /// 2a  Leaves alternate .................... Rumex acetosa
    /// 2b  Leaves opposite ..................... Urtica dioica
    /// ```
    ///
    /// ## Remedy
    /// Ask for something that these plants have; or mend the condition of the character.
    ///
    /// ## Source
    /// Ours; characters that depend on others are described in J. C. Gower 1971, Biometrics 27
    /// (read: abstract).
    "character-not-applicable", Warning, Sure, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let mut told: Option<(crate::key::CoupletId, CharacterId)> = None;
    for clash in &exam.bounds().clashes {
        let Some(asked) = clash.implied_by else { continue };
        let same = told == Some((clash.lead.couplet, asked));
        told = Some((clash.lead.couplet, asked));
        if !same {
            out.push(finding(exam, clash, asked));
        }
    }
    for (lead, _) in exam.key.leads() {
        for own in &exam.ground().demands(lead).clashes {
            let Some(asked) = own.implied_by else { continue };
            let (name, condition) = names(exam, asked, own.character);
            out.push(
                RULE.at(
                    own.second,
                    format!(
                        "{} asks for `{name}`, and itself denies its condition",
                        exam.lead_name(lead)
                    ),
                )
                .why(format!("`{name}` depends on `{condition}`: no plant can satisfy both."))
                .remedy("Correct one of the two statements, or the `applies` of the character.")
                .related(own.first, format!("what it says of `{condition}`")),
            );
        }
    }
}

fn finding(exam: &Examination, clash: &Clash, asked: CharacterId) -> Finding {
    let (name, condition) = names(exam, asked, clash.character);
    let finding = RULE
        .at(
            clash.span,
            format!(
                "`{name}` does not apply to the plants that come to {}",
                exam.lead_name(clash.lead)
            ),
        )
        .why(format!("It depends on `{condition}`, which the way to here has denied."))
        .remedy(
            "Ask for something that these plants have; or mend the `applies` of the character.",
        );
    earlier(exam, finding, &clash.reasons)
}

fn names<'e>(
    exam: &'e Examination,
    asked: CharacterId,
    condition: CharacterId,
) -> (&'e str, &'e str) {
    (&exam.key.character(asked).name, &exam.key.character(condition).name)
}
