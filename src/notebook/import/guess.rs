//! A map of a table's columns guessed from their names, and where those do not tell from the cells.

use super::map::{ColumnMap, Target};
use crate::notebook::date::When;

/// A map for a person to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guess {
    pub map: ColumnMap,
    /// Columns that are not in it; what stands in them is kept under their own names.
    pub left_out: Vec<String>,
}

impl Guess {
    /// The map as a file, with what else it may hold.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let mut say = |text: &str| {
            let options = textwrap::Options::new(78).initial_indent("# ").subsequent_indent("#   ");
            for line in textwrap::wrap(text, options) {
                out.push_str(&line);
                out.push('\n');
            }
        };
        say(
            "A line a field: the field, a colon, and the column of the table (or [several, columns]).",
        );
        say(&format!("Fields: {}.", ColumnMap::known().join(", ")));
        say("What holds for every row stands below fixed:, a field a line.");
        if !self.left_out.is_empty() {
            // A name may hold anything, and must not end the comment.
            let names = self.left_out.join(", ");
            let names: String =
                names.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
            say(&format!("Columns left out: {}", crate::text::shown::shown(&names)));
        }
        out.push_str(&self.map.text());
        out
    }
}

/// Names of columns that are read without a map, the surest first: the names of the fields
/// themselves, those of Darwin Core, and what field books have in English, German and French.
/// Only letters and figures of them count (see [`folded`]).
const USUAL: &[(&str, &[&str])] = &[
    (
        "number",
        &[
            "number",
            "no.",
            "nr.",
            "num.",
            "coll. no.",
            "collection number",
            "recordnumber",
            "field number",
            "nummer",
            "sammelnummer",
            "sammelnr.",
            "feldnummer",
            "numéro",
            "numéro de récolte",
            "n°",
        ],
    ),
    (
        "collector",
        &[
            "collector",
            "coll.",
            "recordedby",
            "collected by",
            "leg.",
            "sammler",
            "sammlerin",
            "gesammelt von",
            "collecteur",
            "récolteur",
        ],
    ),
    (
        "with",
        &[
            "with",
            "coll. with",
            "companions",
            "additional collectors",
            "mitsammler",
            "begleiter",
            "avec",
        ],
    ),
    (
        "date",
        &[
            "date",
            "eventdate",
            "collection date",
            "date collected",
            "dat.",
            "datum der sammlung",
            "sammeldatum",
            "funddatum",
            "gesammelt am",
            "date de récolte",
        ],
    ),
    ("date as written", &["date as written", "verbatimeventdate"]),
    (
        "place",
        &["place", "locality", "location", "fundort", "ort", "fundstelle", "localité", "lieu"],
    ),
    ("country", &["country", "land", "pays"]),
    ("country code", &["country code"]),
    ("province", &["province", "stateprovince", "state", "region", "provinz", "région"]),
    ("datum", &["geodeticdatum", "kartendatum"]),
    (
        "uncertainty",
        &["uncertainty", "coordinateuncertaintyinmeters", "accuracy", "genauigkeit", "précision"],
    ),
    (
        "altitude",
        &[
            "altitude",
            "alt.",
            "elevation",
            "elev.",
            "verbatimelevation",
            "altitude (m)",
            "alt. (m)",
            "elevation (m)",
            "elev. (m)",
            "m a.s.l.",
            "m ü. M.",
            "m ü. NN",
            "höhe",
            "höhe (m)",
            "meereshöhe",
            "höhe ü. M.",
        ],
    ),
    ("habitat", &["habitat", "standort", "biotop", "lebensraum", "ecology", "milieu"]),
    ("substrate", &["substrate", "soil", "boden", "substrat", "sol"]),
    ("abundance", &["abundance", "frequency", "häufigkeit", "abondance", "fréquence"]),
    ("habit", &["habit", "life form", "wuchsform", "lebensform", "port"]),
    ("height", &["height", "plant height", "wuchshöhe", "hauteur"]),
    (
        "stage",
        &[
            "stage",
            "phenology",
            "reproductivecondition",
            "phänologie",
            "stadium",
            "entwicklung",
            "phénologie",
            "stade",
        ],
    ),
    (
        "associated",
        &[
            "associated",
            "associated plants",
            "associated species",
            "associatedtaxa",
            "begleitpflanzen",
            "begleitarten",
            "begleitflora",
            "plantes associées",
            "espèces associées",
        ],
    ),
    ("permit", &["permit", "permit number", "genehmigung", "permis"]),
    ("photographs", &["photographs", "photos", "associatedmedia", "fotos", "foto", "photo"]),
    ("project", &["project", "projekt", "projet"]),
    ("establishment", &["establishment", "degreeofestablishment"]),
    (
        "remarks",
        &[
            "remarks",
            "remark",
            "occurrenceremarks",
            "bemerkungen",
            "bemerkung",
            "bem.",
            "anmerkung",
            "anmerkungen",
            "remarques",
            "remarque",
        ],
    ),
    (
        "fresh colour",
        &[
            "colour",
            "color",
            "flower colour",
            "flower color",
            "farbe",
            "blütenfarbe",
            "couleur",
            "couleur des fleurs",
        ],
    ),
    ("fresh scent", &["scent", "smell", "odour", "geruch", "duft", "odeur"]),
    ("fresh sap", &["sap", "latex", "milchsaft"]),
    (
        "name",
        &[
            "name",
            "verbatimidentification",
            "determination",
            "identification",
            "art",
            "espèce",
            "species",
            "taxon",
            "scientific name",
            "wissenschaftlicher name",
            "pflanze",
            "plante",
            "plant",
            "nom",
            "bestimmung",
            "détermination",
        ],
    ),
    ("family", &["family", "familie", "famille"]),
    ("determined by", &["determined by", "identifiedby", "det. by", "determiner"]),
    (
        "date determined",
        &["date determined", "dateidentified", "det. date", "det. am", "bestimmt am"],
    ),
    (
        "parts",
        &["parts", "part", "material", "teile", "teil", "belege", "beleg", "parties", "matériel"],
    ),
    ("count", &["count", "anzahl", "stückzahl", "nombre"]),
    ("individuals", &["individuals", "individuen", "individus"]),
    ("note", &["note", "notes", "fieldnotes", "notizen", "notiz"]),
];

