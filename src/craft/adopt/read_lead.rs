//! One lead of a draft: its words joined, and where it goes.

use super::build::{Builder, letters_of};
use super::draft::{DraftLead, Frag, Goes, Oddity, Pointer, Repair};
use super::join::join;
use super::line::{plain, tidy_blanks};
use super::name;
use super::outcome::{Context, Split};
use super::report::LeftOut;

impl Builder<'_> {
    pub(super) fn joined(&mut self, frags: &[Frag]) -> String {
        tidy_blanks(&join(frags, self.book, &mut self.draft.repairs))
    }

    pub(super) fn lead(
        &mut self,
        mark: Option<&super::mark::Mark>,
        split: &Split,
        context: &Context,
    ) -> DraftLead {
        self.draft.run_together += usize::from(self.runs_together(&split.body));
        let text = self.joined(&split.body);
        let mut lines: Vec<u32> =
            split.body.iter().chain(&split.tail).map(|f| self.number(f)).collect();
        lines.sort_unstable();
        lines.dedup();
        let label = mark.map(|m| m.written.clone()).unwrap_or_default();
        let mut back: Vec<String> = mark.map(|m| m.back.clone()).unwrap_or_default();
        let letters = format!(
            "{label}{}{}{}",
            back.concat(),
            letters_of(&split.body),
            letters_of(&split.tail)
        );
        // `(4) petals` is a statement where there is no couplet 4.
        let mut text = text;
        let origin = |b: &String| {
            super::pointer::read(b, super::pointer::Called::Numbers)
                .is_some_and(|p| context.has(&p))
        };
        if !back.is_empty() && text.starts_with(char::is_lowercase) && !back.iter().any(origin) {
            text = format!("({}) {text}", back.join(", "));
            back.clear();
        }
        let mut lead = DraftLead {
            label,
            back,
            text,
            goes: Goes::Nowhere,
            tail: split.tail.iter().map(|f| tidy_blanks(&f.text)).collect::<Vec<_>>().join(" "),
            remarks: Vec::new(),
            lines,
            letters,
        };
        let line = lead.lines.last().copied().unwrap_or(0);
        self.goes(&mut lead, split, context, line);
        if split.weak && !matches!(lead.goes, Goes::Nowhere) {
            self.draft.repairs.push(Repair {
                line,
                kind: "outcome",
                what: format!(
                    "`{}` was taken as where the lead goes, though nothing but its place says so",
                    lead.tail
                ),
            });
        }
        lead
    }

    /// Whether a line ends well before the margin and the next begins a sentence: nobody wraps so.
    fn runs_together(&self, body: &[Frag]) -> bool {
        body.windows(2).any(|pair| {
            let [before, after] = pair else { return false };
            let wide = self.book.lines.get(before.line).map_or(0, |l| l.columns());
            let open = before.text.trim_end().ends_with([',', ';', ':', '-', '–', '(']);
            before.line < after.line
                && 10 * wide < 6 * self.book.width
                && !open
                && plain(&after.text).starts_with(char::is_uppercase)
        })
    }

    /// `go to couplet 12`: the key has the number, and the words are told as left out.
    fn words_of_pointer(&mut self, lead: &mut DraftLead, pointer: &Pointer, line: u32) {
        let number = pointer.number.to_string();
        let tokens: Vec<&str> = pointer
            .written
            .split(|c: char| !c.is_alphanumeric())
            .filter(|t| !t.is_empty())
            .collect();
        let lettered = |t: &&str| t.chars().count() <= 4 && t.chars().all(char::is_uppercase);
        let kept = tokens
            .iter()
            .position(|t| t.starts_with(&number))
            .or_else(|| tokens.iter().rposition(lettered));
        let Some(kept) = kept else { return };
        let rest: Vec<&str> = (0..tokens.len()).filter(|&i| i != kept).map(|i| tokens[i]).collect();
        let rest =
            if rest.iter().any(|t| t.chars().any(char::is_alphabetic)) { rest } else { Vec::new() };
        if rest.is_empty() {
            return;
        }
        let words = rest.join(" ");
        for c in words.chars().filter(|c| c.is_alphanumeric()) {
            if let Some(at) = lead.letters.rfind(c) {
                lead.letters.remove(at);
            }
        }
        self.draft.left.push(LeftOut::new(line, &words, "words beside a couplet's number"));
    }

    pub(super) fn goes(
        &mut self,
        lead: &mut DraftLead,
        split: &Split,
        context: &Context,
        line: u32,
    ) {
        if split.tail.is_empty() {
            return;
        }
        // Several lines: pieces of one name, or several names.
        let mut parts: Vec<Vec<Frag>> = Vec::new();
        for frag in &split.tail {
            let text = plain(&frag.text);
            let low =
                text.trim_start().starts_with(|c: char| c.is_lowercase() || "(&×".contains(c));
            let open = parts.last().is_some_and(|p: &Vec<Frag>| {
                let before = p.iter().map(|f| plain(&f.text)).collect::<Vec<_>>().join(" ");
                let bare = before.trim_end();
                let full =
                    name::likely(&before, self.book) == name::Likely::Yes && bare.contains(' ');
                low || bare.ends_with([',', '-', '(', ';'])
                    || bare.rsplit(' ').next().is_some_and(|w| {
                        super::languages::between_names(self.book.tongue).contains(&w)
                    })
                    || before.matches('(').count() > before.matches(')').count()
                    || !(bare.ends_with('.') || full)
            });
            match parts.last_mut() {
                Some(last) if open => last.push(frag.clone()),
                _ => parts.push(vec![frag.clone()]),
            }
        }
        let texts: Vec<String> =
            parts.iter().map(|p| join(p, self.book, &mut self.draft.repairs)).collect();
        if texts.len() == 1 {
            let text = &texts[0];
            if let Some(pointer) = context.pointer(text) {
                if pointer.slip {
                    let what = format!(
                        "`{}` was read as the number {}, which is a couplet here",
                        pointer.written, pointer.number
                    );
                    self.draft.repairs.push(Repair { line, kind: "slip", what });
                }
                self.words_of_pointer(lead, &pointer, line);
                lead.goes = Goes::Pointer(pointer);
                return;
            }
            let bare = tidy_blanks(text);
            // A Roman number is a pointer, though nothing here is so called.
            if bare.len() >= 2
                && let Some(pointer) = super::pointer::read(&bare, super::pointer::Called::Roman)
                && bare.chars().all(|c| c.is_ascii_uppercase())
            {
                lead.goes = Goes::Pointer(pointer);
                return;
            }
            if let Some(goes) = elsewhere(&bare, context) {
                lead.goes = goes;
                return;
            }
        }
        let named = name::name(&texts, self.book);
        let plausible = named.names.iter().all(|n| {
            let core = name::strip_remarks(n);
            let small =
                core.split_whitespace().filter(|w| w.starts_with(char::is_lowercase)).count();
            core.split_whitespace().count() <= 9 && small <= 5 && !core.is_empty()
        });
        if named.names.is_empty() || !plausible {
            let whole: Vec<String> = texts.iter().map(|t| tidy_blanks(t)).collect();
            lead.goes = Goes::Stop(whole.join(" "));
            return;
        }
        if texts.len() > 1 {
            self.draft.oddities.push(Oddity {
                line,
                rule: "several-names",
                what: format!("{} names stand under `{}`: {}", named.names.len(), lead.label, named.names.join("; ")),
                remedy: "Look whether one of them belongs to another lead; both were kept here, parted by `or`.".into(),
            });
        }
        for what in &named.changed {
            self.draft.repairs.push(Repair { line, kind: "name", what: what.clone() });
        }
        lead.remarks.extend(named.remarks);
        lead.goes = Goes::Names(named.names);
    }
}

