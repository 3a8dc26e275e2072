//! The part kinds and the duty that one leads to.

use crate::duty::caution::{Raised, answer_faults, answered, raise};
use crate::duty::{
    Aim, BoundOverride, Case, Decline, LiesOnBed, Limit, LimitSense, NotAbout, Preference, Setting,
};
use crate::problem::Fault;
use crate::property::Ask;
use crate::quantity::{Unit, parse_amount};
use std::fmt::Debug;

/// What a part leads to: limits, aims and what must be said.
#[derive(Clone, Debug, Default)]
pub struct Duty {
    /// Part kind.
    pub part: &'static str,
    /// Properties asked; limits and aims point into this.
    pub asks: Vec<Ask>,
    /// Asks that serve a need in place of a better one, which every answer tells as assumed.
    pub stand_ins: Vec<StandIn>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Aims.
    pub aims: Vec<Aim>,
    /// The part's default preference.
    pub preference: Option<Preference>,
    /// Cautions raised, most severe first.
    pub cautions: Vec<Raised>,
    /// Why no pick is given, if so.
    pub declined: Option<Decline>,
    /// Doubtful words that the case answered; every output repeats them.
    pub answered: Vec<NotAbout>,
    /// What the part's mechanics left out or assumed, for people.
    pub notes: Vec<String>,
    /// What a part that meets everything does, for the first sentence of an answer.
    pub promise: Option<Promise>,
}

/// An ask of one property that serves a need where a material has no figure of the wanted one:
/// another kind of test, taken to say the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandIn {
    /// The ask that stands in; an index into [`Duty::asks`].
    pub used: usize,
    /// The ask that it stands in for.
    pub wanted: usize,
}

/// Completes "97 of 100 next ...": `washers` `take 4 N.m` `and keep 300 N of clamp load`.
#[derive(Clone, Debug, PartialEq)]
pub struct Promise {
    /// What the parts are called, plural.
    pub parts: &'static str,
    /// What they do for the life of the case, the first thing first.
    pub deeds: Vec<Deed>,
}

/// One thing that a part does.
#[derive(Clone, Debug, PartialEq)]
pub struct Deed {
    /// Verb for several parts (`keep`, `wear at most`).
    pub verb: &'static str,
    /// The figure, the class's factor on loads included.
    pub figure: f64,
    /// Unit.
    pub unit: &'static str,
    /// What follows (`of clamp load`); may be empty.
    pub tail: &'static str,
}

impl Promise {
    /// Puts a limit's new bound into the deed that told the old one.
    fn follow(&mut self, limit: &Limit, sense: LimitSense) {
        let bound = |s: LimitSense| match s {
            LimitSense::AtLeast(b) | LimitSense::AtMost(b) => Some(b),
            LimitSense::Between(..) => None,
        };
        let (Some(old), Some(new)) = (bound(limit.sense), bound(sense)) else {
            return;
        };
        let told = |d: &&mut Deed| d.unit == limit.unit && d.figure.total_cmp(&old).is_eq();
        for deed in self.deeds.iter_mut().filter(told) {
            deed.figure = new;
        }
    }
}

impl Deed {
    /// A deed with its figure.
    pub const fn new(
        verb: &'static str,
        figure: f64,
        unit: &'static str,
        tail: &'static str,
    ) -> Self {
        Deed {
            verb,
            figure,
            unit,
            tail,
        }
    }
}

impl Duty {
    /// The index of an ask, added if it is new.
    pub fn ask(&mut self, ask: Ask) -> usize {
        if let Some(i) = self.asks.iter().position(|a| *a == ask) {
            return i;
        }
        self.asks.push(ask);
        self.asks.len() - 1
    }

    /// A need that `wanted` serves, and `stand_in` where a material has no figure of that.
    pub fn need_or(&mut self, wanted: Ask, stand_in: Ask) -> Vec<usize> {
        let (wanted, used) = (self.ask(wanted), self.ask(stand_in));
        let pair = StandIn { used, wanted };
        if !self.stand_ins.contains(&pair) {
            self.stand_ins.push(pair);
        }
        vec![wanted, used]
    }
}

