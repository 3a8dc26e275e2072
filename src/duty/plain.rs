//! The plain part kind: limits and aims stated on properties, or on an index formula of them.
//!
//! Bounds stand as written: no factor is put on them, for nobody says which of
//! them are loads. Dimensions of an index are taken as its `unit` states them.

mod subject;

use self::subject::{Amount, Conditions, figure, subject, wrong};
use crate::duty::mechanics::index::Index;
use crate::duty::mechanics::surroundings::{End, ends};
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Duty, FormulaDoc, Lever, Limit, LimitSense, Part, PartKind, Preference, Setting,
    ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Moisture, ROOM_C};
use crate::quantity::{Temperature, Time, Unit, parse_span};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// How the load lies to the layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum LiesTo {
    /// In the plane of the layers, printed lying flat.
    Flat,
    /// In the plane of the layers, printed on edge.
    Edge,
    /// In the plane of the layers.
    InPlane,
    /// Across the layers.
    Across,
}

/// The evenness of an aim's scale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum ScaleWord {
    /// Even steps.
    #[default]
    Linear,
    /// Even ratios.
    Log,
}

/// Something demanded of a property or an index.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PlainLimit {
    /// Name of the limit; the property's id or `index-1`, `index-2` ... when left out.
    #[schemars(extend("why" = "answers and overrides name the limit by it"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    id: Option<String>,
    /// Words for people; the property's title or the index when left out.
    #[schemars(extend("why" = "answers call the limit by it"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    title: Option<String>,
    /// Property; give this or `index`.
    #[schemars(extend("why" = "decides what is demanded"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    property: Option<String>,
    /// Formula of properties in canonical units; give this or `property`.
    #[schemars(extend("why" = "decides what is demanded, where it takes several properties"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    index: Option<Index>,
    /// Unit of the index; `1` for a pure number.
    #[schemars(extend("why" = "decides how the figures of the index are read"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    /// Least value; one of `at_least`, `at_most` and `between`.
    #[schemars(extend("why" = "decides when it is met"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at_least: Option<Amount>,
    /// Largest value.
    #[schemars(extend("why" = "decides when it is met"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at_most: Option<Amount>,
    /// Lowest and highest value: `10..12 MPa`.
    #[schemars(extend("why" = "decides when it is met"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    between: Option<String>,
    /// How the load lies to the layers; the property's default direction when left out.
    #[schemars(extend("why" = "prints are weaker across their layers than in their plane"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lies: Option<LiesTo>,
    /// Face in contact; any when left out.
    #[schemars(extend("why" = "the faces of a print wear and slide unlike each other"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    face: Option<FaceWord>,
    /// Temperature; both ends of the case's range when left out.
    #[schemars(extend("why" = "strength and stiffness fall with heat"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at: Option<Temperature>,
    /// Moisture; the case's when left out.
    #[schemars(extend("why" = "some polymers soften when wet"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    moisture: Option<Moisture>,
    /// Surface in contact; the case's when left out.
    #[schemars(extend("why" = "friction and wear belong to a pair"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    counterface: Option<String>,
    /// Life at which creep and relaxation are read; the case's when left out.
    #[schemars(extend("why" = "creep goes on: a longer life leaves less"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    life: Option<Time>,
    /// What a miss does; the case's class, else damage, when left out.
    #[schemars(extend("why" = "decides how sure it must be"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    class: Option<Class>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// Something preferred, from just acceptable to enough.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct PlainAim {
    /// Name that weights use; the property's id or `index-1`, `index-2` ... when left out.
    #[schemars(extend("why" = "weights name the aim by it"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    id: Option<String>,
    /// Words for people; the property's title or the index when left out.
    #[schemars(extend("why" = "answers call the aim by it"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    title: Option<String>,
    /// Property; give this or `index`.
    #[schemars(extend("why" = "decides what is preferred"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    property: Option<String>,
    /// Formula of properties in canonical units; give this or `property`.
    #[schemars(extend("why" = "decides what is preferred, where it takes several properties"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    index: Option<Index>,
    /// Unit of the index; `1` for a pure number.
    #[schemars(extend("why" = "decides how the figures of the index are read"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    /// Value that is just acceptable.
    #[schemars(extend("why" = "decides what is worth nothing"))]
    zero: Amount,
    /// Value from which more gives nothing; below `zero` where less is better.
    #[schemars(extend("why" = "decides from where more is worth nothing more"))]
    one: Amount,
    /// Even steps or even ratios; linear when left out.
    #[schemars(extend("why" = "decides whether equal steps or equal ratios are worth the same"))]
    #[serde(default)]
    scale: ScaleWord,
    /// How the load lies to the layers; the property's default direction when left out.
    #[schemars(extend("why" = "prints are weaker across their layers than in their plane"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lies: Option<LiesTo>,
    /// Face in contact; any when left out.
    #[schemars(extend("why" = "the faces of a print wear and slide unlike each other"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    face: Option<FaceWord>,
    /// Temperature; room, or the nearest end of the case's range, when left out.
    #[schemars(extend("why" = "strength and stiffness fall with heat"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    at: Option<Temperature>,
    /// Moisture; the case's when left out.
    #[schemars(extend("why" = "some polymers soften when wet"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    moisture: Option<Moisture>,
    /// Surface in contact; the case's when left out.
    #[schemars(extend("why" = "friction and wear belong to a pair"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    counterface: Option<String>,
    /// Life at which creep and relaxation are read; the case's when left out.
    #[schemars(extend("why" = "creep goes on: a longer life leaves less"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    life: Option<Time>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// A face of the print.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum FaceWord {
    /// The last layer.
    Top,
    /// The face on the bed.
    Bottom,
    /// A wall.
    Side,
}