/// Columns that hold the name, or who gave it.
const NAME_OR_PERSON: &[&str] =
    &["det.", "dét.", "bestimmt", "déterminé", "bestimmt von", "best. von", "déterminé par"];

/// Columns of the second half of a pair of coordinates, behind those of the first.
const PAIRS: &[(&str, &str)] = &[
    ("decimallatitude", "decimallongitude"),
    ("latitude", "longitude"),
    ("lat.", "long."),
    ("lat.", "lon."),
    ("lat.", "lng."),
    ("breite", "länge"),
    ("breitengrad", "längengrad"),
    ("geogr. breite", "geogr. länge"),
    ("geographische breite", "geographische länge"),
];

/// A column's name as it is compared: small letters and figures.
fn folded(name: &str) -> String {
    let kept = |c: &char| c.is_alphanumeric() || *c == '°';
    name.chars().filter(kept).flat_map(char::to_lowercase).collect()
}

struct Table<'a> {
    names: Vec<String>,
    rows: &'a [csv::StringRecord],
}

impl Table<'_> {
    fn find(&self, name: &str) -> Option<usize> {
        let name = folded(name);
        self.names.iter().position(|n| *n == name)
    }

    /// The first of the names that the table has, so that the surest wins.
    fn first(&self, names: &[&str]) -> Option<usize> {
        names.iter().find_map(|n| self.find(n))
    }

    /// How many cells of a column are of a kind.
    fn count(&self, at: usize, kind: fn(&str) -> bool) -> usize {
        let cells = self.rows.iter().filter_map(|r| r.get(at)).map(str::trim);
        cells.filter(|c| !c.is_empty() && kind(c)).count()
    }

    /// `Datum` is a date in German; in English what coordinates are reckoned from.
    fn is_date(&self, at: usize) -> bool {
        let dates = self.count(at, like_a_date);
        dates > 0 && dates * 2 >= self.count(at, |_| true)
    }

    /// Whether a column `det.` names people, where no other column has the names of the plants.
    fn is_person(&self, at: usize) -> bool {
        let (people, plants) = (self.count(at, like_a_person), self.count(at, like_a_plant));
        let says = ["von", "par"].iter().any(|w| self.names[at].ends_with(w));
        people > plants || people == plants && says
    }
}

