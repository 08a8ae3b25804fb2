//! Typed observations: the key's sentences, parts of them, and what could not be read.

use hilum::sift::{Doubt, Observation, Seen, Unread, suggest, words};

use super::Desk;

const KEY: &str = "\
Key to a few weeds
conditions

charred    burnt through, black

characters

petals: Petals _
  states    present, none
  part      flower

petal colour: Petals _
  states    red, pale red, orange, yellow, blue, white
  includes  red: pale red
  applies   where petals present
  part      flower
  pressed   red looks purple or red; blue looks blue or white

leaf hairs: Leaves _ beneath
  steps     glabrous, sparsely hairy, densely hairy
  includes  hairy: sparsely hairy, densely hairy
  also      glabrous: hairless, without hairs
  part      leaf

leaf position: Leaves _
  states    alternate, opposite
  part      leaf

blade length: Leaf blade _ long
  measure   mm
  part      leaf
  pressed   0.80 to 1.00

blade width: Leaf blade _ wide
  measure   mm
  part      leaf

latex: Sap _
  states    clear, milky, orange
  part      stem
  pressed   cannot be seen

stamens: Stamens _
  measure   count
  many      more than 12
  part      flower

sepals and petals: Sepals _ petals
  compare   length
  part      flower

key

1a  Petals present ..... Papaver rhoeas
1b  Petals none ..... Galium aparine
";

/// Each observation as `character = value`, with condition and doubt where they are not the usual.
fn said(desk: &Desk, text: &str) -> Vec<String> {
    let show = |o: &Observation| {
        let c = desk.key.character(o.character);
        let value = words::seen(c, &o.seen, desk.key.heading.language);
        let mut out = format!("{} = {value}", c.name);
        if o.condition.0 != 0 {
            out += &format!(" [{}]", desk.key.condition(o.condition).name);
        }
        if o.doubt != Doubt::Sure {
            out += &format!(" {:?}", o.doubt);
        }
        out
    };
    match desk.try_read(text) {
        Ok(all) => all.iter().map(show).collect(),
        Err(e) => vec![format!("UNREAD {e}")],
    }
}

#[test]
fn whole_sentences_and_parts_of_them() {
    let desk = Desk::sound(KEY);
    let is = |text: &str, wanted: &[&str]| assert_eq!(said(&desk, text), wanted, "{text}");
    is("Petals red", &["petal colour = red or pale red"]);
    is("petals red or orange", &["petal colour = red, pale red or orange"]);
    is("petals pale red", &["petal colour = pale red"]);
    is("petals not present", &["petals = none"]);
    is("leaves hairy beneath", &["leaf hairs = sparsely hairy or densely hairy"]);
    is("leaves hairy", &["leaf hairs = sparsely hairy or densely hairy"]);
    is("hairless beneath", &["leaf hairs = glabrous"]);
    is("leaves sparsely hairy to densely hairy", &["leaf hairs = sparsely hairy or densely hairy"]);
    is("milky", &["latex = milky"]);
    is("not milky", &["latex = clear or orange"]);
    is("sap not milky", &["latex = clear or orange"]);
    is("latex: milky", &["latex = milky"]);
    is("opposite", &["leaf position = opposite"]);
    is("leaf alternate", &["leaf position = alternate"]);
}

#[test]
fn what_cannot_be_told_or_is_not_there() {
    let desk = Desk::sound(KEY);
    let is = |text: &str, wanted: &[&str]| assert_eq!(said(&desk, text), wanted, "{text}");
    is("sap: cannot tell", &["latex = cannot tell"]);
    is("latex not seen", &["latex = cannot tell"]);
    is("stamens: not here", &["stamens = not on this specimen"]);
    is("stamens not on this specimen", &["stamens = not on this specimen"]);
    is(
        "flower: not here",
        &[
            "petals = not on this specimen",
            "petal colour = not on this specimen",
            "stamens = not on this specimen",
            "sepals and petals = not on this specimen",
        ],
    );
    is("petal colour: does not apply", &["petal colour = does not apply"]);
    assert!(matches!(
        desk.try_read("latex: does not apply"),
        Err(Unread::AlwaysApplies { character }) if character == "latex"
    ));
}

#[test]
fn conditions_doubt_and_several_at_once() {
    let desk = Desk::sound(KEY);
    let is = |text: &str, wanted: &[&str]| assert_eq!(said(&desk, text), wanted, "{text}");
    is("pressed: petals purple", &["petal colour = purple [pressed]"]);
    is("petals purple (pressed)", &["petal colour = purple [pressed]"]);
    is("petals red?", &["petal colour = red or pale red Some"]);
    is("petals perhaps red", &["petal colour = red or pale red Much"]);
    is("petals probably white", &["petal colour = white Some"]);
    is("petals red; sap milky", &["petal colour = red or pale red", "latex = milky"]);
    // Both were seen.
    is("petals blue, rarely white", &["petal colour = blue", "petal colour = white"]);
    is("petals yellow, white", &["petal colour = yellow", "petal colour = white"]);
}

