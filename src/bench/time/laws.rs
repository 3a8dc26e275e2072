//! The laws of time fitted to one curve, each with what its readings leave open.

use super::{HELD_EXPONENT, Law, RETAINED_FLOOR};
use crate::num::{Chain, CorrelatedLine, Correlation, ln_normal_cdf, normal_quantile, t_quantile};

/// Standard deviation of a reading about its law before the curve itself has told, share of the
/// mean reading: a gauge step of 0.01 mm on a deflection of 1 mm, or a room 2 K warmer (assumed, no source).
pub(super) const READING_NOISE: f64 = 0.01;
/// Degrees of freedom of that opinion (assumed): the curve's own residuals soon outweigh it.
const NOISE_DOF: f64 = 3.0;
/// Readings above time 0 from which a curve tells how its errors hang together.
pub(super) const READINGS_FOR_CORRELATION: usize = 6;
/// Share of the variance that drifts along a curve, and over how many decades, where the curve
/// cannot tell (assumed, no source).
const HELD_DRIFTING: f64 = 0.5;
const HELD_RANGE_DECADES: f64 = 1.0;
/// What is weighed where it can: white, or drifting by these shares over these ranges.
const DRIFTING: [f64; 2] = [0.5, 0.9];
const RANGE_DECADES: [f64; 3] = [0.3, 1.0, 3.0];
/// Opinion that the errors are white before the curve has told; the rest is even.
const WHITE_OPINION: f64 = 0.25;
/// Exponents weighed, and searched for the best: open interval (0, 1) without its ends.
const EXPONENT_LOW: f64 = 0.02;
const EXPONENT_STEP: f64 = 0.08;
pub(super) const EXPONENTS: u32 = 13;
/// Steps of the golden section inside the best step (0.62^32 of 0.16 is 4e-8).
const GOLDEN_STEPS: u32 = 32;
/// Powers of n and 1 - n in the opinion of the exponent: a beta distribution of mean 1/4 and
/// standard deviation 0.12, which spans the published exponents of about 0.1 to 0.4 (assumed).
const EXPONENT_OPINION: (f64, f64) = (2.0, 8.0);
/// Opinion that a creeping curve ends in steady flow, before its last readings have told (assumed).
const FLOW_OPINION: f64 = 0.2;
/// How far the last readings reach that tell of flow, decades, and how many there are at least.
const FLOW_DECADES: f64 = 1.0;
const FLOW_READINGS: usize = 3;
/// Readings above time 0 from which flow is looked for.
const READINGS_FOR_FLOW: usize = 5;
/// Chance below the upper end of a 90 % interval.
const UPPER: f64 = 0.95;

/// Where other curves say less than this of an exponent, ln against the best, it is out of the question.
const LEAST_TOLD: f64 = -50.0;

/// ln of what is said for each exponent weighed, 0 the best.
pub(super) type Exponents = [f64; EXPONENTS as usize];

/// A curve's readings in the form of its laws.
pub(super) struct Readings {
    law: Law,
    /// Hours and y, in order of time.
    points: Vec<(f64, f64)>,
    /// ln of time over the last time; minus infinity at the moment of loading.
    ln_t: Vec<f64>,
    /// Latest time, h.
    pub(super) last: f64,
    /// First time above 0, h.
    pub(super) first: f64,
    /// A reading's standard deviation before the curve has told, in y.
    noise: f64,
    /// The normal's quantile at [`UPPER`].
    upper: f64,
    /// What the property is held at where a law falls below it.
    least: f64,
}

/// What one law foretells, ln of the property.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foretold {
    /// The property by the law's figures of ordinary least squares.
    pub(super) plain: f64,
    /// Mean over all that the readings leave open.
    pub(super) mean: f64,
    /// Variance about that mean.
    pub(super) open: f64,
    /// Part of it from the noise of this curve's own readings, all else given.
    pub(super) noise: f64,
}

