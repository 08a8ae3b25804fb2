//! A list of accepted taxa, against which the names of a key are held.

use indexmap::IndexMap;

use crate::key::read::names::{folded, split_name};

/// The taxa that a key should cover, as a list gives them.
#[derive(Clone, Debug, Default)]
pub struct Accepted {
    /// By folded name, in the order of the list; the value is the name as written, without authors.
    names: IndexMap<String, String>,
}

impl Accepted {
    /// Reads a list: one name a line, with or without authors; where a line has tabs or semicolons,
    /// its first field. Blank lines and lines that begin with a hash are left out.
    pub fn read(text: &str) -> Accepted {
        let text = text.trim_start_matches('\u{FEFF}');
        let lines = text.lines().map(str::trim).filter(|l| !l.is_empty() && !l.starts_with('#'));
        let mut names = IndexMap::new();
        for line in lines {
            let field = line.split(['\t', ';']).next().unwrap_or(line).trim().trim_matches('"');
            let name = split_name(field).name;
            if !name.is_empty() {
                names.entry(folded(&name)).or_insert(name);
            }
        }
        Accepted { names }
    }

    pub fn len(&self) -> usize {
        self.names.len()
    }

    pub fn is_empty(&self) -> bool {
        self.names.is_empty()
    }

    /// Each name, folded and as written.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &str)> {
        self.names.iter().map(|(folded, name)| (folded.as_str(), name.as_str()))
    }

    /// Whether the list has this name.
    pub fn has(&self, name: &str) -> bool {
        self.names.contains_key(&folded(name))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_read_without_authors_comments_and_further_fields() {
        let list = Accepted::read(
            "# weeds\n\nPapaver rhoeas L.\nPapaver  dubium\tPapaveraceae\nPapaver rhoeas\n",
        );
        let names: Vec<&str> = list.iter().map(|(_, n)| n).collect();
        assert_eq!(names, ["Papaver rhoeas", "Papaver dubium"]);
        assert!(list.has("papaver  rhoeas"));
    }
}
