//! The archive: meta.xml, metadata, and the three tables, zipped (Darwin Core text guide,
//! 2023-09-13).

use std::io::{Cursor, Write};

use super::table::Table;
use super::{Tables, Term};
use crate::notebook::record::fingerprint;
use crate::notebook::settings::Settings;
use crate::publish::escape::markup;

/// The archive could not be put together.
#[derive(Debug, thiserror::Error)]
#[error("the archive cannot be written: {0}")]
pub struct NoArchive(#[from] zip::result::ZipError);

/// The archive's bytes; the same tables give the same bytes. `date` is the day of publication
/// (YYYY-MM-DD).
///
/// # Errors
/// Where an entry grows beyond what a zip file holds.
pub fn write(tables: &Tables, settings: &Settings, date: &str) -> Result<Vec<u8>, NoArchive> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default()
        .compression_method(zip::CompressionMethod::Deflated)
        // The clock would make every archive another one.
        .last_modified_time(zip::DateTime::default());
    let extensions = extensions(tables);
    let mut files = vec![
        ("meta.xml", meta(tables)),
        ("eml.xml", eml(tables, settings, date)),
        ("occurrence.csv", tables.occurrences.csv(Some("id"))),
    ];
    files.extend(extensions.iter().map(|(name, table)| (*name, table.csv(Some("coreid")))));
    for (name, text) in files {
        zip.start_file(name, options)?;
        zip.write_all(text.as_bytes()).map_err(zip::result::ZipError::from)?;
    }
    Ok(zip.finish()?.into_inner())
}

fn extensions(tables: &Tables) -> Vec<(&'static str, &Table)> {
    let mut out = vec![("identification.csv", &tables.identifications)];
    out.push(("measurement.csv", &tables.measurements));
    out.retain(|(_, table)| !table.is_empty());
    out
}

/// The metafile: which file holds what in which column.
pub fn meta(tables: &Tables) -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <archive xmlns=\"http://rs.tdwg.org/dwc/text/\" metadata=\"eml.xml\">\n",
    );
    file(&mut out, "core", "occurrence.csv", &tables.occurrences, "id");
    for (name, table) in extensions(tables) {
        file(&mut out, "extension", name, table, "coreid");
    }
    out.push_str("</archive>\n");
    out
}

fn file(out: &mut String, kind: &str, name: &str, table: &Table, id: &str) {
    out.push_str(&format!(
        "  <{kind} rowType=\"{}\" encoding=\"UTF-8\" fieldsTerminatedBy=\",\" \
         linesTerminatedBy=\"\\n\" fieldsEnclosedBy=\"&quot;\" ignoreHeaderLines=\"1\">\n    \
         <files><location>{name}</location></files>\n    <{id} index=\"0\"/>\n",
        table.row_type
    ));
    for (i, term) in table.used().iter().enumerate() {
        out.push_str(&format!("    <field index=\"{}\" term=\"{}\"/>\n", i + 1, Term::iri(term)));
    }
    out.push_str(&format!("  </{kind}>\n"));
}

/// A short description of the data (EML 2.2.0), from the notebook's settings.
fn eml(tables: &Tables, settings: &Settings, date: &str) -> String {
    let title = markup(&settings.name);
    let person = |tag: &str| {
        let who = settings.contact.first().map_or(settings.name.as_str(), String::as_str);
        let name = markup(who);
        format!("    <{tag}>\n      <organizationName>{name}</organizationName>\n    </{tag}>\n")
    };
    let rights = settings.licence.as_ref().map_or(String::new(), |l| {
        format!(
            "    <intellectualRights>\n      <para>{}</para>\n    </intellectualRights>\n",
            markup(l)
        )
    });
    let content = format!("{}{}", tables.occurrences.csv(Some("id")), meta(tables));
    let id = fingerprint(content.as_bytes());
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <eml:eml xmlns:eml=\"https://eml.ecoinformatics.org/eml-2.2.0\" packageId=\"{id}\" \
         system=\"hilum\" scope=\"system\" xml:lang=\"en\">\n  <dataset>\n    \
         <title>{title}</title>\n{}    <pubDate>{}</pubDate>\n    <language>en</language>\n    \
         <abstract>\n      <para>{} specimens from the collector's notebook \"{title}\", with {} \
         determinations and {} characters seen.</para>\n    </abstract>\n{rights}{}  \
         </dataset>\n</eml:eml>\n",
        person("creator"),
        markup(date),
        tables.occurrences.len(),
        tables.identifications.len(),
        tables.measurements.len(),
        person("contact"),
    )
}