/// The Findley law's.
#[derive(Clone, Copy, Debug)]
pub(super) struct FindleyFit {
    pub(super) foretold: Foretold,
    pub(super) exponent: f64,
    pub(super) held: bool,
}

/// Steady flow's, and how much it counts.
#[derive(Clone, Copy, Debug)]
pub(super) struct FlowFit {
    pub(super) foretold: Foretold,
    pub(super) weight: f64,
}

/// One way of how errors hang together, over the same readings.
struct Way {
    ln_opinion: f64,
    drifting: f64,
    chain: Chain,
    y: Vec<f64>,
    /// Degrees of freedom of the readings' variance.
    dof: f64,
}

/// One fit among those weighed.
struct Weighed {
    ln_weight: f64,
    at: f64,
    variance: f64,
}

impl Readings {
    /// `None` with fewer than two different times above zero.
    pub(super) fn of(points: Vec<(f64, f64)>, law: Law) -> Option<Readings> {
        let first = points.iter().map(|p| p.0).find(|t| *t > 0.0)?;
        let last = points.last()?.0;
        if last <= first {
            return None;
        }
        let mean = points.iter().map(|p| p.1.abs()).sum::<f64>() / count(points.len());
        Some(Readings {
            law,
            ln_t: points.iter().map(|p| (p.0 / last).ln()).collect(),
            points,
            last,
            first,
            noise: READING_NOISE * mean,
            upper: normal_quantile(UPPER),
            least: match law {
                Law::Strain => 0.0,
                Law::Retained => RETAINED_FLOOR,
            },
        })
    }

    /// Shares kept as strains that grow: the inverse of each. `None` for what is a strain already.
    pub(super) fn inverse(&self) -> Option<Readings> {
        if self.law == Law::Strain {
            return None;
        }
        let inverse = |y: f64| 1.0 / y.max(RETAINED_FLOOR);
        let points = self.points.iter().map(|p| (p.0, inverse(p.1))).collect();
        let strains = Readings::of(points, Law::Strain)?;
        Some(Readings {
            least: RETAINED_FLOOR,
            ..strains
        })
    }

    /// Whether there are readings enough to tell how their errors hang together.
    pub(super) fn tell_correlation(&self) -> bool {
        self.above_zero() >= READINGS_FOR_CORRELATION
    }

    /// How many different times were read.
    pub(super) fn times(&self) -> usize {
        1 + self
            .points
            .windows(2)
            .filter(|w| w.first().map(|p| p.0) < w.last().map(|p| p.0))
            .count()
    }

    fn above_zero(&self) -> usize {
        self.points.iter().filter(|p| p.0 > 0.0).count()
    }

    fn moment_of_loading(&self) -> usize {
        self.points.len() - self.above_zero()
    }

    /// One way for the readings from `from` on: `drifting` of the variance over `decades`.
    fn way(&self, from: usize, opinion: f64, drifting: f64, decades: f64) -> Way {
        let chain = Chain::new(
            self.ln_t.iter().skip(from).copied(),
            Correlation {
                drifting,
                range: decades * std::f64::consts::LN_10,
            },
        );
        let y: Vec<f64> = chain
            .independent(self.points.iter().skip(from).map(|p| p.1))
            .collect();
        let dof = NOISE_DOF + count(y.len()) - 2.0;
        Way {
            ln_opinion: opinion.ln(),
            drifting,
            chain,
            y,
            dof,
        }
    }

    fn white(&self, from: usize) -> Way {
        self.way(from, 1.0, 0.0, HELD_RANGE_DECADES)
    }

    fn held(&self, from: usize) -> Way {
        self.way(from, 1.0, HELD_DRIFTING, HELD_RANGE_DECADES)
    }

    fn ways(&self, from: usize) -> Vec<Way> {
        if !self.tell_correlation() {
            return vec![self.held(from)];
        }
        let even = (1.0 - WHITE_OPINION) / count(DRIFTING.len() * RANGE_DECADES.len());
        let mut all = vec![self.way(from, WHITE_OPINION, 0.0, HELD_RANGE_DECADES)];
        for decades in RANGE_DECADES {
            all.extend(DRIFTING.map(|d| self.way(from, even, d, decades)));
        }
        all
    }

