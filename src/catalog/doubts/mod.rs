//! What deserves a second look in a catalog that can be read; one idea a file.

mod conditions;
mod contradiction;
mod materials;
mod readings;
mod rigs;
mod runs;
mod stated;

use crate::bench::{self, ReducedRun, reduce_run};
use crate::catalog::Catalog;
use crate::catalog::load::RunPlace;
use crate::duty::Duty;
use crate::problem::{Fault, Place, Problem, Severity};
use crate::property::Properties;

/// A run that counts, reduced, and where it stands.
type Reduced<'a> = (ReducedRun, &'a RunPlace);

fn doubt(code: &'static str, what: String, fix: impl Into<String>, at: &Place) -> Problem {
    Problem {
        severity: Severity::Doubt,
        ..Fault::new(code, what, fix).at(at.clone())
    }
}

/// Every doubt about a catalog on the day `today`, ISO 8601, beside the duties of its cases.
pub(super) fn doubts(catalog: &Catalog, duties: &[Duty], today: &str) -> Vec<Problem> {
    let properties = Properties::with_own(&catalog.own_properties);
    let places = catalog.places.of_runs();
    let reduced: Vec<Reduced<'_>> = catalog
        .runs
        .iter()
        .zip(&places)
        .filter(|(r, _)| r.set_aside.is_none())
        .filter_map(|(r, at)| Some((reduce_run(bench::find(r.test)?, r, &properties), at)))
        .collect();
    let mut out = Vec::new();
    materials::materials(catalog, &mut out);
    materials::prints(catalog, &mut out);
    materials::unused_prints(catalog, &mut out);
    runs::set_aside(catalog, &mut out);
    runs::days(catalog, &places, today, &mut out);
    runs::entered_twice(&reduced, &mut out);
    rigs::no_reference(catalog, &reduced, &mut out);
    rigs::disagreeing(&reduced, &properties, &mut out);
    conditions::unmatched(&reduced, duties, &properties, &mut out);
    readings::single_readings(&reduced, &mut out);
    readings::one_print(&reduced, &mut out);
    readings::implausible(&reduced, &properties, &mut out);
    readings::outliers(catalog, &reduced, &properties, &mut out);
    readings::refused(&reduced, &properties, &mut out);
    contradiction::contradictions(&reduced, &properties, &mut out);
    stated::stated(catalog, &reduced, &properties, &mut out);
    out
}
