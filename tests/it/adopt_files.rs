//! Manuscripts in files of other kinds: HTML, Word documents; and files that mean harm.

use std::io::{Cursor, Write};

use hilum::craft::adopt::{Adopted, Options, adopt};
use proptest::prelude::*;
use zip::write::SimpleFileOptions;

fn taken(name: &str, bytes: &[u8]) -> Adopted {
    adopt(name, bytes, &Options::default()).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// The key without its title.
fn leads(found: &Adopted) -> String {
    let lines: Vec<&str> =
        found.key_text.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_digit())).collect();
    lines
        .iter()
        .map(|l| {
            l.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .replace("....", "..")
                .replace("...", "..")
        })
        .map(|l| {
            let mut out = l;
            while out.contains("...") {
                out = out.replace("...", "..");
            }
            out
        })
        .collect::<Vec<_>>()
        .join("\n")
}

const WANTED: &str = "\
1a Leaves opposite .. 2
1b Leaves alternate .. 3
2a Petals none .. Fraxinus excelsior
2b Petals yellowish green .. Acer campestre
3a Fruit an acorn .. Quercus robur
3b Fruit a winged nut .. Betula pendula";

#[test]
fn html_paragraphs() {
    let page = "<!DOCTYPE html><html><head><title>Trees</title><style>p { color: red }</style></head><body>
<h1>Key to the trees</h1>
<p>1a. Leaves opposite ..... 2</p>
<p>1b. Leaves
   alternate &nbsp;..... 3
<p>2a. Petals none ..... <i>Fraxinus excelsior</i></p>
<p>2b. Petals yellowish green ..... <i>Acer</i> <i>campestre</i></p>
<p>3a. Fruit an acorn ..... <b>Quercus robur</b></p>
<p>3b. Fruit a winged nut ..... <em>Betula pendula</em></p>
<script>1a. nothing</script></body></html>";
    let found = taken("trees.html", page.as_bytes());
    assert_eq!(leads(&found), WANTED);
    assert_eq!(found.report.leads[1].lines, [4], "the lines of the file itself");
}

#[test]
fn html_tables() {
    let mut page = String::from("<html><body><h2>Trees</h2><table>");
    for line in WANTED.lines() {
        let (label, rest) = line.split_once(' ').unwrap();
        let (text, goes) = rest.split_once(" .. ").unwrap();
        page.push_str(&format!("<tr><td>{label}</td><td>{text}</td><td>{goes}</td></tr>\n"));
    }
    page.push_str("</table></body></html>");
    assert_eq!(leads(&taken("trees.htm", page.as_bytes())), WANTED);
}

#[test]
fn html_lists_nested_without_numbers_of_their_own() {
    let page = "<html><body><h1>Key to the trees</h1><ul>
<li>Leaves opposite.<ul><li>Petals none ..... Fraxinus excelsior</li><li>Petals yellowish green ..... Acer campestre</li></ul></li>
<li>Leaves alternate.<ul><li>Fruit an acorn ..... Quercus robur</li><li>Fruit a winged nut ..... Betula pendula</li></ul></li>
</ul></body></html>";
    let found = taken("trees.html", page.as_bytes());
    assert_eq!(leads(&found).replace('.', ""), WANTED.replace('.', ""));
}

#[test]
fn html_in_a_declared_encoding() {
    let page = "<html><head><meta charset=\"iso-8859-1\"></head><body><p>1a. Bl\u{e4}tter gr\u{fc}n ..... Acer campestre</p><p>1b. Bl\u{e4}tter rot ..... Acer rubrum</p></body></html>";
    let bytes: Vec<u8> = page.chars().map(|c| c as u8).collect();
    assert!(taken("k.html", &bytes).key_text.contains("Blätter grün"));
}

fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in parts {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(text.as_bytes()).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn document(body: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><w:document xmlns:w=\"http://schemas.openxmlformats.org/wordprocessingml/2006/main\"><w:body>{body}</w:body></w:document>"
    )
}

fn paragraph(text: &str) -> String {
    let runs: Vec<String> = text
        .split('\t')
        .map(|t| {
            format!("<w:r><w:t xml:space=\"preserve\">{}</w:t></w:r>", t.replace('&', "&amp;"))
        })
        .collect();
    format!("<w:p>{}</w:p>", runs.join("<w:r><w:tab/></w:r>"))
}

fn numbered(text: &str, list: u32, level: u32) -> String {
    let inner = paragraph(text);
    inner.replacen(
        "<w:p>",
        &format!("<w:p><w:pPr><w:numPr><w:ilvl w:val=\"{level}\"/><w:numId w:val=\"{list}\"/></w:numPr></w:pPr>"),
        1,
    )
}

