//! A piece rubbed on an abrasive: what volume it loses, beside a reference rubber or by its way alone.
//!
//! `AB1` mass lost, `AB2` worn volume, `AB3` relative volume loss on the drum, `AB4` resistance index,
//! `AB5` volume over the way, `AB6` volume over cycles.
//!
//! A polymer that takes up water can weigh more after wear than before. That is moisture: an unworn
//! control weighed at both times takes it off, and without one the reading is refused. A loss too small
//! for the balance is `<=` one step of it, never nothing.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::quantity::{Reading, amount};

/// The abrasion test.
pub(super) struct Abrasion;

const LOSS: &str = "abrasion-loss";
const INDEX: &str = "abrasion-index";
const RATE: &str = "abrasion-rate";
const CYCLE: &str = "abrasion-per-cycle";

/// Mass loss of the reference rubber, mg, that the drum's sheet is set to (ISO 4649, from memory, not verified).
const REFERENCE_MG: f64 = 200.0;
/// Reference losses, mg, outside this range are of a sheet that is blunt, fresh or misread (assumed, wide).
const REFERENCE_RANGE_MG: (f64, f64) = (100.0, 400.0);
/// Way on the drum, m, where none is said (ISO 4649, from memory, not verified).
const DRUM_WAY_M: f64 = 40.0;

const COLUMNS: &[Column] = &[
    Column::word(
        "method",
        Need::Once,
        &["drum", "plain"],
        "drum: beside a reference rubber on the same abrasive; plain: by the way or the cycles alone, on the run's counterface",
    ),
    Column::number(
        "mass_loss",
        Need::Optional,
        "mg",
        1.0,
        -1e9,
        "lost mass, cleaned and dried alike before and after; or both masses",
    ),
    Column::number(
        "mass_before",
        Need::Optional,
        "mg",
        1.0,
        0.001,
        "mass before",
    ),
    Column::number("mass_after", Need::Optional, "mg", 1.0, 0.001, "mass after"),
    Column::number(
        "control_before",
        Need::Optional,
        "mg",
        1.0,
        0.001,
        "mass of an unworn piece at the first weighing, for polymers that take up water",
    ),
    Column::number(
        "control_after",
        Need::Optional,
        "mg",
        1.0,
        0.001,
        "its mass at the second",
    ),
    Column::number(
        "density",
        Need::Optional,
        "g/cm3",
        0.0,
        0.05,
        "of the piece; blank takes the material's",
    ),
    Column::number(
        "reference_loss",
        Need::Optional,
        "mg",
        1.0,
        0.0,
        "mass loss of the reference rubber on the same sheet; needed on the drum",
    ),
    Column::number(
        "reference_density",
        Need::Optional,
        "g/cm3",
        0.0,
        0.05,
        "density of the reference rubber, for the index",
    ),
    Column::number(
        "distance",
        Need::Optional,
        "m",
        0.0,
        0.0,
        "way on the abrasive; blank on the drum means 40 m",
    ),
    Column::number(
        "reference_distance",
        Need::Optional,
        "m",
        0.0,
        0.0,
        "way of the reference rubber; blank means 40 m",
    ),
    Column::number(
        "cycles",
        Need::Optional,
        "cycles",
        0.0,
        0.0,
        "cycles, where it is counted by them",
    ),
    Column::number(
        "load",
        Need::Optional,
        "N",
        0.0,
        0.0,
        "force on the piece; 10 N is usual on the drum. Runs under one load compare",
    ),
];

