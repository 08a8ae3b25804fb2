//! Text set into a rectangle: lines broken by the width of their letters, and two rules that keep
//! it inside.
//!
//! 1. What does not fit at the layout's size is set smaller, in steps of a quarter point, down to
//!    the layout's smallest.
//! 2. What does not fit even then runs on: to a second label with the same foot, and a third.
//!
//! A word wider than the label is broken between letters. Every line is told to be as wide as it
//! was reckoned, so that a printer's other font cannot push it over the edge.

use super::metrics;

/// A weight and slope of the one design that labels are set in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    Roman,
    Bold,
    Italic,
}

/// A piece of text in one face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    pub text: String,
    pub face: Face,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    Left,
    Centre,
    Right,
}

/// A paragraph.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    pub runs: Vec<Run>,
    /// Times the label's size.
    pub size: f64,
    pub align: Align,
    /// How far further lines stand in, in ems.
    pub hang: f64,
    /// Room above, in ems.
    pub above: f64,
}

/// A line in its place: points from the label's upper left corner, `y` at the foot of the letters.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub x: f64,
    pub y: f64,
    pub size: f64,
    pub width: f64,
    pub runs: Vec<Run>,
}

/// One label's worth of lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    pub lines: Vec<Line>,
    /// The size at which it was set, in points.
    pub size: f64,
}

/// What a text is set into, in points.
#[derive(Clone, Copy, Debug)]
pub struct Area {
    pub width: f64,
    pub height: f64,
    /// Room on every side.
    pub margin: f64,
    /// The size that is tried first, and the smallest.
    pub base: f64,
    pub smallest: f64,
    /// Side of a square kept free in the lower right corner.
    pub corner: f64,
}

/// From one foot of letters to the next, times the size.
const LEADING: f64 = 1.16;
/// How far letters reach above their foot, times the size.
const ASCENT: f64 = 0.9;
const STEP: f64 = 0.25;

impl Run {
    pub fn new(face: Face, text: impl Into<String>) -> Run {
        Run { text: text.into(), face }
    }
}

impl Block {
    /// A paragraph in the roman face, from the left.
    pub fn plain(text: impl Into<String>) -> Block {
        Block::of(vec![Run::new(Face::Roman, text)])
    }

    pub fn of(runs: Vec<Run>) -> Block {
        Block { runs, size: 1.0, align: Align::Left, hang: 0.0, above: 0.12 }
    }

    pub fn size(mut self, size: f64) -> Block {
        self.size = size;
        self
    }

    pub fn align(mut self, align: Align) -> Block {
        self.align = align;
        self
    }

    pub fn above(mut self, above: f64) -> Block {
        self.above = above;
        self
    }

    pub fn hang(mut self, hang: f64) -> Block {
        self.hang = hang;
        self
    }

    fn is_empty(&self) -> bool {
        self.runs.iter().all(|r| r.text.trim().is_empty())
    }
}

/// A line that is broken but not yet placed; `above` is the room over it, leading left out.
struct Loose {
    line: Line,
    above: f64,
}

impl Loose {
    fn height(&self) -> f64 {
        self.above + self.line.size * LEADING
    }
}

/// Sets the text; `foot` stands at the bottom of every label, its last block being the one that
/// must never be missing.
pub fn set(top: &[Block], foot: &[Block], area: Area) -> Vec<Page> {
    let height = area.height - 2.0 * area.margin;
    let mut size = area.base;
    loop {
        let above = break_all(top, area.width - 2.0 * area.margin, size);
        let below = break_all(foot, area.width - 2.0 * area.margin - area.corner, size);
        let foot_height = sum(&below).max(area.corner);
        if sum(&above) + foot_height <= height {
            return vec![place(above, below, area, size)];
        }
        if size - STEP < area.smallest {
            break;
        }
        size -= STEP;
    }
    run_on(top, foot, area, area.smallest)
}

