//! Technical terms that the key does not explain.

use std::collections::BTreeSet;

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::wording::{Word, WordId, Wording};
use crate::text::finding::Finding;
use crate::text::language::fold;

rule! {
    /// A technical term stands in a lead, and the key does not explain it.
    ///
    /// ## What it finds
    /// In keys with a glossary: each term of a list of some hundred that stands in a lead and neither
    /// in the glossary nor in a state or character with `means` or another word for it (`also`). In
    /// keys without a glossary: one note, with how many such terms there are.
    ///
    /// ## Why it matters
    /// A beginner guesses what a term means, and goes wrong without knowing it.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves cordate; bark smooth ......... Tilia cordata
    /// 1b  Leaves lobed; bark rough ............ Quercus robur
    ///
    /// glossary
    ///
    /// lobed: cut into rounded pieces that hang together
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves cordate; bark smooth ......... Tilia cordata
    /// 1b  Leaves lobed; bark rough ............ Quercus robur
    ///
    /// glossary
    ///
    /// cordate: shaped like a heart, the stalk in the notch
    /// ```
    ///
    /// ## Remedy
    /// Explain it under `glossary`, or use a plain word.
    ///
    /// ## Source
    /// Flora of Nepal, guidelines for contributors, on terminology; University of Wisconsin-Madison,
    /// Botany 400, hints; school handouts. The list of terms is ours.
    "term-not-defined", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    let defined = defined(exam, wording);
    let mut told: BTreeSet<WordId> = BTreeSet::new();
    let mut missing: Vec<&Word> = Vec::new();
    for (lead, _) in exam.key.leads() {
        let words = wording.said(lead).words.iter();
        for word in words.filter(|w| wording.kinds(w).has(Kinds::TERM)) {
            if !defined.contains(&word.id) && told.insert(word.id) {
                missing.push(word);
            }
        }
    }
    let Some(first) = missing.first() else { return };
    if exam.key.terms.is_empty() {
        let names: Vec<String> =
            missing.iter().map(|w| format!("`{}`", wording.text(w.id))).collect();
        out.push(
            RULE.at(
                first.span,
                format!(
                    "the leads have technical terms, and the key no glossary: {}",
                    list(&names, 6)
                ),
            )
            .why("A beginner guesses what they mean, and goes wrong without knowing it.")
            .remedy("Explain them under `glossary`, or use plain words."),
        );
        return;
    }
    for word in missing {
        out.push(
            RULE.at(word.span, format!("`{}` is not in the glossary", wording.text(word.id)))
                .why("A beginner guesses what it means, and goes wrong without knowing it.")
                .remedy("Explain it under `glossary`, or use a plain word."),
        );
    }
}

// The words that the glossary, or a declaration, explains.
fn defined(exam: &Examination, wording: &Wording) -> BTreeSet<WordId> {
    let singular = exam.key.heading.language.singular;
    let mut out = BTreeSet::new();
    let mut add = |text: &str| {
        for word in fold(text).split([' ', ',']) {
            out.extend(wording.find(&singular(word)));
        }
    };
    for term in &exam.key.terms {
        add(&term.word);
        term.also.iter().for_each(|w| add(w));
    }
    for character in &exam.key.characters {
        if character.means.is_some() {
            add(&character.sentence);
        }
        for state in character.states() {
            if state.means.is_some() || !state.also.is_empty() {
                add(&state.word);
                state.also.iter().for_each(|w| add(w));
            }
        }
    }
    out
}
