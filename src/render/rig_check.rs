//! `rig-check`: how the rigs stand, charts of what calls, runs in doubt, repeatability.

use crate::advise::rig_check::{
    Chart, Check, ControlState, Design, Doubt, Drift, Factor, Precision, RigCheck, Rule, Segment,
    Series, Signal, deviation, difference, difference_unit,
};
use crate::catalog::Origin;
use crate::property::Scale;
use crate::render::document::{Document, Row};
use crate::render::page::Page;
use crate::render::show::condition;
use crate::render::tag;
use crate::render::words::{amount, count, figure, first_few, list};
use schemars::JsonSchema;
use serde::Serialize;

/// Columns of a chart.
const PLOT: usize = 31;
/// Runs that text names before it counts.
const FIRST_RUNS: usize = 12;

/// What the reference specimens say of the rigs.
#[derive(Clone, Copy, Debug)]
pub struct RigCheckShown<'a> {
    /// What was found.
    pub check: &'a RigCheck,
    /// The rig that was asked for; all its charts are shown.
    pub rig: Option<&'a str>,
    /// Whose figures these are.
    pub origin: Origin,
}

/// `dutyfit.rig-check/1`.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct RigCheckFile<'a> {
    /// `dutyfit.rig-check/1`.
    #[schemars(extend("const" = "dutyfit.rig-check/1"))]
    format: &'static str,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// The answer in a sentence.
    answer: String,
    /// Whether a rig is out of control, or a run in doubt.
    calls: bool,
    /// Every run in doubt, once.
    runs_in_doubt: Vec<&'a str>,
    /// What was found.
    #[serde(flatten)]
    check: &'a RigCheck,
}

