//! The files of a fresh workspace.

use crate::catalog::header::Field;
use crate::catalog::{materials, own, prints, rigs, stated};

/// Tables of a catalog and their columns, in the order a new file has them.
const TABLES: &[(&str, &[Field])] = &[
    ("materials.csv", materials::FIELDS),
    ("prints.csv", prints::FIELDS),
    ("stated.csv", stated::FIELDS),
    ("rigs.csv", rigs::FIELDS),
    ("properties.csv", own::FIELDS),
];

const README: &str = include_str!("init/README.md");

/// Name of the example case.
pub(crate) const EXAMPLE: &str = "drawer-divider";
const EXAMPLE_CASE: &str = include_str!("init/drawer-divider.json");

/// The files of a fresh workspace but its schemas, by workspace name.
pub(crate) fn new_workspace() -> Vec<(String, String)> {
    let mut files = vec![("README.md".to_owned(), README.to_owned())];
    for (table, fields) in TABLES {
        let header: Vec<String> = fields.iter().map(Field::written).collect();
        files.push((
            format!("catalog/{table}"),
            format!("{}\n", header.join(",")),
        ));
    }
    files.push((format!("cases/{EXAMPLE}.json"), EXAMPLE_CASE.to_owned()));
    files
}
