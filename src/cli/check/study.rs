//! The study of a key as tables: where every taxon goes, what can be named from the specimen in
//! hand, what to note before pressing, and how good the key is.

use std::io::Write;

use unicode_width::UnicodeWidthStr;

use crate::check::reason::words::{listed, percent};
use crate::check::study::table::{Kind, Outcomes, Row};
use crate::check::study::{InHand, NoteFirst, Quality, Study};
use crate::cli::Terminal;
use crate::cli::terminal::{FAINT, STRONG};
use crate::text::shown::shown;

use super::Check;

/// Couplets and pairs beyond so many are counted.
const MOST: usize = 8;

/// Prints the parts of the study that were asked for.
pub fn print(command: &Check, study: &Study, terminal: &mut Terminal) -> anyhow::Result<()> {
    if command.routes {
        routes(command, &study.outcomes, terminal)?;
        nearest(command, study, terminal)?;
    }
    if command.in_hand {
        in_hand(command, &study.in_hand, terminal)?;
        before_pressing(&study.before_pressing, terminal)?;
    }
    if command.quality {
        quality(command, study.quality.as_ref(), terminal)?;
    }
    Ok(())
}

fn routes(command: &Check, outcomes: &Outcomes, terminal: &mut Terminal) -> anyhow::Result<()> {
    writeln!(terminal, "{STRONG}Where the plants of every account end{STRONG:#}")?;
    let is_plain = |r: &&Row| r.right > 0.9995 && r.sure > 0.9995;
    let plain = outcomes.rows.iter().filter(is_plain).count();
    let mut table = Table::new(&["taxon", "its name", "decided", "elsewhere"]);
    for row in outcomes.rows.iter().filter(|r| command.all || !is_plain(r)) {
        let others: Vec<String> = row
            .ends
            .iter()
            .filter(|e| e.kind != Kind::Own)
            .map(|e| e.in_words(usize::MAX))
            .collect();
        let near = if row.near { "about " } else { "" };
        let right = format!("{near}{}", percent(row.right));
        let name = match &row.by_group {
            Some(group) => format!("{} (as {group})", row.taxon),
            None => row.taxon.clone(),
        };
        table.row(vec![name, right, percent(row.sure), others.join("; ")]);
    }
    table.print(terminal)?;
    if plain > 0 && !command.all {
        line(
            terminal,
            &format!(
                "{plain} more: every plant reaches its name, and the account decides it at every couplet."
            ),
        )?;
    }
    if !outcomes.silent.is_empty() {
        line(
            terminal,
            &format!(
                "Of {} nothing was read in an account: {}.",
                counted(outcomes.silent.len(), "taxon", "taxa"),
                listed(&outcomes.silent, if command.all { usize::MAX } else { MOST })
            ),
        )?;
    }
    if outcomes.cut_short {
        line(terminal, "Not every taxon was run through the key: the work was broken off.")?;
    }
    line(
        terminal,
        "Decided: the account itself settles every couplet on the way. Where it says nothing, or a lead was not read, the plants are trusted to go where their name stands.",
    )?;
    writeln!(terminal)?;
    Ok(())
}

fn nearest(command: &Check, study: &Study, terminal: &mut Terminal) -> anyhow::Result<()> {
    if study.pairs.iter().all(|p| p.pairs + p.silent + p.not_looked_into == 0) {
        return Ok(());
    }
    writeln!(terminal, "{STRONG}The nearest pairs{STRONG:#}")?;
    let mut room = if command.all { usize::MAX } else { 2 * MOST };
    for pairs in &study.pairs {
        let words = match pairs.by {
            0 => "Nothing in their accounts tells them apart",
            1 => "One character tells them apart",
            _ => "Two characters tell them apart",
        };
        if pairs.pairs + pairs.silent + pairs.not_looked_into == 0 {
            continue;
        }
        line(terminal, &format!("{words}: {}.", pairs.in_words()))?;
        let of = study.nearest.iter().filter(|n| n.by == pairs.by);
        let shown: Vec<_> = of.take(room).collect();
        room -= shown.len();
        for near in &shown {
            let by = match near.characters.as_slice() {
                [] => String::new(),
                all => format!(": {}", all.join(", ")),
            };
            line(terminal, &format!("  {} and {}{by}", near.first, near.second))?;
        }
        let more = pairs.pairs - shown.len();
        if more > 0 {
            line(terminal, &format!("  and {more} more"))?;
        }
    }
    writeln!(terminal)?;
    Ok(())
}

fn in_hand(command: &Check, all: &[InHand], terminal: &mut Terminal) -> anyhow::Result<()> {
    writeln!(terminal, "{STRONG}The specimen in hand{STRONG:#}")?;
    let mut table = Table::new(&["specimen", "taxa named", "characters", "what stops the others"]);
    for one in all {
        let most = if command.all { usize::MAX } else { 4 };
        let mut stops: Vec<String> = one
            .stops
            .iter()
            .take(most)
            .map(|s| format!("{} ({})", s.couplet, s.taxa.len()))
            .collect();
        let more: usize = one.stops.iter().skip(most).map(|s| s.taxa.len()).sum();
        if more > 0 {
            stops.push(format!("others ({more})"));
        }
        table.row(vec![
            one.scenario.words().to_string(),
            format!("{} of {}", one.named, one.of),
            format!("{} of {}", one.characters, one.characters_of),
            stops.join(", "),
        ]);
    }
    table.print(terminal)?;
    line(
        terminal,
        "A couplet stops a taxon where no character that can be seen parts its lead from the others. In brackets: how many taxa it stops first.",
    )?;
    writeln!(terminal)?;
    Ok(())
}

