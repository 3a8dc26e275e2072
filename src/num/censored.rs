//! The most likely normal distribution of readings of which some are only bounds or ranges.
//!
//! > ln L = sum ln f(y) over exact readings + sum ln P(low < Y < high) over the others,
//!
//! each as often as it was read, Y normal with mean mu and standard deviation s (textbook; Meeker and
//! Escobar, Statistical Methods for Reliability Data, chapters 7 and 8, from memory, not verified;
//! checked against reference libraries in the published cases). A lognormal is the same on logarithms.
//!
//! In mu/s and 1/s the log-likelihood is concave (Burridge 1981, Journal of the Royal Statistical
//! Society B 43, 41-45; Pratt 1981, Journal of the American Statistical Association 76, 103-106; both
//! from memory, the concavity derived), so that Newton's method with shortened steps finds the only
//! top where there is one. Where there is none is told beforehand from the readings ([`NoTop`], the
//! conditions derived: the directions in which a concave function never falls).

use crate::num::{ln_normal_cdf, ln_normal_interval};
use serde::Serialize;
use std::f64::consts::PI;

/// What is known of one reading, and how often it was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    low: f64,
    high: f64,
    times: f64,
}

impl Span {
    /// A reading between `low` and `high`, natural scale; equal ends are an exact reading, an infinite
    /// end is open. `times` counts equal readings, above 0 and finite.
    ///
    /// `None` where the ends are in the wrong order, both open, both at one infinity, or not numbers.
    pub fn new(low: f64, high: f64, times: f64) -> Option<Self> {
        let known = (low.is_finite() || high.is_finite())
            && low <= high
            && low < f64::INFINITY
            && high > f64::NEG_INFINITY;
        (known && times > 0.0 && times.is_finite()).then_some(Span { low, high, times })
    }

    fn is_exact(&self) -> bool {
        self.low >= self.high
    }

    /// The figure that stands for it at the start of the search.
    fn figure(&self) -> f64 {
        if self.low.is_finite() && self.high.is_finite() {
            0.5 * (self.low + self.high)
        } else if self.low.is_finite() {
            self.low
        } else {
            self.high
        }
    }
}

/// The top of a likelihood.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likeliest {
    /// Most likely mean.
    pub mean: f64,
    /// Most likely standard deviation: that of maximum likelihood, a little small in small samples.
    pub sd: f64,
    /// Standard error of the mean, from the observed information (the second derivatives at the top).
    pub mean_se: f64,
    /// Standard error of the standard deviation.
    pub sd_se: f64,
    /// Correlation of the two, -1 to 1.
    pub correlation: f64,
    /// Log-likelihood there.
    pub log_likelihood: f64,
}

/// Why a likelihood has no top.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NoTop {
    /// There are no readings.
    NoReadings,
    /// All are `>=`: the larger the mean, the likelier.
    OnlyAtLeast,
    /// All are `<=`: the smaller the mean, the likelier.
    OnlyAtMost,
    /// One figure agrees with every reading: the smaller the spread, the likelier.
    OneFigureFits,
    /// Bounds alone, of both sides and against each other: the larger the spread, the likelier.
    BoundsCross,
    /// The search did not settle; not known to happen.
    NotFound,
}

/// Log-likelihood of a normal of this mean and standard deviation (above 0); NaN outside these.
pub fn log_likelihood(readings: &[Span], mean: f64, sd: f64) -> f64 {
    if !(sd > 0.0 && sd.is_finite() && mean.is_finite()) {
        return f64::NAN;
    }
    // Distances from the mean, so that a large common level costs no digits.
    let tau = sd.recip();
    readings
        .iter()
        .map(|r| {
            let from = Span {
                low: r.low - mean,
                high: r.high - mean,
                ..*r
            };
            let width = r.high - r.low;
            r.times * log_chance(&from, width, Place { eta: 0.0, tau })
        })
        .sum()
}

