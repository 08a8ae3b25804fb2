//! Names written again: plain, with authors, and folded for comparison.

use super::{Epithet, ScientificName};

/// Which parts are written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Style {
    /// Without authors.
    Plain,
    /// With the authors of the name as a whole.
    Full,
    /// For comparison: no hybrid signs (Art. H.3.3), ranks in their standard form, small letters.
    Folded,
}

impl ScientificName {
    /// The name without authors and qualifiers: `Salix ×capreola`, `Rosa gallica var. versicolor`.
    pub fn plain(&self) -> String {
        self.write(Style::Plain)
    }

    /// The name with its authors and without qualifiers, as `scientificName` wants it. An autonym
    /// carries the species' authors after the species (Art. 46 Ex. 1).
    pub fn full(&self) -> String {
        self.write(Style::Full)
    }

    /// Equal for two names that the Code treats as one for homonymy and synonymy; authors are not
    /// compared.
    pub fn folded(&self) -> String {
        self.write(Style::Folded).to_lowercase()
    }

    fn write(&self, style: Style) -> String {
        if !self.formula.is_empty() {
            let mut ends: Vec<String> = self.formula.iter().map(|n| n.write(style)).collect();
            if style == Style::Folded {
                // A formula names the same hybrid whichever parent stands first (Rec. H.2A).
                ends.sort();
            }
            return ends.join(" × ");
        }
        let mut out = String::new();
        self.cross(&mut out, style, self.hybrid.genus);
        out.push_str(&self.genus);
        if let (Some((rank, word)), None) = (&self.within_genus, &self.species) {
            out.push_str(&format!(" {} {word}", rank.abbreviation()));
        }
        if let Some(species) = &self.species {
            out.push(' ');
            self.cross(&mut out, style, self.hybrid.species);
            out.push_str(species);
        }
        let autonym = self.is_autonym();
        if style == Style::Full && autonym {
            add(&mut out, &self.species_authorship.cited());
        }
        if let Some(last) = self.below_species.last() {
            out.push(' ');
            out.push_str(&rank_of(last, style));
            out.push(' ');
            out.push_str(&last.epithet);
        }
        if style == Style::Full && !autonym {
            add(&mut out, &self.authorship.cited());
        }
        if let Some(cultivar) = &self.cultivar {
            out.push_str(&format!(" '{cultivar}'"));
        }
        out
    }

    fn cross(&self, out: &mut String, style: Style, hybrid: bool) {
        if hybrid && style != Style::Folded {
            out.push('×');
        }
    }
}

fn rank_of(epithet: &Epithet, style: Style) -> String {
    let prefix = if epithet.hybrid && style != Style::Folded { "notho" } else { "" };
    format!("{prefix}{}", epithet.rank.abbreviation())
}

fn add(out: &mut String, words: &str) {
    if !words.is_empty() {
        out.push(' ');
        out.push_str(words);
    }
}
