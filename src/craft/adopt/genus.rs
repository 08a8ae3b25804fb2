//! Genera that names at the end of leads abbreviate or leave out, where the manuscript or the
//! writer says which.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::{Draft, Goes, Repair};
use super::line::words;
use super::report::Question;

/// Writes out `V.` and completes `koraiensis`, says so, and asks where nothing tells.
pub fn complete(draft: &mut Draft, given: Option<&str>, file: &str) -> Vec<Question> {
    let texts = headings(draft);
    let full: BTreeSet<String> =
        draft.leads().flat_map(names).filter_map(|n| genus_of(n)).collect();
    let epithets: Vec<String> =
        draft.leads().flat_map(names).filter_map(|n| epithet_alone(n)).collect();
    // Where most names that have a number lack their genus, those with a capital lack it too.
    let capitals = draft.leads().flat_map(names).filter(|n| numbered_word(n)).count();
    let small = epithets.len();
    let of_epithets = given.map(str::to_string).or_else(|| genus_in_headings(draft, &epithets));
    let mut written: BTreeMap<(String, String), (u32, usize)> = BTreeMap::new();
    let mut open: BTreeSet<String> = BTreeSet::new();
    for key in &mut draft.keys {
        for lead in key.couplets.iter_mut().flat_map(|c| &mut c.leads) {
            let line = lead.lines.first().copied().unwrap_or(0);
            let Goes::Names(list) = &mut lead.goes else { continue };
            let mut before: Option<String> = None;
            for name in list {
                if let Some(genus) = genus_of(name) {
                    before = Some(genus);
                    continue;
                }
                if let Some(initial) = abbreviated(name) {
                    // The format itself takes the last genus written out in the same outcome.
                    if before.as_ref().is_some_and(|g| g.starts_with(&initial[..initial.len() - 1]))
                    {
                        continue;
                    }
                    match find(&initial, given, &texts, &full) {
                        Some(genus) => {
                            *name =
                                format!("{genus} {}", lowered(name[initial.len()..].trim_start()));
                            let entry = written
                                .entry((initial.clone(), genus.clone()))
                                .or_insert((line, 0));
                            entry.1 += 1;
                            before = Some(genus);
                        }
                        None => {
                            open.insert(initial.clone());
                        }
                    }
                } else if epithet_alone(name).is_some()
                    || (numbered_word(name) && small >= capitals)
                {
                    match &of_epithets {
                        Some(genus) => {
                            *name = format!("{genus} {}", lowered(name));
                            let entry =
                                written.entry((String::new(), genus.clone())).or_insert((line, 0));
                            entry.1 += 1;
                        }
                        None => {
                            if epithet_alone(name).is_some() {
                                open.insert(String::new());
                            }
                        }
                    }
                }
            }
        }
    }
    for ((short, genus), (line, count)) in written {
        let what = if short.is_empty() {
            format!("{count} names that were printed without their genus were written with {genus}")
        } else {
            format!("`{short}` was written out as {genus} in {count} names")
        };
        draft.repairs.push(Repair { line, kind: "genus", what });
    }
    open.into_iter()
        .map(|short| {
            let guess = words(file).find(|w| {
                let initial = short.chars().next().map(|c| c.to_ascii_lowercase());
                w.len() > 4
                    && initial.is_some()
                    && w.to_lowercase().chars().next() == initial
                    && w.to_lowercase().ends_with(['s', 'a', 'm'])
            });
            let mut answers: Vec<String> = Vec::new();
            answers.extend(guess.map(capitalised));
            Question {
                about: "genus",
                what: if short.is_empty() {
                    "names stand without their genus, and nothing in the manuscript tells it".into()
                } else {
                    format!("`{short}` stands for no genus that is written out in the manuscript")
                },
                answers,
            }
        })
        .collect()
}

fn names(lead: &super::draft::DraftLead) -> impl Iterator<Item = &String> {
    match &lead.goes {
        Goes::Names(names) => names.iter(),
        _ => [].iter(),
    }
}

/// `V.` of `V. alpina`.
fn abbreviated(name: &str) -> Option<String> {
    let first = name.split_whitespace().next()?;
    let bare = first.strip_suffix('.')?;
    let short = bare.chars().count() <= 2 && bare.starts_with(char::is_uppercase);
    // Old books honour persons with a capital: `C. Goveniana`.
    let second = name.split_whitespace().nth(1);
    let species = second
        .is_some_and(|w| w.chars().filter(|c| c.is_alphabetic()).count() >= 3 && !w.ends_with('.'));
    (short && species).then(|| first.to_string())
}

