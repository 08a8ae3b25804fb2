//! The walk: answers, doubt, undo, and that going back loses nothing.

use hilum::key::{Key, Library};
use hilum::text::language::Language;
use hilum::text::source::Source;
use hilum::walk::{Answer, Ending, Event, Walk};

const KEY: &str = "\
A key to five plants

key

1a  Leaves alternate ..... 2
1b  Leaves opposite ..... key to the rest
2a  Sap milky ..... Aus bus
2b  Sap clear ..... 3b

3a  Stem round ..... Bus cus
3b  Stem square ..... Cus dus or C. eus

key to the rest

1a  Petals red ..... Dus eus
1b  Petals blue ..... stop: seedlings cannot be named here
";

fn library() -> Library {
    Library::of(Key::read(Source::new("five.key", KEY)))
}

/// Answers the couplet in hand with its lead number `lead`.
fn take(walk: &mut Walk<'_>, lead: u16) {
    let stand = walk.view().asked.expect("a couplet is asked").stand;
    walk.answer(stand, Answer::Lead { lead });
}

fn names(walk: &Walk<'_>) -> Vec<String> {
    let view = walk.view();
    walk.report(&view, Language::english()).ends.into_iter().flat_map(|e| e.names).collect()
}

#[test]
fn answers_lead_to_a_name() {
    let library = library();
    let mut walk = Walk::new(&library);
    take(&mut walk, 0);
    take(&mut walk, 0);
    assert_eq!(names(&walk), ["Aus bus"]);
    assert!(walk.view().asked.is_none());
}

#[test]
fn a_pointer_to_one_lead_takes_that_lead() {
    let library = library();
    let mut walk = Walk::new(&library);
    take(&mut walk, 0);
    take(&mut walk, 1);
    assert_eq!(names(&walk), ["Cus dus", "Cus eus"]);
    let view = walk.view();
    assert_eq!(view.ends[0].steps.len(), 3, "the lead that the pointer named is in the trail");
    assert_eq!(view.ends[0].steps[2].answer, None);
}

#[test]
fn a_subkey_is_entered_without_a_seam_and_a_stop_ends_with_its_reason() {
    let library = library();
    let mut walk = Walk::new(&library);
    take(&mut walk, 1);
    take(&mut walk, 1);
    let view = walk.view();
    assert_eq!(view.ends[0].ending, Ending::Stop("seedlings cannot be named here".into()));
}

#[test]
fn not_being_sure_follows_every_branch_and_keeps_both_lists() {
    let library = library();
    let mut walk = Walk::new(&library);
    let stand = walk.view().asked.expect("asked").stand;
    walk.answer(stand, Answer::CannotTell);
    let view = walk.view();
    assert_eq!(view.waiting.len(), 1);
    assert_eq!(
        walk.possible(&view).len(),
        4,
        "of five taxa Bus cus stands behind a lead that no route takes"
    );
    take(&mut walk, 0);
    take(&mut walk, 0);
    assert_eq!(names(&walk), ["Aus bus", "Dus eus"]);
    assert!(walk.view().ends.iter().all(|e| e.uncertain().count() == 1));
}

#[test]
fn undo_and_redo_reach_everything() {
    let library = library();
    let mut walk = Walk::new(&library);
    let begin = walk.view();
    take(&mut walk, 0);
    let second = walk.view();
    walk.say(Event::Remarked { text: "in flower".into() });
    take(&mut walk, 0);
    for _ in 0..3 {
        assert!(walk.undo().is_some());
    }
    assert!(walk.undo().is_none());
    assert_eq!(format!("{:?}", walk.view()), format!("{begin:?}"));
    walk.redo();
    assert_eq!(format!("{:?}", walk.view()), format!("{second:?}"));
    walk.redo();
    walk.redo();
    assert!(walk.redo().is_none());
    assert_eq!(names(&walk), ["Aus bus"]);
}

#[test]
fn changing_an_early_answer_keeps_the_later_ones() {
    let library = library();
    let mut walk = Walk::new(&library);
    let first = walk.view().asked.expect("asked").stand;
    take(&mut walk, 0);
    take(&mut walk, 0);
    walk.reopen(first);
    assert_eq!(walk.view().asked.expect("asked again").stand, first);
    take(&mut walk, 1);
    assert!(walk.view().asked.is_some(), "the other key is asked now");
    walk.reopen(first);
    take(&mut walk, 0);
    assert_eq!(names(&walk), ["Aus bus"], "couplet 2 need not be answered again");
}

#[test]
fn a_walk_is_its_events() {
    let library = library();
    let mut walk = Walk::new(&library);
    take(&mut walk, 0);
    take(&mut walk, 1);
    let kept: Vec<String> =
        walk.events().iter().map(|e| serde_json::to_string(e).expect("json")).collect();
    let back: Vec<Event> = kept.iter().map(|e| serde_json::from_str(e).expect("event")).collect();
    let again = Walk::resumed(&library, back);
    assert_eq!(format!("{:?}", again.view()), format!("{:?}", walk.view()));
}

#[test]
fn a_circular_key_ends_the_walk() {
    let text = "A ring\n\nkey\n\n1a  Leaves a ..... 2\n1b  Leaves b ..... Aus bus\n2a  Sap a ..... 1\n2b  Sap b ..... Bus cus\n";
    let library = Library::of(Key::read(Source::new("ring.key", text)));
    let mut walk = Walk::new(&library);
    take(&mut walk, 0);
    take(&mut walk, 0);
    assert!(matches!(walk.view().ends[0].ending, Ending::Circle(_)));
}

#[test]
fn another_file_is_entered_where_it_is_at_hand() {
    let main = "Main\n  uses  grasses.key\n\nkey\n\n1a  Leaves a ..... key to the grasses in grasses.key\n1b  Leaves b ..... Aus bus\n";
    let other = "Key to the grasses\n\nkey to the grasses\n\n1a  Awns long ..... Bus cus\n1b  Awns none ..... Cus dus\n";
    let main = Key::read(Source::new("dir/main.key", main));
    let alone = Library::of(main.clone());
    let mut walk = Walk::new(&alone);
    take(&mut walk, 0);
    assert!(matches!(walk.view().ends[0].ending, Ending::NotAtHand { .. }));
    let both = Library { keys: vec![main, Key::read(Source::new("dir/grasses.key", other))] };
    let mut walk = Walk::new(&both);
    take(&mut walk, 0);
    take(&mut walk, 1);
    assert_eq!(names(&walk), ["Cus dus"]);
}
