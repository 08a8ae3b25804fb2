//! The label in the lower right corner of a herbarium sheet, in three sizes.

use crate::notebook::specimen::Specimen;

use super::super::content;
use super::super::typeset::{Align, Block, Face, Run};
use super::super::{Options, Piece};
use super::{Content, Kind, Layout};

pub static HUNDRED_BY_SEVENTY: Layout = Layout {
    name: "100x70",
    about: "herbarium label, 100 x 70 mm",
    size: (100.0, 70.0),
    margin: 3.5,
    letters: (10.0, 6.5),
    code: Some(13.0),
    piece: Kind::Sheet,
    compose,
};

pub static FIVE_BY_THREE: Layout = Layout {
    name: "5x3in",
    about: "herbarium label, 5 x 3 inches",
    size: (127.0, 76.2),
    margin: 4.0,
    letters: (11.0, 6.5),
    code: Some(15.0),
    piece: Kind::Sheet,
    compose,
};

pub static SQUARE: Layout = Layout {
    name: "100x100",
    about: "herbarium label, 100 x 100 mm",
    size: (100.0, 100.0),
    margin: 4.0,
    letters: (11.0, 6.5),
    code: Some(15.0),
    piece: Kind::Sheet,
    compose,
};

fn compose(specimen: &Specimen, piece: &Piece, options: &Options) -> Content {
    let mut top = Vec::new();
    let heading = vec![Run::new(Face::Bold, options.heading.clone())];
    top.push(Block::of(heading).align(Align::Centre).above(0.0));
    top.extend(content::family(specimen).map(|f| Block::plain(f).size(0.85).above(0.35)));
    top.extend(content::name_blocks(specimen, options, 1.12));
    let mut foot = Vec::new();
    if let Some(g) = specimen.gathering() {
        let place = content::locality(g, options).map(|l| Block::plain(l).above(0.5));
        top.extend(place);
        top.extend(content::position(g, options).map(Block::plain));
        top.extend(content::habitat(g).map(Block::plain));
        top.extend(content::description(g).map(Block::plain));
        let permit = g.permit.as_ref().map(|p| Block::plain(format!("Permit {p}")).size(0.9));
        top.extend(permit);
    }
    top.extend(content::further_parts(specimen, None).map(|p| Block::plain(p).size(0.9)));
    if let Piece::Sheet { copy, of: of @ 2.. } = piece {
        foot.push(Block::plain(format!("Sheet {copy} of {of}")).size(0.9).above(0.3));
    }
    if let Some(g) = specimen.gathering() {
        foot.extend(content::companions(g).map(|c| Block::plain(c).size(0.9).above(0.4)));
        foot.push(Block::plain(options.months.date(&g.date)).above(0.1));
    }
    foot.push(Block::of(content::number_runs(specimen)).size(1.1).above(0.1));
    Content { top, foot }
}