/// Log density or chance of one reading `width` wide.
fn log_chance(r: &Span, width: f64, p: Place) -> f64 {
    let (low, high) = (p.tau * r.low - p.eta, p.tau * r.high - p.eta);
    if r.is_exact() {
        p.tau.ln() - 0.5 * (low * low + (2.0 * PI).ln())
    } else if r.low == f64::NEG_INFINITY {
        ln_normal_cdf(high)
    } else if r.high == f64::INFINITY {
        ln_normal_cdf(-low)
    } else if is_narrow(low, high) {
        let (m, w) = (0.5 * (low + high), p.tau * width);
        w.ln() - 0.5 * (m * m + (2.0 * PI).ln()) + w * w * (m * m - 1.0) / 24.0
    } else {
        ln_normal_interval(low, high)
    }
}

/// Whether a range, in scores, is so narrow that the chance in it is density times width with one
/// term of correction (to 1e-13); the difference of two nearly equal chances would lose its digits.
fn is_narrow(low: f64, high: f64) -> bool {
    let w = high - low;
    w * (1.0 + low.abs().max(high.abs())) < 1e-3
}

/// The most likely mean and standard deviation, with standard errors.
///
/// # Errors
/// [`NoTop`] where the readings have no most likely normal: then only bounds of one side, only one
/// figure, or nothing is known by them, and a prior opinion must help.
pub fn likeliest(readings: &[Span]) -> Result<Likeliest, NoTop> {
    if let Some(why) = no_top(readings) {
        return Err(why);
    }
    // In units of the readings' own spread about their middle.
    let weight: f64 = readings.iter().map(|r| r.times).sum();
    let middle =
        |f: &dyn Fn(&Span) -> f64| readings.iter().map(|r| r.times * f(r)).sum::<f64>() / weight;
    let at = middle(&|r| r.figure());
    let unit = middle(&|r| (r.figure() - at).powi(2)).sqrt();
    if !(unit > 0.0 && unit.is_finite()) {
        return Err(NoTop::NotFound);
    }
    let scaled: Vec<Span> = readings
        .iter()
        .map(|r| Span {
            low: (r.low - at) / unit,
            high: (r.high - at) / unit,
            ..*r
        })
        .collect();
    let top = climb(&scaled).ok_or(NoTop::NotFound)?;
    let mean = at + unit * top.eta / top.tau;
    let sd = unit / top.tau;
    // The information in (mean, sd): mu = at + unit eta/tau, s = unit/tau, and no slope at the top.
    let h = slopes(&scaled, top);
    let (d_eta, d_tau) = ((1.0 / sd, -top.eta / sd), (0.0, -top.tau / sd));
    let second = |a: (f64, f64), b: (f64, f64)| {
        a.0 * b.0 * h.eta_eta + (a.0 * b.1 + a.1 * b.0) * h.eta_tau + a.1 * b.1 * h.tau_tau
    };
    // Derivatives of eta and tau in the mean, and in sd.
    let by_mean = (d_eta.0, d_tau.0);
    let by_sd = (d_eta.1, d_tau.1);
    let (mm, ms, ss) = (
        -second(by_mean, by_mean),
        -second(by_mean, by_sd),
        -second(by_sd, by_sd),
    );
    let det = mm * ss - ms * ms;
    let found = Likeliest {
        mean,
        sd,
        mean_se: (ss / det).sqrt(),
        sd_se: (mm / det).sqrt(),
        correlation: -ms / (mm * ss).sqrt(),
        log_likelihood: log_likelihood(readings, mean, sd),
    };
    let whole = [mean, sd, found.mean_se, found.sd_se, found.log_likelihood];
    if whole.iter().all(|x| x.is_finite()) {
        Ok(found)
    } else {
        Err(NoTop::NotFound)
    }
}

