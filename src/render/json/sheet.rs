//! `dutyfit.sheet/1`.

use super::computed;
use crate::advise::summary::{Entry, Remark, SheetCell, SheetColumn, Subject};
use crate::belief::Grade;
use crate::catalog::Origin;
use crate::property::{Face, Lies, Moisture};
use crate::quantity::{Bound, Reading};
use crate::render::sheet::SummarySheet;
use schemars::JsonSchema;
use serde::Serialize;

/// `dutyfit.sheet/1`: the summary table.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SheetFile {
    /// `dutyfit.sheet/1`.
    #[schemars(extend("const" = "dutyfit.sheet/1"))]
    format: &'static str,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// The day it was asked as of; null for all that is recorded.
    as_of: Option<String>,
    /// Date of the latest run behind a figure.
    readings_up_to: Option<String>,
    /// Name of the columns' preset; null where the columns were named.
    preset: Option<&'static str>,
    /// Column it is sorted by; null for by polymer, or as named.
    sorted_by: Option<String>,
    /// Share of the intervals: `low` and `high` are its two ends.
    interval: f64,
    /// Columns.
    columns: Vec<ColumnOut>,
    /// A line a material.
    materials: Vec<LineOut>,
    /// Footnotes.
    footnotes: Vec<FootnoteOut>,
    /// Taken as flexible or rigid by their polymer, for want of modulus and hardness.
    by_polymer: Vec<String>,
    /// Left out since nothing tells whether they are flexible or rigid.
    untold: Vec<String>,
}

/// A column.
#[derive(Debug, Serialize, JsonSchema)]
struct ColumnOut {
    /// Id, as it is written on the command line.
    id: String,
    /// Title.
    title: String,
    /// Canonical unit; empty where there is none.
    unit: String,
    /// Property id; null for what materials.csv says.
    property: Option<String>,
    /// The condition asked for; null for what materials.csv says.
    condition: Option<AskedOut>,
    /// Footnotes that hold for every figure of the column.
    footnotes: Vec<usize>,
}

/// A condition asked for.
#[derive(Debug, Serialize, JsonSchema)]
struct AskedOut {
    /// How the load lies to the layers; null where that is no matter.
    lies: Option<LiesOut>,
    /// Face; null takes the one that serves worst.
    face: Option<Face>,
    /// Temperature, degC.
    temperature_c: f64,
    /// Moisture.
    moisture: Moisture,
    /// Surface rubbed against; null where there is none.
    counterface: Option<String>,
    /// Life at which figures over time are read, h; null for figures without time.
    life_h: Option<f64>,
    /// Stress in use, MPa; null where none was asked.
    stress_mpa: Option<f64>,
}

/// How a load lies to the layers.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum LiesOut {
    /// In their plane: flat and edge evidence.
    InPlane,
    /// Across them.
    Across,
}

/// A material's line.
#[derive(Debug, Serialize, JsonSchema)]
struct LineOut {
    /// Material id.
    material: String,
    /// Footnotes of the material itself.
    footnotes: Vec<usize>,
    /// A cell a column, in their order.
    cells: Vec<CellOut>,
}

/// A cell.
#[derive(Debug, Serialize, JsonSchema)]
struct CellOut {
    /// Column id.
    column: String,
    /// What it rests on; null for what materials.csv says.
    grade: Option<Grade>,
    /// What the figure is; null where there is none.
    bound: Option<Bound>,
    /// The middle of the mean, the bound, or the figure that is stated or listed.
    value: Option<f64>,
    /// 5 % of the mean; of a range or window its low end.
    low: Option<f64>,
    /// 95 % of the mean; of a range or window its high end.
    high: Option<f64>,
    /// Words of materials.csv.
    words: Option<String>,
    /// Drying.
    drying: Option<DryingOut>,
    /// Whether the figure was read off a line that is assumed, or is an assumed share of another one.
    assumed: bool,
    /// Own specimens.
    specimens: u32,
    /// Own prints.
    prints: u32,
    /// How many of the readings are bounds.
    bounds: u32,
    /// Footnotes.
    footnotes: Vec<usize>,
}

/// Drying before printing.
#[derive(Debug, Serialize, JsonSchema)]
struct DryingOut {
    /// Temperature, degC.
    temperature_c: Option<f64>,
    /// Time, h.
    time_h: Option<f64>,
}

/// A footnote.
#[derive(Debug, Serialize, JsonSchema)]
struct FootnoteOut {
    /// Its number.
    number: usize,
    /// What kind.
    kind: KindOut,
    /// Run it speaks of.
    run: Option<String>,
    /// In words.
    text: String,
}

