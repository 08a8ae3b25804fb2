//! The reading rules of the format, one test a rule: what is read, and what stays prose.

use hilum::key::statement::{Extent, Value};
use hilum::key::{Key, Statement};
use hilum::text::language::Language;
use hilum::text::source::Source;

const CHARACTERS: &str = "\
Key to a bench of plants

characters

arrangement: Leaves _
  states    alternate, opposite, whorled, all basal, at or near the middle

division: Leaves _
  states    simple, compound

margin: Leaves _
  states    entire, toothed, serrate, crenate
  includes  toothed: serrate, crenate

hairs beneath: Leaves _ beneath
  steps     glabrous, sparsely hairy, densely hairy, felted
  includes  hairy: sparsely hairy, densely hairy, felted
  also      glabrous: hairless, without hairs

blade: Leaf blade _ long
  measure   mm

blade width: Leaf blade _ wide
  measure   mm

petals: Petals _
  states    present, none

petal colour: Petals _
  states    red, pale red, orange, yellow, white, pink
  includes  red: pale red
  applies   where petals present

sap: Sap _
  states    clear, milky, orange

stamens: Stamens _
  measure   count
  many      more than 12

sepals and petals: Sepals _ petals
  compare   length

style: Style _-lobed
  measure   count

teeth: Leaf points _
  states    bristle-tipped, blunt

key

";

fn key_of(body: &str) -> Key {
    let text = format!("{CHARACTERS}1a  {body} ..... Aus bus\n1b  Something else ..... Cus dus\n");
    Key::read(Source::new("bench.key", text))
}

/// Every statement of the first lead in words, `~` before what is left as prose.
fn read(body: &str) -> String {
    let key = key_of(body);
    let lead = &key.couplets[0].leads[0];
    let mut out = Vec::new();
    for part in &lead.parts {
        for s in &part.statements {
            out.push(format!("{}={}", key.character(s.character).name, shown(&key, s)));
        }
        if let Some(prose) = part.prose {
            out.push(format!("~{}", key.source.slice(prose)));
        }
    }
    out.join(" | ")
}

fn shown(key: &Key, s: &Statement) -> String {
    key.character(s.character).value_in_words(&s.value, Language::english())
}

/// The states that a statement accepts, in order.
fn accepts(body: &str) -> Vec<String> {
    let key = key_of(body);
    let statement =
        key.couplets[0].leads[0].statements().next().expect("something is read").clone();
    let c = key.character(statement.character);
    let set = statement.value.accepts().expect("states");
    set.iter().map(|s| c.states()[s.0 as usize].word.clone()).collect()
}

#[test]
fn rule_1_a_gap_is_filled_whole_or_not_at_all() {
    assert_eq!(read("Leaves hairy when young"), "~Leaves hairy when young");
    assert_eq!(
        read("Leaves hairy beneath"),
        "hairs beneath=sparsely hairy, densely hairy or felted"
    );
    assert_eq!(read("Leaf blade 30 mm long"), "blade=30 mm");
    assert_eq!(read("Leaf blade 30 mm wide"), "blade width=30 mm");
}

#[test]
fn rule_2_the_longest_declared_words_beat_or_to_not_all_and_the_comma() {
    assert_eq!(read("Leaves at or near the middle"), "arrangement=at or near the middle");
    assert_eq!(read("Leaves all basal"), "arrangement=all basal");
    assert_eq!(accepts("Petals pale red"), ["pale red"]);
}

#[test]
fn rule_3_a_bare_comma_between_two_states_is_not_or() {
    let key = key_of("Petals red, white");
    assert_eq!(key.couplets[0].leads[0].statements().count(), 2);
    assert!(key.findings.iter().any(|f| f.rule == "two-states-at-once"), "{:?}", key.findings);
    // Not a bare comma: the list ends in "or".
    assert_eq!(read("Petals red, orange or yellow"), "petal colour=red or orange or yellow");
}

