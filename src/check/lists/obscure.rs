//! Parts and properties that need cutting open, a microscope or a laboratory.

pub(super) const OBSCURE: &str = "\
    albumen caruncle cell-wall chromosome cotyledon cystolith embryo endosperm integument \
    locule micropyle nucellus ovule perisperm phytolith placenta placentation pollen radicle \
    raphe raphide septum stoma stomata vernation xylem";
