//! Statements that begin like a declared sentence and speak of its states, and are none of them.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::key::CharacterId;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// A statement speaks of the states of a character, and says none of them.
    ///
    /// ## What it finds
    /// A part of a lead or an account of which nothing was read: it begins as a declared sentence
    /// does, and every word that follows is a word of that character's states, but they do not make
    /// up states.
    ///
    /// ## Why it matters
    /// The statement is prose: it is shown, and nothing reasons with it.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// bark: Bark _
    ///   states    white, grey and smooth, brown
    ///
    /// key
    ///
    /// 1a  Bark grey or brown .................. Fagus sylvatica
    /// 1b  Bark white .......................... Betula pendula
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// characters
    ///
    /// bark: Bark _
    ///   states    white, grey and smooth, brown
    ///
    /// key
    ///
    /// 1a  Bark grey and smooth, or brown ...... Fagus sylvatica
    /// 1b  Bark white .......................... Betula pendula
    /// ```
    ///
    /// ## Remedy
    /// Write the states as they are declared; or declare the word: `also  grey and smooth: grey`.
    ///
    /// ## Source
    /// Ours, after a key that a teacher wrote.
    "no-such-state", Warning, Strong, examine
}

/// So many states are named.
const NAMED: usize = 8;

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let key = exam.key;
    let leads = key.couplets.iter().flat_map(|c| &c.leads).flat_map(|l| &l.parts);
    let parts = leads.chain(key.taxa.iter().flat_map(|t| &t.parts));
    let unread: Vec<Span> =
        parts.filter(|p| p.statements.is_empty()).filter_map(|p| p.prose).collect();
    if unread.is_empty() || key.characters.is_empty() {
        return;
    }
    // What was told while it was read is not told again.
    let mut told: Vec<Span> = out.iter().map(|f| f.span).collect();
    told.sort_unstable();
    let lexicon = key.lexicon();
    for span in unread {
        let within = told.partition_point(|t| t.start < span.start);
        if told.get(within).is_some_and(|t| t.start < span.end) {
            continue;
        }
        let Some((character, filling)) = lexicon.states_misput(key.source.slice(span)) else {
            continue;
        };
        out.push(finding(exam, span, character, &filling));
    }
}

fn finding(exam: &Examination, span: Span, character: CharacterId, filling: &str) -> Finding {
    let of = exam.key.character(character);
    let states: Vec<&str> = of.states()[..of.declared()].iter().map(|s| s.word.as_str()).collect();
    RULE.at(span, format!("`{filling}` is no state of `{}`, and was not read", of.name))
        .why(format!("Its states are {}.", list(&states, NAMED)))
        .remedy("Write the states as they are declared; or declare the word with `also`.")
}