#[test]
fn rule_4_reading_stops_for_good_at_the_first_item_that_cannot_be_read() {
    assert_eq!(
        read("Leaves alternate, borne on short shoots, entire"),
        "arrangement=alternate | ~borne on short shoots, entire"
    );
    // What the rest begins with draws the item before it in.
    assert_eq!(
        read("Leaves entire, except for a bristle at the tip"),
        "~Leaves entire, except for a bristle at the tip"
    );
    assert_eq!(
        read("Leaves alternate, entire, but soon falling"),
        "arrangement=alternate | ~entire, but soon falling"
    );
}

#[test]
fn rule_5_or_across_characters_is_prose_and_is_read() {
    assert_eq!(read("Leaves opposite or toothed"), "~Leaves opposite or toothed");
    assert_eq!(read("Leaves opposite and toothed"), "arrangement=opposite | margin=toothed");
}

#[test]
fn rule_6_a_comma_carries_the_opening_or_the_item_brings_its_own() {
    assert_eq!(
        read("Leaves alternate, simple, entire or toothed"),
        "arrangement=alternate | division=simple | margin=entire or toothed"
    );
    assert_eq!(
        read("Leaves toothed, the leaf points bristle-tipped"),
        "margin=toothed | teeth=bristle-tipped"
    );
    assert_eq!(read("Leaf blade 30 mm long, 20 mm wide"), "blade=30 mm | blade width=20 mm");
}

#[test]
fn rule_7_not_takes_away_and_never_adds() {
    assert_eq!(accepts("Sap not milky"), ["clear", "orange"]);
    assert_eq!(accepts("Petals red, not pale red"), ["red"]);
    assert_eq!(read("Sap without colour"), "~Sap without colour");
}

#[test]
fn rule_8_collisions_are_errors_of_the_declarations() {
    let text = "A key\n\ncharacters\n\none: Leaves _\n  states  round, long\n\ntwo: Leaves _\n  states  flat, round\n";
    let key = Key::read(Source::new("c.key", text));
    let found: Vec<_> = key.findings.iter().filter(|f| f.rule == "colliding-sentences").collect();
    assert_eq!(found.len(), 1, "one error, at both: {:?}", key.findings);
    assert_eq!(found[0].related.len(), 1);
}

#[test]
fn rule_9_a_number_without_a_unit_borrows_the_next_ones() {
    assert_eq!(read("Leaf blade 3-5(-7), rarely 9 cm long"), "blade=30–50(–70), rarely 90 mm");
}

#[test]
fn rule_10_comparisons_are_ratios() {
    let ratio = |body: &str| match key_of(body).couplets[0].leads[0]
        .statements()
        .next()
        .map(|s| s.value.clone())
    {
        Some(Value::Number(a)) => a.extents[0].usual,
        other => panic!("{body}: {other:?}"),
    };
    let longer = ratio("Sepals longer than petals").low.expect("a low limit");
    assert_eq!((longer.value.to_string().as_str(), longer.open), ("1", true));
    let half = ratio("Sepals about half as long as petals");
    assert_eq!(half.low.expect("low").value.to_string(), "0.5");
    let times = ratio("Sepals 2-3 times as long as petals");
    assert_eq!(times.high.expect("high").value.to_string(), "3");
}

#[test]
fn rule_11_a_general_word_accepts_the_particular() {
    assert_eq!(accepts("Leaves toothed"), ["toothed", "serrate", "crenate"]);
    assert_eq!(accepts("Leaves serrate"), ["serrate"]);
    assert_eq!(accepts("Petals red"), ["red", "pale red"]);
}

#[test]
fn rule_12_only_steps_include_what_lies_between() {
    assert_eq!(
        accepts("Leaves glabrous to densely hairy beneath"),
        ["glabrous", "sparsely hairy", "densely hairy"]
    );
    assert_eq!(accepts("Petals pink to red"), ["red", "pale red", "pink"]);
}

