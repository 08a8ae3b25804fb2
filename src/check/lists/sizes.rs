//! Sizes that mean something only beside another plant.

pub(super) const SIZES: &str = "\
    big broad conspicuous enormous great huge inconspicuous large larger little long longer \
    minute narrow narrower short shorter showy slender small smaller stout tall taller thick \
    thicker thin thinner tiny wide wider";

pub(super) const HEIGHTS: &str = "\
    height high low tall";
