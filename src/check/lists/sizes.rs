//! Sizes that mean something only beside another plant.

pub(super) const SIZES: &str = "\
    big broad conspicuous enormous great huge inconspicuous large larger little long longer \
    minute narrow narrower short shorter showy slender small smaller stout tall taller thick \
    thicker thin thinner tiny wide wider";

pub(super) const HEIGHTS: &str = "\
    height high low tall";

/// Words that say how much.
pub(super) const DEGREES: &str = "\
    bright comparatively dark deep distinctly light more most often pale quite rather relatively \
    somewhat very";
