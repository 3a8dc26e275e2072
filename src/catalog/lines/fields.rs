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
pub(super) const RUN: usize = 0;
pub(super) const SPECIMEN: usize = 1;
pub(super) const POINT: usize = 2;
pub(super) const DATE: usize = 3;
pub(super) const RECORDED: usize = 4;
pub(super) const OPERATOR: usize = 5;
pub(super) const MATERIAL: usize = 6;
pub(super) const LOT: usize = 7;
pub(super) const PRINT: usize = 8;
pub(super) const RIG: usize = 9;
pub(super) const DIRECTION: usize = 10;
pub(super) const FACE: usize = 11;
pub(super) const TEMPERATURE: usize = 12;
pub(super) const MOISTURE: usize = 13;
pub(super) const ANNEALED: usize = 14;
pub(super) const COUNTERFACE: usize = 15;
pub(super) const OUTCOME: usize = 16;
pub(super) const SET_ASIDE: usize = 17;

/// What must be equal on all lines of a run.
pub(super) const ONE_PER_RUN: &[usize] = &[
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
pub(super) const BLANK_MEANS: &[(usize, &str)] = &[
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
