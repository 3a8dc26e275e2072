//! How well a rig's readings repeat, and how much operators and days add.

use crate::advise::rig_check::Series;
use crate::advise::rig_check::series::{Gathered, Look, Single};
use crate::num::anova::{Crossed, Nested, Variance};
use crate::num::reml::{PrintSums, VarianceRatio};
use crate::property::{PropertyId, Scale};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Level of the intervals.
const LEVEL: f64 = 0.90;
/// Two readings differ by more than this many standard deviations once in twenty: 1.96 sqrt 2, as
/// ISO 5725-6 rounds it (verified in source: precision values of a cross-test).
const TWO_READINGS: f64 = 2.8;
/// Distinct categories: sqrt 2 times specimens over rig (AIAG MSA manual; verified in source).
const CATEGORIES: f64 = 1.41;

/// What repeats are told apart by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Factor {
    /// Who read.
    Operator,
    /// The day.
    Day,
}

/// How the variances were found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Design {
    /// Every specimen by every operator (day) equally often; the interaction pooled with the repeats.
    CrossedPooled,
    /// The same, the interaction kept.
    Crossed,
    /// Operators (days) within each specimen, equally many readings each.
    Nested,
    /// The same, unequally many: restricted maximum likelihood.
    NestedUneven,
}

/// Repeatability and reproducibility of one rig in one property, standard deviations on the natural scale:
/// shares of the figure on `log`.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Precision {
    /// The rig as the sheets name it.
    pub rig: String,
    /// Test.
    pub test: &'static str,
    /// Property.
    pub property: PropertyId,
    /// Its title.
    pub title: String,
    /// Its canonical unit.
    pub unit: String,
    /// Its natural scale.
    pub scale: Scale,
    /// What repeats are told apart by.
    pub factor: Factor,
    /// How the variances were found.
    pub design: Design,
    /// Reference specimens.
    pub specimens: usize,
    /// Operators, or days.
    pub levels: usize,
    /// Readings.
    pub readings: usize,
    /// Readings left out: of checks out of control, without an operator, or that do not fit the crossed design.
    pub left_out: usize,
    /// Repeats by one operator (on one day): estimate, 5 % and 95 %.
    pub repeat: [f64; 3],
    /// What operators (days) add.
    pub between: [f64; 3],
    /// Whether that came out below nothing, and is shown as 0.
    pub below_nothing: bool,
    /// Both together: one reading by another operator (on another day).
    pub both: [f64; 3],
    /// What operators differ by in single specimens, where it was kept.
    pub interaction: Option<[f64; 3]>,
    /// Chance that the interaction arises by itself.
    pub interaction_chance: Option<f64>,
    /// Between specimens, in a crossed design.
    pub specimen: Option<[f64; 3]>,
    /// The rig's share of the total scatter, %, in a crossed design (100 both / total).
    pub rig_percent: Option<f64>,
    /// Categories of specimens that the rig tells apart, in a crossed design.
    pub categories: Option<f64>,
    /// Two readings by one operator (on one day) differ by more than this once in twenty.
    pub repeat_limit: f64,
    /// Two readings by different operators (on different days) differ by more than this once in twenty.
    pub both_limit: f64,
}

/// Readings by specimen and level.
type Table<'a> = BTreeMap<usize, BTreeMap<&'a str, Vec<f64>>>;