/// Why there is no top, if there is none.
fn no_top(readings: &[Span]) -> Option<NoTop> {
    if readings.is_empty() {
        return Some(NoTop::NoReadings);
    }
    if readings.iter().all(|r| r.high == f64::INFINITY) {
        return Some(NoTop::OnlyAtLeast);
    }
    if readings.iter().all(|r| r.low == f64::NEG_INFINITY) {
        return Some(NoTop::OnlyAtMost);
    }
    let highest_low = readings
        .iter()
        .map(|r| r.low)
        .fold(f64::NEG_INFINITY, f64::max);
    let lowest_high = readings
        .iter()
        .map(|r| r.high)
        .fold(f64::INFINITY, f64::min);
    if highest_low <= lowest_high {
        return Some(NoTop::OneFigureFits);
    }
    // With bounds alone an endless spread is the likeliest unless the `<=` lie higher on average.
    let one_sided = |r: &Span| r.low.is_infinite() || r.high.is_infinite();
    if readings.iter().all(one_sided) {
        let mean = |open: &dyn Fn(&Span) -> bool, end: &dyn Fn(&Span) -> f64| {
            let these = || readings.iter().filter(|r| open(r));
            these().map(|r| r.times * end(r)).sum::<f64>() / these().map(|r| r.times).sum::<f64>()
        };
        let least = mean(&|r| r.high.is_infinite(), &|r| r.low);
        let most = mean(&|r| r.low.is_infinite(), &|r| r.high);
        if most <= least {
            return Some(NoTop::BoundsCross);
        }
    }
    None
}

/// eta = mu/s and tau = 1/s, in scaled units.
#[derive(Clone, Copy, Debug)]
struct Place {
    eta: f64,
    tau: f64,
}

/// First and second derivatives of the log-likelihood.
#[derive(Clone, Copy, Debug, Default)]
struct Slopes {
    eta: f64,
    tau: f64,
    eta_eta: f64,
    eta_tau: f64,
    tau_tau: f64,
}

fn value(readings: &[Span], p: Place) -> f64 {
    readings
        .iter()
        .map(|r| r.times * log_chance(r, r.high - r.low, p))
        .sum()
}

fn slopes(readings: &[Span], p: Place) -> Slopes {
    let mut s = Slopes::default();
    for r in readings {
        let (a, b) = (p.tau * r.low - p.eta, p.tau * r.high - p.eta);
        let n = r.times;
        if r.is_exact() {
            let y = r.low;
            s.eta += n * a;
            s.tau += n * (p.tau.recip() - a * y);
            s.eta_eta -= n;
            s.eta_tau += n * y;
            s.tau_tau -= n * (p.tau.powi(-2) + y * y);
            continue;
        }
        if is_narrow(a, b) {
            // As an exact reading of its middle, and what its width `w` in scores adds.
            let wide = r.high - r.low;
            let (m, w) = (0.5 * (a + b), p.tau * wide);
            let y = 0.5 * (r.low + r.high);
            let curve = wide * wide / 12.0;
            s.eta += n * (m - w * w * m / 12.0);
            s.tau +=
                n * (p.tau.recip() - m * y + w * w * m * y / 12.0 + curve * p.tau * (m * m - 1.0));
            s.eta_eta += n * (w * w / 12.0 - 1.0);
            s.eta_tau += n * (y - w * w * y / 12.0 - 2.0 * curve * p.tau * m);
            s.tau_tau += n
                * (w * w * y * y / 12.0 + curve * (m * m - 1.0) + 4.0 * curve * p.tau * m * y
                    - p.tau.powi(-2)
                    - y * y);
            continue;
        }
        // Density at each end over the chance between them; an open end has none.
        let chance = log_chance(r, r.high - r.low, p);
        let hazard = |x: f64| {
            if x.is_finite() {
                (-0.5 * (x * x + (2.0 * PI).ln()) - chance).exp()
            } else {
                0.0
            }
        };
        let finite = |x: f64| if x.is_finite() { x } else { 0.0 };
        let (ha, hb) = (hazard(a), hazard(b));
        let (za, zb) = (finite(a), finite(b));
        let (ya, yb) = (finite(r.low), finite(r.high));
        let by_eta = ha - hb;
        let by_tau = hb * yb - ha * ya;
        s.eta += n * by_eta;
        s.tau += n * by_tau;
        s.eta_eta += n * (za * ha - zb * hb - by_eta * by_eta);
        s.eta_tau += n * (zb * yb * hb - za * ya * ha - by_eta * by_tau);
        s.tau_tau += n * (za * ya * ya * ha - zb * yb * yb * hb - by_tau * by_tau);
    }
    s
}

