//! The worlds of the tables.

use crate::simulate::world::{MODEL, RHO_UNSURE, Rho, World};

/// Worlds in which beliefs assume the truth.
pub(crate) fn right() -> Vec<(&'static str, World)> {
    let world = |alike: f64, rho: Rho| World {
        alike,
        rho,
        ..World::default()
    };
    vec![
        ("the model, all drawn", MODEL),
        ("spreads 8 dof, rho 1", world(8.0, Rho::Of(1.0))),
        ("spreads 3 dof, rho 1", world(3.0, Rho::Of(1.0))),
        ("spreads alike, rho 1", world(f64::INFINITY, Rho::Of(1.0))),
        ("spreads 8 dof, rho about 1", world(8.0, RHO_UNSURE)),
        ("spreads 3 dof, rho about 1", world(3.0, RHO_UNSURE)),
        (
            "spreads alike, rho about 1",
            world(f64::INFINITY, RHO_UNSURE),
        ),
    ]
}

/// Worlds in which beliefs are wrong.
pub(crate) fn wrong() -> Vec<(&'static str, World)> {
    let w = World::default();
    vec![
        ("as assumed", w),
        ("heavy tails (t, 3 dof)", World { heavy: true, ..w }),
        (
            "no print scatter",
            World {
                rho: Rho::Of(0.0),
                ..w
            },
        ),
        (
            "print scatter x 1.5",
            World {
                rho: Rho::Of(1.5),
                ..w
            },
        ),
        (
            "print scatter x 3",
            World {
                rho: Rho::Of(3.0),
                ..w
            },
        ),
        ("2 % dud prints", World { duds: 0.02, ..w }),
        ("rigs drift by 3 u", World { drift: 3.0, ..w }),
        ("lots differ as prints do", World { lots: 1.0, ..w }),
    ]
}
