//! Finds the characters that a key's couplets suggest.

use indexmap::IndexMap;

use super::Proposal;
use super::statement::{Filling, Words, filling, states};
use crate::key::{Couplet, Key};
use crate::text::language::{Language, fold};

/// What one couplet says of one thing.
struct Sight {
    opening: String,
    ending: String,
    states: Vec<String>,
    measure: Option<String>,
    couplet: String,
    statements: Vec<String>,
}

/// The characters that a key's couplets suggest, in the order of the text. Couplets whose states
/// have one in common are of one character; the same words with other states are another's.
pub fn proposals(key: &Key) -> Vec<Proposal> {
    let language = key.heading.language;
    let mut sights = Vec::new();
    let several = key.subkeys.len() > 1;
    for couplet in &key.couplets {
        let head = &key.subkey(couplet.subkey).head;
        let name = if several { format!("{} of {head}", couplet.name()) } else { couplet.name() };
        look(key, couplet, &name, language, &mut sights);
    }
    let mut groups: Vec<(String, Vec<Sight>)> = Vec::new();
    for sight in sights {
        let sentence = fold(&format!("{} _ {}", sight.opening, sight.ending));
        let fits = groups.iter_mut().find(|(s, members)| {
            *s == sentence
                && members.iter().any(|m| match (&m.measure, &sight.measure) {
                    (Some(a), Some(b)) => (a == "count") == (b == "count"),
                    (None, None) => {
                        m.states.iter().any(|a| sight.states.iter().any(|b| fold(a) == fold(b)))
                    }
                    _ => false,
                })
        });
        match fits {
            Some((_, members)) => members.push(sight),
            None => groups.push((sentence, vec![sight])),
        }
    }
    let mut names: IndexMap<String, usize> = IndexMap::new();
    let mut out: Vec<Proposal> =
        groups.into_iter().map(|(_, members)| proposal(members, &mut names)).collect();
    // A name that several share gets a number in each of them.
    let mut counted: IndexMap<String, usize> = IndexMap::new();
    for p in &mut out {
        if names.get(&fold(&p.character)).is_some_and(|n| *n > 1) {
            let n = counted.entry(fold(&p.character)).or_default();
            *n += 1;
            p.character = format!("{} {n}", p.character);
        }
    }
    out
}

fn proposal(members: Vec<Sight>, names: &mut IndexMap<String, usize>) -> Proposal {
    let first = &members[0];
    let ending = if first.ending.is_empty() { String::new() } else { format!(" {}", first.ending) };
    let sentence = format!("{} _{ending}", capital(&first.opening));
    let name: String = format!("{}{ending}", first.opening)
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric() || matches!(c, ' ' | '-'))
        .collect();
    let mut taken: Vec<String> = Vec::new();
    for state in members.iter().flat_map(|m| &m.states) {
        if !taken.iter().any(|t| fold(t) == fold(state)) {
            taken.push(state.clone());
        }
    }
    let mut couplets: Vec<String> = members.iter().map(|m| m.couplet.clone()).collect();
    couplets.dedup();
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    *names.entry(fold(&name)).or_default() += 1;
    Proposal {
        accept: true,
        character: name,
        sentence,
        states: taken,
        measure: first.measure.clone(),
        couplets,
        statements: members.iter().flat_map(|m| m.statements.clone()).collect(),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// The statements of each lead, their wrapped lines joined.
fn statements(key: &Key, couplet: &Couplet) -> Vec<Vec<String>> {
    let text = key.source.text();
    couplet
        .leads
        .iter()
        .map(|lead| {
            lead.parts
                .iter()
                .map(|p| text[p.span.range()].split_whitespace().collect::<Vec<_>>().join(" "))
                .collect()
        })
        .collect()
}

fn look(key: &Key, couplet: &Couplet, name: &str, language: &Language, out: &mut Vec<Sight>) {
    let leads = statements(key, couplet);
    let Some((first, others)) = leads.split_first() else { return };
    let mut used: Vec<Vec<bool>> = others.iter().map(|l| vec![false; l.len()]).collect();
    for statement in first {
        let words = Words::of(statement, language);
        // In each other lead the statement that shares most of its opening.
        let mut partners: Vec<(usize, usize)> = Vec::new();
        for (l, lead) in others.iter().enumerate() {
            let best = lead
                .iter()
                .enumerate()
                .filter(|(i, _)| !used[l][*i])
                .map(|(i, s)| (words.same_start(&Words::of(s, language)), i))
                .filter(|(same, _)| *same > 0)
                .max_by_key(|(same, i)| (*same, std::cmp::Reverse(*i)));
            if let Some((_, i)) = best {
                partners.push((l, i));
            }
        }
        if partners.is_empty() {
            continue;
        }
        let mut texts: Vec<&str> = vec![statement];
        texts.extend(partners.iter().map(|&(l, i)| others[l][i].as_str()));
        if let Some(sight) = sight(&texts, name, language) {
            for (l, i) in partners {
                used[l][i] = true;
            }
            out.push(sight);
        }
    }
}

/// What statements with the same opening come to.
fn sight(texts: &[&str], couplet: &str, language: &Language) -> Option<Sight> {
    let all: Vec<Words> = texts.iter().map(|t| Words::of(t, language)).collect();
    let (first, others) = all.split_first()?;
    let shortest = all.iter().map(Words::len).min()?;
    let start = others.iter().map(|w| first.same_start(w)).min()?.min(shortest.checked_sub(1)?);
    let end = others.iter().map(|w| first.same_end(w)).min()?.min(shortest.checked_sub(start + 1)?);
    if start == 0 {
        return None;
    }
    let opening = first.all[..start].join(" ");
    if opening.contains([',', ';', '(', ')', ':', '_'])
        || opening.chars().any(|c| c.is_ascii_digit())
    {
        return None;
    }
    let ending = first.all[first.len() - end..].join(" ");
    let gaps: Vec<&[&str]> = all.iter().map(|w| &w.all[start..w.len() - end]).collect();
    let base = |ending: String, states, measure| Sight {
        opening: opening.clone(),
        ending,
        states,
        measure,
        couplet: couplet.to_string(),
        statements: texts.iter().map(|t| t.trim_end_matches('.').to_string()).collect(),
    };
    // A unit that the statements share stands in the ending.
    let whole: Vec<Filling> = all.iter().map(|w| filling(&w.all[start..])).collect();
    if let Filling::Measure(unit, after) = &whole[0] {
        let same = whole.iter().all(|f| matches!(f, Filling::Measure(_, a) if a == after));
        return same.then(|| base(after.clone(), Vec::new(), Some(unit.to_string())));
    }
    let fillings: Vec<Filling> = gaps.iter().map(|g| filling(g)).collect();
    if fillings.iter().all(|f| *f == Filling::Count) {
        return (!ending.chars().any(|c| c.is_ascii_digit()))
            .then(|| base(ending, Vec::new(), Some("count".into())));
    }
    if ending.contains([',', ';', '(', ')', '_']) || ending.chars().any(|c| c.is_ascii_digit()) {
        return None;
    }
    let mut taken: Vec<String> = Vec::new();
    for gap in gaps {
        let own = states(gap, language);
        if own.is_empty() {
            return None;
        }
        for state in own {
            if !taken.iter().any(|t| fold(t) == fold(&state)) {
                taken.push(state);
            }
        }
    }
    (taken.len() >= 2).then(|| base(ending, taken, None))
}
