//! A reduced sheet for people, for programs and for pages.

use crate::belief::RunSummary;
use crate::bench::{
    BenchTest, Observation, ReducedRun, ReducedSpecimen, Value, Written, implausible, written,
};
use crate::property::{Properties, PropertyId};
use crate::quantity::{Bound, Reading};
use crate::render::json::{CellOut, written as json_text};
use crate::render::page::{Cell, Page, markdown_table};
use crate::render::words::{
    amount, as_written, count, figure, hours, list, markdown, reading, safe, significant,
};
use serde::Serialize;

/// Significant digits of a deterministic figure in JSON.
const DIGITS: usize = 10;

/// A sheet reduced without a catalog.
pub(crate) struct ReducedSheet<'a> {
    /// What it is called.
    pub(crate) file: String,
    /// Its test.
    pub(crate) test: &'static dyn BenchTest,
    /// Its runs.
    pub(crate) runs: Vec<SheetRun>,
    /// The property table.
    pub(crate) properties: &'a Properties,
    /// Whether the steps are shown.
    pub(crate) working: bool,
}

/// One run of such a sheet.
pub(crate) struct SheetRun {
    /// Its specimens.
    pub(crate) reduced: ReducedRun,
    /// What it says by itself.
    pub(crate) summaries: Vec<RunSummary>,
}

/// `dutyfit.reduce/1`: a sheet reduced.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct ReduceFile {
    /// `dutyfit.reduce/1`.
    #[schemars(extend("const" = "dutyfit.reduce/1"))]
    format: &'static str,
    /// Test id.
    test: &'static str,
    /// Runs in the order of the sheet.
    runs: Vec<RunOut>,
}

/// `dutyfit.reduced/1`: the sheets of one file reduced.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct ReducedFile {
    /// `dutyfit.reduced/1`.
    #[schemars(extend("const" = "dutyfit.reduced/1"))]
    format: &'static str,
    /// Sheets in the order of the file.
    sheets: Vec<ReduceFile>,
}

/// One run: the lines of one material, date, rig and condition.
#[derive(Debug, Serialize, schemars::JsonSchema)]
pub(crate) struct RunOut {
    /// Run id as in the sheet, or made up (`run-1`).
    run: String,
    /// Material id, null where the sheet does not say.
    material: Option<String>,
    /// Specimens.
    specimens: Vec<SpecimenOut>,
    /// What the run says of each property.
    properties: Vec<SummaryOut>,
}

/// One specimen.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct SpecimenOut {
    /// Number within the run.
    specimen: u32,
    /// Outcome word; empty where it was simply measured.
    outcome: &'static str,
    /// Properties that came out.
    properties: Vec<PropertyOut>,
    /// Properties that did not.
    refused: Vec<RefusedOut>,
    /// What was written, where no figure is made of the test (print trials).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    written: Vec<CellOut>,
    /// Figures that are hard to believe, in words; absent where there is none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    doubts: Vec<String>,
    /// The steps of the reduction, with `--working`.
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<Vec<StepOut>>,
}

/// A property of one specimen.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct PropertyOut {
    /// Property id.
    property: PropertyId,
    /// Value or bound; absent where `bound` is `between`.
    #[serde(skip_serializing_if = "Option::is_none")]
    value: Option<f64>,
    /// Low end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<f64>,
    /// High end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<f64>,
    /// What the figure is.
    bound: Bound,
    /// Unit.
    unit: String,
    /// Break type that is never averaged with others (`partial`, `hinge`).
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<String>,
    /// Hours after loading at which a curve was read: its last reading.
    #[serde(skip_serializing_if = "Option::is_none")]
    hours: Option<f64>,
    /// Whether the specimen failed early.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    early: bool,
}

/// A property that did not come out.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct RefusedOut {
    /// Property id.
    property: PropertyId,
    /// Stable code.
    code: String,
    /// Why, with the figures.
    why: String,
}

/// One step of a reduction.
#[derive(Debug, Serialize, schemars::JsonSchema)]
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