    /// Student's t over the normal at the end of a 90 % interval, squared.
    fn widened(&self, dof: f64) -> f64 {
        (t_quantile(UPPER, dof) / self.upper).powi(2)
    }

    /// The log-time law y = a + b ln t at `ln_life`, ln of the life over the last time.
    pub(super) fn log_time(&self, ln_life: f64) -> Option<Foretold> {
        let from = self.moment_of_loading();
        let ln_t = || self.ln_t.iter().skip(from).copied();
        let plain = self.white(from);
        let plain = plain.chain.line(ln_t(), &plain.y)?;
        let ways = self.ways(from);
        let widened = self.widened(ways.first()?.dof);
        let all: Vec<Weighed> = ways
            .iter()
            .filter_map(|w| self.weigh(&w.chain.line(ln_t(), &w.y)?, w, widened, ln_life))
            .collect();
        weighed(self.property(self.height(&plain, ln_life))?, &all)
    }

    /// What the readings say of the Findley law's exponent: ln of the restricted likelihood over all
    /// ways in which their errors may hang together.
    pub(super) fn told(&self) -> Exponents {
        let ways = self.ways(0);
        let mut told = [f64::NEG_INFINITY; EXPONENTS as usize];
        for ((n, _), at) in exponents().zip(&mut told) {
            let each: Vec<f64> = ways
                .iter()
                .filter_map(|w| {
                    let line = w
                        .chain
                        .line(self.ln_t.iter().map(|l| (n * l).exp()), &w.y)?;
                    Some(self.ln_weight(&line, w))
                })
                .collect();
            let top = each.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            *at = top + each.iter().map(|x| (x - top).exp()).sum::<f64>().ln();
        }
        let top = told.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        told.map(|x| {
            let off = x - top;
            if off.is_nan() {
                0.0
            } else {
                off.max(LEAST_TOLD)
            }
        })
    }

    /// The Findley law y = y0 + m t^n: for each n the rest is a straight line. `others` is what
    /// other curves say of n.
    pub(super) fn findley(
        &self,
        ln_life: f64,
        held: bool,
        others: &Exponents,
    ) -> Option<FindleyFit> {
        let fit = |w: &Way, n: f64| {
            // exp(-inf) is the 0 that the moment of loading needs.
            let line = w
                .chain
                .line(self.ln_t.iter().map(|l| (n * l).exp()), &w.y)?;
            Some((line, (n * ln_life).exp()))
        };
        let white = self.white(0);
        let exponent = if held {
            HELD_EXPONENT
        } else {
            least(|n| fit(&white, n).map_or(f64::INFINITY, |(l, _)| self.misfit(&l)))
        };
        let (plain, x) = fit(&white, exponent)?;
        let ways = self.ways(0);
        let widened = self.widened(ways.first()?.dof);
        let mut all = Vec::with_capacity(ways.len() * EXPONENTS as usize);
        for w in &ways {
            for ((n, ln_opinion), other) in exponents().zip(others) {
                let one = fit(w, n).and_then(|(line, x)| self.weigh(&line, w, widened, x));
                all.extend(one.map(|one| Weighed {
                    ln_weight: one.ln_weight + ln_opinion + other,
                    ..one
                }));
            }
        }
        Some(FindleyFit {
            foretold: weighed(self.property(self.height(&plain, x))?, &all)?,
            exponent,
            held,
        })
    }

