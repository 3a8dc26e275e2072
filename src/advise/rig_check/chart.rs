//! The chart of one reference under one calibration: limits, rules, and the line through it.

use crate::advise::rig_check::series::Look;
use crate::num::control::{
    IndividualsLimits, OUTSIDE, mean_moving_range, sigma_of_moving_range, upper_moving_range,
};
use crate::num::{line, t_quantile};
use crate::property::Scale;
use schemars::JsonSchema;
use serde::Serialize;

/// Checks below which nothing is said.
const LEAST_CHECKS: usize = 5;
/// Checks of a base period.
const BASE: usize = 8;
/// Fewest checks that a base period may be cut to by a step.
const LEAST_BASE: usize = 3;
/// Standard uncertainties of the calibration that the limits are never closer than (JCGM 100, 6.2.1: the
/// coverage factor 2).
const FLOOR_U: f64 = 2.0;
/// Checks in a row on one side.
const ONE_SIDE: usize = 9;
/// Checks in a row that steadily rise or fall.
const STEADY: usize = 6;
/// Days in a month.
const MONTH: f64 = 365.25 / 12.0;
/// Two-sided level of the interval of a drift.
const DRIFT_LEVEL: f64 = 0.90;

/// How a rig stands by one reference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ControlState {
    /// Too few checks to say.
    TooFew,
    /// In control.
    InControl,
    /// In control, with something to watch.
    Watch,
    /// Out of control before, in control now.
    Returned,
    /// Out of control now.
    OutOfControl,
}

/// What was seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// A check beyond the limits.
    BeyondLimits,
    /// Nine in a row on one side of the mean.
    OneSide,
    /// Six in a row steadily rising or falling.
    Steady,
    /// A line through the checks that rises or falls.
    Drift,
    /// Two checks in a row further apart than the scatter allows.
    MovingRange,
}

/// One thing seen.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Signal {
    /// What.
    pub rule: Rule,
    /// The check at which it was complete.
    pub run: String,
    /// Its date.
    pub date: String,
    /// Whether it lies within what the calibration's uncertainty allows, and is only to be watched.
    pub watch: bool,
}

/// The line through the checks that no other rule calls.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Drift {
    /// Change a month on the natural scale: a share on `log`, the unit on `plain`.
    pub per_month: f64,
    /// Lower end of its 90 % interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Months after the last of them until the line has gone as far as the limits; `None` where the
    /// interval holds no drift at all, or it has gone as far.
    pub months_left: Option<f64>,
}

/// Mean, limits, and what was seen.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Chart {
    /// What is expected: the mean of the base period, canonical unit.
    pub mean: f64,
    /// The same on the natural scale.
    #[serde(skip)]
    pub mean_natural: f64,
    /// Checks in the base period.
    pub base: usize,
    /// Lower limit, canonical unit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Half the width of the limits on the natural scale.
    pub half_width: f64,
    /// Whether the calibration's uncertainty, not the scatter, set the limits.
    pub by_calibration: bool,
    /// Standard uncertainty of the calibration for this property, natural scale; 0 where none is stated.
    pub calibration_u: f64,
    /// Standard deviation of a check, natural scale, from the mean moving range.
    pub sigma: f64,
    /// Mean moving range, natural scale.
    pub moving_range: f64,
    /// Limit of a moving range, natural scale.
    pub moving_range_limit: f64,
    /// Limits over the mean moving range: 2.66 with many checks.
    pub factor: f64,
    /// How far the last checks lie from the mean, natural scale: those out of control at the end, else the last.
    pub departure: f64,
    /// The line through the checks.
    pub drift: Option<Drift>,
    /// What was seen.
    pub signals: Vec<Signal>,
}

