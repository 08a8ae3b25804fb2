//! One thing that the leads call by two names.

use crate::check::Examination;
use crate::check::rule::rule;
use crate::check::wording::WordId;
use crate::text::finding::Finding;
use crate::text::span::Span;

rule! {
    /// The leads call one thing by two names.
    ///
    /// ## What it finds
    /// A technical term and the plain word that says exactly the same (`petiole` and `leaf stalk`,
    /// `glabrous` and `hairless`), both in the leads of one file. One note for each such pair, at the
    /// first use of the rarer one.
    ///
    /// ## Why it matters
    /// Two words make the reader look for two things.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Petiole long; bark smooth ........... Populus tremula
    /// 1b  Petiole short; bark rough ........... 2
    ///
    /// 2a  Leaf stalk flat; buds red ........... Tilia cordata
    /// 2b  Leaf stalk round; buds brown ........ Quercus robur
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaf stalk long, as the blade; bark smooth ...... Populus tremula
    /// 1b  Leaf stalk short, hardly seen; bark rough ....... 2
    ///
    /// 2a  Buds red; leaf stalk flat ....................... Tilia cordata
    /// 2b  Buds brown; leaf stalk round .................... Quercus robur
    /// ```
    ///
    /// ## Remedy
    /// Choose one of the two for the whole key.
    ///
    /// ## Source
    /// Flora of Nepal, guidelines for contributors, on terminology: one term for one thing. The list
    /// of pairs is ours.
    "two-words-for-one-thing", Note, Weak, examine; style
}

/// How often a name is used, and where first.
#[derive(Clone, Copy, Default)]
struct Uses {
    count: usize,
    first: Option<Span>,
}

struct Pair {
    term: WordId,
    plain: Vec<Vec<WordId>>,
    names: (&'static str, &'static str),
    uses: (Uses, Uses),
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    let Some(lists) = wording.lists else { return };
    let mut pairs: Vec<Pair> = lists
        .same
        .iter()
        .filter_map(|(term, plain)| {
            let phrase =
                |p: &&str| p.split(' ').map(|w| wording.find(w)).collect::<Option<Vec<_>>>();
            let names = (*term, *plain.first()?);
            let plain: Vec<_> = plain.iter().filter_map(phrase).collect();
            let term = wording.find(term)?;
            (!plain.is_empty()).then_some(Pair { term, plain, names, uses: Default::default() })
        })
        .collect();
    for (lead, _) in exam.key.leads() {
        let words = &wording.said(lead).words;
        for (i, word) in words.iter().enumerate() {
            for pair in &mut pairs {
                if word.id == pair.term {
                    pair.uses.0.add(word.span);
                }
                let at = |p: &Vec<WordId>| {
                    words
                        .get(i..i + p.len())
                        .filter(|w| w.iter().map(|w| w.id).eq(p.iter().copied()))
                };
                if let Some(found) = pair.plain.iter().find_map(at) {
                    pair.uses.1.add(word.span.to(found[found.len() - 1].span));
                }
            }
        }
    }
    for pair in pairs {
        let ((a, first), (b, second)) =
            ((pair.uses.0.count, pair.uses.0), (pair.uses.1.count, pair.uses.1));
        let (Some(one), Some(other)) = (first.first, second.first) else { continue };
        let (rarer, commoner) = if a <= b { (one, other) } else { (other, one) };
        out.push(
            RULE.at(
                rarer,
                format!("`{}` and `{}` are two names for one thing", pair.names.0, pair.names.1),
            )
            .why("Two words make the reader look for two things.")
            .remedy("Choose one of the two for the whole key.")
            .related(commoner, "the other name"),
        );
    }
}

impl Uses {
    fn add(&mut self, span: Span) {
        self.count += 1;
        self.first = self.first.or(Some(span));
    }
}
