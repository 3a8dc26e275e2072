//! The registry of aims, and how much of one is enough.

use crate::duty::Performance;

/// An aim of the registry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AimKind {
    /// Id.
    pub id: &'static str,
    /// What more of it means, for people.
    pub title: &'static str,
}

/// All aims that weights may name; a part may add one here.
pub const AIMS: &[AimKind] = &[
    AimKind {
        id: "hold",
        title: "firmer hold",
    },
    AimKind {
        id: "wear-life",
        title: "longer wear",
    },
    AimKind {
        id: "touch",
        title: "softer touch",
    },
    AimKind {
        id: "grip",
        title: "more grip",
    },
    AimKind {
        id: "quiet",
        title: "quieter",
    },
    AimKind {
        id: "stiffness",
        title: "stiffer",
    },
    AimKind {
        id: "toughness",
        title: "tougher",
    },
    AimKind {
        id: "heat-reserve",
        title: "more reserve against heat",
    },
    AimKind {
        id: "easy-print",
        title: "easier printing",
    },
    AimKind {
        id: "cost",
        title: "lower cost",
    },
    AimKind {
        id: "weight",
        title: "lighter",
    },
    AimKind {
        id: "looks",
        title: "better looks",
    },
    AimKind {
        id: "light-turning",
        title: "lighter turning",
    },
    AimKind {
        id: "soft-stop",
        title: "gentler stop",
    },
    AimKind {
        id: "easy-on-off",
        title: "easier on and off",
    },
    AimKind {
        id: "easy-push",
        title: "easier to push in",
    },
    AimKind {
        id: "load-reserve",
        title: "more load in reserve over the years",
    },
    AimKind {
        id: "isolation",
        title: "better isolation",
    },
    AimKind {
        id: "keeps-pull",
        title: "keeps its pull",
    },
    AimKind {
        id: "positive-feel",
        title: "more positive feel",
    },
    AimKind {
        id: "quiet-mesh",
        title: "quieter mesh",
    },
    AimKind {
        id: "fold-reserve",
        title: "more reserve in the fold",
    },
    AimKind {
        id: "grip-kept",
        title: "keeps more of its grip",
    },
    AimKind {
        id: "warm-hand",
        title: "warmer in the hand",
    },
    AimKind {
        id: "tightness",
        title: "tighter seal",
    },
    AimKind {
        id: "easy-rolling",
        title: "easier rolling",
    },
];

/// From 0 at `zero` (just acceptable) to 1 at `one` (more gives nothing), cut off at both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValueScale {
    /// Performance of value 0.
    pub zero: f64,
    /// Performance of value 1; below `zero` where less is better.
    pub one: f64,
    /// Even in the logarithm.
    pub log: bool,
}

impl ValueScale {
    /// The value of a performance, 0 to 1; NaN gives 0.
    pub fn value(self, x: f64) -> f64 {
        self.values()(x)
    }
    /// The same for many performances: the ends are looked at once.
    pub fn values(self) -> impl Fn(f64) -> f64 {
        let on = move |x: f64| if self.log { x.ln() } else { x };
        let (zero, one) = (on(self.zero), on(self.one));
        move |x| {
            let v = (on(x) - zero) / (one - zero);
            if v.is_nan() { 0.0 } else { v.clamp(0.0, 1.0) }
        }
    }
}

/// One aim of a duty.
#[derive(Clone, Debug)]
pub struct Aim {
    /// Id, of the registry or a plain case's own.
    pub id: String,
    /// Title for people.
    pub title: String,
    /// Unit of the performance.
    pub unit: String,
    /// Value scale.
    pub scale: ValueScale,
    /// Needs, as in [`Limit`](crate::duty::Limit).
    pub needs: Vec<Vec<usize>>,
    /// Formula, valued on the means.
    pub performance: Performance,
}
