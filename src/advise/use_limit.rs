//! How far one candidate could be pushed before it stops meeting the duty.

use crate::advise::governing;
use crate::belief::Evidence;
use crate::duty::{Case, Lever, LeverKind, Preference};
use crate::judge::{Cause, DRAWS, Request, Standing, judge_alone};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// The end of one lever for one candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct UseLimit {
    /// Input name (`torque`, `temperature`, `life`).
    pub lever: String,
    /// Kind.
    pub kind: LeverKind,
    /// Value in the case.
    pub now: f64,
    /// Whether the material is fit at the value in the case.
    pub fit_now: bool,
    /// Of a fit material the largest (load, temperature, life) or smallest (thickness) value at
    /// which it is still fit; of any other the value nearest to the case's at which it becomes
    /// fit; `None` where it is not fit at any value tried.
    pub limit: Option<f64>,
    /// Whether `limit` is only where the search stopped.
    pub open: bool,
    /// Unit.
    pub unit: String,
    /// Limit id that ends it; of a material that is not fit now, the limit that holds it up now.
    pub ended_by: Option<String>,
    /// How the material stands just past `limit`, where that ends it, and the first cause of it.
    pub then: Option<(Standing, Cause)>,
    /// Why no formula covers the value past `limit`, where that ends it.
    pub refused: Option<String>,
}

/// Draws of the search; the end that it finds is verified, and refined, on all draws.
const SEARCH_DRAWS: usize = 2_048;
/// Steps away from the case's value, each by half a doubling: a thousandfold at the last.
const STEPS: i32 = 20;
/// The same for a thickness: a sixteenth at the last, since no print is thinner to any purpose.
const STEPS_THICKNESS: i32 = 8;
/// First step of a temperature, K; each next is twice as long.
const FIRST_STEP_K: f64 = 2.0;
/// Steps of a temperature: 510 K in all.
const STEPS_K: i32 = 8;
/// Halvings of the step that holds the end, on the draws of the search and then on all.
const HALVINGS: u32 = 6;
const HALVINGS_ON_ALL: u32 = 6;
/// Longest life looked at, h: 100 years, beyond any reading of these benches (ours, no source).
const LONGEST_H: f64 = 100.0 * 8_766.0;
/// Coldest hot end tried for a material that is not fit, degC.
const COLDEST_C: f64 = 0.0;

/// Limits of use of one material in a case, for every load, temperature, life and thickness.
///
/// One input is moved at a time, the others stay as the case has them. Deterministic: the same
/// seed gives the same ends whatever the thread count.
pub fn limits_of_use(case: &Case, evidence: &Evidence, material: &str, seed: u64) -> Vec<UseLimit> {
    let mut levers = case.part.levers();
    levers.push(Lever {
        name: "temperature",
        kind: LeverKind::Temperature,
        value: case.setting.temperature_c.1,
        unit: "degC",
    });
    levers.push(Lever {
        name: "life",
        kind: LeverKind::Life,
        value: case.setting.life_h,
        unit: "h",
    });
    let push = Push {
        case,
        evidence,
        among: [material.to_owned()],
        seed,
    };
    let now = push.look(None, DRAWS);
    levers
        .par_iter()
        .filter(|l| l.value.is_finite())
        .map(|lever| push.limit(lever, &now))
        .collect()
}

/// How the material stands at one value of one lever.
#[derive(Clone, Debug)]
struct Look {
    fit: bool,
    stands: Option<(Standing, Cause)>,
    held_by: Option<String>,
    refused: Option<String>,
}

impl UseLimit {
    fn stopped(&mut self, past: Look) {
        self.ended_by = past.held_by;
        self.then = past.stands;
        self.refused = past.refused;
    }
}

struct Push<'a> {
    case: &'a Case,
    evidence: &'a Evidence,
    among: [String; 1],
    seed: u64,
}

