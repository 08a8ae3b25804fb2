//! Sees to it that what a layout cut out of a manuscript is the whole of it: a word that stands in
//! no piece is listed as left out, and a label without a text is no lead.

use std::collections::BTreeMap;

use super::book::Book;
use super::draft::Frag;
use super::line::plain;
use super::pieces::{Piece, Pieces};
use super::report::LeftOut;

/// Why a word that no piece holds is told as left out.
pub const NOWHERE: &str = "in no lead";

/// The words of the book's lines that stand in no piece.
pub fn unplaced(book: &Book, pieces: &Pieces) -> Vec<LeftOut> {
    // What each line has, less what was placed of it.
    let mut open: Vec<BTreeMap<char, i64>> =
        book.lines.iter().map(|l| counted(letters(&l.text))).collect();
    let mut last = 0;
    let mut place = |line: usize, text: &str| {
        if let Some(bag) = open.get_mut(line) {
            for c in letters(text) {
                *bag.entry(c).or_default() -= 1;
            }
        }
    };
    for frag in pieces.before.iter().flatten() {
        place(frag.line, &frag.text);
    }
    for piece in &pieces.leads {
        let all = || frags(piece);
        if let Some(mark) = &piece.mark {
            let line = piece.first.or_else(|| all().map(|f| f.line).min()).unwrap_or(last);
            place(line, &mark.written);
            for back in &mark.back {
                place(line, back);
            }
        }
        for frag in all() {
            place(frag.line, &frag.text);
            last = frag.line;
        }
    }
    settle_over(&mut open);
    let mut out = Vec::new();
    for (line, bag) in book.lines.iter().zip(&mut open) {
        bag.retain(|_, n| *n > 0);
        if bag.is_empty() {
            continue;
        }
        let text = plain(&line.text);
        let mut words: Vec<&str> = Vec::new();
        for word in text.split_whitespace() {
            let own = counted(letters(word));
            if !own.is_empty() && own.iter().all(|(c, n)| bag.get(c).is_some_and(|m| m >= n)) {
                for (c, n) in own {
                    *bag.entry(c).or_default() -= n;
                }
                words.push(word);
            }
        }
        let rest: String =
            bag.iter().flat_map(|(c, n)| std::iter::repeat_n(*c, (*n).max(0) as usize)).collect();
        let mut told = words.join(" ");
        if !rest.is_empty() {
            told = format!("{told} {rest}");
        }
        out.push(LeftOut::new(line.number, &told, NOWHERE));
    }
    out
}

/// Sets what is too many in one line against what is missing in others, those that follow it first:
/// a name over two lines is one piece, and counted in one of them.
fn settle_over(lines: &mut [BTreeMap<char, i64>]) {
    let mut over: BTreeMap<char, i64> = BTreeMap::new();
    let mut missing: BTreeMap<char, i64> = BTreeMap::new();
    for bag in lines.iter_mut() {
        for (c, n) in bag.iter_mut() {
            *missing.entry(*c).or_default() += *n;
            let more = over.entry(*c).or_default();
            if *n < 0 {
                *more -= *n;
            } else {
                let taken = (*n).min(*more);
                *n -= taken;
                *more -= taken;
            }
        }
    }
    // What is still open in the lines, less what is missing in all.
    let mut budget: BTreeMap<char, i64> = missing.iter().map(|(c, n)| (*c, -(*n).max(0))).collect();
    for (c, n) in lines.iter().flatten().filter(|(_, n)| **n > 0) {
        *budget.entry(*c).or_default() += *n;
    }
    for (c, n) in lines.iter_mut().rev().flatten().filter(|(_, n)| **n > 0) {
        let room = budget.entry(*c).or_default();
        let taken = (*n).min((*room).max(0));
        *n -= taken;
        *room -= taken;
    }
}

/// Takes out labels that have no text, and tells them as left out; leads are counted anew.
pub fn drop_empty(book: &Book, pieces: &mut Pieces) -> Vec<LeftOut> {
    let mut out = Vec::new();
    let mut line = 0;
    let mut kept: Vec<Piece> = Vec::new();
    for piece in std::mem::take(&mut pieces.leads) {
        line = piece.first.or_else(|| frags(&piece).map(|f| f.line).min()).unwrap_or(line);
        if ![&piece.split.body, &piece.split.tail, &piece.split.rest]
            .iter()
            .all(|f| letters_in(f) == 0)
        {
            kept.push(piece);
            continue;
        }
        if let Some(mark) = &piece.mark {
            let number = book.lines.get(line).map_or(0, |l| l.number);
            let mut told = vec![mark.written.clone()];
            told.extend(mark.back.iter().cloned());
            out.push(LeftOut::new(number, &told.join(" "), "a label without a text"));
        }
        let split = &piece.split;
        for frag in split.body.iter().chain(&split.tail).chain(&split.rest) {
            let number = book.lines.get(frag.line).map_or(0, |l| l.number);
            out.push(LeftOut::new(number, &frag.text, "a label without a text"));
        }
        match kept.last_mut() {
            Some(before) => before.after.extend(piece.after),
            None => pieces.before.extend(piece.after),
        }
    }
    let mut leads: BTreeMap<usize, usize> = BTreeMap::new();
    for piece in &mut kept {
        let next = leads.entry(piece.couplet).or_default();
        piece.lead = *next;
        *next += 1;
    }
    pieces.leads = kept;
    out
}

/// Every piece of text of a lead.
fn frags(piece: &Piece) -> impl Iterator<Item = &Frag> {
    let split = &piece.split;
    split.body.iter().chain(&split.tail).chain(&split.rest).chain(piece.after.iter().flatten())
}

fn letters(text: &str) -> impl Iterator<Item = char> + '_ {
    text.chars().filter(|c| c.is_alphanumeric())
}

fn letters_in(frags: &[Frag]) -> usize {
    frags.iter().map(|f| letters(&f.text).count()).sum()
}

fn counted(letters: impl Iterator<Item = char>) -> BTreeMap<char, i64> {
    let mut out = BTreeMap::new();
    for c in letters {
        *out.entry(c).or_default() += 1;
    }
    out
}