/// Two levels: `1` for the couplet, never printed alone, and `1a` for the lead.
const NUMBERING: &str = "<w:numbering xmlns:w=\"x\"><w:abstractNum w:abstractNumId=\"7\">\
<w:lvl w:ilvl=\"0\"><w:start w:val=\"1\"/><w:numFmt w:val=\"decimal\"/><w:lvlText w:val=\"%1a.\"/></w:lvl>\
<w:lvl w:ilvl=\"1\"><w:start w:val=\"2\"/><w:numFmt w:val=\"lowerLetter\"/><w:lvlText w:val=\"%1%2.\"/></w:lvl>\
</w:abstractNum><w:num w:numId=\"3\"><w:abstractNumId w:val=\"7\"/></w:num></w:numbering>";

#[test]
fn word_with_automatic_numbers() {
    let mut body = paragraph("Key to the trees");
    for (i, line) in WANTED.lines().enumerate() {
        let rest = line.split_once(' ').unwrap().1.replace(" .. ", "\t");
        body.push_str(&numbered(&rest, 3, (i % 2) as u32));
    }
    let bytes =
        archive(&[("word/document.xml", &document(&body)), ("word/numbering.xml", NUMBERING)]);
    let found = taken("trees.docx", &bytes);
    assert_eq!(leads(&found), WANTED);
    assert_eq!(found.report.layout.name, "number-letter");
}

#[test]
fn word_with_numbers_by_style_and_foot_notes() {
    let numbering = "<w:numbering xmlns:w=\"x\"><w:abstractNum w:abstractNumId=\"1\"><w:lvl w:ilvl=\"0\"><w:start w:val=\"1\"/><w:numFmt w:val=\"decimal\"/><w:lvlText w:val=\"%1.\"/><w:pStyle w:val=\"Lead\"/></w:lvl></w:abstractNum><w:num w:numId=\"1\"><w:abstractNumId w:val=\"1\"/></w:num></w:numbering>";
    let styles = "<w:styles xmlns:w=\"x\"><w:style w:styleId=\"Lead\"><w:pPr><w:numPr><w:numId w:val=\"1\"/></w:numPr></w:pPr></w:style><w:style w:styleId=\"LeadTwo\"><w:basedOn w:val=\"Lead\"/></w:style></w:styles>";
    let mut body = paragraph("Key to the trees");
    for (i, line) in WANTED.lines().enumerate() {
        let rest = line.split_once(' ').unwrap().1.replace(" .. ", " ..... ");
        let p = paragraph(&if i % 2 == 1 { format!("– {rest}") } else { rest });
        body.push_str(&if i % 2 == 1 {
            p
        } else {
            p.replacen("<w:p>", "<w:p><w:pPr><w:pStyle w:val=\"Lead\"/></w:pPr>", 1)
        });
    }
    let bytes = archive(&[
        ("word/document.xml", &document(&body)),
        ("word/numbering.xml", numbering),
        ("word/styles.xml", styles),
        ("word/footnotes.xml", &document(&paragraph("A note of the author."))),
        ("word/header1.xml", &document(&paragraph("Oren 17"))),
    ]);
    let found = taken("trees.docx", &bytes);
    assert_eq!(leads(&found), WANTED);
    assert_eq!(found.report.layout.name, "number-dash");
    let left: Vec<&str> = found.report.left_out.iter().map(|l| l.text.as_str()).collect();
    assert_eq!(left, ["A note of the author.", "Oren 17"]);
}

#[test]
fn word_tables() {
    let mut rows = String::new();
    for line in WANTED.lines() {
        let (label, rest) = line.split_once(' ').unwrap();
        let (text, goes) = rest.split_once(" .. ").unwrap();
        let cells: Vec<String> =
            [label, text, goes].iter().map(|t| format!("<w:tc>{}</w:tc>", paragraph(t))).collect();
        rows.push_str(&format!("<w:tr>{}</w:tr>", cells.concat()));
    }
    let body = format!("{}<w:tbl>{rows}</w:tbl>", paragraph("Key to the trees"));
    let bytes = archive(&[("word/document.xml", &document(&body))]);
    assert_eq!(leads(&taken("trees.docx", &bytes)), WANTED);
}

