//! Slips that writers make with the form, and whether they are told with what mends them.

use hilum::check::{Options, Report, examine};
use hilum::key::Key;
use hilum::text::finding::{Finding, Severity};
use hilum::text::source::Source;

fn report(text: &str) -> Report {
    examine(&Key::read(Source::new("school.key", text)), &Options::default())
}

/// Open errors and warnings.
fn serious(text: &str) -> Vec<Finding> {
    report(text).open().filter(|f| f.severity > Severity::Note).cloned().collect()
}

fn only(text: &str, rule: &str) -> Finding {
    let all = serious(text);
    let words: Vec<_> = all.iter().map(|f| (f.rule, f.what.as_str())).collect();
    assert_eq!(words.len(), 1, "{words:?}");
    assert_eq!(words[0].0, rule, "{words:?}");
    all[0].clone()
}

fn mended(text: &str, finding: &Finding) -> String {
    let mend = finding.mend.as_ref().expect("a ready edit");
    let mut out = text.to_string();
    out.replace_range(mend.span.range(), &mend.replacement);
    out
}

/// Two shrubs, with one line in the second account.
fn shrubs(line: &str) -> String {
    format!(
        "Key to two shrubs of the school yard

characters

margin: Margin _
  states    entire, spiny

key

1a  Margin spiny ............................ Ilex aquifolium
1b  Margin entire ........................... Fagus sylvatica

taxa

Fagus sylvatica L.
  Margin entire.

Ilex aquifolium L.
  Margin spiny.
{line}
"
    )
}

#[test]
fn a_property_of_an_account_with_one_blank_is_an_error_that_mends_itself() {
    for line in [
        "  caution The berries are poisonous.",
        "  Caution: The berries are poisonous.",
        "  caution: the berries are poisonous.",
        "  called holly",
        "  called: holly",
        "  family Aquifoliaceae",
        "  synonym Ilex vulgaris Gray",
        "  found woods and hedges; common",
        "  flowers May-Jun",
        "  fruits Sep-Dec.",
        "  picture holly.png",
        "  intended taxon-twice: it varies",
    ] {
        let text = shrubs(line);
        let finding = only(&text, "stray-line");
        assert_eq!(finding.severity, Severity::Error, "{line}");
        assert!(finding.remedy.contains("two blanks"), "{line}: {}", finding.remedy);
        if !line.contains("intended") {
            let rest = serious(&mended(&text, &finding));
            let months = |f: &Finding| f.rule == "months-unreadable" && line.contains("Sep-Dec.");
            assert!(rest.iter().all(months), "{line}: {rest:?}");
        }
    }
}

#[test]
fn a_caution_is_told_where_the_line_before_has_no_full_stop() {
    let text = shrubs("  caution The berries are poisonous.").replace("spiny.\n", "spiny\n");
    only(&text, "stray-line");
}

#[test]
fn prose_of_an_account_may_begin_a_line_with_such_a_word() {
    for lines in [
        "  Flowers red; fruits small.",
        "  Flowers white, in clusters;\n  flowers 5-8 mm across.",
        "  Fruits: a berry.",
        "  Flowers: white, four petals.",
        "  The berries are\n  found on female trees; they are commonly\n  called hollies.",
        "  Leathery;\n  found in woods.",
        "  Trees\n  under oaks stay low.",
        "  Pruned with\n  caution in hedges.",
        "  Of a\n  family that grows elsewhere.",
        "  Flowers\n  May to June.",
    ] {
        let all = serious(&shrubs(lines));
        assert!(all.is_empty(), "{lines}: {all:?}");
    }
}

#[test]
fn a_property_of_a_character_with_one_blank_is_told_by_its_word() {
    let text = shrubs("").replace("entire, spiny\n", "entire, spiny\n  part leaf\n");
    let finding = only(&text, "stray-line");
    assert_eq!(finding.remedy, "Write two blanks after `part`.");
    assert!(serious(&mended(&text, &finding)).is_empty());
}

#[test]
fn a_lead_behind_a_blank_is_read_as_a_lead_and_told() {
    let text = shrubs("").replace("\n1b  ", "\n 1b  ");
    let finding = only(&text, "stray-line");
    assert!(finding.what.contains("a blank before lead 1b"), "{}", finding.what);
    assert!(serious(&mended(&text, &finding)).is_empty());
}

#[test]
fn a_wrapped_line_that_begins_with_a_number_is_no_lead() {
    let text = shrubs("").replace(
        "1b  Margin entire ........................... ",
        "1b  Margin entire, the blade as long as\n    12 cm or more ........................... ",
    );
    assert!(serious(&text).is_empty());
}

#[test]
fn a_title_of_the_section_word_alone_is_told_once() {
    let text = shrubs("");
    let rest = text.split_once('\n').expect("a title").1;
    let text = format!("Key\n{rest}");
    let finding = only(&text, "title-missing");
    assert!(finding.what.contains("`Key`"), "{}", finding.what);
}

#[test]
fn a_letter_for_a_figure_in_a_pointer_is_told() {
    let text = "Key to three trees of the school yard

key

1a  Leaves needles .......................... Larix decidua
1b  Leaves flat ............................. l0

10a  Blade lobed ............................ Quercus robur
10b  Blade not lobed ........................ Fagus sylvatica
";
    let all = serious(text);
    let finding = all.iter().find(|f| f.rule == "name-unreadable").expect("told");
    assert!(finding.remedy.contains("was 10 meant"), "{}", finding.remedy);
}

#[test]
fn a_comma_between_two_names_asks_for_or() {
    let text = "Key to the limes of the school yard

key

1a  Leaf heart-shaped ....................... Tilia cordata, T. platyphyllos
1b  Leaf not so ............................. Acer negundo L., nom. cons.
";
    let finding = only(text, "name-unreadable");
    assert!(finding.remedy.contains("`Tilia cordata or T. platyphyllos`"), "{}", finding.remedy);
}

#[test]
fn the_word_of_a_language_among_common_names_is_told() {
    let finding = only(&shrubs("  called    holly, de Stechpalme"), "unreadable-value");
    assert!(finding.remedy.contains("`de  Stechpalme`"), "{}", finding.remedy);
    assert!(serious(&shrubs("  called    holly, tree of the yard, De Wilde's holly")).is_empty());
}

#[test]
fn a_lost_pointer_is_sent_to_the_couplet_that_lost_it() {
    let text = "Key to four trees of the school yard

key

1a  Leaves needles .......................... Larix decidua
1b  Leaves flat ............................. 42

2a  Blade lobed ............................. Quercus robur
2b  Blade not lobed ......................... 3

3a  Bark grey ............................... Fagus sylvatica
3b  Bark white .............................. Betula pendula
";
    let all = serious(text);
    let finding = all.iter().find(|f| f.rule == "pointer-without-couplet").expect("told");
    assert_eq!(finding.remedy, "No lead points to couplet 2: should this one?");
    let all = serious(&text.replace(" 3\n", " Acer campestre\n"));
    let finding = all.iter().find(|f| f.rule == "pointer-without-couplet").expect("told");
    assert!(
        finding.remedy.starts_with("No lead points to couplets 2 and 3:"),
        "{}",
        finding.remedy
    );
}

#[test]
fn a_german_noun_is_no_place() {
    let text = "Schlüssel zu zwei Bäumen am Schulhof
  language  de

schlüssel

1a  Frucht eine Beere ....................... Sambucus nigra
1b  Frucht eine Nuss ........................ Juglans regia
";
    let all = serious(text);
    assert!(all.is_empty(), "{all:?}");
}