impl Chart {
    /// Column of a figure on a plot `width` columns wide, from 0: the limits stand a quarter in from
    /// either end, what lies further out on the last column.
    pub fn column(&self, figure: f64, scale: Scale, width: usize) -> usize {
        let last = width.saturating_sub(1) as f64;
        let at = (scale.forward(figure) - self.mean_natural) / (2.0 * self.half_width);
        let x = (0.5 + 0.5 * at) * last;
        if x.is_nan() {
            return 0;
        }
        x.round().clamp(0.0, last) as usize
    }
}

/// A chart and which checks are part of what is out of control.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub(super) state: ControlState,
    pub(super) chart: Option<Chart>,
    pub(super) bad: Vec<bool>,
}

/// Judges the checks under one calibration, in the order of their dates.
pub(super) fn judge(looks: &[Look<'_>], scale: Scale) -> Judged {
    let y: Vec<f64> = looks.iter().map(Look::mean).collect();
    let too_few = Judged {
        state: ControlState::TooFew,
        chart: None,
        bad: vec![false; y.len()],
    };
    if y.len() < LEAST_CHECKS {
        return too_few;
    }
    let Some((moving_range, ranges)) = mean_moving_range(&y) else {
        return too_few;
    };
    let most = |f: &dyn Fn(&Look<'_>) -> f64| looks.iter().map(f).fold(0.0, f64::max);
    let u = most(&|l| l.u);
    // Rounding alone scatters by a twelfth of the step squared (JCGM 100, 4.3.7).
    let rounding = most(&|l| l.step) / 12.0_f64.sqrt();
    let per_range = sigma_of_moving_range(1.0);
    let noise = moving_range.max(rounding / per_range);
    let base = base(&y, moving_range);
    let Some(limits) = IndividualsLimits::of(base, ranges) else {
        return too_few;
    };
    let mean = y.iter().take(base).sum::<f64>() / base as f64;
    let by_scatter = limits.half * noise;
    let half = by_scatter.max(FLOOR_U * u);
    if !(half > 0.0 && half.is_finite()) {
        return too_few;
    }
    let mut seen = Seen {
        looks,
        y: &y,
        mean,
        half,
        // What a pattern must reach to be more than something to watch.
        far: (half / 3.0).max(FLOOR_U * u),
        bad: vec![false; y.len()],
        signals: Vec::new(),
    };
    seen.beyond_limits();
    seen.one_side();
    seen.steady();
    let drift = seen.drift();
    let moving_range_limit = (limits.range * noise).max(FLOOR_U * u);
    seen.moving_ranges(moving_range_limit);
    let Seen { bad, signals, .. } = seen;
    let state = match (bad.last(), bad.contains(&true), signals.is_empty()) {
        (Some(true), ..) => ControlState::OutOfControl,
        (_, true, _) => ControlState::Returned,
        (_, false, false) => ControlState::Watch,
        (_, false, true) => ControlState::InControl,
    };
    let departure = ending(&y, &bad) - mean;
    Judged {
        state,
        bad,
        chart: Some(Chart {
            mean: scale.back(mean),
            mean_natural: mean,
            base,
            low: scale.back(mean - half),
            high: scale.back(mean + half),
            half_width: half,
            by_calibration: by_scatter < half,
            calibration_u: u,
            sigma: sigma_of_moving_range(noise),
            moving_range,
            moving_range_limit,
            factor: limits.half,
            departure,
            drift,
            signals,
        }),
    }
}

/// Checks of the base period: the first, up to a step between two of them.
fn base(y: &[f64], moving_range: f64) -> usize {
    let most = BASE.min(y.len().saturating_sub(1));
    let step = upper_moving_range();
    let ends = y
        .windows(2)
        .position(|w| matches!(w, [a, b] if (b - a).abs() > step * moving_range))
        .map_or(most, |i| i + 1);
    if ends < LEAST_BASE {
        most
    } else {
        ends.min(most)
    }
}

/// Mean of the checks out of control at the end, else the last check.
pub(super) fn ending(y: &[f64], bad: &[bool]) -> f64 {
    let out: Vec<f64> = y
        .iter()
        .zip(bad)
        .rev()
        .take_while(|(_, bad)| **bad)
        .map(|(y, _)| *y)
        .collect();
    if out.is_empty() {
        return y.last().copied().unwrap_or(f64::NAN);
    }
    out.iter().sum::<f64>() / out.len() as f64
}

struct Seen<'a> {
    looks: &'a [Look<'a>],
    y: &'a [f64],
    mean: f64,
    half: f64,
    far: f64,
    bad: Vec<bool>,
    signals: Vec<Signal>,
}

