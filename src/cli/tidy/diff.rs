//! What would change in a file, line by line, as programs that compare texts show it.

use std::io::Write;

use anstyle::{AnsiColor, Style};
use similar::{Algorithm, ChangeTag, DiffOp, TextDiff, group_diff_ops};

use crate::cli::Terminal;
use crate::cli::terminal::FAINT;
use crate::text::shown::shown;

const TAKEN: Style = AnsiColor::Red.on_default();
const PUT: Style = AnsiColor::Green.on_default();

/// Lines shown around a change.
const AROUND: usize = 2;
/// Lines of either text that are compared, from the first that differs. Comparing takes the square
/// of this where the texts have nothing in common.
const COMPARED: usize = 3000;

/// Prints the changes from `before` to `after`.
pub fn print(name: &str, before: &str, after: &str, terminal: &mut Terminal) -> anyhow::Result<()> {
    let (before, after): (Vec<&str>, Vec<&str>) = (lines(before), lines(after));
    let same = before.iter().zip(&after).take_while(|(a, b)| a == b).count();
    let from = same.saturating_sub(AROUND);
    let window = |all: &[&str]| all.len().min(from + COMPARED);
    let (old, new) = (&before[from..window(&before)], &after[from..window(&after)]);
    let diff = TextDiff::configure().algorithm(Algorithm::Patience).diff_slices(old, new);
    writeln!(terminal, "{FAINT}--- {name}{FAINT:#}")?;
    writeln!(terminal, "{FAINT}+++ {name}, tidy{FAINT:#}")?;
    for group in group_diff_ops(diff.ops().to_vec(), AROUND) {
        let (Some(first), Some(last)) = (group.first(), group.last()) else { continue };
        let part = |a: usize, b: usize| match b - a {
            1 => format!("{}", from + a + 1),
            n => format!("{},{n}", from + a + usize::from(n > 0)),
        };
        let olds = part(first.old_range().start, last.old_range().end);
        let news = part(first.new_range().start, last.new_range().end);
        writeln!(terminal, "{FAINT}@@ -{olds} +{news} @@{FAINT:#}")?;
        for op in &group {
            changes(op, &diff, terminal)?;
        }
    }
    let left = before.len().max(after.len()).saturating_sub(from + COMPARED);
    if left > 0 {
        writeln!(terminal, "{FAINT}... and {left} lines that were not compared{FAINT:#}")?;
    }
    Ok(())
}

fn changes(
    op: &DiffOp,
    diff: &TextDiff<'_, '_, '_, str>,
    terminal: &mut Terminal,
) -> anyhow::Result<()> {
    for change in diff.iter_changes(op) {
        let (style, sign) = match change.tag() {
            ChangeTag::Equal => (Style::new(), ' '),
            ChangeTag::Delete => (TAKEN, '-'),
            ChangeTag::Insert => (PUT, '+'),
        };
        writeln!(terminal, "{style}{sign}{}{style:#}", visible(change.value()))?;
    }
    Ok(())
}

/// The lines with their ends, so that these count as a difference.
fn lines(text: &str) -> Vec<&str> {
    text.split_inclusive('\n').collect()
}

/// A line as it can be seen: what is at its end is written out, for it is often all that changes.
fn visible(line: &str) -> String {
    let (line, end) = match line.strip_suffix('\n') {
        Some(line) => (line, ""),
        None => (line, " (no line end)"),
    };
    let (line, returned) = match line.strip_suffix('\r') {
        Some(line) => (line, "\\r"),
        None => (line, ""),
    };
    let tabs = line.replace('\t', "\\t");
    format!("{}{returned}{end}", shown(&tabs))
}