/// What a limit of use varies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeverKind {
    /// Force, torque, mass, pressure: how large can it get.
    Load,
    /// Wall, height, length: how small can it get.
    Thickness,
    /// Hottest service temperature, degC; in the setting.
    Temperature,
    /// Life, h; in the setting.
    Life,
}

/// An input of the part that can be pushed.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// Name of the input as in the case file.
    pub name: &'static str,
    /// What it is.
    pub kind: LeverKind,
    /// Its value in the case, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
}

/// A part kind with its inputs.
pub trait Part: Debug + Send + Sync {
    /// Id of the part kind.
    fn kind(&self) -> &'static str;
    /// Adds asks, limits, aims, default preference and notes.
    ///
    /// # Errors
    /// Faults that name the inputs that no formula covers, code `duty::...`.
    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>>;
    /// Inputs that can be pushed: every load and every thickness.
    fn levers(&self) -> Vec<Lever>;
    /// The part with one lever at `value`, in the lever's unit; `None` for an unknown name.
    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>>;
    /// The inputs as JSON, as a case file holds them.
    fn inputs(&self) -> serde_json::Value;
    /// Words of the inputs that count for cautions (titles of surfaces, uses).
    fn words(&self) -> Vec<String> {
        Vec::new()
    }
    /// Ids of cautions that the inputs raise, each with what raises it.
    fn cautions(&self, setting: &Setting) -> Vec<(&'static str, String)> {
        let _ = setting;
        Vec::new()
    }
}

/// A fault in `inputs`, placed by its path from there and serde's line and column in the given text.
#[derive(Clone, Debug)]
pub struct InputFault {
    /// Path such as `limits[0].property`; empty for the whole.
    pub path: String,
    /// Line within the text, from 1, for syntax faults.
    pub line: usize,
    /// Column within the text, from 1.
    pub column: usize,
    /// serde's message; may hold a marked fault.
    pub message: String,
}

/// A documented formula of a part kind.
#[derive(Clone, Copy, Debug)]
pub struct FormulaDoc {
    /// Limit or aim id it serves.
    pub limit: &'static str,
    /// Formula in text.
    pub formula: &'static str,
    /// Where it holds.
    pub validity: &'static str,
    /// Source and status.
    pub source: &'static str,
}

/// What each way of lying on the bed means for a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lying {
    /// On its largest face, in words (`the broad side of the arm on the bed`).
    pub flat: &'static str,
    /// On an edge.
    pub edge: &'static str,
    /// Standing.
    pub upright: &'static str,
    /// How a case that leaves it open is taken.
    pub open: LiesOnBed,
}

impl Lying {
    /// What one way of lying means, in words; an open one means what it is taken as.
    pub fn words(&self, lies: LiesOnBed) -> &'static str {
        match (lies, self.open) {
            (LiesOnBed::Flat, _) | (LiesOnBed::Open, LiesOnBed::Flat) => self.flat,
            (LiesOnBed::Edge, _) | (LiesOnBed::Open, LiesOnBed::Edge) => self.edge,
            _ => self.upright,
        }
    }
}

/// A row of the registry of part kinds.
#[derive(Clone, Copy)]
pub struct PartKind {
    /// Id.
    pub id: &'static str,
    /// One line.
    pub title: &'static str,
    /// Reads the text of `inputs`.
    pub read: fn(&str) -> Result<Box<dyn Part>, InputFault>,
    /// JSON Schema of `inputs`.
    pub schema: fn() -> schemars::Schema,
    /// A worked example: the text of a whole case file, every input assumed.
    pub example: &'static str,
    /// Formulas.
    pub formulas: &'static [FormulaDoc],
    /// Unit of each limit id, for overrides: id, unit.
    pub limits: &'static [(&'static str, &'static str)],
    /// How it can lie on the bed; `None` where its limits say themselves how loads lie.
    pub lying: Option<Lying>,
}

