//! Readings over time: one specimen's curve reduced to one number at a life.

use crate::num::{Line, line};
use serde::Serialize;

/// What a curve's values are, and so which way the laws of time run through them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Law {
    /// A modulus under a constant load: the strain, and so the inverse of the value, grows with time.
    Strain,
    /// A share kept at a constant deformation: the value itself falls with time.
    Retained,
}

/// One specimen's readings over time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Curve {
    /// Hours since loading and value, in order of time. A reading at the moment of
    /// loading (time 0) enters the Findley law and no logarithm.
    pub points: Vec<(f64, f64)>,
    /// What the values are.
    pub law: Law,
}

impl Curve {
    /// A creep modulus over time: (h, MPa), in any order.
    pub fn modulus(points: Vec<(f64, f64)>) -> Self {
        Curve::of(points, Law::Strain)
    }

    /// A share kept over time: (h, share of the first value), in any order.
    pub fn retained(points: Vec<(f64, f64)>) -> Self {
        Curve::of(points, Law::Retained)
    }

    fn of(mut points: Vec<(f64, f64)>, law: Law) -> Self {
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Curve { points, law }
    }
}

/// What a curve says at a life.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeFit {
    /// Value at the life, the equal-weight mean of both laws on the natural (log) scale.
    pub value: f64,
    /// Variance added on the log scale: the laws' difference and the drift past the last reading.
    pub added_variance: f64,
    /// Decades from the last reading to the life; 0 within the data.
    pub decades_beyond: f64,
    /// Value by the Findley power law y = y0 + m t^n.
    pub findley: f64,
    /// Value by the log-time law y = a + b log10 t.
    pub log_time: f64,
    /// Exponent n of the Findley law.
    pub exponent: f64,
    /// Whether the readings were too few to find n, so that [`HELD_EXPONENT`] was taken.
    pub exponent_held: bool,
    /// Whether both laws have fallen to [`RETAINED_FLOOR`]: the share is that or less.
    pub nothing_kept: bool,
}

/// Exponent of the Findley law where fewer than four readings cannot tell it.
/// Published figures are 0.305 (rigid PVC) and 0.154 (polyethylene), both from memory,
/// not verified; a rounded middle of the two.
pub const HELD_EXPONENT: f64 = 0.25;
/// Readings at different times, the moment of loading among them, from which n is fitted:
/// one more than the law has unknowns.
const READINGS_FOR_EXPONENT: usize = 4;
/// A retained share below this is nothing worth the name: a law that falls to it, or through
/// zero, is held here, so that no negative share and no logarithm of one can follow.
pub const RETAINED_FLOOR: f64 = 0.01;
/// Range of n searched, open interval (0, 1) of the law without its degenerate ends.
const EXPONENT_LOW: f64 = 0.02;
const EXPONENT_HIGH: f64 = 0.98;
/// Steps of the scan, and of the golden section inside the best one (0.62^32 of 0.08 is 2e-8).
const SCAN_STEPS: u32 = 24;
const GOLDEN_STEPS: u32 = 32;

