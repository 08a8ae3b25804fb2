//! A determination slip: added beside the older ones, which stay.

use crate::notebook::specimen::Specimen;

use super::super::content;
use super::super::typeset::{Align, Block};
use super::super::{Options, Piece};
use super::{Content, Kind, Layout};

pub static SLIP: Layout = Layout {
    name: "slip",
    about: "determination slip, 100 x 30 mm",
    size: (100.0, 30.0),
    margin: 2.5,
    letters: (10.0, 6.5),
    code: None,
    piece: Kind::Determination,
    compose,
};

fn compose(specimen: &Specimen, piece: &Piece, options: &Options) -> Content {
    let mut top = Vec::new();
    let mut foot = Vec::new();
    if let Piece::Determination(det) = piece {
        let body = &det.body;
        top.push(Block::of(content::name_runs(&body.name)).size(1.15).above(0.0).hang(1.0));
        let word = if body.is_confirmation() { "conf." } else { "det." };
        top.extend(content::determined(body, word, options).map(Block::plain));
        if let Some(key) = &body.key {
            let issue = key.issue.as_ref().map(|i| format!(", issue {i}")).unwrap_or_default();
            top.push(Block::plain(format!("with: {}{issue}", key.title)).size(0.85));
        }
        let remarks: Vec<String> = body.verdict.iter().chain(&body.remarks).cloned().collect();
        if !remarks.is_empty() {
            top.push(Block::plain(remarks.join("; ")).size(0.85));
        }
    }
    foot.push(Block::of(content::number_runs(specimen)).size(0.9).align(Align::Right));
    Content { top, foot }
}
