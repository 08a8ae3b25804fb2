//! Months that are none. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// What stands after `flowers` or `fruits` is no list of months.
    ///
    /// ## What it finds
    /// Anything but months and ranges of months, as names, abbreviations or roman numerals.
    ///
    /// ## Why it matters
    /// The months tell which plants can be in flower on the day of a gathering.
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
    ///   flowers   early summer
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
    ///   flowers   May-Jul
    ///
    /// Centaurea cyanus L.
    /// ```
    ///
    /// ## Remedy
    /// Write `Apr-Jun`, `IV-VI`, or `Apr, Jun-Jul`.
    ///
    /// ## Source
    /// Practice of printed keys.
    "months-unreadable", Error, Sure
}