impl BenchTest for Abrasion {
    fn id(&self) -> &'static str {
        "abrasion"
    }
    fn title(&self) -> &'static str {
        "abrasion"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::BelowResolution, Outcome::Stopped]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[LOSS, INDEX, RATE, CYCLE]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "AB1 mass lost = before - after + before (control after - control before)/control before [derived]; more mass than before without a control is refused: that is moisture, not negative wear; less than half a step of the balance is `<=` one step, `below resolution` is `<=` what was written",
            "AB2 worn volume = mass lost/density [derived]",
            "AB3 relative volume loss on the drum = mass lost x 200 mg/(density x mass lost by the reference), both over one way [ISO 4649, from memory, not verified: clause titles seen]; the piece not turned (method A); a reference loss outside 100 to 400 mg is refused [assumed]",
            "AB4 resistance index = 100 volume lost by the reference/volume lost [ISO 4649, from memory, not verified]: it grows as wear shrinks",
            "AB5 volume over the way = worn volume/distance, at the run's load on its counterface [derived]; a rate over load and way belongs on a sliding-wear sheet",
            "AB6 volume over cycles = worn volume/cycles, at the run's load on its counterface [derived]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Clean, dry and weigh to 1 mg before and after; on the drum wear the reference rubber on the same sheet just before or after.",
                "Keep load and speed; a plain run writes its way in m or its cycles and the surface in `counterface`.",
            ],
            beware: [
                "A sheet that is loaded with debris wears less: brush it, and change it when the reference loses too little.",
                "Soft pieces that chatter or smear: note it. A polymer that takes up water needs an unworn piece weighed beside it.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let drum = s.word("method") == Some("drum");
        let wanted: &[&'static str] = match (drum, s.once("cycles"), s.once("distance")) {
            (true, ..) => &[LOSS],
            (false, Some(_), None) => &[CYCLE],
            (false, None, _) => &[RATE],
            (false, Some(_), Some(_)) => &[RATE, CYCLE],
        };
        let done = worn(s, out).and_then(|lost| {
            if drum {
                on_drum(s, &lost, out)
            } else {
                plain(s, &lost, out)
            }
        });
        if let Err((code, why)) = done {
            for p in wanted {
                out.refuse(p, code, why.clone());
            }
        }
    }
}

