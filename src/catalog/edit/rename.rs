//! A material's id replaced wherever a file of the workspace names it.

use super::rewrite::{column_named, rewritten};
use crate::catalog::csv_text::CsvText;
use crate::catalog::json::renamed_values;
use crate::catalog::lines::SURFACES;
use crate::catalog::source::{LARGEST_CSV, LARGEST_JSON};
use crate::catalog::text::json_text;
use crate::catalog::words::{check_id, meant};
use crate::catalog::{Change, Source, Unread};
use crate::problem::{Fault, Problem};

/// Tables with a column of materials.
const TABLES: &[&str] = &["materials.csv", "prints.csv", "stated.csv", "rigs.csv"];
/// Columns that name a material: an own surface is one, and so is a rig's reference.
const COLUMNS: &[&str] = &["material", "counterface", "reference"];

/// What a rename changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Renamed {
    /// The changes, file by file.
    pub(crate) changes: Vec<Change>,
    /// How often each of these files named it.
    pub(crate) files: Vec<RenamedFile>,
}

/// One file that named the material.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RenamedFile {
    /// The file as the user names it.
    pub(crate) file: String,
    /// How many cells or entries.
    pub(crate) places: usize,
}

/// Why a material is not renamed.
#[derive(Clone, Debug)]
pub(crate) enum NotRenamed {
    /// The names cannot be followed.
    Asked(Fault),
    /// A file is wrong, or cannot be read.
    Unread(Unread),
}

impl From<Unread> for NotRenamed {
    fn from(unread: Unread) -> Self {
        NotRenamed::Unread(unread)
    }
}

/// Finds every place that names a material, and writes the new id there; no other byte changes.
///
/// Comments, notes and the user's own `#` columns stay as they are.
///
/// # Errors
/// [`NotRenamed::Asked`] with `usage::unknown-material`, `id::malformed` or
/// `usage::material-taken`; [`NotRenamed::Unread`] with what is wrong in a file.
pub(crate) fn renamed(source: &Source, old: &str, new: &str) -> Result<Renamed, NotRenamed> {
    check(source, old, new)?;
    let mut found = Renamed {
        changes: Vec::new(),
        files: Vec::new(),
    };
    let mut names: Vec<String> = TABLES.iter().map(|t| format!("catalog/{t}")).collect();
    for name in source
        .list("catalog/readings", "csv")
        .map_err(Unread::Fault)?
    {
        names.push(format!("catalog/readings/{name}"));
    }
    for name in names {
        take(source, &mut found, name, LARGEST_CSV, |file, bytes| {
            in_csv(file, bytes, old, new)
        })?;
    }
    let mut names = Vec::new();
    for folder in ["cases", "weights"] {
        for name in source.list(folder, "json").map_err(Unread::Fault)? {
            names.push(format!("{folder}/{name}"));
        }
    }
    names.extend(["workshop.json", "maps.json"].map(str::to_owned));
    for name in names {
        take(source, &mut found, name, LARGEST_JSON, |file, bytes| {
            in_json(file, bytes, old, new)
        })?;
    }
    Ok(found)
}

fn check(source: &Source, old: &str, new: &str) -> Result<(), NotRenamed> {
    let name = "catalog/materials.csv";
    let bytes = source.read(name, LARGEST_CSV)?.unwrap_or_default();
    let known = ids(&source.shown(name), &bytes).map_err(|p| Unread::Problems(vec![*p]))?;
    if !known.iter().any(|k| k == old) {
        return Err(NotRenamed::Asked(Fault::new(
            "usage::unknown-material",
            format!("there is no material `{old}` in this catalog"),
            meant(old, known.iter().map(String::as_str)),
        )));
    }
    check_id(new, "material").map_err(NotRenamed::Asked)?;
    let taken = known.iter().any(|k| k == new);
    if taken || SURFACES.contains(&new) {
        return Err(NotRenamed::Asked(Fault::new(
            "usage::material-taken",
            if taken {
                format!("there is a material `{new}` already")
            } else {
                format!("`{new}` is a surface that every catalog knows")
            },
            "choose an id that nothing has yet",
        )));
    }
    Ok(())
}

fn ids(file: &str, bytes: &[u8]) -> Result<Vec<String>, Box<Problem>> {
    let csv = CsvText::open(file, bytes)?;
    let mut ids = Vec::new();
    if let Some(column) = column_named(&csv, "material") {
        csv.rows(&mut Vec::new(), |row| ids.push(row.cell(column).to_owned()));
    }
    Ok(ids)
}

fn take(
    source: &Source,
    found: &mut Renamed,
    name: String,
    largest: u64,
    find: impl Fn(&str, &[u8]) -> Result<(Vec<u8>, usize), Vec<Problem>>,
) -> Result<(), Unread> {
    let Some(bytes) = source.read(&name, largest)? else {
        return Ok(());
    };
    let file = source.shown(&name);
    let (becomes, places) = find(&file, &bytes).map_err(Unread::Problems)?;
    if places > 0 {
        found.files.push(RenamedFile { file, places });
        found.changes.push(Change {
            name,
            was: Some(bytes.into_owned()),
            becomes,
        });
    }
    Ok(())
}

fn in_csv(
    file: &str,
    bytes: &[u8],
    old: &str,
    new: &str,
) -> Result<(Vec<u8>, usize), Vec<Problem>> {
    let csv = match CsvText::open(file, bytes) {
        Ok(csv) => csv,
        // An empty table names nobody.
        Err(p) if p.code == "sheet::empty" => return Ok((bytes.to_vec(), 0)),
        Err(p) => return Err(vec![*p]),
    };
    let mut columns: Vec<usize> = COLUMNS
        .iter()
        .filter_map(|name| column_named(&csv, name))
        .collect();
    columns.sort_unstable();
    let mut cells = Vec::new();
    csv.rows(&mut Vec::new(), |row| {
        for column in columns.iter().filter(|c| row.cell(**c) == old) {
            cells.extend(csv.spans(row.at).nth(*column).map(|s| (s, new.to_owned())));
        }
    });
    let places = cells.len();
    Ok((rewritten(bytes, &csv, cells), places))
}

fn in_json(
    file: &str,
    bytes: &[u8],
    old: &str,
    new: &str,
) -> Result<(Vec<u8>, usize), Vec<Problem>> {
    let text = json_text(file, bytes).map_err(|p| vec![*p])?;
    let (written, places) = renamed_values(file, text, old, new)?;
    let mark = bytes.len() - text.len();
    let mut becomes = bytes.get(..mark).unwrap_or_default().to_vec();
    becomes.extend_from_slice(written.as_bytes());
    Ok((becomes, places))
}
