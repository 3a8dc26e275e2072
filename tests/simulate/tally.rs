//! Shares counted over catalogs, with their standard errors.

use std::ops::AddAssign;

/// A share over catalogs; the standard error takes what one catalog holds as going together.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Share {
    hits: f64,
    count: f64,
    hits2: f64,
    count2: f64,
    cross: f64,
}

impl Share {
    /// Adds one catalog: the sum of its chances and their number.
    pub(crate) fn catalog(&mut self, hits: f64, count: f64) {
        self.hits += hits;
        self.count += count;
        self.hits2 += hits * hits;
        self.count2 += count * count;
        self.cross += hits * count;
    }

    /// How many were counted.
    pub(crate) fn count(&self) -> f64 {
        self.count
    }

    /// The share; NaN of none.
    pub(crate) fn share(&self) -> f64 {
        self.hits / self.count
    }

    /// Its standard error (ratio of sums over independent catalogs, delta method).
    pub(crate) fn error(&self) -> f64 {
        let p = self.share();
        let squares = self.hits2 - 2.0 * p * self.cross + p * p * self.count2;
        squares.max(0.0).sqrt() / self.count
    }
}

/// Adds the catalogs of another share.
impl AddAssign for Share {
    fn add_assign(&mut self, other: Share) {
        self.hits += other.hits;
        self.count += other.count;
        self.hits2 += other.hits2;
        self.count2 += other.count2;
        self.cross += other.cross;
    }
}
