//! `prints.csv`: a line a print job of specimens.

use crate::catalog::csv_text::Row;
use crate::catalog::header::Field;
use crate::catalog::row::{Cells, read_table};
use crate::catalog::words::meant;
use crate::problem::{Fault, Place, Problem};
use std::collections::{BTreeSet, HashMap};

/// One print job of specimens.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Print {
    /// Id.
    pub id: String,
    /// Material.
    pub material: String,
    /// Lot of the spool; `None` for the unknown lot.
    pub lot: Option<String>,
    /// Date, ISO 8601.
    pub date: Option<String>,
    /// Printer.
    pub printer: String,
    /// Nozzle, mm.
    pub nozzle_mm: Option<f64>,
    /// Layer, mm.
    pub layer_mm: Option<f64>,
    /// Walls.
    pub walls: Option<f64>,
    /// Infill, %.
    pub infill_percent: Option<f64>,
    /// Nozzle temperature, degC.
    pub nozzle_c: Option<f64>,
    /// Bed temperature, degC.
    pub bed_c: Option<f64>,
    /// Cooling, %.
    pub cooling_percent: Option<f64>,
    /// Chamber as written.
    pub chamber: String,
    /// Drying before the print, as written.
    pub dried: String,
    /// Note.
    pub note: String,
}

pub(super) const FIELDS: &[Field] = &[
    Field::text("print", true),
    Field::text("material", true),
    Field::text("lot", false),
    Field::text("date", false),
    Field::text("printer", false),
    Field::figure("nozzle", "mm", false),
    Field::figure("layer", "mm", false),
    Field::figure("walls", "1", false),
    Field::figure("infill", "%", false),
    Field::figure("nozzle_temperature", "degC", false),
    Field::figure("bed_temperature", "degC", false),
    Field::figure("cooling", "%", false),
    Field::text("chamber", false),
    Field::text("dried", false),
    Field::text("note", false),
];
const PRINT: usize = 0;
const MATERIAL: usize = 1;
const LOT: usize = 2;
const INFILL: usize = 8;

/// Least nozzle or layer, mm.
const LEAST_MM: f64 = 0.01;

/// Reads `prints.csv`; `materials` are the known ids; `seen` gets every id it names and the line.
pub(super) fn read_prints(
    file: &str,
    bytes: &[u8],
    materials: &BTreeSet<&str>,
    seen: &mut HashMap<String, usize>,
) -> (Vec<(Print, Place)>, Vec<Problem>) {
    read_table(file, bytes, FIELDS, |cells, row| {
        print(cells, row, materials, seen)
    })
}

fn print(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    materials: &BTreeSet<&str>,
    seen: &mut HashMap<String, usize>,
) -> Option<Print> {
    cells.needed(row, PRINT, "write the print's id, for example `p-014`");
    let id = cells.id(row, PRINT, "print")?;
    cells.once(row, PRINT, id.clone(), seen);
    cells.needed(row, MATERIAL, "write the material's id as in materials.csv");
    let material = known_material(cells, row, MATERIAL, materials).unwrap_or_default();
    let infill = cells.figure(row, INFILL, 0.0);
    if infill.is_some_and(|i| i > 100.0) {
        let f = Fault::new(
            "figure::too-large",
            "an infill above 100 % cannot be",
            "write the share of the inside that is filled, 0 to 100",
        );
        cells.fault(row, INFILL, f);
    }
    Some(Print {
        id,
        material,
        lot: cells.text(row, LOT).map(str::to_owned),
        date: cells.date(row, 3),
        printer: cells.owned(row, 4),
        nozzle_mm: cells.figure(row, 5, LEAST_MM),
        layer_mm: cells.figure(row, 6, LEAST_MM),
        walls: cells.figure(row, 7, 0.0),
        infill_percent: infill,
        nozzle_c: cells.figure(row, 9, 0.0),
        bed_c: cells.figure(row, 10, 0.0),
        cooling_percent: cells.figure(row, 11, 0.0),
        chamber: cells.owned(row, 12),
        dried: cells.owned(row, 13),
        note: cells.owned(row, 14),
    })
}

/// The material of a line, refused where materials.csv does not list it.
pub(super) fn known_material(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    field: usize,
    materials: &BTreeSet<&str>,
) -> Option<String> {
    let id = cells.text(row, field)?.to_owned();
    if !materials.contains(id.as_str()) {
        cells.fault(row, field, unknown_material(&id, materials));
    }
    Some(id)
}

/// A material that materials.csv does not list.
pub(super) fn unknown_material(id: &str, materials: &BTreeSet<&str>) -> Fault {
    Fault::new(
        "material::unknown",
        format!("the material `{id}` is not in materials.csv"),
        format!(
            "{}, or add it to materials.csv",
            meant(id, materials.iter().copied())
        ),
    )
}