impl Push<'_> {
    /// Stands the material in the case, with one lever at another value.
    fn look(&self, moved: Option<(&Lever, f64)>, draws: usize) -> Look {
        let case = self.case;
        let mut setting = case.setting.clone();
        let mut part = None;
        match moved {
            None => {}
            Some((lever, value)) => match lever.kind {
                LeverKind::Temperature => {
                    setting.temperature_c = (setting.temperature_c.0.min(value), value);
                }
                LeverKind::Life => setting.life_h = value,
                LeverKind::Load | LeverKind::Thickness => {
                    part = case.part.with_lever(lever.name, value);
                }
            },
        }
        let part = part.as_deref().unwrap_or(case.part.as_ref());
        let mut duty = match case.duty_with(part, &setting) {
            Ok(duty) => duty,
            Err(faults) => {
                return Look {
                    fit: false,
                    stands: None,
                    held_by: None,
                    refused: faults.into_iter().next().map(|f| f.what),
                };
            }
        };
        // A standing rests on limits alone.
        duty.aims.clear();
        let preference = Preference::Points(BTreeMap::new());
        let judged = judge_alone(&Request {
            duty: &duty,
            evidence: self.evidence,
            among: &self.among,
            preference: &preference,
            seed: self.seed,
            draws,
        });
        let candidate = judged.first();
        Look {
            fit: candidate.is_some_and(|c| c.standing == Standing::Fit),
            stands: candidate.and_then(|c| Some((c.standing, c.causes.first()?.clone()))),
            held_by: candidate.and_then(|c| Some(c.limits.get(governing(c)?)?.id.clone())),
            refused: None,
        }
    }

    fn limit(&self, lever: &Lever, now: &Look) -> UseLimit {
        let mut found = UseLimit {
            lever: lever.name.to_owned(),
            kind: lever.kind,
            now: lever.value,
            fit_now: now.fit,
            limit: None,
            open: false,
            unit: lever.unit.to_owned(),
            ended_by: now.held_by.clone(),
            then: None,
            refused: now.refused.clone(),
        };
        if now.fit {
            self.end(lever, &mut found);
        } else {
            self.beginning(lever, &mut found);
        }
        found
    }

    /// Pushes a fit material outward until it is fit no more.
    fn end(&self, lever: &Lever, found: &mut UseLimit) {
        let mut good = lever.value;
        for value in outward(lever, harder(lever.kind)) {
            let look = self.look(Some((lever, value)), SEARCH_DRAWS);
            if !look.fit && !self.look(Some((lever, value)), DRAWS).fit {
                let (limit, last) = self.between(lever, good, value);
                found.limit = Some(limit);
                found.stopped(last.unwrap_or(look));
                return;
            }
            good = value;
        }
        // The last value tried is verified on all draws; where it fails there, the one before it
        // holds the end.
        found.open = self.look(Some((lever, good)), DRAWS).fit;
        if found.open {
            found.limit = Some(good);
            found.ended_by = None;
            found.refused = None;
        } else {
            let (limit, last) = self.between(lever, lever.value, good);
            found.limit = Some(limit);
            if let Some(last) = last {
                found.stopped(last);
            }
        }
    }

    /// Eases a material that is not fit until it is; loads and thicknesses are tried the other
    /// way too, since a use may ask too little (a torque that clamps nothing).
    fn beginning(&self, lever: &Lever, found: &mut UseLimit) {
        let mut nearest: Option<(usize, f64)> = None;
        for way in [-harder(lever.kind), harder(lever.kind)] {
            let both = matches!(lever.kind, LeverKind::Load | LeverKind::Thickness);
            if !both && way == harder(lever.kind) {
                continue;
            }
            let mut bad = lever.value;
            for (step, value) in outward(lever, way).into_iter().enumerate() {
                if nearest.is_some_and(|n| n.0 <= step) {
                    break;
                }
                if self.look(Some((lever, value)), SEARCH_DRAWS).fit
                    && self.look(Some((lever, value)), DRAWS).fit
                {
                    nearest = Some((step, self.between(lever, value, bad).0));
                    break;
                }
                bad = value;
            }
        }
        found.limit = nearest.map(|n| n.1);
    }

    /// The last value that is fit on all draws between one that is and one that is not, and how
    /// the material stands just past it.
    fn between(&self, lever: &Lever, good: f64, bad: f64) -> (f64, Option<Look>) {
        let plain = lever.kind == LeverKind::Temperature || good <= 0.0 || bad <= 0.0;
        let half = |a: f64, b: f64| {
            if plain { 0.5 * (a + b) } else { (a * b).sqrt() }
        };
        let (mut inner, mut outer) = (good, bad);
        for _ in 0..HALVINGS {
            let value = half(inner, outer);
            if self.look(Some((lever, value)), SEARCH_DRAWS).fit {
                inner = value;
            } else {
                outer = value;
            }
        }
        // The few draws may have stopped a little early or late: widen until all draws agree.
        let width = |a: f64, b: f64| if plain { b - a } else { b / a };
        let wide = width(inner, outer);
        let past = |x: f64, by: f64| if plain { x + by } else { x * by };
        let inside = |x: f64| (x - good) * (x - bad) < 0.0;
        let mut last = None;
        for k in 0..HALVINGS {
            let look = self.look(Some((lever, outer)), DRAWS);
            if !look.fit {
                last = Some(look);
                break;
            }
            inner = outer;
            let by = (0..1 << k).fold(outer, |x, _| past(x, wide));
            outer = if inside(by) { by } else { bad };
        }
        let back = if plain { -wide } else { 1.0 / wide };
        let mut step = 1;
        while !self.look(Some((lever, inner)), DRAWS).fit {
            let by = (0..step).fold(inner, |x, _| past(x, back));
            outer = inner;
            inner = if inside(by) && step < 1 << HALVINGS {
                by
            } else {
                good
            };
            step *= 2;
            if (inner - good).abs() <= 0.0 {
                break;
            }
        }
        for _ in 0..HALVINGS_ON_ALL {
            let value = half(inner, outer);
            let look = self.look(Some((lever, value)), DRAWS);
            if look.fit {
                inner = value;
            } else {
                outer = value;
                last = Some(look);
            }
        }
        (inner, last)
    }
}

/// The way in which a use gets harder: 1 up, -1 down.
fn harder(kind: LeverKind) -> i32 {
    match kind {
        LeverKind::Thickness => -1,
        LeverKind::Load | LeverKind::Temperature | LeverKind::Life => 1,
    }
}

/// Values away from the case's, nearest first: by ratios, of temperatures by doubled steps.
fn outward(lever: &Lever, way: i32) -> Vec<f64> {
    if lever.kind == LeverKind::Temperature {
        let mut step = f64::from(way) * FIRST_STEP_K;
        let mut at = lever.value;
        let mut all = Vec::new();
        for _ in 0..STEPS_K {
            at += step;
            step *= 2.0;
            if way < 0 && at < COLDEST_C {
                all.push(COLDEST_C.min(lever.value));
                break;
            }
            all.push(at);
        }
        return all;
    }
    if lever.value <= 0.0 {
        return Vec::new();
    }
    let steps = if lever.kind == LeverKind::Thickness {
        STEPS_THICKNESS
    } else {
        STEPS
    };
    let all = (1..=steps).map(|k| lever.value * (0.5 * f64::from(way * k)).exp2());
    if lever.kind == LeverKind::Life && way > 0 {
        let longest = (lever.value < LONGEST_H).then_some(LONGEST_H);
        return all.take_while(|h| *h < LONGEST_H).chain(longest).collect();
    }
    all.collect()
}
