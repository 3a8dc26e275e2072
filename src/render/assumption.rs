//! What was assumed on the way to a belief, as a clause.

use crate::belief::Note;
use crate::bench::HELD_EXPONENT;
use crate::property::{Moisture, Properties, Scale};
use crate::render::words::{amount, count, figure, list};

/// Something assumed on the way to a property with this scale and unit.
pub(super) fn assumption(note: &Note, scale: Scale, unit: &str) -> String {
    match note {
        Note::HeatLine {
            tested_c,
            asked_c,
            onset_c,
            share,
        } => format!(
            "tested at {} degC and used at {} degC: {} % of it is taken as left, on a straight line to softening at {} degC (assumed)",
            figure(*tested_c),
            figure(*asked_c),
            figure(share * 100.0),
            figure(*onset_c)
        ),
        Note::MeasuredFall {
            low_c,
            high_c,
            asked_c,
            share,
        } => format!(
            "used at {} degC, warmer than all runs: {} % of the figure at {} degC is taken as left, by the fall measured from {} degC up (assumed to go on)",
            figure(*asked_c),
            figure(share * 100.0),
            figure(*high_c),
            figure(*low_c)
        ),
        Note::NoOnset => {
            "warmer than tested, and no softening onset of its own is known".to_owned()
        }
        Note::OutsideTemperature { tested_c, asked_c } => format!(
            "tested at {} degC, used at {} degC",
            figure(*tested_c),
            figure(*asked_c)
        ),
        Note::WithinWindow { tested_c, asked_c } => format!(
            "tested at {} degC and used at {} degC: close enough to count as it stands (assumed)",
            figure(*tested_c),
            figure(*asked_c)
        ),
        Note::KeptOutside { tested_c, asked_c } => format!(
            "tested at {} degC and used at {} degC: taken to be no worse there (assumed)",
            figure(*tested_c),
            figure(*asked_c)
        ),
        Note::StifferInCold { tested_c, asked_c } => format!(
            "tested at {} degC and used at {} degC: it is stiffer in the cold, which is worse here, and by how much was not tested",
            figure(*tested_c),
            figure(*asked_c)
        ),
        Note::AcrossOnset {
            low_c,
            high_c,
            onset_c,
        } => format!(
            "it softens at {} degC, between {} and {} degC: nothing is read across that on a line",
            figure(*onset_c),
            figure(*low_c),
            figure(*high_c)
        ),
        Note::Interpolated {
            low_c,
            high_c,
            runs,
            bend,
            bounds,
            allowance,
        } => {
            let line = if *runs > 2 {
                let by = signed(*bend, scale, unit);
                format!("a curve through runs at {runs} temperatures, {by} the straight line")
            } else {
                "a straight line".to_owned()
            };
            format!(
                "{} at {} and {} degC, on {line} (assumed, {})",
                between(*bounds),
                figure(*low_c),
                figure(*high_c),
                give_or_take(*allowance, scale, unit)
            )
        }
        Note::BetweenMoistures {
            room,
            measured,
            bounds,
            allowance,
        } => format!(
            "{} dried and wet, a room at {} of the way ({}), on a straight line (assumed, {})",
            between(*bounds),
            figure(*room),
            if *measured {
                "by the measured uptake"
            } else {
                "assumed, no uptake in a room was measured"
            },
            give_or_take(*allowance, scale, unit)
        ),
        Note::MoistureServes { tested, measured } => {
            let why = if *measured {
                "its measured uptake is low"
            } else {
                "its polymer takes up little (from the table, assumed)"
            };
            format!("tested {}: counts, since {why}", moisture(*tested))
        }
        Note::MoisterTested(tested) => format!(
            "tested {}, moister than used: counts as a least figure (assumed, water softens)",
            moisture(*tested)
        ),
        Note::TwoSteps => {
            "lies between the tested moistures and between the tested temperatures at once"
                .to_owned()
        }
        Note::BeyondDecades(d) => format!(
            "the life lies {} decades past the longest reading",
            figure(*d)
        ),
        Note::ExponentHeld => format!(
            "too few readings over time to tell the exponent of Findley's law: {} is taken (assumed)",
            figure(HELD_EXPONENT)
        ),
        Note::CorrelationAssumed => {
            "too few readings over time to tell how their errors hang together: half is taken to drift over a decade (assumed)".to_owned()
        }
        Note::SteadyFlow(weight) => format!(
            "the last readings rise as only steady flow does: it counts {} % past them",
            figure(weight * 100.0)
        ),
        Note::DryOnly => "tested dry only".to_owned(),
        Note::OtherMoisture(m) => format!("tested {} only", moisture(*m)),
        Note::OtherSurface(s) => format!("tested on {s}"),
        Note::OtherDirection => "tested in another direction only".to_owned(),
        Note::OtherFace => "tested on another face only".to_owned(),
        Note::WorstFace(f) => format!("its {} face serves worst and stands for all", f.word()),
        Note::AnnealedOnly(how) => format!("tested annealed only ({how})"),
        Note::OtherKind(kind) => {
            format!("specimens that broke otherwise ({kind}) are left out")
        }
        Note::CoarseGauge => {
            "the gauge is coarser than the scatter, so readings count as ranges".to_owned()
        }
        Note::BorrowedFrom { polymer, materials } => format!(
            "borrowed from {} of {polymer}",
            count(*materials as u64, "other material", "other materials"),
        ),
        Note::StatedBy(source) => format!("stated by {source}"),
        Note::SustainedAssumed(share) => format!(
            "no long run: {} % of the short-time strength is taken (assumed)",
            figure(share * 100.0)
        ),
        Note::AboveTestedStress {
            tested_mpa,
            asked_mpa,
        } => format!(
            "crept at {} MPa, used at {} MPa",
            figure(*tested_mpa),
            figure(*asked_mpa)
        ),
        Note::StandsIn { wanted } => format!(
            "stands in for {wanted}, of which no own reading counts here (assumed to be alike)"
        ),
        Note::Assumed(status) => format!("assumed ({status})"),
        Note::LotsDiffer { lots, prints } => format!(
            "lots differ by {} times the scatter within a print and prints by {}: the next part is taken from a new lot",
            figure(*lots),
            figure(*prints)
        ),
        Note::Outlier {
            figure: read,
            taken,
        } => format!(
            "a reading of {} lies far from the others and counts as {}: look at it again",
            figure(*read),
            figure(*taken)
        ),
        Note::EarlyFailure => "one specimen failed early".to_owned(),
    }
}

