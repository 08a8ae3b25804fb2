//! Scientific names against the vectors of the Code, Darwin Core and the herbarium guideline.

use hilum::text::name::list::{NameList, Standing};
use hilum::text::name::{Doubt, Rank, ScientificName, read};
use proptest::prelude::*;

fn name(text: &str) -> ScientificName {
    read(text).unwrap_or_else(|e| panic!("{text}: {e} at {}..{}", e.start, e.end))
}

/// Name as written, plain, with authors, rank, authorship.
type Row = (&'static str, &'static str, &'static str, Rank, &'static str);

/// Examples of the International Code of Nomenclature (Shenzhen Code 2018): Art. 46 Ex. 1,
/// Art. 49.1, Art. 24.1, Art. H.3.1 [READ], and of the herbarium guideline [READ].
const VECTORS: &[Row] = &[
    ("Rosaceae Juss.", "Rosaceae", "Rosaceae Juss.", Rank::Family, "Juss."),
    ("Rosa L.", "Rosa", "Rosa L.", Rank::Genus, "L."),
    ("Rosa gallica L.", "Rosa gallica", "Rosa gallica L.", Rank::Species, "L."),
    (
        "Rosa gallica var. versicolor L.",
        "Rosa gallica var. versicolor",
        "Rosa gallica var. versicolor L.",
        Rank::Variety,
        "L.",
    ),
    (
        "Rosa gallica L. var. gallica",
        "Rosa gallica var. gallica",
        "Rosa gallica L. var. gallica",
        Rank::Variety,
        "",
    ),
    (
        "Helianthemum aegyptiacum (L.) Mill.",
        "Helianthemum aegyptiacum",
        "Helianthemum aegyptiacum (L.) Mill.",
        Rank::Species,
        "(L.) Mill.",
    ),
    (
        "Corydalis solida (L.) Clairv.",
        "Corydalis solida",
        "Corydalis solida (L.) Clairv.",
        Rank::Species,
        "(L.) Clairv.",
    ),
    (
        "Aspalathoides (DC.) K. Koch",
        "Aspalathoides",
        "Aspalathoides (DC.) K. Koch",
        Rank::Genus,
        "(DC.) K. Koch",
    ),
    (
        "Saxifraga aizoon subf. surculosa Engl. & Irmsch.",
        "Saxifraga aizoon subf. surculosa",
        "Saxifraga aizoon subf. surculosa Engl. & Irmsch.",
        Rank::Subform,
        "Engl. & Irmsch.",
    ),
    (
        // with all intermediate ranks: a classification, not the name
        "Saxifraga aizoon var. aizoon subvar. brevifolia f. multicaulis subf. surculosa Engl. & Irmsch.",
        "Saxifraga aizoon subf. surculosa",
        "Saxifraga aizoon subf. surculosa Engl. & Irmsch.",
        Rank::Subform,
        "Engl. & Irmsch.",
    ),
    ("×Agropogon P. Fourn.", "×Agropogon", "×Agropogon P. Fourn.", Rank::Genus, "P. Fourn."),
    (
        "×Agropogon littoralis (Sm.) C. E. Hubb.",
        "×Agropogon littoralis",
        "×Agropogon littoralis (Sm.) C. E. Hubb.",
        Rank::Species,
        "(Sm.) C. E. Hubb.",
    ),
    (
        "Salix ×capreola Andersson",
        "Salix ×capreola",
        "Salix ×capreola Andersson",
        Rank::Species,
        "Andersson",
    ),
    (
        "Mentha x smithiana R. A. Graham",
        "Mentha ×smithiana",
        "Mentha ×smithiana R. A. Graham",
        Rank::Species,
        "R. A. Graham",
    ),
    (
        "Polypodium vulgare nothosubsp. mantoniae",
        "Polypodium vulgare nothosubsp. mantoniae",
        "Polypodium vulgare nothosubsp. mantoniae",
        Rank::Subspecies,
        "",
    ),
    (
        // Herbarium guideline [READ]
        "Senecio fuchsii C.C.Gmel. subsp. fuchsii var. expansus (Boiss. & Heldr.) Hayek",
        "Senecio fuchsii var. expansus",
        "Senecio fuchsii var. expansus (Boiss. & Heldr.) Hayek",
        Rank::Variety,
        "(Boiss. & Heldr.) Hayek",
    ),
    (
        "Cryptomeria japonica 'Elegans'",
        "Cryptomeria japonica 'Elegans'",
        "Cryptomeria japonica 'Elegans'",
        Rank::Cultivar,
        "",
    ),
    (
        "Amaranthus subgenus Albersia (Kunth) Grenier & Godron",
        "Amaranthus subg. Albersia",
        "Amaranthus subg. Albersia (Kunth) Grenier & Godron",
        Rank::Subgenus,
        "(Kunth) Grenier & Godron",
    ),
    (
        // [MEM]
        "Gossypium tomentosum Nutt. ex Seem.",
        "Gossypium tomentosum",
        "Gossypium tomentosum Nutt. ex Seem.",
        Rank::Species,
        "Nutt. ex Seem.",
    ),
    (
        // a form, not the son of Linnaeus; and the son, not a form
        "Papaver rhoeas L. f. album Bosse",
        "Papaver rhoeas f. album",
        "Papaver rhoeas f. album Bosse",
        Rank::Form,
        "Bosse",
    ),
    (
        "Aster novae-angliae L. f.",
        "Aster novae-angliae",
        "Aster novae-angliae L. f.",
        Rank::Species,
        "L. f.",
    ),
    (
        "Elytrigia repens (L.) Desv. ex Nevski ssp. repens",
        "Elytrigia repens subsp. repens",
        "Elytrigia repens (L.) Desv. ex Nevski subsp. repens",
        Rank::Subspecies,
        "",
    ),
];

