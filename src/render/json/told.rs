//! What new readings mean, as a part of `dutyfit.record/1` and its kin.

use super::case::{NotAboutOut, StandingWord};
use super::{computed, drawn};
use crate::advise::{Doers, Driver};
use crate::belief::Oddity;
use crate::judge::LimitResult;
use crate::property::PropertyId;
use crate::quantity::Reading;
use crate::render::Told;
use schemars::JsonSchema;
use serde::Serialize;

/// What new readings mean.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ToldOut {
    /// Readings that sit oddly; none was refused for it.
    odd: Vec<OddOut>,
    /// New readings beside earlier lots and the polymer.
    beside: Vec<BesideOut>,
    /// How many cases were judged before and after.
    cases: usize,
    /// Cases of which something moved.
    moved: Vec<CaseOut>,
    /// Cases that are declined or could not be judged.
    not_judged: Vec<String>,
}

/// A reading that sits oddly.
#[derive(Debug, Serialize, JsonSchema)]
struct OddOut {
    /// Run.
    run: String,
    /// Specimen.
    specimen: u32,
    /// Material.
    material: String,
    /// Property.
    property: PropertyId,
    /// The figure, or the low end of a range; null where it is not bounded below.
    low: Option<f64>,
    /// The figure, or the high end of a range; null where it is not bounded above.
    high: Option<f64>,
    /// Unit.
    unit: String,
    /// Middle of the others, where it is far from them.
    #[serde(skip_serializing_if = "Option::is_none")]
    middle: Option<f64>,
    /// Pooled spreads from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    spreads: Option<f64>,
    /// Handbook range of the polymer, where it is outside.
    #[serde(skip_serializing_if = "Option::is_none")]
    handbook: Option<[f64; 2]>,
    /// How well that range is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    status: Option<String>,
}

/// New readings of one property under one condition.
#[derive(Debug, Serialize, JsonSchema)]
struct BesideOut {
    /// Material.
    material: String,
    /// Property.
    property: PropertyId,
    /// Hours after loading at which curves were read; null for figures that are no curves.
    hours: Option<f64>,
    /// Lot of the new readings.
    lot: Option<String>,
    /// New exact readings.
    specimens: usize,
    /// Their mean.
    mean: Option<f64>,
    /// Unit.
    unit: String,
    /// Earlier readings, lot by lot.
    earlier: Vec<LotOut>,
    /// Means of the other materials of the polymer, lowest and highest.
    polymer: Option<PolymerOut>,
}

/// Earlier readings of one lot.
#[derive(Debug, Serialize, JsonSchema)]
struct LotOut {
    /// Lot.
    lot: Option<String>,
    /// Readings.
    specimens: usize,
    /// Prints.
    prints: usize,
    /// Mean.
    mean: Option<f64>,
    /// How far the new mean lies above, in standard errors of the difference.
    errors: Option<f64>,
    /// Whether that is more than scatter explains.
    told_apart: bool,
}

/// The other materials of a polymer.
#[derive(Debug, Serialize, JsonSchema)]
struct PolymerOut {
    /// Polymer.
    polymer: String,
    /// How many.
    materials: usize,
    /// Lowest mean.
    low: Option<f64>,
    /// Highest mean.
    high: Option<f64>,
}

/// A case of which something moved.
#[derive(Debug, Serialize, JsonSchema)]
struct CaseOut {
    /// Case.
    case: String,
    /// Standings that changed.
    standings: Vec<MovedOut>,
    /// The first three, where they changed.
    first: Option<FirstOut>,
    /// Doubtful words that the case answers.
    not_about: Vec<NotAboutOut>,
}

/// A standing that changed.
#[derive(Debug, Serialize, JsonSchema)]
struct MovedOut {
    /// Material.
    material: String,
    /// Before.
    before: StandingWord,
    /// Now.
    now: StandingWord,
    /// Which runs did it.
    by: ByOut,
    /// Whether one of them tested this material.
    own: bool,
    /// What moved it.
    driver: DriverWord,
    /// The limit that governs.
    limit: Option<String>,
    /// Its chance and typical figure before.
    limit_before: Option<LimitOut>,
    /// And now.
    limit_now: Option<LimitOut>,
}

/// A limit's prediction.
#[derive(Debug, Serialize, JsonSchema)]
struct LimitOut {
    /// Chance that the next part meets it.
    chance: Option<f64>,
    /// Low, median, high of the next part.
    predicted: Option<[Option<f64>; 3]>,
    /// Unit.
    unit: String,
}

/// What moved a standing.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum DriverWord {
    /// More or better evidence, or less.
    Evidence,
    /// The typical figure.
    Level,
    /// The spread alone.
    SpreadAlone,
    /// The spread more than the typical figure.
    SpreadMostly,
}

