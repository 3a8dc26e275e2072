//! `stated.csv`: numbers from data sheets and handbooks.

use crate::belief::Stated;
use crate::catalog::csv_text::Row;
use crate::catalog::header::Field;
use crate::catalog::prints::known_material;
use crate::catalog::row::{Cells, read_table};
use crate::catalog::words::{known_surface, meant, polymer_meant};
use crate::problem::{Fault, Place, Problem};
use crate::property::{
    Condition, Direction, Moisture, Properties, Property, PropertyId, Scale, polymer,
};
use crate::quantity::{Reading, Unit, parse_amount, parse_bounded_amount};
use std::collections::BTreeSet;

pub(super) const FIELDS: &[Field] = &[
    Field::text("material", false),
    Field::text("polymer", false),
    Field::text("property", true),
    Field::text("value", true),
    Field::text("spread", false),
    Field::text("direction", false),
    Field::figure("temperature", "degC", false),
    Field::text("moisture", false),
    Field::text("counterface", false),
    Field::text("standard", false),
    Field::text("source", true),
    Field::text("date", false),
    Field::text("note", false),
];
const MATERIAL: usize = 0;
const POLYMER: usize = 1;
const PROPERTY: usize = 2;
const VALUE: usize = 3;
const SPREAD: usize = 4;
const DIRECTION: usize = 5;
const TEMPERATURE: usize = 6;
const MOISTURE: usize = 7;
const COUNTERFACE: usize = 8;
const STANDARD: usize = 9;
const SOURCE: usize = 10;
const DATE: usize = 11;

/// What stated values may refer to.
pub(super) struct Referred<'a> {
    /// Ids of materials.csv.
    pub(super) materials: &'a BTreeSet<&'a str>,
    /// Own surfaces.
    pub(super) surfaces: &'a [&'a str],
    /// Properties, own ones among them.
    pub(super) properties: &'a Properties,
    /// Later lines do not count.
    pub(super) as_of: Option<&'a str>,
}

/// Reads `stated.csv`.
pub(super) fn read_stated(
    file: &str,
    bytes: &[u8],
    referred: &Referred<'_>,
) -> (Vec<(Stated, Place)>, Vec<Problem>) {
    read_table(file, bytes, FIELDS, |cells, row| {
        let later = cells
            .text(row, DATE)
            .zip(referred.as_of)
            .is_some_and(|(d, as_of)| d > as_of);
        if later {
            None
        } else {
            stated(cells, row, referred)
        }
    })
}

fn stated(cells: &mut Cells<'_>, row: &Row<'_>, referred: &Referred<'_>) -> Option<Stated> {
    let material = known_material(cells, row, MATERIAL, referred.materials);
    let polymer = polymer_of(cells, row);
    if material.is_some() == polymer.is_some() {
        let f = Fault::new(
            "stated::whose",
            if material.is_some() {
                "the line names a material and a polymer"
            } else {
                "the line names neither a material nor a polymer"
            },
            "fill one of `material` and `polymer`",
        );
        cells.fault(row, MATERIAL, f);
    }
    cells.date(row, DATE);
    cells.needed(
        row,
        SOURCE,
        "write where the number stands, for example `data sheet of 2025`",
    );
    let condition = condition(cells, row, referred.surfaces);
    let property = property(cells, row, referred.properties)?;
    let unit = unit_of(property);
    let value = value(cells, row, property, &unit?)?;
    let sd = spread(cells, row, property, value);
    Some(Stated {
        material,
        polymer,
        property: property.id.clone(),
        value,
        sd,
        condition,
        standard: cells.owned(row, STANDARD),
        source: cells.owned(row, SOURCE),
    })
}

fn polymer_of(cells: &mut Cells<'_>, row: &Row<'_>) -> Option<String> {
    let id = cells.text(row, POLYMER)?.to_owned();
    if polymer(&id).is_none() {
        let f = Fault::new(
            "polymer::unknown",
            format!("`{id}` is not a polymer of the table"),
            polymer_meant(&id),
        );
        cells.fault(row, POLYMER, f);
    }
    Some(id)
}

