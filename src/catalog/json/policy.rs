//! `policy.json`: each figure with its status; what is left out keeps its default.

use crate::bench;
use crate::catalog::json::read::read_root;
use crate::catalog::json::tree::{Tree, check_format};
use crate::catalog::words::meant;
use crate::policy::{Class, ClassRule, Policy};
use crate::problem::{Fault, Problem};
use crate::quantity::{TemperatureSpan, Time, Unit, parse_amount};
use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, de};
use std::collections::BTreeMap;

/// The format of a policy file.
const FORMAT: &str = "dutyfit.policy/1";

/// A figure and how well it is founded.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Figure<T> {
    /// The figure.
    value: T,
    /// `assumed` until sourced; else the source.
    #[serde(default, rename = "status")]
    _status: String,
    /// A note.
    #[serde(default, rename = "note")]
    _note: String,
}

/// A share: `"25 %"`, or a bare number such as 0.25.
#[derive(Clone, Copy, Debug, PartialEq, JsonSchema)]
#[schemars(extend("type" = ["string", "number"]))]
struct Share(f64);

impl<'de> Deserialize<'de> for Share {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        struct Read;
        impl de::Visitor<'_> for Read {
            type Value = Share;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a share such as \"25 %\" or 0.25")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Share, E> {
                Unit::parse("1")
                    .and_then(|u| parse_amount(v, &u, "share"))
                    .map(Share)
                    .map_err(|f| E::custom(crate::quantity::fault_message(&f)))
            }
            fn visit_f64<E>(self, v: f64) -> Result<Share, E> {
                Ok(Share(v))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Share, E> {
                i32::try_from(v)
                    .map(|v| Share(f64::from(v)))
                    .map_err(|_| E::custom("a share this large cannot be meant"))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Share, E> {
                u32::try_from(v)
                    .map(|v| Share(f64::from(v)))
                    .map_err(|_| E::custom("a share this large cannot be meant"))
            }
        }
        d.deserialize_any(Read)
    }
}

/// What a class asks.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClassJson {
    /// Chance that the next part meets all limits of the class.
    #[serde(default)]
    chance: Option<Figure<Share>>,
    /// Factor on forces, torques, masses and pressures of the case.
    #[serde(default)]
    factor: Option<Figure<f64>>,
    /// Own specimens a limit must rest on; 0 lets a stated value do.
    #[serde(default)]
    specimens: Option<Figure<u32>>,
    /// Own prints.
    #[serde(default)]
    prints: Option<Figure<u32>>,
    /// A note.
    #[serde(default, rename = "note")]
    _note: String,
}

/// The classes.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ClassesJson {
    /// Annoys.
    #[serde(default)]
    nuisance: ClassJson,
    /// Breaks things.
    #[serde(default)]
    damage: ClassJson,
    /// Hurts somebody.
    #[serde(default)]
    injury: ClassJson,
    /// Maims or kills.
    #[serde(default)]
    severe: ClassJson,
}

