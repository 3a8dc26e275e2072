//! A share kept over time, as a hold test or a bolted joint gives it.

use crate::bench::{Cell, Curve, Outcome, Point, Reduction, Specimen};
use crate::quantity::Reading;

/// Largest share of a force kept that is taken for a reading: above, it has grown (assumed).
const FORCE_KEPT_MAX: f64 = 1.05;
/// Largest share of a torque kept that is taken for a reading (assumed).
const TORQUE_KEPT_MAX: f64 = 1.10;
/// Sets, %, outside this range are misreadings (assumed).
const SET_RANGE: (f64, f64) = (-10.0, 110.0);
/// Recovery, min, after which set is read (ISO 815-1 and ASTM D395: half an hour; ISO 2285, from memory, not
/// verified).
const RECOVERY_MIN: f64 = 30.0;
/// When the fresh joint is loosened, h: about a minute after tightening (assumed).
const FRESH_H: f64 = 1.0 / 60.0;

/// Code and reason of a refusal.
type Why = (&'static str, String);
/// A reading over time: hours since loading, figure, the line it stands on.
pub(super) type Timed<'a> = (f64, f64, &'a Point);

/// One later reading: hours since loading, share of the start, whether it is exact.
struct Seen {
    /// Hours since loading, above the start's.
    hours: f64,
    /// Share of the start.
    share: f64,
    /// Whether the cell behind it is exact.
    exact: bool,
}

/// Whether the cell of a column is a figure and no bound.
pub(super) fn is_exact(p: &Point, column: &str) -> bool {
    matches!(p.cells.get(column), Some(Cell::Number(r)) if r.is_exact())
}

/// Gives a share kept: a curve from 1 at `start_h` on, or a bound where the last reading is
/// only a bound or nothing was left to read.
fn give(s: &Specimen, property: &'static str, start_h: f64, later: &[Seen], out: &mut Reduction) {
    let Some(last) = later.last() else {
        return;
    };
    if !last.exact {
        // A bound speaks for its time, not for a curve; the cell's side makes it `<=` or `>=`.
        out.give(s, property, Reading::Exact(last.share)).hours = Some(last.hours);
    } else if let Some(gone) = later.iter().position(|r| r.share <= 0.0) {
        let before = later.iter().take(gone).next_back().map_or(1.0, |r| r.share);
        let hours = later.get(gone).map(|r| r.hours);
        out.give(s, property, Reading::AtMost(before)).hours = hours;
    } else {
        let points = std::iter::once((start_h, 1.0))
            .chain(later.iter().map(|r| (r.hours, r.share)))
            .collect();
        out.give_curve(s, property, Curve::retained(points));
    }
}

/// Gives the share of a force kept at a fixed squeeze or stretch, from readings in order of time:
/// each over the first one above time 0. `gone` says why the piece holds nothing any more.
pub(super) fn of_force(
    s: &Specimen,
    property: &'static str,
    label: &'static str,
    readings: &[Timed<'_>],
    gone: Option<Why>,
    out: &mut Reduction,
) {
    let timed: Vec<Timed<'_>> = readings.iter().copied().filter(|r| r.0 > 0.0).collect();
    let (Some(first), Some(last)) = (timed.first(), timed.last()) else {
        return;
    };
    let refusal = if timed.len() < 2 || last.0 <= first.0 {
        Some((
            "bench::one-reading",
            format!("one force at {} h: a second, later one is needed", first.0),
        ))
    } else if gone.is_some() {
        gone
    } else if first.1 <= 0.0 || first.2.outcome == Outcome::AboveRange {
        Some((
            "bench::no-first-force",
            format!("the first force, {} N, is no figure to share by", first.1),
        ))
    } else {
        timed.iter().find(|r| r.1 / first.1 > FORCE_KEPT_MAX).map(|r| {
            (
                "bench::force-grew",
                format!(
                    "{} N at {} h is more than the first {} N at {} h: the gap or the temperature moved",
                    r.1, r.0, first.1, first.0
                ),
            )
        })
    };
    if let Some((code, why)) = refusal {
        out.refuse(property, code, why);
        return;
    }
    out.step(label, "time of the first force", first.0, "h");
    out.step(label, "time of the last force", last.0, "h");
    out.step(
        label,
        "share of force kept at the last reading",
        last.1 / first.1,
        "1",
    );
    let later = seen(timed.get(1..).unwrap_or_default(), first.1, "force");
    give(s, property, first.0, &later, out);
}

/// Gives the share of a clamp load kept, from torques in order of time: each over that of a fresh
/// joint, which stands at a minute or sooner. `column` is where they were read, `what` the share in words.
pub(super) fn of_torque(
    s: &Specimen,
    property: &'static str,
    (label, column, what): (&'static str, &'static str, &'static str),
    fresh: f64,
    readings: &[Timed<'_>],
    out: &mut Reduction,
) {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return;
    };
    if let Some(r) = readings.iter().find(|r| r.0 <= 0.0) {
        out.refuse(
            property,
            "bench::no-time",
            format!("{} N.m was read with no time since tightening", r.1),
        );
        return;
    }
    if let Some(r) = readings.iter().find(|r| r.1 / fresh > TORQUE_KEPT_MAX) {
        out.refuse(
            property,
            "bench::torque-grew",
            format!(
                "{} N.m at {} h is more than the {fresh} N.m of the fresh joint: it seized or warmed",
                r.1, r.0
            ),
        );
        return;
    }
    out.step(label, "time of the last torque", last.0, "h");
    out.step(label, what, last.1 / fresh, "1");
    give(
        s,
        property,
        FRESH_H.min(0.5 * first.0),
        &seen(readings, fresh, column),
        out,
    );
}

/// The share of a squeeze or stretch that stays, %, of a size before, held and recovered (mm), with a step where it
/// was read after another recovery than usual; `None` and a refusal where one of the three is misread. `shown` is
/// the held size as it is told.
pub(super) fn set(
    s: &Specimen,
    property: &'static str,
    label: &'static str,
    [before, held, recovered]: [f64; 3],
    shown: &str,
    out: &mut Reduction,
) -> Option<f64> {
    let figure = 100.0 * (before - recovered) / (before - held);
    if !(SET_RANGE.0..=SET_RANGE.1).contains(&figure) {
        out.refuse(
            property,
            "bench::set-out-of-range",
            format!(
                "{recovered} mm after {before} mm held at {shown} mm would be a set of {figure:.1} %: one of the three is misread"
            ),
        );
        return None;
    }
    if let Some(minutes) = s.once("recovery")
        && (minutes - RECOVERY_MIN).abs() > 0.5
    {
        out.step(
            label,
            "read after another recovery than the usual 30 min",
            minutes,
            "min",
        );
    }
    Some(figure)
}

fn seen(readings: &[Timed<'_>], whole: f64, column: &str) -> Vec<Seen> {
    readings
        .iter()
        .map(|r| Seen {
            hours: r.0,
            share: r.1 / whole,
            exact: is_exact(r.2, column),
        })
        .collect()
}

/// The lines that have a figure in `column`, in order of time (a blank time counts as the moment
/// of loading), without those that ended so.
pub(super) fn over_time<'a>(s: &'a Specimen, column: &str, ended: Outcome) -> Vec<Timed<'a>> {
    let mut all: Vec<Timed<'a>> = s
        .points
        .iter()
        .filter(|p| p.outcome != ended)
        .filter_map(|p| Some((p.num("time").unwrap_or(0.0), p.num(column)?, p)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}