/// One curve at `life_h` hours; `drift` is the policy's standard drift per decade past the last reading.
///
/// Two laws are fitted by least squares, all readings weighing the same: Findley
/// y = y0 + m t^n (W1) and log-time y = a + b log10 t (W2). y is the strain per stress for
/// [`Law::Strain`] and the share for [`Law::Retained`]. Both count the same on the log scale:
/// value = sqrt(y1 y2); added variance = ((ln y1 - ln y2) / 2)^2 + (drift decades)^2, the
/// variance of two equally likely laws and the drift past the last reading (W3).
///
/// - The reading at t = 0 pins y0 of Findley's law and is left out of the log-time law.
/// - With fewer than four readings n is not identifiable: it is held at [`HELD_EXPONENT`].
/// - A fitted change of the wrong sign (a modulus that grows, a share that grows) is scatter:
///   the law is then level at the mean of the readings.
/// - A retained share never falls below [`RETAINED_FLOOR`]; where both laws end there it is a bound, `<=`.
/// - A life before the first reading is read at the first reading.
///
/// `None` with fewer than two readings at different times above zero, for a life that is not
/// positive and finite, or where a law gives no positive modulus.
///
/// # Source
/// Findley and Tracy (16-year creep of polyethylene and PVC; the form verified in source);
/// log-time law: common practice. Equal weights and drift: assumptions of ours.
pub fn at_life(curve: &Curve, life_h: f64, drift: f64) -> Option<TimeFit> {
    if !(life_h > 0.0 && life_h.is_finite()) {
        return None;
    }
    let law = curve.law;
    let mut readings: Vec<(f64, f64)> = curve
        .points
        .iter()
        .filter(|p| p.0 >= 0.0 && p.0.is_finite() && p.1.is_finite())
        .filter(|p| law == Law::Retained || p.1 > 0.0)
        .map(|p| (p.0, if law == Law::Strain { 1.0 / p.1 } else { p.1 }))
        .collect();
    readings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let first = readings.iter().map(|p| p.0).find(|t| *t > 0.0)?;
    let last = readings.last()?.0;
    if last <= first {
        return None;
    }
    let t = life_h.max(first);
    let decades_beyond = (life_h / last).log10().max(0.0);

    let in_log = readings
        .iter()
        .filter(|p| p.0 > 0.0)
        .map(|p| (p.0.log10(), p.1));
    let log_line = right_sign(line(in_log.clone())?, in_log, law);
    let log_time = of_property(log_line.intercept + log_line.slope * t.log10(), law)?;

    let fit = findley(&readings, last, law)?;
    let power = (t / last).powf(fit.exponent);
    let findley = of_property(fit.line.intercept + fit.line.slope * power, law)?;

    let (a, b) = (findley.ln(), log_time.ln());
    Some(TimeFit {
        value: (0.5 * (a + b)).exp(),
        added_variance: (0.5 * (a - b)).powi(2) + (drift * decades_beyond).powi(2),
        decades_beyond,
        findley,
        log_time,
        exponent: fit.exponent,
        exponent_held: fit.held,
        nothing_kept: law == Law::Retained && findley.max(log_time) <= RETAINED_FLOOR,
    })
}

/// From the law's y to the property: the inverse of a compliance, or a share held off zero.
fn of_property(y: f64, law: Law) -> Option<f64> {
    match law {
        Law::Strain => (y > 0.0).then(|| 1.0 / y),
        Law::Retained => Some(y.max(RETAINED_FLOOR)),
    }
}

/// The line itself, or the level mean where it runs the wrong way.
fn right_sign(l: Line, points: impl Iterator<Item = (f64, f64)> + Clone, law: Law) -> Line {
    let right = match law {
        Law::Strain => l.slope >= 0.0,
        Law::Retained => l.slope <= 0.0,
    };
    if right {
        return l;
    }
    let n = points.clone().fold(0.0, |n, _| n + 1.0);
    let mean = points.clone().map(|p| p.1).sum::<f64>() / n;
    Line {
        slope: 0.0,
        intercept: mean,
        residual_squares: points.map(|p| (p.1 - mean).powi(2)).sum(),
    }
}

struct Findley {
    /// y over (t / last)^n.
    line: Line,
    exponent: f64,
    held: bool,
}

