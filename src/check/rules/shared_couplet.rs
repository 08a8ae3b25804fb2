//! Couplets that are reached from two places, in keys that are to be printed indented.

use crate::check::Examination;
use crate::check::examination::list;
use crate::check::rule::rule;
use crate::text::finding::Finding;

rule! {
    /// A couplet is reached from two places, which an indented key cannot show.
    ///
    /// ## What it finds
    /// Couplets to which, or to one lead of which, two leads or more point. Silent unless it is
    /// asked for: `profile  indented layout`.
    ///
    /// ## Why it matters
    /// In an indented key each couplet stands under the lead that it belongs to, and it can stand
    /// under one only. Numbered layouts show both ways without trouble; a taxon that is keyed out
    /// twice suits every layout.
    ///
    /// ## Example
    /// ```key-bad
    /// Trees of the school yard
    ///   profile   indented layout
    ///
    /// key
    ///
    /// 1a  Leaves lobed; bark rough ............ 2
    /// 1b  Leaves entire; bark smooth .......... 3
    ///
    /// 2a  Leaves in pairs; buds green ......... Acer campestre
    /// 2b  Leaves one by one; buds brown ....... 4
    ///
    /// 3a  Leaves round; nuts in tufts ......... Tilia cordata
    /// 3b  Leaves long; nuts single ............ 4
    ///
    /// 4a  Acorns stalked; leaf stalk short .... Quercus robur
    /// 4b  Acorns sitting; leaf stalk long ..... Quercus petraea
    /// ```
    /// ```key-good
    /// Trees of the school yard
    ///   profile   indented layout
    ///
    /// key
    ///
    /// 1a  Leaves in pairs; buds green ......... Acer campestre
    /// 1b  Leaves one by one; buds brown ....... 2
    ///
    /// 2a  Acorns stalked; leaf stalk short .... Quercus robur
    /// 2b  Acorns sitting; leaf stalk long ..... Quercus petraea
    /// ```
    ///
    /// ## Remedy
    /// Repeat what lies behind it, key its taxa out twice, or print the key with numbers.
    ///
    /// ## Source
    /// D. J. Osborne 1963 and R. W. Payne 1977 on reticulate keys, as cited in an encyclopaedia's
    /// article on single-access keys: inner reticulation suits numbered layouts, not indented ones.
    "shared-couplet", Warning, Sure, ["indented layout"], examine; style
}

fn examine(exam: &Examination, out: &mut Vec<Finding>) {
    for (id, _) in exam.key.couplets() {
        let origins = exam.graph.origins(id);
        let [first, second, ..] = origins.as_slice() else { continue };
        let names: Vec<String> = origins.iter().map(|&l| exam.key.lead_name(l)).collect();
        out.push(
            RULE.at(
                exam.outcome_place(*second),
                format!("{} is reached from leads {}", exam.couplet_name(id), list(&names, 4)),
            )
            .why("In an indented key it can stand under one of them only.")
            .remedy("Key its taxa out twice, or print the key with numbers.")
            .related(exam.outcome_place(*first), "leads there first")
            .related(exam.place(id), "the couplet"),
        );
    }
}
