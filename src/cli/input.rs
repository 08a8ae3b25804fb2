//! A KEY argument: a path, `-` for standard input, or the name of a key inside the program.

use std::io::Read;
use std::path::{Path, PathBuf};

use crate::check::rules;
use crate::key::{Key, Library, bundled};
use crate::text::finding::{Finding, settle};
use crate::text::source::{LARGEST, Source};
use crate::text::span::Span;

/// Why a file could not be read. Each says what to do.
#[derive(Debug, thiserror::Error)]
pub enum Unreadable {
    #[error("there is no file {}{near}", .path.display())]
    Missing { path: PathBuf, near: String },
    #[error("{} is a folder; name a key file in it", .0.display())]
    Folder(PathBuf),
    #[error("{name} is larger than {} MiB, and no key is; is it a key file?", LARGEST >> 20)]
    TooLarge { name: String },
    #[error("cannot read {0}")]
    Io(String, #[source] std::io::Error),
}

/// Reads the key that an argument names.
///
/// # Errors
/// Where nothing of that name can be read. What is wrong inside is in [`Key::findings`].
pub fn key(argument: &str) -> Result<Key, Unreadable> {
    let (source, fault) = source(argument)?;
    let mut key = Key::read(source);
    if let Some(fault) = fault {
        key.findings.push(fault);
        settle(&mut key.findings);
    }
    Ok(key)
}

/// Reads the files that the headings of `keys` name under `uses`, beside the file that names them;
/// those that are there already are left out. What they use in their turn is not read.
pub fn used(keys: &[Key]) -> Vec<Key> {
    let mut out: Vec<Key> = Vec::new();
    for key in keys {
        for file in &key.heading.uses {
            let path = Path::new(key.source.name()).with_file_name(file);
            let known = |k: &Key| Path::new(k.source.name()) == path;
            if keys.iter().any(known) || out.iter().any(known) {
                continue;
            }
            // A file that is missing is told of where a lead points into it.
            out.extend(self::key(&path.to_string_lossy()));
        }
    }
    out
}

/// The keys that arguments name, with the files that they use: where a determination needs them
/// together.
///
/// # Errors
/// As [`key`], for any of the arguments.
pub fn library(arguments: &[String]) -> Result<Library, Unreadable> {
    let mut keys = arguments.iter().map(|a| key(a)).collect::<Result<Vec<_>, _>>()?;
    loop {
        let more = used(&keys);
        if more.is_empty() {
            return Ok(Library { keys });
        }
        keys.extend(more);
    }
}

/// Reads the text that an argument names, as it stands in the file, or that of a key inside the
/// program; with a finding where it is no UTF-8.
///
/// # Errors
/// As [`key`].
pub fn source(argument: &str) -> Result<(Source, Option<Finding>), Unreadable> {
    match text(argument) {
        Err(Unreadable::Missing { path, near }) => match bundled::find(argument) {
            Some(key) => Ok((key.source(), None)),
            None => Err(Unreadable::Missing { path, near }),
        },
        other => other,
    }
}

/// The text of a file that an argument names, `-` for standard input.
///
/// # Errors
/// Where nothing of that name can be read. Text that is not UTF-8 is decoded as far as it goes, with
/// a finding that says so.
pub fn text(argument: &str) -> Result<(Source, Option<Finding>), Unreadable> {
    if argument == "-" {
        let bytes = bounded(std::io::stdin().lock(), "standard input")?;
        return Ok(decode("standard input", bytes));
    }
    let path = Path::new(argument);
    match std::fs::metadata(path) {
        Ok(about) if about.is_dir() => return Err(Unreadable::Folder(path.into())),
        Ok(_) => {}
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
            return Err(Unreadable::Missing { path: path.into(), near: near(path) });
        }
        Err(e) => return Err(Unreadable::Io(argument.into(), e)),
    }
    let file = std::fs::File::open(path).map_err(|e| Unreadable::Io(argument.into(), e))?;
    Ok(decode(argument, bounded(file, argument)?))
}

fn bounded(from: impl Read, name: &str) -> Result<Vec<u8>, Unreadable> {
    let mut bytes = Vec::new();
    let read = from.take(LARGEST as u64 + 1).read_to_end(&mut bytes);
    read.map_err(|e| Unreadable::Io(name.into(), e))?;
    if bytes.len() > LARGEST {
        return Err(Unreadable::TooLarge { name: name.into() });
    }
    Ok(bytes)
}

/// The text of a file. Where it is not UTF-8, what can be read of it and a finding at the first
/// place that cannot.
pub fn decode(name: &str, bytes: Vec<u8>) -> (Source, Option<Finding>) {
    let bytes = match String::from_utf8(bytes) {
        Ok(text) => return (Source::new(name, text), None),
        Err(e) => e.into_bytes(),
    };
    let fault = |place: Span, what: &str| {
        rules::find("not-utf-8").map(|rule| {
            rule.at(place, what)
                .why("Letters, dashes and signs may not be those that were written.")
                .remedy("Save the file as UTF-8.")
        })
    };
    if let Some(text) = utf_16(&bytes) {
        return (Source::new(name, text), fault(Span::at(0), "the file is UTF-16, not UTF-8"));
    }
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let at = text.find('\u{FFFD}').unwrap_or(0);
    let place = Span::new(at, (at + '\u{FFFD}'.len_utf8()).min(text.len()));
    (Source::new(name, text), fault(place, "this is no UTF-8, and what stands here is lost"))
}

// Text that begins with the byte order mark of UTF-16.
fn utf_16(bytes: &[u8]) -> Option<String> {
    let read: fn([u8; 2]) -> u16 = match bytes {
        [0xFF, 0xFE, ..] => u16::from_le_bytes,
        [0xFE, 0xFF, ..] => u16::from_be_bytes,
        _ => return None,
    };
    let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|p| read([p[0], p[1]])).collect();
    Some(String::from_utf16_lossy(&units))
}

// `; did you mean weeds.key?`
fn near(path: &Path) -> String {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let Some(wanted) = path.file_name().map(|n| n.to_string_lossy().to_lowercase()) else {
        return String::new();
    };
    let files = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let names = files.filter_map(|f| f.file_name().into_string().ok());
    let nearest = names
        .chain(bundled::ALL.iter().map(|b| b.name.to_string()))
        .map(|n| (strsim::osa_distance(&n.to_lowercase(), &wanted), n))
        .filter(|(distance, n)| *distance <= 2 || n.to_lowercase() == format!("{wanted}.key"))
        .min();
    nearest.map_or(String::new(), |(_, n)| format!("; did you mean {n}?"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn utf_16_with_its_mark_is_read_and_told() {
        for (mark, unit) in [
            ([0xFF, 0xFE], u16::to_le_bytes as fn(u16) -> [u8; 2]),
            ([0xFE, 0xFF], u16::to_be_bytes),
        ] {
            let mut bytes = mark.to_vec();
            bytes.extend("Schlüssel\n".encode_utf16().flat_map(unit));
            let (source, fault) = decode("a.key", bytes);
            assert_eq!(source.text(), "Schlüssel\n");
            assert_eq!(fault.map(|f| f.rule), Some("not-utf-8"));
        }
    }

    #[test]
    fn the_first_byte_that_is_no_utf_8_is_pointed_at() {
        let (source, fault) = decode("a.key", b"K\xC3\xA4se\nbr\xF6d\n".to_vec());
        let fault = fault.unwrap();
        assert_eq!(source.slice(fault.span), "\u{FFFD}");
        assert_eq!(source.line_column(fault.span.start as usize).line, 2);
    }
}
