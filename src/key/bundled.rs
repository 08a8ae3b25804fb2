//! The keys that come inside the program.

use super::model::Key;
use crate::text::source::Source;

/// A key file carried in the binary.
#[derive(Clone, Copy, Debug)]
pub struct Bundled {
    /// What a person types to open it.
    pub name: &'static str,
    /// The file's text.
    pub text: &'static str,
}

/// All of them, in the order in which they are offered.
pub const ALL: [Bundled; 4] = [
    Bundled { name: "field-weeds", text: include_str!("../../keys/field-weeds.key") },
    Bundled { name: "field-weed-seeds", text: include_str!("../../keys/field-weed-seeds.key") },
    Bundled { name: "tree-leaves", text: include_str!("../../keys/tree-leaves.key") },
    Bundled { name: "oren-valley", text: include_str!("../../keys/oren-valley.key") },
];

/// The bundled key of that name; `.key` at the end does not matter.
pub fn find(name: &str) -> Option<Bundled> {
    let name = name.trim_end_matches(".key");
    ALL.into_iter().find(|b| b.name == name)
}

impl Bundled {
    pub fn source(&self) -> Source {
        Source::new(format!("{}.key", self.name), self.text)
    }

    pub fn key(&self) -> Key {
        Key::read(self.source())
    }

    /// The key's title.
    pub fn title(&self) -> &'static str {
        self.text.lines().next().unwrap_or(self.name)
    }
}