fn like_a_date(cell: &str) -> bool {
    match cell.parse::<u16>() {
        Ok(year) => (1600..2200).contains(&year),
        Err(_) => {
            let figures = cell.starts_with(|c: char| c.is_ascii_digit());
            figures && cell.contains(['.', '/', '-', ' ']) || When::read(cell).is_ok()
        }
    }
}

/// `Papaver cf. rhoeas L.`: a capital, and a small letter at the next word.
fn like_a_plant(cell: &str) -> bool {
    let mut words = cell.split_whitespace().filter(|w| *w != "×" && *w != "x");
    let genus = words.next().unwrap_or_default();
    let letters = |w: &str| w.chars().all(|c| c.is_alphabetic() || c == '-');
    genus.starts_with(char::is_uppercase)
        && letters(genus)
        && words.next().is_some_and(|w| w.starts_with(char::is_lowercase))
}

/// `I. Avila`, `Müller, B.`, `Bertha Müller`: a capital at each of two words.
fn like_a_person(cell: &str) -> bool {
    let words: Vec<&str> = cell.split([' ', '.', ',']).filter(|w| !w.is_empty()).collect();
    words.len() > 1
        && words
            .iter()
            .all(|w| w.starts_with(char::is_uppercase) || ["von", "van", "de", "du"].contains(w))
}

/// A map from the names of the columns and the rows that are at hand. A person has to look at it.
pub(super) fn guess(columns: &[String], rows: &[csv::StringRecord]) -> ColumnMap {
    let table = Table { names: columns.iter().map(|c| folded(c)).collect(), rows };
    let names_of = |field: &str| USUAL.iter().find(|u| u.0 == field).map_or(&[][..], |u| u.1);
    let either = table.first(NAME_OR_PERSON);
    let person = either.filter(|at| {
        table.first(names_of("name")).is_some_and(|n| n != *at) || table.is_person(*at)
    });
    let datum = table.find("datum");
    let dated = datum.filter(|at| table.first(names_of("date")).is_none() && table.is_date(*at));
    let mut out = ColumnMap::default();
    for (field, names) in USUAL {
        let more = match *field {
            "date" => dated,
            "datum" => datum.filter(|_| dated.is_none()),
            "name" => either.filter(|_| person.is_none()),
            "determined by" => person,
            _ => None,
        };
        let Some(at) = table.first(names).or(more) else { continue };
        // Of what there is a number, where it is not of parts?
        let field = match *field {
            "count" if table.first(names_of("parts")).is_none() => "plants",
            field => field,
        };
        out.add(field, Target { columns: vec![columns[at].clone()], together: false });
    }
    let whole = table.first(&["verbatimcoordinates", "coordinates", "koordinaten", "coordonnées"]);
    let pair = PAIRS.iter().find_map(|(a, b)| Some((table.find(a)?, table.find(b)?)));
    match (whole, pair) {
        (Some(at), _) => {
            out.add("coordinates", Target { columns: vec![columns[at].clone()], together: false });
        }
        (None, Some((a, b))) => {
            let columns = vec![columns[a].clone(), columns[b].clone()];
            out.add("coordinates", Target { columns, together: true });
        }
        (None, None) => {}
    }
    out
}
