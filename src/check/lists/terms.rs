//! Technical terms that a reader may not know, with the plain word where one says exactly the same.

/// Terms and the plain words that mean the same.
pub(super) const SAME: &[(&str, &[&str])] = &[
    ("apex", &["tip"]),
    ("auricled", &["eared"]),
    ("cordate", &["heart-shaped"]),
    ("cuneate", &["wedge-shaped"]),
    ("glabrous", &["hairless"]),
    ("hastate", &["spear-shaped"]),
    ("lamina", &["leaf blade", "blade"]),
    ("lanceolate", &["lance-shaped"]),
    ("margin", &["edge"]),
    ("pedicel", &["flower stalk", "flower-stalk"]),
    ("petiole", &["leaf stalk", "leaf-stalk", "leafstalk"]),
    ("reticulate", &["netted"]),
    ("sessile", &["stalkless"]),
];

/// Terms that say more than any plain word.
pub(super) const ALONE: &str = "\
    accrescent acuminate acute adnate apetalous appressed caespitose campanulate canescent \
    carinate cauline ciliate connate coriaceous corymb crenate cyme decumbent decurrent \
    dehiscent dentate dioecious divaricate epicalyx epigynous exserted falcate fimbriate \
    gamopetalous glaucous hirsute hispid hyaline hypanthium hypogynous imbricate indehiscent \
    involucre lanate lenticel lyrate monoecious mucronate oblanceolate obovate obtuse ochrea \
    ocrea ovate palmate panicle peduncle peltate perfoliate pilose pinnate pinnatifid plicate \
    procumbent puberulent pubescent punctate raceme rachis reniform retuse revolute rhizome \
    rugose runcinate sagittate scabrous scarious sericeous serrate serrulate sinuate \
    spathulate spatulate stellate stipitate stipule stolon striate strigose subulate terete \
    ternate tomentose trifoliolate truncate umbel undulate urceolate utricle valvate villous \
    viscid zygomorphic";