/// What one run says of a property by itself.
#[derive(Debug, Serialize, schemars::JsonSchema)]
struct SummaryOut {
    /// Property id.
    property: PropertyId,
    /// Specimens behind it.
    n: u32,
    /// Median of the mean; null where the readings do not say.
    median: Option<f64>,
    /// 5 % of the mean; the bound where that is `at_least`.
    low: Option<f64>,
    /// 95 % of the mean; the bound where that is `at_most`.
    high: Option<f64>,
    /// `at_least` or `at_most` where all readings are bounds from one side.
    #[serde(skip_serializing_if = "Option::is_none")]
    bound: Option<Bound>,
    /// Unit.
    unit: String,
    /// Break type that is never averaged with others.
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<String>,
    /// Hours after loading at which curves were read.
    #[serde(skip_serializing_if = "Option::is_none")]
    hours: Option<f64>,
}

/// Several sheets of one file as JSON, `dutyfit.reduced/1`.
pub(crate) fn reduced_json(sheets: &[ReducedSheet<'_>]) -> String {
    json_text(&ReducedFile {
        format: "dutyfit.reduced/1",
        sheets: sheets.iter().map(ReducedSheet::json_file).collect(),
    })
}

fn digits(x: f64) -> Option<f64> {
    significant(x, DIGITS)
}

impl ReducedSheet<'_> {
    fn unit(&self, property: &PropertyId) -> String {
        self.properties
            .get(property.as_str())
            .map_or_else(String::new, |p| p.unit.to_string())
    }

    fn title(&self, property: &PropertyId) -> String {
        self.properties
            .get(property.as_str())
            .map_or_else(|| property.to_string(), |p| p.title.to_string())
    }

    /// As JSON, `dutyfit.reduce/1`.
    pub(crate) fn json(&self) -> String {
        json_text(&self.json_file())
    }

    fn json_file(&self) -> ReduceFile {
        ReduceFile {
            format: "dutyfit.reduce/1",
            test: self.test.id(),
            runs: self.runs_out(),
        }
    }

    /// The runs for JSON.
    pub(crate) fn runs_out(&self) -> Vec<RunOut> {
        self.runs.iter().map(|r| self.run_out(r)).collect()
    }

    fn run_out(&self, run: &SheetRun) -> RunOut {
        RunOut {
            run: run.reduced.run.id.clone(),
            material: run.reduced.run.material.clone(),
            specimens: run
                .reduced
                .specimens
                .iter()
                .map(|s| self.specimen_out(run, s))
                .collect(),
            properties: run
                .summaries
                .iter()
                .map(|s| SummaryOut {
                    property: s.property.clone(),
                    n: s.n,
                    median: s.mean.and_then(|m| digits(m[1])),
                    low: match s.bound {
                        Some(Reading::AtLeast(x)) => digits(x),
                        _ => s.mean.and_then(|m| digits(m[0])),
                    },
                    high: match s.bound {
                        Some(Reading::AtMost(x)) => digits(x),
                        _ => s.mean.and_then(|m| digits(m[2])),
                    },
                    bound: s.bound.map(Reading::bound),
                    unit: self.unit(&s.property),
                    kind: s.kind.clone(),
                    hours: s.hours.and_then(digits),
                })
                .collect(),
        }
    }

    /// What was written of a specimen, where no figure is made of the test.
    fn kept(&self, run: &SheetRun, specimen: u32) -> Vec<Written> {
        let of = run.reduced.run.specimens.iter();
        of.filter(|s| s.number == specimen && !self.test.gives_figures())
            .flat_map(|s| written(self.test, s))
            .collect()
    }

    fn specimen_out(&self, run: &SheetRun, s: &ReducedSpecimen) -> SpecimenOut {
        SpecimenOut {
            specimen: s.specimen,
            outcome: s.outcome.word(),
            properties: s
                .observations
                .iter()
                .map(|o| self.property_out(o))
                .collect(),
            refused: s
                .refused
                .iter()
                .map(|r| RefusedOut {
                    property: r.property.clone(),
                    code: r.code.clone(),
                    why: r.why.clone(),
                })
                .collect(),
            written: self
                .kept(run, s.specimen)
                .iter()
                .map(CellOut::from)
                .collect(),
            doubts: implausible(s, self.properties)
                .into_iter()
                .map(|f| f.what)
                .collect(),
            working: self.working.then(|| {
                s.working
                    .iter()
                    .map(|w| StepOut {
                        label: w.label.clone(),
                        what: w.what.clone(),
                        value: digits(w.value),
                        unit: w.unit.clone(),
                    })
                    .collect()
            }),
        }
    }

    fn property_out(&self, o: &Observation) -> PropertyOut {
        let (shown, hours) = now(o);
        let (a, b) = shown.figures();
        let bound = shown.bound();
        PropertyOut {
            property: o.property.clone(),
            value: b.map_or_else(|| digits(a), |_| None),
            low: b.and_then(|_| digits(a)),
            high: b.and_then(digits),
            bound,
            unit: self.unit(&o.property),
            kind: o.condition.kind.clone(),
            hours: hours.or(o.hours).and_then(digits),
            early: o.early,
        }
    }

    /// For a screen.
    pub(crate) fn text(&self, page: Page) -> String {
        let mut out = page.paragraph("", "", &self.first_line());
        out.push_str(&self.runs_text(page));
        out
    }

    /// Its runs for a screen.
    pub(crate) fn runs_text(&self, page: Page) -> String {
        let mut out = String::new();
        for run in &self.runs {
            out.push('\n');
            out.push_str(&page.paragraph("", "", &run_title(run)));
            let rows: Vec<Vec<Cell>> = self
                .summary_rows(run)
                .into_iter()
                .map(|[title, mean, rest]| {
                    vec![Cell::from(format!("  {title}")), mean.into(), rest.into()]
                })
                .collect();
            out.push_str(&page.rows(&rows, &[1]));
            for note in self.notes(run) {
                out.push_str(&page.paragraph("  ", "    ", &note));
            }
            if self.working {
                for s in &run.reduced.specimens {
                    out.push_str(&format!("  working of specimen {}\n", s.specimen));
                    let rows: Vec<Vec<Cell>> = steps(s)
                        .into_iter()
                        .map(|[label, what, value]| {
                            vec![
                                Cell::from(format!("    {label}")),
                                value.into(),
                                what.into(),
                            ]
                        })
                        .collect();
                    out.push_str(&page.rows(&rows, &[1]));
                }
            }
        }
        out
    }

    /// For a page.
    pub(crate) fn markdown(&self) -> String {
        format!("{}\n{}", markdown(&self.first_line()), self.runs_markdown())
    }

    /// Its runs for a page.
    pub(crate) fn runs_markdown(&self) -> String {
        let mut out = String::new();
        let escaped = |cells: &[String]| cells.iter().map(|c| markdown(c)).collect::<Vec<_>>();
        for run in &self.runs {
            out.push_str(&format!("\n## {}\n\n", markdown(&run_title(run))));
            let mut rows = vec![["property", "mean", "from"].map(str::to_owned).to_vec()];
            rows.extend(self.summary_rows(run).iter().map(|r| escaped(r)));
            out.push_str(&markdown_table(&rows));
            let notes = self.notes(run);
            if !notes.is_empty() {
                out.push('\n');
            }
            for note in notes {
                out.push_str(&format!("- {}\n", markdown(&note)));
            }
            if self.working {
                for s in &run.reduced.specimens {
                    out.push_str(&format!("\n### Working of specimen {}\n\n", s.specimen));
                    let mut rows = vec![["label", "what", "figure"].map(str::to_owned).to_vec()];
                    rows.extend(steps(s).iter().map(|r| escaped(r)));
                    out.push_str(&markdown_table(&rows));
                }
            }
        }
        out
    }

    fn first_line(&self) -> String {
        let specimens: usize = self.runs.iter().map(|r| r.reduced.specimens.len()).sum();
        format!(
            "{}: {} in {}; {}",
            self.test.title(),
            count(specimens as u64, "specimen", "specimens"),
            count(self.runs.len() as u64, "run", "runs"),
            if self.test.gives_figures() {
                "means with their 90 % interval, from each run alone."
            } else {
                "kept as written, for no figure is made of them."
            }
        )
    }

    /// Title, mean and where it comes from, a row a property.
    fn summary_rows(&self, run: &SheetRun) -> Vec<[String; 3]> {
        run.summaries
            .iter()
            .map(|s| {
                let unit = self.unit(&s.property);
                let mut title = self.title(&s.property);
                if let Some(k) = &s.kind {
                    title.push_str(&format!(" ({k} breaks)"));
                }
                if let Some(h) = s.hours {
                    title.push_str(&format!(" at {}", hours(h)));
                }
                let (mean, interval) = match (s.bound, s.mean) {
                    (Some(bound), _) => (reading(bound, &unit), "from ".to_owned()),
                    (None, Some([low, median, high])) => (
                        amount(median, &unit),
                        format!("{} to {}, from ", figure(low), figure(high)),
                    ),
                    (None, None) => ("-".to_owned(), String::new()),
                };
                let each: Vec<String> = run
                    .reduced
                    .specimens
                    .iter()
                    .flat_map(|sp| &sp.observations)
                    .filter(|o| o.property == s.property && o.condition.kind == s.kind)
                    .map(|o| {
                        let early = if o.early { " (early failure)" } else { "" };
                        format!("{}{early}", reading(now(o).0, ""))
                    })
                    .collect();
                let from = if s.mean.is_some() || s.bound.is_some() {
                    list(&each)
                } else {
                    format!("{} {unit}", list(&each))
                };
                [title, mean, format!("{interval}{from}")]
            })
            .collect()
    }

    /// Refusals, outcomes that give no figure, and figures that are hard to believe.
    fn notes(&self, run: &SheetRun) -> Vec<String> {
        let mut notes = Vec::new();
        for s in &run.reduced.specimens {
            let kept = self.kept(run, s.specimen);
            if !kept.is_empty() {
                notes.push(format!(
                    "specimen {}: {}",
                    s.specimen,
                    safe(&as_written(&kept))
                ));
            }
            if s.outcome.no_evidence() {
                notes.push(format!("specimen {}: {}", s.specimen, s.outcome.word()));
            }
            for r in &s.refused {
                notes.push(format!(
                    "specimen {}: no {}: {}",
                    s.specimen,
                    self.title(&r.property),
                    safe(&r.why)
                ));
            }
            for f in implausible(s, self.properties) {
                notes.push(format!(
                    "DOUBT, specimen {}: {}; {}",
                    s.specimen, f.what, f.fix
                ));
            }
        }
        notes
    }
}

/// What is shown of an observation: of a curve its last reading, and when that was.
fn now(o: &Observation) -> (Reading, Option<f64>) {
    match &o.value {
        Value::Now(r) => (*r, None),
        Value::Curve(c) => (
            Reading::Exact(o.value.figure()),
            c.points.last().map(|p| p.0),
        ),
    }
}

fn run_title(run: &SheetRun) -> String {
    let of = &run.reduced.run;
    let mut title = format!("Run {}", safe(&of.id));
    for part in [&of.material, &of.date].into_iter().flatten() {
        title.push_str(&format!(", {}", safe(part)));
    }
    let said = &of.condition;
    if let Some(d) = said.direction {
        title.push_str(&format!(", {}", d.word()));
    }
    if let Some(s) = &said.counterface {
        title.push_str(&format!(", on {}", safe(s)));
    }
    if let Some(why) = &of.set_aside {
        title.push_str(&format!(" (set aside: {})", safe(why)));
    }
    title
}

fn steps(s: &ReducedSpecimen) -> Vec<[String; 3]> {
    s.working
        .iter()
        .map(|w| [w.label.clone(), w.what.clone(), amount(w.value, &w.unit)])
        .collect()
}
