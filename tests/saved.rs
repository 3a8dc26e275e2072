//! Inputs that fuzzing found worth keeping are read again, and any bytes at all are answered.

use crate::readers;
use proptest::prelude::*;
use std::fs;
use std::path::Path;

fn replay(target: &str, reader: impl Fn(&[u8])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/saved")
        .join(target);
    let mut names: Vec<_> = fs::read_dir(&folder)
        .expect("saved inputs")
        .map(|e| e.expect("a file").path())
        .collect();
    names.sort();
    assert!(!names.is_empty());
    for name in names {
        // On a panic the name stands in the captured output.
        eprintln!("{}", name.display());
        reader(&fs::read(&name).expect("a saved input"));
    }
}

#[test]
fn saved_csv_inputs_are_read_or_refused() {
    replay("csv", readers::csv);
}

#[test]
fn saved_books_are_read_or_refused() {
    replay("book", readers::book);
}

#[test]
fn saved_json_inputs_are_read_or_refused() {
    replay("json", readers::json);
}

#[test]
fn saved_quantities_are_read_or_refused() {
    replay("quantity", readers::quantity);
}

/// A name of a file, and what may stand in it.
fn file_of(names: &'static [&'static str]) -> impl Strategy<Value = Vec<u8>> {
    let any_bytes = prop::collection::vec(any::<u8>(), 0..200);
    let text = "[a-z0-9,;\t\"\r\n#\\[\\]{}:.<>=% -]{0,300}";
    let content = prop_oneof![any_bytes, text.prop_map(String::into_bytes)];
    (prop::sample::select(names), content).prop_map(|(name, content)| {
        let mut all = format!("{name}\n").into_bytes();
        all.extend(content);
        all
    })
}

const TABLES: &[&str] = &[
    "sheet.csv",
    "catalog/materials.csv",
    "catalog/prints.csv",
    "catalog/stated.csv",
    "catalog/rigs.csv",
    "catalog/properties.csv",
    "catalog/readings/tensile.csv",
    "catalog/readings/custom.csv",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_bytes_make_a_csv_reader_stumble(input in file_of(TABLES)) {
        readers::csv(&input);
    }

    #[test]
    fn no_bytes_make_a_json_reader_stumble(input in file_of(&["cases/c.json", "weights/w.json", "policy.json", "maps.json"])) {
        readers::json(&input);
    }

    #[test]
    fn no_bytes_make_a_quantity_reader_stumble(input in file_of(&["N", "degC", "mm3/(N.m)", "1"])) {
        readers::quantity(&input);
    }
}
