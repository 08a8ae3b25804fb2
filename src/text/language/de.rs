//! German.

use std::borrow::Cow;

use super::{Comparing, Dimension, Language};
use crate::text::frequency::Frequency as F;
use crate::text::tree::SectionKind as S;

pub(super) static GERMAN: Language = Language {
    code: "de",
    name: "Deutsch",
    sections: &[
        ("zustände", S::Conditions),
        ("merkmale", S::Characters),
        ("schlüssel", S::Key),
        ("bestimmungsschlüssel", S::Key),
        ("arten", S::Taxa),
        ("sippen", S::Taxa),
        ("taxa", S::Taxa),
        ("begriffe", S::Glossary),
        ("glossar", S::Glossary),
    ],
    key_to: &["schlüssel zu", "schlüssel zur", "schlüssel zum", "schlüssel der", "schlüssel für"],
    at: &["bei"],
    in_file: &["in"],
    stop: &["halt", "ende"],
    go_to: &["weiter bei", "weiter mit", "weiter zu", "gehe zu", "siehe", "s.", "zu", "->", "→"],
    or: &["oder"],
    and: &["und"],
    to: &["bis"],
    not: &["nicht"],
    binding: &["oder", "und", "aber", "außer", "ausser", "bis", "wenn", "falls", "sofern"],
    unstressed: &["der", "die", "das", "den", "dem", "ein", "eine", "einen", "ist", "sind"],
    frequency: &[
        ("äußerst selten", F::ExtremelyRarely),
        ("sehr selten", F::VeryRarely),
        ("selten", F::Rarely),
        ("ausnahmsweise", F::VeryRarely),
        ("vielleicht", F::Perhaps),
        ("gelegentlich", F::Occasionally),
        ("bisweilen", F::Sometimes),
        ("manchmal", F::Sometimes),
        ("zuweilen", F::Sometimes),
        ("oft", F::Often),
        ("häufig", F::Often),
        ("wahrscheinlich", F::Probably),
        ("meist", F::Usually),
        ("meistens", F::Usually),
        ("gewöhnlich", F::Usually),
        ("in der regel", F::Usually),
        ("fast immer", F::AlmostAlways),
        ("fälschlich", F::ByMisinterpretation),
    ],
    cannot_tell: &["unklar", "unbekannt", "nicht gesehen", "nicht zu sagen"],
    about: &["ca.", "ca", "etwa", "ungefähr", "rund", "±"],
    at_most: &["bis", "bis zu", "höchstens", "nicht über", "maximal"],
    less_than: &["weniger als", "unter", "kürzer als", "kleiner als", "<"],
    at_least: &["mindestens", "wenigstens", "ab"],
    more_than: &["mehr als", "über", "länger als", "größer als", ">"],
    or_more: &["oder mehr", "und mehr", "und darüber"],
    or_less: &["oder weniger", "und weniger"],
    numbers: &[
        ("eins", 1),
        ("zwei", 2),
        ("drei", 3),
        ("vier", 4),
        ("fünf", 5),
        ("sechs", 6),
        ("sieben", 7),
        ("acht", 8),
        ("neun", 9),
        ("zehn", 10),
        ("elf", 11),
        ("zwölf", 12),
    ],
    many: &["viele", "zahlreich", "zahlreiche"],
    long: &["lang"],
    wide: &["breit"],
    compare: Comparing {
        dimensions: &[
            Dimension { name: "length", plain: &["lang"], more: &["länger"], less: &["kürzer"] },
            Dimension {
                name: "width",
                plain: &["breit"],
                more: &["breiter"],
                less: &["schmaler", "schmäler"],
            },
            Dimension { name: "height", plain: &["hoch"], more: &["höher"], less: &["niedriger"] },
            Dimension {
                name: "thickness", plain: &["dick"], more: &["dicker"], less: &["dünner"]
            },
            Dimension { name: "size", plain: &["groß"], more: &["größer"], less: &["kleiner"] },
            Dimension { name: "number", plain: &["viele"], more: &["mehr"], less: &["weniger"] },
        ],
        as_before: &["so", "ebenso", "genauso"],
        as_after: &["wie"],
        than: &["als"],
        times: &["mal", "×", "x"],
        factors: &[
            ("halb", 1, 2),
            ("doppelt", 2, 1),
            ("zweimal", 2, 1),
            ("dreimal", 3, 1),
            ("viermal", 4, 1),
        ],
    },
    cannot_be_seen: &["nicht zu sehen", "nicht erkennbar", "verloren"],
    looks: &["erscheint", "erscheinen", "wirkt", "wird", "werden"],
    where_: &["wo", "wenn", "falls"],
    abbreviations: &[
        "ca", "cf", "var", "subsp", "ssp", "f", "abb", "aff", "sp", "spp", "z.b", "d.h", "bzw",
        "s", "vgl", "u", "ausn", "incl", "inkl",
    ],
    singular,
    months: [
        &["januar", "jan", "jänner"],
        &["februar", "feb"],
        &["märz", "mär"],
        &["april", "apr"],
        &["mai"],
        &["juni", "jun"],
        &["juli", "jul"],
        &["august", "aug"],
        &["september", "sept", "sep"],
        &["oktober", "okt"],
        &["november", "nov"],
        &["dezember", "dez"],
    ],
    abundance: &[
        ("sehr häufig", 2.0),
        ("häufig", 1.0),
        ("verbreitet", 0.7),
        ("zerstreut", 0.3),
        ("sehr selten", 0.02),
        ("selten", 0.05),
    ],
};

/// German plurals do not fold by rule without misreadings, so a German key declares the spellings
/// that it uses (`also`).
fn singular(word: &str) -> Cow<'_, str> {
    Cow::Borrowed(word)
}
