//! The stage of a gathering as collectors write it: what the plant bore, and so what it lacked.

/// What a plant bore when it was gathered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Borne {
    pub flowers: bool,
    pub buds: bool,
    pub fruits: bool,
}

/// The beginnings of words, lower case, in English, German and French, with the usual
/// abbreviations of labels (fl., fr., ster., veg.: common practice), and what each says.
const WORDS: &[(&str, Borne)] = &[
    ("flower", FLOWERS),
    ("flwr", FLOWERS),
    ("bloom", FLOWERS),
    ("blossom", FLOWERS),
    ("anthesis", FLOWERS),
    ("blüh", FLOWERS),
    ("blüt", FLOWERS),
    ("fleur", FLOWERS),
    ("florai", FLOWERS),
    ("fruit", FRUITS),
    ("frucht", FRUITS),
    ("frücht", FRUITS),
    ("fructif", FRUITS),
    ("seed", FRUITS),
    ("reif", FRUITS),
    ("unreif", FRUITS),
    ("ripe", FRUITS),
    ("unripe", FRUITS),
    ("mûr", FRUITS),
    ("bud", BUDS),
    ("knosp", BUDS),
    ("bouton", BUDS),
    ("vegetat", NOTHING),
    ("végétat", NOTHING),
    ("steril", NOTHING),
    ("stéril", NOTHING),
    ("seedling", NOTHING),
    ("keimling", NOTHING),
    ("plantule", NOTHING),
    ("leaf", NOTHING),
];

/// Whole words only, without their full stop.
const SHORT: &[(&str, Borne)] = &[
    ("bl", FLOWERS),
    ("fl", FLOWERS),
    ("fls", FLOWERS),
    ("fr", FRUITS),
    ("frs", FRUITS),
    ("ster", NOTHING),
    ("veg", NOTHING),
];

const NOTHING: Borne = Borne { flowers: false, buds: false, fruits: false };
const FLOWERS: Borne = Borne { flowers: true, ..NOTHING };
const BUDS: Borne = Borne { buds: true, ..NOTHING };
const FRUITS: Borne = Borne { fruits: true, ..NOTHING };

/// What a stage says, each of its texts such as `flowering`, `in flower and young fruit`, `fl.`;
/// `None` where one of them is not understood, or nothing was noted: then nothing is known to lack.
pub fn borne(stage: &[String]) -> Option<Borne> {
    let mut all = stage.iter().map(|text| one(text));
    let first = all.next()??;
    all.try_fold(first, |a, b| Some(or(a, b?)))
}

fn one(text: &str) -> Option<Borne> {
    let low = text.to_lowercase();
    let words = low.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    // Of "seedling" and "seed" the longer says it.
    let says = |word: &str| {
        let short = SHORT.iter().find(|(w, _)| *w == word);
        let begins = WORDS.iter().filter(|(w, _)| word.starts_with(w));
        short.or(begins.max_by_key(|(w, _)| w.len())).map(|(_, borne)| *borne)
    };
    words.filter_map(says).reduce(or)
}

fn or(a: Borne, b: Borne) -> Borne {
    Borne { flowers: a.flowers || b.flowers, buds: a.buds || b.buds, fruits: a.fruits || b.fruits }
}

/// Why a stage says nothing to the program, for whoever just typed it; `None` where it does.
pub fn unclear(stage: &[String]) -> Option<String> {
    let text = stage.iter().find(|text| one(text).is_none())?;
    Some(format!(
        "the stage \"{text}\" is kept, but says nothing here of flowers or fruits; understood are \
         vegetative, budding, flowering, fruiting"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(texts: &[&str]) -> Option<Borne> {
        borne(&texts.iter().map(|t| t.to_string()).collect::<Vec<_>>())
    }

    #[test]
    fn what_collectors_write() {
        assert_eq!(read(&["flowering"]), Some(FLOWERS));
        assert_eq!(read(&["fl.", "fr."]), Some(or(FLOWERS, FRUITS)));
        assert_eq!(read(&["in flower and young fruit"]), Some(or(FLOWERS, FRUITS)));
        assert_eq!(read(&["blühend"]), Some(FLOWERS));
        assert_eq!(read(&["en fleurs"]), Some(FLOWERS));
        assert_eq!(read(&["in bud"]), Some(BUDS));
        assert_eq!(read(&["seedling"]), Some(NOTHING));
        assert_eq!(read(&["in seed"]), Some(FRUITS));
        assert_eq!(read(&["sterile"]), Some(NOTHING));
        assert_eq!(read(&["bl.", "reif"]), Some(or(FLOWERS, FRUITS)));
        assert_eq!(read(&["fruits mûrs"]), Some(FRUITS));
        assert_eq!(read(&["veg."]), Some(NOTHING));
    }

    #[test]
    fn what_is_not_understood_says_nothing_of_what_was_missing() {
        assert_eq!(read(&[]), None);
        assert_eq!(read(&["fruting"]), None);
        assert_eq!(read(&["flowering", "zzz"]), None);
        assert!(unclear(&["fruting".to_string()]).is_some_and(|w| w.contains("\"fruting\"")));
        assert_eq!(unclear(&["flowering".to_string()]), None);
    }
}
