//! Which part of a plant a statement needs, in classes that collectors think in.

use crate::key::{Character, Key, Part};
use crate::text::language::fold;

/// A part of the plant, or a season's worth of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Organ {
    Leaf,
    Flower,
    /// Fruit or seed.
    Fruit,
    Stem,
    Root,
    /// The whole plant, or a part whose word is not known.
    Plant,
}

use Organ::{Flower, Fruit, Leaf, Plant, Root, Stem};

/// Words for parts in the languages of keys, singular, lower case.
const WORDS: &[(Organ, &[&str])] = &[
    (
        Leaf,
        &[
            "leaf",
            "blade",
            "leaflet",
            "stipule",
            "ligule",
            "auricle",
            "petiole",
            "needle",
            "frond",
            "leaf base",
            "vein",
            "foliage",
            "blatt",
            "blattspreite",
            "blattrand",
            "nebenblatt",
            "nadel",
            "feuille",
            "limbe",
            "foliole",
            "stipule",
            "aiguille",
        ],
    ),
    (
        Flower,
        &[
            "flower",
            "inflorescence",
            "petal",
            "sepal",
            "corolla",
            "calyx",
            "stamen",
            "anther",
            "filament",
            "ovary",
            "style",
            "stigma",
            "spikelet",
            "glume",
            "lemma",
            "floret",
            "awn",
            "bract",
            "bracteole",
            "pollen",
            "receptacle",
            "head",
            "umbel",
            "raceme",
            "perianth",
            "tepal",
            "catkin",
            "blüte",
            "blütenstand",
            "kelch",
            "krone",
            "blütenblatt",
            "kelchblatt",
            "staubblatt",
            "fruchtknoten",
            "griffel",
            "ährchen",
            "narbe",
            "fleur",
            "inflorescence",
            "pétale",
            "sépale",
            "corolle",
            "calice",
            "étamine",
            "ovaire",
        ],
    ),
    (
        Fruit,
        &[
            "fruit",
            "seed",
            "capsule",
            "nutlet",
            "achene",
            "pod",
            "berry",
            "cone",
            "pappus",
            "siliqua",
            "silicula",
            "grain",
            "mericarp",
            "hilum",
            "husk",
            "testa",
            "nut",
            "kernel",
            "frucht",
            "same",
            "samen",
            "kapsel",
            "schote",
            "nüsschen",
            "beere",
            "zapfen",
            "graine",
            "akène",
            "gousse",
            "baie",
            "cône",
        ],
    ),
    (
        Stem,
        &[
            "stem", "twig", "bark", "bud", "branch", "trunk", "shoot", "culm", "tendril",
            "prickle", "sap", "latex", "wood", "pith", "stängel", "stengel", "zweig", "rinde",
            "knospe", "halm", "spross", "tige", "rameau", "écorce", "bourgeon", "chaume",
        ],
    ),
    (
        Root,
        &[
            "root",
            "base",
            "rhizome",
            "bulb",
            "tuber",
            "runner",
            "stolon",
            "wurzel",
            "zwiebel",
            "knolle",
            "ausläufer",
            "racine",
            "bulbe",
            "stolon",
        ],
    ),
];

/// The class of a part's word: of the whole, else of its first word that is known.
pub fn organ_of(words: &str) -> Option<Organ> {
    let low = fold(words);
    let known = |word: &str| {
        let of = |(organ, list): &(Organ, &[&str])| list.contains(&word).then_some(*organ);
        WORDS.iter().find_map(of)
    };
    known(&low).or_else(|| {
        low.split(|c: char| !c.is_alphanumeric()).find_map(|word| {
            known(word)
                .or_else(|| known(word.strip_suffix('s')?))
                .or_else(|| (word == "leaves").then_some(Leaf))
        })
    })
}

/// The class of each character's part: what its `part` says, else the first words of its sentence.
pub fn organs(key: &Key) -> Vec<Organ> {
    let of = |c: &Character| match &c.part {
        Some(part) => organ_of(part),
        None => organ_of(c.sentence.split('_').next().unwrap_or("")),
    };
    let known: Vec<Option<Organ>> = key.characters.iter().map(of).collect();
    let mut classes: Vec<Organ> = known.iter().flatten().copied().collect();
    classes.sort_unstable();
    classes.dedup();
    // In a key to seeds whatever is not named otherwise is seen on a seed.
    let rest = if let [one] = classes.as_slice() { *one } else { Plant };
    known.into_iter().map(|o| o.unwrap_or(rest)).collect()
}

/// The class of what an unread part of a lead speaks of: that of its first known word.
pub fn organ_of_prose(key: &Key, part: &Part) -> Organ {
    let span = part.prose.unwrap_or(part.span);
    let words = fold(key.source.slice(span));
    let first: Vec<&str> = words.split(' ').take(6).collect();
    organ_of(&first.join(" ")).unwrap_or(Plant)
}
