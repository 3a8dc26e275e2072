//! `maps.json`: what other people's headers stand for, kept beside the catalog.

use super::read::read_root;
use super::tree::{Tree, check_format};
use crate::bench;
use crate::catalog::header::split_header;
use crate::catalog::intake::{KeptMaps, Map, plain};
use crate::catalog::lines::fields_of;
use crate::catalog::words::meant;
use crate::problem::{Fault, Problem};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Its workspace name.
pub(crate) const MAPS: &str = "maps.json";
/// The format it is written in.
const FORMAT: &str = "dutyfit.maps/1";

/// `maps.json`: headers of other people's sheets, and the columns they stand for.
#[derive(Debug, Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct MapsJson {
    /// `dutyfit.maps/1`.
    #[schemars(extend("const" = "dutyfit.maps/1"))]
    format: String,
    /// One entry a header.
    #[serde(default)]
    headers: Vec<MapJson>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// One header and the column it stands for.
#[derive(Debug, Deserialize, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MapJson {
    /// Header as it stands in the sheet, `Kraft (kg)`.
    header: String,
    /// Column of the catalog with its unit, `force [kgf]`; one that begins with `#` is the
    /// user's own; empty for a header that is left out.
    column: String,
    /// Test in whose sheets it stands; all if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    test: Option<String>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// Reads `maps.json`.
///
/// # Errors
/// Every Problem of the file at once.
pub(crate) fn read_maps(file: &str, text: &str) -> Result<KeptMaps, Vec<Problem>> {
    let text = text.trim_start_matches('\u{feff}');
    let tree = Tree::parse(file, text)?;
    let mut found = read_root::<MapsJson>(&tree);
    check_format(&tree, FORMAT, &mut found.problems);
    let mut later = Vec::new();
    let (headers, note) = found
        .value
        .take()
        .map(|json| (json.headers, json.note))
        .unwrap_or_default();
    let maps: Vec<Map> = headers
        .into_iter()
        .enumerate()
        .map(|(i, m)| {
            for (entry, f) in faults(&m) {
                later.push(f.at(tree.at(&format!("headers[{i}].{entry}"))));
            }
            Map {
                header: plain(&m.header),
                column: plain(&m.column),
                test: m.test,
                note: m.note,
            }
        })
        .collect();
    for (i, m) in maps.iter().enumerate() {
        let earlier = maps.iter().take(i);
        if earlier
            .clone()
            .any(|e| e.header == m.header && e.test == m.test)
        {
            let f = Fault::new(
                "map::twice",
                format!("`{}` stands already further up", m.header),
                "keep one of the two entries",
            );
            later.push(f.at(tree.at(&format!("headers[{i}].header"))));
        }
    }
    found.add_later(later);
    if found.problems.is_empty() {
        Ok(KeptMaps { maps, note })
    } else {
        found.problems.sort_by(|a, b| a.at.cmp(&b.at));
        Err(found.problems)
    }
}

/// What is wrong with an entry, by its field.
fn faults(m: &MapJson) -> Vec<(&'static str, Fault)> {
    let mut all = Vec::new();
    if m.header.trim().is_empty() {
        all.push((
            "header",
            Fault::new(
                "map::no-header",
                "the entry does not say which header it is for",
                "write the header as it stands in the sheet, or take the entry out",
            ),
        ));
    }
    let tests: Vec<_> = match m.test.as_deref() {
        None => bench::tests().to_vec(),
        Some(id) => match bench::find(id) {
            Some(test) => vec![test],
            None => {
                all.push((
                    "test",
                    Fault::new(
                        "map::unknown-test",
                        format!("there is no test `{id}`"),
                        meant(id, bench::tests().iter().map(|t| t.id())),
                    ),
                ));
                return all;
            }
        },
    };
    let name = split_header(&m.column).0;
    let mut names: Vec<&str> = tests
        .iter()
        .flat_map(|t| fields_of(*t, false))
        .map(|f| f.name)
        .filter(|n| !n.is_empty())
        .collect();
    names.sort_unstable();
    names.dedup();
    if !m.column.trim().is_empty() && !name.starts_with('#') && !names.contains(&name) {
        all.push((
            "column",
            Fault::new(
                "map::unknown-column",
                format!("`{name}` is no column of such a sheet"),
                meant(name, names),
            ),
        ));
    }
    all
}

/// The text of `maps.json`.
pub(crate) fn maps_text(kept: &KeptMaps) -> String {
    let file = MapsJson {
        format: FORMAT.to_owned(),
        headers: kept
            .maps
            .iter()
            .map(|m| MapJson {
                header: m.header.clone(),
                column: m.column.clone(),
                test: m.test.clone(),
                note: m.note.clone(),
            })
            .collect(),
        note: kept.note.clone(),
    };
    // Only maps with odd keys can fail, and there is none in these types.
    let mut text = serde_json::to_string_pretty(&file).unwrap_or_default();
    text.push('\n');
    text
}
