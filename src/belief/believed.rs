//! A belief: its grade, its quantiles and its draws.

use crate::belief::distribution::{Distribution, Of};
use crate::belief::{Grade, Note, Side};
use crate::bench::{Bias, BiasKind};
use crate::num::{normal_quantile, stream};
use crate::property::Scale;
use std::collections::BTreeMap;

/// Draws in a block: the unit of streams and threads.
pub const BLOCK: usize = 256;

/// One standard normal draw per calibration part, for each draw of a block.
///
/// A part that is not in it moves nothing.
#[derive(Clone, Debug, Default)]
pub struct BiasBlock {
    offsets: BTreeMap<String, Vec<f64>>,
    gains: BTreeMap<String, Vec<f64>>,
}

impl BiasBlock {
    /// Draws of these calibration parts for one block; each part has its own stream, so that its
    /// draws depend on no other.
    pub fn new<'a>(
        seed: u64,
        block: u64,
        parts: impl IntoIterator<Item = (&'a str, BiasKind)>,
    ) -> Self {
        let mut b = BiasBlock::default();
        for (id, kind) in parts {
            let (map, word) = match kind {
                BiasKind::Offset => (&mut b.offsets, "offset"),
                BiasKind::Gain => (&mut b.gains, "gain"),
            };
            let mut s = stream(seed, &format!("calibration/{id}/{word}"), block);
            map.insert(id.to_owned(), (0..BLOCK).map(|_| s.normal()).collect());
        }
        b
    }

    /// The draws of one part, one standard uncertainty each.
    pub fn part(&self, calibration: &str, kind: BiasKind) -> Option<&[f64]> {
        let map = match kind {
            BiasKind::Offset => &self.offsets,
            BiasKind::Gain => &self.gains,
        };
        map.get(calibration).map(Vec::as_slice)
    }
}

/// What stands behind a belief.
#[derive(Clone, Debug)]
pub(super) enum Inner {
    /// Nothing.
    Absent,
    /// A figure without spread, canonical unit.
    Known(f64),
    /// A distribution on the natural scale.
    Spread(Box<Distribution>),
}

/// What the evidence supports of one property of one material under one ask.
#[derive(Clone, Debug)]
pub struct Belief {
    /// Grade.
    pub grade: Grade,
    /// Own specimens behind it, bounds among them.
    pub specimens: u32,
    /// Own prints behind it.
    pub prints: u32,
    /// Natural scale.
    pub scale: Scale,
    /// Side of the bounds where the grade is bounded.
    pub side: Option<Side>,
    /// What was assumed.
    pub notes: Vec<Note>,
    /// Whether it rests on the assumed straight line with heat.
    pub on_line: bool,
    /// Whether the property is auxiliary.
    pub auxiliary: bool,
    /// Bias terms of the mean.
    pub bias: Vec<Bias>,
    /// Key of its random streams: material, property, condition.
    pub key: String,
    /// The same belief with its bounds taken as exact readings, where all its own readings are bounds.
    pub as_exact: Option<Box<Belief>>,
    /// Share of the figure left with heat, 0 to 1.
    pub(super) share: f64,
    /// Figures that the quantity cannot pass, canonical unit, low and high; infinite where there is
    /// no end.
    pub(super) ends: (f64, f64),
    /// The distribution.
    pub(super) inner: Inner,
}

impl Belief {
    /// A belief that says nothing.
    pub(super) fn absent(scale: Scale, key: String) -> Self {
        Belief {
            grade: Grade::Absent,
            specimens: 0,
            prints: 0,
            scale,
            side: None,
            notes: Vec::new(),
            on_line: false,
            auxiliary: false,
            bias: Vec::new(),
            key,
            as_exact: None,
            share: 1.0,
            ends: (f64::NEG_INFINITY, f64::INFINITY),
            inner: Inner::Absent,
        }
    }

    /// A figure without spread, canonical unit.
    pub(super) fn known(scale: Scale, key: String, grade: Grade, figure: f64) -> Self {
        Belief {
            grade,
            inner: Inner::Known(figure),
            ..Belief::absent(scale, key)
        }
    }

    /// Whether nothing can be said: draws are NaN and quantiles `None`.
    pub fn is_absent(&self) -> bool {
        matches!(self.inner, Inner::Absent)
    }

