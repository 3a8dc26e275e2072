//! Cells of a line about one of the user's own properties: which one, and its figure.

use super::Gatherer;
use super::fields::COMMON;
use crate::bench::{self, Kind};
use crate::catalog::csv_text::Row;
use crate::catalog::words::{check_id, meant};
use crate::problem::Fault;
use crate::property::{Property, Scale, builtin};
use crate::quantity::{Reading, Unit, amount};

impl Gatherer<'_, '_, '_> {
    /// The id of an own property; without a catalog any id does that is not built in.
    pub(super) fn own_property(&self, id: &str) -> Result<String, Fault> {
        if let Some(p) = builtin().iter().find(|p| p.id.as_str() == id) {
            let fix = match p.test.and_then(bench::find) {
                Some(test) => format!(
                    "write its raw readings on a {} sheet, which is reduced to it",
                    test.id()
                ),
                None => {
                    "write it in stated.csv, or in materials.csv where it stands there".to_owned()
                }
            };
            return Err(Fault::new(
                "property::not-own",
                format!("`{id}` is built in, and this sheet takes own properties only"),
                fix,
            ));
        }
        let Some(known) = self.known else {
            return check_id(id, "property").map(|()| id.to_owned());
        };
        let own: Vec<&str> = known.own.iter().map(|p| p.id.as_str()).collect();
        if own.contains(&id) {
            return Ok(id.to_owned());
        }
        let fix = if own.is_empty() {
            "add it to properties.csv, with its unit, scale and range".to_owned()
        } else {
            format!("{}, or add it to properties.csv", meant(id, own))
        };
        Err(Fault::new(
            "property::unknown",
            format!("`{id}` is not in properties.csv"),
            fix,
        ))
    }

    /// The figure of a line, in its own property's unit and inside that property's range.
    pub(super) fn own_figure(&self, row: &Row<'_>, text: &str) -> Result<Reading, Fault> {
        let read = self.cells.columns.figure_alone(text)?;
        let column = |kind: Kind| self.own_cell(row, |c| c.kind == kind);
        let property = column(Kind::OwnProperty);
        let Some(p) = property.and_then(|id| self.known?.own.iter().find(|p| p.id.as_str() == id))
        else {
            return Ok(read);
        };
        let reading = match self.own_cell(row, |c| c.name == "unit") {
            Some(written) => {
                let wanted = Unit::parse(&p.unit)?;
                let from = Unit::parse_as(written, &wanted)?;
                if let Some(f) = from.conversion_fault(&wanted, written, p.id.as_str()) {
                    return Err(f);
                }
                read.map(|x| from.convert(x, &wanted))
            }
            None => read,
        };
        in_range(p, text, reading)
    }

    fn own_cell<'r>(
        &self,
        row: &'r Row<'_>,
        is: impl Fn(&bench::Column) -> bool,
    ) -> Option<&'r str> {
        let k = self.test.columns().iter().position(is)?;
        self.text(row, COMMON.len() + k)
    }
}

/// A reading that the property's scale and range can hold; a bound is open to its own side.
fn in_range(p: &Property, text: &str, reading: Reading) -> Result<Reading, Fault> {
    let (low, high) = p.plausible;
    let (a, b) = match reading {
        Reading::Exact(x) => (x, x),
        Reading::AtLeast(x) => (x, f64::INFINITY),
        Reading::AtMost(x) => (f64::NEG_INFINITY, x),
        Reading::Between(a, b) => (a, b),
    };
    let written = reading.figures();
    if p.scale == Scale::Log && (written.0 <= 0.0 || written.1.is_some_and(|x| x <= 0.0)) {
        return Err(Fault::new(
            "scale::signed",
            format!(
                "`{text}` is not above 0, and `{}` lies on a log scale",
                p.id
            ),
            "write `plain` in its `scale` in properties.csv, or correct the figure; what was too small to see is `<=` the least that could be",
        ));
    }
    if b < low || a > high {
        return Err(Fault::new(
            "reading::outside-range",
            format!(
                "`{text}` lies outside {} to {}, the range of `{}`",
                amount(low, &p.unit),
                amount(high, &p.unit),
                p.id
            ),
            "look for a slip of unit or of the decimal point, or widen its range in properties.csv",
        ));
    }
    Ok(reading)
}
