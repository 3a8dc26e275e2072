//! `dutyfit.parts/1`.

use crate::describe::{Needed, PartSheet};
use crate::duty::LiesOnBed;
use crate::render::json::{AimOfCase, CautionOut, LimitOfCase, written};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

/// `dutyfit.parts/1`: the part kinds.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct PartsFile<'a> {
    /// `dutyfit.parts/1`.
    #[schemars(extend("const" = "dutyfit.parts/1"))]
    format: &'static str,
    /// Part kinds, in the registry's order.
    parts: Vec<PartOut<'a>>,
}

/// One part kind.
#[derive(Debug, Serialize, JsonSchema)]
struct PartOut<'a> {
    /// Id.
    id: &'a str,
    /// What it is.
    title: &'a str,
    /// JSON Schema of its inputs.
    inputs: schemars::Schema,
    /// Its inputs in the order of asking.
    asks: Vec<AskOut<'a>>,
    /// Entries of the surroundings that it cannot do without.
    needs_of_use: Vec<&'a str>,
    /// How it may lie on the bed; null where its limits say themselves how loads lie.
    lying: Option<LyingOut>,
    /// Limits of the worked example.
    limits: Vec<LimitOfCase<'a>>,
    /// Every limit that its inputs can lead to, with its unit.
    all_limits: Vec<UnitOut>,
    /// Aims of the worked example.
    aims: Vec<AimOfCase<'a>>,
    /// Its formulas.
    formulas: Vec<FormulaOut>,
    /// Cautions that each of its cases raises.
    cautions: Vec<CautionOut>,
    /// The worked example as a case file; every input assumed.
    example: Option<Value>,
}

/// One input.
#[derive(Debug, Serialize, JsonSchema)]
struct AskOut<'a> {
    /// Name.
    name: &'a str,
    /// What it is.
    what: &'a str,
    /// Why it is asked and what it decides.
    why: &'a str,
    /// Whether it, or one of `instead`, is always needed.
    needed: bool,
    /// Inputs that may be given in its place.
    instead: &'a [String],
    /// Where it is needed, if that hangs on the words of another input.
    needed_where: Option<WhereOut<'a>>,
    /// What holds when it is left out.
    default: Option<&'a str>,
    /// An answer that would do.
    example: &'a str,
}

/// The words of another input.
#[derive(Debug, Serialize, JsonSchema)]
struct WhereOut<'a> {
    /// The other input.
    input: &'a str,
    /// Its words.
    is: &'a [String],
}

/// How a part may lie on the bed.
#[derive(Debug, Serialize, JsonSchema)]
struct LyingOut {
    /// On its largest face.
    flat: &'static str,
    /// On an edge.
    edge: &'static str,
    /// Standing.
    upright: &'static str,
    /// How a case that leaves it open is taken.
    open: LiesOnBed,
}

/// A limit and its unit.
#[derive(Debug, Serialize, JsonSchema)]
struct UnitOut {
    /// Limit id.
    id: &'static str,
    /// Unit.
    unit: &'static str,
}

/// One formula.
#[derive(Debug, Serialize, JsonSchema)]
struct FormulaOut {
    /// Limit or aim that it serves.
    limit: &'static str,
    /// Formula.
    formula: &'static str,
    /// Where it holds.
    validity: &'static str,
    /// Source and status.
    source: &'static str,
}

/// The file of some part kinds.
pub(super) fn file(sheets: &[PartSheet]) -> String {
    written(&PartsFile {
        format: "dutyfit.parts/1",
        parts: sheets.iter().map(part).collect(),
    })
}

/// What the worked example says of an input.
pub(super) fn in_example(s: &PartSheet, name: &str) -> Option<Value> {
    let example: Value = serde_json::from_str(s.kind.example).ok()?;
    example.get("inputs")?.get(name).cloned()
}

fn part(s: &PartSheet) -> PartOut<'_> {
    let limits = s.duty.iter().flat_map(|d| &d.limits);
    let aims = s.duty.iter().flat_map(|d| &d.aims);
    PartOut {
        id: s.kind.id,
        title: s.kind.title,
        inputs: (s.kind.schema)(),
        asks: s.inputs.iter().map(ask).collect(),
        needs_of_use: s.needs_of_use.clone(),
        lying: s.kind.lying.map(|l| LyingOut {
            flat: l.flat,
            edge: l.edge,
            upright: l.upright,
            open: l.open,
        }),
        limits: limits.map(LimitOfCase::from).collect(),
        all_limits: s
            .kind
            .limits
            .iter()
            .map(|(id, unit)| UnitOut { id, unit })
            .collect(),
        aims: aims.map(AimOfCase::from).collect(),
        formulas: s
            .kind
            .formulas
            .iter()
            .map(|f| FormulaOut {
                limit: f.limit,
                formula: f.formula,
                validity: f.validity,
                source: f.source,
            })
            .collect(),
        cautions: s.cautions.iter().map(|c| CautionOut::from(*c)).collect(),
        example: serde_json::from_str(s.kind.example).ok(),
    }
}

fn ask(i: &crate::describe::InputLine) -> AskOut<'_> {
    AskOut {
        name: &i.name,
        what: &i.what,
        why: &i.why,
        needed: matches!(i.needed, Needed::Always(_)),
        instead: match &i.needed {
            Needed::Always(instead) => instead,
            _ => &[],
        },
        needed_where: match &i.needed {
            Needed::Where(input, is) => Some(WhereOut { input, is }),
            _ => None,
        },
        default: i.default.as_deref(),
        example: &i.example,
    }
}