fn condition(cells: &mut Cells<'_>, row: &Row<'_>, surfaces: &[&str]) -> Condition {
    let usual = Condition::default();
    let counterface = cells.text(row, COUNTERFACE).map(str::to_owned);
    if let Some(c) = &counterface
        && let Err(f) = known_surface(c, surfaces)
    {
        cells.fault(row, COUNTERFACE, f);
    }
    Condition {
        direction: cells.word(
            row,
            DIRECTION,
            Direction::from_word,
            &["flat", "edge", "across"],
        ),
        temperature_c: cells
            .figure(row, TEMPERATURE, -273.15)
            .unwrap_or(usual.temperature_c),
        moisture: cells
            .word(
                row,
                MOISTURE,
                Moisture::from_word,
                &["dried", "room", "wet"],
            )
            .unwrap_or(usual.moisture),
        counterface,
        ..usual
    }
}

fn property<'p>(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    properties: &'p Properties,
) -> Option<&'p Property> {
    let id = cells.needed(
        row,
        PROPERTY,
        "write the id of a property, for example `density`",
    )?;
    let found = properties.get(id);
    if found.is_none() {
        let f = Fault::new(
            "property::unknown",
            format!("`{id}` is not a property that is known here"),
            format!(
                "{}, or declare your own in properties.csv",
                meant(id, properties.iter().map(|p| PropertyId::as_str(&p.id)))
            ),
        );
        cells.fault(row, PROPERTY, f);
    }
    found
}

/// The unit of a property; built-in ones and checked own ones always have one.
fn unit_of(property: &Property) -> Option<Unit> {
    Unit::parse(&property.unit).ok()
}

fn value(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    property: &Property,
    unit: &Unit,
) -> Option<Reading> {
    let text = cells.needed(
        row,
        VALUE,
        &format!(
            "write the value with its unit, for example `12 {}`",
            property.unit
        ),
    )?;
    let text = point_for_comma(cells, text);
    match parse_bounded_amount(&text, unit, property.id.as_str()) {
        Ok(r) => {
            let (a, b) = r.figures();
            let lowest = b.map_or(a, |b| a.min(b));
            if property.scale == Scale::Log && lowest <= 0.0 {
                let f = Fault::new(
                    "stated::not-positive",
                    format!("`{text}` cannot be: {} is above 0", property.title),
                    "correct the value",
                );
                cells.fault(row, VALUE, f);
                return None;
            }
            Some(r)
        }
        Err(f) => {
            cells.fault(row, VALUE, f);
            None
        }
    }
}

/// One standard deviation on the natural scale: a share of the value on log scales.
fn spread(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    property: &Property,
    value: Reading,
) -> Option<f64> {
    let text = cells.text(row, SPREAD)?;
    let text = point_for_comma(cells, text);
    let size = value.as_exact().abs();
    let read = if text.ends_with('%') {
        Unit::parse("1")
            .and_then(|one| parse_amount(&text, &one, "spread"))
            .map(|share| match property.scale {
                Scale::Log => share,
                Scale::Plain => share * size,
            })
    } else {
        amount_of(&text, property).map(|amount| match property.scale {
            Scale::Log => amount / size,
            Scale::Plain => amount,
        })
    };
    let fault = match read {
        Ok(sd) if sd >= 0.0 && sd.is_finite() => return Some(sd),
        Ok(_) => Fault::new(
            "stated::spread",
            format!("`{text}` is not a spread"),
            "write one standard deviation, `10 %` of the value or an amount such as `8 K`",
        ),
        Err(f) => f,
    };
    cells.fault(row, SPREAD, fault);
    None
}

/// A spread in the property's unit; of a temperature it is a difference, in K.
fn amount_of(text: &str, property: &Property) -> Result<f64, Fault> {
    let unit = match property.unit.as_ref() {
        "degC" => "K",
        other => other,
    };
    parse_amount(text, &Unit::parse(unit)?, "spread")
}

fn point_for_comma(cells: &Cells<'_>, text: &str) -> String {
    if cells.csv.decimal_comma() {
        text.replace(',', ".")
    } else {
        text.to_owned()
    }
}
