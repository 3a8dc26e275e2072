//! What sunlight asks of every part.

use crate::duty::{Duty, Limit, LimitSense, Performance, Setting, Sun};
use crate::policy::Class;
use crate::property::Ask;

/// A season, h: nothing is asked of a part that sees less sun.
const SEASON_H: f64 = 2191.5;
/// Beyond so many years in the sun a fair polymer is no longer taken to last.
const FAIR_YEARS: f64 = 5.0;
const YEAR_H: f64 = 8766.0;
/// How much slower the sun is behind glass, which keeps its shortest waves out (ours, from memory).
const GLASS: f64 = 3.0;
/// How far above a class counts as better than it: past the doubt of its own products, well below the next.
const ABOVE: f64 = 0.3;

const SOURCE: &str = "D10: coarse classes (from memory, not verified); a season, 5 years and a third behind glass are ours, no source";

/// The sun of the life as hours in the open air.
fn open_air_h(setting: &Setting) -> f64 {
    match setting.sun {
        Sun::None => 0.0,
        Sun::Indoors => setting.life_h / GLASS,
        Sun::Outdoors => setting.life_h,
    }
}

/// Whether a part sees more than a season of sun over its life.
pub(in crate::duty) fn more_than_a_season(setting: &Setting) -> bool {
    open_air_h(setting) > SEASON_H
}

/// Adds the limit `sun` where the part sees more than a season of it: better than poor, and beyond
/// [`FAIR_YEARS`] better than fair.
pub(super) fn add(setting: &Setting, class: Class, duty: &mut Duty) {
    if !more_than_a_season(setting) {
        return;
    }
    let years = open_air_h(setting) / YEAR_H;
    let better_than = if years > FAIR_YEARS { 1.0 } else { 0.0 };
    let need = duty.ask(Ask::room("sun-class"));
    duty.limits.push(Limit {
        id: "sun".to_owned(),
        title: "class of sun resistance".to_owned(),
        failure: "cracks in the sun",
        class,
        sense: LimitSense::AtLeast(better_than + ABOVE),
        unit: "1".to_owned(),
        needs: vec![vec![need]],
        performance: Performance::new(move |i, t| {
            let [class] = *i.x else { return f64::NAN };
            t.step("D10", "open-air sun over the life", years, "year");
            t.step("D10", "class of sun resistance", class, "1")
        }),
        source: SOURCE,
    });
    duty.notes.push(
        "sun: a coarse class of the polymer, 0 poor, 1 fair, 2 good; black or painted parts last longer and clear ones shorter, which is not known here (state `sun-class` for a material that is known)"
            .to_owned(),
    );
}
