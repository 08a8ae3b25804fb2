//! One file's text with its name and line table.

use std::sync::Arc;

use super::span::{LineColumn, LineTable, Span};

/// The largest key file that is read: 256 MiB. Spans are 32-bit, and no printed key comes near it.
pub const LARGEST: usize = 256 << 20;

/// A text under a name. Cheap to clone.
#[derive(Clone, Debug)]
pub struct Source {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    name: String,
    text: String,
    lines: LineTable,
}

impl Source {
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Source {
        let text = text.into();
        let lines = LineTable::new(&text);
        Source { inner: Arc::new(Inner { name: name.into(), text, lines }) }
    }

    /// Decodes `bytes` as UTF-8.
    ///
    /// # Errors
    /// The offset of the first byte that is not UTF-8.
    pub fn from_bytes(name: impl Into<String>, bytes: Vec<u8>) -> Result<Source, usize> {
        match String::from_utf8(bytes) {
            Ok(text) => Ok(Source::new(name, text)),
            Err(e) => Err(e.utf8_error().valid_up_to()),
        }
    }

    pub fn name(&self) -> &str {
        &self.inner.name
    }

    pub fn text(&self) -> &str {
        &self.inner.text
    }

    pub fn lines(&self) -> &LineTable {
        &self.inner.lines
    }

    pub fn slice(&self, span: Span) -> &str {
        &self.inner.text[span.range()]
    }

    pub fn line_column(&self, at: usize) -> LineColumn {
        self.inner.lines.line_column(self.text(), at)
    }
}
