//! A table of Darwin Core terms; columns that no row fills are not written.

use std::collections::BTreeMap;

/// A term by its name and the vocabulary that defines it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Term {
    pub name: &'static str,
    pub vocabulary: &'static str,
}

pub const DWC: &str = "http://rs.tdwg.org/dwc/terms/";
pub const DC: &str = "http://purl.org/dc/elements/1.1/";
pub const DCTERMS: &str = "http://purl.org/dc/terms/";

impl Term {
    pub fn iri(&self) -> String {
        format!("{}{}", self.vocabulary, self.name)
    }
}

/// Names of terms in Darwin Core's own vocabulary, and of the few that it borrows.
pub(super) fn term(name: &'static str) -> Term {
    let vocabulary = match name {
        "type" => DC,
        "license" | "modified" | "references" => DCTERMS,
        _ => DWC,
    };
    Term { name, vocabulary }
}

/// One row: values by the names of terms.
pub type Row = BTreeMap<&'static str, String>;

/// Sets a value where there is one; line ends become ` / `, because some readers of archives take
/// every line for a row.
pub(super) fn set(row: &mut Row, term: &'static str, value: impl Into<String>) {
    let value: String = value.into();
    let value = value.trim();
    if !value.is_empty() {
        let lines: Vec<&str> = value.lines().map(str::trim).filter(|l| !l.is_empty()).collect();
        row.insert(term, lines.join(" / "));
    }
}

/// Rows of one kind, each with the id of the occurrence that it belongs to.
#[derive(Clone, Debug)]
pub struct Table {
    pub row_type: &'static str,
    order: &'static [&'static str],
    rows: Vec<(String, Row)>,
}

impl Table {
    pub(super) fn new(row_type: &'static str, order: &'static [&'static str]) -> Table {
        Table { row_type, order, rows: Vec::new() }
    }

    pub(super) fn push(&mut self, id: &str, row: Row) {
        debug_assert!(row.keys().all(|k| self.order.contains(k)), "{row:?}");
        self.rows.push((id.to_string(), row));
    }

    pub fn len(&self) -> usize {
        self.rows.len()
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The id and the values of each row.
    pub fn rows(&self) -> impl Iterator<Item = (&str, &Row)> {
        self.rows.iter().map(|(id, row)| (id.as_str(), row))
    }

    /// The terms that at least one row fills, in the table's order.
    pub fn used(&self) -> Vec<Term> {
        let filled = |name: &&&'static str| self.rows.iter().any(|(_, r)| r.contains_key(**name));
        self.order.iter().filter(filled).map(|name| term(name)).collect()
    }

    /// The table as CSV, its first line the names of the terms; with `id` the first column holds
    /// the occurrence's id under that name.
    pub fn csv(&self, id: Option<&str>) -> String {
        let terms = self.used();
        let mut out = Vec::new();
        let mut writer = csv::Writer::from_writer(&mut out);
        let head = id.into_iter().chain(terms.iter().map(|t| t.name));
        // Writing into memory does not fail.
        let mut fine = writer.write_record(head).is_ok();
        for (own, row) in &self.rows {
            let first = id.map(|_| own.as_str());
            let cells = terms.iter().map(|t| row.get(t.name).map_or("", String::as_str));
            fine &= writer.write_record(first.into_iter().chain(cells)).is_ok();
        }
        fine &= writer.flush().is_ok();
        debug_assert!(fine);
        drop(writer);
        String::from_utf8(out).unwrap_or_default()
    }
}