#[test]
fn names_of_the_code_are_read_and_written() {
    for (text, plain, full, rank, authors) in VECTORS {
        let n = name(text);
        assert_eq!(n.plain(), *plain, "{text}");
        assert_eq!(n.full(), *full, "{text}");
        assert_eq!(n.rank(), *rank, "{text}");
        assert_eq!(n.authorship.cited(), *authors, "{text}");
        assert_eq!(n.verbatim, *text);
        assert_eq!(name(full).full(), *full, "writing is stable: {text}");
    }
}

#[test]
fn authors_are_taken_apart() {
    let n = name("Corydalis solida (L.) Clairv.");
    assert_eq!(n.authorship.basionym.unwrap().by, "L.");
    assert_eq!(n.authorship.combination.unwrap().by, "Clairv.");
    let n = name("Gossypium tomentosum Nutt. ex Seem.");
    let team = n.authorship.combination.unwrap();
    assert_eq!((team.ascribed.as_deref(), team.by.as_str()), (Some("Nutt."), "Seem."));
    // "in" names the publication and is no part of the citation [MEM]
    let n = name("Papaver commutatum Fisch. & C.A.Mey. in Hohen.");
    assert_eq!(n.full(), "Papaver commutatum Fisch. & C.A.Mey.");
    assert_eq!(n.authorship.combination.unwrap().publication.as_deref(), Some("Hohen."));
}

/// Darwin Core's own examples of identificationQualifier (term list 2026-05-26) [READ].
#[test]
fn qualifiers_are_taken_apart_as_darwin_core_does() {
    let n = name("Quercus aff. agrifolia var. oxyadenia");
    assert_eq!(n.qualifier_phrase().as_deref(), Some("aff. agrifolia var. oxyadenia"));
    assert_eq!(n.qualifiers[0].doubt, Doubt::Related);
    let m = name("Quercus agrifolia cf. var. oxyadenia");
    assert_eq!(m.qualifier_phrase().as_deref(), Some("cf. var. oxyadenia"));
    assert_eq!(m.qualifiers[0].doubt, Doubt::Compare);
    for n in [n, m] {
        assert_eq!(n.genus, "Quercus");
        assert_eq!(n.species.as_deref(), Some("agrifolia"));
        assert_eq!(n.below_species[0].epithet, "oxyadenia");
        assert_eq!(n.below_species[0].rank_as_written, "var.");
        assert_eq!(n.plain(), "Quercus agrifolia var. oxyadenia");
        assert!(!n.full().contains("cf.") && !n.full().contains("aff."));
    }
}

