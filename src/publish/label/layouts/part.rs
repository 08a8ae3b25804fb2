//! A small label for whatever does not go into the press: packet, box, block, bottle.

use crate::notebook::specimen::Specimen;

use super::super::content;
use super::super::typeset::{Align, Block, Face, Run};
use super::super::{Options, Piece};
use super::{Content, Kind, Layout};

pub static PART: Layout = Layout {
    name: "part",
    about: "label for a part kept beside the sheet, 60 x 30 mm",
    size: (60.0, 30.0),
    margin: 2.0,
    letters: (8.5, 6.0),
    code: Some(10.0),
    piece: Kind::Part,
    compose,
};

fn compose(specimen: &Specimen, piece: &Piece, options: &Options) -> Content {
    let mut top = Vec::new();
    if let Piece::Part { part, copy, of } = piece {
        let body = &part.body;
        let count = if *of > 1 { format!(" {copy} of {of}") } else { String::new() };
        let what = vec![Run::new(Face::Bold, format!("{}{count}", body.what))];
        top.push(Block::of(what).above(0.0));
        if let Some(current) = specimen.current() {
            top.push(Block::of(content::name_runs(&current.named.body.name)).hang(1.0));
        }
        let mut about: Vec<String> = body.condition.iter().cloned().collect();
        about.extend(body.individuals.map(|n| format!("from {n} plants")));
        about.extend(body.ripe.then(|| "ripe".to_string()));
        about.extend(body.remarks.clone());
        if !about.is_empty() {
            top.push(Block::plain(about.join("; ")).size(0.92));
        }
    }
    if let Some(g) = specimen.gathering() {
        top.extend(content::locality(g, options).map(|l| Block::plain(l).size(0.88)));
    }
    let mut foot = Vec::new();
    if let Some(g) = specimen.gathering() {
        foot.push(Block::plain(options.months.date(&g.date)).size(0.92).align(Align::Left));
    }
    foot.push(Block::of(content::number_runs(specimen)).above(0.05));
    Content { top, foot }
}
