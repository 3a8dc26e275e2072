//! Standings and their causes.

use crate::belief::Grade;
use crate::judge::judgement::{Cause, Standing};
use crate::judge::plan::{Basis, Bounds, LimitPlan, Plan, basis};
use crate::judge::sample::{Bits, Drawn, DrawnLimit};
use crate::policy::{Class, Policy};

/// Monte-Carlo standard errors by which a chance must lie above a requirement to have reached it.
const ERRORS_ABOVE: f64 = 2.0;

/// How a candidate stands and why, the weightiest cause first.
///
/// The order is ruled out, not known, fit, borderline. Two readings of the rule book keep it
/// from contradicting itself:
///
/// - a class asks its chance of all limits of that class *and of harsher ones*, since a class
///   asked alone would let a limit be moved into a harsher class to relieve the milder one;
/// - an auxiliary figure whose worse 5 % turns `fit` into `borderline` makes it `borderline`, and
///   only one that turns it into `ruled out` makes it `not known`: else better readings could
///   turn `borderline` into `not known`.
pub(super) fn standing(plan: &Plan<'_>, drawn: &Drawn, policy: &Policy) -> (Standing, Vec<Cause>) {
    let limits: Vec<Facts<'_>> = plan
        .limits
        .iter()
        .zip(&drawn.limits)
        .map(|(plan_of, drawn)| Facts {
            plan: plan_of,
            drawn,
            basis: basis(&plan_of.wired, &plan.beliefs),
        })
        .collect();

    let mut fails: Vec<(f64, Cause)> = limits.iter().filter_map(|l| l.fails(policy)).collect();
    if !fails.is_empty() {
        fails.sort_by(|a, b| a.0.total_cmp(&b.0));
        return (Standing::RuledOut, fails.into_iter().map(|f| f.1).collect());
    }

    let met: Vec<&Bits> = drawn.limits.iter().map(|l| &l.met).collect();
    let shown: Vec<&Bits> = limits.iter().map(|l| l.plan.shown(l.drawn)).collect();
    // What is promised and what is shown: with bounds the two may differ, and both must reach.
    let mut short = short_classes(&limits, &met, policy);
    if short.is_empty() {
        short = short_classes(&limits, &shown, policy);
    }
    let mut unknown: Vec<(Class, f64, Cause)> = Vec::new();
    for l in &limits {
        // Of what others lend, the limit that is least likely met is the one to settle first.
        let (chance, _) = l.drawn.met.share();
        for cause in l.unknown(plan, policy) {
            let first = match cause {
                Cause::Borrowed { .. } => chance,
                _ => 0.0,
            };
            unknown.push((l.plan.limit.class, first, cause));
        }
    }
    let mut assumed: Vec<Cause> = Vec::new();
    for (k, l) in limits.iter().enumerate() {
        let Some(worse) = &l.drawn.met_at_worse else {
            continue;
        };
        let Some((property, grade)) = l.auxiliary(plan) else {
            continue;
        };
        if grade == Grade::Stated && l.plan.limit.class == Class::Nuisance {
            // A stated value does for a nuisance.
            continue;
        }
        let cause = Cause::Auxiliary {
            limit: l.plan.limit.id.clone(),
            property,
        };
        let mut with: Vec<&Bits> = met.clone();
        if let Some(slot) = with.get_mut(k) {
            *slot = worse;
        }
        if worse.share().0 < policy.ruled_out {
            unknown.push((l.plan.limit.class, 0.0, cause));
        } else if short.is_empty() && !short_classes(&limits, &with, policy).is_empty() {
            assumed.push(cause);
        }
    }
    if !unknown.is_empty() {
        // Stable: within a kind, class and chance, the order of the duty.
        unknown.sort_by(|a, b| {
            (weight(&a.2), std::cmp::Reverse(a.0))
                .cmp(&(weight(&b.2), std::cmp::Reverse(b.0)))
                .then(a.1.total_cmp(&b.1))
        });
        return (
            Standing::NotKnown,
            unknown.into_iter().map(|u| u.2).collect(),
        );
    }
    if !short.is_empty() || !assumed.is_empty() {
        return (
            Standing::Borderline,
            short.into_iter().chain(assumed).collect(),
        );
    }
    let (chance, _) = joint(&limits, &shown, Class::Nuisance);
    (Standing::Fit, vec![Cause::Meets { chance }])
}

/// Kinds of not-known causes, the weightiest first.
fn weight(cause: &Cause) -> u8 {
    match cause {
        Cause::Absent { .. } => 0,
        Cause::Borrowed { .. } => 1,
        Cause::Stated { .. } => 2,
        Cause::BoundOpen { .. } => 3,
        Cause::Specimens { .. } => 4,
        Cause::Prints { .. } => 5,
        Cause::OnLine { .. } => 6,
        _ => 7,
    }
}

/// One limit with what is known of it.
struct Facts<'a> {
    plan: &'a LimitPlan<'a>,
    drawn: &'a DrawnLimit,
    basis: Basis,
}

