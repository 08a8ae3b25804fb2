//! A note under a number, in free words.

use crate::notebook::date::When;

use super::field::fields;

fields! {
    pub struct Note {
        required {
            text: String = "text",
        }
        by: Vec<String> = "by",
        date: Option<When> = "date",
    }
}