fn run_on(top: &[Block], foot: &[Block], area: Area, size: f64) -> Vec<Page> {
    let height = area.height - 2.0 * area.margin;
    let width = area.width - 2.0 * area.margin;
    // A foot that takes half the label runs on like the rest, but for its last block.
    let whole = break_all(foot, width - area.corner, size);
    let (top, foot) = match foot.split_last() {
        Some((last, rest)) if sum(&whole) > height / 2.0 => {
            ([top, rest].concat(), vec![last.clone()])
        }
        _ => (top.to_vec(), foot.to_vec()),
    };
    let count = |i: usize, n: usize| {
        Block::plain(format!("{i} of {n}")).align(Align::Right).size(0.9).above(0.0)
    };
    // The count is as tall whatever its figures are.
    let with_count = |i, n| {
        let blocks: Vec<Block> = std::iter::once(count(i, n)).chain(foot.iter().cloned()).collect();
        break_all(&blocks, width - area.corner, size)
    };
    let room = height - sum(&with_count(1, 1)).max(area.corner);
    let mut groups: Vec<Vec<Loose>> = vec![Vec::new()];
    let mut used = 0.0;
    for line in break_all(&top, width, size) {
        if used + line.height() > room && used > 0.0 {
            groups.push(Vec::new());
            used = 0.0;
        }
        used += line.height();
        if let Some(group) = groups.last_mut() {
            group.push(line);
        }
    }
    let n = groups.len();
    let pages = groups.into_iter().enumerate();
    pages.map(|(i, above)| place(above, with_count(i + 1, n), area, size)).collect()
}

fn sum(lines: &[Loose]) -> f64 {
    lines.iter().map(Loose::height).sum()
}

/// Top lines from the top, foot lines so that the last stands at the bottom.
fn place(above: Vec<Loose>, below: Vec<Loose>, area: Area, size: f64) -> Page {
    let mut lines = Vec::new();
    let foot_at = area.height - area.margin - sum(&below);
    for (list, start) in [(above, area.margin), (below, foot_at)] {
        let mut y = start;
        for loose in list {
            let Loose { mut line, above } = loose;
            y += above;
            line.x += area.margin;
            line.y = y + line.size * ASCENT;
            y += line.size * LEADING;
            lines.push(line);
        }
    }
    Page { lines, size }
}

fn break_all(blocks: &[Block], width: f64, size: f64) -> Vec<Loose> {
    blocks.iter().filter(|b| !b.is_empty()).flat_map(|b| break_block(b, width, size)).collect()
}

/// Breaks a paragraph at blanks; a word that is wider than the line, between letters.
fn break_block(block: &Block, width: f64, size: f64) -> Vec<Loose> {
    let size = block.size * size;
    let letters: Vec<(char, Face)> = block
        .runs
        .iter()
        .flat_map(|r| r.text.chars().map(|c| (c, r.face)))
        .map(|(c, f)| (if c.is_whitespace() || c.is_control() { ' ' } else { c }, f))
        .collect();
    let em = |c: &(char, Face)| f64::from(metrics::letter(c.0, c.1)) * size / 1000.0;
    let mut out: Vec<Loose> = Vec::new();
    let mut from = 0;
    while from < letters.len() {
        if letters[from].0 == ' ' {
            from += 1;
            continue;
        }
        let indent = if out.is_empty() { 0.0 } else { block.hang * size };
        let room = width - indent;
        let mut used = 0.0;
        let mut blank = None;
        let mut to = from;
        while to < letters.len() {
            used += em(&letters[to]);
            if letters[to].0 == ' ' {
                blank = Some(to);
            } else if used > room && to > from {
                break;
            }
            to += 1;
        }
        let end = if to == letters.len() { to } else { blank.unwrap_or(to) };
        let line = trimmed(&letters[from..end]);
        let own: f64 = line.iter().map(em).sum();
        let x = match block.align {
            Align::Left => indent,
            Align::Centre => ((width - own) / 2.0).max(0.0),
            Align::Right => (width - own).max(0.0),
        };
        let above = if out.is_empty() { block.above * size } else { 0.0 };
        out.push(Loose { line: Line { x, y: 0.0, size, width: own, runs: runs(line) }, above });
        from = end;
    }
    out
}

fn trimmed(letters: &[(char, Face)]) -> &[(char, Face)] {
    let end = letters.iter().rposition(|l| l.0 != ' ').map_or(0, |i| i + 1);
    &letters[..end]
}

/// Letters of one face in a row belong together.
fn runs(letters: &[(char, Face)]) -> Vec<Run> {
    let mut out: Vec<Run> = Vec::new();
    for (c, face) in letters {
        match out.last_mut() {
            Some(run) if run.face == *face => run.text.push(*c),
            _ => out.push(Run::new(*face, *c)),
        }
    }
    out
}