/// Which runs did it, found by leaving each out.
#[derive(Debug, Serialize, JsonSchema)]
struct ByOut {
    /// `each`: without any one of them it would not stand so; `any-one`: each alone makes the move; `together`.
    how: &'static str,
    /// Runs.
    runs: Vec<String>,
}

/// The first three before and now.
#[derive(Debug, Serialize, JsonSchema)]
struct FirstOut {
    /// Before.
    before: Vec<String>,
    /// Now.
    now: Vec<String>,
    /// Which runs did it.
    by: ByOut,
}

impl From<&Doers> for ByOut {
    fn from(d: &Doers) -> Self {
        ByOut {
            how: match d {
                Doers::Each(_) => "each",
                Doers::AnyOne(_) => "any-one",
                Doers::Together(_) => "together",
            },
            runs: d.runs().to_vec(),
        }
    }
}

impl From<&LimitResult> for LimitOut {
    fn from(l: &LimitResult) -> Self {
        LimitOut {
            chance: l.shown_chance().map(Reading::as_exact).and_then(drawn),
            predicted: l.predicted.map(|p| [p.low, p.median, p.high].map(drawn)),
            unit: l.unit.clone(),
        }
    }
}

impl ToldOut {
    /// The published shape of what new readings mean.
    pub(crate) fn new(told: &Told) -> Self {
        let unit = |id: &PropertyId| {
            told.properties
                .get(id.as_str())
                .map_or_else(String::new, |p| p.unit.to_string())
        };
        ToldOut {
            odd: told
                .odd
                .iter()
                .map(|o| {
                    let (low, high) = o.figure.ends();
                    let (mut middle, mut spreads, mut handbook, mut status) =
                        (None, None, None, None);
                    match &o.why {
                        Oddity::Apart {
                            middle: m,
                            spreads: s,
                            ..
                        } => {
                            middle = computed(*m);
                            spreads = computed(*s);
                        }
                        Oddity::Handbook {
                            low,
                            high,
                            status: s,
                        } => {
                            handbook = Some([*low, *high]);
                            status = Some(s.clone());
                        }
                    }
                    OddOut {
                        run: o.run.clone(),
                        specimen: o.specimen,
                        material: o.material.clone(),
                        property: o.property.clone(),
                        low: computed(low),
                        high: computed(high),
                        unit: unit(&o.property),
                        middle,
                        spreads,
                        handbook,
                        status,
                    }
                })
                .collect(),
            beside: told
                .beside
                .iter()
                .map(|b| BesideOut {
                    material: b.material.clone(),
                    property: b.property.clone(),
                    hours: b.hours,
                    lot: b.lot.clone(),
                    specimens: b.specimens,
                    mean: computed(b.mean),
                    unit: unit(&b.property),
                    earlier: b
                        .earlier
                        .iter()
                        .map(|e| LotOut {
                            lot: e.lot.clone(),
                            specimens: e.specimens,
                            prints: e.prints,
                            mean: computed(e.mean),
                            errors: computed(e.errors),
                            told_apart: e.told_apart(),
                        })
                        .collect(),
                    polymer: b.polymer.as_ref().map(|p| PolymerOut {
                        polymer: p.polymer.clone(),
                        materials: p.materials,
                        low: computed(p.low),
                        high: computed(p.high),
                    }),
                })
                .collect(),
            cases: told.looked,
            moved: told
                .moved
                .iter()
                .map(|c| CaseOut {
                    case: c.moves.case.clone(),
                    standings: c
                        .moves
                        .moves
                        .iter()
                        .map(|m| MovedOut {
                            material: m.material.clone(),
                            before: m.before.into(),
                            now: m.after.into(),
                            by: (&m.by).into(),
                            own: m.own,
                            driver: match m.driver {
                                Driver::Evidence => DriverWord::Evidence,
                                Driver::Level => DriverWord::Level,
                                Driver::SpreadAlone => DriverWord::SpreadAlone,
                                Driver::SpreadMostly => DriverWord::SpreadMostly,
                            },
                            limit: m.limit.as_ref().map(|l| l.1.id.clone()),
                            limit_before: m.limit.as_ref().map(|l| (&l.0).into()),
                            limit_now: m.limit.as_ref().map(|l| (&l.1).into()),
                        })
                        .collect(),
                    first: c.moves.first.as_ref().map(|f| FirstOut {
                        before: f.before.clone(),
                        now: f.after.clone(),
                        by: (&f.by).into(),
                    }),
                    not_about: c.duty.answered.iter().map(NotAboutOut::from).collect(),
                })
                .collect(),
            not_judged: told.left_out.clone(),
        }
    }
}