#[test]
fn rule_13_also_gives_a_state_a_second_word() {
    assert_eq!(accepts("Leaves without hairs beneath"), ["glabrous"]);
}

#[test]
fn rule_15_applies_is_a_statement_of_the_key() {
    let key = key_of("Petals red");
    let colour = key.characters.iter().find(|c| c.name == "petal colour").expect("declared");
    assert_eq!(colour.applies.len(), 1);
    assert_eq!(key.character(colour.applies[0].character).name, "petals");
}

#[test]
fn rule_16_words_of_frequency_reach_to_the_next_comma() {
    assert_eq!(read("Petals red, rarely white or pink"), "petal colour=red, rarely white or pink");
    assert_eq!(read("Stamens numerous"), "stamens=more than 12");
    assert_eq!(read("Sepals numerous"), "~Sepals numerous");
}

#[test]
fn rule_17_the_full_stop_parts_statements_but_not_after_abbreviations() {
    assert_eq!(
        read("Leaf blade ca. 30 mm long. Sap milky. Stamens 5"),
        "blade=ca. 30 mm | sap=milky | stamens=5"
    );
    assert_eq!(
        read("Like P. rhoeas var. alba; sap milky"),
        "~Like P. rhoeas var. alba | sap=milky"
    );
}

#[test]
fn abbreviations_of_the_declarations_end_no_statement() {
    let key = Key::read(Source::new(
        "t.key",
        "T\n\nmerkmale\n\nBreite: Blkr. _ br.\n  measure  mm\n\nschlüssel\n\n\
         1a  Blkr. 10-14 mm br.; Stengel holzig. Blkr. 3 mm br. .... Aa a\n\
         1b  Stengel krautig .... Bb b\n"
            .replacen("T\n", "T\n  language  de\n", 1),
    ));
    let parts = &key.couplets[0].leads[0].parts;
    let read: Vec<Extent> = parts.iter().map(|p| p.extent()).collect();
    assert_eq!(read, [Extent::Whole, Extent::Prose, Extent::Whole]);
}

#[test]
fn a_gap_joined_to_a_word_is_told() {
    let found = |sentence: &str, kind: &str| {
        let text = format!(
            "T\n\ncharacters\n\nc: {sentence}\n  {kind}\n\nkey\n\n1a  x .... Aa a\n1b  y .... Bb b\n"
        );
        let key = Key::read(Source::new("t.key", text));
        key.findings.iter().filter(|f| f.rule == "character-without-gap").count()
    };
    assert_eq!(found("Pods _seeded", "measure  count"), 1);
    assert_eq!(found("Leaves _-toothed", "states  sharp, blunt"), 1);
    assert_eq!(found("Corolla _-lobed", "measure  count"), 0);
    assert_eq!(found("Leaves _, beneath", "states  sharp, blunt"), 0);
}

#[test]
fn rule_18_case_articles_is_are_colons_and_plurals_are_not_compared() {
    assert_eq!(read("the Leaf is opposite"), "arrangement=opposite");
    assert_eq!(read("Petals: red"), "petal colour=red");
    assert_eq!(read("Style 3-5-lobed"), "style=3–5");
}

#[test]
fn rule_19_only_near_misses_are_told() {
    let rules = |body: &str| -> Vec<&str> {
        key_of(body).findings.iter().map(|f| f.rule).filter(|r| *r == "near-word").collect()
    };
    assert_eq!(rules("Leaves oposite"), ["near-word"]);
    assert_eq!(rules("Leaves pleasant to the touch"), [""; 0]);
}

#[test]
fn remarks_in_parentheses_are_never_compared() {
    assert_eq!(read("Leaves opposite (the lower ones whorled)"), "arrangement=opposite");
    assert_eq!(read("Stamens 5(or 10)"), "stamens=5(or 10)");
}

