//! The mechanics of what stands on feet: sliding, tipping, sinking.

use crate::duty::mechanics::block::Solid;
use crate::duty::mechanics::pad::{carried, left_at_life, squeeze};
use crate::duty::{Performance, Trace};

/// The feet with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Feet {
    /// Weight on all feet, N.
    pub(super) weight_n: f64,
    /// Weight on the most loaded foot, N.
    pub(super) heaviest_n: f64,
    pub(super) number: f64,
    /// One foot.
    pub(super) foot: Solid,
    pub(super) bonded: bool,
    pub(super) push_n: Option<f64>,
    pub(super) slope_deg: Option<f64>,
    /// Friction from which a push tips it before it slides: half width over push height.
    pub(super) tips_from: Option<f64>,
    /// Slope at which it tips, deg.
    pub(super) tips_at_deg: Option<f64>,
    pub(super) sag_mm: f64,
}

impl Feet {
    /// Largest sideways push before it slides, N.
    pub(super) fn hold(self) -> Performance {
        Performance::new(move |i, t| {
            let [mu] = *i.x else { return f64::NAN };
            let weight = t.step("F1", "weight on all feet", self.weight_n, "N");
            t.step("F1", "static friction", mu, "1");
            if let Some(ratio) = self.tips_from {
                t.step("F4", "tips at", weight * ratio, "N");
                t.step("F4", "friction from which it tips first", ratio, "1");
            }
            t.step("F1", "slides at", mu * weight, "N")
        })
    }

    /// Slope at which it slides, deg.
    pub(super) fn slope(self, asked_deg: f64) -> Performance {
        Performance::new(move |i, t| {
            let [mu] = *i.x else { return f64::NAN };
            let (sin, cos) = asked_deg.to_radians().sin_cos();
            t.step("F2", "static friction", mu, "1");
            t.step("F2", "weight on all feet", self.weight_n, "N");
            t.step("F2", "slope asked", asked_deg, "deg");
            let driving = t.step("F2", "driving force on the slope", self.weight_n * sin, "N");
            let resisting = t.step(
                "F2",
                "resisting force on the slope",
                mu * self.weight_n * cos,
                "N",
            );
            t.step("F2", "resisting over driving", resisting / driving, "1");
            if let Some(tips) = self.tips_at_deg {
                t.step("F3", "tips at", tips, "deg");
            }
            t.step("F2", "slides at", mu.atan().to_degrees(), "deg")
        })
    }

    /// Stress on the most loaded foot, MPa.
    pub(super) fn stress_mpa(&self) -> f64 {
        self.heaviest_n / self.foot.area_mm2
    }

    /// Pressure that a foot takes, MPa: of a bolted run, else what it carries for the life, else
    /// a third of its yield strength.
    pub(super) fn crushing(self, factor: f64) -> Performance {
        Performance::new(move |i, t| {
            self.stress(factor, t);
            carried(i, t)
        })
    }

    /// Stress on the most loaded foot with the factor on loads, MPa, and how it comes about.
    fn stress(&self, factor: f64, t: &mut Trace) -> f64 {
        t.step("F8", "weight on the most loaded foot", self.heaviest_n, "N");
        t.step("F8", "factor on loads", factor, "1");
        t.step("F8", "area of a foot", self.foot.area_mm2, "mm2");
        t.step(
            "F8",
            "stress on the most loaded foot",
            factor * self.stress_mpa(),
            "MPa",
        )
    }

    /// How far the most loaded foot sinks, mm. Needs: modulus at the life or when new, what is
    /// left of it, and the bulk modulus where the faces are bonded.
    pub(super) fn sag(self, factor: f64) -> Performance {
        Performance::new(move |i, t| {
            let ([modulus, kept, bulk @ ..], [from, with, ..]) = (i.x, i.which) else {
                return f64::NAN;
            };
            let modulus = left_at_life([*modulus, *kept], [*from, *with], t);
            let bulk = bulk.first().copied().filter(|_| self.bonded);
            let apparent = self.foot.apparent(modulus, bulk, t);
            let stress = self.stress(factor, t);
            let strain = t.step("F8", "squeeze", squeeze(stress, apparent), "1");
            t.step("F8", "height of a foot", self.foot.height_mm, "mm");
            t.step("F8", "sag", strain * self.foot.height_mm, "mm")
        })
    }
}