    /// Steady flow past the last reading, y = a + c t through the last readings only, and how much
    /// it counts beside the two laws.
    ///
    /// Its weight is that of the evidence beyond what speaks for the laws on the same readings:
    /// p r / (p r + 1 - p) with r = likelihood ratio - 1, nothing below 0.
    pub(super) fn flow(&self, ln_life: f64) -> Option<FlowFit> {
        let from = self.moment_of_loading();
        if self.law != Law::Strain || self.above_zero() < READINGS_FOR_FLOW {
            return None;
        }
        let reach = -FLOW_DECADES * std::f64::consts::LN_10;
        let from = from
            .max(self.ln_t.iter().position(|l| *l >= reach)?)
            .min(self.points.len() - FLOW_READINGS);
        let way = self.held(from);
        let widened = self.widened(way.dof);
        let late = || self.ln_t.iter().skip(from).copied();
        let weigh = |line: Option<CorrelatedLine>, x| self.weigh(&line?, &way, widened, x);
        let flow = weigh(way.chain.line(late().map(f64::exp), &way.y), ln_life.exp())?;
        let log_time = weigh(way.chain.line(late(), &way.y), ln_life)?;
        let ratio = |w: &Weighed| (w.ln_weight - flow.ln_weight).exp();
        let (mut opinions, mut findley) = (0.0, 0.0);
        for (n, ln_opinion) in exponents() {
            let opinion = ln_opinion.exp();
            opinions += opinion;
            let line = way.chain.line(late().map(|l| (n * l).exp()), &way.y);
            findley += weigh(line, (n * ln_life).exp()).map_or(0.0, |w| opinion * ratio(&w));
        }
        let laws = 0.5 * (ratio(&log_time) + findley / opinions);
        let beyond = (1.0 / laws - 1.0).max(0.0);
        let weight = FLOW_OPINION * beyond / (FLOW_OPINION * beyond + 1.0 - FLOW_OPINION);
        weight.is_finite().then_some(FlowFit {
            foretold: Foretold {
                plain: flow.at.exp(),
                mean: flow.at,
                open: flow.variance,
                noise: flow.variance,
            },
            weight,
        })
    }

    /// Squared distances from a line, or from its level where it runs the wrong way.
    fn misfit(&self, line: &CorrelatedLine) -> f64 {
        if self.runs_right(line) {
            line.residual_squares
        } else {
            line.residual_squares + line.slope.powi(2) / line.slope_variance()
        }
    }

    fn runs_right(&self, line: &CorrelatedLine) -> bool {
        match self.law {
            Law::Strain => line.slope >= 0.0,
            Law::Retained => line.slope <= 0.0,
        }
    }

    /// What a fitted line foretells at `x`: the height's own variance with the drift that the
    /// specimen may have there. A line that runs the wrong way is level, and open by what a slope
    /// of the right sign could still be.
    fn weigh(&self, line: &CorrelatedLine, way: &Way, widened: f64, x: f64) -> Option<Weighed> {
        let variance = (self.held_squares() + line.residual_squares) / way.dof * widened;
        let open = if self.runs_right(line) {
            line.variance_at(x)
        } else {
            let (_, of_level, there) = line.level();
            let of_slope = line.slope_variance();
            let z = line.slope.abs() / (variance * of_slope).sqrt();
            of_level + of_slope * square_past(z) * (x - there).powi(2)
        };
        let (y, open) = (self.height(line, x), open + way.drifting);
        let (at, of_at) = self.in_property(y, (variance * open).sqrt())?;
        let ln_weight = self.ln_weight(line, way);
        (ln_weight.is_finite() && of_at.is_finite()).then_some(Weighed {
            ln_weight,
            at,
            variance: of_at,
        })
    }

    /// The opinion of the noise, in squares.
    fn held_squares(&self) -> f64 {
        NOISE_DOF * self.noise.powi(2)
    }

    fn ln_weight(&self, line: &CorrelatedLine, way: &Way) -> f64 {
        way.ln_opinion + line.ln_restricted(self.held_squares(), way.dof)
    }

    /// y at `x`; a line that runs the wrong way is level.
    fn height(&self, line: &CorrelatedLine, x: f64) -> f64 {
        if self.runs_right(line) {
            line.intercept + line.slope * x
        } else {
            line.level().0
        }
    }

