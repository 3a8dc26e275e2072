//! What an entry of a plain case is about, and the figures that it states.

use super::{FaceWord, LiesTo};
use crate::duty::mechanics::index::Index;
use crate::duty::{Duty, Performance, Setting};
use crate::problem::Fault;
use crate::property::{Ask, Face, Lies, Moisture, Property, ROOM_C};
use crate::quantity::{Time, Unit, parse_amount};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, de};
use std::borrow::Cow;
use std::fmt;

/// A bound: a quantity with its unit, or a bare number where the unit stands beside it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(untagged)]
pub(super) enum Amount {
    Text(String),
    Number(f64),
}

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Either;
        impl de::Visitor<'_> for Either {
            type Value = Amount;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a quantity such as \"12 MPa\", or a number")
            }
            fn visit_str<E: de::Error>(self, s: &str) -> Result<Amount, E> {
                Ok(Amount::Text(s.to_owned()))
            }
            fn visit_f64<E: de::Error>(self, x: f64) -> Result<Amount, E> {
                Ok(Amount::Number(x))
            }
            #[expect(clippy::cast_precision_loss, reason = "bounds are far below 2^53")]
            fn visit_i64<E: de::Error>(self, x: i64) -> Result<Amount, E> {
                Ok(Amount::Number(x as f64))
            }
            #[expect(clippy::cast_precision_loss, reason = "bounds are far below 2^53")]
            fn visit_u64<E: de::Error>(self, x: u64) -> Result<Amount, E> {
                Ok(Amount::Number(x as f64))
            }
        }
        d.deserialize_any(Either)
    }
}

impl JsonSchema for Amount {
    fn schema_name() -> Cow<'static, str> {
        "Amount".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": ["string", "number"],
            "description": "a quantity with its unit, or a number in the unit that stands beside an index",
            "examples": ["12 MPa", 1200],
        })
    }
}

/// Conditions that a limit or aim may set apart from the case's.
#[derive(Clone, Copy)]
pub(super) struct Conditions<'a> {
    pub(super) lies: Option<LiesTo>,
    pub(super) face: Option<FaceWord>,
    pub(super) moisture: Option<Moisture>,
    pub(super) counterface: Option<&'a str>,
    pub(super) life: Option<Time>,
}

/// What a limit or aim is about: one property or an index of several.
pub(super) struct Subject<'a> {
    pub(super) title: String,
    pub(super) unit: Cow<'a, str>,
    rows: Vec<&'a Property>,
    index: Option<&'a Index>,
}

impl Subject<'_> {
    /// Whether nothing in it depends on the temperature of the use.
    pub(super) fn is_timeless(&self) -> bool {
        self.rows.iter().all(|p| timeless(p))
    }

    /// Whether it is about buying or printing: a miss is never more than a nuisance.
    pub(super) fn is_convenience(&self) -> bool {
        let words = ["price", "nozzle-temperature", "bed-temperature", "dry-time"];
        self.rows.iter().all(|p| words.contains(&p.id.as_str()))
    }

    /// Its asks at a temperature, degC; one need each.
    pub(super) fn needs(
        &self,
        setting: &Setting,
        at: Conditions<'_>,
        temperature_c: f64,
        duty: &mut Duty,
    ) -> Vec<Vec<usize>> {
        self.rows
            .iter()
            .map(|p| vec![duty.ask(asked(setting, p, at, temperature_c))])
            .collect()
    }

    pub(super) fn performance(&self) -> Performance {
        let unit = self.unit.clone().into_owned();
        let rows: Vec<(String, String)> = self
            .rows
            .iter()
            .map(|p| (p.title.clone().into_owned(), p.unit.clone().into_owned()))
            .collect();
        let index = self.index.cloned();
        Performance::new(move |i, t| {
            for ((title, unit), x) in rows.iter().zip(i.x) {
                t.step("property", title, *x, unit);
            }
            match &index {
                Some(index) => t.step("index", index.text(), index.value(i.x), &unit),
                None => i.x.first().copied().unwrap_or(f64::NAN),
            }
        })
    }
}

/// Whether a property has no temperature of use: density, uptake, softening, price, print settings.
fn timeless(p: &Property) -> bool {
    p.auxiliary
        || matches!(
            p.test,
            Some("density" | "water-uptake" | "heat-softening" | "custom") | None
        )
}

/// Properties read off a curve at the life.
fn has_life(id: &str) -> bool {
    matches!(
        id,
        "creep-modulus"
            | "sustained-strength"
            | "force-retained"
            | "clamp-retained"
            | "stretch-retained"
            | "torque-retained"
    )
}

