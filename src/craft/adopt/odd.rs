//! What a manuscript has that fits no couplet: labels out of order, statements that stand alone.

use super::build::{Builder, Lone, letters_of};
use super::draft::{Frag, Goes, Oddity, Pointer, Repair};
use super::pieces::Piece;
use super::sequence::Odd;

impl Builder<'_> {
    pub(super) fn odd(&mut self, piece: &Piece, line: u32, label: &str) {
        if let Some(odd) = piece.odd {
            self.draft.odd_labels += 1;
            let (rule, what) = match odd {
                Odd::Gap => (
                    "label-out-of-sequence",
                    format!(
                        "`{label}` does not follow the label before it: something between is missing"
                    ),
                ),
                Odd::Repeated => {
                    ("label-out-of-sequence", format!("`{label}` stands a second time"))
                }
                Odd::Orphan => {
                    ("label-out-of-sequence", format!("`{label}` has no first lead before it"))
                }
            };
            self.draft.oddities.push(Oddity {
                line,
                rule,
                what,
                remedy: "Compare the print: correct the label, or write what is missing.".into(),
            });
        }
        if let Some(mark) = piece.mark.as_ref().filter(|m| m.slip) {
            let what = if matches!(mark.stop, ',' | ';') {
                format!("`{}` was read as a label with a full stop", mark.written)
            } else {
                format!(
                    "`{}` was read as the number {}: the labels around it ask for it",
                    mark.written, mark.ordinal
                )
            };
            self.draft.repairs.push(Repair { line, kind: "slip", what });
        }
    }

    /// Tells where labels and indentation disagree: the leads of a couplet stand at different
    /// depths, in a key whose depths say something.
    pub(super) fn uneven(&mut self, pieces: &[Piece]) {
        let depths: std::collections::BTreeSet<usize> = pieces.iter().map(|p| p.margin).collect();
        if depths.len() < 2 || pieces.iter().any(|p| p.mark.is_none()) {
            return;
        }
        for (i, piece) in pieces.iter().enumerate().filter(|(_, p)| p.lead > 0) {
            let first =
                pieces[..i].iter().rev().find(|p| p.couplet == piece.couplet && p.lead == 0);
            let Some(first) = first.filter(|f| f.margin.abs_diff(piece.margin) > 1) else {
                continue;
            };
            let label = |p: &Piece| p.mark.as_ref().map_or(String::new(), |m| m.written.clone());
            let deeper = if piece.margin > first.margin { "deeper" } else { "less deep" };
            let line =
                piece.split.body.first().or(piece.split.tail.first()).map_or(0, |f| self.number(f));
            self.draft.oddities.push(Oddity {
                line,
                rule: "indentation-disagrees",
                what: format!(
                    "`{}` stands {deeper} than `{}`, whose counterpart it is by its label",
                    label(piece),
                    label(first)
                ),
                remedy: "Compare the print; the label was followed, not the indentation.".into(),
            });
        }
    }

    /// Takes out paragraphs that begin with a number but are no lead: `4. The genus ...`.
    pub(super) fn lone_statements(
        &mut self,
        paragraphs: Vec<Vec<Frag>>,
        key: usize,
    ) -> Vec<Vec<Frag>> {
        let mut out = Vec::new();
        for mut paragraph in paragraphs {
            let mark = super::mark::readings(&paragraph[0].text, 0).into_iter().find(|m| {
                m.style == super::mark::Style::Number
                    && m.letter.is_none()
                    && m.primes == 0
                    && m.stop != ' '
            });
            match mark {
                Some(mark) if paragraph[0].apart || paragraph[0].line > 0 => {
                    let rest = paragraph[0].text.split_off(mark.rest);
                    let label = std::mem::replace(&mut paragraph[0].text, rest);
                    let pointer = Pointer {
                        number: mark.ordinal,
                        capital: mark.capital,
                        lead: None,
                        written: mark.written,
                        slip: false,
                    };
                    self.lone.push(Lone { key, number: pointer, label, paragraph });
                }
                _ => out.push(paragraph),
            }
        }
        out
    }

    /// Leads that point at a lone statement stop there; statements that nothing points at are
    /// left out.
    pub(super) fn stops(&mut self) {
        for Lone { key, number, label, paragraph } in std::mem::take(&mut self.lone) {
            let text = self.joined(&paragraph);
            let line = self.number(&paragraph[0]);
            let letters = format!("{label}{}", letters_of(&paragraph));
            let lines: Vec<u32> = paragraph.iter().map(|f| self.number(f)).collect();
            let known = self.draft.keys.get(key).is_some_and(|k| {
                k.couplets.iter().any(|c| c.id == Some((number.number, number.capital)))
            });
            let mut used = false;
            if let Some(key) = self.draft.keys.get_mut(key).filter(|_| !known) {
                for lead in key.couplets.iter_mut().flat_map(|c| &mut c.leads) {
                    let points = matches!(&lead.goes, Goes::Pointer(p) if p.number == number.number && p.capital == number.capital);
                    if points {
                        lead.goes = Goes::Stop(text.clone());
                        if !used {
                            lead.letters.push_str(&letters);
                            lead.lines.extend(&lines);
                        }
                        used = true;
                    }
                }
            }
            if used {
                self.draft.oddities.push(Oddity {
                    line,
                    rule: "couplet-with-one-lead",
                    what: format!("`{}` is a single statement and no couplet", number.written),
                    remedy: "Its text stands as the reason where the key stops; write a couplet if one is missing.".into(),
                });
            } else {
                let mut paragraph = paragraph;
                paragraph[0].text = super::line::balanced(&format!("{label}{}", paragraph[0].text));
                self.leave(&paragraph, "a numbered statement that no lead points at");
            }
        }
    }
}
