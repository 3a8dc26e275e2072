//! What is written is read back the same: lines of every test, quantities, cases.

use crate::readers::written;
use dutyfit::bench::{BenchTest, Cell, Column, Kind, Need, Outcome, Run, tests};
use dutyfit::catalog::{Beside, NewColumn, append_lines, read_case, read_sheet};
use dutyfit::policy::Policy;
use dutyfit::property::Properties;
use dutyfit::quantity::{Reading, Unit, parse_amount, parse_reading};
use proptest::prelude::*;
use std::sync::Arc;

/// Figures as people write them, above 0.
fn figure() -> impl Strategy<Value = f64> {
    prop_oneof![
        (1_u32..100_000, 0_i32..5).prop_map(|(n, d)| f64::from(n) / 10_f64.powi(d)),
        1e-6..1e6_f64,
    ]
}

fn reading() -> impl Strategy<Value = Reading> {
    prop_oneof![
        4 => figure().prop_map(Reading::Exact),
        1 => figure().prop_map(Reading::AtLeast),
        1 => figure().prop_map(Reading::AtMost),
        1 => (figure(), figure()).prop_map(|(a, b)| Reading::Between(a, a + b)),
    ]
}

/// A reading that a column takes.
fn above(low: f64) -> impl Strategy<Value = Reading> {
    reading().prop_map(move |r| r.map(|x| x + low.max(0.0)))
}

/// Another unit of the same kind, as a header may have it.
fn other_unit(unit: &str) -> &str {
    match unit {
        "N" => "kgf",
        "mm" => "cm",
        "N.m" => "kgf.cm",
        "g" => "kg",
        "h" => "d",
        same => same,
    }
}

/// How a sheet is written.
#[derive(Clone, Copy, Debug)]
struct Manner {
    separator: char,
    end: &'static str,
    decimal_comma: bool,
    other_units: bool,
}

fn manner() -> impl Strategy<Value = Manner> {
    let separator = prop::sample::select(vec![',', ';', '\t']);
    (separator, any::<bool>(), any::<bool>(), any::<bool>()).prop_map(
        |(separator, crlf, comma, other_units)| Manner {
            separator,
            end: if crlf { "\r\n" } else { "\n" },
            decimal_comma: comma && separator != ',',
            other_units,
        },
    )
}

/// One line of a test: a cell for every column that is filled, an outcome and a note.
#[derive(Clone, Debug)]
struct Line {
    test: usize,
    cells: Vec<Option<Cell>>,
    outcome: Outcome,
    note: String,
}

fn cell(column: &Column) -> BoxedStrategy<Cell> {
    let word = |words: &'static [&'static str]| {
        prop::sample::select(words).prop_map(|w| Cell::Word(w.into()))
    };
    match column.kind {
        Kind::Number { low, .. } => above(low).prop_map(Cell::Number).boxed(),
        Kind::OwnFigure => above(0.0).prop_map(Cell::Number).boxed(),
        Kind::Word(words) => word(words).boxed(),
        Kind::NumberOr { words, low, .. } => {
            prop_oneof![above(low).prop_map(Cell::Number), word(words)].boxed()
        }
        Kind::Text => "[a-z][a-z0-9,;\"' ]{0,20}[a-z]"
            .prop_map(|t| Cell::Word(t.into()))
            .boxed(),
        Kind::OwnProperty => Just(Cell::Word("slugs".into())).boxed(),
    }
}

fn line() -> impl Strategy<Value = Line> {
    (0..tests().len()).prop_flat_map(|k| {
        let test = tests()[k];
        let cells: Vec<BoxedStrategy<Option<Cell>>> = test
            .columns()
            .iter()
            // The unit of an own figure is a word that must fit the property.
            .map(|c| match c.need {
                Need::Optional if c.name == "unit" => Just(None).boxed(),
                Need::Optional => prop::option::of(cell(c)).boxed(),
                Need::Once | Need::Each => cell(c).prop_map(Some).boxed(),
            })
            .collect();
        let allowed: Vec<Outcome> = Outcome::ALWAYS
            .iter()
            .chain(test.outcomes())
            .copied()
            .collect();
        (
            cells,
            prop::sample::select(allowed),
            "[a-z][a-z0-9,;\"' ]{0,20}[a-z]",
        )
            .prop_map(move |(cells, outcome, note)| Line {
                test: k,
                cells,
                outcome,
                note,
            })
    })
}

