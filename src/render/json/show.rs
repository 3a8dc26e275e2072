//! `dutyfit.show/1`.

use super::case::{NotAboutOut, StandingWord};
use super::computed;
use crate::belief::{Grade, Stated};
use crate::bench::{Stands, Written};
use crate::catalog::Origin;
use crate::property::{Condition, PropertyId};
use crate::quantity::Bound;
use crate::render::show::Shown;
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.show/1`: what is known of one material.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct ShowFile {
    /// `dutyfit.show/1`.
    #[schemars(extend("const" = "dutyfit.show/1"))]
    format: &'static str,
    /// Material id.
    material: String,
    /// Title.
    title: String,
    /// Polymer ids, larger share first; empty for `other`.
    polymers: Vec<String>,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// The opening in words.
    summary: Vec<String>,
    /// How it stands in every saved case.
    cases: Vec<ServedOut>,
    /// Properties in which it is among the best or the worst quarter, measured only.
    quarters: Vec<QuarterOut>,
    /// What is missing for which case.
    missing: Vec<MissingOut>,
    /// Properties with their evidence.
    properties: Vec<HoldingOut>,
    /// Handbook ranges of its polymer, near room temperature; none in a workspace of the user's own.
    ranges: Vec<RangeOut>,
    /// Every step that was assumed behind a limit of a saved case.
    assumed: Vec<AssumedOut>,
    /// Doubtful words that the saved cases answer.
    not_about: Vec<AnsweredOut>,
    /// Specimens that failed early and count.
    early_failures: Vec<EarlyOut>,
    /// What runs that count do not give, and why.
    refused: Vec<NotGivenOut>,
    /// What was written of trials of which no figure is made (print trials).
    trials: Vec<TrialOut>,
    /// Runs that are kept and do not count.
    set_aside: Vec<LeftOutOut>,
}

/// A doubtful word that a saved case answers.
#[derive(Debug, Serialize, JsonSchema)]
struct AnsweredOut {
    /// Case.
    case: String,
    /// The answer.
    #[serde(flatten)]
    answer: NotAboutOut,
}

/// A case and how the material stands in it.
#[derive(Debug, Serialize, JsonSchema)]
struct ServedOut {
    /// Case.
    case: String,
    /// Standing.
    standing: StandingWord,
    /// Place; null for the ruled out.
    rank: Option<u32>,
}

/// Which quarter.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum Quarter {
    /// Among the best quarter.
    Best,
    /// Among the worst quarter.
    Worst,
}

/// A property in which it stands out.
#[derive(Debug, Serialize, JsonSchema)]
struct QuarterOut {
    /// Property id.
    property: String,
    /// Best or worst.
    quarter: Quarter,
    /// Median.
    median: Option<f64>,
    /// Unit.
    unit: String,
    /// Place from the best.
    place: usize,
    /// Of how many.
    of: usize,
}

/// A test that is missing.
#[derive(Debug, Serialize, JsonSchema)]
struct MissingOut {
    /// Test id, or a property id where no test gives it.
    test: String,
    /// Cases it would settle.
    cases: Vec<String>,
}

/// A step that was assumed.
#[derive(Debug, Serialize, JsonSchema)]
struct AssumedOut {
    /// Property id.
    property: String,
    /// What was assumed.
    text: String,
    /// Cases that rest on it.
    cases: Vec<String>,
}

/// 5, 50 and 95 %.
#[derive(Debug, Serialize, JsonSchema)]
struct IntervalOut {
    /// 5 %.
    low: Option<f64>,
    /// 50 %.
    median: Option<f64>,
    /// 95 %.
    high: Option<f64>,
}

impl From<[f64; 3]> for IntervalOut {
    fn from([low, median, high]: [f64; 3]) -> Self {
        IntervalOut {
            low: computed(low),
            median: computed(median),
            high: computed(high),
        }
    }
}

/// Figures that most parts lie above, and below.
#[derive(Debug, Serialize, JsonSchema)]
struct ShareOut {
    /// Lower figure.
    low: Option<f64>,
    /// Upper figure.
    high: Option<f64>,
}

impl From<(f64, f64)> for ShareOut {
    fn from((low, high): (f64, f64)) -> Self {
        ShareOut {
            low: computed(low),
            high: computed(high),
        }
    }
}

/// A property under one condition.
#[derive(Debug, Serialize, JsonSchema)]
struct HoldingOut {
    /// Property id.
    property: PropertyId,
    /// Unit.
    unit: String,
    /// Conditions.
    condition: Condition,
    /// Hours it is read at; null for figures without time.
    life_h: Option<f64>,
    /// Grade.
    grade: Grade,
    /// Own specimens.
    n: u32,
    /// Own prints.
    prints: u32,
    /// How many readings are bounds.
    bounds: usize,
    /// The mean; null where nothing can be said.
    mean: Option<IntervalOut>,
    /// The next part; null where nothing can be said.
    next_part: Option<IntervalOut>,
    /// Nine in ten parts lie above `low`, and nine in ten below `high`, each with a chance of 95 %;
    /// null where nothing can be said.
    nine_in_ten: Option<ShareOut>,
    /// What was assumed on the way.
    assumed: Vec<String>,
    /// Values stated beside it.
    stated: Vec<StatedOut>,
}

/// A stated value.
#[derive(Debug, Serialize, JsonSchema)]
struct StatedOut {
    /// Value; the low end of a range.
    value: Option<f64>,
    /// The high end of a range; else null.
    high: Option<f64>,
    /// What the figure is.
    bound: Bound,
    /// Source.
    source: String,
    /// Whether own readings disagree; null where there are none.
    disagrees: Option<bool>,
}

/// A specimen that failed early.
#[derive(Debug, Serialize, JsonSchema)]
struct EarlyOut {
    /// Run.
    run: String,
    /// Test.
    test: &'static str,
    /// Specimen.
    specimen: u32,
    /// Face; null where none was named.
    face: Option<&'static str>,
}

/// Specimens of a run of which a test gives no figure of a property.
#[derive(Debug, Serialize, JsonSchema)]
struct NotGivenOut {
    /// Run.
    run: String,
    /// Test.
    test: &'static str,
    /// Property.
    property: PropertyId,
    /// Specimens.
    specimens: Vec<u32>,
    /// Why.
    why: String,
}

/// A trial of which no figure is made.
#[derive(Debug, Serialize, JsonSchema)]
struct TrialOut {
    /// Run.
    run: String,
    /// Test.
    test: &'static str,
    /// Date of the run; null where it has none.
    date: Option<String>,
    /// Specimen number.
    specimen: u32,
    /// Outcome word; empty where it simply ended.
    outcome: &'static str,
    /// Its cells.
    cells: Vec<CellOut>,
}

/// One cell as it was written.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CellOut {
    /// Column.
    name: &'static str,
    /// Figure; absent where words stand there.
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<f64>,
    /// Words; absent where a figure stands there.
    #[serde(skip_serializing_if = "Option::is_none")]
    word: Option<String>,
    /// Unit of a figure; empty for words.
    unit: &'static str,
}

impl From<&Written> for CellOut {
    fn from(w: &Written) -> Self {
        let (value, word) = match &w.stands {
            Stands::Figure(x) => (computed(*x), None),
            Stands::Word(text) => (None, Some(text.clone())),
        };
        CellOut {
            name: w.name,
            value,
            word,
            unit: w.unit,
        }
    }
}

/// A handbook range.
#[derive(Debug, Serialize, JsonSchema)]
struct RangeOut {
    /// Property.
    property: PropertyId,
    /// Low figure: about one mean in twenty lies below.
    low: Option<f64>,
    /// High figure: about one mean in twenty lies above.
    high: Option<f64>,
    /// Unit.
    unit: String,
    /// Conditions.
    condition: Condition,
    /// How well it is known, and by what.
    status: String,
}

impl RangeOut {
    fn new(s: &Stated, shown: &Shown<'_>) -> Self {
        let (low, high) = s.value.figures();
        let unit = shown.properties.get(s.property.as_str());
        RangeOut {
            property: s.property.clone(),
            low: computed(low),
            high: computed(high.unwrap_or(low)),
            unit: unit.map_or_else(String::new, |p| p.unit.to_string()),
            condition: s.condition.clone(),
            status: s.source.clone(),
        }
    }
}

/// A run that does not count.
#[derive(Debug, Serialize, JsonSchema)]
struct LeftOutOut {
    /// Run.
    run: String,
    /// Test.
    test: &'static str,
    /// Why.
    why: String,
}

impl Shown<'_> {
    /// As JSON, `dutyfit.show/1`.
    pub fn json(&self) -> String {
        let (m, f, h) = (self.material, self.fitness, self.holdings);
        super::written(&ShowFile {
            format: "dutyfit.show/1",
            material: m.id.clone(),
            title: m.title.clone(),
            polymers: m.polymers.clone(),
            demo: self.origin == Origin::Demo,
            handbook: self.origin == Origin::Handbook,
            summary: self.sentences(),
            cases: f
                .cases
                .iter()
                .map(|c| ServedOut {
                    case: c.case.clone(),
                    standing: c.standing.into(),
                    rank: c.rank,
                })
                .collect(),
            quarters: f
                .strengths
                .iter()
                .map(|s| QuarterOut {
                    property: s.property.clone(),
                    quarter: if s.best {
                        Quarter::Best
                    } else {
                        Quarter::Worst
                    },
                    median: computed(s.median),
                    unit: s.unit.clone(),
                    place: s.place,
                    of: s.of,
                })
                .collect(),
            missing: f
                .missing
                .iter()
                .map(|m| MissingOut {
                    test: m.test.clone(),
                    cases: m.cases.clone(),
                })
                .collect(),
            ranges: self.ranges.iter().map(|s| RangeOut::new(s, self)).collect(),
            properties: h
                .rows
                .iter()
                .map(|row| HoldingOut::new(row, self))
                .collect(),
            not_about: self
                .answered
                .iter()
                .map(|(case, n)| AnsweredOut {
                    case: case.clone(),
                    answer: n.into(),
                })
                .collect(),
            assumed: f
                .assumed
                .iter()
                .map(|a| AssumedOut {
                    property: a.property.clone(),
                    text: self.told(&a.property, &a.note),
                    cases: a.cases.clone(),
                })
                .collect(),
            early_failures: h
                .early
                .iter()
                .map(|e| EarlyOut {
                    run: e.run.clone(),
                    test: e.test,
                    specimen: e.specimen,
                    face: e.face,
                })
                .collect(),
            refused: h
                .refused
                .iter()
                .map(|r| NotGivenOut {
                    run: r.run.clone(),
                    test: r.test,
                    property: r.property.clone(),
                    specimens: r.specimens.clone(),
                    why: r.why.clone(),
                })
                .collect(),
            trials: h
                .trials
                .iter()
                .map(|t| TrialOut {
                    run: t.run.clone(),
                    test: t.test,
                    date: t.date.clone(),
                    specimen: t.specimen,
                    outcome: t.outcome.word(),
                    cells: t.cells.iter().map(CellOut::from).collect(),
                })
                .collect(),
            set_aside: h
                .set_aside
                .iter()
                .map(|s| LeftOutOut {
                    run: s.run.clone(),
                    test: s.test,
                    why: s.why.clone(),
                })
                .collect(),
        })
    }
}

impl HoldingOut {
    fn new(h: &crate::advise::Holding, shown: &Shown<'_>) -> Self {
        HoldingOut {
            property: h.property.clone(),
            unit: h.unit.clone(),
            condition: h.condition.clone(),
            life_h: h.life_h.and_then(computed),
            grade: h.grade,
            n: h.specimens,
            prints: h.prints,
            bounds: h.bounds,
            mean: h.mean.map(IntervalOut::from),
            next_part: h.next.map(IntervalOut::from),
            nine_in_ten: h.nine_in_ten.map(ShareOut::from),
            assumed: h
                .notes
                .iter()
                .map(|n| shown.told(h.property.as_str(), n))
                .collect(),
            stated: h
                .stated
                .iter()
                .map(|s| {
                    let (value, high) = s.value.figures();
                    StatedOut {
                        value: computed(value),
                        high: high.and_then(computed),
                        bound: s.value.bound(),
                        source: s.source.clone(),
                        disagrees: s.disagrees,
                    }
                })
                .collect(),
        }
    }
}
