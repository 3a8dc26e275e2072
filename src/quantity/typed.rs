//! Quantities of one kind each, as they stand in JSON: strings with a unit.
//!
//! Each type holds its figure in the unit that its name says and reads itself
//! from text with any unit that fits. A fault inside JSON travels through
//! serde's message, which keeps its code, what and fix apart.

use crate::problem::Fault;
use crate::quantity::{Unit, parse_amount, parse_span};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Separates the parts of a fault inside serde's message.
pub(crate) const FAULT_MARK: char = '\u{1f}';

/// Stands for the name of the entry in a fault found inside it; the JSON reader puts the name there.
pub(crate) const NAME_MARK: char = '\u{1e}';
const NAME: &str = "\u{1e}";

/// A fault as serde's custom error message; the JSON reader takes it apart again.
pub(crate) fn fault_message(f: &Fault) -> String {
    format!("{m}{}{m}{}{m}{}{m}", f.code, f.what, f.fix, m = FAULT_MARK)
}

/// Reads one entry that holds text with a unit.
struct Entry<T> {
    /// What belongs there, with its article.
    what: &'static str,
    unit: &'static str,
    read: fn(&str, &Unit, &str) -> Result<T, Fault>,
}

impl<T> Entry<T> {
    fn parse<E: de::Error>(&self, text: &str) -> Result<T, E> {
        Unit::parse(self.unit)
            .and_then(|u| (self.read)(text, &u, NAME))
            .map_err(|f| E::custom(fault_message(&f)))
    }

    /// What a number without quotes is told: the unit that it lacks.
    fn bare<E: de::Error>(&self, number: &str) -> Result<T, E> {
        let fault = match Unit::parse(self.unit) {
            Ok(unit) => Fault::new(
                "unit::missing",
                format!(
                    "`{number}` has no unit, and `{NAME}` takes {}",
                    unit.dimension().describe()
                ),
                format!("write it as text with its unit, for example `\"{number} {unit}\"`"),
            ),
            Err(fault) => fault,
        };
        Err(E::custom(fault_message(&fault)))
    }
}

impl<T> de::Visitor<'_> for Entry<T> {
    type Value = T;
    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} with its unit", self.what)
    }
    fn visit_str<E: de::Error>(self, text: &str) -> Result<T, E> {
        self.parse(text)
    }
    fn visit_u64<E: de::Error>(self, number: u64) -> Result<T, E> {
        self.bare(&number.to_string())
    }
    fn visit_i64<E: de::Error>(self, number: i64) -> Result<T, E> {
        self.bare(&number.to_string())
    }
    fn visit_f64<E: de::Error>(self, number: f64) -> Result<T, E> {
        self.bare(&number.to_string())
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $what:literal, $example:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit of the figure inside.
            pub const UNIT: &'static str = $unit;
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
                d.deserialize_any(Entry {
                    what: $what,
                    unit: $unit,
                    read: parse_amount,
                })
                .map($name)
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.collect_str(&format_args!("{} {}", self.0, $unit))
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "type": "string",
                    "description": concat!($what, " with its unit, for example `", $example, "`"),
                    "examples": [$example],
                })
            }
        }
    };
}

quantity!(/// A length, mm.
    Length, "mm", "a length", "12 mm");
quantity!(/// An area, mm2.
    Area, "mm2", "an area", "400 mm2");
quantity!(/// A force, N.
    Force, "N", "a force", "80 N");
quantity!(/// A torque, N.m.
    Torque, "N.m", "a torque", "4 N.m");
quantity!(/// An energy, J.
    Energy, "J", "an energy", "2 J");
quantity!(/// A mass, kg.
    Mass, "kg", "a mass", "12 kg");
quantity!(/// A stress or pressure, MPa.
    Pressure, "MPa", "a pressure", "2 MPa");
quantity!(/// A time, h.
    Time, "h", "a time", "5 year");
quantity!(/// A speed, m/s.
    Speed, "m/s", "a speed", "0.1 m/s");
quantity!(/// An acceleration, m/s^2.
    Acceleration, "m/s^2", "an acceleration", "80 m/s^2");
quantity!(/// A frequency or rate, per second.
    Flow, "Hz", "a rate", "30 rpm");
quantity!(/// An angle, deg.
    Angle, "deg", "an angle", "10 deg");
quantity!(/// A stiffness, N/mm.
    Stiffness, "N/mm", "a stiffness", "1500 N/mm");
quantity!(/// A thermal expansion, um/(m.K).
    Expansion, "um/(m.K)", "a thermal expansion", "23 um/(m.K)");
quantity!(/// A thermal resistance, K/W.
    ThermalResistance, "K/W", "a thermal resistance", "12 K/W");
quantity!(/// A film coefficient of heat, W/(m2.K).
    FilmCoefficient, "W/(m2.K)", "a film coefficient", "10 W/(m2.K)");
quantity!(/// A temperature point, degC.
    Temperature, "degC", "a temperature", "60 degC");
quantity!(/// A temperature difference, K.
    TemperatureSpan, "K", "a temperature difference", "15 K");

/// A temperature or a range of temperatures, degC, low first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TemperatureRange {
    /// The cold end, degC.
    pub low_c: f64,
    /// The hot end, degC.
    pub high_c: f64,
}

impl<'de> Deserialize<'de> for TemperatureRange {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Entry {
            what: "a temperature or a range of them",
            unit: "degC",
            read: parse_span,
        })
        .map(|(low_c, high_c)| TemperatureRange { low_c, high_c })
    }
}

impl Serialize for TemperatureRange {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        if self.low_c < self.high_c {
            s.collect_str(&format_args!("{}..{} degC", self.low_c, self.high_c))
        } else {
            s.collect_str(&format_args!("{} degC", self.low_c))
        }
    }
}

impl JsonSchema for TemperatureRange {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "TemperatureRange".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "a temperature or a range of them, for example `-10..45 degC`",
            "examples": ["23 degC", "-10..45 degC"],
        })
    }
}