/// Limits and aims stated directly, for parts that have no kind of their own.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Plain {
    /// What is demanded.
    #[schemars(extend("why" = "decides which materials are ruled out"))]
    #[serde(default)]
    limits: Vec<PlainLimit>,
    /// What is preferred.
    #[schemars(extend("why" = "decides the order of those that are left"))]
    #[serde(default)]
    aims: Vec<PlainAim>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// Names of the entries: as written, else the property, else `index-N`; repeated ones are faults.
fn names<'a>(
    entries: impl Iterator<Item = (Option<&'a str>, Option<&'a str>)>,
    faults: &mut Vec<Fault>,
) -> Vec<String> {
    let mut unnamed = 0;
    let mut seen = BTreeSet::new();
    entries
        .map(|(id, property)| {
            let name = match (id, property) {
                (Some(id), _) => id.to_owned(),
                (None, Some(property)) => property.to_owned(),
                (None, None) => {
                    unnamed += 1;
                    format!("index-{unnamed}")
                }
            };
            let sound = (1..=64).contains(&name.len())
                && name
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
            if !sound {
                faults.push(wrong(
                    "duty::bad-id",
                    &name,
                    "is no id",
                    "use small letters, digits and `-`, at most 64 of them",
                ));
            } else if !seen.insert(name.clone()) {
                faults.push(wrong(
                    "duty::same-id",
                    &name,
                    "is the name of two entries",
                    "give each an `id` of its own",
                ));
            }
            name
        })
        .collect()
}

impl PlainLimit {
    fn add(&self, name: &str, setting: &Setting, duty: &mut Duty) -> Result<(), Fault> {
        let subject = subject(
            setting,
            name,
            self.title.as_deref(),
            self.property.as_deref(),
            self.index.as_ref(),
            self.unit.as_deref(),
        )?;
        let sense = match (&self.at_least, &self.at_most, &self.between) {
            (Some(a), None, None) => LimitSense::AtLeast(figure(&subject, name, a)?),
            (None, Some(a), None) => LimitSense::AtMost(figure(&subject, name, a)?),
            (None, None, Some(span)) => {
                let unit = Unit::parse(&subject.unit)?;
                let (a, b) = parse_span(span, &unit, name)?;
                LimitSense::Between(a, b)
            }
            _ => {
                return Err(wrong(
                    "duty::one-bound",
                    name,
                    "needs one of `at_least`, `at_most` and `between`",
                    "write the one that is meant; a range goes into `between`",
                ));
            }
        };
        let class = match self.class {
            _ if subject.is_convenience() => Class::Nuisance,
            Some(class) => class.max(setting.harm_floor()),
            None => setting.class_of(Class::Damage),
        };
        let at = Conditions {
            lies: self.lies,
            face: self.face,
            moisture: self.moisture,
            counterface: self.counterface.as_deref(),
            life: self.life,
        };
        let single = |temperature_c| {
            vec![End {
                suffix: "",
                temperature_c,
            }]
        };
        let where_judged = match self.at {
            Some(t) => single(t.0),
            None if subject.is_timeless() => single(ROOM_C),
            None => ends(setting),
        };
        for end in where_judged {
            let needs = subject.needs(setting, at, end.temperature_c, duty);
            duty.limits.push(Limit {
                id: end.id(name),
                title: subject.title.clone(),
                failure: PLAIN_FAILURE,
                class,
                sense,
                unit: subject.unit.clone().into_owned(),
                needs,
                performance: subject.performance(),
                source: "the case's own bound",
            });
        }
        Ok(())
    }
}

