//! The list of rules: documented, named, sorted, and each with examples that really fail and pass.

use std::collections::BTreeSet;

use hilum::check::{Accepted, HEADINGS, Options, Report, Rule, examine, profiles, rules};
use hilum::key::Key;
use hilum::text::finding::{Finding, Severity};

/// The fenced blocks of one kind in a rule's explanation, with their visible escapes undone.
fn examples(rule: &Rule, fence: &str) -> Vec<Vec<u8>> {
    let mut out = Vec::new();
    let mut open: Option<String> = None;
    for line in rule.explanation().lines() {
        match &mut open {
            None if line == format!("```{fence}") => open = Some(String::new()),
            Some(_) if line == "```" => out.push(unescape(&open.take().unwrap())),
            Some(text) => {
                text.push_str(line);
                text.push('\n');
            }
            None => {}
        }
    }
    assert!(open.is_none(), "{}: a fence is not closed", rule.id);
    out
}

fn unescape(text: &str) -> Vec<u8> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('\\') {
        out.extend(&rest.as_bytes()[..at]);
        let after = &rest[at + 1..];
        let used = match after.as_bytes()[0] {
            b'r' => {
                out.push(b'\r');
                1
            }
            b't' => {
                out.push(b'\t');
                1
            }
            b'x' => {
                out.push(u8::from_str_radix(&after[1..3], 16).unwrap());
                3
            }
            b'u' => {
                let end = after.find('}').unwrap();
                let c = char::from_u32(u32::from_str_radix(&after[2..end], 16).unwrap()).unwrap();
                out.extend(c.to_string().as_bytes());
                end + 1
            }
            other => panic!("unknown escape {}", other as char),
        };
        rest = &after[used..];
    }
    out.extend(rest.as_bytes());
    out
}

fn report(rule: &Rule, bytes: Vec<u8>) -> Report {
    let (source, fault) = hilum::cli::input::decode("example.key", bytes);
    let mut key = Key::read(source);
    key.findings.extend(fault);
    // Some rules hold the names against a list.
    let list = examples(rule, "list").pop().map(|l| Accepted::read(&String::from_utf8(l).unwrap()));
    examine(&key, &Options { accepted: list.as_ref(), ..Options::default() })
}

/// The rule's own findings, and all others but those of style: an example on one matter need not be
/// in good style as well.
fn of_weight<'r>(rule: &'r Rule, report: &'r Report) -> impl Iterator<Item = &'r Finding> {
    let style = |id: &str| rules::find(id).is_some_and(|r| r.style);
    report.open().filter(move |f| f.rule == rule.id || !style(f.rule))
}

fn open_rules(rule: &Rule, report: &Report) -> BTreeSet<&'static str> {
    of_weight(rule, report).map(|f| f.rule).collect()
}

#[test]
fn every_rule_is_named_in_lower_case_with_hyphens_once_and_in_order() {
    let ids: Vec<&str> = rules::ALL.iter().map(|r| r.id).collect();
    let mut sorted = ids.clone();
    sorted.sort_unstable();
    sorted.dedup();
    assert_eq!(ids, sorted);
    for id in ids {
        let plain = id.split('-').all(|w| {
            !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        });
        assert!(plain, "{id}");
        assert_eq!(rules::find(id).map(|r| r.id), Some(id));
    }
}

#[test]
fn every_rule_is_one_file_of_its_name() {
    let folder = crate::support::checkout("src/check/rules");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|f| f != "mod.rs")
        .collect();
    files.sort_unstable();
    let ids: Vec<String> =
        rules::ALL.iter().map(|r| format!("{}.rs", r.id.replace('-', "_"))).collect();
    assert_eq!(files, ids);
}

