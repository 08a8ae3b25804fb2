//! Labels and determination slips, set for printing on cut sheets.

mod code;
mod content;
pub mod layouts;
mod metrics;
mod sheet;
mod typeset;

pub use content::Months;
pub use sheet::{Paper, page};

use std::fmt::Write;

use crate::notebook::record::{Determination, Part};
use crate::notebook::settings::Settings;
use crate::notebook::specimen::{Kept, Specimen};
use crate::publish::escape::markup;

use layouts::{Kind, Layout};
use typeset::{Area, Face, Line, Page};

/// What holds for all labels of a print.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// The first line: the collection, and its keeper's acronym.
    pub heading: String,
    pub country: Option<String>,
    pub datum: Option<String>,
    pub months: Months,
    /// Put the number on the label as a QR code too.
    pub code: bool,
}

/// What a label is made for.
#[derive(Clone, Copy, Debug)]
pub enum Piece<'a> {
    /// One of the sheets of a gathering.
    Sheet {
        copy: u32,
        of: u32,
    },
    Determination(&'a Kept<Determination>),
    Part {
        part: &'a Kept<Part>,
        copy: u32,
        of: u32,
    },
}

/// One label, ready to be cut out.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Width and height in millimetres.
    pub size: (f64, f64),
    /// The size at which its text was set, in points.
    pub letters: f64,
    pub svg: String,
    /// Its text, line by line.
    pub text: Vec<String>,
}

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// No one cuts out more labels for a part than this.
const MOST_COPIES: u32 = 100;

impl Options {
    /// What the notebook's settings say.
    pub fn of(settings: &Settings) -> Options {
        let keeper = settings.institution.as_ref().map(|i| format!(" ({i})")).unwrap_or_default();
        Options {
            heading: format!("{}{keeper}", settings.name),
            country: settings.country.clone(),
            datum: settings.datum.clone(),
            ..Options::default()
        }
    }
}

/// The labels that a specimen needs in a layout: one for every sheet, for the current
/// determination and its confirmation, or for every part that is no sheet.
pub fn labels(specimen: &Specimen, layout: &Layout, options: &Options) -> Vec<Label> {
    let pieces: Vec<Piece> = match layout.piece {
        Kind::Sheet => {
            let sheets = specimen.parts.iter().filter(|k| k.body.what == "sheet");
            let count: u32 = sheets.map(|k| k.body.how_many()).fold(0, u32::saturating_add);
            let of = count.clamp(1, MOST_COPIES);
            (1..=of).map(|copy| Piece::Sheet { copy, of }).collect()
        }
        Kind::Determination => {
            let current = specimen.current();
            let named = current.map(|c| c.named);
            let latest = current.map(|c| c.latest).filter(|l| named.is_some_and(|n| n.id != l.id));
            named.into_iter().chain(latest).map(Piece::Determination).collect()
        }
        Kind::Part => specimen
            .parts
            .iter()
            .filter(|k| k.body.what != "sheet")
            .flat_map(|part| {
                let of = part.body.how_many().clamp(1, MOST_COPIES);
                (1..=of).map(move |copy| Piece::Part { part, copy, of })
            })
            .collect(),
    };
    pieces.iter().flat_map(|piece| label(specimen, piece, layout, options)).collect()
}

/// A label, and those that it runs on to.
pub fn label(specimen: &Specimen, piece: &Piece, layout: &Layout, options: &Options) -> Vec<Label> {
    let content = (layout.compose)(specimen, piece, options);
    let side = layout.code.filter(|_| options.code).unwrap_or(0.0) * POINTS;
    let code = (side > 0.0)
        .then(|| {
            let x = (layout.size.0 - layout.margin) * POINTS - side;
            let y = (layout.size.1 - layout.margin) * POINTS - side;
            code::path(&specimen.citation.to_string(), x, y, side)
        })
        .flatten();
    let area = Area {
        width: layout.size.0 * POINTS,
        height: layout.size.1 * POINTS,
        margin: layout.margin * POINTS,
        base: layout.letters.0,
        smallest: layout.letters.1,
        corner: if code.is_some() { side } else { 0.0 },
    };
    let pages = typeset::set(&content.top, &content.foot, area);
    pages.iter().map(|page| draw(page, layout, code.as_deref())).collect()
}

fn draw(page: &Page, layout: &Layout, code: Option<&str>) -> Label {
    let (w, h) = layout.size;
    let mut svg = format!(
        "<svg class=\"label\" xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" \
         height=\"{h}mm\" viewBox=\"0 0 {:.3} {:.3}\">\n",
        w * POINTS,
        h * POINTS
    );
    for line in &page.lines {
        draw_line(&mut svg, line);
    }
    if let Some(path) = code {
        let _ = writeln!(svg, "<path class=\"code\" d=\"{path}\"/>");
    }
    svg.push_str("</svg>\n");
    let text = page.lines.iter().map(Line::text).collect();
    Label { size: layout.size, letters: page.size, svg, text }
}

impl Line {
    fn text(&self) -> String {
        self.runs.iter().map(|r| r.text.as_str()).collect()
    }
}

fn draw_line(svg: &mut String, line: &Line) {
    // Where the width of every letter is known, the line is held to it in any font.
    let known = line.runs.iter().flat_map(|r| r.text.chars()).all(metrics::is_known);
    let hold = if known && line.width > 0.0 {
        format!(" textLength=\"{:.3}\" lengthAdjust=\"spacingAndGlyphs\"", line.width)
    } else {
        String::new()
    };
    let _ = write!(
        svg,
        "<text x=\"{:.3}\" y=\"{:.3}\" font-size=\"{:.3}\"{hold}>",
        line.x, line.y, line.size
    );
    for run in &line.runs {
        let text = markup(&run.text);
        let _ = match run.face {
            Face::Roman => write!(svg, "{text}"),
            Face::Bold => write!(svg, "<tspan font-weight=\"bold\">{text}</tspan>"),
            Face::Italic => write!(svg, "<tspan font-style=\"italic\">{text}</tspan>"),
        };
    }
    svg.push_str("</text>\n");
}
