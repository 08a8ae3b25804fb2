//! French: the third table, kept to prove that a language is one file.

use std::borrow::Cow;

use super::{Comparing, Dimension, Language};
use crate::text::frequency::Frequency as F;
use crate::text::tree::SectionKind as S;

pub(super) static FRENCH: Language = Language {
    code: "fr",
    name: "français",
    sections: &[
        ("états", S::Conditions),
        ("caractères", S::Characters),
        ("clé", S::Key),
        ("clef", S::Key),
        ("taxons", S::Taxa),
        ("glossaire", S::Glossary),
    ],
    key_to: &["clé des", "clé de", "clé du", "clef des", "clef de", "clef du"],
    at: &["à"],
    in_file: &["dans"],
    stop: &["arrêt", "fin"],
    go_to: &["aller à", "voir", "passer à", "->", "→"],
    or: &["ou"],
    and: &["et"],
    to: &["à"],
    not: &["pas", "non"],
    binding: &["ou", "et", "mais", "sauf", "excepté", "à", "si"],
    unstressed: &["le", "la", "les", "un", "une", "des", "est", "sont"],
    frequency: &[
        ("très rarement", F::VeryRarely),
        ("rarement", F::Rarely),
        ("exceptionnellement", F::VeryRarely),
        ("peut-être", F::Perhaps),
        ("occasionnellement", F::Occasionally),
        ("parfois", F::Sometimes),
        ("quelquefois", F::Sometimes),
        ("souvent", F::Often),
        ("fréquemment", F::Often),
        ("probablement", F::Probably),
        ("généralement", F::Usually),
        ("habituellement", F::Usually),
        ("ordinairement", F::Usually),
        ("presque toujours", F::AlmostAlways),
    ],
    cannot_tell: &["inconnu", "non vu", "incertain"],
    about: &["ca.", "env.", "environ", "±"],
    at_most: &["jusqu'à", "jusqu’à", "au plus"],
    less_than: &["moins de", "<"],
    at_least: &["au moins"],
    more_than: &["plus de", ">"],
    or_more: &["ou plus", "et plus"],
    or_less: &["ou moins", "et moins"],
    numbers: &[
        ("deux", 2),
        ("trois", 3),
        ("quatre", 4),
        ("cinq", 5),
        ("six", 6),
        ("sept", 7),
        ("huit", 8),
        ("neuf", 9),
        ("dix", 10),
    ],
    many: &["nombreux", "nombreuses"],
    long: &["de long"],
    wide: &["de large"],
    compare: Comparing {
        dimensions: &[
            Dimension {
                name: "length",
                plain: &["longs", "longues", "long", "longue"],
                more: &["plus longs", "plus longues", "plus long", "plus longue"],
                less: &["plus courts", "plus courtes", "plus court", "plus courte"],
            },
            Dimension {
                name: "width",
                plain: &["larges", "large"],
                more: &["plus larges", "plus large"],
                less: &["plus étroits", "plus étroites", "plus étroit", "plus étroite"],
            },
        ],
        as_before: &["aussi"],
        as_after: &["que"],
        than: &["que"],
        times: &["fois", "×"],
        factors: &[("deux fois", 2, 1), ("trois fois", 3, 1)],
    },
    cannot_be_seen: &["invisible", "ne se voit pas", "perdu"],
    looks: &["paraît", "paraissent", "devient", "deviennent"],
    not_here: &["absent de l'échantillon", "pas sur l'échantillon", "manque à l'échantillon"],
    does_not_apply: &["sans objet", "ne s'applique pas"],
    where_: &["où", "si", "quand"],
    abbreviations: &["ca", "cf", "var", "subsp", "ssp", "f", "fig", "env", "sp", "spp", "p"],
    singular,
    months: [
        &["janvier", "janv"],
        &["février", "févr"],
        &["mars"],
        &["avril", "avr"],
        &["mai"],
        &["juin"],
        &["juillet", "juil"],
        &["août"],
        &["septembre", "sept"],
        &["octobre", "oct"],
        &["novembre", "nov"],
        &["décembre", "déc"],
    ],
    abundance: &[
        ("très commun", 2.0),
        ("commun", 1.0),
        ("fréquent", 0.7),
        ("assez rare", 0.2),
        ("très rare", 0.02),
        ("rare", 0.05),
    ],
};

/// Regular plurals in s and x of words of four letters or more.
fn singular(word: &str) -> Cow<'_, str> {
    let kept = word.chars().count() < 5 || word.ends_with("ss") || word.ends_with("us");
    match word.strip_suffix('s') {
        Some(stem) if !kept => Cow::Borrowed(stem),
        _ => Cow::Borrowed(word),
    }
}
