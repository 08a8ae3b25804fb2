//! Specimens and keys: naming from the records, naming again, and before leaving the site.

use hilum::key::{ConditionId, Key, Library};
use hilum::notebook::desk::named::{common_name, from_report, from_walk, seen_in_leads};
use hilum::notebook::desk::{Outcome, Ready, again, leaving};
use hilum::notebook::record::{Body, Gathering, Observation, Placed, Record, Seen};
use hilum::notebook::specimen::{Specimen, fold};
use hilum::sift::report::{Options, report};
use hilum::text::source::Source;
use hilum::walk::{Answer, Walk};

use super::ledger::{at, cite};

const FIRST: &str = "\
Key to the poppies of the terraces
  issue  1, 2026-01-01

characters

petal colour: Petals _
  states  red, pale red, orange
  part    flower
  pressed  red looks purple or red

sap: Sap _
  states  clear, milky
  part    stem
  pressed  cannot be seen

capsule: Capsule _ as wide
  states  as long, twice as long
  part    fruit

key

1a  Petals red ..................................... 2
1b  Petals pale red or orange ...................... Papaver dubium
2a  Capsule twice as long as wide; anthers dark .... Papaver strigosum
2b  Capsule as long as wide ........................ Papaver rhoeas

taxa

Papaver rhoeas L.
  family  Papaveraceae
  Petals red; sap milky; capsule as long as wide.
Papaver strigosum (Boenn.) Schur
  Petals red; sap clear; capsule twice as long as wide.
Papaver dubium L.
  Petals orange; sap milky; capsule twice as long as wide.
";

fn key(text: &str) -> Key {
    let key = Key::read(Source::new("poppies.key", text));
    let errors: Vec<_> = key
        .findings
        .iter()
        .filter(|f| f.severity == hilum::text::finding::Severity::Error)
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
    key
}

fn folded(records: &[Record]) -> Specimen {
    let placed = |record: &Record| Placed { record: record.clone(), file: "d".into(), line: 1 };
    fold(records.iter().map(placed).collect(), &mut Vec::new()).remove(0)
}

fn gathered(stage: &[&str]) -> Record {
    let mut g = Gathering::new(hilum::notebook::date::When::read("2026-05-02").unwrap());
    g.stage = stage.iter().map(|s| s.to_string()).collect();
    Record::of(cite(7), Some(at(0)), Body::Gathering(g))
}

fn observed(seen: Vec<Seen>, condition: &str) -> Record {
    let mut o = Observation::new(seen);
    o.condition = Some(condition.into());
    Record::of(cite(7), Some(at(1)), Body::Observation(o))
}

/// A specimen walked through the first issue: red petals, capsule as the lead says.
fn walked(capsule: u16) -> Vec<Record> {
    let library = Library::of(key(FIRST));
    let mut walk = Walk::new(&library);
    for lead in [0, capsule] {
        let stand = walk.view().asked.unwrap().stand;
        walk.answer(stand, Answer::Lead { lead });
    }
    let det = from_walk(&walk, library.main().heading.language).unwrap();
    assert_eq!(
        det.name,
        ["Papaver strigosum (Boenn.) Schur", "Papaver rhoeas L."][usize::from(capsule)]
    );
    assert_eq!(det.route, ["1a", ["2a", "2b"][usize::from(capsule)]]);
    let used = det.key.clone().unwrap();
    assert_eq!(used.issue.as_deref(), Some("1, 2026-01-01"));
    assert!(used.hash.unwrap().starts_with("sha256:"));
    vec![
        gathered(&["flowering"]),
        observed(seen_in_leads(&walk).into_iter().map(|(_, seen)| seen).collect(), "fresh"),
        Record::of(cite(7), Some(at(2)), Body::Determination(det)),
    ]
}

fn outcome(new: &str, records: &[Record]) -> Option<Outcome> {
    let library = Library::of(key(new));
    let ready: Vec<Ready> = library.keys.iter().map(Ready::of).collect();
    again(&library, &ready, &folded(records)).map(|a| a.outcome)
}

#[test]
fn the_same_key_needs_no_second_look() {
    assert_eq!(outcome(FIRST, &walked(1)), None);
}

#[test]
fn a_new_issue_that_leads_to_the_same_name() {
    // only renumbered, and the order of the leads turned round
    let new = FIRST.replace("issue  1", "issue  2").replace(
        "2a  Capsule twice as long as wide; anthers dark .... Papaver strigosum\n2b  Capsule as long as wide ........................ Papaver rhoeas",
        "2a  Capsule as long as wide ........................ Papaver rhoeas\n2b  Capsule twice as long as wide .................. Papaver strigosum",
    );
    assert_eq!(outcome(&new, &walked(1)), Some(Outcome::Same));
}

#[test]
fn a_corrected_lead_changes_the_name_and_says_where() {
    let new = FIRST.replace("issue  1", "issue  2").replace(
        "Capsule as long as wide ........................ Papaver rhoeas",
        "Capsule as long as wide ........................ Papaver argemone",
    );
    let out = outcome(&new, &walked(1)).unwrap();
    assert_eq!(
        out,
        Outcome::Changed { names: vec!["Papaver argemone".into()], at: Some("2b".into()) }
    );
}

