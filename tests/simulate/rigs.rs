//! The rigs of a simulated workshop: true offsets and gains, steps, hammers; and the raw cells
//! that they write.

use crate::simulate::dice::Dice;
use crate::simulate::world::World;
use dutyfit::bench::{Cell, Channel, Outcome, Point, RawCells, Rig};
use dutyfit::quantity::Reading;

/// Width of every specimen, mm, and depth of an impact bar, mm.
const WIDTH_MM: f64 = 10.0;
const DEPTH_MM: f64 = 8.0;
/// Share of the hammer's energy above which a blow is only a lower bound.
pub(crate) const HAMMER_TOP: f64 = 0.8;
/// The same below which it is only an upper bound.
pub(crate) const HAMMER_BOTTOM: f64 = 0.1;

/// One instrument: what its calibration says, and what is true of it.
#[derive(Clone, Debug)]
struct Gauge {
    channel: Channel,
    step: f64,
    /// True errors, in stated uncertainties.
    offset: f64,
    gain: f64,
}

impl Gauge {
    fn new(column: &str, step: f64, offset_u: f64, gain_u: f64, dice: &mut Dice) -> Self {
        Gauge {
            channel: Channel {
                id: format!("{column}-gauge/2026-01-10").into(),
                column: column.to_owned(),
                low: None,
                high: None,
                resolution: Some(step),
                offset: 0.0,
                offset_u,
                gain: 1.0,
                gain_u,
            },
            step,
            offset: dice.normal(),
            gain: dice.normal(),
        }
    }

    /// What it shows of a true figure when it has moved by `moved` stated uncertainties: of its gain,
    /// or of its offset where the gain is sure.
    fn shows(&self, x: f64, moved: f64) -> f64 {
        let c = &self.channel;
        let (by_gain, by_offset) = if c.gain_u > 0.0 {
            (moved, 0.0)
        } else {
            (0.0, moved)
        };
        let raw =
            x * (1.0 + c.gain_u * (self.gain + by_gain)) + c.offset_u * (self.offset + by_offset);
        (raw / self.step).round() * self.step
    }
}

/// All instruments of a workshop.
#[derive(Clone, Debug)]
pub(crate) struct Rigs {
    force: Gauge,
    thickness: Gauge,
    energy: Gauge,
    hardness: Gauge,
}

impl Rigs {
    /// The rigs of a world.
    pub(crate) fn new(world: &World, dice: &mut Dice) -> Self {
        let bias = world.bias;
        Rigs {
            force: Gauge::new("force", 0.1, 0.5 * bias, 0.01 * bias, dice),
            thickness: Gauge::new("thickness", 0.01, 0.02 * bias, 0.0, dice),
            energy: Gauge::new("energy", 0.002, 0.002 * bias, 0.01 * bias, dice),
            hardness: Gauge::new("hardness", world.step, 0.4 * bias, 0.0, dice),
        }
    }

    /// The rig of a test.
    pub(crate) fn rig(&self, test: &str) -> Rig {
        let (name, gauges): (&str, Vec<&Gauge>) = match test {
            "tensile" => ("frame-1+caliper-1", vec![&self.force, &self.thickness]),
            "impact" => ("pendulum-1", vec![&self.energy]),
            _ => ("durometer-1", vec![&self.hardness]),
        };
        Rig {
            name: name.to_owned(),
            kind: name.to_owned(),
            channels: gauges.into_iter().map(|g| g.channel.clone()).collect(),
        }
    }

    /// Raw cells of one specimen with this true figure.
    pub(crate) fn cells(&self, test: &str, figure: f64, moved: f64, dice: &mut Dice) -> Point {
        let number = |y: f64| Cell::Number(Reading::Exact(y));
        let word = |w: &str| Cell::Word(w.to_owned().into());
        let cells: RawCells = match test {
            "tensile" => {
                let thickness = dice.between(3.8, 4.2);
                let force = figure * WIDTH_MM * thickness;
                RawCells::from([
                    ("width", number(WIDTH_MM)),
                    ("thickness", number(self.thickness.shows(thickness, moved))),
                    ("force", number(self.force.shows(force, moved))),
                ])
            }
            "impact" => {
                let joule = joule(figure);
                RawCells::from([
                    ("width", number(WIDTH_MM)),
                    ("depth", number(DEPTH_MM)),
                    ("notch", word("V")),
                    ("energy", number(self.energy.shows(joule, moved))),
                ])
            }
            _ => RawCells::from([
                ("scale", word("D")),
                ("thickness", number(7.0)),
                ("hardness", number(self.hardness.shows(figure, moved))),
            ]),
        };
        Point {
            cells,
            outcome: Outcome::Measured,
        }
    }
}

/// Energy that breaks a bar of this impact strength (kJ/m2), J.
pub(crate) fn joule(strength: f64) -> f64 {
    strength * WIDTH_MM * DEPTH_MM / 1000.0
}