/// The Findley law by variable projection: for each n the rest is a straight line.
fn findley(readings: &[(f64, f64)], last: f64, law: Law) -> Option<Findley> {
    let logs: Vec<f64> = readings.iter().map(|p| (p.0 / last).ln()).collect();
    let mut power = vec![0.0; readings.len()];
    let mut at = |n: f64| -> Option<Line> {
        for (x, l) in power.iter_mut().zip(&logs) {
            // exp(-inf) is the 0 that the moment of loading needs.
            *x = (n * l).exp();
        }
        let points = power.iter().zip(readings).map(|(x, p)| (*x, p.1));
        Some(right_sign(line(points.clone())?, points, law))
    };

    let times = 1 + readings
        .windows(2)
        .filter(|w| w.first().map(|p| p.0) < w.last().map(|p| p.0))
        .count();
    if times < READINGS_FOR_EXPONENT {
        return Some(Findley {
            line: at(HELD_EXPONENT)?,
            exponent: HELD_EXPONENT,
            held: true,
        });
    }

    let step = (EXPONENT_HIGH - EXPONENT_LOW) / f64::from(SCAN_STEPS);
    let mut best = (f64::INFINITY, EXPONENT_LOW);
    for i in 0..=SCAN_STEPS {
        let n = EXPONENT_LOW + f64::from(i) * step;
        let cost = at(n)?.residual_squares;
        if cost < best.0 {
            best = (cost, n);
        }
    }
    let (mut low, mut high) = (
        (best.1 - step).max(EXPONENT_LOW),
        (best.1 + step).min(EXPONENT_HIGH),
    );
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    let (mut a, mut b) = (high - golden * (high - low), low + golden * (high - low));
    let (mut cost_a, mut cost_b) = (at(a)?.residual_squares, at(b)?.residual_squares);
    for _ in 0..GOLDEN_STEPS {
        if cost_a <= cost_b {
            (high, b, cost_b) = (b, a, cost_a);
            a = high - golden * (high - low);
            cost_a = at(a)?.residual_squares;
        } else {
            (low, a, cost_a) = (a, b, cost_b);
            b = low + golden * (high - low);
            cost_b = at(b)?.residual_squares;
        }
    }
    let exponent = 0.5 * (low + high);
    Some(Findley {
        line: at(exponent)?,
        exponent,
        held: false,
    })
}

#[cfg(test)]
mod tests {
    use super::{Curve, HELD_EXPONENT, RETAINED_FLOOR, at_life};

    fn near(a: f64, b: f64, rel: f64) -> bool {
        (a - b).abs() <= rel * b.abs()
    }

    /// A modulus whose strain follows Findley's law exactly.
    fn findley_curve(times: &[f64], y0: f64, m: f64, n: f64) -> Curve {
        Curve::modulus(
            times
                .iter()
                .map(|t| (*t, 1.0 / (y0 + m * t.powf(n))))
                .collect(),
        )
    }

    #[test]
    fn findleys_own_law_comes_back_exactly() {
        for n in [0.05, 0.2, 0.5, 0.9] {
            let c = findley_curve(&[0.1, 1.0, 10.0, 100.0, 300.0], 4e-4, 8e-5, n);
            let f = at_life(&c, 1000.0, 0.0).expect("a fit");
            let truth = 1.0 / (4e-4 + 8e-5 * 1000_f64.powf(n));
            assert!(near(f.findley, truth, 1e-5), "n {n}: {f:?}");
            assert!(near(f.exponent, n, 1e-3), "n {n}: {f:?}");
            assert!(!f.exponent_held);
        }
    }

    #[test]
    fn the_unit_of_value_and_the_order_of_readings_do_not_matter() {
        let c = findley_curve(&[0.0, 0.1, 1.0, 10.0, 100.0], 4e-4, 8e-5, 0.2);
        let mut turned = c.clone();
        turned.points.reverse();
        let mut scaled = c.clone();
        for p in &mut scaled.points {
            p.1 *= 7.0;
        }
        let f = at_life(&c, 5000.0, 0.05).expect("a fit");
        assert_eq!(at_life(&turned, 5000.0, 0.05), Some(f));
        let s = at_life(&scaled, 5000.0, 0.05).expect("a fit");
        assert!(near(s.value, 7.0 * f.value, 1e-9));
        assert!(near(s.added_variance, f.added_variance, 1e-6));
    }

