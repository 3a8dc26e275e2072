//! The promise of `fit`: of materials that stand fit, the next part meets the limit at least as
//! often as the class asks.
//!
//! Catalogs are simulated from the model's own kind of scatter: specimens within prints, prints
//! within materials, spreads that differ between materials. The truth is known, so the chance of
//! the next part is exact, not sampled.

use crate::synthetic::{Shop, limit, of};
use dutyfit::duty::{Duty, LimitSense, Preference};
use dutyfit::judge::Standing;
use dutyfit::num::{Stream, stream};
use dutyfit::policy::Class;
use dutyfit::property::Scale;
use dutyfit::quantity::Reading;
use statrs::distribution::{ContinuousCDF, Normal};
use std::collections::BTreeMap;

/// Materials of a simulated catalog.
const MATERIALS: usize = 240;
/// What the limit asks; materials lie around 10, so that some clear it widely and some do not.
const ASKED: f64 = 8.0;
/// Scatter of the materials' true centres, and typical scatter within a print, natural logarithm.
const BETWEEN: f64 = 0.35;
const WITHIN: f64 = 0.08;
/// Print-to-print over within-print standard deviation: the policy's own assumption.
const RHO: f64 = 1.0;

/// Prints and specimens of each that the class asks for.
fn asked(class: Class) -> (usize, usize) {
    match class {
        Class::Nuisance => (1, 1),
        Class::Damage => (1, 2),
        Class::Injury => (1, 3),
        Class::Severe => (3, 2),
    }
}

/// Share of next parts that meet the limit among the materials that stand fit, and how many do.
fn kept(class: Class, seed: u64) -> (f64, usize) {
    let mut s: Stream = stream(seed, "promise", class as u64);
    let mut shop = Shop::with(1, Scale::Log);
    let mut truth: Vec<f64> = Vec::new();
    let (prints, specimens) = asked(class);
    for m in 0..MATERIALS {
        let id = format!("m{m:03}");
        shop.material(&id);
        let centre = 10.0_f64.ln() + BETWEEN * s.normal();
        let within = WITHIN * (0.3 * s.normal()).exp();
        for _ in 0..prints {
            let print = centre + RHO * within * s.normal();
            let readings: Vec<Reading> = (0..specimens)
                .map(|_| Reading::Exact((print + within * s.normal()).exp()))
                .collect();
            shop.read(&id, "c1", &readings);
        }
        let sd = within * (1.0 + RHO * RHO).sqrt();
        let meets = Normal::standard().cdf((centre - ASKED.ln()) / sd);
        truth.push(meets);
    }
    let mut duty = Duty::default();
    limit(&mut duty, "c1", LimitSense::AtLeast(ASKED), class);
    let judged = shop.judge(&duty, &Preference::Points(BTreeMap::new()), 2_048);
    let fit: Vec<f64> = (0..MATERIALS)
        .filter(|m| of(&judged, &format!("m{m:03}")).standing == Standing::Fit)
        .map(|m| truth[m])
        .collect();
    (fit.iter().sum::<f64>() / fit.len() as f64, fit.len())
}

#[test]
fn fit_keeps_its_promise_in_every_class() {
    let policy = dutyfit::policy::Policy::default();
    for class in Class::ALL {
        let (met, count) = kept(class, 11);
        let asked = policy.rule(class).chance;
        assert!(count >= 40, "{class:?}: only {count} stand fit");
        assert!(
            met >= asked,
            "{class:?}: {met} of next parts, {asked} asked"
        );
    }
}