#[test]
fn two_dimensions_are_a_length_and_a_width() {
    assert_eq!(read("Leaf blade 3-6 × 1-2 cm"), "blade=30–60 mm | blade width=10–20 mm");
}

#[test]
fn a_lone_measure_means_length() {
    assert_eq!(read("Leaf blade 3-5 cm"), "blade=30–50 mm");
}

#[test]
fn what_was_read_is_counted() {
    let key = key_of("Leaves alternate; sap milky, tasting of soap; and more");
    let lead = &key.couplets[0].leads[0];
    let extents: Vec<Extent> = lead.parts.iter().map(|p| p.extent()).collect();
    assert_eq!(extents, [Extent::Whole, Extent::ToAPoint, Extent::Prose]);
    assert_eq!((key.share.whole, key.share.to_a_point, key.share.prose), (1, 1, 2));
}

#[test]
fn figures_of_which_it_is_not_sure_what_they_mean_are_told_and_not_read() {
    for (body, at) in [
        ("Leaf blade 3,5 cm long", "3,5"),
        ("Stamens 1/0", "1/0"),
        ("Leaf blade 3 mm to 5 % long", "3 mm to 5 %"),
        ("Sepals 2 times longer than petals", "2 times longer"),
    ] {
        let key = key_of(body);
        let told: Vec<_> = key.findings.iter().filter(|f| f.rule == "figure-not-sure").collect();
        assert_eq!(told.len(), 1, "{body}: {:?}", key.findings);
        let place = &key.source.text()[told[0].span.range()];
        assert!(at.contains(place) || place.contains(at), "{body}: `{place}`");
        assert_eq!(key.couplets[0].leads[0].statements().count(), 0, "{body}");
    }
    // Words that no sentence asks a figure of stay prose without a word.
    assert!(key_of("Plants with 1,000 seeds").findings.is_empty());
}

#[test]
fn a_misspelt_state_is_not_taken_for_words_about_the_character() {
    let page = |line: &str| {
        let text = CHARACTERS.to_string()
            + "1a  Leaves simple ..... Aus bus\n1b  Leaves compound ..... Aus cus\n";
        let text = text.replace(
            "  states    clear, milky, orange\n",
            &format!("  states    clear, milky, orange\n  means     {line}\n"),
        );
        Key::read(Source::new("t.key", text))
    };
    let rules = |key: &Key| key.findings.iter().map(|f| f.rule).collect::<Vec<_>>();
    assert_eq!(rules(&page("milkey: white as milk")), ["unknown-state"]);
    assert_eq!(rules(&page("milky: white as milk")), [""; 0]);
    assert_eq!(rules(&page("seen best in spring: break a stalk")), [""; 0]);
}

#[test]
fn a_bracket_without_its_other_half_is_told() {
    let rules = |body: &str| key_of(body).findings.iter().map(|f| f.rule).collect::<Vec<_>>();
    assert_eq!(rules("Leaves opposite (the lower ones whorled"), ["bracket-not-closed"]);
    assert_eq!(rules("Leaves opposite (the lower ones whorled)"), [""; 0]);
}

#[test]
fn a_couplet_of_more_leads_than_can_be_numbered_is_two() {
    let mut text = String::from("Key\n\nkey\n\n");
    for _ in 0..65_600 {
        text.push_str("1a  Red ..... Aus bus\n");
    }
    let key = Key::read(Source::new("t.key", text));
    assert_eq!(key.couplets.len(), 2);
    assert_eq!(key.couplets[0].leads.len(), 65_535);
}

/// Each open bracket was looked after to the end of the text: five million took minutes.
#[test]
fn very_many_open_brackets_are_looked_after_once() {
    let key = key_of(&format!("Leaves opposite {}", "((".repeat(500_000)));
    let rules: Vec<&str> = key.findings.iter().map(|f| f.rule).collect();
    assert_eq!(rules, ["bracket-not-closed"]);
}