    #[test]
    fn both_laws_weigh_the_same_and_drift_adds_past_the_last_reading() {
        let c = findley_curve(&[1.0, 3.0, 10.0, 30.0, 100.0], 4e-4, 8e-5, 0.4);
        let inside = at_life(&c, 50.0, 0.05).expect("a fit");
        assert!(inside.decades_beyond == 0.0);
        let f = at_life(&c, 1000.0, 0.05).expect("a fit");
        assert!(near(f.decades_beyond, 1.0, 1e-12));
        assert!(near(f.value, (f.findley * f.log_time).sqrt(), 1e-12));
        let gap = (f.findley / f.log_time).ln() / 2.0;
        assert!(near(f.added_variance, gap * gap + 0.05 * 0.05, 1e-9));
    }

    #[test]
    fn few_readings_hold_the_exponent_and_still_pass_through_two() {
        let c = Curve::retained(vec![(1.0, 0.9), (10.0, 0.8)]);
        let f = at_life(&c, 10.0, 0.05).expect("a fit");
        assert!(f.exponent_held && near(f.exponent, HELD_EXPONENT, 1e-12));
        assert!(near(f.value, 0.8, 1e-9), "{f:?}");
        let far = at_life(&c, 100.0, 0.05).expect("a fit");
        assert!(near(far.log_time, 0.7, 1e-9), "{far:?}");
        let findley = 0.9 - 0.1 * (100_f64.powf(0.25) - 1.0) / (10_f64.powf(0.25) - 1.0);
        assert!(near(far.findley, findley, 1e-9), "{far:?}");
    }

    #[test]
    fn too_little_gives_nothing() {
        assert!(at_life(&Curve::modulus(vec![]), 10.0, 0.05).is_none());
        assert!(
            at_life(
                &Curve::modulus(vec![(0.0, 900.0), (1.0, 800.0)]),
                10.0,
                0.05
            )
            .is_none()
        );
        assert!(
            at_life(
                &Curve::modulus(vec![(1.0, 900.0), (1.0, 800.0)]),
                10.0,
                0.05
            )
            .is_none()
        );
        let c = Curve::modulus(vec![(1.0, 900.0), (10.0, 800.0)]);
        for life in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(at_life(&c, life, 0.05).is_none());
        }
    }

    #[test]
    fn scatter_that_runs_backwards_extrapolates_level() {
        let c = Curve::modulus(vec![(1.0, 800.0), (10.0, 802.0), (100.0, 805.0)]);
        let f = at_life(&c, 1e5, 0.0).expect("a fit");
        let level = 3.0 / (1.0 / 800.0 + 1.0 / 802.0 + 1.0 / 805.0);
        assert!(near(f.value, level, 1e-9), "{f:?}");
    }

    #[test]
    fn a_share_never_goes_below_the_floor() {
        // 16 % a decade from one minute on: 1 - 0.16 x 6.72 at ten years is below nothing.
        let minute = 1.0 / 60.0;
        let c = Curve::retained(
            [1.0, 10.0, 100.0, 1000.0]
                .iter()
                .map(|k: &f64| (k * minute, 1.0 - 0.16 * k.log10()))
                .collect(),
        );
        let f = at_life(&c, 87_660.0, 0.05).expect("a fit");
        assert!(near(f.log_time, RETAINED_FLOOR, 1e-12));
        assert!(f.value >= RETAINED_FLOOR && f.decades_beyond > 3.0, "{f:?}");
        assert!(f.nothing_kept, "{f:?}");
        let sooner = at_life(&c, 10.0, 0.05).expect("a fit");
        assert!(!sooner.nothing_kept, "{sooner:?}");
    }

    #[test]
    fn a_life_before_the_first_reading_is_read_at_the_first() {
        let c = findley_curve(&[1.0, 3.0, 10.0, 30.0], 4e-4, 8e-5, 0.3);
        let first = at_life(&c, 1.0, 0.05).expect("a fit");
        let before = at_life(&c, 0.01, 0.05).expect("a fit");
        assert!(near(before.value, first.value, 1e-12));
    }
}