#[test]
fn doubt_in_every_place_it_is_written() {
    let phrase = |t: &str| name(t).qualifier_phrase();
    // Bengtson 1988 [READ: abstract]: the short form is preferred, the long one is understood.
    assert_eq!(phrase("Trichiurus cf. lepturus").as_deref(), Some("cf. lepturus"));
    assert_eq!(phrase("Trichiurus cf. T. lepturus").as_deref(), Some("cf. lepturus"));
    assert_eq!(phrase("cf. Papaver rhoeas L.").as_deref(), Some("cf. Papaver rhoeas"));
    assert_eq!(phrase("Papaver ?rhoeas L.").as_deref(), Some("?rhoeas"));
    assert_eq!(phrase("Papaver ? rhoeas").as_deref(), Some("? rhoeas"));
    // verbatimIdentification's own examples (term list 2026-05-26) [READ]
    let n = name("Pachyporidae?");
    assert_eq!((n.plain().as_str(), n.qualifier_phrase().as_deref()), ("Pachyporidae", Some("?")));
    let n = name("Peromyscus sp.");
    assert_eq!(
        (n.plain().as_str(), n.qualifier_phrase(), n.rank()),
        ("Peromyscus", None, Rank::Genus)
    );
    let n = name("Aconitum pilipes × A. variegatum");
    assert_eq!(n.plain(), "Aconitum pilipes × Aconitum variegatum");
    let n = name("Papaver sp. 1");
    assert_eq!((n.plain().as_str(), n.qualifier_phrase().as_deref()), ("Papaver", Some("sp. 1")));
    let n = name("Papaver rhoeas? × P. cf. dubium L.");
    assert_eq!(n.plain(), "Papaver rhoeas × Papaver dubium");
    assert_eq!(n.formula[0].qualifier_phrase().as_deref(), Some("?"));
    assert_eq!(n.formula[1].qualifier_phrase().as_deref(), Some("cf. dubium"));
    let n = name("Papaver rhoeas L. s.l.");
    assert_eq!((n.full().as_str(), n.remark.as_deref()), ("Papaver rhoeas L.", Some("s.l.")));
}

/// Art. H.2 [READ] and the herbarium guideline [READ].
#[test]
fn hybrid_formulas_keep_every_parent() {
    for (text, plain) in [
        ("Salix aurita L. × S. caprea L.", "Salix aurita × Salix caprea"),
        (
            "Agrostis stolonifera L. × Polypogon monspeliensis (L.) Desf.",
            "Agrostis stolonifera × Polypogon monspeliensis",
        ),
        (
            "Asplenium rhizophyllum × ruta-muraria",
            "Asplenium rhizophyllum × Asplenium ruta-muraria",
        ),
        (
            "Mentha aquatica L. × M. arvensis L. × M. spicata L.",
            "Mentha aquatica × Mentha arvensis × Mentha spicata",
        ),
    ] {
        let n = name(text);
        assert_eq!(n.plain(), plain);
        assert!(n.is_hybrid());
        assert_eq!(name(&n.full()).plain(), plain, "writing is stable");
    }
    assert_eq!(
        name("Salix caprea × S. aurita").folded(),
        name("Salix aurita × S. caprea").folded()
    );
}

/// Art. H.3.3 [READ]: × and notho- are disregarded for homonymy and synonymy.
#[test]
fn hybrid_signs_are_disregarded_in_comparison() {
    assert_eq!(name("Salix ×capreola").folded(), name("Salix capreola").folded());
    assert_eq!(
        name("Polypodium vulgare nothosubsp. mantoniae").folded(),
        name("Polypodium vulgare ssp. mantoniae").folded()
    );
}

#[test]
fn what_is_no_name_is_refused_with_its_place() {
    for (text, at, word) in [
        ("papaver rhoeas", 0, "papaver"),
        ("Papaver rhoeas strigosum", 15, "strigosum"),
        ("", 0, ""),
        ("P. rhoeas", 0, "P."),
        ("Papaver rhoeas (L. Mill.", 15, "(L. Mill."),
        ("1042", 0, "1042"),
        ("Papaver rhoeas ×", 16, ""),
    ] {
        let e = read(text).expect_err(text);
        assert_eq!(
            (e.start, &text[e.start..e.end]),
            (at + usize::from(text.ends_with('×')), word),
            "{text}: {e}"
        );
        assert!(!e.remedy.is_empty());
    }
}

