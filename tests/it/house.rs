//! The plan of the house, held against the code: floors, opening lines, what is absent where.

use std::fs;
use std::path::{Path, PathBuf};

use super::support::checkout;

/// Data flows down this list; a floor uses only what stands above it.
const FLOORS: [&str; 9] =
    ["text", "key", "sift", "check", "walk", "craft", "notebook", "publish", "cli"];

fn sources() -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut folders = vec![checkout("src")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("src is readable") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}

fn floor(path: &Path) -> Option<usize> {
    let below = path.strip_prefix(checkout("src")).ok()?;
    let first =
        below.components().next()?.as_os_str().to_str()?.trim_end_matches(".rs").to_string();
    FLOORS.iter().position(|f| *f == first)
}

#[test]
fn floors_import_only_from_above() {
    let mut wrong = Vec::new();
    for path in sources() {
        let Some(own) = floor(&path) else { continue };
        let text = fs::read_to_string(&path).expect("readable");
        for (n, line) in text.lines().enumerate() {
            let code = line.trim_start();
            if code.starts_with("//") {
                continue;
            }
            for (i, name) in FLOORS.iter().enumerate().skip(own + 1) {
                let named = line.match_indices(&format!("crate::{name}")).any(|(at, m)| {
                    !line[at + m.len()..].starts_with(|c: char| c.is_alphanumeric() || c == '_')
                });
                if named {
                    wrong.push(format!(
                        "{}:{}: {} uses {}",
                        path.display(),
                        n + 1,
                        FLOORS[own],
                        FLOORS[i]
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_opens_with_one_line_that_says_what_it_is_for() {
    let without: Vec<_> = sources()
        .into_iter()
        .filter(|p| !fs::read_to_string(p).expect("readable").starts_with("//! "))
        .collect();
    assert!(without.is_empty(), "{without:?}");
}

#[test]
fn only_the_command_line_knows_a_terminal() {
    let words = [
        "println!",
        "print!(",
        "eprintln!",
        "rustyline",
        "anstream",
        "anstyle",
        "clap::",
        "std::process::exit",
    ];
    let mut wrong = Vec::new();
    for path in sources() {
        let inside = floor(&path).is_some_and(|f| FLOORS[f] != "cli");
        let text = fs::read_to_string(&path).expect("readable");
        let code: String = text
            .lines()
            .filter(|l| !l.trim_start().starts_with("//"))
            .collect::<Vec<_>>()
            .join("\n");
        for word in words.iter().filter(|w| inside && code.contains(**w)) {
            wrong.push(format!("{}: {word}", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_parser_generator_stays_behind_its_doors() {
    let doors = ["text/parse/lines.rs", "text/notation/lexer.rs"];
    for path in sources() {
        let text = fs::read_to_string(&path).expect("readable");
        let name = path.to_string_lossy().replace('\\', "/");
        if doors.iter().any(|d| name.ends_with(d)) {
            continue;
        }
        assert!(!text.contains("use pest"), "{name} knows pest");
    }
}

#[test]
fn files_stay_within_a_page_or_two() {
    let long: Vec<_> = sources()
        .into_iter()
        .map(|p| (fs::read_to_string(&p).expect("readable").lines().count(), p))
        .filter(|(n, _)| *n > 500)
        .collect();
    assert!(long.is_empty(), "over 500 lines: {long:?}");
}
