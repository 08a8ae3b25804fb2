//! What writes a made key down: its lines, gaps and comments, in order or carelessly.

use super::*;

pub(super) struct Pen {
    pub dice: Dice,
    pub out: String,
    pub shape: Shape,
}

impl Pen {
    pub fn careless(&mut self, n: usize) -> bool {
        self.shape.careless && self.dice.once_in(n)
    }

    pub fn gap(&mut self) {
        self.out.push('\n');
        while self.careless(4) {
            self.out.push_str(if self.dice.once_in(3) { "  \n" } else { "\n" });
        }
    }

    pub fn section(&mut self, word: &str) {
        self.gap();
        self.line(0, word, "");
        if !self.careless(3) {
            self.gap();
        }
    }

    /// Comments between entries.
    pub fn between(&mut self) {
        if self.shape.comments && self.dice.once_in(6) {
            let comment = self.dice.pick(COMMENTS);
            let indent = if self.dice.once_in(3) { 2 } else { 0 };
            self.out.push_str(&" ".repeat(indent));
            self.out.push_str(comment);
            self.out.push('\n');
            if self.careless(2) {
                self.gap();
            }
        }
    }

    pub fn line(&mut self, indent: usize, text: &str, after: &str) {
        // A tab is eight columns: deeper than any property line here.
        let tab = indent > 2 && self.careless(8);
        self.out.push_str(&if tab { "\t".to_string() } else { " ".repeat(indent) });
        self.out.push_str(text);
        self.out.push_str(after);
        if self.shape.comments && self.dice.once_in(12) {
            self.out.push_str(if self.dice.once_in(2) { "  " } else { " " });
            let comment = self.dice.pick(COMMENTS);
            self.out.push_str(comment);
        }
        if self.careless(8) {
            self.out.push_str("  ");
        }
        self.out.push('\n');
    }

    pub fn property(&mut self, indent: usize, word: &str, value: &str) {
        self.indented(indent, &format!("{word:<9} {value}"));
    }

    /// A property line; its value may go on deeper.
    pub fn indented(&mut self, indent: usize, line: &str) {
        let (word, value) = line.split_once(' ').unwrap_or((line, ""));
        let gap = 2 + self.dice.below(if self.shape.careless { 8 } else { 1 });
        let word = format!("{word}{}", " ".repeat(gap));
        let lines = self.broken(value.trim(), 9);
        self.line(indent, &format!("{word}{}", lines[0]), "");
        for line in &lines[1..] {
            let deeper = indent + 1 + self.dice.below(9);
            self.comment_within(deeper);
            self.line(deeper, line, "");
        }
    }

    pub fn comment_within(&mut self, indent: usize) {
        if self.shape.comments && self.shape.careless && self.dice.once_in(10) {
            let comment = self.dice.pick(COMMENTS);
            self.out.push_str(&" ".repeat(indent));
            self.out.push_str(comment);
            self.out.push('\n');
        }
    }

    /// The text on one line, or broken at some of its blanks, some of them doubled.
    pub fn broken(&mut self, text: &str, n: usize) -> Vec<String> {
        let mut lines = vec![String::new()];
        for word in text.split(' ') {
            let empty = lines.last().is_none_or(|l| l.is_empty());
            if !empty && self.careless(n) {
                lines.push(word.to_string());
                continue;
            }
            let blanks = if empty {
                ""
            } else if lines.last().is_some_and(|l| l.contains(' ')) && self.careless(9) {
                "  "
            } else {
                " "
            };
            if let Some(line) = lines.last_mut() {
                line.push_str(blanks);
                line.push_str(word);
            }
        }
        lines
    }

    pub fn statement(&mut self, characters: &[Character]) -> String {
        if characters.is_empty() || self.dice.once_in(4) {
            return self.dice.pick(PROSE).to_string();
        }
        let c = &characters[self.dice.below(characters.len())];
        let mut fill = c.fills[self.dice.below(c.fills.len())].clone();
        if self.dice.once_in(5) && c.closing.is_empty() {
            let word = self.dice.pick(&["rarely", "or", "usually"]);
            let other = &c.fills[self.dice.below(c.fills.len())];
            fill = match word {
                "or" => format!("{fill} or {other}"),
                "rarely" => format!("{fill}, rarely {other}"),
                _ => format!("usually {fill}, sometimes {other}"),
            };
        }
        format!("{} {fill}{}", c.opening, c.closing)
    }

