//! What a label says: name, place, date, number, each as the trade writes it.

use crate::notebook::altitude::Uncertainty;
use crate::notebook::date::When;
use crate::notebook::record::{Determination, Gathering, Part};
use crate::notebook::specimen::{Kept, Specimen};
use crate::text::name::ScientificName;

use super::Options;
use super::typeset::{Block, Face, Run};

/// How months are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Months {
    /// `27 April 2009`
    #[default]
    Words,
    /// `27.IV.2009`
    Roman,
}

impl Months {
    pub fn date(self, when: &When) -> String {
        match self {
            Months::Words => when.in_words(),
            Months::Roman => when.in_roman(),
        }
    }
}

/// A name as written, its Latin parts in italics.
pub fn name_runs(written: &str) -> Vec<Run> {
    let latin = crate::text::name::read(written).map(|n| latin_words(&n)).unwrap_or_default();
    let mut out = Vec::new();
    let mut word = String::new();
    let mut flush = |word: &mut String| {
        if !word.is_empty() {
            let face = if latin.contains(word) { Face::Italic } else { Face::Roman };
            out.push(Run::new(face, std::mem::take(word)));
        }
    };
    for c in written.chars() {
        if c.is_whitespace() || matches!(c, '×' | '?') {
            flush(&mut word);
            word.push(if c.is_whitespace() { ' ' } else { c });
            flush(&mut word);
        } else {
            word.push(c);
        }
    }
    flush(&mut word);
    out
}

fn latin_words(name: &ScientificName) -> Vec<String> {
    let mut out = vec![name.genus.clone()];
    out.extend(name.within_genus.iter().map(|w| w.1.clone()));
    out.extend(name.species.clone());
    out.extend(name.below_species.iter().map(|e| e.epithet.clone()));
    for end in &name.formula {
        out.extend(latin_words(end));
        // The genus of a later parent may be cut to its letter.
        let first = end.genus.chars().next().map(|c| format!("{c}."));
        out.extend(first);
    }
    out
}

/// `det. M. Holt, 3 November 2026`, or `conf.`
pub fn determined(det: &Determination, word: &str, options: &Options) -> Option<String> {
    let who = det.by.join(" & ");
    let when = det.date.as_ref().map(|d| options.months.date(d));
    let parts: Vec<String> =
        [(!who.is_empty()).then_some(who), when].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| format!("{word} {}", parts.join(", ")))
}

/// The current name with who gave and who confirmed it.
pub fn name_blocks(specimen: &Specimen, options: &Options, size: f64) -> Vec<Block> {
    let Some(current) = specimen.current() else {
        return vec![Block::plain("name not settled").size(size).above(0.4)];
    };
    let mut out =
        vec![Block::of(name_runs(&current.named.body.name)).size(size).above(0.4).hang(1.0)];
    let mut lines: Vec<String> =
        determined(&current.named.body, "det.", options).into_iter().collect();
    lines.extend(
        specimen.confirmations(current.named).filter_map(|c| determined(&c.body, "conf.", options)),
    );
    out.extend((!lines.is_empty()).then(|| Block::plain(lines.join("; ")).hang(1.0)));
    out
}

pub fn family(specimen: &Specimen) -> Option<String> {
    specimen.current()?.named.body.family.as_ref().map(|f| f.to_uppercase())
}

/// `Orenia, Upper Oren: upper Oren valley ...`
pub fn locality(g: &Gathering, options: &Options) -> Option<String> {
    let country = g.country.as_ref().or(options.country.as_ref());
    let wide: Vec<&String> = country.into_iter().chain(&g.province).collect();
    let wide = wide.into_iter().cloned().collect::<Vec<_>>().join(", ");
    match (&g.place, wide.is_empty()) {
        (Some(place), true) => Some(place.clone()),
        (Some(place), false) => Some(format!("{wide}: {place}")),
        (None, false) => Some(wide),
        (None, true) => None,
    }
}

/// `33.50, 36.20 (EPSG:4326, ± 30 m); 640-660 m a.s.l.`
pub fn position(g: &Gathering, options: &Options) -> Option<String> {
    let mut out = Vec::new();
    if let Some(c) = &g.coordinates {
        let datum = g.datum.as_ref().or(options.datum.as_ref()).cloned();
        let radius = g.uncertainty.as_ref().map(Uncertainty::in_words);
        let about: Vec<String> = datum.into_iter().chain(radius).collect();
        out.push(if about.is_empty() {
            c.verbatim.clone()
        } else {
            format!("{} ({})", c.verbatim, about.join(", "))
        });
    }
    if let Some(a) = &g.altitude {
        let unit = if a.verbatim.ends_with(|c: char| c.is_ascii_digit()) { " m" } else { "" };
        out.push(format!("alt. {}{unit}", a.verbatim));
    }
    (!out.is_empty()).then(|| out.join("; "))
}

/// Habitat, substrate and the plants that stood with it.
pub fn habitat(g: &Gathering) -> Option<String> {
    let mut out: Vec<String> = g.habitat.iter().cloned().collect();
    out.extend(g.substrate.as_ref().map(|s| format!("on {}", s.trim_start_matches("on "))));
    if !g.associated.is_empty() {
        out.push(format!("with {}", g.associated.join(", ")));
    }
    sentence(out)
}

/// The plant: what drying takes away first of all.
pub fn description(g: &Gathering) -> Option<String> {
    let mut out: Vec<String> = g.habit.iter().cloned().collect();
    out.extend(g.height.clone());
    out.extend(g.fresh.iter().map(|(name, value)| format!("{name} {}", value.in_a_line())));
    if !g.stage.is_empty() {
        out.push(g.stage.join(" and "));
    }
    out.extend(g.abundance.clone());
    out.extend(g.plants.map(|n| format!("{n} plants seen")));
    out.extend(g.remarks.clone());
    sentence(out)
}

fn sentence(parts: Vec<String>) -> Option<String> {
    let text = parts.join("; ");
    let mut letters = text.chars();
    let first = letters.next()?;
    let stop = if text.ends_with('.') { "" } else { "." };
    Some(format!("{}{}{stop}", first.to_uppercase(), letters.as_str()))
}

/// `also under this number: 2 seed packets, wood block`
pub fn further_parts(specimen: &Specimen, own: Option<&Kept<Part>>) -> Option<String> {
    let others: Vec<String> = specimen
        .parts
        .iter()
        .filter(|k| own.map_or(k.body.what != "sheet", |o| o.id != k.id))
        .map(|k| match k.body.how_many() {
            1 => k.body.what.clone(),
            n => format!("{n} × {}", k.body.what),
        })
        .collect();
    (!others.is_empty()).then(|| format!("Also under this number: {}", others.join(", ")))
}

/// Collector with companions, and the number beside the collector's name.
pub fn number_runs(specimen: &Specimen) -> Vec<Run> {
    vec![
        Run::new(Face::Roman, format!("{} ", specimen.citation.collector)),
        Run::new(Face::Bold, specimen.citation.number.cited()),
    ]
}

/// `with M. Holt, T. Oren`
pub fn companions(g: &Gathering) -> Option<String> {
    (!g.with.is_empty()).then(|| format!("with {}", g.with.join(", ")))
}