fn before_pressing(notes: &[NoteFirst], terminal: &mut Terminal) -> anyhow::Result<()> {
    if notes.is_empty() {
        return Ok(());
    }
    writeln!(terminal, "{STRONG}To note before pressing{STRONG:#}")?;
    let mut table = Table::new(&["character", "couplets", "taxa stopped", "pressed"]);
    for n in notes {
        table.row(vec![
            n.character.clone(),
            n.asked.to_string(),
            if n.taxa == 0 { "-".into() } else { n.taxa.to_string() },
            match n.stops.as_slice() {
                [] => n.becomes.clone(),
                stops => format!("{} (needed at {})", n.becomes, listed(stops, 4)),
            },
        ]);
    }
    table.print(terminal)?;
    writeln!(terminal)?;
    Ok(())
}

fn quality(
    command: &Check,
    quality: Option<&Quality>,
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    writeln!(terminal, "{STRONG}How good the key is{STRONG:#}")?;
    let Some(q) = quality else {
        line(
            terminal,
            "It has fewer than two taxa with a route, or a route is circular: there is nothing to weigh.",
        )?;
        return Ok(());
    };
    for said in in_words(q, if command.all { usize::MAX } else { MOST }) {
        line(terminal, &said)?;
    }
    writeln!(terminal)?;
    Ok(())
}

/// The figures as sentences.
pub fn in_words(q: &Quality, most: usize) -> Vec<String> {
    let mut out = vec![format!(
        "To a name it takes {:.2} decisions and {:.2} leads read in the mean over {} taxa, and {} decisions at most; the least possible is {:.2} and {}.",
        q.mean.decisions, q.mean.leads, q.taxa, q.deepest, q.least_mean, q.least_deepest
    )];
    if let Some(by) = &q.by_abundance {
        out.push(format!(
            "Weighted by how common the taxa are: {:.2} decisions and {:.2} leads. No key can do with fewer than {:.2} decisions (the entropy), the best tree takes {:.2} (Huffman).",
            by.mean.decisions, by.mean.leads, by.entropy, by.huffman
        ));
    }
    out.push(format!("Balance {:.2} (1: every couplet divides its taxa evenly).", q.balance));
    out.push(format!("{} of {} statements in leads were read.", q.statements_read, q.statements));
    if !q.uses.is_empty() {
        let uses: Vec<String> =
            q.uses.iter().map(|u| format!("{} {}", u.character, u.couplets)).collect();
        out.push(format!(
            "Characters and the couplets that ask for them: {}.",
            listed(&uses, most)
        ));
    }
    if !q.unused.is_empty() {
        out.push(format!("Declared and never asked: {}.", listed(&q.unused, most)));
    }
    out
}

fn line(terminal: &mut Terminal, text: &str) -> anyhow::Result<()> {
    let text = shown(text);
    let options =
        textwrap::Options::new(terminal.width).initial_indent("  ").subsequent_indent("    ");
    for piece in textwrap::wrap(&text, options) {
        writeln!(terminal, "{piece}")?;
    }
    Ok(())
}

fn counted(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

/// A table whose last column wraps.
struct Table {
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    fn new(heads: &[&str]) -> Table {
        Table { heads: heads.iter().map(|h| h.to_string()).collect(), rows: Vec::new() }
    }

    fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells.iter().map(|c| shown(c).into_owned()).collect());
    }

    fn print(&self, terminal: &mut Terminal) -> anyhow::Result<()> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let last = self.heads.len() - 1;
        let widest = |i: usize| {
            let cells = self.rows.iter().map(|r| r[i].width()).max().unwrap_or(0);
            cells.max(self.heads[i].width()).min(40)
        };
        let widths: Vec<usize> = (0..last).map(widest).collect();
        let indent: usize = 2 + widths.iter().map(|w| w + 2).sum::<usize>();
        let all = std::iter::once((&self.heads, true)).chain(self.rows.iter().map(|r| (r, false)));
        for (cells, head) in all {
            let mut begin = String::from("  ");
            for (i, width) in widths.iter().enumerate() {
                let gap = width.saturating_sub(cells[i].width());
                begin.push_str(&format!("{}{}  ", cells[i], " ".repeat(gap)));
            }
            let room = terminal.width.saturating_sub(indent).max(24);
            let mut pieces = textwrap::wrap(&cells[last], room).into_iter();
            let first = format!("{begin}{}", pieces.next().unwrap_or_default());
            if head {
                writeln!(terminal, "{FAINT}{}{FAINT:#}", first.trim_end())?;
            } else {
                writeln!(terminal, "{}", first.trim_end())?;
            }
            for piece in pieces {
                writeln!(terminal, "{}{piece}", " ".repeat(indent))?;
            }
        }
        Ok(())
    }
}
