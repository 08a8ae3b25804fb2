//! `hilum rehearse` as a person or another program meets it.

use serde_json::Value;

use crate::support::{Ran, hilum};

/// Two couplets, three taxa, one character each: everything can be worked out by hand.
const THREE: &str = "\
Weeds of the school garden

characters

petals: Petals _
  states    red, blue

leaves: Leaves _
  states    lobed, entire

key

1a  Petals red .......................... 2
1b  Petals blue ......................... Centaurea cyanus

2a  Leaves lobed ........................ Papaver rhoeas
2b  Leaves entire ....................... Papaver dubium

taxa

Centaurea cyanus L.
  Petals blue; leaves entire.

Papaver dubium L.
  Petals red; leaves entire.

Papaver rhoeas L.
  Petals red; leaves lobed.
";

fn rehearse(text: &str, arguments: &[&str]) -> Ran {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("weeds.key"), text).expect("written");
    hilum(folder.path(), &[&["rehearse"], arguments].concat(), "")
}

fn json(arguments: &[&str]) -> Value {
    let ran = rehearse(THREE, &[arguments, &["--json"]].concat());
    assert_eq!(ran.status, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

fn share(value: &Value, at: &str) -> f64 {
    value.pointer(at).and_then(Value::as_f64).unwrap_or_else(|| panic!("{at} in {value}"))
}

#[test]
fn shares_are_what_is_worked_out_by_hand() {
    // One couplet with 1 in 10 misread, and two for each of the poppies.
    let right = (0.9 + 2.0 * 0.9 * 0.9) / 3.0;
    let told = json(&["--misread", "0.1", "weeds.key"]);
    assert!((share(&told, "/right") - right).abs() < 1e-12, "{told}");
    assert_eq!(share(&told, "/misreading"), 0.1);
    assert_eq!(told["file"], "weeds.key");
    assert_eq!(told["seed"], Value::Null);
    assert!(told.to_string().contains("\"gave_up\":0.0"), "{told}");
    for taxon in told["taxa"].as_array().expect("taxa") {
        let wrong = taxon["confusions"].as_array().expect("confusions");
        let all = share(taxon, "/right")
            + share(taxon, "/gave_up")
            + wrong.iter().map(|c| share(c, "/share")).sum::<f64>();
        assert!((all - 1.0).abs() < 1e-12, "{taxon}");
        assert_eq!(taxon["error"], Value::Null);
    }
    let cornflower = &told["taxa"][0]["confusions"];
    assert_eq!(cornflower[0]["name"], "Papaver dubium", "its leaves are entire");
    assert!((share(cornflower, "/0/share") - 0.1 * 0.9).abs() < 1e-12, "{cornflower}");
}

#[test]
fn a_person_reads_shares_confusions_losses_and_repairs() {
    let ran = rehearse(THREE, &["--misread", "0.1", "weeds.key"]);
    assert_eq!((ran.status, ran.err.as_str()), (0, ""));
    for said in [
        "Weeds of the school garden\n",
        "  Of the readers of 3 taxa 84 % reach the right name. They misread 10 % of characters.\n",
        "    81 %  Papaver dubium: 10 % Centaurea cyanus, 9 % Papaver rhoeas\n",
        "    90 %  Centaurea cyanus: 9 % Papaver dubium, 1 % Papaver rhoeas\n",
        "    10 %  couplet 1 (10 % of those that come to it on the right way)\n",
        "What a single change would gain\n",
    ] {
        assert!(ran.out.contains(said), "{said}\n{}", ran.out);
    }
    let without = rehearse(THREE, &["--repairs", "0", "weeds.key"]);
    assert!(!without.out.contains("single change"), "{}", without.out);
}

#[test]
fn the_rate_of_one_character_is_its_own() {
    let told = json(&["--misread", "0", "--misread-of", "Leaves=0.5", "weeds.key"]);
    assert!((share(&told, "/right") - 2.0 / 3.0).abs() < 1e-12, "{told}");
    assert_eq!(share(&told, "/taxa/0/right"), 1.0, "no leaf is looked at on its way");
}

#[test]
fn drawn_readers_come_near_and_say_how_near() {
    let told = json(&["--misread", "0.1", "--draw", "4000", "--seed", "7", "weeds.key"]);
    assert_eq!(told["seed"], 7);
    for (i, right) in [0.9, 0.81, 0.81].into_iter().enumerate() {
        let error = share(&told, &format!("/taxa/{i}/error"));
        let near = (share(&told, &format!("/taxa/{i}/right")) - right).abs();
        assert!(error > 0.0 && near < 5.0 * error, "{i}: {near} {error}");
    }
    assert_eq!(told, json(&["--misread", "0.1", "--draw", "4000", "--seed", "7", "weeds.key"]));
    let ran = rehearse(THREE, &["--draw", "400", "weeds.key"]);
    assert!(ran.out.contains("Some shares were drawn (seed 1)"), "{}", ran.out);
}

#[test]
fn a_missing_part_makes_readers_give_up() {
    let with_parts =
        THREE.replace("  states    red, blue\n", "  states    red, blue\n  part      flower\n");
    let ran = rehearse(&with_parts, &["--without", "flower", "weeds.key", "--json"]);
    let told: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!((share(&told, "/right"), share(&told, "/gave_up")), (0.0, 1.0), "{told}");
    let ran = rehearse(&with_parts, &["--without", "flower", "weeds.key"]);
    assert!(ran.out.contains("100 % give up"), "{}", ran.out);
    // A guess takes either lead.
    let ran = rehearse(
        &with_parts,
        &["--without", "flower", "--guess", "--misread", "0", "weeds.key", "--json"],
    );
    let told: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert!((share(&told, "/right") - 0.5).abs() < 1e-12, "{told}");
}

#[test]
fn what_cannot_be_done_is_said() {
    for (arguments, said) in [
        (&["--misread", "2", "weeds.key"][..], "a misreading rate lies between 0 and 1"),
        (&["--misread", "NaN", "weeds.key"], "a misreading rate lies between 0 and 1"),
        (&["--misread-of", "petals", "weeds.key"], "`petals` is no CHARACTER=RATE"),
        (&["--misread-of", "petals=x", "weeds.key"], "`x` is no number"),
        (&["--misread-of", "petal=0.1", "weeds.key"], "did you mean `petals`?"),
        (&["--without", "flowers", "weeds.key"], "did you mean `flower`?"),
        (&["--condition", "presed", "weeds.key"], "did you mean `pressed`?"),
        (&["--month", "Apr-May", "weeds.key"], "is not one month"),
        (&["--draw", "0", "weeds.key"], "--draw 0 draws nobody"),
        (&["nothing.key"], "nothing.key"),
    ] {
        let ran = rehearse(THREE, arguments);
        assert_eq!((ran.status, ran.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ran.err.contains(said), "{arguments:?}: {}", ran.err);
    }
    let circular = THREE.replace("Papaver rhoeas\n2b", "1\n2b");
    let ran = rehearse(&circular, &["weeds.key"]);
    assert_eq!(ran.status, 2, "{}", ran.out);
    assert!(ran.err.contains("a route of the key is circular"), "{}", ran.err);
    let bare = rehearse("Nothing here\n", &["weeds.key"]);
    assert_eq!(bare.status, 0, "{}", bare.err);
    assert!(bare.out.contains("there is nothing to rehearse"), "{}", bare.out);
}

#[test]
fn the_bundled_keys_can_be_rehearsed() {
    for bundled in hilum::key::bundled::ALL {
        let ran = rehearse(THREE, &[bundled.name, "--repairs", "2", "--json"]);
        assert_eq!(ran.status, 0, "{}: {}", bundled.name, ran.err);
        let told: Value = serde_json::from_str(&ran.out).expect("JSON");
        let right = share(&told, "/right");
        assert!(right > 0.05 && right < 1.0, "{}: {right}", bundled.name);
    }
}
