//! Leads that do not begin with the part to look at.

use crate::check::Examination;
use crate::check::lists::Kinds;
use crate::check::rule::rule;
use crate::check::rules::not_as_above;
use crate::text::finding::Finding;

rule! {
    /// A lead does not begin with the part of the plant that it speaks of.
    ///
    /// ## What it finds
    /// Leads in prose that begin with `with`, `having` and the like, with a figure, or with a size or
    /// colour before the part (`large red flowers`).
    ///
    /// ## Why it matters
    /// The reader has to know first where to look, and then for what.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  With lobed leaves; bark rough ....... Quercus robur
    /// 1b  With needles; bark flaking .......... Pinus sylvestris
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ Quercus robur
    /// 1b  Leaves needles; bark flaking ........ Pinus sylvestris
    /// ```
    ///
    /// ## Remedy
    /// Write the part first, then what it is like: `Flowers large, red`.
    ///
    /// ## Source
    /// Michigan State University, PLB 418; a school handout. Also, from memory: A. E. Radford and
    /// others 1974, Vascular plant systematics, on keys.
    "lead-opens-without-part", Note, Weak, examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    let wording = exam.wording();
    for (lead, _) in exam.key.leads() {
        let said = wording.said(lead);
        let Some(feature) = said.features.first().filter(|f| f.is_prose()) else { continue };
        let mut words = feature.words(said).iter().filter(|w| !w.in_remark);
        let Some(first) = words.next() else { continue };
        let kinds = wording.kinds(first);
        let figure = wording.text(first.id).starts_with(|c: char| c.is_ascii_digit());
        let adjective = kinds.has(Kinds::SIZE.and(Kinds::COLOUR))
            && !kinds.has(Kinds::PART)
            && words.take(3).any(|w| wording.kinds(w).has(Kinds::PART));
        let opener = kinds.has(Kinds::OPENER);
        if !(opener || figure || adjective) || not_as_above::dismisses(wording, said).is_some() {
            continue;
        }
        out.push(
            RULE.at(
                first.span,
                format!(
                    "{} begins with `{}`, not with a part of the plant",
                    exam.lead_name(lead),
                    exam.key.source.slice(first.span)
                ),
            )
            .why("The reader has to know first where to look, and then for what.")
            .remedy("Write the part first, then what it is like."),
        );
    }
}
