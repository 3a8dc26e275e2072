//! Cases: a part kind with its inputs, and everything about the use that is the same for all.

use crate::catalog::json::preference::{WeightsInCase, preference};
use crate::catalog::json::read::{quoted, read_root, read_value};
use crate::catalog::json::tree::{Tree, check_format};
use crate::catalog::words::{known_surface, meant};
use crate::duty::{
    AIMS, BoundOverride, Case, Harm, LiesOnBed, NotAbout, Part, PartKind, Preference, Setting,
    Site, Sun, part, parts,
};
use crate::policy::{Class, Policy};
use crate::problem::{Fault, Place, Problem};
use crate::property::{Moisture, Properties};
use crate::quantity::{TemperatureRange, Time};
use jsonc_parser::common::Ranged;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, de};
use std::collections::BTreeMap;

/// The format of a case file.
const FORMAT: &str = "dutyfit.case/1";

/// What stands beside a case in its workspace.
#[derive(Clone, Copy, Debug)]
pub struct Beside<'a> {
    /// The policy.
    pub policy: &'a Policy,
    /// Properties, the workspace's own among them.
    pub properties: &'a Properties,
    /// The workspace's own surfaces.
    pub surfaces: &'a [String],
}

/// A case file.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct CaseJson {
    /// `dutyfit.case/1`.
    #[serde(rename = "format")]
    _format: String,
    /// Title.
    #[serde(default)]
    title: String,
    /// A note.
    #[serde(default)]
    note: String,
    /// Part kind, for example `bolt-washer`.
    #[serde(rename = "part")]
    _part: String,
    /// Inputs of the part kind.
    #[serde(rename = "inputs")]
    _inputs: Later,
    /// Where the part is used.
    #[serde(default)]
    surroundings: SurroundingsJson,
    /// How long it must last.
    #[serde(default)]
    life: Option<Time>,
    /// How often the load comes and goes over the life.
    #[serde(default)]
    cycles: Option<f64>,
    /// How the part lies on the bed.
    #[serde(default)]
    lies: Option<LiesOnBed>,
    /// What happens if it fails.
    #[serde(default)]
    harm: Option<Harm>,
    /// What a missed limit does; it may raise what `harm` says, never lower it.
    #[serde(default)]
    class: Option<Class>,
    /// Bounds of your own for limits of the part, by the limit's id.
    #[serde(default)]
    limits: BTreeMap<String, BoundJson>,
    /// How much each aim matters.
    #[serde(default)]
    weights: Option<WeightsInCase>,
    /// Doubtful words that this case is not about.
    #[serde(default)]
    not_about: Vec<NotAbout>,
    /// Names of entries that were not known and are guesses.
    #[serde(default)]
    assumed: Vec<String>,
}

/// Read in a second step, once the part kind is known.
#[derive(Debug)]
struct Later;

impl JsonSchema for Later {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Inputs".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "object" })
    }
}

impl<'de> Deserialize<'de> for Later {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Skip;
        impl<'de> de::Visitor<'de> for Skip {
            type Value = Later;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("an object with the inputs of the part")
            }
            fn visit_map<A: de::MapAccess<'de>>(self, mut map: A) -> Result<Later, A::Error> {
                while map
                    .next_entry::<de::IgnoredAny, de::IgnoredAny>()?
                    .is_some()
                {}
                Ok(Later)
            }
        }
        d.deserialize_map(Skip)
    }
}

/// Where a part is used.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SurroundingsJson {
    /// Temperature in use, one or a range.
    #[serde(default)]
    temperature: Option<TemperatureRange>,
    /// Temperature in storage, where it goes further.
    #[serde(default)]
    storage: Option<TemperatureRange>,
    /// Moisture.
    #[serde(default)]
    moisture: Option<Moisture>,
    /// Surface in contact, for example `steel-smooth`.
    #[serde(default)]
    counterface: Option<String>,
    /// Sunlight.
    #[serde(default)]
    sun: Option<Sun>,
    /// Indoors or outdoors; outdoors where the sun is, when left out.
    #[serde(default)]
    place: Option<Site>,
    /// Chemicals and cleaners that touch it, in plain words: `petrol`, `vinegar`, `dish soap`.
    #[serde(default)]
    chemicals: Vec<String>,
    /// A note.
    #[serde(default)]
    note: String,
}