fn unit_of(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Number { unit, .. } | Kind::NumberOr { unit, .. } => Some(unit),
        _ => None,
    }
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '\t', '"']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// Columns of a sheet of a test, and their units where they have one.
fn columns(test: &dyn BenchTest, manner: Manner) -> Vec<(String, bool)> {
    let common = ["run", "specimen", "material", "direction", "counterface"];
    let header = |c: &Column| match unit_of(c.kind) {
        Some(u) if manner.other_units => format!("{} [{}]", c.name, other_unit(u)),
        Some(u) => format!("{} [{u}]", c.name),
        None => c.name.to_owned(),
    };
    let own = test.columns().iter().map(|c| {
        let figures = !matches!(c.kind, Kind::Word(_) | Kind::Text | Kind::OwnProperty);
        (header(c), figures)
    });
    let words = |w: &str| (w.to_owned(), false);
    common
        .map(words)
        .into_iter()
        .chain(own)
        .chain(["outcome", "note"].map(words))
        .collect()
}

/// The cells of a line in canonical units, with a decimal point.
fn texts(line: &Line, run: &str) -> Vec<String> {
    let common = [run, "1", "petg-a", "flat", "steel-smooth"].map(str::to_owned);
    let own = line.cells.iter().map(|c| match c {
        None => String::new(),
        Some(Cell::Number(r)) => written(*r),
        Some(Cell::Word(w)) => w.clone().into_owned(),
    });
    common
        .into_iter()
        .chain(own)
        .chain([line.outcome.word().to_owned(), line.note.clone()])
        .collect()
}

/// A sheet in canonical units that holds the line as run `by-hand`.
fn by_hand(line: &Line, manner: Manner) -> String {
    let test = tests()[line.test];
    let columns = columns(
        test,
        Manner {
            other_units: false,
            ..manner
        },
    );
    let separator = manner.separator.to_string();
    let header: Vec<String> = columns.iter().map(|c| quoted(&c.0)).collect();
    let cells: Vec<String> = texts(line, "by-hand")
        .iter()
        .zip(&columns)
        .map(|(t, (_, figures))| {
            let t = if *figures && manner.decimal_comma {
                t.replace("..", "~").replace('.', ",").replace('~', "..")
            } else {
                t.clone()
            };
            quoted(&t)
        })
        .collect();
    let rows = [
        header.join(&separator),
        cells.join(&separator),
        String::new(),
    ];
    rows.join(manner.end)
}

fn run<'r>(runs: &'r [Arc<Run>], id: &str) -> &'r Run {
    runs.iter().find(|r| r.id == id).expect("the run")
}