/// `Veronica` of `Veronica alpina L.`
fn genus_of(name: &str) -> Option<String> {
    let mut all = name.split_whitespace();
    let first = all.next()?;
    let species = all.next().is_some_and(|w| w.starts_with(char::is_lowercase) && w.len() > 2);
    (species
        && first.chars().count() > 3
        && first.starts_with(char::is_uppercase)
        && !first.contains('.'))
    .then(|| first.to_string())
}

/// `koraiensis`, with or without a remark in brackets.
fn epithet_alone(name: &str) -> Option<String> {
    let core = super::name::strip_remarks(name);
    let mut all = core.split_whitespace();
    let first = all.next()?;
    let alone = all.next().is_none()
        && first.starts_with(char::is_lowercase)
        && first.chars().all(|c| c.is_alphabetic() || c == '-');
    alone.then(|| first.to_string())
}

/// `Lambertiana (7)`: one word with a capital, and the number of a species.
fn numbered_word(name: &str) -> bool {
    let core = super::name::strip_remarks(name);
    let number = name
        .rsplit_once('(')
        .is_some_and(|(_, r)| r.trim_end_matches(')').bytes().all(|b| b.is_ascii_digit()));
    number
        && !core.contains(' ')
        && core.starts_with(char::is_uppercase)
        && !super::book::shouted(&core)
}

/// Headings and titles, where a genus is written out.
fn headings(draft: &Draft) -> Vec<String> {
    let mut out: Vec<String> = draft.keys.iter().filter_map(|k| k.title.clone()).collect();
    out.extend(draft.title.clone());
    out.extend(draft.left.iter().filter(|l| l.why == "a heading").map(|l| l.text.clone()));
    out
}

/// The one genus that an initial can stand for.
fn find(
    short: &str,
    given: Option<&str>,
    texts: &[String],
    full: &BTreeSet<String>,
) -> Option<String> {
    let initial = &short[..short.len() - 1];
    if let Some(genus) = given
        && genus.starts_with(initial)
    {
        return Some(genus.to_string());
    }
    let mut found: BTreeSet<String> = BTreeSet::new();
    for text in texts {
        for word in text.split(|c: char| !c.is_alphabetic()).filter(|w| w.chars().count() > 3) {
            let latin = word.starts_with(initial) && !super::book::shouted(word)
                || super::book::shouted(word)
                    && word.starts_with(initial)
                    && text.split_whitespace().count() <= 4;
            let low = word.to_lowercase();
            let ends =
                ["a", "us", "um", "is", "on", "es", "ix", "ax", "ys", "ex", "as", "os", "ma", "go"];
            if latin && ends.iter().any(|e| low.ends_with(e)) && !low.ends_with("aceae") {
                found.insert(capitalised(&low));
            }
        }
    }
    if found.len() == 1 {
        return found.pop_first();
    }
    let mut fits = full.iter().filter(|g| g.starts_with(initial));
    let first = fits.next()?;
    fits.next().is_none().then(|| first.clone())
}

/// The genus of a heading `1. PINUS KORAIENSIS` whose epithet is a lead's name.
fn genus_in_headings(draft: &Draft, epithets: &[String]) -> Option<String> {
    let low: BTreeSet<String> = epithets.iter().map(|e| e.to_lowercase()).collect();
    let mut found: BTreeSet<String> = BTreeSet::new();
    for left in &draft.left {
        let all: Vec<String> = words(&left.text).map(str::to_lowercase).collect();
        let named: Vec<&String> =
            all.iter().filter(|w| w.chars().all(char::is_alphabetic)).collect();
        if named.len() == 2
            && low.contains(named[1])
            && !low.contains(named[0])
            && named[0].len() > 3
        {
            found.insert(capitalised(named[0]));
        }
    }
    if found.len() == 1 { found.pop_first() } else { None }
}

/// An epithet begins small, also where the print honours a person with a capital.
fn lowered(name: &str) -> String {
    let mut chars = name.chars();
    chars.next().map(|c| c.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

fn capitalised(word: &str) -> String {
    let mut chars = word.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}