#[test]
fn a_list_tells_accepted_synonym_other_authors_and_near() {
    let (list, unread) = NameList::read(
        "# weeds of the terraces\nPapaver rhoeas L.\nPapaver strigosum (Boenn.) Schur = Papaver rhoeas L.\n\
         Corydalis solida (L.) Clairv.\nno name here\n",
    );
    assert_eq!(unread.len(), 1);
    assert_eq!(unread[0].line, 5);
    assert!(matches!(list.standing(&name("Papaver rhoeas")), Standing::Accepted(_)));
    assert!(matches!(list.standing(&name("Papaver cf. rhoeas L.")), Standing::Accepted(_)));
    assert!(matches!(list.standing(&name("Papaver strigosum")), Standing::Synonym(e)
        if e.accepted.as_deref() == Some("Papaver rhoeas L.")));
    // Art. 49.1: not "(Mill.) Clairv."
    assert!(matches!(
        list.standing(&name("Corydalis solida (Mill.) Clairv.")),
        Standing::OtherAuthors(_)
    ));
    assert_eq!(
        list.standing(&name("Papaver roeas")),
        Standing::Absent { near: vec!["Papaver rhoeas L.".into()] }
    );
    assert!(list.covers(&name("Papaver rhoeas var. pryorii")));
    assert!(!list.covers(&name("Papaver")));
    let (csv, unread) = NameList::read(
        "scientificName,acceptedNameUsage,family\nPapaver rhoeas L.,,Papaveraceae\n",
    );
    assert!(unread.is_empty());
    assert_eq!(csv.entries()[0].family.as_deref(), Some("Papaveraceae"));
}

/// The vectors as the project reads them, for a second parser to compare with.
pub fn for_the_second_reader() -> String {
    let more = [
        "Quercus aff. agrifolia var. oxyadenia",
        "Quercus agrifolia cf. var. oxyadenia",
        "Fumaria bulbosa var. solida L.",
        "Corydalis solida (L.) Clairv.",
        "Cistus aegyptiacus L.",
        "Papaver sp.",
        "Bromus hordeaceus subsp. thominei (Hardouin) Braun-Blanq.",
        "Orobanche caryophyllacea Sm.",
        "Crataegus azarolus var. pontica (K.Koch) K.I.Chr.",
    ];
    let rows = VECTORS.iter().map(|v| v.0).chain(more).map(|text| {
        let n = name(text);
        let below = n.below_species.last();
        serde_json::json!({
            "verbatim": text,
            "rank": n.rank().word().to_uppercase(),
            "genus": n.genus,
            "species": n.species,
            "below": below.map(|e| &e.epithet),
            "cultivar": n.cultivar,
            "within_genus": n.within_genus.as_ref().map(|w| &w.1),
            "hybrid": n.is_hybrid(),
            "basionym": n.authorship.basionym.as_ref().map(|t| t.cited()),
            "authors": n.authorship.combination.as_ref().map(|t| t.cited()),
            "doubt": n.qualifiers.first().map(|q| &q.word),
        })
    });
    serde_json::to_string_pretty(&rows.collect::<Vec<_>>()).unwrap()
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,60}") {
        let _ = read(&text);
    }

    #[test]
    fn no_row_of_name_words_panics(words in prop::collection::vec(prop::sample::select(vec![
        "Papaver", "rhoeas", "L.", "×", "?", "cf.", "aff.", "var.", "f.", "(", ")", "(L.)", "ex", "sp.",
        "1", "'Elegans'", "'", "subg.", "nothosubsp.", "s.l.", "P.", "cv.", "&", "x", "×alba", "?alba",
    ]), 0..9)) {
        let text = words.join(" ");
        if let Ok(n) = read(&text) {
            // what was read is written as a name that reads the same
            let full = n.full();
            let again = read(&full);
            prop_assert!(again.is_ok(), "{text} -> {full}: {again:?}");
            prop_assert_eq!(again.unwrap().full(), full);
        }
    }
}