#[test]
fn every_rule_is_explained_under_the_same_headings() {
    for rule in rules::ALL {
        let explanation = rule.explanation();
        let headings: Vec<&str> =
            explanation.lines().filter_map(|l| l.strip_prefix("## ")).collect();
        assert_eq!(headings, HEADINGS, "{}", rule.id);
        for heading in HEADINGS {
            assert!(!rule.section(heading).is_empty(), "{}: {heading} is empty", rule.id);
        }
        let headline = rule.headline();
        assert!(headline.ends_with('.') && headline.len() > 20, "{}: {headline}", rule.id);
        assert!(!examples(rule, "key-bad").is_empty(), "{}: no bad example", rule.id);
        assert!(!examples(rule, "key-good").is_empty(), "{}: no good example", rule.id);
    }
}

#[test]
fn every_bad_example_breaks_its_rule_and_no_other() {
    let mut wrong = Vec::new();
    for rule in rules::ALL {
        for example in examples(rule, "key-bad") {
            let report = report(rule, example);
            if open_rules(rule, &report) != BTreeSet::from([rule.id]) {
                let found: Vec<_> = of_weight(rule, &report).map(|f| (f.rule, &f.what)).collect();
                wrong.push(format!("{}: {found:?}", rule.id));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_good_example_is_clean() {
    let mut wrong = Vec::new();
    for rule in rules::ALL {
        for example in examples(rule, "key-good") {
            let report = report(rule, example);
            let found: Vec<_> = of_weight(rule, &report).map(|f| (f.rule, &f.what)).collect();
            if !found.is_empty() {
                wrong.push(format!("{}: {found:?}", rule.id));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_finding_is_graver_than_its_rule_says() {
    for rule in rules::ALL {
        for example in examples(rule, "key-bad") {
            let report = report(rule, example);
            let worst = report.open().filter(|f| f.rule == rule.id).map(|f| f.severity).max();
            assert!(worst <= Some(rule.severity), "{}", rule.id);
            assert!(worst >= Some(Severity::Note), "{}", rule.id);
        }
    }
}

#[test]
fn every_message_says_what_and_what_to_do() {
    for rule in rules::ALL {
        for example in examples(rule, "key-bad") {
            for f in report(rule, example).open() {
                let begins = f.what.chars().next().unwrap();
                assert!(!begins.is_uppercase() || f.what.contains(' '), "{}: {}", f.rule, f.what);
                assert!(!f.what.ends_with('.'), "{}: a headline has no stop: {}", f.rule, f.what);
                assert!(!f.remedy.is_empty(), "{}: no remedy", f.rule);
                for text in [&f.why, &f.remedy] {
                    let whole = text.is_empty() || text.ends_with(['.', '?', '`', '!', 's']);
                    assert!(whole, "{}: {text}", f.rule);
                }
            }
        }
    }
}

#[test]
fn every_mend_mends() {
    let mut wrong = Vec::new();
    for rule in rules::ALL {
        for example in examples(rule, "key-bad") {
            let Ok(text) = String::from_utf8(example) else { continue };
            for f in report(rule, text.clone().into_bytes()).open().filter(|f| f.rule == rule.id) {
                let Some(mend) = &f.mend else { continue };
                let mut mended = text.clone();
                mended.replace_range(mend.span.range(), &mend.replacement);
                let left = report(rule, mended.clone().into_bytes());
                if open_rules(rule, &left).contains(rule.id) {
                    wrong.push(format!("{}: still there after the mend:\n{mended}", rule.id));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every name that the code can print has its file: the reader's literals are looked up.
#[test]
fn every_finding_of_the_reader_is_explained() {
    fn visit(folder: &std::path::Path, names: &mut BTreeSet<String>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                visit(&path, names);
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            for call in ["Finding::error(", "Finding::warning(", "Finding::note("] {
                for (at, _) in text.match_indices(call) {
                    let rest = text[at + call.len()..].trim_start();
                    if let Some(name) = rest.strip_prefix('"').and_then(|r| r.split('"').next()) {
                        names.insert(name.to_string());
                    }
                }
            }
        }
    }
    let mut names = BTreeSet::new();
    visit(&crate::support::checkout("src"), &mut names);
    assert!(names.len() > 30, "the search finds too little: {names:?}");
    let unexplained: Vec<_> = names.iter().filter(|n| rules::find(n).is_none()).collect();
    assert!(unexplained.is_empty(), "no rule file for {unexplained:?}");
}

#[test]
fn an_unknown_name_is_answered_with_the_nearest() {
    assert_eq!(rules::nearest("taxon-twize"), Some("taxon-twice"));
    assert_eq!(rules::nearest("Couplet-Without-Lead"), Some("couplet-with-one-lead"));
    assert_eq!(rules::nearest("circular"), Some("circular-route"));
    assert_eq!(rules::nearest("spelling"), None);
}

#[test]
fn reading_twice_finds_the_same() {
    for rule in rules::ALL {
        for example in examples(rule, "key-bad") {
            assert_eq!(report(rule, example.clone()).findings, report(rule, example).findings);
        }
    }
}

#[test]
fn every_house_style_is_one_file_of_its_name_and_asks_for_rules_that_exist() {
    let folder = crate::support::checkout("src/check/profiles");
    let mut files: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|f| f != "mod.rs")
        .collect();
    files.sort_unstable();
    let names: Vec<String> =
        profiles::ALL.iter().map(|p| format!("{}.rs", p.name.replace(' ', "_"))).collect();
    assert_eq!(files, names);
    for profile in profiles::ALL {
        let ids: Vec<&str> = profile.rules.iter().map(|(id, _)| *id).collect();
        let mut sorted = ids.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(ids, sorted, "{}", profile.name);
        assert!(profile.headline().ends_with('.'), "{}", profile.name);
        for heading in profiles::HEADINGS {
            assert!(!profile.section(heading).is_empty(), "{}: {heading}", profile.name);
        }
        for (id, severity) in profile.rules {
            let rule = rules::find(id).unwrap_or_else(|| panic!("{}: no rule {id}", profile.name));
            let changes = !rule.asked_by.is_empty() || *severity > rule.severity;
            assert!(changes, "{}: {id} would hold as much without it", profile.name);
        }
    }
}

#[test]
fn a_house_style_switches_rules_on_and_raises_them() {
    let text = "Weeds of the yard\n\nkey\n\n1a  Petals red; sap milky .... 2\n\
                1b  Petals blue; sap clear .... Veronica persica\n\n\
                2a  Petals long .... Papaver rhoeas\n2b  Leaves short .... Papaver dubium\n";
    let key = Key::read(hilum::text::source::Source::new("a.key", text));
    let found = |profile: Option<&str>, rule: &str| {
        let profiles: Vec<String> = profile.map(String::from).into_iter().collect();
        let report = examine(&key, &Options { profiles: &profiles, ..Options::default() });
        report.open().find(|f| f.rule == rule).map(|f| f.severity)
    };
    assert_eq!(found(None, "longer-branch-first"), None);
    assert_eq!(found(Some("strict pairs"), "longer-branch-first"), Some(Severity::Warning));
    assert_eq!(found(Some("Strict-Pairs"), "longer-branch-first"), Some(Severity::Warning));
    assert_eq!(found(Some("longer-branch-first"), "longer-branch-first"), Some(Severity::Note));
    assert_eq!(found(Some("shorter branch first"), "longer-branch-first"), Some(Severity::Note));
    assert_eq!(found(None, "first-words-differ"), Some(Severity::Note));
    assert_eq!(found(Some("classroom"), "first-words-differ"), Some(Severity::Warning));
}

#[test]
fn an_answer_to_a_rule_that_needs_a_list_is_not_idle_without_one() {
    let text = "Weeds of the yard\n  intended  listed-taxon-not-keyed: grasses are keyed elsewhere\n\n\
                key\n\n1a  Petals red; sap milky .... Papaver rhoeas\n\
                1b  Petals blue; sap clear .... Veronica persica\n";
    let key = Key::read(hilum::text::source::Source::new("a.key", text));
    let report = examine(&key, &Options::default());
    assert!(report.open().all(|f| f.rule != "answer-without-question"));
    let list = Accepted::read("Papaver rhoeas\nVeronica persica\nPoa annua\n");
    let report = examine(&key, &Options { accepted: Some(&list), ..Options::default() });
    assert_eq!(report.counts().answered, 1);
    assert_eq!(report.counts().errors, 0);
}
