//! The workspaces inside the program: the demo, and the handbook.

use crate::catalog::Origin;
use include_dir::{Dir, include_dir};

static CATALOG: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/catalog");
static CASES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/cases");
static WEIGHTS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/weights");
static HANDBOOK: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/catalog/handbook");
static POLICY: &str = include_str!("../../policy.json");

/// The folder of a workspace name, and what is left of the name; the handbook has a catalog alone.
fn folder(of: Origin, name: &str) -> Option<(&'static Dir<'static>, &str)> {
    let (top, inside) = name.split_once('/').unwrap_or((name, ""));
    let dir = match (of, top) {
        (Origin::Demo, "catalog") => &CATALOG,
        (Origin::Demo, "cases") => &CASES,
        (Origin::Demo, "weights") => &WEIGHTS,
        (Origin::Handbook, "catalog") => &HANDBOOK,
        _ => return None,
    };
    Some((dir, inside))
}

/// The bytes of a file of such a workspace.
pub(super) fn file(of: Origin, name: &str) -> Option<&'static [u8]> {
    if of == Origin::Demo && name == "policy.json" {
        return Some(POLICY.as_bytes());
    }
    let (dir, inside) = folder(of, name)?;
    dir.get_file(inside).map(include_dir::File::contents)
}

/// Names of the files in a folder of it.
pub(super) fn names(of: Origin, name: &str) -> Vec<String> {
    let Some((top, inside)) = folder(of, name) else {
        return Vec::new();
    };
    let dir = if inside.is_empty() {
        Some(top)
    } else {
        top.get_dir(inside)
    };
    dir.into_iter()
        .flat_map(Dir::files)
        .filter_map(|f| f.path().file_name()?.to_str())
        .map(str::to_owned)
        .collect()
}
