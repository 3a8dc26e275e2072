//! The case and what was said about it, as every answer on a case repeats them.

use super::{computed, drawn};
use crate::advise::MaterialCaution;
use crate::bench::Step;
use crate::duty::{
    Caution, CautionSeverity, Decline, DeferTo, Harm, LiesOnBed, LimitSense, NotAbout, Raised,
    Site, Sun,
};
use crate::judge::{LimitResult, Standing};
use crate::policy::Class;
use crate::property::Moisture;
use crate::quantity::Reading;
use crate::render::answer::Asked;
use crate::render::telling::Telling;
use schemars::JsonSchema;
use serde::Serialize;

/// How a candidate stands.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub(crate) enum StandingWord {
    /// Meets the duty.
    #[serde(rename = "fit")]
    Fit,
    /// Comes near.
    #[serde(rename = "borderline")]
    Borderline,
    /// The evidence does not reach.
    #[serde(rename = "not known")]
    NotKnown,
    /// Fails.
    #[serde(rename = "ruled out")]
    RuledOut,
}

impl From<Standing> for StandingWord {
    fn from(s: Standing) -> Self {
        match s {
            Standing::Fit => StandingWord::Fit,
            Standing::Borderline => StandingWord::Borderline,
            Standing::NotKnown => StandingWord::NotKnown,
            Standing::RuledOut => StandingWord::RuledOut,
        }
    }
}

/// The case as it was judged.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CaseOut {
    /// The name it was asked by.
    name: String,
    /// Title.
    title: String,
    /// Part kind.
    part: &'static str,
    /// Whether it is the part's worked example, every input assumed.
    worked_example: bool,
    /// Inputs of the part, with units.
    inputs: serde_json::Value,
    /// Cold and hot end of service, degC.
    temperature: [Option<f64>; 2],
    /// Cold and hot end of storage, degC; null where it stays within service.
    storage: Option<[Option<f64>; 2]>,
    /// Moisture.
    moisture: Moisture,
    /// Surface in contact.
    counterface: Option<String>,
    /// Sunlight.
    sun: Sun,
    /// Indoors or outdoors.
    place: Site,
    /// Chemicals named.
    chemicals: Vec<String>,
    /// Life, h.
    life_h: Option<f64>,
    /// How often the load comes and goes over the life; null where nobody said.
    cycles: Option<f64>,
    /// How the part lies on the bed.
    lies: LiesOnBed,
    /// What happens if it fails.
    harm: Harm,
    /// Class stated by the case.
    class: Option<Class>,
    /// Inputs that were not known.
    assumed: Vec<String>,
    /// Fields left to their defaults.
    defaults: Vec<DefaultOut>,
    /// Doubtful words answered.
    not_about: Vec<NotAboutOut>,
    /// What the part's mechanics left out or assumed.
    notes: Vec<String>,
}

/// A field left to its default.
#[derive(Debug, Serialize, JsonSchema)]
struct DefaultOut {
    /// Field.
    field: String,
    /// Default taken.
    value: String,
}

/// A doubtful word that the case answers.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct NotAboutOut {
    /// Caution id.
    caution: String,
    /// Word.
    word: String,
    /// Why it is not meant.
    because: String,
}

impl From<&NotAbout> for NotAboutOut {
    fn from(n: &NotAbout) -> Self {
        NotAboutOut {
            caution: n.caution.clone(),
            word: n.word.clone(),
            because: n.because.clone(),
        }
    }
}

impl CaseOut {
    pub(crate) fn new(asked: &Asked<'_>) -> Self {
        let (case, s) = (asked.case, &asked.case.setting);
        let ends = |(a, b): (f64, f64)| [computed(a), computed(b)];
        CaseOut {
            name: asked.name.to_owned(),
            title: case.title.clone(),
            part: asked.duty.part,
            worked_example: asked.example,
            inputs: case.part.inputs(),
            temperature: ends(s.temperature_c),
            storage: s.storage_c.map(ends),
            moisture: s.moisture,
            counterface: s.counterface.clone(),
            sun: s.sun,
            place: s.place,
            chemicals: s.chemicals.clone(),
            life_h: computed(s.life_h),
            cycles: s.cycles,
            lies: s.lies,
            harm: s.harm.clone(),
            class: s.class,
            assumed: case.assumed.clone(),
            defaults: case
                .defaults
                .iter()
                .map(|(field, value)| DefaultOut {
                    field: field.clone(),
                    value: value.clone(),
                })
                .collect(),
            not_about: case.not_about.iter().map(NotAboutOut::from).collect(),
            // Notes may tell figures of the mechanics, which a declined case gets none of.
            notes: match asked.duty.declined {
                Some(_) => Vec::new(),
                None => asked.duty.notes.clone(),
            },
        }
    }
}