impl Facts<'_> {
    /// Whether the limit rules the candidate out, and the chance that says so.
    fn fails(&self, policy: &Policy) -> Option<(f64, Cause)> {
        if self.basis.grade == Grade::Absent || self.plan.wired.absent {
            return None;
        }
        let (chance, _) = self.drawn.met.share();
        let fails = |chance: f64, grade: Grade| {
            let cause = Cause::Fails {
                limit: self.plan.limit.id.clone(),
                chance,
                grade,
            };
            Some((chance, cause))
        };
        if chance < policy.ruled_out_borrowed {
            return fails(chance, self.basis.grade);
        }
        if self.basis.grade == Grade::Borrowed {
            return None;
        }
        match self.drawn.exact() {
            // Bounds of both kinds say how far apart they are only through the chance itself.
            Some((exact, typical)) => (exact < policy.ruled_out
                && self.plan.bounds_against(typical)
                && (self.plan.bounds != Some(Bounds::Around) || chance < policy.ruled_out))
                .then(|| fails(exact, self.basis.grade))
                .flatten(),
            None if chance < policy.ruled_out => fails(chance, self.basis.grade),
            None => None,
        }
    }

    /// Why the evidence does not reach for this limit.
    fn unknown(&self, plan: &Plan<'_>, policy: &Policy) -> Vec<Cause> {
        let limit = &self.plan.limit;
        let rule = policy.rule(limit.class);
        let id = || limit.id.clone();
        let mut causes = Vec::new();
        if self.plan.wired.picks.is_empty() && !self.plan.wired.absent {
            // Geometry alone.
            return causes;
        }
        let mut seen: Vec<usize> = Vec::new();
        for &pick in &self.plan.wired.picks {
            if seen.contains(&pick) {
                continue;
            }
            seen.push(pick);
            let Some((property, belief)) = plan.beliefs.get(pick) else {
                continue;
            };
            let property = || property.clone();
            if belief.grade == Grade::Absent {
                causes.push(Cause::Absent {
                    limit: id(),
                    property: property(),
                    notes: belief.notes.clone(),
                });
                continue;
            }
            if belief.auxiliary {
                continue;
            }
            match belief.grade {
                Grade::Borrowed => causes.push(Cause::Borrowed {
                    limit: id(),
                    property: property(),
                    notes: belief.notes.clone(),
                }),
                Grade::Stated if limit.class > Class::Nuisance => causes.push(Cause::Stated {
                    limit: id(),
                    property: property(),
                }),
                _ => {}
            }
            if belief.grade == Grade::Bounded
                && let Some((exact, _)) = self.drawn.exact()
                && !reached(exact, self.error(exact), rule.chance)
            {
                causes.push(Cause::BoundOpen {
                    limit: id(),
                    property: property(),
                    chance_as_exact: exact,
                });
            }
            if belief.on_line && limit.class >= Class::Injury {
                causes.push(Cause::OnLine {
                    limit: id(),
                    property: property(),
                });
            }
        }
        if self.basis.grade >= Grade::Bounded && !self.basis.nothing_own {
            if self.basis.specimens < rule.specimens {
                causes.push(Cause::Specimens {
                    limit: id(),
                    property: self.basis.fewest_specimens.clone(),
                    have: self.basis.specimens,
                    asked: rule.specimens,
                });
            }
            if self.basis.prints < rule.prints {
                causes.push(Cause::Prints {
                    limit: id(),
                    property: self.basis.fewest_prints.clone(),
                    have: self.basis.prints,
                    asked: rule.prints,
                });
            }
        }
        causes
    }

    /// Monte-Carlo standard error of a chance over as many draws as were taken.
    fn error(&self, chance: f64) -> f64 {
        let n = self.drawn.met.len().max(1) as f64;
        (chance * (1.0 - chance) / n).sqrt()
    }

    /// The weakest auxiliary property of the limit.
    fn auxiliary(&self, plan: &Plan<'_>) -> Option<(String, Grade)> {
        self.plan
            .wired
            .picks
            .iter()
            .filter_map(|p| plan.beliefs.get(*p))
            .filter(|b| b.1.auxiliary)
            .min_by_key(|b| b.1.grade)
            .map(|b| (b.0.clone(), b.1.grade))
    }
}

/// Whether a chance has reached a requirement: more than two Monte-Carlo standard errors above it.
pub(super) fn reached(chance: f64, se: f64, asked: f64) -> bool {
    if se > 0.0 {
        chance > asked + ERRORS_ABOVE * se
    } else {
        chance >= asked
    }
}

/// Chance of meeting all limits of a class and of harsher ones, with its standard error.
fn joint(limits: &[Facts<'_>], met: &[&Bits], class: Class) -> (f64, f64) {
    let Some(first) = met.first() else {
        return (1.0, 0.0);
    };
    let mut all = Bits::all(first.len());
    for (l, m) in limits.iter().zip(met) {
        if l.plan.limit.class >= class {
            all.and(m);
        }
    }
    all.share()
}

/// The classes whose chance falls short, the harshest first.
fn short_classes(limits: &[Facts<'_>], met: &[&Bits], policy: &Policy) -> Vec<Cause> {
    let mut short = Vec::new();
    for class in Class::ALL.into_iter().rev() {
        if !limits.iter().any(|l| l.plan.limit.class == class) {
            continue;
        }
        let asked = policy.rule(class).chance;
        let (chance, se) = joint(limits, met, class);
        if reached(chance, se, asked) {
            continue;
        }
        let governing = limits
            .iter()
            .zip(met)
            .filter(|(l, _)| l.plan.limit.class >= class)
            .min_by(|a, b| a.1.share().0.total_cmp(&b.1.share().0))
            .map(|(l, _)| l.plan.limit.id.clone())
            .unwrap_or_default();
        short.push(Cause::Short {
            class,
            limit: governing,
            chance,
            asked,
            within_error: (chance - asked).abs() <= ERRORS_ABOVE * se,
        });
    }
    short
}