/// The same for a property of the table.
pub(super) fn assumed_of(note: &Note, property: &str, properties: &Properties) -> String {
    // A wanted property is called by its title, as the one that stands in is.
    if let Note::StandsIn { wanted } = note
        && let Some(p) = properties.get(wanted)
    {
        let wanted = p.title.clone().into_owned();
        return assumption(&Note::StandsIn { wanted }, p.scale, &p.unit);
    }
    properties.get(property).map_or_else(
        || assumption(note, Scale::Log, ""),
        |p| assumption(note, p.scale, &p.unit),
    )
}

/// Assumptions with what each was made of, in the order they come: `a and b: tested dry only`.
pub(super) fn by_assumption(told: impl IntoIterator<Item = (String, String)>) -> Vec<String> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for (text, of) in told {
        match all.iter_mut().find(|a| a.0 == text) {
            Some(a) if a.1.contains(&of) => {}
            Some(a) => a.1.push(of),
            None => all.push((text, vec![of])),
        }
    }
    all.iter()
        .map(|(text, of)| format!("{}: {text}", list(of)))
        .collect()
}

/// What lies on both sides.
fn between(bounds: bool) -> &'static str {
    if bounds {
        "between bounds"
    } else {
        "between runs"
    }
}

/// `dried`, `in a room`, `wet`.
fn moisture(m: Moisture) -> &'static str {
    match m {
        Moisture::Room => "in a room",
        Moisture::Dried | Moisture::Wet => m.word(),
    }
}

/// `give or take 5 %`: one standard deviation on the property's scale.
fn give_or_take(sd: f64, scale: Scale, unit: &str) -> String {
    format!("give or take {}", on_scale(sd, scale, unit))
}

/// `2.1 % above`.
fn signed(by: f64, scale: Scale, unit: &str) -> String {
    let side = if by < 0.0 { "below" } else { "above" };
    format!("{} {side}", on_scale(by.abs(), scale, unit))
}

/// A step on the natural scale: a share, or an amount.
fn on_scale(step: f64, scale: Scale, unit: &str) -> String {
    match scale {
        Scale::Plain => amount(step, unit),
        Scale::Log => format!("{} %", figure(step * 100.0)),
    }
}