/// A demand of the policy that is weaker than its default.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct LoosenedOut {
    /// Class.
    class: Class,
    /// Which demand.
    what: &'static str,
    /// Default.
    default: f64,
    /// In this workspace.
    now: f64,
}

/// Every weakened demand.
pub(crate) fn loosened(asked: &Asked<'_>) -> Vec<LoosenedOut> {
    asked
        .evidence
        .policy()
        .loosened()
        .into_iter()
        .map(|l| LoosenedOut {
            class: l.class,
            what: l.what,
            default: l.default,
            now: l.now,
        })
        .collect()
}

/// A caution that was raised.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CautionOut {
    /// Caution id.
    id: String,
    /// Severity.
    severity: CautionSeverity,
    /// Text.
    text: String,
    /// Standards to defer to and whom to ask, in one line; null where there is neither.
    defer_to: Option<String>,
    /// The standards one by one.
    standards: Vec<DeferTo>,
    /// Whom to ask.
    ask: String,
    /// What raised it in the case.
    raised_by: Vec<String>,
    /// Materials that raise it; empty where the case does.
    materials: Vec<String>,
}

impl CautionOut {
    /// Caution id.
    pub(crate) fn id(&self) -> &str {
        &self.id
    }

    /// Whether it holds for a material: the case raises it, or the material does.
    pub(crate) fn holds_for(&self, material: &str) -> bool {
        self.materials.is_empty() || self.materials.iter().any(|m| m == material)
    }

    fn new(c: &Caution, raised_by: &[String], materials: &[String]) -> Self {
        CautionOut {
            id: c.id.clone(),
            severity: c.severity,
            text: c.text.clone(),
            defer_to: crate::render::caution::whom_to_ask(c),
            standards: c.defer_to.clone(),
            ask: c.ask.clone(),
            raised_by: raised_by.to_vec(),
            materials: materials.to_vec(),
        }
    }
}

impl From<&Raised> for CautionOut {
    fn from(r: &Raised) -> Self {
        CautionOut::new(&r.caution, &r.by, &[])
    }
}

impl From<&Caution> for CautionOut {
    fn from(c: &Caution) -> Self {
        CautionOut::new(c, &[], &[])
    }
}

/// All cautions of an answer, the gravest first.
pub(crate) fn cautions(asked: &Asked<'_>, raised: &[MaterialCaution]) -> Vec<CautionOut> {
    let mut all: Vec<CautionOut> = asked
        .duty
        .cautions
        .iter()
        .map(CautionOut::from)
        .chain(
            raised
                .iter()
                .map(|m| CautionOut::new(&m.caution, &m.by, &m.materials)),
        )
        .collect();
    all.sort_by_key(|c| c.severity);
    all
}

/// Why no pick is given.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct DeclinedOut {
    /// The caution.
    caution: CautionOut,
    /// The word or condition.
    word: String,
    /// Whether one yes/no question can lift it.
    doubtful: bool,
    /// That question.
    question: Option<String>,
}

impl From<&Decline> for DeclinedOut {
    fn from(d: &Decline) -> Self {
        DeclinedOut {
            caution: CautionOut::new(&d.caution, &[], &[]),
            word: d.word.clone(),
            doubtful: d.doubtful,
            question: d.question.clone(),
        }
    }
}

/// Which side of the bound is good.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum SenseWord {
    /// At least the bound.
    AtLeast,
    /// At most the bound.
    AtMost,
    /// Between two bounds.
    Between,
}

/// What is needed: one bound, or the low and the high one.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(untagged)]
enum Needed {
    /// One bound.
    One(Option<f64>),
    /// Low and high bound.
    Two([Option<f64>; 2]),
}

/// What a limit asks: the good side with its bound.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
pub(crate) struct BoundOut {
    /// Which side is good.
    sense: SenseWord,
    /// The bound; low and high for `between`.
    needed: Needed,
}

impl From<LimitSense> for BoundOut {
    fn from(sense: LimitSense) -> Self {
        let (sense, needed) = match sense {
            LimitSense::AtLeast(b) => (SenseWord::AtLeast, Needed::One(computed(b))),
            LimitSense::AtMost(b) => (SenseWord::AtMost, Needed::One(computed(b))),
            LimitSense::Between(a, b) => {
                (SenseWord::Between, Needed::Two([computed(a), computed(b)]))
            }
        };
        BoundOut { sense, needed }
    }
}