#[test]
fn a_new_character_leaves_it_undecided_and_says_what_to_look_at() {
    let new = FIRST.replace("issue  1", "issue  2").replace(
        "Papaver rhoeas\n\ntaxa",
        "3\n3a  Sap milky ....... Papaver rhoeas\n3b  Sap clear ....... Papaver commutatum\n\ntaxa",
    );
    let Some(Outcome::Undecided { at, look_at, .. }) = outcome(&new, &walked(1)) else { panic!() };
    assert_eq!((at.as_deref(), look_at), (Some("3"), vec!["Sap …: clear, milky".to_string()]));
    // recorded after all: then it is decided
    let mut records = walked(1);
    records.push(observed(vec![Seen::new("Sap milky".into())], "fresh"));
    assert_eq!(outcome(&new, &records), Some(Outcome::Same));
    records.push(observed(vec![Seen::new("Sap clear".into())], "fresh"));
    let Some(Outcome::Undecided { at, why, .. }) = outcome(&new, &records) else { panic!() };
    assert_eq!(at.as_deref(), Some("3"));
    assert!(why.contains("contradicts every lead"));
}

#[test]
fn prose_that_reads_the_same_still_holds() {
    // the first lead has prose: taken before word for word, it decides
    let new = FIRST
        .replace("issue  1", "issue  2")
        .replace("2b  Capsule as long as wide", "2b  Anthers pale");
    assert_eq!(outcome(&new, &walked(0)), Some(Outcome::Same));
}

#[test]
fn a_correction_in_the_notebook_is_heeded() {
    let mut records = walked(1);
    let seen = records[1].id.clone();
    let mut c = hilum::notebook::record::Correction::new();
    c.withdraw = true;
    records.push(Record::correcting(seen, Some(at(9)), c));
    let new = FIRST.replace("issue  1", "issue  2");
    let Some(Outcome::Undecided { at, .. }) = outcome(&new, &records) else { panic!() };
    assert_eq!(at.as_deref(), Some("1"));
}

#[test]
fn the_engine_names_from_what_was_recorded_with_the_press_allowed_for() {
    let key = key(FIRST);
    let ready = Ready::of(&key);
    let seen = ["Petals purple", "Capsule as long as wide"].map(|s| Seen::new(s.into()));
    let records = [gathered(&["flowering", "fruiting"]), observed(seen.to_vec(), "pressed")];
    let evidence = ready.evidence(&folded(&records), ConditionId::PRESSED);
    assert_eq!(evidence.unread, []);
    assert_eq!(evidence.observations.len(), 2);
    let r =
        report(&key, &ready.table, &evidence.observations, &evidence.specimen, &Options::default());
    let det = from_report(&key, &r).unwrap();
    assert_eq!(det.ranking[0].name, "Papaver rhoeas");
    assert!(!det.ranking[0].fits.is_empty());
    assert!(det.verdict.is_some() && det.key.is_some() && det.used.len() == 2);
    // fresh notes of the gathering are evidence where the key has the sentence
    let mut g = gathered(&["flowering"]);
    if let Body::Gathering(g) = &mut g.body {
        g.fresh.insert("sap".into(), hilum::notebook::value::Value::text("milky"));
        g.fresh.insert("scent".into(), hilum::notebook::value::Value::text("none"));
    }
    let evidence = ready.evidence(&folded(&[g]), ConditionId::PRESSED);
    assert_eq!((evidence.observations.len(), evidence.notes), (1, vec!["scent none".to_string()]));
    assert!(evidence.specimen.absent.contains("fruit"));
}

#[test]
fn before_leaving_it_says_which_part_and_what_to_note() {
    let key = key(FIRST);
    let ready = Ready::of(&key);
    let records =
        [gathered(&["flowering"]), observed(vec![Seen::new("Petals red".into())], "fresh")];
    let out = leaving(&ready, &folded(&records)).unwrap();
    assert!(out.parts.iter().any(|p| p.starts_with("fruit")), "{out:?}");
    assert_eq!(out.note_fresh, ["Sap …: clear, milky"]);
    // a settled name is left alone
    assert_eq!(leaving(&ready, &folded(&walked(1))), None);
}

#[test]
fn several_names_have_their_genus_in_common_or_nothing() {
    let names = |n: &[&str]| n.iter().map(|s| s.to_string()).collect::<Vec<_>>();
    assert_eq!(common_name(&names(&["Papaver rhoeas L."])).as_deref(), Some("Papaver rhoeas L."));
    assert_eq!(
        common_name(&names(&["Papaver rhoeas L.", "Papaver dubium L."])).as_deref(),
        Some("Papaver sp.")
    );
    assert_eq!(common_name(&names(&["Papaver rhoeas L.", "Rosa canina L."])), None);
    assert_eq!(common_name(&[]), None);
}