#[test]
fn numbers_are_read_to_the_last_digit_written() {
    let desk = Desk::sound(KEY);
    let is = |text: &str, wanted: &[&str]| assert_eq!(said(&desk, text), wanted, "{text}");
    // FORMAT.md, What a value means: `34 mm` observed is 33.5 to 34.5.
    is("Leaf blade 34 mm long", &["blade length = 33.5–34.5 mm"]);
    is("leaf blade 34 mm", &["blade length = 33.5–34.5 mm"]);
    is("blade 34 mm", &["blade length = 33.5–34.5 mm"]);
    is("blade length: 34 mm", &["blade length = 33.5–34.5 mm"]);
    is("blade 34.0 mm", &["blade length = 33.95–34.05 mm"]);
    is("blade 3.4 cm", &["blade length = 33.5–34.5 mm"]);
    is("blade 3 cm", &["blade length = 25–35 mm"]);
    is("blade 12 mm wide", &["blade width = 11.5–12.5 mm"]);
    // Both ends of a range were measured, and so was each of several.
    is("leaf blade 3-5 cm", &["blade length = 25–35 mm, 45–55 mm"]);
    is("blade length: 34, 36, 41 mm", &["blade length = 33.5–34.5 mm, 35.5–36.5 mm, 40.5–41.5 mm"]);
    is("blade 34 or 36 mm", &["blade length = 33.5–34.5 mm or 35.5–36.5 mm"]);
    is("blade up to 5 cm", &["blade length = up to 50 mm"]);
    is("blade ca. 30 mm", &["blade length = 24–36 mm"]);
    // Counts are exact.
    is("stamens 5", &["stamens = 5"]);
    is("stamens 4 or 5", &["stamens = 4 or 5"]);
    is("stamens 5-7", &["stamens = 5, 7"]);
    is("stamens more than 12", &["stamens = at least 13"]);
    is("stamens many", &["stamens = at least 13"]);
    is("stamens: cannot tell", &["stamens = cannot tell"]);
    is("sepals longer than petals", &["sepals and petals = more than 1"]);
    is("sepals twice as long as petals", &["sepals and petals = 2"]);
    // What is compared need not be said again.
    is("sepals 2 times petals", &["sepals and petals = 2"]);
    is("sepals 2 × petals", &["sepals and petals = 2"]);
    let meant = |text| match desk.try_read(text) {
        Err(Unread::Nothing { meant, .. }) => meant,
        other => panic!("{text}: {other:?}"),
    };
    let whole = meant("sepals 2 so long");
    assert!(whole.contains(&"Sepals 2 times as long as petals".to_string()), "{whole:?}");
    assert!(matches!(
        desk.try_read("blade 34"),
        Err(Unread::UnitMissing { unit, .. }) if unit == "mm"
    ));
    assert!(matches!(desk.try_read("34 mm"), Err(Unread::Ambiguous { .. })));
    assert!(desk.try_read("stamens 5 mm").is_err());
    assert!(desk.try_read("blade 34 kg").is_err());
}

#[test]
fn what_is_not_read_is_not_guessed() {
    let desk = Desk::sound(KEY);
    let no = |text: &str| match desk.try_read(text) {
        Ok(o) => panic!("`{text}` was read as {o:?}"),
        Err(e) => e,
    };
    assert_eq!(no(""), Unread::Empty);
    assert_eq!(no(" ; ?"), Unread::Empty);
    let Unread::Nothing { meant, .. } = no("petals yelow") else { panic!() };
    assert_eq!(meant, ["Petals yellow"]);
    let Unread::NoSuchState { character, meant, .. } = no("petal colour: yelow") else { panic!() };
    assert_eq!((character.as_str(), meant), ("petal colour", vec!["yellow".to_string()]));
    assert!(matches!(no("orange"), Unread::Ambiguous { choices, .. } if choices.len() == 2));
    assert!(matches!(no("petals hairy when young"), Unread::Nothing { .. }));
    // Purple is only what red petals look like when they are pressed.
    assert!(
        matches!(no("petals purple"), Unread::OnlyALook { conditions, .. } if conditions == ["pressed"])
    );
    assert!(matches!(no(&"red ".repeat(5000)), Unread::Nothing { .. }));
    for strange in ["_", ":", "((((", "petals \u{202e}der", "1e400 mm", "?;?", "not", "or or or"] {
        assert!(desk.try_read(strange).is_err(), "{strange}");
    }
}

#[test]
fn suggestions_go_on_with_what_was_typed() {
    let desk = Desk::sound(KEY);
    let texts = |typed: &str| -> Vec<String> {
        suggest(&desk.key, desk.key.heading.language, typed).into_iter().map(|c| c.text).collect()
    };
    assert_eq!(texts("petals r"), ["Petals red"]);
    assert_eq!(
        texts("petals "),
        [
            "Petals present",
            "Petals none",
            "Petals red",
            "Petals pale red",
            "Petals orange",
            "Petals yellow",
            "Petals blue",
            "Petals white"
        ]
    );
    assert_eq!(texts("leaves d"), ["Leaves densely hairy beneath"]);
    assert_eq!(texts("bla"), ["Leaf blade "]);
    assert_eq!(texts("sap clear; petals bl"), ["sap clear; Petals blue"]);
    assert_eq!(texts("milk"), ["Sap milky"]);
    // Every finished suggestion is an observation that reads.
    for typed in ["petals ", "leaves ", "sap ", "p", ""] {
        for text in texts(typed) {
            if !text.ends_with(' ') {
                assert!(desk.try_read(&text).is_ok(), "{text}");
            }
        }
    }
    assert!(matches!(desk.read("sap milky")[0].seen, Seen::States(_)));
}
