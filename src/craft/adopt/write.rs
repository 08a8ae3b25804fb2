//! Writes a draft as a key file.

use super::draft::{Draft, DraftLead, Repair};
use super::line::tidy_blanks;
use super::number::{Numbered, Target, label};
use crate::text::language::Language;
use crate::text::tree::SectionKind;

/// A key file's text, and the manuscript's lines of each of its leads in the order of the text.
#[derive(Debug, Default)]
pub struct Written {
    pub text: String,
    pub lead_lines: Vec<Vec<u32>>,
    /// For each key the manuscript's line of its title.
    pub head_lines: Vec<u32>,
    pub repairs: Vec<Repair>,
}

/// How a key's title is compared: lower case, without `key to the`, without a stop at its end.
pub fn head_key(title: &str) -> String {
    let low = tidy_blanks(title).to_lowercase();
    let mut rest = low.trim_matches(|c: char| !c.is_alphanumeric());
    for word in [
        "analytical key",
        "see key",
        "see",
        "go to",
        "key",
        "schlüssel",
        "bestimmungsschlüssel",
        "to",
        "for",
        "of",
        "zu",
        "zur",
        "der",
        "the",
        "den",
        "die",
    ] {
        if let Some(after) = rest.strip_prefix(word)
            && after.starts_with(' ')
        {
            rest = after.trim_start();
        }
    }
    rest.to_string()
}

/// Writes the key. `name` is the title where the manuscript has none.
pub fn write(
    draft: &Draft,
    numbered: &Numbered,
    language: &'static Language,
    name: &str,
) -> Written {
    let mut out = Written::default();
    let title = draft.title.clone().unwrap_or_else(|| name.to_string());
    let title = sanitize(title.trim_end_matches(':'), draft.title_line, &mut out.repairs);
    let title = title.trim_start_matches(['#', ' ']).to_string();
    // A first line that begins like a lead would be taken for one.
    let title = match super::name::strip_number(&title) {
        (Some(number), rest) => {
            let what = format!("the title's number `{number}` was put at its end, in brackets");
            out.repairs.push(Repair { line: draft.title_line, kind: "title", what });
            format!("{rest} ({number})")
        }
        _ => title,
    };
    // A title that is a section's word would begin the section.
    let title = if language.section(&title).is_some() && !title.contains(' ') {
        format!("{title}: {name}")
    } else {
        title
    };
    out.text.push_str(if title.is_empty() { "Key" } else { &title });
    out.text.push('\n');
    if language.code != "en" {
        out.text.push_str(&format!("  language  {}\n", language.code));
    }
    let heads = heads(draft, numbered, language, &mut out.repairs);
    let beside = are_beside(draft, numbered);
    if beside {
        out.repairs.push(Repair {
            line: draft.keys[1].title_line.max(first_line(&draft.keys[1])),
            kind: "keys",
            what: format!("{} keys stand side by side and none leads to another: all but the first say so with a note (`intended`)", draft.keys.len()),
        });
    }
    for (k, key) in draft.keys.iter().enumerate() {
        out.text.push('\n');
        out.head_lines.push(if key.title_line > 0 { key.title_line } else { first_line(key) });
        out.text.push_str(&format!("{}\n", heads[k]));
        if k > 0 && beside {
            out.text.push_str(&format!("  intended  key-not-reached: {BESIDE}\n"));
        }
        for (c, couplet) in key.couplets.iter().enumerate() {
            out.text.push('\n');
            for (l, lead) in couplet.leads.iter().enumerate() {
                let label = label(numbered.numbers[k][c], Some(l as u8));
                let target = numbered.target(draft, k, &lead.goes);
                let back: Vec<String> =
                    lead.back.iter().filter_map(|b| numbered.origin(k, b)).collect();
                write_lead(&mut out, &label, &back, lead, &target, &heads, language);
                out.lead_lines.push(lead.lines.clone());
            }
        }
    }
    out
}

/// Why a key that stands beside others is reached from nowhere.
const BESIDE: &str = "printed beside the other keys, each entered on its own";

/// Whether a draft's keys stand side by side, none of them leading to another.
fn are_beside(draft: &Draft, numbered: &Numbered) -> bool {
    draft.keys.len() > 1
        && !draft.keys.iter().enumerate().any(|(i, k)| {
            k.couplets
                .iter()
                .flat_map(|c| &c.leads)
                .any(|l| matches!(numbered.target(draft, i, &l.goes), Target::Key { .. }))
        })
}

/// The manuscript's line of a key's first lead.
fn first_line(key: &super::draft::DraftKey) -> u32 {
    key.couplets
        .first()
        .and_then(|c| c.leads.first())
        .and_then(|l| l.lines.first())
        .copied()
        .unwrap_or(0)
}

