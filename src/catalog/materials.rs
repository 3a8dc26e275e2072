//! `materials.csv`: a line a material.

use crate::belief::{Material, MaterialKind};
use crate::catalog::csv_text::Row;
use crate::catalog::header::Field;
use crate::catalog::row::{Cells, read_table};
use crate::catalog::words::polymer_meant;
use crate::problem::{Fault, Place, Problem};
use crate::property::polymer;
use std::collections::HashMap;

pub(super) const FIELDS: &[Field] = &[
    Field::text("material", true),
    Field::text("title", false),
    Field::text("polymer", true),
    Field::text("grade", false),
    Field::text("kind", false),
    Field::figure("price", "per kg", false),
    Field::figure("spool", "kg", false),
    Field::figure("dry_temperature", "degC", false),
    Field::figure("dry_time", "h", false),
    Field::figure("nozzle_min", "degC", false),
    Field::figure("nozzle_max", "degC", false),
    Field::figure("bed_min", "degC", false),
    Field::figure("bed_max", "degC", false),
    Field::text("note", false),
];
const MATERIAL: usize = 0;
const TITLE: usize = 1;
const POLYMER: usize = 2;
const GRADE: usize = 3;
const KIND: usize = 4;
const PRICE: usize = 5;
const SPOOL: usize = 6;
const DRY_TEMPERATURE: usize = 7;
const DRY_TIME: usize = 8;
const NOZZLE: (usize, usize) = (9, 10);
const BED: (usize, usize) = (11, 12);
const NOTE: usize = 13;

/// Nothing prints below this, degC.
const COLDEST_C: f64 = -50.0;
/// Least price or spool that can be meant.
const LEAST: f64 = 1e-6;

/// Reads `materials.csv`; `seen` gets every id it names and the line, wrong lines among them.
pub(super) fn read_materials(
    file: &str,
    bytes: &[u8],
    seen: &mut HashMap<String, usize>,
) -> (Vec<(Material, Place)>, Vec<Problem>) {
    read_table(file, bytes, FIELDS, |cells, row| material(cells, row, seen))
}

fn material(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    seen: &mut HashMap<String, usize>,
) -> Option<Material> {
    cells.needed(
        row,
        MATERIAL,
        "write the material's id, for example `petg-a`",
    );
    let id = cells.id(row, MATERIAL, "material")?;
    cells.once(row, MATERIAL, id.clone(), seen);
    let kind = cells
        .word(row, KIND, kind_of, &["candidate", "reference", "surface"])
        .unwrap_or_default();
    let title = cells.owned(row, TITLE);
    Some(Material {
        title: if title.is_empty() { id.clone() } else { title },
        id,
        polymers: polymers_of(cells, row, kind),
        grade: cells.owned(row, GRADE),
        kind,
        price_per_kg: cells.figure(row, PRICE, LEAST),
        spool_kg: cells.figure(row, SPOOL, LEAST),
        dry_temperature_c: cells.figure(row, DRY_TEMPERATURE, COLDEST_C),
        dry_time_h: cells.figure(row, DRY_TIME, 0.0),
        nozzle_c: window(cells, row, NOZZLE),
        bed_c: window(cells, row, BED),
        note: cells.owned(row, NOTE),
    })
}

fn kind_of(word: &str) -> Option<MaterialKind> {
    match word {
        "candidate" => Some(MaterialKind::Candidate),
        "reference" => Some(MaterialKind::Reference),
        "surface" => Some(MaterialKind::Surface),
        _ => None,
    }
}

/// Polymer ids of `a+b`; none of `other`.
fn polymers_of(cells: &mut Cells<'_>, row: &Row<'_>, kind: MaterialKind) -> Vec<String> {
    let Some(cell) = cells.text(row, POLYMER).map(str::to_owned) else {
        if kind == MaterialKind::Candidate {
            cells.needed(
                row,
                POLYMER,
                "write a polymer's id such as `petg`, two as `pc+abs`, or `other`",
            );
        }
        return Vec::new();
    };
    if cell == "other" {
        return Vec::new();
    }
    let ids: Vec<String> = cell.split('+').map(|p| p.trim().to_owned()).collect();
    for id in &ids {
        if polymer(id).is_none() {
            let f = Fault::new(
                "polymer::unknown",
                format!("`{id}` is not a polymer of the table"),
                format!(
                    "{}, or `other`, which lends to and borrows from nobody",
                    polymer_meant(id)
                ),
            );
            cells.fault(row, POLYMER, f);
        }
    }
    ids
}

fn window(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    (low, high): (usize, usize),
) -> (Option<f64>, Option<f64>) {
    let (a, b) = (
        cells.figure(row, low, COLDEST_C),
        cells.figure(row, high, COLDEST_C),
    );
    if let (Some(x), Some(y)) = (a, b)
        && x > y
    {
        let f = Fault::new(
            "range::reversed",
            format!(
                "`{}` is {x}, above `{}` of {y}",
                cells.name(low),
                cells.name(high)
            ),
            "write the lower figure in the first of the two columns",
        );
        cells.fault(row, low, f);
    }
    (a, b)
}
