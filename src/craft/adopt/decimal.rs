//! Labels that count within the lead above: `1`, `1.2`, `1.2.1`.

use super::mark::{Mark, Style, blank_mark};

/// The label of two figures and more at byte `at` of a line; text with a capital stands behind it.
pub fn decimal(text: &str, at: usize) -> Option<Mark> {
    let rest = &text[at..];
    let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len());
    let path = rest[..end].trim_end_matches('.');
    let figures: Vec<&str> = path.split('.').collect();
    let short = figures.iter().all(|f| !f.is_empty() && f.len() <= 2);
    if figures.len() < 2 || figures.len() > 40 || !short {
        return None;
    }
    let blank = rest[end..].starts_with([' ', '\t']);
    let behind = rest[end..].trim_start();
    if !blank || !behind.starts_with(char::is_uppercase) {
        return None;
    }
    let mut mark = blank_mark(Style::Decimal);
    mark.ordinal = figures.last()?.parse().ok().filter(|&n| n > 0)?;
    mark.bracket = u8::try_from(figures.len()).ok()?;
    mark.stop = '.';
    mark.rest = text.len() - behind.len();
    Some(mark)
}
