//! What a plant loses in the press: its smell, its sap, its flesh. (Colours have a list of their
//! own.)

pub(super) const SMELLS: &str = "\
    aroma aromatic fetid foetid fragrance fragrant ill-scented odor odorous odour odourless \
    scent scented scentless smell smelling stinking sweet-scented unscented";

pub(super) const SAPS: &str = "\
    juice juicy latex milky resin resinous sap watery";

pub(super) const FLESH: &str = "\
    clammy fleshy glaucous glutinous pruinose sticky succulent viscid";
