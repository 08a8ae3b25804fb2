//! Labels side by side on sheets of paper, with lines to cut along: a page of HTML for the printer.

use std::fmt::Write;

use super::Label;
use crate::publish::escape::markup;

/// A sheet of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    #[default]
    A4,
    Letter,
}

impl Paper {
    /// Width and height in millimetres.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::Letter => (215.9, 279.4),
        }
    }

    fn word(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::Letter => "letter",
        }
    }
}

/// What printers leave white.
const EDGE: f64 = 5.0;

/// Sets labels onto sheets, those of one size together, and returns the page. Nothing in it
/// refers to anything outside it.
pub fn page(title: &str, labels: &[Label], paper: Paper) -> String {
    let (width, height) = paper.size();
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <title>{}</title>\n<style>\n\
         @page {{ size: {}; margin: 0 }}\n\
         html, body {{ margin: 0; padding: 0; background: #fff }}\n\
         .sheet {{ position: relative; width: {width}mm; height: {:.1}mm; overflow: hidden; \
         break-after: page }}\n\
         .sheet:last-child {{ break-after: auto }}\n\
         .label {{ position: absolute; outline: 0.1mm solid #999; overflow: hidden }}\n\
         .label text {{ font-family: \"Times New Roman\", \"Liberation Serif\", Times, serif; \
         white-space: pre; font-kerning: none }}\n\
         @media screen {{ .sheet {{ border-bottom: 1mm dashed #ccc }} }}\n\
         </style>\n</head>\n<body>\n",
        markup(title),
        paper.word(),
        // A hair less than the paper, or rounding makes an empty sheet.
        height - 0.5,
    );
    let mut sizes: Vec<(f64, f64)> = Vec::new();
    for label in labels {
        if !sizes.contains(&label.size) {
            sizes.push(label.size);
        }
    }
    for size in sizes {
        let own: Vec<&Label> = labels.iter().filter(|l| l.size == size).collect();
        let fit = |room: f64, one: f64| (((room - 2.0 * EDGE) / one).floor() as usize).max(1);
        let (columns, rows) = (fit(width, size.0), fit(height, size.1));
        for sheet in own.chunks(columns * rows) {
            out.push_str("<div class=\"sheet\">\n");
            for (i, label) in sheet.iter().enumerate() {
                let left = EDGE + (i % columns) as f64 * size.0;
                let top = EDGE + (i / columns) as f64 * size.1;
                let place = format!("<svg style=\"left:{left:.1}mm;top:{top:.1}mm\" ");
                let _ = write!(out, "{}", label.svg.replacen("<svg ", &place, 1));
            }
            out.push_str("</div>\n");
        }
    }
    out.push_str("</body>\n</html>\n");
    out
}