    /// A place on the natural scale as a figure, no further than the quantity can go. It never falls
    /// where the place rises, so that no order of draws or quantiles is changed.
    fn figure(&self, g: f64) -> f64 {
        let (low, high) = self.ends;
        (self.share * self.scale.back(g)).clamp(low, high)
    }

    /// Fills one block of draws, canonical unit: the mean, and one next part per draw.
    ///
    /// Both slices have [`BLOCK`] or fewer entries, or none where that one is not wanted.
    /// An absent belief gives NaN.
    /// The rig bias of a draw is the same for the mean, the next part and every
    /// other belief that shares a calibration.
    pub fn draw_block(
        &self,
        seed: u64,
        block: u64,
        bias: &BiasBlock,
        mean: &mut [f64],
        next: &mut [f64],
    ) {
        let d = match &self.inner {
            Inner::Absent => {
                mean.fill(f64::NAN);
                next.fill(f64::NAN);
                return;
            }
            Inner::Known(y) => {
                mean.fill(self.share * y);
                next.fill(self.share * y);
                return;
            }
            Inner::Spread(d) => d,
        };
        if self.share <= 0.0 {
            mean.fill(0.0);
            next.fill(0.0);
            return;
        }
        let terms: Vec<(f64, &[f64])> = self
            .bias
            .iter()
            .filter_map(|b| Some((b.slope, bias.part(&b.calibration, b.kind)?)))
            .collect();
        let mut rng = stream(seed, &self.key, block);
        let mut shared = d
            .draws_shared()
            .then(|| stream(seed, &format!("{}/shared", self.key), block));
        let four = d.scores() > 3;
        for i in 0..mean.len().max(next.len()) {
            let z = [rng.normal(), rng.normal(), rng.normal()];
            let ratio = if four { rng.normal() } else { 0.0 };
            let own = shared.as_mut().map_or(0.0, |s| s.normal());
            let (mu, part) = d.draw([z[0], z[1], z[2], ratio], own);
            let shift: f64 = terms
                .iter()
                .map(|(slope, draws)| slope * draws.get(i).copied().unwrap_or(0.0))
                .sum();
            if let Some(m) = mean.get_mut(i) {
                *m = self.figure(mu + shift);
            }
            if let Some(n) = next.get_mut(i) {
                *n = self.figure(part + shift);
            }
        }
    }

    /// Quantile `p` (0 < p < 1) of the mean, canonical unit, rig bias included; `None` if absent.
    ///
    /// Bias terms enter as independent normal parts with one standard uncertainty each
    /// (JCGM 100, 5.1.2 for the sum of squares; each slope already sums what one calibration does to
    /// all readings, 5.2.2).
    pub fn mean_quantile(&self, p: f64) -> Option<f64> {
        self.quantile(p, Of::Mean)
    }

    /// Quantile `p` (0 < p < 1) of the next part, canonical unit, rig bias included; `None` if absent.
    pub fn next_quantile(&self, p: f64) -> Option<f64> {
        self.quantile(p, Of::Part)
    }

    /// The figures above which, and below which, `share` of all next parts lie, each with a chance
    /// of `confidence`, canonical unit, rig bias included; `None` if absent.
    ///
    /// With one print, no pool and rho 0 this is the one-sided normal tolerance limit mean -/+ k s with
    /// k = t'(confidence; n - 1, z sqrt(n)) / sqrt(n), t' the noncentral t (ISO 16269-6; the form from
    /// memory, not verified). Both lie strictly between 0 and 1.
    pub fn share_bounds(&self, share: f64, confidence: f64) -> Option<(f64, f64)> {
        let z = normal_quantile(share);
        Some((
            self.quantile(1.0 - confidence, Of::Score(-z))?,
            self.quantile(confidence, Of::Score(z))?,
        ))
    }

    fn quantile(&self, p: f64, of: Of) -> Option<f64> {
        match &self.inner {
            Inner::Absent => None,
            Inner::Known(y) => Some(self.share * y),
            Inner::Spread(_) if self.share <= 0.0 => Some(0.0),
            Inner::Spread(d) => {
                let bias: f64 = self.bias.iter().map(|b| b.slope * b.slope).sum();
                let g = d.quantile(p, of, bias);
                (!g.is_nan()).then(|| self.figure(g))
            }
        }
    }
}
