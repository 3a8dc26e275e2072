//! Runs: what is set aside, days that cannot be, and runs entered twice.

use super::{Reduced, doubt};
use crate::bench::{Point, Run};
use crate::catalog::Catalog;
use crate::catalog::load::RunPlace;
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// Runs that are kept and do not count: one line a run, so that none is forgotten.
pub(super) fn set_aside(catalog: &Catalog, out: &mut Vec<Problem>) {
    let mut said = BTreeSet::new();
    for (r, at) in catalog.runs.iter().zip(&catalog.places.runs) {
        let Some(why) = &r.set_aside else { continue };
        if !said.insert(r.id.as_str()) {
            continue;
        }
        let why = if why.is_empty() {
            "without a reason"
        } else {
            why
        };
        let part = catalog
            .runs
            .iter()
            .any(|other| other.id == r.id && other.set_aside.is_none());
        let who = if part {
            format!("part of `{}` is", r.id)
        } else {
            format!("`{}` is", r.id)
        };
        out.push(doubt(
            "run::set-aside",
            format!("{who} set aside and not counted: {why}"),
            format!(
                "leave it so, or take it back with `dutyfit set-aside {} --undo`",
                r.id
            ),
            &at.place().run,
        ));
    }
}

/// Days later than `today`, and tests before their specimens were printed.
pub(super) fn days(catalog: &Catalog, places: &[RunPlace], today: &str, out: &mut Vec<Problem>) {
    let printed: BTreeMap<&str, &str> = catalog
        .prints
        .iter()
        .filter_map(|p| Some((p.id.as_str(), p.date.as_deref()?)))
        .collect();
    let future = |what: String, date: &str| {
        (
            format!("{what} is dated {date}, which is later than today, {today}"),
            "correct the day",
        )
    };
    for (p, at) in catalog.prints.iter().zip(&catalog.places.prints) {
        if let Some(date) = p.date.as_deref().filter(|d| *d > today) {
            let (what, fix) = future(format!("the print `{}`", p.id), date);
            out.push(doubt("date::future", what, fix, at));
        }
    }
    let mut said = BTreeSet::new();
    for (r, at) in catalog.runs.iter().zip(places) {
        let Some(date) = r.date.as_deref() else {
            continue;
        };
        if !said.insert((r.id.as_str(), r.print.as_deref())) {
            continue;
        }
        if date > today {
            let (what, fix) = future(format!("the run `{}`", r.id), date);
            out.push(doubt("date::future", what, fix, &at.run));
        }
        let print = r.print.as_deref().and_then(|p| Some((p, *printed.get(p)?)));
        if let Some((print, day)) = print.filter(|(_, day)| date < *day) {
            out.push(doubt(
                "run::before-print",
                format!(
                    "`{}` was tested on {date}, before its print `{print}` of {day}",
                    r.id
                ),
                "correct the day of the run or of the print, or name the print that it is of",
                &at.run,
            ));
        }
    }
}

/// Runs of one material whose figures are all the same: one sheet entered twice.
pub(super) fn entered_twice(reduced: &[Reduced<'_>], out: &mut Vec<Problem>) {
    let points =
        |r: &Run| -> Vec<Vec<Point>> { r.specimens.iter().map(|s| s.points.clone()).collect() };
    let mut seen: BTreeMap<(&str, &str), Vec<&Reduced<'_>>> = BTreeMap::new();
    for one in reduced {
        let run = &one.0.run;
        let Some(material) = run.material.as_deref() else {
            continue;
        };
        // A few figures may be alike by chance.
        let points_of = run.specimens.iter().flat_map(|s| &s.points);
        let cells: usize = points_of.map(|p| p.cells.iter().count()).sum();
        if cells < LEAST_CELLS {
            continue;
        }
        let before = seen.entry((material, run.test)).or_default();
        let twin = before.iter().find(|b| {
            b.0.run.id != run.id
                && b.0.run.condition == run.condition
                && points(&b.0.run) == points(run)
        });
        if let Some(twin) = twin {
            out.push(doubt(
                "run::same-again",
                format!(
                    "`{}` holds the very readings of `{}`, on line {} of {}",
                    run.id, twin.0.run.id, twin.1.run.line, twin.1.run.file
                ),
                "set one of the two aside if a sheet was entered twice",
                &one.1.run,
            ));
        }
        before.push(one);
    }
}

/// So many cells are not alike by chance.
const LEAST_CELLS: usize = 6;