/// `2b, in FAGACEAE, p. 22`; `Group B`; `Key to the grasses`; `Table II, page 13`; a reason to stop.
fn elsewhere(text: &str, context: &Context) -> Option<Goes> {
    let bare = text.trim().trim_end_matches('.').trim_matches(['(', ')']).trim();
    for sep in [", in ", " in ", " of ", ", ", ", siehe "] {
        if let Some((place, rest)) = bare.split_once(sep)
            && let Some(p) = super::pointer::read(place, super::pointer::Called::Numbers)
        {
            let name = rest.split([',', '(']).next().unwrap_or(rest).trim().to_string();
            if name.starts_with(char::is_uppercase) {
                return Some(Goes::Key { name, at: Some(p.written), words: text.to_string() });
            }
        }
    }
    let low = bare.to_lowercase();
    let keyed = [
        "key",
        "group",
        "subkey",
        "table",
        "tabelle",
        "gruppe",
        "section",
        "schlüssel",
        "tabel",
        "groep",
        "part",
        "see key",
        "go to",
        "see",
    ]
    .iter()
    .any(|w| low.strip_prefix(w).is_some_and(|r| r.starts_with(' ')));
    let head = bare.split([',', '(']).next().unwrap_or(bare).trim();
    if context.head(head) || keyed && head.split_whitespace().count() <= 8 {
        return Some(Goes::Key { name: head.to_string(), at: None, words: text.to_string() });
    }
    let count = bare.split_whitespace().count();
    let small = bare.split_whitespace().filter(|w| w.starts_with(char::is_lowercase)).count();
    (count >= 5 && small * 2 > count && !bare.starts_with(char::is_uppercase))
        .then(|| Goes::Stop(text.to_string()))
}