/// A bound of the case's own.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BoundJson {
    /// Least value, in the limit's unit or one that fits.
    #[serde(default)]
    at_least: Option<AmountText>,
    /// Largest value.
    #[serde(default)]
    at_most: Option<AmountText>,
    /// Class of this limit.
    #[serde(default)]
    class: Option<Class>,
    /// A note.
    #[serde(default)]
    note: String,
}

/// A quantity as text with its unit, or a bare number where the limit has no unit.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
enum AmountText {
    /// `"300 N"`.
    #[expect(dead_code, reason = "stands for the schema only")]
    Number(f64),
    /// `1.2`.
    Text(String),
}

impl AmountText {
    fn into_text(self) -> String {
        match self {
            AmountText::Number(x) => x.to_string(),
            AmountText::Text(t) => t,
        }
    }
}

impl<'de> Deserialize<'de> for AmountText {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Amount;
        impl de::Visitor<'_> for Amount {
            type Value = AmountText;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a quantity such as \"300 N\", or a bare number")
            }
            fn visit_str<E>(self, v: &str) -> Result<AmountText, E> {
                Ok(AmountText::Text(v.to_owned()))
            }
            fn visit_f64<E>(self, v: f64) -> Result<AmountText, E> {
                Ok(AmountText::Text(v.to_string()))
            }
            fn visit_i64<E>(self, v: i64) -> Result<AmountText, E> {
                Ok(AmountText::Text(v.to_string()))
            }
            fn visit_u64<E>(self, v: u64) -> Result<AmountText, E> {
                Ok(AmountText::Text(v.to_string()))
            }
        }
        d.deserialize_any(Amount)
    }
}

/// Names of the entries of `surroundings` that a case may leave out.
pub(super) const SURROUNDINGS: &[&str] = &[
    "temperature",
    "storage",
    "moisture",
    "counterface",
    "sun",
    "place",
    "chemicals",
];
/// Names of the entries of `harm`.
pub(super) const HARM: &[&str] = &["hurts", "damages", "replaceable", "inspected"];
/// Names of the plain entries of a case.
pub(super) const PLAIN: &[&str] = &["life", "cycles", "lies", "class", "title", "note", "part"];

/// Input names of a part kind, from its schema.
pub(super) fn input_names(kind: &PartKind) -> Vec<String> {
    (kind.schema)()
        .get("properties")
        .and_then(serde_json::Value::as_object)
        .map(|p| p.keys().cloned().collect())
        .unwrap_or_default()
}

