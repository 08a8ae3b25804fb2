//! Conditions of characters that cannot be read. Found while the text is read.

use crate::check::rule::rule;

rule! {
    /// What stands after `applies` is not in the key's own sentences.
    ///
    /// ## What it finds
    /// `applies  where ...` whose statement fits no declared sentence, or the character's own.
    ///
    /// ## Why it matters
    /// The program can act only on what it reads. The character would be asked of every plant.
    ///
    /// ## Example
    /// ```key-bad
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// petal spots: Petal spots _
    ///   states    present, none
    ///   applies   where the flower is showy
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    /// ```key-good
    /// Weeds of the school garden
    ///
    /// characters
    ///
    /// petals: Petals _
    ///   states    red, white, blue
    ///
    /// petal spots: Petal spots _
    ///   states    present, none
    ///   applies   where petals red
    ///
    /// key
    ///
    /// 1a  Petals red .......................... Papaver rhoeas
    /// 1b  Petals blue ......................... Centaurea cyanus
    /// ```
    ///
    /// ## Remedy
    /// Write it as a statement that the file's own sentences can say.
    ///
    /// ## Source
    /// Characters that depend on others: J. C. Gower 1971, Biometrics 27: 857-871 (abstract).
    "applies-unread", Error, Sure
}
