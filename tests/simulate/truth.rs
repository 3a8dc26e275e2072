//! What is true of one property of one material, and what its prints and next parts do.

use crate::simulate::dice::Dice;
use crate::simulate::world::{DUD, World};
use dutyfit::property::Scale;
use statrs::distribution::{ContinuousCDF, Normal};

/// Next parts drawn where their distribution has no formula.
const PARTS: usize = 400;

/// The truth of one property of one material, on its natural scale.
#[derive(Clone, Debug)]
pub(crate) struct Truth {
    pub(crate) scale: Scale,
    /// True centre.
    pub(crate) centre: f64,
    /// Standard deviation within a print.
    pub(crate) within: f64,
    /// Between prints of one lot.
    pub(crate) between: f64,
    /// Between lots.
    pub(crate) lots: f64,
    world: World,
    /// Next parts in rising order, where they have no formula.
    parts: Vec<f64>,
}

impl Truth {
    pub(crate) fn new(
        world: World,
        scale: Scale,
        centre: f64,
        within: f64,
        rho: f64,
        dice: &mut Dice,
    ) -> Self {
        let mut truth = Truth {
            scale,
            centre,
            within,
            between: rho * within,
            lots: world.lots * rho * within,
            world,
            parts: Vec::new(),
        };
        if world.heavy {
            truth.parts = (0..PARTS)
                .map(|_| {
                    let lot = truth.lot(dice);
                    let print = truth.print(lot, dice);
                    truth.specimen(print, dice)
                })
                .collect();
            truth.parts.sort_by(f64::total_cmp);
        }
        truth
    }

    /// The mean of a lot.
    pub(crate) fn lot(&self, dice: &mut Dice) -> f64 {
        self.centre + self.lots * self.world.effect(dice)
    }

    /// The mean of a print of a lot of mean `lot`.
    pub(crate) fn print(&self, lot: f64, dice: &mut Dice) -> f64 {
        let mean = lot + self.between * self.world.effect(dice);
        if dice.happens(self.world.duds) {
            self.spoilt(mean)
        } else {
            mean
        }
    }

    /// One specimen of a print of mean `print`.
    pub(crate) fn specimen(&self, print: f64, dice: &mut Dice) -> f64 {
        print + self.within * self.world.effect(dice)
    }

    fn spoilt(&self, y: f64) -> f64 {
        match self.scale {
            Scale::Log => y + DUD.ln(),
            Scale::Plain => DUD * y,
        }
    }

    /// Chance that the next part, from a new print of a new lot, lies below `x`.
    pub(crate) fn below(&self, x: f64) -> f64 {
        if !self.parts.is_empty() {
            return self.parts.partition_point(|y| *y < x) as f64 / self.parts.len() as f64;
        }
        let sd = self.within.hypot(self.between).hypot(self.lots);
        let good = Normal::standard().cdf((x - self.centre) / sd);
        if self.world.duds > 0.0 {
            let keeps = match self.scale {
                Scale::Log => 1.0,
                Scale::Plain => DUD,
            };
            let sd = self
                .within
                .hypot(keeps * self.between)
                .hypot(keeps * self.lots);
            let bad = Normal::standard().cdf((x - self.spoilt(self.centre)) / sd);
            (1.0 - self.world.duds) * good + self.world.duds * bad
        } else {
            good
        }
    }

    /// Chance that the next part reaches a figure of the property's unit.
    pub(crate) fn reaches(&self, figure: f64) -> f64 {
        1.0 - self.below(self.scale.forward(figure))
    }
}
