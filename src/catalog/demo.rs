//! The demo workspace inside the program.

use include_dir::{Dir, include_dir};

static CATALOG: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/catalog");
static CASES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/cases");
static WEIGHTS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/weights");
static POLICY: &str = include_str!("../../policy.json");

fn folder(name: &str) -> Option<(&'static Dir<'static>, &str)> {
    let (top, inside) = name.split_once('/').unwrap_or((name, ""));
    let dir = match top {
        "catalog" => &CATALOG,
        "cases" => &CASES,
        "weights" => &WEIGHTS,
        _ => return None,
    };
    Some((dir, inside))
}

/// The bytes of a file of the demo.
pub(super) fn file(name: &str) -> Option<&'static [u8]> {
    if name == "policy.json" {
        return Some(POLICY.as_bytes());
    }
    let (dir, inside) = folder(name)?;
    dir.get_file(inside).map(include_dir::File::contents)
}

/// Names of the files in a folder of the demo.
pub(super) fn names(name: &str) -> Vec<String> {
    let Some((top, inside)) = folder(name) else {
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
