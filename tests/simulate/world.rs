//! How a simulated world makes its materials, prints and specimens.

use crate::simulate::dice::Dice;

/// How print-to-print scatter stands to scatter within a print, as a ratio of standard deviations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Rho {
    /// The same in every property.
    Of(f64),
    /// Drawn for each property of a catalog: lognormal about 1, with this standard deviation of its
    /// logarithm.
    About1(f64),
}

/// Typical spread within a print.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Typical {
    /// The workshop's own, two thirds of what the property table guesses.
    Workshop,
    /// The table's guess.
    Table,
    /// This much on the natural scale of logarithmic properties.
    Of(f64),
}

/// A world; the default has scatter in the middle of what beliefs assume before they see any.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct World {
    /// Degrees of freedom of the materials' variances about the typical one; infinite: all alike.
    pub(crate) alike: f64,
    /// Whether those degrees and the typical spread are drawn anew for each property of a catalog:
    /// lognormal about these, with standard deviations of [`ALIKE_UNSURE`] and [`TYPICAL_UNSURE`].
    pub(crate) drawn: bool,
    /// Print-to-print scatter.
    pub(crate) rho: Rho,
    /// Typical spread.
    pub(crate) typical: Typical,
    /// Spread of the polymers' centres on the natural scale of logarithmic properties.
    pub(crate) apart: f64,
    /// Whether prints and specimens have the tails of Student's t with 3 degrees of freedom.
    pub(crate) heavy: bool,
    /// Share of prints that are duds, at [`DUD`] of their figure, the next part's among them.
    pub(crate) duds: f64,
    /// Stated uncertainties of the rigs, and their true errors with them, as a multiple of the usual.
    pub(crate) bias: f64,
    /// Step of the durometer, points.
    pub(crate) step: f64,
    /// By how many stated uncertainties each rig moves from the first run to the last.
    pub(crate) drift: f64,
    /// Scatter between lots, in standard deviations between prints; the next part is of a new lot.
    pub(crate) lots: f64,
}

/// What a dud print keeps of its figure.
pub(crate) const DUD: f64 = 0.6;

impl Default for World {
    fn default() -> Self {
        World {
            drawn: false,
            rho: Rho::Of(1.0),
            typical: Typical::Workshop,
            ..MODEL
        }
    }
}

impl World {
    /// Print-to-print ratio of one property in one catalog.
    pub(crate) fn rho(&self, dice: &mut Dice) -> f64 {
        match self.rho {
            Rho::Of(r) => r,
            Rho::About1(sd) => (sd * dice.normal()).exp(),
        }
    }

    /// Degrees of freedom of the materials' variances in one property of one catalog, and by what
    /// factor its typical spread is off.
    pub(crate) fn alike(&self, dice: &mut Dice) -> (f64, f64) {
        if self.drawn {
            (
                self.alike * (ALIKE_UNSURE * dice.normal()).exp(),
                (TYPICAL_UNSURE * dice.normal()).exp(),
            )
        } else {
            (self.alike, 1.0)
        }
    }

    /// One effect of variance 1.
    pub(crate) fn effect(&self, dice: &mut Dice) -> f64 {
        if self.heavy {
            dice.heavy()
        } else {
            dice.normal()
        }
    }
}

/// Standard deviation of the logarithm of the materials' degrees of freedom, where they are drawn.
const ALIKE_UNSURE: f64 = 0.8;
/// The same of the typical spread: a factor of two.
const TYPICAL_UNSURE: f64 = 0.7;

/// The model as beliefs have it before they see a catalog: nothing of scatter is known but about
/// where it lies.
pub(crate) const MODEL: World = World {
    alike: 8.0,
    drawn: true,
    rho: RHO_UNSURE,
    typical: Typical::Table,
    apart: 1.0,
    heavy: false,
    duds: 0.0,
    bias: 1.0,
    step: 0.5,
    drift: 0.0,
    lots: 0.0,
};

/// Prior of the ratio that beliefs assume when it is not 1 exactly: its square is worth four
/// degrees of freedom, which is a standard deviation of 0.4 of its logarithm.
pub(crate) const RHO_UNSURE: Rho = Rho::About1(0.4);
