//! Which moistures count for an asked one.
//!
//! In this order: readings at the asked moisture; for a room, the place between dried and wet ones; those
//! of another moisture that the material's water uptake lets count; moister ones as a bound, for a
//! property that falls with water as it falls with heat. Drier figures never stand for a moister use
//! without a low uptake, and nothing is read beyond dried or wet. One step at a time: what is read
//! between moistures must count at the asked temperature as it stands.
//!
//! A room lies between dried (0) and wet (1) at the share of the saturated uptake that was measured
//! there. Where none was measured it is taken at 0.4, with a standard deviation of 0.1: about 0.3 for
//! PA 6 and PA 66 and 0.45 for PA 12 at 50 % relative humidity, near 0.5 for polymers that take up little
//! (from memory, not verified). Properties follow the uptake no straighter than the temperature, so
//! the line's own error is the same as between two temperatures 40 K apart.

use crate::belief::between::{Way, between};
use crate::belief::natural::Found;
use crate::belief::temperature::{self, Served, Setting};
use crate::belief::{Note, index::Seen};
use crate::bench::Value;
use crate::property::{Heat, Moisture, Property};
use crate::quantity::Reading;

/// Where a room lies from dried (0) to wet (1) where that was not measured.
const ROOM: f64 = Moisture::ROOM_SHARE;
/// One standard deviation of that.
const ROOM_SD: f64 = 0.1;

/// What a material's water uptake says of figures of other moistures.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Swelling {
    /// Measured uptake is below the policy's limit.
    pub(super) measured_low: bool,
    /// Measured uptake is not below it.
    pub(super) measured_high: bool,
    /// The polymer is known and takes up little.
    pub(super) polymer_low: bool,
    /// Uptake in a room as a share of the saturated one, where both were measured.
    pub(super) room: Option<f64>,
}

impl Swelling {
    /// Whether a figure taken at `tested` counts at `asked`.
    ///
    /// The same moisture always does. Dried figures count wet only where the measured uptake is below
    /// the policy's limit. Between neighbours (dried and room, room and wet) a polymer that takes up
    /// little is enough, unless a measured uptake says otherwise.
    pub(super) fn serves(self, tested: Moisture, asked: Moisture) -> bool {
        tested == asked
            || self.measured_low
            || (self.polymer_low
                && !self.measured_high
                && (tested == Moisture::Room || asked == Moisture::Room))
    }
}

/// Whether a property holds at any temperature and moisture: the onset names its own temperature,
/// the others barely move.
pub(crate) fn any_climate(row: &Property) -> bool {
    matches!(
        row.id.as_str(),
        "softening-onset" | "density" | "water-uptake"
    )
}

/// The uptake in a room as a share of the saturated one, from exact uptakes at both.
pub(super) fn room_share(uptakes: &[Seen<'_>]) -> Option<f64> {
    let mean = |m: Moisture| {
        let figures: Vec<f64> = uptakes
            .iter()
            .map(|s| s.observation)
            .filter(|o| o.condition.moisture == m)
            .filter_map(|o| match o.value {
                Value::Now(Reading::Exact(y)) => Some(y),
                _ => None,
            })
            .collect();
        (!figures.is_empty()).then(|| figures.iter().sum::<f64>() / figures.len() as f64)
    };
    let (room, wet) = (mean(Moisture::Room)?, mean(Moisture::Wet)?);
    (0.0 < room && room < wet).then_some(room / wet)
}

/// Why a figure of another moisture does not count.
pub(super) fn refusal(tested: Moisture) -> Note {
    if tested == Moisture::Dried {
        Note::DryOnly
    } else {
        Note::OtherMoisture(tested)
    }
}

/// The readings that count at the asked moisture and temperature; why others do not, in `refused`.
pub(super) fn serve<'a>(
    found: Vec<Found<'a>>,
    swelling: Swelling,
    s: &Setting<'_>,
    refused: &mut Vec<Note>,
) -> Served<'a> {
    if any_climate(s.row) {
        return Served::as_they_stand(saturated(found));
    }
    let asked = s.ask.moisture;
    let moisture = |f: &Found<'_>| f.seen.observation.condition.moisture;
    let of = |m: Moisture| -> Vec<Found<'a>> {
        found.iter().filter(|f| moisture(f) == m).copied().collect()
    };
    if let Some(own) = temperature::serve(of(asked), s, refused) {
        return own;
    }
    if asked == Moisture::Room
        && let Some(x) = in_a_room(of(Moisture::Dried), of(Moisture::Wet), swelling, s, refused)
    {
        return x;
    }
    let (serving, other): (Vec<Found<'a>>, Vec<Found<'a>>) = found
        .iter()
        .filter(|f| moisture(f) != asked)
        .partition(|f| swelling.serves(moisture(f), asked));
    if let Some(mut served) = temperature::serve(serving, s, refused) {
        for tested in [Moisture::Dried, Moisture::Room, Moisture::Wet] {
            if served.picks.iter().any(|(f, _)| moisture(f) == tested) {
                served.notes.push(Note::MoistureServes {
                    tested,
                    measured: swelling.measured_low,
                });
            }
        }
        return served;
    }
    if let Some(bound) = moister(&other, s) {
        return bound;
    }
    for m in [Moisture::Dried, Moisture::Room, Moisture::Wet] {
        if other.iter().any(|f| moisture(f) == m) {
            refused.push(refusal(m));
        }
    }
    Served::default()
}

