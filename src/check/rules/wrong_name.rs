//! Forms of a taxon that the key names wrongly.

use std::collections::BTreeMap;

use super::account_against_route::end_in_words;
use crate::check::Examination;
use crate::check::reason::course::{Course, Turn};
use crate::check::reason::words::{share, showing};
use crate::check::rule::rule;
use crate::key::LeadId;
use crate::text::finding::{Finding, Severity};

rule! {
    /// Some plants of a taxon reach another name.
    ///
    /// ## What it finds
    /// Forms that an account describes and that a lead takes away from the way to the taxon's own
    /// name, although other forms of it get there: white petals of a plant that is keyed under red
    /// ones. Only what the account and the leads decide between them is told. It is a note where
    /// only rare forms and extremes go astray. A taxon none of whose forms arrives is told of by
    /// `account-against-route`.
    ///
    /// ## Why it matters
    /// Whoever has such a plant is given a wrong name and no sign of it.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// calyx: Calyx _
    ///   states    inflated, falling
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals white ........................ Silene latifolia
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   Petals red or white; calyx falling.
    ///
    /// Silene latifolia Poir.
    ///   Petals white; calyx inflated.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// calyx: Calyx _
    ///   states    inflated, falling
    ///
    /// key
    ///
    /// 1a  Calyx falling ....................... Papaver rhoeas
    /// 1b  Calyx inflated ...................... Silene latifolia
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   Petals red or white; calyx falling.
    ///
    /// Silene latifolia Poir.
    ///   Petals white; calyx inflated.
    /// ```
    ///
    /// ## Remedy
    /// Key the taxon out both ways, or part the plants by a character that does not vary.
    ///
    /// ## Source
    /// The prefaces of Gleason 1918 and Stillwell 1939 (read): arrange the key so that the right
    /// answer is reached whichever the choice.
    "wrong-name", Warning, Strong, examine
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for run in &exam.courses().of {
        let course = &run.course;
        if course.right() <= 0.0 || course.round > 0.0 {
            continue;
        }
        let turns = course.turns.iter().filter(|t| t.sure > 0.0);
        out.extend(turns.map(|turn| finding(exam, course, turn)));
    }
}

fn finding(exam: &Examination, course: &Course, turn: &Turn) -> Finding {
    let taxon = course.taxon;
    let name = &exam.key.taxon(taxon).name;
    let mut ends: BTreeMap<LeadId, f64> = BTreeMap::new();
    for end in course.ends.iter().filter(|e| e.left.as_ref() == Some(&turn.left)) {
        *ends.entry(end.lead).or_default() += end.share;
    }
    let most = ends.iter().max_by(|a, b| a.1.total_cmp(b.1)).map(|(l, _)| *l);
    let whither = match (most, ends.len()) {
        (Some(lead), 1) => format!("ends at {}", end_in_words(exam, lead)),
        (Some(lead), _) => format!("ends at {} or elsewhere", end_in_words(exam, lead)),
        (None, _) => "is then nowhere named".to_string(),
    };
    let forms = showing(exam.key, &turn.left.showing);
    let with = if forms.is_empty() { String::new() } else { format!(" with `{forms}`") };
    let mut finding = RULE
        .at(
            exam.lead(turn.left.lead).body.span(),
            format!("{name}{with} takes {} and {whither}", exam.lead_name(turn.left.lead)),
        )
        .why(format!("Its account describes such plants: {}.", share(turn.sure)))
        .remedy("Key the taxon out both ways, or part them by a character that does not vary.");
    if !turn.usual {
        finding.severity = Severity::Note;
    }
    for (character, _) in &turn.left.showing {
        let shown = exam.courses().get(taxon).and_then(|r| r.forms.get(*character));
        for span in shown.iter().flat_map(|s| &s.spans) {
            finding = finding.related(*span, format!("the account of {name}"));
        }
    }
    if let Some(end) = most {
        finding = finding.related(exam.outcome_place(end), "where they end");
    }
    finding
}
