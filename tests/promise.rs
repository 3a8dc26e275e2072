//! The promise of `fit`: of materials that stand fit, the next part meets the limit at least as
//! often as the class asks; and `fit` is said where it is due.
//!
//! Catalogs are simulated; the truth is known, so the chance of the next part is exact, not sampled.

use crate::simulate::SEEDS;
use crate::simulate::power::power;
use crate::simulate::promise::kept;
use crate::simulate::world::{RHO_UNSURE, Rho, World};
use dutyfit::policy::{Class, Policy};

/// Draws of a judgement, fewer than the program takes: `fit` is then a little harder to reach.
const DRAWS: usize = 1_024;
/// Share of truly fit materials that may be ruled out.
const WRONGLY_RULED_OUT: f64 = 0.02;
/// Share of catalogs in which a material of true margin 1.5 must be found fit at `damage`.
const POWER: f64 = 0.80;

#[test]
fn fit_keeps_its_promise_in_every_class() {
    let policy = Policy::default();
    let kept = kept(&World::default(), &SEEDS, 30, 2, DRAWS);
    for class in Class::ALL {
        let k = kept.get(&class).copied().unwrap_or_default();
        let asked = policy.rule(class).chance;
        assert!(k.fit.count() >= 100.0, "{class:?}: {} fit", k.fit.count());
        assert!(
            k.fit.share() >= asked,
            "{class:?}: {} of next parts, {asked} asked",
            k.fit.share()
        );
        assert!(
            k.ruled_out.share() <= WRONGLY_RULED_OUT,
            "{class:?}: {} ruled out wrongly",
            k.ruled_out.share()
        );
    }
}

#[test]
fn fit_is_said_where_it_is_due() {
    for rho in [Rho::Of(1.0), RHO_UNSURE] {
        let found = power(&SEEDS, 100, DRAWS, rho);
        assert!(
            found.share() >= POWER,
            "{rho:?}: {} of {} found fit",
            found.share(),
            found.count()
        );
    }
}
