//! The policy figures: requirements, factors and assumptions that a workspace may tighten.
//!
//! Every default is an assumption of ours until sourced; `policy.json` may change them.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a missed limit does.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Class {
    /// Annoys; comfort, cost and looks are always this.
    Nuisance,
    /// Breaks things.
    Damage,
    /// Hurts somebody.
    Injury,
    /// Maims or kills.
    Severe,
}

impl Class {
    /// All classes, mildest first.
    pub const ALL: [Class; 4] = [Class::Nuisance, Class::Damage, Class::Injury, Class::Severe];
    /// The word in files.
    pub fn word(self) -> &'static str {
        match self {
            Class::Nuisance => "nuisance",
            Class::Damage => "damage",
            Class::Injury => "injury",
            Class::Severe => "severe",
        }
    }
}

/// What a class asks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassRule {
    /// Chance that the next part meets all limits of the class.
    pub chance: f64,
    /// Factor on forces, torques, masses and pressures of the case.
    pub factor: f64,
    /// Own specimens a limit must rest on; 0 lets a stated value do.
    pub specimens: u32,
    /// Own prints.
    pub prints: u32,
}

/// All policy figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Policy {
    /// Rules by class, in the order of [`Class::ALL`].
    pub classes: [ClassRule; 4],
    /// Ruled out where a limit's chance on own or stated evidence is below this.
    pub ruled_out: f64,
    /// Ruled out where a limit's chance on borrowed evidence is below this.
    pub ruled_out_borrowed: f64,
    /// Ratio of print-to-print to within-print standard deviation, as assumed before data.
    pub rho: f64,
    /// Degrees of freedom about which a pooled spread counts before the catalog shows how alike materials
    /// scatter; at or below `pool_floor` nothing is learnt, and it is the most.
    pub pool_cap: f64,
    /// Degrees of freedom of a default spread, and the least a pool must have.
    pub pool_floor: f64,
    /// Spread of a stated value without one: share on log scales.
    pub stated_share: f64,
    /// The same in points of 100 on plain scales.
    pub stated_points: f64,
    /// A figure counts within this many K of its test temperature.
    pub temperature_window_k: f64,
    /// Dried figures count for a wet duty below this uptake, %.
    pub dry_for_wet_uptake_percent: f64,
    /// Standard drift per decade past the last reading, share.
    pub drift_per_decade: f64,
    /// Decades past the data from which a figure is flagged.
    pub time_flag_decades: f64,
    /// Decades past the data from which a figure is absent.
    pub time_absent_decades: f64,
    /// Share of short-time strength taken as sustained where nothing was run.
    pub sustained_share: f64,
    /// Bench minutes per test id.
    pub bench_minutes: BTreeMap<String, f64>,
    /// Currency word for prices.
    pub currency: String,
}

/// A demand of a class that a workspace has made weaker than its default.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loosened {
    /// Class.
    pub class: Class,
    /// Which demand.
    pub what: &'static str,
    /// Default.
    pub default: f64,
    /// In this workspace.
    pub now: f64,
}

impl Policy {
    /// Every demand above `nuisance` that is weaker than its default.
    pub fn loosened(&self) -> Vec<Loosened> {
        let usual = Policy::default();
        let mut out = Vec::new();
        for class in Class::ALL.into_iter().filter(|c| *c != Class::Nuisance) {
            let (now, default) = (self.rule(class), usual.rule(class));
            let demands = [
                ("chance", now.chance, default.chance),
                ("factor on loads", now.factor, default.factor),
                (
                    "own specimens",
                    f64::from(now.specimens),
                    f64::from(default.specimens),
                ),
                (
                    "own prints",
                    f64::from(now.prints),
                    f64::from(default.prints),
                ),
            ];
            for (what, now, default) in demands {
                if now < default {
                    out.push(Loosened {
                        class,
                        what,
                        default,
                        now,
                    });
                }
            }
        }
        out
    }

    /// The rule of a class.
    pub fn rule(&self, class: Class) -> ClassRule {
        self.classes[class as usize]
    }
}

impl Default for Policy {
    fn default() -> Self {
        let rule = |chance, factor, specimens, prints| ClassRule {
            chance,
            factor,
            specimens,
            prints,
        };
        Policy {
            classes: [
                rule(0.80, 1.0, 0, 0),
                rule(0.90, 1.25, 2, 1),
                rule(0.95, 1.5, 3, 1),
                rule(0.99, 2.0, 6, 3),
            ],
            ruled_out: 0.5,
            ruled_out_borrowed: 0.05,
            rho: 1.0,
            pool_cap: 8.0,
            pool_floor: 4.0,
            stated_share: 0.25,
            stated_points: 25.0,
            temperature_window_k: 15.0,
            dry_for_wet_uptake_percent: 0.5,
            drift_per_decade: 0.05,
            time_flag_decades: 1.0,
            time_absent_decades: 3.0,
            sustained_share: 0.5,
            bench_minutes: [
                ("tensile", 25.0),
                ("flexure", 20.0),
                ("impact", 15.0),
                ("creep", 60.0),
                ("compression-hold", 45.0),
                ("sliding-wear", 90.0),
                ("static-friction", 15.0),
                ("rebound", 10.0),
                ("heat-softening", 60.0),
                ("hardness", 10.0),
                ("bolted-washer", 40.0),
                ("density", 10.0),
                ("water-uptake", 30.0),
                ("ring-stretch", 40.0),
                ("torque-hold", 20.0),
                ("layer-adhesion", 30.0),
                ("print-trial", 60.0),
                ("abrasion", 45.0),
                ("custom", 20.0),
            ]
            .into_iter()
            .map(|(k, v)| (k.to_owned(), v))
            .collect(),
            currency: "money".to_owned(),
        }
    }
}
