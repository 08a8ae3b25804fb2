//! Outcomes that hardly are names. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// An outcome is taken as a name, but does not look like one.
    ///
    /// ## What it finds
    /// A genus cut to its initial that is not written out before it in the same outcome: an
    /// error. A name that begins with a small letter: a warning.
    ///
    /// ## Why it matters
    /// It would stand as the result of a determination just as it is written.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... P. rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write the name in full, with a capital.
    ///
    /// ## Source
    /// International Code of Nomenclature (Shenzhen), article 20: names of genera are written
    /// with a capital initial (from memory).
    "name-unreadable", Error, Strong
}