impl Seen<'_> {
    fn tell(&mut self, rule: Rule, at: usize, watch: bool) {
        let Some(look) = self.looks.get(at) else {
            return;
        };
        // One signal a rule and kind: the first.
        if !self
            .signals
            .iter()
            .any(|s| s.rule == rule && s.watch == watch)
        {
            self.signals.push(Signal {
                rule,
                run: look.run.to_owned(),
                date: look.date.to_owned(),
                watch,
            });
        }
    }

    fn mark(&mut self, from: usize, to: usize) {
        for b in self.bad.iter_mut().take(to + 1).skip(from) {
            *b = true;
        }
    }

    fn beyond_limits(&mut self) {
        for (i, y) in self.y.iter().enumerate() {
            if (y - self.mean).abs() > self.half {
                self.mark(i, i);
                self.tell(Rule::BeyondLimits, i, false);
            }
        }
    }

    fn one_side(&mut self) {
        for (i, w) in self.y.windows(ONE_SIDE).enumerate() {
            let above = w.iter().all(|y| *y > self.mean);
            let below = w.iter().all(|y| *y < self.mean);
            if !above && !below {
                continue;
            }
            let off = w.iter().sum::<f64>() / ONE_SIDE as f64 - self.mean;
            let last = i + ONE_SIDE - 1;
            let watch = off.abs() <= self.far;
            if !watch {
                self.mark(i, last);
            }
            self.tell(Rule::OneSide, last, watch);
        }
    }

    fn steady(&mut self) {
        for (i, w) in self.y.windows(STEADY).enumerate() {
            let rises = w.windows(2).all(|p| matches!(p, [a, b] if b > a));
            let falls = w.windows(2).all(|p| matches!(p, [a, b] if b < a));
            let (Some(first), Some(end)) = (w.first(), w.last()) else {
                continue;
            };
            if !rises && !falls {
                continue;
            }
            let last = i + STEADY - 1;
            let watch = (end - first).abs() <= self.far || (end - self.mean).abs() <= self.far;
            if !watch {
                let off = |y: &f64| (y - self.mean).abs() > self.far;
                let from = i + w.iter().position(off).unwrap_or(STEADY - 1);
                self.mark(from, last);
            }
            self.tell(Rule::Steady, last, watch);
        }
    }

    /// The line through the checks that no other rule calls, and whether it is certain and has gone far.
    fn drift(&mut self) -> Option<Drift> {
        // A step is no drift: what other rules call is left out of the line.
        let good: Vec<(f64, f64)> = self
            .looks
            .iter()
            .zip(self.y)
            .zip(&self.bad)
            .filter(|(_, bad)| !**bad)
            .map(|((l, y), _)| (l.day, *y))
            .collect();
        if good.len() < LEAST_CHECKS {
            return None;
        }
        let first = good.first()?.0;
        let last = good.last()?.0;
        let fit = line(good.iter().map(|(x, y)| (x - first, *y)))?;
        let dof = good.len() as f64 - 2.0;
        let error = (fit.residual_squares / dof / fit.x_squares).sqrt();
        let reach = t_quantile(0.5 + 0.5 * DRIFT_LEVEL, dof) * error;
        let certain = fit.slope.abs() > t_quantile(1.0 - 0.5 * OUTSIDE, dof) * error;
        let gone = (fit.slope * (last - first)).abs();
        if certain {
            let far = self.far;
            let watch = gone <= far;
            if !watch {
                let from = self
                    .looks
                    .iter()
                    .position(|l| (fit.slope * (l.day - first)).abs() > far);
                if let Some(from) = from {
                    self.mark(from, self.y.len().saturating_sub(1));
                }
            }
            self.tell(Rule::Drift, self.y.len().saturating_sub(1), watch);
        }
        let (low, high) = (fit.slope - reach, fit.slope + reach);
        let open = low * high > 0.0 && gone < self.half;
        Some(Drift {
            per_month: fit.slope * MONTH,
            low: low * MONTH,
            high: high * MONTH,
            months_left: open.then(|| (self.half - gone) / fit.slope.abs() / MONTH),
        })
    }

    fn moving_ranges(&mut self, limit: f64) {
        for (i, w) in self.y.windows(2).enumerate() {
            let told = self.bad.iter().skip(i).take(2).any(|b| *b);
            if !told && matches!(w, [a, b] if (b - a).abs() > limit) {
                self.tell(Rule::MovingRange, i + 1, true);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::advise::rig_check::series::Single;
    use crate::num::{Stream, stream};

    /// Checks a week apart with unit scatter about `level(i)`, a calibration of uncertainty `u`.
    fn looks(
        dice: &mut Stream,
        n: usize,
        u: f64,
        level: impl Fn(usize) -> f64,
    ) -> Vec<Look<'static>> {
        (0..n)
            .map(|i| Look {
                run: "r",
                date: "2026-01-01",
                day: 7.0 * i as f64,
                singles: vec![Single {
                    g: 100.0 + level(i) + dice.normal(),
                    operator: None,
                }],
                u,
                step: 0.0,
                bias: &[],
                channels: &[],
            })
            .collect()
    }

    /// Share of 1 000 series that end in one of `states`.
    fn share(
        seed: u64,
        n: usize,
        u: f64,
        level: impl Fn(usize) -> f64,
        states: &[ControlState],
    ) -> f64 {
        let mut dice = stream(seed, "charts", n as u64);
        let series = 1000;
        let hit = (0..series)
            .filter(|_| {
                states.contains(&judge(&looks(&mut dice, n, u, &level), Scale::Plain).state)
            })
            .count();
        hit as f64 / f64::from(series)
    }

    const CALLED: &[ControlState] = &[ControlState::OutOfControl, ControlState::Returned];

    #[track_caller]
    fn within(what: &str, got: f64, low: f64, high: f64) {
        assert!((low..=high).contains(&got), "{what}: {got}");
    }

    /// Found with 4 000 series: 0.4, 0.9, 2.3 and 8.1 of 100.
    #[test]
    fn a_rig_in_control_is_seldom_called_out() {
        for (n, most) in [(5, 0.012), (8, 0.018), (12, 0.04), (24, 0.11)] {
            let called = share(1, n, 0.0, |_| 0.0, CALLED);
            within(&format!("{n} checks"), called, 0.0, most);
        }
        // What lies within twice the calibration's uncertainty calls nobody.
        within(
            "wide calibration",
            share(2, 12, 6.0, |i| 0.5 * i as f64, CALLED),
            0.0,
            0.002,
        );
    }

    /// Found with 4 000 series: steps of 6 and 4 deviations 0.93 and 0.63, of 2 in 24 checks 0.90; a drift
    /// of 0.4 deviations a check 0.79.
    #[test]
    fn steps_and_drifts_are_found() {
        let step = |from: usize, by: f64| move |i: usize| if i >= from { by } else { 0.0 };
        within("6", share(3, 12, 0.0, step(8, 6.0), CALLED), 0.88, 0.97);
        within("4", share(3, 12, 0.0, step(8, 4.0), CALLED), 0.57, 0.69);
        within(
            "2 of 24",
            share(3, 24, 0.0, step(12, 2.0), CALLED),
            0.85,
            0.94,
        );
        within(
            "drift",
            share(4, 12, 0.0, |i| 0.4 * i as f64, CALLED),
            0.73,
            0.85,
        );
    }
}