/// A policy file; everything but `format` may be left out and keeps its default.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PolicyJson {
    /// `dutyfit.policy/1`.
    #[serde(rename = "format")]
    _format: String,
    /// What each class asks.
    #[serde(default)]
    classes: ClassesJson,
    /// Ruled out where a limit's chance on own or stated evidence is below this.
    #[serde(default)]
    ruled_out: Option<Figure<Share>>,
    /// Ruled out where a limit's chance on borrowed evidence is below this.
    #[serde(default)]
    ruled_out_borrowed: Option<Figure<Share>>,
    /// Print-to-print over within-print standard deviation, before data.
    #[serde(default)]
    rho: Option<Figure<f64>>,
    /// Degrees of freedom about which a pooled spread counts before the catalog shows how alike materials scatter.
    #[serde(default)]
    pool_cap: Option<Figure<f64>>,
    /// Degrees of freedom of a default spread, and the least a pool must have.
    #[serde(default)]
    pool_floor: Option<Figure<f64>>,
    /// Spread of a stated value without one, on log scales.
    #[serde(default)]
    stated_spread: Option<Figure<Share>>,
    /// The same in points of 100 on plain scales.
    #[serde(default)]
    stated_points: Option<Figure<f64>>,
    /// How far from its test temperature a figure counts.
    #[serde(default)]
    temperature_window: Option<Figure<TemperatureSpan>>,
    /// Dried figures count for a wet duty below this uptake of water.
    #[serde(default)]
    dry_for_wet_uptake: Option<Figure<Share>>,
    /// Standard drift per decade of time past the last reading.
    #[serde(default)]
    drift_per_decade: Option<Figure<Share>>,
    /// Decades past the last reading from which a figure is flagged.
    #[serde(default)]
    time_flag_decades: Option<Figure<f64>>,
    /// Decades past the last reading from which a figure is absent.
    #[serde(default)]
    time_absent_decades: Option<Figure<f64>>,
    /// Share of short-time strength taken as sustained where nothing was run.
    #[serde(default)]
    sustained_share: Option<Figure<Share>>,
    /// Time at the bench that one run of a test takes, by test.
    #[serde(default)]
    bench_time: BTreeMap<String, Figure<Time>>,
    /// Word for prices.
    #[serde(default)]
    currency: Option<String>,
    /// A note.
    #[serde(default, rename = "note")]
    _note: String,
}

/// Reads a policy file.
///
/// # Errors
/// Every Problem of the file at once.
pub(super) fn read(file: &str, text: &str) -> Result<Policy, Vec<Problem>> {
    let tree = Tree::parse(file, text)?;
    let mut found = read_root::<PolicyJson>(&tree);
    check_format(&tree, FORMAT, &mut found.problems);
    let mut later = Vec::new();
    let policy = found
        .value
        .take()
        .map(|json| policy(&tree, json, &mut later));
    found.add_later(later);
    match policy {
        Some(policy) if found.problems.is_empty() => Ok(policy),
        _ => {
            found.problems.sort_by(|a, b| a.at.cmp(&b.at));
            Err(found.problems)
        }
    }
}

struct Check<'t, 'a, 'p> {
    tree: &'t Tree<'a>,
    problems: &'p mut Vec<Problem>,
}

impl Check<'_, '_, '_> {
    /// The figure given, if it lies within its bounds, else the default.
    fn within(
        &mut self,
        given: Option<f64>,
        default: f64,
        path: &str,
        (low, high): (f64, f64),
    ) -> f64 {
        let Some(x) = given else { return default };
        if (low..=high).contains(&x) {
            return x;
        }
        self.problems.push(
            Fault::new(
                "policy::out-of-range",
                format!("{x} is outside {low} to {high}"),
                format!("the default is {default}"),
            )
            .at(self.tree.at(&format!("{path}.value"))),
        );
        default
    }
}

/// Bounds of a chance: certainty cannot be asked for.
const CHANCE: (f64, f64) = (0.0, 0.9999);
const SHARE: (f64, f64) = (0.0, 1.0);
const MANY: (f64, f64) = (0.0, 1_000.0);
const POSITIVE: (f64, f64) = (1e-3, 1_000.0);

fn value<T>(f: Option<Figure<T>>) -> Option<T> {
    f.map(|f| f.value)
}

fn share(f: Option<Figure<Share>>) -> Option<f64> {
    value(f).map(|s| s.0)
}