/// Reads a part's inputs from the text of the `inputs` object.
pub(super) fn read_inputs<T>(text: &str) -> Result<Box<dyn Part>, InputFault>
where
    T: Part + serde::de::DeserializeOwned + 'static,
{
    let mut de = serde_json::Deserializer::from_str(text);
    match serde_path_to_error::deserialize::<_, T>(&mut de) {
        Ok(part) => Ok(Box::new(part)),
        Err(e) => {
            let path = e.path().to_string();
            let inner = e.into_inner();
            Err(InputFault {
                path,
                line: inner.line(),
                column: inner.column(),
                message: inner.to_string(),
            })
        }
    }
}

/// The registry: a row a part kind.
const PARTS: &[PartKind] = &[
    crate::duty::bolt_washer::KIND,
    crate::duty::cantilever_bracket::KIND,
    crate::duty::clip::KIND,
    crate::duty::handle_sleeve::KIND,
    crate::duty::impact_guard::KIND,
    crate::duty::knob::KIND,
    crate::duty::living_hinge::KIND,
    crate::duty::plain::KIND,
    crate::duty::plain_bushing::KIND,
    crate::duty::protective_cap::KIND,
    crate::duty::seal_ring::KIND,
    crate::duty::sliding_pad::KIND,
    crate::duty::small_gear::KIND,
    crate::duty::snap_hook::KIND,
    crate::duty::strap::KIND,
    crate::duty::support_foot::KIND,
    crate::duty::tool_handle::KIND,
    crate::duty::vibration_pad::KIND,
    crate::duty::wheel_tyre::KIND,
];

/// All part kinds.
pub fn parts() -> &'static [PartKind] {
    PARTS
}

/// The part kind of an id.
pub fn part(id: &str) -> Option<&'static PartKind> {
    parts().iter().find(|p| p.id == id)
}

impl Case {
    /// The duty of this case: the part's limits and aims, the case's own bounds, cautions and declines.
    ///
    /// # Errors
    /// Faults of inputs that no formula covers (code `duty::...` of the part), of
    /// bounds for limits that the part does not have (`duty::unknown-limit`), on
    /// the wrong side (`duty::bound-side`) or in the wrong unit (`unit::...`), and
    /// of answers to cautions that nothing lifts (`caution::...`).
    pub fn duty(&self) -> Result<Duty, Vec<Fault>> {
        let mut faults = answer_faults(self);
        let mut duty = match self.duty_with(self.part.as_ref(), &self.setting) {
            Ok(duty) if faults.is_empty() => duty,
            Ok(_) => return Err(faults),
            // What is declined is declined whatever its figures, and nobody mends them first.
            Err(_) if faults.is_empty() && self.declined() => Duty {
                part: self.part.kind(),
                ..Duty::default()
            },
            Err(more) => {
                faults.extend(more);
                return Err(faults);
            }
        };
        let (raised, declines) = raise(self, &duty);
        duty.cautions = raised;
        duty.declined = declines.into_iter().next();
        duty.answered = answered(self);
        Ok(duty)
    }

    /// Whether its words, persons or inputs decline it, whatever its limits.
    fn declined(&self) -> bool {
        !raise(self, &Duty::default()).1.is_empty()
    }

    /// The limits and aims of this case with another part or setting in place of its own, the
    /// case's own bounds put on them; without cautions.
    ///
    /// # Errors
    /// As [`Case::duty`].
    pub fn duty_with(&self, part: &dyn Part, setting: &Setting) -> Result<Duty, Vec<Fault>> {
        let mut duty = Duty {
            part: part.kind(),
            ..Duty::default()
        };
        part.limits(setting, &mut duty)?;
        if setting.lies == LiesOnBed::Open
            && let Some(lying) = crate::duty::part(part.kind()).and_then(|k| k.lying)
        {
            duty.notes.push(format!(
                "how it lies on the bed is open: taken as {}",
                lying.words(LiesOnBed::Open)
            ));
        }
        crate::duty::surroundings::add(setting, &mut duty);
        let mut faults = Vec::new();
        for (id, bound) in &self.limits {
            self.set_bound(&mut duty, id, bound, &mut faults);
        }
        if faults.is_empty() {
            Ok(duty)
        } else {
            Err(faults)
        }
    }

