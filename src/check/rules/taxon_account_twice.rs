//! Taxa with two accounts. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// A taxon has two accounts.
    ///
    /// ## What it finds
    /// Two entries under `taxa` of one name; authors are not compared.
    ///
    /// ## Why it matters
    /// Only the first is used.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   family    Papaveraceae
    ///
    /// Papaver rhoeas L.
    ///   found     fallow; common
    ///
    /// Centaurea cyanus L.
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    ///
    /// taxa
    ///
    /// Papaver rhoeas L.
    ///   family    Papaveraceae
    ///   found     fallow; common
    ///
    /// Centaurea cyanus L.
    /// ```
    ///
    /// ## Remedy
    /// Join the two.
    ///
    /// ## Source
    /// Ours.
    "taxon-account-twice", Error, Sure
}
