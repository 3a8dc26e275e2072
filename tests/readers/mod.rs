//! What must hold of every reader, whatever it is given: the fuzz targets and the replay of
//! their saved inputs both come through here.
//!
//! An input of `csv` and of `json` is the name of the file on its first line, then the file.

use dutyfit::bench::reduce_run;
use dutyfit::catalog::{
    Beside, Catalog, Source, lint, load_catalog, read_case, read_filled, read_policy, read_sheet,
    read_weights,
};
use dutyfit::problem::Problem;
use dutyfit::property::Properties;
use dutyfit::quantity::{
    Reading, Unit, parse_amount, parse_bounded_amount, parse_number, parse_reading, parse_span,
};
use std::collections::BTreeMap;
use std::sync::Arc;

const MATERIALS: &str = "material,title,polymer,kind,price [per kg]
petg-a,PETG A,petg,,20
tpu-a,TPU A,tpu,,30
steel-rough,Rough steel,other,surface,
bar-1,Reference bar,other,reference,
";
const PRINTS: &str = "print,material,lot\npetg-a-p1,petg-a,lot-a\ntpu-a-p1,tpu-a,lot-a\n";
const RIGS: &str = "rig,kind,channel,from,unit,low,high,resolution,offset,offset_u,gain,gain_u
frame-1,pulling frame,force,2026-01-10,N,0,5000,0.01,0,0.05,1,0.005
caliper-2,caliper,width,2026-01-10,mm,0,150,0.01,0,0.01,1,0.0005
hammer-1,hammer,energy,2026-01-10,J,0,4,0.001,0,0.001,1,0.01
";
const OWN: &str =
    "property,title,unit,sense,scale,low,high\nslugs,slugs that turn back,1,more,plain,0,10\n";

/// A small catalog that reads without a Problem, with one of its files replaced or added.
fn with_file(name: &str, content: &[u8]) -> Source {
    let mut files: BTreeMap<String, Vec<u8>> = [
        ("catalog/materials.csv", MATERIALS),
        ("catalog/prints.csv", PRINTS),
        ("catalog/rigs.csv", RIGS),
        ("catalog/properties.csv", OWN),
    ]
    .map(|(n, t)| (n.to_owned(), t.as_bytes().to_vec()))
    .into();
    files.insert(name.to_owned(), content.to_vec());
    Source::Memory(Arc::new(files))
}

/// The name on an input's first line, and the file behind it.
fn named(input: &[u8]) -> Option<(&str, &[u8])> {
    let end = input.iter().position(|b| *b == b'\n')?;
    let (name, rest) = input.split_at(end);
    Some((std::str::from_utf8(name).ok()?, rest.get(1..)?))
}

/// Problems that a person can find and mend: each stands in the file, and says what to do.
fn told_well(problems: &[Problem], content: &[u8]) {
    let lines = 1 + content
        .iter()
        .filter(|b| matches!(b, b'\n' | b'\r'))
        .count();
    for p in problems {
        assert!(
            !p.code.is_empty() && !p.what.is_empty() && !p.fix.is_empty(),
            "{p:?}"
        );
        assert!(p.at.line <= lines.max(10), "{p:?}");
    }
}

/// A catalog table or a sheet of readings: read and reduced, or refused with Problems.
pub fn csv(input: &[u8]) {
    let Some((name, content)) = named(input) else {
        return;
    };
    if name == "sheet.csv" {
        match read_sheet(name, content) {
            Ok((test, runs)) => {
                let properties = Properties::default();
                for run in &runs {
                    reduce_run(test, run, &properties);
                }
            }
            Err(problems) => {
                assert!(!problems.is_empty(), "refused without a Problem");
                told_well(&problems, content);
            }
        }
        return;
    }
    if !name.starts_with("catalog/") {
        return;
    }
    if let Ok(catalog) = load_catalog(&with_file(name, content), None) {
        told_well(&catalog.problems, content);
        let evidence = catalog.evidence();
        assert_eq!(evidence.runs().len(), catalog.runs.len());
    }
}