/// Uptakes: where some were soaked and some stood in a room, the soaked ones are the property.
fn saturated(found: Vec<Found<'_>>) -> Vec<Found<'_>> {
    let wet = |f: &Found<'_>| {
        let o = f.seen.observation;
        o.property.as_str() == "water-uptake" && o.condition.moisture == Moisture::Wet
    };
    if found.iter().any(wet) {
        found.into_iter().filter(|f| wet(f)).collect()
    } else {
        found
    }
}

/// Between dried and wet readings, each as it stands at the asked temperature.
fn in_a_room<'a>(
    dried: Vec<Found<'a>>,
    wet: Vec<Found<'a>>,
    swelling: Swelling,
    s: &Setting<'_>,
    refused: &mut Vec<Note>,
) -> Option<Served<'a>> {
    if dried.is_empty() || wet.is_empty() {
        return None;
    }
    let mut direct = |found| temperature::serve(found, s, refused).filter(|x| x.direct);
    let (Some(dried), Some(wet)) = (direct(dried), direct(wet)) else {
        refused.push(Note::TwoSteps);
        return None;
    };
    let readings = |x: &Served<'a>| -> Vec<Found<'a>> { x.picks.iter().map(|p| p.0).collect() };
    let joined = between(
        &readings(&dried),
        &readings(&wet),
        &Way {
            share: swelling.room.unwrap_or(ROOM),
            rising: match s.row.heat {
                Heat::Falls => Some(false),
                Heat::Brittle => Some(true),
                Heat::None => None,
            },
            bend: 0.0,
            wander: s.row.spread.sd,
            share_sd: if swelling.room.is_some() {
                0.0
            } else {
                ROOM_SD
            },
        },
    )?;
    let mut notes = dried.notes;
    for n in wet.notes {
        if !notes.contains(&n) {
            notes.push(n);
        }
    }
    notes.push(Note::BetweenMoistures {
        room: swelling.room.unwrap_or(ROOM),
        measured: swelling.room.is_some(),
        bounds: joined.share.is_none(),
        allowance: joined.allowance,
    });
    Some(Served {
        picks: joined.picks,
        share: joined.share,
        notes,
        ..Served::default()
    })
}

/// Water softens what heat softens: a figure taken moister than asked is a bound from below, by the
/// nearest moisture that was tested.
fn moister<'a>(other: &[Found<'a>], s: &Setting<'_>) -> Option<Served<'a>> {
    if s.row.heat != Heat::Falls {
        return None;
    }
    let moisture = |f: &Found<'_>| f.seen.observation.condition.moisture;
    let nearest = other
        .iter()
        .map(moisture)
        .filter(|m| *m > s.ask.moisture)
        .min()?;
    let tested = other.iter().filter(|f| moisture(f) == nearest).copied();
    let mut served =
        temperature::serve(tested.collect(), s, &mut Vec::new()).filter(|x| x.direct)?;
    served.picks.retain_mut(|(f, _)| {
        f.y = Reading::AtLeast(match f.y {
            Reading::Exact(y) | Reading::AtLeast(y) | Reading::Between(y, _) => y,
            Reading::AtMost(_) => return false,
        });
        true
    });
    served.notes.push(Note::MoisterTested(nearest));
    (!served.picks.is_empty()).then_some(served)
}