impl RigCheckShown<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.rig-check/1`.
    pub fn json(&self) -> String {
        crate::render::json::written_computed(&RigCheckFile {
            format: "dutyfit.rig-check/1",
            demo: self.origin == Origin::Demo,
            handbook: self.origin == Origin::Handbook,
            answer: self.answer(),
            calls: self.check.calls(),
            runs_in_doubt: self.check.runs_in_doubt().into_iter().collect(),
            check: self.check,
        })
    }

    fn answer(&self) -> String {
        let c = self.check;
        let out: Vec<String> = c
            .series
            .iter()
            .filter_map(|s| Some((s, out_now(s)?)))
            .map(|(s, (segment, chart))| {
                format!(
                    "{} reads {} on {} ({}) since {}",
                    s.rig,
                    off(s, chart.departure),
                    s.reference,
                    s.title,
                    since(segment)
                )
            })
            .collect();
        let doubted = c.runs_in_doubt().len() as u64;
        let runs = count(doubted, "run is in doubt", "runs are in doubt");
        let wrong: Vec<String> = c
            .series
            .iter()
            .filter_map(|s| Some((s, s.latest()?.stated.as_ref().filter(|a| !a.holds)?)))
            .map(|(s, a)| {
                format!(
                    "{} reads {} of what {} is stated to be ({})",
                    s.rig,
                    off(s, a.off),
                    s.reference,
                    s.title
                )
            })
            .collect();
        if out.is_empty() && !wrong.is_empty() {
            return format!("{}.", first_few(&wrong, 2));
        }
        if !out.is_empty() {
            return format!("{}: {runs}.", first_few(&out, 2));
        }
        if doubted > 0 {
            return format!("The rigs read as they did, but {runs} from when one did not.");
        }
        let with = |state: ControlState| {
            c.series
                .iter()
                .filter(|s| s.latest().is_some_and(|l| l.state == state))
                .count() as u64
        };
        let few = with(ControlState::TooFew);
        let told = c.series.iter().filter(|s| s.latest().is_some()).count() as u64;
        match (told, told - few) {
            (0, _) => "No reading of a reference specimen says how the rigs stand.".to_owned(),
            (_, 0) => "Too few checks of reference specimens to say how the rigs stand.".to_owned(),
            (_, n) => {
                let watch = with(ControlState::Watch);
                let aside = match watch {
                    0 => String::new(),
                    w => format!(", {} to watch", count(w, "one", "of them")),
                };
                format!("{} in control{aside}.", count(n, "check is", "checks are"))
            }
        }
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(format!("{}{}", self.answer(), tag(self.origin)));
        let rows = self.check.series.iter().map(row).collect();
        doc.table(
            &["rig", "reference", "n", "off, of allowed", "standing"],
            &[2],
            rows,
        );
        for s in &self.check.series {
            self.series(s, &mut doc);
        }
        precision(&self.check.precision, self.rig.is_some(), &mut doc);
        doc.list(
            "No reference was read on",
            self.check
                .unchecked
                .iter()
                .map(|u| format!("{} ({})", u.rig, count(u.runs as u64, "run", "runs")))
                .collect(),
        );
        doc
    }

    fn series(&self, s: &Series, doc: &mut Document) {
        for segment in &s.segments {
            let shown = self.rig.is_some()
                || segment.calls()
                || matches!(
                    segment.state,
                    ControlState::Watch | ControlState::OutOfControl | ControlState::Returned
                );
            let Some(chart) = segment.chart.as_ref().filter(|_| shown) else {
                continue;
            };
            doc.heading(heading(s));
            let rows = segment
                .checks
                .iter()
                .map(|c| plotted(s, chart, c))
                .collect();
            doc.table(
                &["date", "run", "reading", "[ allowed | mean ]"],
                &[2],
                rows,
            );
            doc.list("Chart", about(s, segment, chart));
            doc.list("Seen", chart.signals.iter().map(seen).collect());
            for d in &segment.doubts {
                doubted(d, doc);
            }
            advice(s, segment, doc);
        }
        doc.list(
            format!("Left out of {} on {}", s.reference, s.rig),
            left_out(s),
        );
    }
}

/// The latest segment and its chart, where it is out of control.
fn out_now(s: &Series) -> Option<(&Segment, &Chart)> {
    let latest = s.latest()?;
    let chart = latest.chart.as_ref()?;
    (latest.state == ControlState::OutOfControl).then_some((latest, chart))
}

/// The first date of the stretch that lasts.
fn since(segment: &Segment) -> &str {
    segment
        .doubts
        .last()
        .map_or("", |d| d.first_bad.date.as_str())
}

/// `2.3 % high`, `1.2 degC low`.
fn off(s: &Series, natural: f64) -> String {
    let x = difference(s.scale, natural);
    let side = if x < 0.0 { "low" } else { "high" };
    format!(
        "{} {side}",
        amount(x.abs(), difference_unit(s.scale, &s.unit))
    )
}

/// `+0.19 of 1.21 shoreA`.
fn off_of(s: &Series, c: &Chart) -> String {
    let off = difference(s.scale, c.departure);
    let sign = if off > 0.0 { "+" } else { "" };
    let allowed = of(s.scale, &s.unit, c.half_width);
    format!("{sign}{} of {allowed}", figure(off))
}

fn of(scale: Scale, unit: &str, natural: f64) -> String {
    amount(deviation(scale, natural), difference_unit(scale, unit))
}

fn standing(state: ControlState) -> &'static str {
    match state {
        ControlState::TooFew => "too few checks to say",
        ControlState::InControl => "in control",
        ControlState::Watch => "in control; watch it",
        ControlState::Returned => "in control again",
        ControlState::OutOfControl => "OUT OF CONTROL",
    }
}

fn row(s: &Series) -> Row {
    let latest = s.latest();
    let chart = latest.and_then(|l| l.chart.as_ref());
    let checks = latest.map_or(0, |l| l.checks.len());
    let state = latest.map_or("no exact dated reading", |l| standing(l.state));
    let earlier = match s.segments.len().saturating_sub(1) {
        0 => String::new(),
        n => format!(
            "; {} before",
            count(n as u64, "calibration", "calibrations")
        ),
    };
    Row {
        cells: vec![
            s.rig.clone().into(),
            s.reference.clone().into(),
            checks.to_string().into(),
            chart
                .map_or_else(|| "-".to_owned(), |c| off_of(s, c))
                .into(),
            format!("{state}; {}{earlier}", s.title).into(),
        ],
        shorter: None,
    }
}

fn heading(s: &Series) -> String {
    let mut said = vec![s.title.clone()];
    said.extend(condition(&s.condition));
    format!("{} on {}: {}", s.reference, s.rig, said.join(", "))
}

fn plotted(s: &Series, chart: &Chart, c: &Check) -> Row {
    let at = |x: f64| chart.column(x, s.scale, PLOT);
    let (low, mean, high, here) = (at(chart.low), at(chart.mean), at(chart.high), at(c.figure));
    let plot: String = (0..PLOT)
        .map(|i| match i {
            i if i == here && c.out => 'X',
            i if i == here => 'o',
            i if i == low => '[',
            i if i == mean => '|',
            i if i == high => ']',
            _ => '.',
        })
        .collect();
    Row {
        cells: vec![
            c.date.clone().into(),
            c.run.clone().into(),
            amount(c.figure, &s.unit).into(),
            plot.into(),
        ],
        shorter: None,
    }
}

fn about(s: &Series, segment: &Segment, c: &Chart) -> Vec<String> {
    let of = |x| of(s.scale, &s.unit, x);
    let mut said = vec![format!(
        "mean of the first {} {}, limits {} to {}",
        c.base,
        figure(c.mean),
        figure(c.low),
        amount(c.high, &s.unit)
    )];
    said.push(if c.by_calibration {
        format!(
            "the limits are twice the calibration's standard uncertainty of {}; the scatter of a check is {}",
            of(c.calibration_u),
            of(c.sigma)
        )
    } else {
        format!(
            "the limits are {} times the mean moving range of {}{}",
            figure(c.factor),
            of(c.moving_range),
            if c.calibration_u > 0.0 {
                format!("; the calibration states {}", of(c.calibration_u))
            } else {
                String::new()
            }
        )
    });
    said.extend(c.drift.as_ref().map(|d| drift(s, d)));
    said.extend(segment.stated.as_ref().map(|a| {
        format!(
            "the mean lies {} of the stated {} ({}), and may by {}{}",
            off(s, a.off),
            amount(a.value, &s.unit),
            a.source,
            of(a.allowed),
            if a.holds { "" } else { ": IT DOES NOT HOLD" }
        )
    }));
    if !segment.calibrations.is_empty() {
        said.push(format!("under {}", list(&segment.calibrations)));
    }
    said
}

fn drift(s: &Series, d: &Drift) -> String {
    let unit = difference_unit(s.scale, &s.unit);
    let x = |natural: f64| figure(deviation(s.scale, natural));
    let left = d.months_left.map_or_else(String::new, |m| {
        format!(", at the limits in {} months if it goes on", figure(m))
    });
    format!(
        "drift {} ({}..{}) {unit} a month{left}",
        x(d.per_month),
        x(d.low),
        x(d.high)
    )
}

fn seen(s: &Signal) -> String {
    let what = match s.rule {
        Rule::BeyondLimits => "a check beyond the limits",
        Rule::OneSide => "nine checks in a row on one side of the mean",
        Rule::Steady => "six checks in a row steadily rising or falling",
        Rule::Drift => "a line through the checks that rises or falls",
        Rule::MovingRange => "two checks in a row further apart than the scatter allows",
    };
    let within = if s.watch && s.rule != Rule::MovingRange {
        ", so far within what the calibration or the scatter allows"
    } else {
        ""
    };
    format!("{what} ({}, {}){within}", s.run, s.date)
}

fn doubted(d: &Doubt, doc: &mut Document) {
    let until = d.next_good.as_ref().map_or_else(String::new, |n| {
        format!(", good again on {} ({})", n.date, n.run)
    });
    let after = d.last_good.as_ref().map_or_else(
        || "since the calibration".to_owned(),
        |g| format!("last good on {} ({})", g.date, g.run),
    );
    doc.paragraph(format!(
        "Out of control: {after}, bad on {} ({}){until}.",
        d.first_bad.date, d.first_bad.run
    ));
    let runs = |r: &[String]| vec![first_few(r, FIRST_RUNS)];
    let some = |r: &[String]| !r.is_empty();
    if some(&d.between) {
        doc.list(
            format!(
                "In doubt, made up to the first bad check ({})",
                count(d.between.len() as u64, "run", "runs")
            ),
            runs(&d.between),
        );
    }
    if some(&d.during) {
        doc.list(
            format!(
                "In doubt, made while it was out ({})",
                count(d.during.len() as u64, "run", "runs")
            ),
            runs(&d.during),
        );
    }
    if some(&d.undated) {
        doc.list(
            format!(
                "Without a date, so perhaps in doubt ({})",
                count(d.undated.len() as u64, "run", "runs")
            ),
            runs(&d.undated),
        );
    }
    if !some(&d.between) && !some(&d.during) && !some(&d.undated) {
        doc.paragraph("No run that counts was made in that time.");
    }
}

fn advice(s: &Series, segment: &Segment, doc: &mut Document) {
    if segment.state == ControlState::OutOfControl {
        doc.paragraph(format!(
            "Test {} again today. If it reads its mean, the last checks went wrong: set them aside. If it is \
             off still, calibrate the rig and write what you find to rigs.csv with the day from which it \
             holds; the runs in doubt are then read by it.",
            s.reference
        ));
        if let Some(l) = segment.calibration_lines.first() {
            doc.list(
                format!(
                    "If it was the {} of {} alone, its {} went from {} to {}, {} of its standard uncertainties",
                    l.channel,
                    l.rig,
                    part(l.part),
                    figure(l.was),
                    l.becomes,
                    figure(l.uncertainties)
                ),
                vec![l.line.clone()],
            );
            doc.list("Columns of that line", vec![l.header.to_owned()]);
        }
        doc.paragraph("Where neither helps, set the runs in doubt aside, or test them again.");
    } else if segment.doubts.is_empty() && segment.calls() {
        doc.paragraph(format!(
            "Calibrate the rig, or correct what is stated of {}: every figure under this calibration is off \
             by as much.",
            s.reference
        ));
    } else if segment.calls() {
        doc.paragraph(
            "Was that check itself right? If not, set it aside. Else test the runs in doubt again, or \
             set them aside.",
        );
    }
}

fn part(kind: crate::bench::BiasKind) -> &'static str {
    match kind {
        crate::bench::BiasKind::Offset => "offset",
        crate::bench::BiasKind::Gain => "gain",
    }
}

fn left_out(s: &Series) -> Vec<String> {
    let mut said = Vec::new();
    if s.bounds > 0 {
        said.push(count(
            s.bounds as u64,
            "reading that was only a bound",
            "readings that were only bounds",
        ));
    }
    if s.undated > 0 {
        said.push(count(
            s.undated as u64,
            "reading without a date",
            "readings without a date",
        ));
    }
    if !s.set_aside.is_empty() {
        said.push(format!("set aside {}", list(&s.set_aside)));
    }
    said
}

fn precision(all: &[Precision], whole: bool, doc: &mut Document) {
    if all.is_empty() {
        return;
    }
    doc.heading("How well readings repeat (one standard deviation, 5..95 %)");
    let rows = all
        .iter()
        .map(|p| {
            let three = |[x, low, high]: [f64; 3]| {
                let f = |x| figure(deviation(p.scale, x));
                match (x > 0.0, high > 0.0) {
                    (true, _) => format!("{} ({}..{})", f(x), f(low), f(high)),
                    (false, true) => format!("none seen (to {})", f(high)),
                    (false, false) => "none seen".to_owned(),
                }
            };
            Row {
                cells: vec![
                    p.rig.clone().into(),
                    three(p.repeat).into(),
                    three(p.between).into(),
                    three(p.both).into(),
                    what_of(p).into(),
                ],
                shorter: None,
            }
        })
        .collect();
    doc.table(&["rig", "repeat", "on top", "together", "what"], &[], rows);
    if whole {
        for p in all {
            doc.list(what_of(p), design(p));
        }
    }
}

fn factor(f: Factor) -> (&'static str, &'static str, &'static str) {
    match f {
        Factor::Operator => ("operator", "operators", "by operators"),
        Factor::Day => ("day", "days", "by days"),
    }
}

fn what_of(p: &Precision) -> String {
    let unit = difference_unit(p.scale, &p.unit);
    format!("{}, {unit}, {}", p.title, factor(p.factor).2)
}

/// What the analysis was, and what has to be said of it.
fn design(p: &Precision) -> Vec<String> {
    let (one, many, _) = factor(p.factor);
    let how = match p.design {
        Design::CrossedPooled => "crossed, the interaction counted with the repeats",
        Design::Crossed => "crossed, the interaction kept",
        Design::Nested => "each reference by itself, equally many readings a group",
        Design::NestedUneven => "each reference by itself, unequal groups, restricted likelihood",
    };
    let mut said = vec![format!(
        "{} of {} by {}, {how}",
        count(p.readings as u64, "reading", "readings"),
        count(p.specimens as u64, "reference", "references"),
        count(p.levels as u64, one, many),
    )];
    if p.factor == Factor::Operator {
        said.push("days are among the repeats".to_owned());
    }
    if p.below_nothing {
        said.push(format!(
            "what {many} add came out below nothing and is shown as 0"
        ));
    }
    let limit = |x| of(p.scale, &p.unit, x);
    said.push(format!(
        "two readings differ by more than {} once in twenty with one {one}, {} with two",
        limit(p.repeat_limit),
        limit(p.both_limit)
    ));
    said.extend(p.interaction_chance.map(|chance| {
        format!(
            "chance that such an interaction comes by itself {}",
            figure(chance)
        )
    }));
    if let (Some(percent), Some(n)) = (p.rig_percent, p.categories) {
        said.push(format!(
            "the rig is {} % of the total deviation and tells {} kinds of these references apart",
            figure(percent),
            figure(n)
        ));
    }
    if p.left_out > 0 {
        said.push(format!(
            "{} left out",
            count(p.left_out as u64, "reading", "readings")
        ));
    }
    said
}