    pub fn statements(&mut self, characters: &[Character], most: usize) -> String {
        let n = 1 + self.dice.below(most);
        (0..n).map(|_| self.statement(characters)).collect::<Vec<_>>().join("; ")
    }

    /// Couplets of a key, every one reached; all that is left open leads to a taxon.
    pub fn couplets(
        &mut self,
        n: usize,
        characters: &[Character],
        subkeys: usize,
        taxa: &mut usize,
    ) {
        // Where each lead goes: a couplet, or 0.
        let mut goes: Vec<Vec<usize>> = vec![vec![0; 2]];
        let mut from = vec![0];
        let mut open: Vec<(usize, usize)> = vec![(0, 1), (0, 0)];
        for i in 1..n {
            // Mostly the next open lead, as keys are written.
            let near = open.len() - 1;
            let at = if self.dice.once_in(4) { self.dice.below(open.len()) } else { near };
            let (couplet, lead) = open.swap_remove(at);
            goes[couplet][lead] = i + 1;
            from.push(couplet + 1);
            let leads = if self.dice.once_in(12) { 3 } else { 2 };
            goes.push(vec![0; leads]);
            open.extend((0..leads).rev().map(|l| (i, l)));
        }
        let mut subkeys = 0..subkeys;
        for (i, leads) in goes.iter().enumerate() {
            if i > 0 && !self.careless(5) {
                self.gap();
            }
            self.between();
            for (l, to) in leads.iter().enumerate() {
                let outcome = match to {
                    0 => match subkeys.next() {
                        Some(s) => format!("key to group {}", letters(s)),
                        None if self.dice.once_in(30) => "stop: nobody knows these".to_string(),
                        None => {
                            *taxa += 1;
                            name(*taxa - 1)
                        }
                    },
                    to => to.to_string(),
                };
                let back = match l {
                    0 if i > 0 && self.dice.once_in(3) => format!(" ({})", from[i]),
                    _ => String::new(),
                };
                self.lead(i + 1, l, &back, &outcome, characters);
            }
        }
    }

    pub fn lead(
        &mut self,
        n: usize,
        l: usize,
        back: &str,
        outcome: &str,
        characters: &[Character],
    ) {
        let text = self.statements(characters, 3);
        let mark = if self.careless(12) { "." } else { "" };
        let label = format!("{n}{}{mark}{back}  ", (b'a' + l as u8) as char);
        let dots = match self.dice.below(if self.shape.careless { 6 } else { 1 }) {
            1 => " ..".to_string(),
            2 => " . . . .".to_string(),
            3 => "…".to_string(),
            4 => "\t".to_string(),
            _ => format!(" {}", ".".repeat(5 + self.dice.below(30))),
        };
        let mut lines = self.broken(&text, 8);
        if let Some(last) = lines.last_mut() {
            last.push_str(&dots);
        }
        // A tab at a line's end is a blank like others.
        if dots != "\t" && self.careless(8) {
            lines.push(outcome.to_string());
        } else if let Some(last) = lines.last_mut() {
            last.push(' ');
            last.push_str(outcome);
        }
        lines[0].insert_str(0, &label);
        for (i, line) in lines.iter().enumerate() {
            let indent = if i == 0 { 0 } else { 1 + self.dice.below(8) };
            if i > 0 {
                self.comment_within(indent);
            }
            self.line(indent, line, "");
        }
        if self.dice.once_in(15) {
            self.property(6, "remark", "a lead like another, with a remark under it");
        }
    }

    pub fn account(&mut self, i: usize, characters: &[Character]) {
        self.between();
        let authors = self.dice.pick(&["", " L.", " (L.) Mill.", " Host"]);
        self.line(0, &format!("{}{authors}", name(i)), "");
        if self.dice.once_in(2) {
            self.property(2, "called", "common weed, field weed");
        }
        for _ in 0..1 + self.dice.below(3) {
            let text = self.statements(characters, 5);
            for line in self.broken(&format!("{text}."), 14) {
                self.comment_within(2);
                self.line(2, &line, "");
            }
        }
        if self.dice.once_in(3) {
            self.property(2, "found", "barley, fallow; common");
        }
        self.gap();
    }
}
