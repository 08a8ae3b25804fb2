//! Two keys with one heading. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// Two keys of a file have the same heading.
    ///
    /// ## What it finds
    /// `key to the poppies` twice, whatever its case and blanks.
    ///
    /// ## Why it matters
    /// A pointer to it leads to the first only.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... key to the poppies
    /// 1b  Petals blue ......................... key to the poppies at 1b
    ///
    /// key to the poppies
    ///
    /// 1a  Capsule round ....................... Papaver rhoeas
    /// 1b  Capsule long ........................ Papaver dubium
    ///
    /// key to the poppies
    ///   intended  key-not-reached: it is entered from another book
    ///
    /// 1a  Sap white ........................... Papaver somniferum
    /// 1b  Sap yellow .......................... Papaver argemone
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// key
    ///
    /// 1a  Petals red .......................... key to the poppies
    /// 1b  Petals blue ......................... key to the opium poppies
    ///
    /// key to the poppies
    ///
    /// 1a  Capsule round ....................... Papaver rhoeas
    /// 1b  Capsule long ........................ Papaver dubium
    ///
    /// key to the opium poppies
    ///
    /// 1a  Sap white ........................... Papaver somniferum
    /// 1b  Sap yellow .......................... Papaver argemone
    /// ```
    ///
    /// ## Remedy
    /// Give each its own heading, or put their couplets together.
    ///
    /// ## Source
    /// Ours.
    "key-twice", Error, Sure
}