/// A code and a reason with its figures.
type Why = (&'static str, String);

/// What went, and whether it was seen.
struct Lost {
    mass_mg: f64,
    volume_mm3: f64,
    density: f64,
    seen: bool,
}

impl Lost {
    /// A figure that grows with the loss.
    fn reading(&self, figure: f64) -> Reading {
        if self.seen {
            Reading::Exact(figure)
        } else {
            Reading::AtMost(figure)
        }
    }
}

/// The mass lost, mg, and the step of the balance behind it.
fn mass_lost(s: &Specimen, out: &mut Reduction) -> Result<(f64, f64), Why> {
    let weighed = s.once("mass_before").zip(s.once("mass_after"));
    let raw = match (s.once("mass_loss"), weighed) {
        (Some(_), Some(_)) => {
            return Err((
                "bench::two-gauges",
                "mass_loss and both masses are given: write one of them".to_owned(),
            ));
        }
        (Some(m), None) => m,
        (None, Some((before, after))) => before - after,
        (None, None) => {
            return Err((
                "bench::missing-reading",
                "neither mass_loss nor mass_before and mass_after were read".to_owned(),
            ));
        }
    };
    out.step("AB1", "mass lost as weighed", raw, "mg");
    let step = match weighed {
        Some(_) => out
            .resolution("mass_before")
            .max(out.resolution("mass_after")),
        None => out.resolution("mass_loss"),
    };
    let control = s.once("control_before").zip(s.once("control_after"));
    let (Some((before, after)), Some((own, _))) = (control, weighed) else {
        if control.is_some() {
            return Err((
                "bench::missing-reading",
                "a control wants mass_before and mass_after, for its uptake goes by mass"
                    .to_owned(),
            ));
        }
        return Ok((raw, step));
    };
    let lost = raw + own * (after - before) / before;
    out.step("AB1", "mass lost with the control's uptake", lost, "mg");
    Ok((lost, step))
}

fn worn(s: &Specimen, out: &mut Reduction) -> Result<Lost, Why> {
    let (mass, step) = mass_lost(s, out)?;
    let lost_in_step = mass.abs() < 0.5 * step;
    if mass < 0.0 && !lost_in_step {
        return Err((
            "bench::gained-mass",
            format!(
                "the piece gained {}: that is moisture, not negative wear; weigh an unworn control beside it",
                amount(-mass, "mg")
            ),
        ));
    }
    let density = match s.once("density").or(s.density_g_cm3) {
        Some(rho) if rho > 0.0 => rho,
        _ => {
            return Err((
                "bench::no-density",
                format!(
                    "a mass loss of {} is no volume without the material's density",
                    amount(mass, "mg")
                ),
            ));
        }
    };
    let mass = if lost_in_step { step } else { mass };
    let lost = Lost {
        mass_mg: mass,
        volume_mm3: mass / density,
        density,
        seen: !lost_in_step && s.outcome() != Outcome::BelowResolution,
    };
    out.step("AB2", "density", density, "g/cm3");
    out.step("AB2", "worn volume", lost.volume_mm3, "mm3");
    Ok(lost)
}

fn on_drum(s: &Specimen, lost: &Lost, out: &mut Reduction) -> Result<(), Why> {
    let Some(reference) = s.once("reference_loss") else {
        return Err((
            "bench::missing-reading",
            "the loss of the reference rubber is blank, and the abrasive is not known without it"
                .to_owned(),
        ));
    };
    let way = |column: &str| match s.once(column) {
        Some(d) if d > 0.0 => Ok(d),
        Some(d) => Err(("bench::no-way", format!("a way of {d} m wears nothing"))),
        None => Ok(DRUM_WAY_M),
    };
    let (own, others) = (way("distance")?, way("reference_distance")?);
    let over_one_way = reference * own / others;
    let (low, high) = REFERENCE_RANGE_MG;
    if !(low..=high).contains(&(reference * DRUM_WAY_M / others)) {
        return Err((
            "bench::reference-out-of-range",
            format!(
                "{reference} mg of the reference rubber over {others} m is no sheet as it should be: 200 mg over 40 m is usual, {low} to {high} mg are taken"
            ),
        ));
    }
    out.step(
        "AB3",
        "loss of the reference over the same way",
        over_one_way,
        "mg",
    );
    let relative = lost.mass_mg * REFERENCE_MG / (lost.density * over_one_way);
    out.step("AB3", "relative volume loss", relative, "mm3");
    out.give(s, LOSS, lost.reading(relative));
    if let Some(rho) = s.once("reference_density").filter(|r| *r > 0.0) {
        let index = 100.0 * (over_one_way / rho) / lost.volume_mm3;
        out.step("AB4", "drum resistance index", index, "%");
        let reading = if lost.seen {
            Reading::Exact(index)
        } else {
            Reading::AtLeast(index)
        };
        out.give(s, INDEX, reading);
    }
    Ok(())
}

fn plain(s: &Specimen, lost: &Lost, out: &mut Reduction) -> Result<(), Why> {
    if s.condition.counterface.is_none() {
        return Err((
            "bench::no-counterface",
            "a plain loss counts for its abrasive only: write it in `counterface` (an own one is declared in materials.csv)".to_owned(),
        ));
    }
    let (way, cycles) = (s.once("distance"), s.once("cycles"));
    if way.is_none() && cycles.is_none() {
        return Err((
            "bench::missing-reading",
            "neither distance nor cycles says how much it was rubbed".to_owned(),
        ));
    }
    if let Some(x) = way.into_iter().chain(cycles).find(|x| *x <= 0.0) {
        return Err(("bench::no-way", format!("a way of {x} wears nothing")));
    }
    if let Some(way) = way {
        let rate = lost.volume_mm3 / way;
        out.step("AB5", "worn volume over the way", rate, "mm3/m");
        out.give(s, RATE, lost.reading(rate));
    }
    if let Some(n) = cycles {
        let each = lost.volume_mm3 / n;
        out.step("AB6", "worn volume over cycles", each, "mm3/cycles");
        out.give(s, CYCLE, lost.reading(each));
    }
    Ok(())
}