fn policy(tree: &Tree<'_>, json: PolicyJson, problems: &mut Vec<Problem>) -> Policy {
    let usual = Policy::default();
    let mut c = Check { tree, problems };
    let rules = json.classes;
    let mut classes = usual.classes;
    for (class, rule) in
        Class::ALL
            .into_iter()
            .zip([rules.nuisance, rules.damage, rules.injury, rules.severe])
    {
        let default = usual.rule(class);
        let path = |what: &str| format!("classes.{}.{what}", class.word());
        if let Some(slot) = classes.get_mut(class as usize) {
            *slot = ClassRule {
                chance: c.within(share(rule.chance), default.chance, &path("chance"), CHANCE),
                factor: c.within(
                    value(rule.factor),
                    default.factor,
                    &path("factor"),
                    (0.1, 100.0),
                ),
                specimens: value(rule.specimens).unwrap_or(default.specimens),
                prints: value(rule.prints).unwrap_or(default.prints),
            };
        }
    }
    let mut bench_minutes = usual.bench_minutes.clone();
    for (test, time) in json.bench_time {
        if bench::find(&test).is_none() {
            let at = c.tree.name_at("bench_time", &test);
            c.problems.push(
                Fault::new(
                    "policy::unknown-test",
                    format!("`{test}` is not a test"),
                    meant(&test, bench::tests().iter().map(|t| t.id())),
                )
                .at(at),
            );
        }
        let default = usual.bench_minutes.get(&test).copied().unwrap_or(0.0);
        let path = format!("bench_time.{test}");
        let minutes = minutes_of(time.value);
        bench_minutes.insert(test, c.within(Some(minutes), default, &path, (0.1, 1e5)));
    }
    let pool_cap = c.within(value(json.pool_cap), usual.pool_cap, "pool_cap", POSITIVE);
    let pool_floor = c.within(
        value(json.pool_floor),
        usual.pool_floor,
        "pool_floor",
        POSITIVE,
    );
    if pool_floor > pool_cap {
        let at = c.tree.at("pool_floor");
        c.problems.push(
            Fault::new(
                "policy::pool",
                format!("`pool_floor` is {pool_floor}, above `pool_cap` of {pool_cap}"),
                "write a floor at or below the cap",
            )
            .at(at),
        );
    }
    let time_flag_decades = c.within(
        value(json.time_flag_decades),
        usual.time_flag_decades,
        "time_flag_decades",
        MANY,
    );
    Policy {
        classes,
        ruled_out: c.within(share(json.ruled_out), usual.ruled_out, "ruled_out", SHARE),
        ruled_out_borrowed: c.within(
            share(json.ruled_out_borrowed),
            usual.ruled_out_borrowed,
            "ruled_out_borrowed",
            SHARE,
        ),
        rho: c.within(value(json.rho), usual.rho, "rho", MANY),
        pool_cap,
        pool_floor,
        stated_share: c.within(
            share(json.stated_spread),
            usual.stated_share,
            "stated_spread",
            (1e-3, 10.0),
        ),
        stated_points: c.within(
            value(json.stated_points),
            usual.stated_points,
            "stated_points",
            POSITIVE,
        ),
        temperature_window_k: c.within(
            value(json.temperature_window).map(|w| w.0),
            usual.temperature_window_k,
            "temperature_window",
            MANY,
        ),
        dry_for_wet_uptake_percent: c.within(
            share(json.dry_for_wet_uptake).map(percent_of),
            usual.dry_for_wet_uptake_percent,
            "dry_for_wet_uptake",
            (0.0, 100.0),
        ),
        drift_per_decade: c.within(
            share(json.drift_per_decade),
            usual.drift_per_decade,
            "drift_per_decade",
            SHARE,
        ),
        time_flag_decades,
        time_absent_decades: c.within(
            value(json.time_absent_decades),
            usual.time_absent_decades,
            "time_absent_decades",
            (time_flag_decades, MANY.1),
        ),
        sustained_share: c.within(
            share(json.sustained_share),
            usual.sustained_share,
            "sustained_share",
            SHARE,
        ),
        bench_minutes,
        currency: json.currency.unwrap_or(usual.currency),
    }
}

fn minutes_of(t: Time) -> f64 {
    const MINUTES_AN_HOUR: f64 = 60.0;
    // Written in minutes, a whole number comes back whole.
    (t.0 * MINUTES_AN_HOUR * 1e6).round() / 1e6
}

fn percent_of(share: f64) -> f64 {
    (share * 100.0 * 1e9).round() / 1e9
}