/// What a footnote tells.
#[derive(Clone, Copy, Debug, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum KindOut {
    /// A run is kept and not counted.
    SetAside,
    /// A specimen failed early, and counts.
    EarlyFailure,
    /// Readings are bounds.
    Bounds,
    /// A run gave no figure.
    NoFigure,
    /// A test ended without evidence.
    NoEvidence,
    /// Something was assumed or is lacking.
    Assumed,
    /// A reference specimen or a surface.
    NotRanked,
}

/// Share of the interval from 5 to 95 %.
const INTERVAL: f64 = 0.90;

impl SummarySheet<'_> {
    /// As JSON, `dutyfit.sheet/1`.
    pub(crate) fn json(&self) -> String {
        let s = self.summary;
        super::written(&SheetFile {
            format: "dutyfit.sheet/1",
            demo: self.origin == Origin::Demo,
            handbook: self.origin == Origin::Handbook,
            as_of: self.as_of.map(str::to_owned),
            readings_up_to: s.up_to.clone(),
            preset: self.preset,
            sorted_by: self.by.map(|(c, _)| c.id.clone()),
            interval: INTERVAL,
            columns: s.columns.iter().map(ColumnOut::of).collect(),
            materials: s
                .lines
                .iter()
                .map(|l| LineOut {
                    material: l.material.clone(),
                    footnotes: l.footnotes.clone(),
                    cells: s
                        .columns
                        .iter()
                        .zip(&l.cells)
                        .map(|(c, cell)| CellOut::of(c, cell))
                        .collect(),
                })
                .collect(),
            footnotes: s
                .footnotes
                .iter()
                .enumerate()
                .map(|(i, r)| self.footnote_out(i + 1, r))
                .collect(),
            by_polymer: self.chosen.by_polymer.clone(),
            untold: self.chosen.untold.clone(),
        })
    }

    fn footnote_out(&self, number: usize, r: &Remark) -> FootnoteOut {
        let (kind, run) = match r {
            Remark::SetAside { run, .. } => (KindOut::SetAside, Some(run)),
            Remark::Early { run, .. } => (KindOut::EarlyFailure, Some(run)),
            Remark::Bounds { .. } => (KindOut::Bounds, None),
            Remark::NoFigure { run, .. } => (KindOut::NoFigure, Some(run)),
            Remark::NoEvidence { run, .. } => (KindOut::NoEvidence, Some(run)),
            Remark::Note { .. } | Remark::HeatLine { .. } => (KindOut::Assumed, None),
            Remark::NotRanked { .. } => (KindOut::NotRanked, None),
        };
        FootnoteOut {
            number,
            kind,
            run: run.cloned(),
            text: self.footnote(r),
        }
    }
}

impl ColumnOut {
    fn of(c: &SheetColumn) -> Self {
        let (property, condition) = match &c.subject {
            Subject::Listed(_) => (None, None),
            Subject::Property(ask) => (
                Some(ask.property.to_string()),
                Some(AskedOut {
                    lies: c.lies.map(|l| match l {
                        Lies::InPlane => LiesOut::InPlane,
                        Lies::Across => LiesOut::Across,
                    }),
                    face: ask.face,
                    temperature_c: ask.temperature_c,
                    moisture: ask.moisture,
                    counterface: ask.counterface.clone(),
                    life_h: ask.life_h,
                    stress_mpa: ask.stress_mpa,
                }),
            ),
        };
        ColumnOut {
            id: c.id.clone(),
            title: c.title.clone(),
            unit: c.unit.clone(),
            property,
            condition,
            footnotes: c.footnotes.clone(),
        }
    }
}

impl CellOut {
    fn of(c: &SheetColumn, cell: &SheetCell) -> Self {
        let mut out = CellOut {
            column: c.id.clone(),
            grade: cell.grade,
            bound: None,
            value: None,
            low: None,
            high: None,
            words: None,
            drying: None,
            assumed: cell.assumed,
            specimens: cell.specimens,
            prints: cell.prints,
            bounds: cell.bounds,
            footnotes: cell.footnotes.clone(),
        };
        match &cell.entry {
            Entry::Nothing => {}
            Entry::Words(w) => out.words = Some(w.clone()),
            Entry::Window(low, high) => {
                out.low = low.and_then(computed);
                out.high = high.and_then(computed);
            }
            Entry::Drying(t, h) => {
                out.drying = Some(DryingOut {
                    temperature_c: t.and_then(computed),
                    time_h: h.and_then(computed),
                });
            }
            Entry::Figure(x) => out.set(Reading::Exact(*x)),
            Entry::Mean([low, middle, high]) => {
                out.set(Reading::Exact(*middle));
                out.low = computed(*low);
                out.high = computed(*high);
            }
            Entry::Bound(r) | Entry::Stated(r) => out.set(*r),
        }
        out
    }

    fn set(&mut self, r: Reading) {
        self.bound = Some(r.bound());
        match r {
            Reading::Between(a, b) => {
                self.low = computed(a);
                self.high = computed(b);
            }
            one => self.value = computed(one.as_exact()),
        }
    }
}