/// Newton steps; a concave function of two unknowns takes a dozen.
const STEPS: usize = 200;
/// Halvings of a step that does not rise.
const HALVINGS: usize = 60;
/// A step that promises to rise by less than this is the last: its error is squared by Newton's step.
const ARRIVED: f64 = 1e-10;

fn climb(readings: &[Span]) -> Option<Place> {
    let mut p = Place { eta: 0.0, tau: 1.0 };
    let mut at = value(readings, p);
    if !at.is_finite() {
        return None;
    }
    for _ in 0..STEPS {
        let s = slopes(readings, p);
        let det = s.eta_eta * s.tau_tau - s.eta_tau * s.eta_tau;
        let (mut de, mut dt) = (
            -(s.tau_tau * s.eta - s.eta_tau * s.tau) / det,
            -(s.eta_eta * s.tau - s.eta_tau * s.eta) / det,
        );
        let mut promise = de * s.eta + dt * s.tau;
        if !(det > 0.0 && promise >= 0.0 && promise.is_finite()) {
            // Flat to the last digit in one direction: along the slope instead.
            let steep = s.eta.abs().max(s.tau.abs()).max(1.0);
            (de, dt) = (s.eta / steep, s.tau / steep);
            promise = de * s.eta + dt * s.tau;
        }
        if promise <= ARRIVED {
            let (eta, tau) = (p.eta + de, p.tau + dt);
            return Some(if tau > 0.0 { Place { eta, tau } } else { p });
        }
        let mut share = 1.0;
        let mut moved = false;
        for _ in 0..HALVINGS {
            let q = Place {
                eta: p.eta + share * de,
                tau: p.tau + share * dt,
            };
            if q.tau > 0.0 {
                let there = value(readings, q);
                if there.is_finite() && there >= at + 1e-4 * share * promise {
                    (p, at, moved) = (q, there, true);
                    break;
                }
            }
            share *= 0.5;
        }
        if !moved {
            // No further rise can be told apart: the step left is below the digits of the likelihood.
            return (promise <= 1e-9 * (1.0 + at.abs())).then_some(p);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const OPEN: f64 = f64::INFINITY;

    fn span(low: f64, high: f64) -> Span {
        Span::new(low, high, 1.0).expect("a span")
    }

    fn exact(y: f64) -> Span {
        span(y, y)
    }

    #[test]
    fn what_is_no_reading_is_refused() {
        for (a, b, n) in [
            (2.0, 1.0, 1.0),
            (-OPEN, OPEN, 1.0),
            (OPEN, OPEN, 1.0),
            (f64::NAN, 1.0, 1.0),
            (1.0, 2.0, 0.0),
            (1.0, 2.0, OPEN),
        ] {
            assert!(Span::new(a, b, n).is_none(), "{a} {b} {n}");
        }
    }

    #[test]
    fn a_likelihood_without_a_top_says_why() {
        for (readings, why) in [
            (vec![], NoTop::NoReadings),
            (vec![span(60.0, OPEN); 5], NoTop::OnlyAtLeast),
            (vec![span(-OPEN, 2.0), span(-OPEN, 3.0)], NoTop::OnlyAtMost),
            (vec![exact(5.0)], NoTop::OneFigureFits),
            (
                vec![exact(5.0), exact(5.0), span(4.0, OPEN)],
                NoTop::OneFigureFits,
            ),
            (vec![span(1.0, 3.0), span(2.0, 4.0)], NoTop::OneFigureFits),
            (vec![span(1.0, 2.0), span(2.0, 3.0)], NoTop::OneFigureFits),
            (
                vec![span(1.0, OPEN), span(-OPEN, 3.0)],
                NoTop::OneFigureFits,
            ),
            (vec![span(3.0, OPEN), span(-OPEN, 1.0)], NoTop::BoundsCross),
        ] {
            assert_eq!(likeliest(&readings), Err(why), "{readings:?}");
        }
    }

    #[test]
    fn one_exact_reading_among_bounds_has_a_top_where_they_contradict() {
        let agree = [exact(50.0), span(40.0, OPEN), span(45.0, OPEN)];
        assert_eq!(likeliest(&agree), Err(NoTop::OneFigureFits));
        let found = likeliest(&[exact(50.0), span(55.0, OPEN), span(45.0, OPEN)]).expect("a top");
        assert!(found.mean > 52.0 && found.sd > 1.0, "{found:?}");
    }

    #[test]
    fn crossed_bounds_can_have_a_top() {
        // The `<=` lie higher on average, yet two of the four contradict each other.
        let r = [
            span(3.0, OPEN),
            span(-OPEN, 2.0),
            span(-5.0, OPEN),
            span(-OPEN, 9.0),
        ];
        let found = likeliest(&r).expect("a top");
        let around = [(0.1, 0.0), (-0.1, 0.0), (0.0, 0.1), (0.0, -0.1)];
        for (m, s) in around {
            let there = log_likelihood(&r, found.mean + m, found.sd + s);
            assert!(there < found.log_likelihood);
        }
    }

    #[test]
    fn exact_readings_alone_are_the_textbook() {
        let r: Vec<Span> = [51.8, 53.1, 50.9, 52.6, 52.2]
            .iter()
            .map(|y| exact(*y))
            .collect();
        let f = likeliest(&r).expect("a top");
        let s = 0.834_865_258_6 * 0.8_f64.sqrt();
        assert!((f.mean - 52.12).abs() < 1e-9 && (f.sd / s - 1.0).abs() < 1e-9);
        assert!((f.mean_se / (s / 5.0_f64.sqrt()) - 1.0).abs() < 1e-9);
        assert!((f.sd_se / (s / 10.0_f64.sqrt()) - 1.0).abs() < 1e-9);
        assert!(f.correlation.abs() < 1e-9);
    }

    proptest! {
        /// Whatever is read: a reason, or a place from which every step goes down.
        #[test]
        fn every_sample_is_answered(
            rows in proptest::collection::vec((0..4_u8, -30.0..30.0_f64, prop_oneof![0.01..20.0_f64, Just(1e-6)], 1..4_u8), 1..9),
            shift in prop_oneof![Just(0.0), Just(1e4)],
            scale in prop_oneof![Just(1.0), Just(1e-6), Just(1e6)],
        ) {
            let spans: Vec<Span> = rows
                .iter()
                .filter_map(|(kind, y, wide, n)| {
                    let (a, b) = match kind {
                        0 => (*y, *y),
                        1 => (*y, OPEN),
                        2 => (-OPEN, *y),
                        _ => (*y, y + wide),
                    };
                    Span::new(scale * (shift + a), scale * (shift + b), f64::from(*n))
                })
                .collect();
            match likeliest(&spans) {
                Err(NoTop::NotFound) => prop_assert!(false, "lost: {spans:?}"),
                Err(_) => {}
                Ok(f) => {
                    for (m, s) in [(1e-3, 0.0), (-1e-3, 0.0), (0.0, 1e-3), (0.0, -1e-3)] {
                        let there = log_likelihood(&spans, f.mean + m * f.sd, f.sd * (1.0 + s));
                        prop_assert!(there <= f.log_likelihood + 1e-9, "{f:?}");
                    }
                }
            }
        }
    }
}