    /// Puts the case's own bound and class on every limit of this id, at both temperature ends.
    fn set_bound(&self, duty: &mut Duty, id: &str, bound: &BoundOverride, faults: &mut Vec<Fault>) {
        let named = |limit: &Limit| {
            limit.id == id
                || limit
                    .id
                    .strip_prefix(id)
                    .is_some_and(|end| matches!(end, "@hot" | "@cold"))
        };
        if !duty.limits.iter().any(named) {
            faults.push(unknown_limit(duty, id));
            return;
        }
        for limit in duty.limits.iter_mut().filter(|l| named(l)) {
            match bounded(limit, id, bound) {
                Ok(sense) => {
                    if let Some(promise) = &mut duty.promise {
                        promise.follow(limit, sense);
                    }
                    limit.sense = sense;
                }
                Err(f) => {
                    // The two ends would say the same twice.
                    faults.push(f);
                    return;
                }
            }
            if let Some(class) = bound.class {
                // Harm to persons sets a floor that no case goes below.
                let floor = self.setting.harm_floor().min(limit.class);
                limit.class = class.max(floor);
            }
        }
    }
}

/// The sense of a limit once the case's bound stands in place of the part's.
fn bounded(limit: &Limit, id: &str, bound: &BoundOverride) -> Result<LimitSense, Fault> {
    let unit = Unit::parse(&limit.unit)?;
    let read = |text: &Option<String>| {
        text.as_deref()
            .map(|t| parse_amount(t, &unit, id))
            .transpose()
    };
    let (least, most) = (read(&bound.at_least)?, read(&bound.at_most)?);
    let side = |takes: &str| {
        Fault::new(
            "duty::bound-side",
            format!("the limit `{id}` of this part takes `{takes}`"),
            format!("write `{takes}` for `{id}`"),
        )
    };
    match (limit.sense, least, most) {
        (sense, None, None) => Ok(sense),
        (LimitSense::AtLeast(_), Some(x), None) => Ok(LimitSense::AtLeast(x)),
        (LimitSense::AtMost(_), None, Some(x)) => Ok(LimitSense::AtMost(x)),
        (LimitSense::Between(low, high), a, b) => {
            let (low, high) = (a.unwrap_or(low), b.unwrap_or(high));
            if low > high {
                return Err(Fault::new(
                    "duty::bound-order",
                    format!("`{id}` would lie between {low} and {high} {unit}, which nothing does"),
                    "write the lower figure as `at_least` and the higher as `at_most`",
                ));
            }
            Ok(LimitSense::Between(low, high))
        }
        (LimitSense::AtLeast(_), _, Some(_)) => Err(side("at_least")),
        (LimitSense::AtMost(_), Some(_), _) => Err(side("at_most")),
    }
}

fn unknown_limit(duty: &Duty, id: &str) -> Fault {
    let mut ids: Vec<&str> = duty
        .limits
        .iter()
        .map(|l| l.id.split('@').next().unwrap_or(&l.id))
        .collect();
    ids.dedup();
    let near = ids
        .iter()
        .min_by_key(|known| strsim::damerau_levenshtein(known, id))
        .filter(|known| strsim::damerau_levenshtein(known, id) <= 3);
    Fault::new(
        "duty::unknown-limit",
        format!("`{}` has no limit `{id}` in this case", duty.part),
        match near {
            Some(near) => format!("write `{near}` if that is what was meant"),
            None => format!("its limits are {}", ids.join(", ")),
        },
    )
}
