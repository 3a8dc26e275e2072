//! The columns that a readings sheet may have.

use crate::bench::{BenchTest, Need};
use crate::catalog::header::Field;

/// The common columns of every sheet, in the order a sheet has them.
pub(in crate::catalog) const COMMON: &[Field] = &[
    Field::text("run", false),
    Field::text("specimen", false),
    Field::text("point", false),
    Field::text("date", false),
    Field::text("recorded", false),
    Field::text("operator", false),
    Field::text("material", false),
    Field::text("lot", false),
    Field::text("print", false),
    Field::text("rig", false),
    Field::text("direction", false),
    Field::text("face", false),
    Field::figure("temperature", "degC", false),
    Field::text("moisture", false),
    Field::text("annealed", false),
    Field::text("counterface", false),
    Field::text("outcome", false),
    Field::text("set_aside", false),
    Field::text("note", false),
];
pub(in crate::catalog) const RUN: usize = 0;
pub(in crate::catalog) const SPECIMEN: usize = 1;
pub(in crate::catalog) const POINT: usize = 2;
pub(in crate::catalog) const DATE: usize = 3;
pub(in crate::catalog) const RECORDED: usize = 4;
pub(in crate::catalog) const OPERATOR: usize = 5;
pub(in crate::catalog) const MATERIAL: usize = 6;
pub(in crate::catalog) const LOT: usize = 7;
pub(in crate::catalog) const PRINT: usize = 8;
pub(in crate::catalog) const RIG: usize = 9;
pub(in crate::catalog) const DIRECTION: usize = 10;
pub(in crate::catalog) const FACE: usize = 11;
pub(in crate::catalog) const TEMPERATURE: usize = 12;
pub(in crate::catalog) const MOISTURE: usize = 13;
pub(in crate::catalog) const ANNEALED: usize = 14;
pub(in crate::catalog) const COUNTERFACE: usize = 15;
pub(in crate::catalog) const OUTCOME: usize = 16;
pub(in crate::catalog) const SET_ASIDE: usize = 17;
pub(in crate::catalog) const NOTE: usize = 18;

/// What must be equal on all lines of a run.
pub(in crate::catalog) const ONE_PER_RUN: &[usize] = &[
    MATERIAL,
    DATE,
    RIG,
    DIRECTION,
    FACE,
    TEMPERATURE,
    MOISTURE,
    ANNEALED,
    COUNTERFACE,
];

/// Fields that lint doubts where they are blank, and what blank counts as.
pub(in crate::catalog) const BLANK_MEANS: &[(usize, &str)] = &[
    (LOT, "one unknown lot"),
    (PRINT, "one unnamed print a run"),
    (RIG, "an unlisted rig, with default resolution and no bias"),
    (TEMPERATURE, "23 degC"),
    (MOISTURE, "room"),
];

/// Surfaces that every workspace knows.
pub(crate) const SURFACES: &[&str] = &[
    "steel-smooth",
    "steel-painted",
    "aluminium",
    "glass",
    "tile",
    "wood",
    "painted-wood",
    "concrete",
    "rubber",
    "skin",
    "self",
    "same-polymer",
];

/// The fields that a test's sheet may have: the common ones, then the test's own.
///
/// Where both have a name (the temperature of a softening run) the test's counts.
pub(in crate::catalog) fn fields_of(test: &dyn BenchTest, in_catalog: bool) -> Vec<Field> {
    let raw = test.columns();
    let common = COMMON.iter().enumerate().map(|(k, f)| {
        if raw.iter().any(|c| c.name == f.name) {
            return Field::text("", false);
        }
        let needed = in_catalog
            && (matches!(k, RUN | SPECIMEN | MATERIAL)
                || k == DIRECTION && test.needs_direction()
                || k == COUNTERFACE && test.needs_counterface());
        Field { needed, ..*f }
    });
    let own = raw.iter().map(|c| Field {
        name: c.name,
        unit: c.unit(),
        needed: c.need != Need::Optional,
    });
    common.chain(own).collect()
}
