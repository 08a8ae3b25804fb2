//! Reading a manuscript's file: its kind, its encoding, its lines. A file of any content is read
//! or refused with the reason; none makes it use much more memory than its own size.

mod blocks;
mod html;
mod markdown;
mod numbering;
mod text;
mod word;

pub use numbering::roman;

use encoding_rs::Encoding;
use thiserror::Error;

use super::line::{Kind, Manuscript};

/// The largest manuscript that is read: 10 MiB, some thousands of printed pages. A few
/// megabytes take seconds; the work on very many keys in one file does not stay in proportion.
pub const LARGEST: usize = 10 << 20;

/// Why a file could not be read as a manuscript.
#[derive(Debug, Error, PartialEq, Eq)]
pub enum Unreadable {
    #[error(
        "the file is larger than 10 MiB, and no printed key comes near that; cut the key out of it"
    )]
    TooLarge,
    #[error("the file is empty")]
    Empty,
    #[error("this is {what}, which is not read here; {remedy}")]
    OtherKind { what: &'static str, remedy: &'static str },
    #[error(
        "line {line} is not UTF-8 (byte {byte:#04x}): say how the file is encoded, for example \
         windows-1252 or latin1"
    )]
    NotUtf8 { line: usize, byte: u8 },
    #[error("no encoding is called `{0}`; utf-8, latin1 and windows-1252 are the usual ones")]
    NoSuchEncoding(String),
    #[error("the text is not in {0}: some bytes mean nothing in it")]
    WrongEncoding(&'static str),
    #[error("the Word document cannot be read: {0}")]
    Word(String),
}

/// How a file is to be read, where the writer says so.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    pub kind: Option<Kind>,
    /// The label of an encoding, for example `latin1`.
    pub encoding: Option<String>,
}

/// Reads a manuscript's file. `name` serves to tell its kind where nothing else does.
///
/// # Errors
/// Where the file is of a kind that is not read, too large, or wrongly encoded.
pub fn read(name: &str, bytes: &[u8], how: &Reading) -> Result<Manuscript, Unreadable> {
    if bytes.len() > LARGEST {
        return Err(Unreadable::TooLarge);
    }
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(Unreadable::Empty);
    }
    let kind = match how.kind {
        Some(kind) => kind,
        None => kind_of(name, bytes)?,
    };
    if kind == Kind::Word {
        return word::read(bytes);
    }
    let (text, encoding) = decode(bytes, how.encoding.as_deref(), kind)?;
    let mut manuscript = match kind {
        Kind::Html => html::read(&text),
        Kind::Markdown => markdown::read(&text),
        Kind::Text | Kind::Word => text::read(&text),
    };
    manuscript.encoding = encoding;
    Ok(manuscript)
}

/// What a file is by its first bytes, else by its name.
fn kind_of(name: &str, bytes: &[u8]) -> Result<Kind, Unreadable> {
    let other = |what, remedy| Err(Unreadable::OtherKind { what, remedy });
    if bytes.starts_with(b"PK\x03\x04") {
        return Ok(Kind::Word);
    }
    if bytes.starts_with(b"%PDF") {
        return other("a PDF", "save its text first, keeping the layout");
    }
    if bytes.starts_with(b"{\\rtf") {
        return other("a Rich Text file", "save it as a Word document (.docx) or as plain text");
    }
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        return other("a Word document of the old kind", "save it as .docx or as plain text");
    }
    let head = &bytes[..bytes.len().min(1024)];
    let begin =
        String::from_utf8_lossy(head).trim_start_matches(['\u{FEFF}', ' ', '\n']).to_lowercase();
    if begin.starts_with("<!doctype html") || begin.starts_with("<html") || begin.contains("<body")
    {
        return Ok(Kind::Html);
    }
    let marked = Encoding::for_bom(bytes).is_some();
    if !marked && head.contains(&0) {
        return other("a binary file", "give text, Markdown, HTML or a Word document (.docx)");
    }
    let extension = name.rsplit_once('.').map(|(_, e)| e.to_lowercase()).unwrap_or_default();
    Ok(match extension.as_str() {
        "md" | "markdown" | "mkd" => Kind::Markdown,
        "html" | "htm" | "xhtml" => Kind::Html,
        _ => Kind::Text,
    })
}

/// The text of a file and the standard name of its encoding.
fn decode(
    bytes: &[u8],
    declared: Option<&str>,
    kind: Kind,
) -> Result<(String, &'static str), Unreadable> {
    let declared = match declared {
        Some(label) => Some(
            Encoding::for_label(label.trim().as_bytes())
                .ok_or_else(|| Unreadable::NoSuchEncoding(label.trim().to_string()))?,
        ),
        None => None,
    };
    if let Some(encoding) = declared.or(Encoding::for_bom(bytes).map(|(e, _)| e)) {
        let (text, encoding, bad) = encoding.decode(bytes);
        if bad {
            return Err(Unreadable::WrongEncoding(encoding.name()));
        }
        return Ok((text.into_owned(), encoding.name()));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok((text.to_string(), "UTF-8")),
        Err(e) => {
            if kind == Kind::Html
                && let Some(encoding) = html::declared(&bytes[..bytes.len().min(2048)])
            {
                let (text, encoding, _) = encoding.decode(bytes);
                return Ok((text.into_owned(), encoding.name()));
            }
            let at = e.valid_up_to();
            let line = bytes[..at].iter().filter(|&&b| b == b'\n').count() + 1;
            Err(Unreadable::NotUtf8 { line, byte: bytes[at] })
        }
    }
}