fn asked(setting: &Setting, p: &Property, at: Conditions<'_>, temperature_c: f64) -> Ask {
    let mut ask = Ask::of(p.id.clone()).at(if timeless(p) { ROOM_C } else { temperature_c });
    if p.test.is_some_and(|t| t != "custom") {
        ask = ask.moist(at.moisture.unwrap_or(setting.moisture));
    }
    if p.direction.is_some() {
        ask.lies = at.lies.map(|l| match l {
            LiesTo::Flat | LiesTo::Edge | LiesTo::InPlane => Lies::InPlane,
            LiesTo::Across => Lies::Across,
        });
    }
    if p.by_face {
        ask.face = at.face.map(|f| match f {
            FaceWord::Top => Face::Top,
            FaceWord::Bottom => Face::Bottom,
            FaceWord::Side => Face::Side,
        });
    }
    if p.by_counterface {
        ask.counterface = at
            .counterface
            .map(str::to_owned)
            .or_else(|| setting.counterface.clone());
    }
    if has_life(p.id.as_str()) {
        ask = ask.after(at.life.map_or(setting.life_h, |l| l.0));
    }
    ask
}

/// What is wrong in the entry called `name`.
pub(super) fn wrong(code: &'static str, name: &str, what: &str, fix: &str) -> Fault {
    Fault::new(code, format!("`{name}` {what}"), fix)
}

fn row<'a>(setting: &'a Setting, name: &str, id: &str) -> Result<&'a Property, Fault> {
    setting.properties.get(id).ok_or_else(|| {
        let near = setting
            .properties
            .iter()
            .map(|p| {
                (
                    strsim::damerau_levenshtein(p.id.as_str(), id),
                    p.id.as_str(),
                )
            })
            .min()
            .filter(|(far, _)| *far <= 3);
        wrong(
            "duty::unknown-property",
            name,
            &format!("names a property `{id}` that is not known"),
            &match near {
                Some((_, near)) => format!("write `{near}` if that is what was meant"),
                None => "write a property of the table, or add it to properties.csv".to_owned(),
            },
        )
    })
}

/// Finds what an entry is about.
pub(super) fn subject<'a>(
    setting: &'a Setting,
    name: &str,
    title: Option<&str>,
    property: Option<&str>,
    index: Option<&'a Index>,
    unit: Option<&'a str>,
) -> Result<Subject<'a>, Fault> {
    match (property, index) {
        (Some(id), None) => {
            let row = row(setting, name, id)?;
            if unit.is_some_and(|u| u != row.unit) {
                return Err(wrong(
                    "duty::unit-of-property",
                    name,
                    &format!("states a unit, and `{id}` already has {}", row.unit),
                    "leave `unit` out and write the unit behind the bound",
                ));
            }
            Ok(Subject {
                title: title.unwrap_or(&row.title).to_owned(),
                unit: Cow::Borrowed(&row.unit),
                rows: vec![row],
                index: None,
            })
        }
        (None, Some(index)) => {
            let Some(unit) = unit else {
                return Err(wrong(
                    "duty::index-unit",
                    name,
                    "is an index without a `unit`",
                    "state its unit, for example `\"unit\": \"MPa.cm3/g\"`, or `1` for a pure number",
                ));
            };
            Unit::parse(unit)?;
            let rows = index
                .properties()
                .iter()
                .map(|id| row(setting, name, id))
                .collect::<Result<Vec<_>, _>>()?;
            if rows.is_empty() {
                return Err(wrong(
                    "duty::index-without-property",
                    name,
                    "is an index that names no property",
                    "name at least one, for example `tensile_modulus / density`",
                ));
            }
            Ok(Subject {
                title: title.unwrap_or(index.text()).to_owned(),
                unit: Cow::Borrowed(unit),
                rows,
                index: Some(index),
            })
        }
        _ => Err(wrong(
            "duty::property-or-index",
            name,
            "needs one of `property` and `index`",
            "write the one that is meant",
        )),
    }
}

/// The figure of a bound in the subject's unit.
pub(super) fn figure(subject: &Subject<'_>, name: &str, amount: &Amount) -> Result<f64, Fault> {
    let unit = Unit::parse(&subject.unit)?;
    match amount {
        Amount::Number(x) if subject.index.is_some() || unit.is_pure() => Ok(*x),
        Amount::Number(x) => Err(Fault::new(
            "unit::missing",
            format!(
                "`{x}` has no unit, and `{name}` takes {}",
                unit.dimension().describe()
            ),
            format!("write `\"{x} {unit}\"` if that is what was meant"),
        )),
        Amount::Text(t) => parse_amount(t, &unit, name),
    }
}
