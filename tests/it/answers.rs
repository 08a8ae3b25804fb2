//! `intended` notes and files beside one another: what counts as answered, entered and followed.

use hilum::check::{Options, Report, examine, rules};
use hilum::key::Key;
use hilum::text::source::Source;

fn key(name: &str, text: &str) -> Key {
    Key::read(Source::new(name, text))
}

fn report(text: &str) -> Report {
    examine(&key("a.key", text), &Options::default())
}

/// The open findings but for those of style, which these keys do not care for.
fn open(report: &Report) -> Vec<&'static str> {
    let style = |id: &str| rules::find(id).is_some_and(|r| r.style);
    report.open().map(|f| f.rule).filter(|r| !style(r)).collect()
}

const TWICE: &str = "Trees

key

1a  Leaves are needles ..... Abies alba
1b  Leaves are broad ..... 2

2a  Leaves lobed ..... Quercus robur
2b  Leaves wavy ..... Quercus robur
";

#[test]
fn an_answer_under_the_lead_answers_and_keeps_the_reason() {
    let text = format!("{TWICE}      intended  taxon-twice: young oaks have wavy leaves\n");
    let report = report(&text);
    assert_eq!(open(&report), [""; 0]);
    assert_eq!(report.answered.get("taxon-twice"), Some(&1));
    let finding = report.findings.iter().find(|f| f.rule == "taxon-twice").unwrap();
    assert_eq!(finding.intended.as_deref(), Some("young oaks have wavy leaves"));
    assert_eq!(report.counts().answered, 1);
}

#[test]
fn an_answer_speaks_for_the_other_leads_of_its_couplet() {
    let text =
        TWICE.replace("2b  ", "      intended  taxon-twice: young oaks have wavy leaves\n2b  ");
    assert_eq!(open(&report(&text)), [""; 0]);
}

#[test]
fn an_answer_in_another_couplet_is_idle() {
    let text = TWICE.replace("1b  ", "      intended  taxon-twice: young oaks\n1b  ");
    assert_eq!(open(&report(&text)), ["answer-without-question", "taxon-twice"]);
}

#[test]
fn an_answer_under_the_title_or_the_heading_of_a_key_speaks_for_all_of_it() {
    for text in [
        TWICE.replace("Trees\n", "Trees\n  intended  taxon-twice: oaks vary\n"),
        TWICE.replace("key\n", "key\n  intended  taxon twice: oaks vary\n"),
    ] {
        assert_eq!(open(&report(&text)), [""; 0], "{text}");
    }
}

#[test]
fn an_answer_under_a_taxon_speaks_for_its_account() {
    let text = format!(
        "{TWICE}\ntaxa\n\nTilia cordata Mill.\n  intended  taxon-not-keyed: comes in the next issue\n"
    );
    let report = report(&text);
    assert_eq!(open(&report), ["taxon-twice"]);
    assert_eq!(report.answered.get("taxon-not-keyed"), Some(&1));
}

#[test]
fn of_two_answers_the_nearer_one_is_used_and_the_other_idle() {
    let text = TWICE.replace("Trees\n", "Trees\n  intended  taxon-twice: for all\n")
        + "      intended  taxon-twice: for this one\n";
    let report = report(&text);
    assert_eq!(open(&report), ["answer-without-question"]);
    let finding = report.findings.iter().find(|f| f.rule == "taxon-twice").unwrap();
    assert_eq!(finding.intended.as_deref(), Some("for this one"));
}