impl PlainAim {
    fn add(&self, name: &str, setting: &Setting, duty: &mut Duty) -> Result<(), Fault> {
        let subject = subject(
            setting,
            name,
            self.title.as_deref(),
            self.property.as_deref(),
            self.index.as_ref(),
            self.unit.as_deref(),
        )?;
        let (zero, one) = (
            figure(&subject, name, &self.zero)?,
            figure(&subject, name, &self.one)?,
        );
        let log = self.scale == ScaleWord::Log;
        // Equal ends would divide by nothing.
        if zero.total_cmp(&one).is_eq() {
            return Err(wrong(
                "duty::flat-scale",
                name,
                "has the same value at `zero` and at `one`",
                "write the value that is just acceptable as `zero` and the one that is enough as `one`",
            ));
        }
        if log && !(zero > 0.0 && one > 0.0) {
            return Err(wrong(
                "duty::log-scale",
                name,
                "has a log scale that is not above 0",
                "write figures above 0, or `\"scale\": \"linear\"`",
            ));
        }
        let at = Conditions {
            lies: self.lies,
            face: self.face,
            moisture: self.moisture,
            counterface: self.counterface.as_deref(),
            life: self.life,
        };
        let (cold, hot) = setting.temperature_c;
        let temperature_c = self.at.map_or(ROOM_C.max(cold).min(hot), |t| t.0);
        let needs = subject.needs(setting, at, temperature_c, duty);
        duty.aims.push(Aim {
            id: name.to_owned(),
            title: subject.title.clone(),
            unit: subject.unit.clone().into_owned(),
            scale: ValueScale { zero, one, log },
            needs,
            performance: subject.performance(),
        });
        Ok(())
    }
}

impl Part for Plain {
    fn kind(&self) -> &'static str {
        "plain"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let mut faults = Vec::new();
        if self.limits.is_empty() && self.aims.is_empty() {
            faults.push(Fault::new(
                "duty::nothing-asked",
                "the case states neither limits nor aims",
                "put at least one entry into `limits` or `aims`",
            ));
        }
        let limit_names = names(
            self.limits
                .iter()
                .map(|l| (l.id.as_deref(), l.property.as_deref())),
            &mut faults,
        );
        let aim_names = names(
            self.aims
                .iter()
                .map(|a| (a.id.as_deref(), a.property.as_deref())),
            &mut faults,
        );
        for (limit, name) in self.limits.iter().zip(&limit_names) {
            faults.extend(limit.add(name, setting, duty).err());
        }
        for (aim, name) in self.aims.iter().zip(&aim_names) {
            faults.extend(aim.add(name, setting, duty).err());
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        if !self.limits.is_empty() {
            duty.notes.push(
                "bounds of a plain case stand as written: no factor is put on them".to_owned(),
            );
        }
        if !self.aims.is_empty() {
            duty.preference = Some(Preference::Points(
                aim_names.into_iter().map(|n| (n, 1.0)).collect(),
            ));
        }
        Ok(())
    }

    fn levers(&self) -> Vec<Lever> {
        Vec::new()
    }

    fn with_lever(&self, _name: &str, _value: f64) -> Option<Box<dyn Part>> {
        None
    }

    fn inputs(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }

    fn words(&self) -> Vec<String> {
        let said = |title: &Option<String>, on: &Option<String>, note: &String| {
            let given = |t: &Option<String>| t.clone().unwrap_or_default();
            [given(title), given(on), note.clone()]
        };
        let mut words: Vec<String> = vec![self.note.clone()];
        let (limits, aims) = (self.limits.iter(), self.aims.iter());
        words.extend(limits.flat_map(|l| said(&l.title, &l.counterface, &l.note)));
        words.extend(aims.flat_map(|a| said(&a.title, &a.counterface, &a.note)));
        words.retain(|w| !w.is_empty());
        words
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "plain",
    title: "anything else: limits and aims stated on properties or an index formula",
    read: read_inputs::<Plain>,
    schema: || schemars::schema_for!(Plain),
    example: EXAMPLE,
    formulas: &[FormulaDoc {
        limit: "index",
        formula: "the case's own, of properties in canonical units with + - * / ^ ( ), sqrt and ln",
        validity: "the unit is taken as stated; a draw without a value counts as not met",
        source: "the case's own",
    }],
    limits: &[],
    lying: None,
};

/// What every limit of a plain case says of a material that fails it.
pub const PLAIN_FAILURE: &str = "misses the bound";

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: a light, stiff pole clip",
  "part": "plain",
  "inputs": {
    "limits": [
      { "id": "hot-strength", "property": "tensile-strength", "at_least": "12 MPa", "lies": "across", "at": "30 degC", "class": "damage" },
      { "id": "light-and-stiff", "index": "tensile_modulus / density", "at_least": 1200, "unit": "MPa.cm3/g", "class": "nuisance" }
    ],
    "aims": [
      { "id": "spring", "index": "tensile_strength / tensile_modulus", "zero": 0.005, "one": 0.03, "unit": "1" },
      { "id": "cheap", "property": "price", "zero": "60 per kg", "one": "15 per kg", "scale": "log" }
    ]
  },
  "surroundings": { "temperature": "10..30 degC", "moisture": "room" },
  "assumed": ["limits", "aims", "temperature", "moisture"]
}
"#;
