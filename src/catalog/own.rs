//! `properties.csv`: the user's own properties.

use crate::catalog::csv_text::Row;
use crate::catalog::header::Field;
use crate::catalog::row::{Cells, read_table};
use crate::problem::{Fault, Place, Problem};
use crate::property::{OwnProperty, Scale, Sense, builtin};
use crate::quantity::Unit;
use std::collections::HashMap;

pub(super) const FIELDS: &[Field] = &[
    Field::text("property", true),
    Field::text("title", false),
    Field::text("unit", true),
    Field::text("sense", true),
    Field::text("scale", true),
    Field::figure("low", "1", true),
    Field::figure("high", "1", true),
    Field::text("note", false),
];
const PROPERTY: usize = 0;
const TITLE: usize = 1;
const UNIT: usize = 2;
const SENSE: usize = 3;
const SCALE: usize = 4;
const LOW: usize = 5;
const HIGH: usize = 6;

/// Reads `properties.csv`.
pub(super) fn read_own(file: &str, bytes: &[u8]) -> (Vec<(OwnProperty, Place)>, Vec<Problem>) {
    let mut seen = HashMap::new();
    read_table(file, bytes, FIELDS, |cells, row| own(cells, row, &mut seen))
}

fn own(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    seen: &mut HashMap<String, usize>,
) -> Option<OwnProperty> {
    cells.needed(row, PROPERTY, "write an id, for example `gloss`");
    let id = cells.id(row, PROPERTY, "property")?;
    if builtin().iter().any(|p| p.id.as_str() == id) {
        let f = Fault::new(
            "property::taken",
            format!("`{id}` is a property that is built in"),
            "give your own property another id",
        );
        cells.fault(row, PROPERTY, f);
    }
    cells.once(row, PROPERTY, id.clone(), seen);
    let unit = cells
        .needed(row, UNIT, "write the unit; `1` for a pure number")
        .map(str::to_owned);
    if let Some(u) = &unit
        && let Err(f) = Unit::parse(u)
    {
        cells.fault(row, UNIT, f);
    }
    cells.needed(row, SENSE, "write `more`, `less` or `either`");
    let sense = cells.word(row, SENSE, sense_of, &["more", "less", "either"]);
    cells.needed(row, SCALE, "write `log` or `plain`");
    let scale = cells.word(row, SCALE, scale_of, &["log", "plain"]);
    cells.needed(row, LOW, "write the lowest figure that makes sense");
    let low = cells.figure(row, LOW, f64::NEG_INFINITY);
    cells.needed(row, HIGH, "write the highest figure that makes sense");
    let high = cells.figure(row, HIGH, f64::NEG_INFINITY);
    let (low, high, scale) = (low?, high?, scale?);
    if low >= high {
        let f = Fault::new(
            "range::reversed",
            format!("`low` is {low}, and `high` is {high}"),
            "write the lower figure in `low`",
        );
        cells.fault(row, LOW, f);
    }
    if scale == Scale::Log && low <= 0.0 {
        let f = Fault::new(
            "scale::signed",
            format!("`low` is {low}, and a `log` scale holds only figures above 0"),
            "write `plain` in `scale`, or a `low` above 0",
        );
        cells.fault(row, LOW, f);
    }
    let title = cells.owned(row, TITLE);
    Some(OwnProperty {
        title: if title.is_empty() { id.clone() } else { title },
        id,
        unit: unit?,
        sense: sense?,
        scale,
        plausible: (low, high),
    })
}

fn sense_of(word: &str) -> Option<Sense> {
    match word {
        "more" => Some(Sense::More),
        "less" => Some(Sense::Less),
        "either" => Some(Sense::Either),
        _ => None,
    }
}

fn scale_of(word: &str) -> Option<Scale> {
    match word {
        "log" => Some(Scale::Log),
        "plain" => Some(Scale::Plain),
        _ => None,
    }
}