/// The analyses that the readings allow: by operator and by day, for every rig, test and property.
pub(super) fn precision(gathered: &[Gathered<'_>], series: &[Series]) -> Vec<Precision> {
    let mut out = Vec::new();
    let all: Vec<(&Gathered<'_>, &Series)> = gathered.iter().zip(series).collect();
    let same = |a: &(&Gathered<'_>, &Series), b: &(&Gathered<'_>, &Series)| {
        (a.0.key.rig, a.0.key.test, a.0.key.property)
            == (b.0.key.rig, b.0.key.test, b.0.key.property)
    };
    for of_one in all.chunk_by(same) {
        for factor in [Factor::Operator, Factor::Day] {
            out.extend(analysed(of_one, factor));
        }
    }
    out
}

fn analysed(of_one: &[(&Gathered<'_>, &Series)], factor: Factor) -> Option<Precision> {
    let g = of_one.first()?.0;
    let mut table = Table::new();
    let mut left_out = 0;
    for (i, (gathered, shown)) in of_one.iter().enumerate() {
        for (stretch, segment) in gathered.segments.iter().zip(&shown.segments) {
            for (look, check) in stretch.looks.iter().zip(&segment.checks) {
                for single in &look.singles {
                    match level(look, single, factor) {
                        Some(l) if !check.out => table
                            .entry(i)
                            .or_default()
                            .entry(l)
                            .or_default()
                            .push(single.g),
                        _ => left_out += 1,
                    }
                }
            }
        }
    }
    let levels: BTreeSet<&str> = table.values().flat_map(|t| t.keys().copied()).collect();
    if levels.len() < 2 {
        return None;
    }
    let blank = Precision {
        rig: g.key.rig.to_owned(),
        test: g.key.test,
        property: g.key.property.clone(),
        title: g.title.clone(),
        unit: g.unit.clone(),
        scale: g.scale,
        factor,
        design: Design::Nested,
        specimens: table.len(),
        levels: levels.len(),
        readings: table.values().flat_map(|t| t.values()).map(Vec::len).sum(),
        left_out,
        repeat: [f64::NAN; 3],
        between: [f64::NAN; 3],
        below_nothing: false,
        both: [f64::NAN; 3],
        interaction: None,
        interaction_chance: None,
        specimen: None,
        rig_percent: None,
        categories: None,
        repeat_limit: f64::NAN,
        both_limit: f64::NAN,
    };
    let mut done = crossed(&table, &levels, &blank).or_else(|| nested(&table, blank))?;
    let [repeat, ..] = done.repeat;
    let [both, ..] = done.both;
    done.repeat_limit = TWO_READINGS * repeat;
    done.both_limit = TWO_READINGS * both;
    Some(done)
}

fn level<'a>(look: &Look<'a>, single: &Single<'a>, factor: Factor) -> Option<&'a str> {
    match factor {
        Factor::Operator => single.operator,
        Factor::Day => Some(look.date),
    }
}

/// The crossed analysis of the specimens that every level read equally often.
fn crossed(table: &Table<'_>, levels: &BTreeSet<&str>, blank: &Precision) -> Option<Precision> {
    let full = |t: &BTreeMap<&str, Vec<f64>>| {
        let n = t.values().next().map_or(0, Vec::len);
        (t.len() == levels.len() && t.values().all(|c| c.len() == n)).then_some(n)
    };
    // The cell size that most specimens have.
    let mut sizes: BTreeMap<usize, usize> = BTreeMap::new();
    for n in table.values().filter_map(full) {
        *sizes.entry(n).or_default() += 1;
    }
    let (&size, _) = sizes.iter().max_by_key(|(n, count)| (**count, **n))?;
    let cells: Vec<Vec<Vec<f64>>> = table
        .values()
        .filter(|t| full(t) == Some(size))
        .map(|t| t.values().cloned().collect())
        .collect();
    let study = Crossed::of(&cells)?;
    let v = study.variances(LEVEL);
    let used: usize = cells.iter().flatten().map(Vec::len).sum();
    let total = (v.both.estimate + v.specimen.estimate).sqrt();
    let rig = v.both.estimate.sqrt();
    Some(Precision {
        design: if v.pooled {
            Design::CrossedPooled
        } else {
            Design::Crossed
        },
        specimens: cells.len(),
        readings: used,
        left_out: blank.left_out + blank.readings - used,
        repeat: v.repeat.deviation(),
        between: v.operator.deviation(),
        below_nothing: v.operator.clipped() || v.operator.estimate <= 0.0,
        both: v.both.deviation(),
        interaction: v.interaction.as_ref().map(Variance::deviation),
        interaction_chance: study.interaction_chance().filter(|p| p.is_finite()),
        specimen: Some(v.specimen.deviation()),
        rig_percent: (total > 0.0).then(|| 100.0 * rig / total),
        categories: (rig > 0.0).then(|| CATEGORIES * v.specimen.estimate.sqrt() / rig),
        ..blank.clone()
    })
}

/// The nested analysis of all readings.
fn nested(table: &Table<'_>, blank: Precision) -> Option<Precision> {
    let specimens: Vec<Vec<Vec<f64>>> = table
        .values()
        .map(|t| t.values().cloned().collect())
        .collect();
    let study = Nested::of(&specimens)?;
    let repeat = study.repeat(LEVEL);
    let groups = study.groups(LEVEL);
    let even = Precision {
        repeat: repeat.deviation(),
        between: groups.deviation(),
        below_nothing: groups.clipped(),
        both: study.both(LEVEL).deviation(),
        ..blank
    };
    if study.balanced {
        return Some(even);
    }
    let sums = specimens.iter().map(|s| {
        s.iter()
            .filter_map(|g| PrintSums::of(g))
            .collect::<Vec<_>>()
    });
    let Some(likelihood) = VarianceRatio::new(sums) else {
        return Some(even);
    };
    let ratio = likelihood.estimate();
    let within = likelihood.within_variance(ratio);
    let (low, high) = likelihood.interval(LEVEL);
    // The ends of what comes on top by profile likelihood, those of the sum as of even groups about
    // as large.
    let [_, both_low, both_high] = even.both;
    let both = (within * (1.0 + ratio)).sqrt();
    Some(Precision {
        design: Design::NestedUneven,
        repeat: [within.sqrt(), even.repeat[1], even.repeat[2]],
        between: [ratio, low, high].map(|r| (r * within).sqrt()),
        below_nothing: ratio <= 0.0,
        both: [both, both_low.min(both), both_high.max(both)],
        ..even
    })
}