#[test]
fn an_answer_to_a_rule_that_nobody_asks_for_is_not_idle() {
    let text = "Trees

key

1a  Leaves are needles ..... Abies alba
1b  Leaves are scales ..... Thuja plicata
1c  Leaves are broad ..... Quercus robur
      intended  three leads: the third keeps the broad-leaved trees together
";
    let silent = report(text);
    assert_eq!(open(&silent), [""; 0]);
    assert!(silent.answered.is_empty() || silent.answered.contains_key("three-leads"));
    let unanswered = text.rsplit_once("      intended").unwrap().0;
    assert_eq!(open(&report(unanswered)), [""; 0]);
    let profiles = ["two leads".to_string()];
    let asked = Options { profiles: &profiles, ..Options::default() };
    let found = |text| {
        let report = examine(&key("a.key", text), &asked);
        report.open().filter(|f| f.rule == "three-leads").count()
    };
    assert_eq!((found(unanswered), found(text)), (1, 0));
}

#[test]
fn an_answered_error_no_longer_counts_as_one() {
    let text = "Trees

key

1a  Leaves are needles ..... Abies alba
1b  Leaves are broad ..... Quercus robur

2a  Leaves lobed ..... Tilia cordata
      intended  couplet-not-reached: a draft that we keep for later
2b  Leaves wavy ..... Acer campestre
";
    assert_eq!(report(text).counts().errors, 0);
    assert_eq!(report(text).counts().answered, 1);
}

const WEEDS: &str = "Weeds

key

1a  Stems jointed ..... key to the grasses in grasses.key
1b  Stems round ..... key to the rushes at 1b in grasses.key
";

const GRASSES: &str = "Grasses and rushes

key to the grasses

1a  Ears flat ..... Lolium perenne
1b  Ears round ..... Hordeum murinum

key to the rushes

1a  Stems hollow ..... Juncus effusus
1b  Stems full ..... Juncus inflexus
";

#[test]
fn a_key_that_only_another_file_enters_is_reached_when_both_are_read() {
    let (weeds, grasses) = (key("w/weeds.key", WEEDS), key("w/grasses.key", GRASSES));
    let alone = examine(&grasses, &Options::default());
    assert_eq!(open(&alone), ["key-not-reached"]);
    let beside = [&weeds];
    let together = examine(&grasses, &Options { beside: &beside, ..Options::default() });
    // Only lead 1b is entered, so the key is; its couplet is entered by a single lead.
    assert_eq!(open(&together), [""; 0]);
}

#[test]
fn a_pointer_into_a_file_is_followed_where_the_file_is_at_hand() {
    let (weeds, grasses) = (key("weeds.key", WEEDS), key("grasses.key", GRASSES));
    assert_eq!(open(&examine(&weeds, &Options::default())), ["file-not-read", "file-not-read"]);
    let beside = [&grasses];
    let options = Options { beside: &beside, ..Options::default() };
    assert_eq!(open(&examine(&weeds, &options)), [""; 0]);
    let lost = key("weeds.key", &WEEDS.replace("to the grasses", "to the sedges"));
    assert_eq!(open(&examine(&lost, &options)), ["pointer-without-couplet"]);
    let lost = key("weeds.key", &WEEDS.replace("at 1b", "at 4"));
    assert_eq!(open(&examine(&lost, &options)), ["pointer-without-couplet"]);
}

#[test]
fn a_wrong_pointer_is_told_once_with_the_mend_that_the_back_reference_names() {
    let text = "Trees

key

1a  Leaves are needles ..... 2
1b  Leaves are broad ..... 3

2a (1)  In bundles ..... Pinus sylvestris
2b  Single ..... 3

3a (1)  In pairs ..... Acer campestre
3b  One by one ..... Quercus robur

4a (2)  Flat ..... Abies alba
4b  Square ..... Picea abies
";
    let report = report(text);
    assert_eq!(open(&report), ["couplet-not-reached"]);
    let finding = report.findings.iter().find(|f| f.rule == "couplet-not-reached").unwrap();
    let mend = finding.mend.clone().unwrap();
    assert_eq!(&text[mend.span.range()], "3");
    assert_eq!(mend.replacement, "4");
    let mut mended = text.to_string();
    mended.replace_range(mend.span.range(), &mend.replacement);
    assert_eq!(open(&super::answers::report(&mended)), [""; 0]);
}
