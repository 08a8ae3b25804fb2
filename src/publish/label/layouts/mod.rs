//! The layouts of labels and slips: one file each, and a line in this list.

mod part;
mod sheet;
mod slip;

use crate::notebook::specimen::Specimen;

use super::typeset::Block;
use super::{Options, Piece};

/// What a layout puts on a label.
pub struct Content {
    pub top: Vec<Block>,
    /// Stands at the bottom of every label; its last block holds the number.
    pub foot: Vec<Block>,
}

/// A size of label with what stands on it.
pub struct Layout {
    pub name: &'static str,
    pub about: &'static str,
    /// Width and height in millimetres.
    pub size: (f64, f64),
    /// Room on every side, in millimetres.
    pub margin: f64,
    /// Points: the size that is tried first, and the smallest.
    pub letters: (f64, f64),
    /// Side of the QR code, in millimetres; none where there is no room for one.
    pub code: Option<f64>,
    /// For what it is made: a herbarium sheet, a determination, another part.
    pub piece: Kind,
    pub compose: fn(&Specimen, &Piece, &Options) -> Content,
}

/// What a label is stuck to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Sheet,
    Determination,
    Part,
}

/// All layouts; of each kind the first is the usual one.
pub const ALL: &[&Layout] =
    &[&sheet::HUNDRED_BY_SEVENTY, &sheet::FIVE_BY_THREE, &sheet::SQUARE, &slip::SLIP, &part::PART];

/// The layout of that name.
pub fn find(name: &str) -> Option<&'static Layout> {
    ALL.iter().copied().find(|l| l.name == name)
}

/// The usual layout of a kind.
pub fn usual(kind: Kind) -> Option<&'static Layout> {
    ALL.iter().copied().find(|l| l.piece == kind)
}
