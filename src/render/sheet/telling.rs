//! Columns and footnotes of the summary table in words.

use crate::advise::summary::{Listed, Remark, SheetColumn, Subject, lies_word};
use crate::bench::Outcome;
use crate::property::{Moisture, Properties, ROOM_C};
use crate::quantity::Bound;
use crate::render::assumption::assumed_of;
use crate::render::grid::HARD_SPACE;
use crate::render::words::{amount, figure, hours, list};

/// Hours of a year, from which a life is told in years.
const YEAR_H: f64 = 8766.0;

/// What a column shows, in a word or two.
pub(super) fn heading(c: &SheetColumn) -> String {
    // The life stands among the conditions.
    c.title
        .replace(" at the life", "")
        .replace(" for the life", "")
}

/// The conditions of a column: those that matter for it, and those that are not the room's.
pub(super) fn condition(c: &SheetColumn) -> Vec<String> {
    let Subject::Property(ask) = &c.subject else {
        return Vec::new();
    };
    let mut said = Vec::new();
    said.extend(c.lies.map(|l| lies_word(l).to_owned()));
    said.extend(ask.counterface.as_ref().map(|s| format!("on {s}")));
    said.extend(ask.face.map(|f| format!("{} face", f.word())));
    if (ask.temperature_c - ROOM_C).abs() > 0.0 {
        said.push(amount(ask.temperature_c, "degC"));
    }
    if ask.moisture != Moisture::Room {
        said.push(ask.moisture.word().to_owned());
    }
    if let Some(h) = ask.life_h {
        let time = if h < YEAR_H {
            format!("{h} h")
        } else {
            hours(h)
        };
        said.push(format!("after {time}"));
    }
    if let Some(s) = ask.stress_mpa {
        said.push(format!("under {}", amount(s, "MPa")));
    }
    said
}

/// ` [MPa]`, ` [1e-6 mm3/(N.m)]`; nothing for a pure number.
pub(super) fn unit(c: &SheetColumn, currency: &str) -> String {
    let mut parts = Vec::new();
    if c.power != 0 {
        parts.push(format!("1e{}", c.power));
    }
    if c.unit == "per kg" && !currency.is_empty() {
        parts.push(currency.to_owned());
    }
    // The title of a hardness names its scale.
    if !matches!(c.unit.as_str(), "" | "1" | "shoreA" | "shoreD") {
        parts.push(c.unit.clone());
    }
    if parts.is_empty() {
        String::new()
    } else {
        // Not to be broken over two lines.
        format!(" [{}]", parts.join(" ").replace(' ', HARD_SPACE))
    }
}

/// `60 degC 6 h`.
pub(super) fn drying(t: Option<f64>, h: Option<f64>) -> String {
    let said: Vec<String> = [t.map(|t| amount(t, "degC")), h.map(|h| amount(h, "h"))]
        .into_iter()
        .flatten()
        .collect();
    said.join(" ")
}

/// Whether a listed column holds words.
pub(super) fn of_words(c: &SheetColumn) -> bool {
    matches!(
        c.subject,
        Subject::Listed(
            Listed::Title | Listed::Polymer | Listed::Grade | Listed::Kind | Listed::Note
        )
    )
}

/// `tensile run t-1`, `tensile specimens 1 and 3 of run t-1`.
fn of_run(test: &str, specimens: &[u32], run: &str) -> String {
    let each: Vec<String> = specimens.iter().map(u32::to_string).collect();
    match each.as_slice() {
        [] => format!("{test} run {run}"),
        [one] => format!("{test} specimen {one} of run {run}"),
        all => format!("{test} specimens {} of run {run}", list(all)),
    }
}

/// A footnote as a clause.
pub(super) fn footnote(r: &Remark, properties: &Properties) -> String {
    match r {
        Remark::SetAside {
            test,
            run,
            specimens,
            why,
        } => {
            let what = of_run(test, specimens, run);
            let are = if specimens.len() > 1 { "are" } else { "is" };
            format!("{what} {are} set aside and not counted: {why}")
        }
        Remark::Early {
            test,
            run,
            specimens,
        } => {
            let what = of_run(test, specimens, run);
            let counts = if specimens.len() > 1 {
                "count"
            } else {
                "counts"
            };
            format!("{what} failed early, and {counts}")
        }
        Remark::Bounds {
            outcome,
            bound,
            all,
        } => {
            let who = if *all {
                "every specimen"
            } else {
                "some specimens"
            };
            let how = match (outcome, bound) {
                (Outcome::NoBreak, _) => "no break, held all that was given",
                (Outcome::Stopped, _) => "stopped before the failure or the end point",
                (Outcome::AboveRange, _) => "above range, more than rig or scale shows",
                (Outcome::BelowRange, _) => "below range, less than rig or scale shows",
                (Outcome::BelowResolution, _) => "below resolution, nothing could be seen",
                (Outcome::Collapsed, _) => "collapsed at that load",
                (Outcome::Melted, _) => "melted at that load",
                (Outcome::Ruptured, _) => "ruptured at that load",
                (_, Bound::AtLeast) => "at least that, the test shows no more",
                (_, Bound::AtMost) => "at most that, the test shows no less",
                _ => "a range, the test shows no more",
            };
            format!("{who}: {how}")
        }
        Remark::NoFigure { test, run, why } => {
            format!("{test} run {run} gave no figure: {why}")
        }
        Remark::NoEvidence { test, run, outcome } => {
            format!("{test} run {run} is no evidence: {}", outcome.word())
        }
        Remark::Note { property, note } => {
            assumed_of(note, property.as_deref().unwrap_or_default(), properties)
        }
        Remark::HeatLine { tested_c, asked_c } => format!(
            "tested at {} degC: at {} degC what is left is read off a straight line to nothing at the softening onset (assumed)",
            figure(*tested_c),
            figure(*asked_c)
        ),
        Remark::NotRanked { kind } => format!("a {kind}, not a candidate"),
    }
}