#[test]
fn archives_that_mean_harm_do_none() {
    // A path out of the archive is a name like any other: nothing is unpacked to a disk.
    let mut body = paragraph("Key to the trees");
    WANTED.lines().for_each(|l| body.push_str(&paragraph(&l.replace(" .. ", "\t"))));
    let bytes = archive(&[("../../../tmp/evil.xml", "x"), ("word/document.xml", &document(&body))]);
    assert_eq!(leads(&taken("trees.docx", &bytes)), WANTED);
    assert!(!std::path::Path::new("/tmp/evil.xml").exists());
    // A part that unpacks to more than its cap is refused before it fills the memory.
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("word/document.xml", SimpleFileOptions::default()).unwrap();
    let blanks = vec![b' '; 1 << 20];
    for _ in 0..66 {
        zip.write_all(&blanks).unwrap();
    }
    let bomb = zip.finish().unwrap().into_inner();
    assert!(bomb.len() < 1 << 20, "{}", bomb.len());
    let told = adopt("bomb.docx", &bomb, &Options::default()).unwrap_err().to_string();
    assert!(told.contains("64 MiB"), "{told}");
    // An archive of another kind.
    let told = adopt("k.docx", &archive(&[("content.xml", "<a/>")]), &Options::default())
        .unwrap_err()
        .to_string();
    assert!(told.contains("no Word document"), "{told}");
}

/// Text of the kinds of pieces that manuscripts are made of, in any order.
fn scraps() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("1a. ".to_string()),
        Just("1b. ".to_string()),
        Just("\n".to_string()),
        Just("\n\n".to_string()),
        Just(" ..... ".to_string()),
        Just("    ".to_string()),
        Just("\t".to_string()),
        Just("--2.".to_string()),
        Just("_".to_string()),
        Just("=".to_string()),
        Just("(".to_string()),
        Just(")".to_string()),
        Just("[1]".to_string()),
        Just("aa. ".to_string()),
        Just("A. ".to_string()),
        Just("Leaves opposite".to_string()),
        Just("Quercus robur".to_string()),
        Just("I. ".to_string()),
        Just("– ".to_string()),
        Just("- ".to_string()),
        Just(" # ".to_string()),
        Just("\u{C}".to_string()),
        Just("…".to_string()),
        Just("key".to_string()),
        Just("<p>".to_string()),
        Just("| a | b |".to_string()),
        Just("* ".to_string()),
        "[0-9]{1,3}",
        "[a-zß-ü ]{1,8}",
        "\\PC{1,4}",
    ];
    proptest::collection::vec(piece, 0..60).prop_map(|p| p.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn no_text_is_too_odd(text in scraps(), kind in 0usize..3) {
        let name = ["a.txt", "a.md", "a.html"][kind];
        for layout in [None, Some("number-letter"), Some("indented"), Some("outline"), Some("number-first")] {
            let options = Options { layout: layout.map(str::to_string), ..Options::default() };
            if let Ok(found) = adopt(name, text.as_bytes(), &options) {
                prop_assert_eq!(found.report.words.unaccounted, 0, "{:?} {}\n----\n{}\n{:#?}", layout, text, found.key_text, found.report.left_out);
            }
        }
    }

    #[test]
    fn no_bytes_are_too_odd(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        for name in ["a.txt", "a.html", "a.docx"] {
            let _ = adopt(name, &bytes, &Options::default());
        }
        let _ = adopt("a.docx", &archive(&[("word/document.xml", &String::from_utf8_lossy(&bytes))]), &Options::default());
        let text = document(&String::from_utf8_lossy(&bytes));
        let _ = adopt("a.docx", &archive(&[("word/document.xml", &text), ("word/numbering.xml", &text)]), &Options::default());
    }
}

#[test]
fn large_texts_take_no_long_time() {
    let mut text = String::from("Key\n\n");
    for n in 1..3000 {
        text.push_str(&format!("{n}a. Leaves opposite, {n} mm long ..... {}\n", n + 1));
        text.push_str(&format!("{n}b. Leaves alternate ..... Quercus robur\n"));
    }
    let began = std::time::Instant::now();
    let _ = adopt("large.txt", text.as_bytes(), &Options::default());
    let prose =
        "The leaves of the trees are green in summer and fall in autumn when the nights are cold. "
            .repeat(20_000);
    assert!(adopt("prose.txt", prose.as_bytes(), &Options::default()).is_err());
    let dots = ".".repeat(200_000);
    assert!(adopt("dots.txt", dots.as_bytes(), &Options::default()).is_err());
    let open = "(".repeat(100_000) + &"_a ".repeat(50_000);
    assert!(adopt("open.txt", open.as_bytes(), &Options::default()).is_err());
    assert!(began.elapsed().as_secs() < 60, "{:?}", began.elapsed());
}
