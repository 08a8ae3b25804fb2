//! Labels of several figures, `1.2.1`, that count within the lead above; and Roman numbers.

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

/// The value of a Roman number written all in one case; `None` where it is none.
pub fn of_roman(text: &str) -> Option<u32> {
    let upper = text.to_uppercase();
    if text.is_empty() || text.len() > 8 || (text != upper && text != text.to_lowercase()) {
        return None;
    }
    let value = |c| {
        Some(match c {
            'I' => 1,
            'V' => 5,
            'X' => 10,
            'L' => 50,
            'C' => 100,
            _ => return None,
        })
    };
    let values: Vec<u32> = upper.chars().map(value).collect::<Option<_>>()?;
    let mut sum = 0;
    for (i, &v) in values.iter().enumerate() {
        if values.get(i + 1).is_some_and(|&n| n > v) {
            sum -= v as i64;
        } else {
            sum += v as i64;
        }
    }
    let sum = u32::try_from(sum).ok()?;
    (super::input::roman(sum) == upper).then_some(sum)
}
