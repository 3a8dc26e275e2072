//! Random figures of a simulated catalog.

use rand::{RngExt, SeedableRng};
use rand_distr::{ChiSquared, Distribution, StandardNormal, StudentT};
use rand_pcg::Pcg64Mcg;

/// The chances of one simulated catalog.
#[derive(Clone, Debug)]
pub(crate) struct Dice(Pcg64Mcg);

impl Dice {
    /// The dice of the `catalog`-th catalog under a seed.
    pub(crate) fn new(seed: u64, catalog: usize) -> Self {
        let number = seed
            .wrapping_mul(1_000_003)
            .wrapping_add(u64::try_from(catalog).unwrap_or(u64::MAX));
        Dice(Pcg64Mcg::seed_from_u64(number))
    }

    /// A standard normal figure.
    pub(crate) fn normal(&mut self) -> f64 {
        StandardNormal.sample(&mut self.0)
    }

    /// A figure of variance 1 with the tails of Student's t with 3 degrees of freedom.
    pub(crate) fn heavy(&mut self) -> f64 {
        StudentT::new(3.0).map_or(0.0, |t| t.sample(&mut self.0)) / 3.0_f64.sqrt()
    }

    /// A figure between two ends, each as likely.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// Whether something of this chance happens.
    pub(crate) fn happens(&mut self, chance: f64) -> bool {
        self.0.random::<f64>() < chance
    }

    /// A variance about `typical` with so many degrees of freedom: scaled inverse chi-square;
    /// `typical` itself where they are infinite.
    pub(crate) fn variance(&mut self, typical: f64, dof: f64) -> f64 {
        match ChiSquared::new(dof) {
            Ok(chi) if dof.is_finite() => typical * dof / chi.sample(&mut self.0),
            _ => typical,
        }
    }
}
