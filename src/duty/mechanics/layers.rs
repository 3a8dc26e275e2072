//! How a load lies to the layers, by how the part lies on the bed.

use crate::duty::{LiesOnBed, Lying, Setting};
use crate::property::Lies;

/// How one load of a part lies to its layers for each way that the part can lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::duty) struct Layers {
    /// Lying on its largest face.
    pub(in crate::duty) flat: Lies,
    /// Lying on an edge.
    pub(in crate::duty) edge: Lies,
    /// Standing.
    pub(in crate::duty) upright: Lies,
}

impl Layers {
    /// How the load lies in this setting; an open one is taken as the part kind says.
    pub(in crate::duty) fn of(self, setting: &Setting, lying: Lying) -> Lies {
        match setting.lies {
            LiesOnBed::Open => self.when(lying.open),
            stated => self.when(stated),
        }
    }

    fn when(self, lies: LiesOnBed) -> Lies {
        match lies {
            LiesOnBed::Flat => self.flat,
            LiesOnBed::Edge => self.edge,
            LiesOnBed::Upright => self.upright,
            // No part kind takes an open case as open; the worse would be.
            LiesOnBed::Open => Lies::Across,
        }
    }
}