/// Whether a run holds the line, its figures to so many parts.
fn same(run: &Run, line: &Line, apart: f64) -> Result<(), TestCaseError> {
    let test = tests()[line.test];
    let point = &run.specimens[0].points[0];
    prop_assert_eq!(point.outcome, line.outcome);
    for (column, cell) in test.columns().iter().zip(&line.cells) {
        match (point.cells.get(column.name), cell) {
            (Some(Cell::Number(a)), Some(Cell::Number(b))) => {
                prop_assert_eq!(a.bound(), b.bound());
                let near = |x: f64, y: f64| (x - y).abs() <= apart * x.abs();
                let (a, b) = (a.figures(), b.figures());
                prop_assert!(near(a.0, b.0), "{} {a:?} {b:?}", column.name);
                let second = a.1.zip(b.1).is_none_or(|(x, y)| near(x, y));
                prop_assert!(second, "{} {a:?} {b:?}", column.name);
            }
            (read, put) => prop_assert_eq!(read, put.as_ref(), "{}", column.name),
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn a_line_of_any_test_is_read_as_it_was_written(line in line(), manner in manner()) {
        let test = tests()[line.test];
        let file = format!("{}.csv", test.id());
        let text = by_hand(&line, manner);
        let (found, runs) = read_sheet(&file, text.as_bytes()).expect("a sheet without faults");
        prop_assert_eq!(found.id(), test.id());
        same(run(&runs, "by-hand"), &line, 0.0)?;
        // The program's own writer adds the same line again, from columns in other units.
        let columns: Vec<NewColumn> = columns(test, Manner { other_units: false, ..manner })
            .into_iter()
            .map(|(header, figures)| NewColumn { header, figures })
            .collect();
        let grown = append_lines(&file, Some(text.as_bytes()), &columns, &[texts(&line, "added")]);
        let grown = grown.expect("a file that can grow");
        let (_, runs) = read_sheet(&file, &grown.bytes).expect("a sheet without faults");
        same(run(&runs, "by-hand"), &line, 0.0)?;
        same(run(&runs, "added"), &line, 0.0)?;
    }

    #[test]
    fn a_line_in_other_units_is_read_to_the_last_digits(line in line(), manner in manner()) {
        let test = tests()[line.test];
        let file = format!("{}.csv", test.id());
        let header: Vec<String> = columns(test, manner).iter().map(|c| quoted(&c.0)).collect();
        let old = header.join(&manner.separator.to_string()) + manner.end;
        let columns: Vec<NewColumn> = columns(test, Manner { other_units: false, ..manner })
            .into_iter()
            .map(|(header, figures)| NewColumn { header, figures })
            .collect();
        let grown = append_lines(&file, Some(old.as_bytes()), &columns, &[texts(&line, "added")]);
        let grown = grown.expect("a file that can grow");
        let (_, runs) = read_sheet(&file, &grown.bytes).expect("a sheet without faults");
        same(run(&runs, "added"), &line, 1e-13)?;
    }

    #[test]
    fn a_reading_is_what_its_text_says(r in reading()) {
        prop_assert_eq!(parse_reading(&written(r)), Ok(r));
    }

    #[test]
    fn a_quantity_is_what_its_text_says(
        x in prop_oneof![figure(), figure().prop_map(|x| -x), Just(0.0), 1e-300..1e300_f64],
        unit in prop::sample::select(vec!["N", "MPa", "mm", "degC", "N.m", "J", "g/cm3", "mm3/(N.m)", "1/K", "%", "1", "shoreA", "MPa.m^0.5", "per kg", "W/(m.K)"]),
    ) {
        let parsed = Unit::parse(unit).expect("a unit");
        prop_assert_eq!(Unit::parse(&parsed.to_string()), Ok(parsed.clone()));
        prop_assert_eq!(parse_amount(&format!("{x} {unit}"), &parsed, "it"), Ok(x));
    }

    #[test]
    fn a_case_is_the_same_however_its_json_is_laid_out(
        least in figure(),
        life in 1_u32..50,
        class in prop::sample::select(vec!["damage", "injury"]),
        title in "[a-zA-Z0-9 \"\\\\\u{e9}]{0,30}",
    ) {
        let case = serde_json::json!({
            "format": "dutyfit.case/1", "title": title, "part": "plain",
            "inputs": { "limits": [ { "id": "strong", "property": "tensile-strength",
                "at_least": format!("{least} MPa"), "lies": "across", "class": class } ] },
            "life": format!("{life} year"),
        });
        let beside = Beside { policy: &Policy::default(), properties: &Properties::default(), surfaces: &[] };
        let read = |text: &str| read_case("c.json", text, &[], beside).expect("a case");
        let close = read(&case.to_string());
        let wide = read(&serde_json::to_string_pretty(&case).expect("text").replace('\n', "\r\n"));
        prop_assert_eq!(format!("{close:?}"), format!("{wide:?}"));
        prop_assert!(format!("{close:?}").contains(&format!("{least} MPa")), "{close:?}");
    }
}

#[test]
fn the_demo_cases_are_the_same_however_their_json_is_laid_out() {
    let beside = Beside {
        policy: &Policy::default(),
        properties: &Properties::default(),
        surfaces: &[],
    };
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    for entry in std::fs::read_dir(folder).expect("cases") {
        let text = std::fs::read_to_string(entry.expect("a case").path()).expect("text");
        let value: serde_json::Value = serde_json::from_str(&text).expect("JSON");
        let again = serde_json::to_string(&value).expect("JSON");
        let read = |text: &str| read_case("c.json", text, &[], beside);
        assert_eq!(format!("{:?}", read(&text)), format!("{:?}", read(&again)));
    }
}
