//! Couplets that part by large and small, without a figure.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Feature, Said, Word, WordId, Wording, read};
use crate::key::character::Kind;
use crate::key::{CharacterId, CoupletId, LeadId, Value};
use crate::text::finding::{Finding, Severity};
use crate::text::span::Span;

rule! {
    /// A couplet parts by sizes such as large and small, and gives no figure.
    ///
    /// ## What it finds
    /// Couplets in which every lead has a word of size (`large`, `small`, `long`, `short`, `showy`)
    /// and none has a figure. What is compared with another part of the same plant (`longer than
    /// the petals`) and states whose meaning the key declares (`means`) are left out. Where the
    /// couplet has something else to go by, it is a note.
    ///
    /// ## Why it matters
    /// Large means larger than the other, and the other is not on the table. Beginners write such
    /// couplets first, and are lost in them first.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Flowers large ....................... Papaver rhoeas
    /// 1b  Flowers small ....................... Capsella bursa-pastoris
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Flowers 5-10 cm across .............. Papaver rhoeas
    /// 1b  Flowers 4-6 mm across ............... Capsella bursa-pastoris
    /// ```
    ///
    /// ## Remedy
    /// Write the measures; or compare with a part of the same plant; or say under `means` what
    /// each word stands for.
    ///
    /// ## Source
    /// University of Wisconsin-Madison, Botany 400, on key construction, rule 7; Michigan State
    /// University, PLB 418; Teaching the construction of dichotomous keys, NACTA Journal 29(4),
    /// 1985. Met in 3 to 10 couplets of 100 in five printed floras (own count).
    "relative-size", Warning, Strong, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    if wording.lists.is_none() {
        return;
    }
    for (id, couplet) in exam.key.couplets() {
        let leads = wording.couplet(id);
        let figure = |said: &Said| {
            said.words.iter().any(|w| !w.in_remark && wording.kinds(w).has(Kinds::NUMBER))
        };
        let measured = couplet
            .leads
            .iter()
            .flat_map(|l| l.statements())
            .any(|s| matches!(s.value, Value::Number(_)));
        if leads.len() < 2 || measured || leads.iter().any(figure) {
            continue;
        }
        let Some(span) = parting(exam, wording, id) else { continue };
        let sole = wording.decided_by(id, |lead, said, f| {
            size(exam, wording, lead, said, f).is_some()
                && (!f.is_prose() || wording.only_says(said, f, Kinds::SIZE))
        });
        let mut finding = RULE
            .at(
                span,
                format!(
                    "{} parts by `{}` and gives no figure",
                    exam.couplet_name(id),
                    exam.key.source.slice(span)
                ),
            )
            .why("The plant that it is compared with is not on the table.")
            .remedy("Write the measures, or compare with a part of the same plant.");
        if !sole {
            finding.severity = Severity::Note;
        }
        out.push(finding);
    }
}

// The first word of size, where every lead has one on the same matter and they are not all the same.
fn parting(exam: &Examination, wording: &Wording, id: CoupletId) -> Option<Span> {
    let mut matters: Option<Vec<Matter>> = None;
    let mut first: Option<Word> = None;
    let mut differ = false;
    for lead in exam.leads(id) {
        let said = wording.said(lead);
        let sized = said
            .features
            .iter()
            .filter_map(|f| Some((matter(said, f), *size(exam, wording, lead, said, f)?)));
        let own: Vec<(Matter, Word)> =
            sized.filter(|(m, _)| matters.as_ref().is_none_or(|all| all.contains(m))).collect();
        let word = own.first()?.1;
        let before = *first.get_or_insert(word);
        differ |= own.iter().any(|(_, w)| w.id != before.id);
        matters = Some(own.into_iter().map(|(m, _)| m).collect());
    }
    first.filter(|_| differ).map(|w| w.span)
}

type Matter = (Option<CharacterId>, Option<WordId>);

fn matter(said: &Said, feature: &Feature) -> Matter {
    (feature.character, feature.subject(said).last().map(|w| w.id))
}

// The word of size by which a feature parts.
fn size<'s>(
    exam: &Examination,
    wording: &Wording,
    lead: LeadId,
    said: &'s Said,
    feature: &Feature,
) -> Option<&'s Word> {
    let words = feature.words(said);
    let compared = words.iter().any(|w| wording.kinds(w).has(Kinds::COMPARES));
    if compared || explained(exam, lead, feature) {
        return None;
    }
    wording.first_of(said, feature, Kinds::SIZE)
}

// The key says what the states mean, or how they compare.
fn explained(exam: &Examination, lead: LeadId, feature: &Feature) -> bool {
    let Some((statement, character)) = read(exam.key, lead, feature) else { return false };
    let Value::States(choices) = &statement.value else { return true };
    let means = |i: u16| character.states().get(i as usize).is_some_and(|s| s.means.is_some());
    !matches!(character.kind, Kind::States { .. })
        || character.means.is_some()
        || choices.iter().all(|c| c.accepts.iter().all(|s| means(s.0)))
}
