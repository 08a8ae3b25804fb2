//! Any bytes as a manuscript: text, Markdown, HTML, and the parts of a Word document. Every word is
//! in the key or in the list of what was left out, and the key is as tidy leaves it.
#![no_main]

use hilum::craft::adopt::{Options, adopt, characters, layout};
use hilum::key::Key;
use hilum::text::parse::parse;
use hilum::text::source::Source;
use hilum::text::tidy::{TidyOptions, tidy};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let [kind, named, bytes @ ..] = bytes else { return };
    if bytes.len() > 8192 {
        return;
    }
    // One in two is read in the layout that is asked for.
    let layout = layout::ALL.get(usize::from(*named) % (2 * layout::ALL.len()));
    let options = Options { layout: layout.map(|l| l.name().to_string()), ..Options::default() };
    let found = match kind % 5 {
        0 => adopt("fuzzed.txt", bytes, &options),
        1 => adopt("fuzzed.md", bytes, &options),
        2 => adopt("fuzzed.html", bytes, &options),
        3 => adopt("fuzzed.docx", bytes, &options),
        _ => adopt("fuzzed.docx", &word(bytes), &options),
    };
    let Ok(found) = found else { return };
    assert_eq!(found.report.words.unaccounted, 0, "words are in neither place");
    let again =
        tidy(&parse(Source::new("fuzzed.key", found.key_text.as_str())), &TidyOptions::default());
    assert_eq!(again, found.key_text, "the key is not tidy");
    let key = Key::read(Source::new("fuzzed.key", found.key_text.as_str()));
    let offered = characters::proposals(&key);
    let _ = characters::declare("fuzzed.key", &found.key_text, &offered);
});

/// A Word document whose parts are the pieces between zero bytes: the text, the numbering, the
/// styles.
fn word(bytes: &[u8]) -> Vec<u8> {
    let names = ["word/document.xml", "word/numbering.xml", "word/styles.xml"];
    let parts = bytes.splitn(3, |b| *b == 0);
    let mut out = Vec::new();
    let mut list = Vec::new();
    let mut count = 0u16;
    for (name, inner) in names.iter().zip(parts) {
        let mut part = Vec::new();
        if !inner.starts_with(b"<w:") || *name == names[0] {
            part.extend_from_slice(b"<w:document xmlns:w=\"w\"><w:body>");
        }
        part.extend_from_slice(inner);
        let at = out.len() as u32;
        let mut head = Vec::new();
        head.extend_from_slice(&[20, 0, 0, 0, 0, 0, 0, 0, 0, 0]);
        head.extend_from_slice(&crc(&part).to_le_bytes());
        head.extend_from_slice(&(part.len() as u32).to_le_bytes());
        head.extend_from_slice(&(part.len() as u32).to_le_bytes());
        head.extend_from_slice(&(name.len() as u16).to_le_bytes());
        head.extend_from_slice(&[0, 0]);
        out.extend_from_slice(b"PK\x03\x04");
        out.extend_from_slice(&head);
        out.extend_from_slice(name.as_bytes());
        out.extend_from_slice(&part);
        list.extend_from_slice(b"PK\x01\x02\x14\x00");
        list.extend_from_slice(&head);
        list.extend_from_slice(&[0; 10]);
        list.extend_from_slice(&at.to_le_bytes());
        list.extend_from_slice(name.as_bytes());
        count += 1;
    }
    let at = out.len() as u32;
    out.extend_from_slice(&list);
    out.extend_from_slice(b"PK\x05\x06\0\0\0\0");
    out.extend_from_slice(&count.to_le_bytes());
    out.extend_from_slice(&count.to_le_bytes());
    out.extend_from_slice(&(list.len() as u32).to_le_bytes());
    out.extend_from_slice(&at.to_le_bytes());
    out.extend_from_slice(&[0, 0]);
    out
}

/// CRC-32 as archives check it.
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = !0u32;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = if sum & 1 == 1 { sum >> 1 ^ 0xEDB8_8320 } else { sum >> 1 };
        }
    }
    !sum
}
