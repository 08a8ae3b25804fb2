//! A correction: it points at the record that it corrects, and leaves that as it was written.

use crate::notebook::date::When;
use crate::notebook::value::Fields;

use super::field::fields;

fields! {
    /// Changes to one record. Of several corrections the later one wins, field by field.
    pub struct Correction {
        required {}
        /// Fields to be read as written here.
        set: Fields = "set",
        /// Fields to be read as if they were not there.
        remove: Vec<String> = "remove",
        /// The whole record is to be read as if it were not there. Of a correction, too.
        withdraw: bool = "withdraw",
        reason: Option<String> = "reason",
        by: Vec<String> = "by",
        date: Option<When> = "date",
    }
}

impl Correction {
    /// Whether it changes nothing.
    pub fn is_idle(&self) -> bool {
        self.set.is_empty() && self.remove.is_empty() && !self.withdraw
    }
}