    /// From y to the property: the inverse of a compliance, or a share held off zero.
    fn property(&self, y: f64) -> Option<f64> {
        let free = match self.law {
            Law::Strain if y > 0.0 => 1.0 / y,
            Law::Strain => return None,
            Law::Retained => y,
        };
        Some(free.max(self.least))
    }

    /// ln of the property at y, and its variance: the half widths of the 90 % interval, as the
    /// logarithm bends it. A modulus has only the side of more strain, for strain does not go back.
    fn in_property(&self, y: f64, sd: f64) -> Option<(f64, f64)> {
        let z = self.upper;
        let ln = |y: f64| self.property(y).map(f64::ln);
        let at = ln(y)?;
        let half = match self.law {
            Law::Strain => at - ln(y + z * sd)?,
            Law::Retained => 0.5 * (ln(y + z * sd)? - ln(y - z * sd)?),
        };
        Some((at, (half / z).powi(2)))
    }
}

/// E[b^2; b > 0] over the variance of b, given b > 0, for a normal b whose mean lies z standard
/// deviations below 0.
///
/// Formula: 1 + z^2 - z h, h the normal hazard at z (second moment of a truncated normal; textbook).
fn square_past(z: f64) -> f64 {
    let ln_density = -0.5 * z * z - 0.5 * (2.0 * std::f64::consts::PI).ln();
    let hazard = (ln_density - ln_normal_cdf(-z)).exp();
    (1.0 + z * (z - hazard)).clamp(0.0, 1.0)
}

/// The fits weighed by their restricted likelihoods; `plain` stands beside them.
fn weighed(plain: f64, all: &[Weighed]) -> Option<Foretold> {
    let strongest = all
        .iter()
        .max_by(|a, b| a.ln_weight.total_cmp(&b.ln_weight))?;
    let (mut sum, mut first, mut second, mut noise) = (0.0, 0.0, 0.0, 0.0);
    for w in all {
        let weight = (w.ln_weight - strongest.ln_weight).exp();
        let off = w.at - strongest.at;
        sum += weight;
        first += weight * off;
        second += weight * (w.variance + off * off);
        noise += weight * w.variance;
    }
    let off = first / sum;
    Some(Foretold {
        plain,
        mean: strongest.at + off,
        open: (second / sum - off * off).max(0.0),
        noise: noise / sum,
    })
}

/// The exponents weighed, each with ln of its opinion but for a constant.
fn exponents() -> impl Iterator<Item = (f64, f64)> {
    (0..EXPONENTS).map(|i| {
        let n = EXPONENT_LOW + EXPONENT_STEP * f64::from(i);
        let ln_opinion = EXPONENT_OPINION.0 * n.ln() + EXPONENT_OPINION.1 * (1.0 - n).ln();
        (n, ln_opinion)
    })
}

/// The exponent of the least cost: the best of the steps, then golden section about it.
fn least(mut cost: impl FnMut(f64) -> f64) -> f64 {
    let high = EXPONENT_LOW + EXPONENT_STEP * f64::from(EXPONENTS - 1);
    let mut best = (f64::INFINITY, EXPONENT_LOW);
    for (n, _) in exponents() {
        let c = cost(n);
        if c < best.0 {
            best = (c, n);
        }
    }
    let (mut low, mut high) = (
        (best.1 - EXPONENT_STEP).max(EXPONENT_LOW),
        (best.1 + EXPONENT_STEP).min(high),
    );
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut cost_a, mut cost_b) = (cost(a), cost(b));
    for _ in 0..GOLDEN_STEPS {
        if cost_a <= cost_b {
            (high, b, cost_b) = (b, a, cost_a);
            a = high - golden * (high - low);
            cost_a = cost(a);
        } else {
            (low, a, cost_a) = (a, b, cost_b);
            b = low + golden * (high - low);
            cost_b = cost(b);
        }
    }
    0.5 * (low + high)
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::INFINITY, f64::from)
}