/// The parts of a spreadsheet file as text, each under a line `=== xl/workbook.xml`, zipped without
/// compression, so that a change of the text is a change of the file; other bytes as they are.
fn zipped(input: &[u8]) -> Vec<u8> {
    let parts = match std::str::from_utf8(input) {
        Ok(text) if text.starts_with("=== ") => text,
        _ => return input.to_vec(),
    };
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let stored =
        zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for part in format!("\n{parts}").split("\n=== ").skip(1) {
        let (name, content) = part.split_once('\n').unwrap_or((part, ""));
        if zip.start_file(name, stored).is_ok() {
            let _ = std::io::Write::write_all(&mut zip, content.as_bytes());
        }
    }
    zip.finish()
        .map(std::io::Cursor::into_inner)
        .unwrap_or_default()
}

/// A spreadsheet file, or a CSV one: its sheets are read and reduced, or refused with Problems.
pub fn book(input: &[u8]) {
    match read_filled("book.xlsx", &zipped(input)) {
        Ok(sheets) => {
            let properties = Properties::default();
            for (test, runs) in sheets {
                for run in &runs {
                    reduce_run(test, run, &properties);
                }
            }
        }
        Err(problems) => assert!(!problems.is_empty(), "refused without a Problem"),
    }
}

/// A case, weights, a policy or the maps of headers: read, or refused with Problems; read again, the same.
pub fn json(input: &[u8]) {
    let Some((name, content)) = named(input) else {
        return;
    };
    let Ok(text) = std::str::from_utf8(content) else {
        return;
    };
    let problems = match name {
        "cases/c.json" => {
            let catalog = Catalog::default();
            let properties = Properties::default();
            let beside = Beside {
                policy: &catalog.policy,
                properties: &properties,
                surfaces: &[],
            };
            read_case(name, text, &[], beside).err()
        }
        "weights/w.json" => read_weights(name, text).err(),
        "policy.json" => read_policy(name, text).err(),
        "maps.json" => {
            let all = lint(&with_file(name, content), None, "2026-06-01").unwrap_or_default();
            let of_maps: Vec<Problem> = all.into_iter().filter(|p| p.at.file == name).collect();
            (!of_maps.is_empty()).then_some(of_maps)
        }
        _ => return,
    };
    if let Some(problems) = problems {
        assert!(!problems.is_empty(), "refused without a Problem");
        told_well(&problems, content);
    }
}

/// A unit on the first line, figures and quantities behind it.
pub fn quantity(input: &[u8]) {
    let Some((unit, content)) = named(input) else {
        return;
    };
    let Ok(text) = std::str::from_utf8(content) else {
        return;
    };
    if let Ok(x) = parse_number(text) {
        assert!(x.is_finite());
        assert_eq!(parse_number(&x.to_string()), Ok(x), "{text}");
    }
    if let Ok(r) = parse_reading(text) {
        assert_eq!(parse_reading(&written(r)), Ok(r), "{text}");
    }
    let Ok(unit) = Unit::parse(unit) else {
        return;
    };
    assert_eq!(Unit::parse(&unit.to_string()), Ok(unit.clone()));
    if let Ok(x) = parse_amount(text, &unit, "it") {
        let again = parse_amount(&format!("{x} {unit}"), &unit, "it");
        assert!(!x.is_finite() || again == Ok(x), "{text}: {again:?}");
    }
    let _ = parse_bounded_amount(text, &unit, "it");
    let _ = parse_span(text, &unit, "it");
}

/// A reading as a cell holds it.
pub fn written(r: Reading) -> String {
    match r {
        Reading::Exact(x) => x.to_string(),
        Reading::AtLeast(x) => format!(">={x}"),
        Reading::AtMost(x) => format!("<={x}"),
        Reading::Between(a, b) => format!("{a}..{b}"),
    }
}