/// The line that begins each key: `key` for the first, `key to ...` for the others.
fn heads(
    draft: &Draft,
    numbered: &Numbered,
    language: &Language,
    repairs: &mut Vec<Repair>,
) -> Vec<String> {
    let word = language.sections.iter().find(|s| s.1 == SectionKind::Key).map_or("key", |s| s.0);
    let to = language.key_to.first().copied().unwrap_or("key to");
    let pointed = draft.keys.iter().enumerate().any(|(i, k)| {
        k.couplets.iter().flat_map(|c| &c.leads).any(|l| {
            i > 0 && matches!(numbered.target(draft, i, &l.goes), Target::Key { key: 0, .. })
        })
    });
    // Keys that stand side by side each bear their head; a first key that leads to others does not.
    let beside = are_beside(draft, numbered);
    let mut out: Vec<String> = Vec::new();
    for (i, key) in draft.keys.iter().enumerate() {
        let own = key
            .title
            .as_ref()
            .filter(|t| i > 0 || pointed || beside || draft.title.as_ref() != Some(t));
        let Some(title) = own else {
            out.push(if i == 0 { word.to_string() } else { format!("{to} part {}", i + 1) });
            continue;
        };
        let bare = sanitize(title.trim_end_matches(['.', ':']), key.title_line, repairs);
        let low = bare.to_lowercase();
        let rest = language.key_to.iter().find_map(|w| {
            low.strip_prefix(&format!("{w} ")).map(|r| bare[bare.len() - r.len()..].to_string())
        });
        let mut head = format!("{to} {}", rest.unwrap_or(bare).trim());
        let mut n = 2;
        while out
            .iter()
            .any(|h| crate::text::language::fold(h) == crate::text::language::fold(&head))
        {
            head = format!("{} ({n})", head.trim_end_matches(&format!(" ({})", n - 1)));
            n += 1;
        }
        out.push(head);
    }
    out
}

fn write_lead(
    out: &mut Written,
    label: &str,
    back: &[String],
    lead: &DraftLead,
    target: &Target,
    heads: &[String],
    language: &Language,
) {
    let line = lead.lines.first().copied().unwrap_or(0);
    let mut text = sanitize(&lead.text, line, &mut out.repairs);
    if back.is_empty() && begins_like_back(&text) {
        text = format!("- {text}");
    }
    if back.is_empty() && lead.back.iter().any(|b| b == "0") {
        let what = format!(
            "`(0)` after `{}` says that the key begins there; it was left away",
            lead.label
        );
        out.repairs.push(Repair { line, kind: "origin", what });
    }
    let origin = if back.is_empty() { String::new() } else { format!(" ({})", back.join(", ")) };
    let mut remarks: Vec<String> = lead.remarks.clone();
    let outcome = match target {
        Target::Couplet(label) => Some(label.clone()),
        Target::Names(names) => {
            let or = language.or.first().copied().unwrap_or("or");
            Some(names.join(&format!(" {or} ")))
        }
        Target::Key { key, at } => Some(match at {
            Some(at) => {
                format!("{} {} {at}", heads[*key], language.at.first().copied().unwrap_or("at"))
            }
            None => heads[*key].clone(),
        }),
        Target::Stop(reason) => {
            Some(format!("{}: {reason}", language.stop.first().copied().unwrap_or("stop")))
        }
        Target::Dangling(written) => {
            match super::pointer::read(written, super::pointer::Called::Numbers) {
                Some(p) => Some(super::number::label((p.number, p.capital), p.lead)),
                None => {
                    remarks.push(written.clone());
                    None
                }
            }
        }
        Target::Nowhere => None,
    };
    out.text.push_str(&format!("{label}{origin}  {text}"));
    if let Some(outcome) = outcome {
        let outcome = sanitize(&outcome, line, &mut out.repairs);
        out.text.push_str(&format!(" ..... {outcome}"));
    }
    out.text.push('\n');
    for remark in remarks {
        let remark = sanitize(&remark, line, &mut out.repairs);
        if !remark.is_empty() {
            out.text.push_str(&format!("      remark    {remark}\n"));
        }
    }
}

fn begins_like_back(text: &str) -> bool {
    let Some(inner) = text.strip_prefix(['(', '[']) else { return false };
    let Some(end) = inner.find([')', ']']) else { return false };
    inner[..end].chars().any(|c| c.is_ascii_digit())
        && inner[..end].chars().all(|c| c.is_ascii_alphanumeric() || ",;. ".contains(c))
}

/// Makes a text one line that the format reads as it stands: dots that would be a leader become
/// dots that look the same, a hash between blanks loses the blank behind it.
pub fn sanitize(text: &str, line: u32, repairs: &mut Vec<Repair>) -> String {
    let text = tidy_blanks(text);
    let mut out = String::with_capacity(text.len());
    let chars: Vec<char> = text.chars().collect();
    let mut changed = false;
    for (i, &c) in chars.iter().enumerate() {
        let before = i.checked_sub(1).map(|k| chars[k]);
        let next = chars.get(i + 1).copied();
        match c {
            '.' if next == Some('.') || before == Some('.') => {
                out.push('\u{2024}');
                changed = true;
            }
            '.' if next == Some(' ') && chars.get(i + 2) == Some(&'.') => {
                out.push('\u{2024}');
                changed = true;
            }
            '…' => {
                out.push_str("\u{2024}\u{2024}\u{2024}");
                changed = true;
            }
            '#' if before.is_none_or(|b| b == ' ') && next.is_none_or(|n| n == ' ') => {
                out.push('\u{FF03}');
                changed = true;
            }
            c => out.push(c),
        }
    }
    if changed {
        repairs.push(Repair {
            line,
            kind: "sign",
            what: "dots or a hash that the format would read as its own were written with signs that look the same".into(),
        });
    }
    out
}
