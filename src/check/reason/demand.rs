//! What a lead demands of a plant, character by character.

use super::values::Values;
use crate::key::{CharacterId, Key, Lead, Statement};
use crate::text::span::Span;

/// Everything that the read statements of a lead demand, ordered by character.
#[derive(Clone, Debug, Default)]
pub struct Demands {
    pub of: Vec<Demand>,
    /// Nothing in the lead was left unread.
    pub whole: bool,
    /// Statements of the lead that nothing can satisfy together.
    pub clashes: Vec<OwnClash>,
}

/// What a lead demands of one character.
#[derive(Clone, Debug)]
pub struct Demand {
    pub character: CharacterId,
    /// What it allows at all.
    pub values: Values,
    /// What it allows without exception.
    pub usual: Values,
    /// The statement, or the one whose character depends on this one.
    pub span: Span,
    /// Not stated: another character of the lead applies only where this holds.
    pub implied_by: Option<CharacterId>,
}

/// Two statements of one lead that exclude each other.
#[derive(Clone, Debug)]
pub struct OwnClash {
    pub character: CharacterId,
    pub first: Span,
    pub second: Span,
    /// The second is the condition on which this other character applies.
    pub implied_by: Option<CharacterId>,
}

impl Demands {
    pub fn of(key: &Key, lead: &Lead) -> Demands {
        let mut out = Demands {
            whole: !lead.parts.is_empty() && lead.parts.iter().all(|p| p.prose.is_none()),
            ..Demands::default()
        };
        for part in &lead.parts {
            // Between two semicolons a comma means that both hold: `petals red, white` are
            // petals of two colours, and either word fits them.
            let mut own: Vec<Demand> = Vec::new();
            for statement in &part.statements {
                let Some(one) = stated(key, statement) else {
                    out.whole = false;
                    continue;
                };
                match own.iter_mut().find(|d| d.character == one.character) {
                    Some(d) => {
                        d.values = d.values.join(&one.values);
                        d.usual = d.usual.join(&one.usual);
                        d.span = d.span.to(one.span);
                    }
                    None => own.push(one),
                }
            }
            own.into_iter().for_each(|d| out.add(d));
        }
        out.imply(key);
        out.of.sort_by_key(|d| d.character);
        out
    }

    pub fn get(&self, character: CharacterId) -> Option<&Demand> {
        self.of.binary_search_by_key(&character, |d| d.character).ok().map(|i| &self.of[i])
    }

    // Before the demands are sorted.
    fn add(&mut self, new: Demand) {
        let Some(old) = self.of.iter_mut().find(|d| d.character == new.character) else {
            self.of.push(new);
            return;
        };
        let both = old.values.meet(&new.values);
        if both.is_empty() {
            self.clashes.push(OwnClash {
                character: new.character,
                first: old.span,
                second: new.span,
                implied_by: new.implied_by,
            });
            return;
        }
        if both != old.values && new.implied_by.is_none() {
            old.span = new.span;
        }
        old.usual = old.usual.meet(&new.usual);
        old.values = both;
    }

    // Stating a dependent character implies its condition, and so on.
    fn imply(&mut self, key: &Key) {
        let mut open: Vec<(CharacterId, Span)> =
            self.of.iter().map(|d| (d.character, d.span)).collect();
        let mut done = std::collections::BTreeSet::new();
        while let Some((character, span)) = open.pop() {
            if !done.insert(character) {
                continue;
            }
            for condition in &key.character(character).applies {
                let Some(one) = stated(key, condition) else { continue };
                self.add(Demand { span, implied_by: Some(character), ..one });
                open.push((condition.character, span));
            }
        }
    }
}

fn stated(key: &Key, statement: &Statement) -> Option<Demand> {
    let (values, usual) = Values::of(key.character(statement.character), &statement.value)?;
    let (character, span) = (statement.character, statement.span);
    Some(Demand { character, values, usual, span, implied_by: None })
}