/// The part kind that a file names, whatever else is wrong with it.
pub(super) fn kind_of(tree: &Tree<'_>) -> Option<&'static PartKind> {
    part(&tree.root().get_string("part")?.value)
}

/// Reads a case without changes.
pub(super) fn read(file: &str, text: &str, beside: Beside<'_>) -> Result<Case, Vec<Problem>> {
    let tree = Tree::parse(file, text)?;
    let mut found = read_root::<CaseJson>(&tree);
    check_format(&tree, FORMAT, &mut found.problems);
    let part = read_part(&tree, &mut found.problems);
    let mut later = Vec::new();
    let case = found
        .value
        .take()
        .and_then(|json| case(&tree, json, part, beside, &mut later));
    if let Some(case) = &case
        && let Err(faults) = case.duty()
    {
        later.extend(faults.into_iter().map(|f| {
            let at = place_of_fault(&tree, case, &f);
            f.at(at)
        }));
    }
    found.add_later(later);
    match case {
        Some(case) if found.problems.is_empty() => Ok(case),
        _ => {
            found.problems.sort_by(|a, b| a.at.cmp(&b.at));
            Err(found.problems)
        }
    }
}

fn read_part(tree: &Tree<'_>, problems: &mut Vec<Problem>) -> Option<Box<dyn Part>> {
    let name = tree.root().get_string("part")?;
    let Some(kind) = part(&name.value) else {
        problems.push(
            Fault::new(
                "part::unknown",
                format!("`{}` is not a part kind", name.value),
                meant(&name.value, parts().iter().map(|p| p.id)),
            )
            .at(tree.place_of(name.range, "part")),
        );
        return None;
    };
    let inputs = &tree.root().get("inputs")?.value;
    inputs.as_object()?;
    let mut found = read_value(tree, Some(inputs), "inputs", &kind.read);
    problems.append(&mut found.problems);
    found.value
}

fn case(
    tree: &Tree<'_>,
    json: CaseJson,
    part: Option<Box<dyn Part>>,
    beside: Beside<'_>,
    problems: &mut Vec<Problem>,
) -> Option<Case> {
    let mut defaults = Vec::new();
    let (limits, notes) = bounds(tree, json.limits, problems);
    let own_aims = plain_aims(tree);
    let known: Vec<&str> = AIMS
        .iter()
        .map(|a| a.id)
        .chain(own_aims.iter().map(String::as_str))
        .collect();
    let preference: Option<Preference> = json
        .weights
        .and_then(|w| preference(tree, "weights", w, Some(&known), problems));
    if let Some(kind) = kind_of(tree) {
        check_assumed(tree, kind, &json.assumed, problems);
    }
    let mut setting = Setting {
        class: json.class,
        factors: beside.policy.classes.map(|c| c.factor),
        properties: beside.properties.clone(),
        notes,
        ..Setting::default()
    };
    setting.lies = or_default(json.lies, setting.lies, "lies", "open", &mut defaults);
    match json.life {
        Some(Time(h)) if h > 0.0 => setting.life_h = h,
        Some(Time(h)) => problems.push(
            Fault::new(
                "case::life",
                format!("a life of {h} h is none"),
                "write how long the part must last, for example `5 year`",
            )
            .at(tree.at("life")),
        ),
        None => defaults.push(("life".to_owned(), "1 year".to_owned())),
    }
    setting.cycles = json.cycles;
    if let Some(n) = json.cycles.filter(|n| !(*n >= 1.0 && n.is_finite())) {
        problems.push(
            Fault::new(
                "case::cycles",
                format!("`cycles` is {n}, and a load comes at least once"),
                "write how often the load comes and goes over the life, for example 2000",
            )
            .at(tree.at("cycles")),
        );
    }
    surroundings(
        tree,
        json.surroundings,
        beside,
        &mut setting,
        &mut defaults,
        problems,
    );
    setting.harm = json.harm.unwrap_or_else(|| {
        defaults.push(("hurts".to_owned(), "nobody".to_owned()));
        Harm::default()
    });
    let part = part?;
    Some(Case {
        title: if json.title.is_empty() {
            part.kind().to_owned()
        } else {
            json.title
        },
        note: json.note,
        part,
        setting,
        limits,
        preference,
        not_about: json.not_about,
        assumed: json.assumed,
        defaults,
    })
}

fn or_default<T>(
    given: Option<T>,
    default: T,
    name: &str,
    said: &str,
    defaults: &mut Vec<(String, String)>,
) -> T {
    given.unwrap_or_else(|| {
        defaults.push((name.to_owned(), said.to_owned()));
        default
    })
}

fn surroundings(
    tree: &Tree<'_>,
    json: SurroundingsJson,
    beside: Beside<'_>,
    setting: &mut Setting,
    defaults: &mut Vec<(String, String)>,
    problems: &mut Vec<Problem>,
) {
    match json.temperature {
        Some(t) => setting.temperature_c = (t.low_c, t.high_c),
        None => defaults.push(("temperature".to_owned(), "23 degC".to_owned())),
    }
    setting.storage_c = json.storage.map(|t| (t.low_c, t.high_c));
    setting.moisture = or_default(
        json.moisture,
        setting.moisture,
        "moisture",
        "room",
        defaults,
    );
    setting.sun = or_default(json.sun, setting.sun, "sun", "none", defaults);
    let (place, said) = match setting.sun {
        Sun::Outdoors => (Site::Outdoors, "outdoors"),
        Sun::None | Sun::Indoors => (Site::Indoors, "indoors"),
    };
    setting.place = or_default(json.place, place, "place", said, defaults);
    setting.chemicals = json.chemicals;
    for (name, range) in [
        ("temperature", Some(setting.temperature_c)),
        ("storage", setting.storage_c),
    ] {
        if range.is_some_and(|(low, _)| low < -273.15) {
            problems.push(
                Fault::new(
                    "case::too-cold",
                    "nothing is colder than -273.15 degC",
                    "correct the temperature",
                )
                .at(tree.at(&format!("surroundings.{name}"))),
            );
        }
    }
    if let Some(c) = &json.counterface
        && let Err(f) = known_surface(c, beside.surfaces)
    {
        problems.push(f.at(tree.at("surroundings.counterface")));
    }
    setting.counterface = json.counterface;
    setting.notes.push(json.note);
}

fn bounds(
    tree: &Tree<'_>,
    json: BTreeMap<String, BoundJson>,
    problems: &mut Vec<Problem>,
) -> (BTreeMap<String, BoundOverride>, Vec<String>) {
    let mut out = BTreeMap::new();
    let mut notes = Vec::new();
    for (id, b) in json {
        if b.at_least.is_none() && b.at_most.is_none() && b.class.is_none() {
            problems.push(
                Fault::new(
                    "case::empty-bound",
                    format!("`{id}` gets no bound and no class"),
                    "write for example `{ \"at_least\": \"300 N\" }`, or take it out",
                )
                .at(tree.name_at("limits", &id)),
            );
        }
        notes.push(b.note);
        out.insert(
            id,
            BoundOverride {
                at_least: b.at_least.map(AmountText::into_text),
                at_most: b.at_most.map(AmountText::into_text),
                class: b.class,
            },
        );
    }
    (out, notes)
}

/// Ids of the aims that a plain case declares in its inputs, as written or as made up.
fn plain_aims(tree: &Tree<'_>) -> Vec<String> {
    let Some(aims) = tree
        .root()
        .get_object("inputs")
        .and_then(|i| i.get_array("aims"))
    else {
        return Vec::new();
    };
    let mut index = 0;
    aims.elements
        .iter()
        .filter_map(|a| a.as_object())
        .filter_map(|a| {
            if a.get("index").is_some() {
                index += 1;
            }
            let text = |k: &str| a.get_string(k).map(|s| s.value.to_string());
            text("id")
                .or_else(|| text("property"))
                .or_else(|| a.get("index").map(|_| format!("index-{index}")))
        })
        .collect()
}

fn check_assumed(
    tree: &Tree<'_>,
    kind: &PartKind,
    assumed: &[String],
    problems: &mut Vec<Problem>,
) {
    let inputs = input_names(kind);
    let known: Vec<&str> = inputs
        .iter()
        .map(String::as_str)
        .chain(SURROUNDINGS.iter().copied())
        .chain(PLAIN.iter().copied())
        .chain(HARM.iter().copied())
        .chain(["harm"])
        .collect();
    for (i, name) in assumed.iter().enumerate() {
        let last = name.rsplit('.').next().unwrap_or(name);
        if !known.contains(&last) {
            problems.push(
                Fault::new(
                    "case::unknown-assumed",
                    format!("`{name}` names no entry of this case"),
                    meant(name, known.iter().copied()),
                )
                .at(tree.at(&format!("assumed[{i}]"))),
            );
        }
    }
}

/// The place of a fault that the part's mechanics found: the first entry that it names.
fn place_of_fault(tree: &Tree<'_>, case: &Case, fault: &Fault) -> Place {
    let root = tree.root();
    for name in quoted(&fault.what) {
        let first = name.split(['.', '[']).next().unwrap_or(name);
        if case.limits.contains_key(name) {
            return tree.name_at("limits", name);
        }
        for within in ["inputs", "surroundings", "harm"] {
            if root
                .get_object(within)
                .is_some_and(|o| o.get(first).is_some())
            {
                return tree.at(&format!("{within}.{name}"));
            }
        }
        if root.get(first).is_some() {
            return tree.at(name);
        }
        if let Some(i) = case
            .not_about
            .iter()
            .position(|n| n.caution == name || n.word == name)
        {
            return tree.at(&format!("not_about[{i}]"));
        }
    }
    let inputs = root.get("inputs").map(|p| p.name.range());
    match inputs {
        Some(range) => tree.place_of(range, "inputs"),
        None => tree.at(""),
    }
}
