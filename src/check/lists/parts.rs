//! Parts of plants, and on which organ each is seen.

/// The organ on which a character is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(in crate::check) enum Organ {
    Whole,
    Root,
    Stem,
    Bark,
    Bud,
    Leaf,
    Sap,
    Flower,
    Fruit,
    Seed,
}

/// Each organ and the parts that are seen on it; last, parts of any organ.
pub(super) const PARTS: [(Option<Organ>, &str); 11] = [
    (
        Some(Organ::Whole),
        "\
        bush climber grass habit herb liana plant shrub tree undershrub vine",
    ),
    (
        Some(Organ::Root),
        "\
        bulb corm rhizome root rootlet rootstock taproot tuber",
    ),
    (
        Some(Organ::Stem),
        "\
        axil branch branching branchlet crown culm internode node pith prickle runner shoot stem \
        stolon thorn trunk twig",
    ),
    (
        Some(Organ::Bark),
        "\
        bark",
    ),
    (
        Some(Organ::Bud),
        "\
        bud bud-scale",
    ),
    (
        Some(Organ::Leaf),
        "\
        auricle blade foliage frond lamina leaf leaf-base leaf-blade leaf-lobe leaf-margin \
        leaf-segment leaf-stalk leaflet leafstalk ligule midrib midvein needle nerve ochrea ocrea \
        petiole petiolule pinna rachis rosette sheath stipule tendril vein venation",
    ),
    (
        Some(Organ::Sap),
        "\
        juice latex sap",
    ),
    (
        Some(Organ::Flower),
        "\
        ament anther awn bract bracteole bractlet calyx calyx-lobe calyx-tooth calyx-tube carpel \
        catkin corolla corolla-lobe corolla-tube corymb cyme disk filament floret flower \
        flower-head flower-stalk glume head hypanthium inflorescence involucre lemma nectary ovary \
        palea panicle pedicel peduncle perianth perianth-segment petal pistil pollen raceme ray \
        receptacle scape sepal spathe spike spikelet spur stamen staminode stigma style tepal \
        umbel",
    ),
    (
        Some(Organ::Fruit),
        "\
        achene acorn berry bur capsule caryopsis cone cup cupule drupe follicle fruit grain haw \
        hip husk legume mericarp nut nutlet pappus pod pome samara schizocarp silicle silicula \
        siliqua silique utricle",
    ),
    (
        Some(Organ::Seed),
        "\
        aril caruncle cotyledon embryo endosperm hilum ovule placenta radicle seed testa",
    ),
    (
        None,
        "\
        apex base beak bristle claw cluster cross-section edge face furrow gland hair keel lobe margin \
        outline rib scale segment side spine stalk surface tip tooth trichome tube wing",
    ),
];
