//! Accounts under a taxon that is not there. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// An account is put under a taxon that has none, or that lies under itself.
    ///
    /// ## What it finds
    /// `under  NAME` without an entry `NAME` under `taxa`; and accounts that lie under one
    /// another in a ring.
    ///
    /// ## Why it matters
    /// The account inherits nothing.
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
    ///   under     Field poppies
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
    /// Field poppies
    ///
    /// Papaver rhoeas L.
    ///   under     Field poppies
    ///
    /// Centaurea cyanus L.
    /// ```
    ///
    /// ## Remedy
    /// Write that account, or correct the name.
    ///
    /// ## Source
    /// Ours.
    "missing-taxon-above", Error, Sure
}