/// 5, 50 and 95 % of the next part, or the bound from one side that is all the readings say.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
struct PredictedOut {
    /// 5 %; of `at_least` that bound, of `at_most` null.
    low: Option<f64>,
    /// 50 %; null where only a bound is known.
    median: Option<f64>,
    /// 95 %; of `at_most` that bound, of `at_least` null.
    high: Option<f64>,
    /// `at_least` or `at_most` where only a bound from that side is known; else null.
    bound: Option<SideWord>,
}

/// The side from which a bound holds a figure.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
enum SideWord {
    /// The figure or more.
    AtLeast,
    /// The figure or less.
    AtMost,
}

impl PredictedOut {
    fn of(l: &LimitResult) -> Option<Self> {
        let p = l.predicted?;
        let exact = PredictedOut {
            low: drawn(p.low),
            median: drawn(p.median),
            high: drawn(p.high),
            bound: None,
        };
        let held = PredictedOut {
            low: None,
            median: None,
            high: None,
            bound: None,
        };
        Some(match l.bounded {
            Some(Reading::AtLeast(x)) => PredictedOut {
                low: drawn(x),
                bound: Some(SideWord::AtLeast),
                ..held
            },
            Some(Reading::AtMost(x)) => PredictedOut {
                high: drawn(x),
                bound: Some(SideWord::AtMost),
                ..held
            },
            _ => exact,
        })
    }
}

/// How far the median is from its bound, or the bound in `predicted` that stands for it; positive
/// is good.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
struct MarginOut {
    /// In the limit's unit.
    difference: Option<f64>,
    /// As a ratio; null for temperatures and ranges.
    factor: Option<f64>,
}

/// One limit of one candidate.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct LimitOut {
    /// Limit id.
    id: String,
    /// Title.
    title: String,
    /// Class.
    class: Class,
    /// Which side is good.
    sense: SenseWord,
    /// The bound; low and high for `between`.
    needed: Needed,
    /// Unit.
    unit: String,
    /// Prediction for the next part; null where nothing can be said.
    predicted: Option<PredictedOut>,
    /// Chance that the next part meets it; with a `bound` in `predicted`, the chance with bounds
    /// taken as exact. Null where nothing can be said.
    chance: Option<f64>,
    /// Monte-Carlo standard error of the chance; null where the chance is one of bounds.
    chance_se: Option<f64>,
    /// Weakest grade it rests on.
    grade: crate::belief::Grade,
    /// Fewest own specimens it rests on.
    specimens: u32,
    /// Fewest own prints it rests on.
    prints: u32,
    /// Distance from the bound; null where nothing can be said.
    margin: Option<MarginOut>,
    /// What was assumed on the way.
    assumed: Vec<String>,
    /// Steps of the formula at the medians, with `--working`.
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<Vec<StepOut>>,
}

/// One step of a formula.
#[derive(Debug, Serialize, JsonSchema)]
struct StepOut {
    /// Formula label.
    label: String,
    /// What it is.
    what: String,
    /// Figure; null where the step gives none.
    value: Option<f64>,
    /// Unit.
    unit: String,
}

impl From<&Step> for StepOut {
    fn from(s: &Step) -> Self {
        StepOut {
            label: s.label.clone(),
            what: s.what.clone(),
            value: computed(s.value),
            unit: s.unit.clone(),
        }
    }
}

impl LimitOut {
    pub(crate) fn new(l: &LimitResult, telling: Telling<'_>, working: bool) -> Self {
        let BoundOut { sense, needed } = l.sense.into();
        LimitOut {
            id: l.id.clone(),
            title: telling.limit(&l.id),
            class: l.class,
            sense,
            needed,
            unit: l.unit.clone(),
            predicted: PredictedOut::of(l),
            chance: l.shown_chance().and_then(|p| drawn(p.as_exact())),
            chance_se: l.chance_se.filter(|_| l.bounded.is_none()).and_then(drawn),
            grade: l.grade,
            specimens: l.specimens,
            prints: l.prints,
            margin: crate::advise::margin(l).map(|m| MarginOut {
                difference: drawn(m.difference),
                factor: m.factor.and_then(drawn),
            }),
            assumed: l
                .notes
                .iter()
                .map(|(property, note)| telling.assumed(property, note))
                .collect(),
            working: working.then(|| l.working.iter().map(StepOut::from).collect()),
        }
    }
}
