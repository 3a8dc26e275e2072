//! The inputs of a part that a limit of use can push, each named once.

use crate::duty::{Lever, LeverKind};
use crate::quantity::{Area, Energy, Force, Length, Mass, Pressure, Speed, Stiffness, Torque};

/// An input that holds one figure, or none yet.
pub(in crate::duty) trait Pushed: Sized {
    /// Unit of the figure.
    const UNIT: &'static str;
    /// The figure, where the case gives one.
    fn figure(&self) -> Option<f64>;
    /// The input with this figure.
    fn of(figure: f64) -> Self;
}

macro_rules! figures {
    ($($quantity:ident),*) => {
        $(impl Pushed for $quantity {
            const UNIT: &'static str = $quantity::UNIT;
            fn figure(&self) -> Option<f64> {
                Some(self.0)
            }
            fn of(figure: f64) -> Self {
                $quantity(figure)
            }
        })*
    };
}

figures!(
    Area, Energy, Force, Length, Mass, Pressure, Speed, Stiffness, Torque
);

impl<T: Pushed> Pushed for Option<T> {
    const UNIT: &'static str = T::UNIT;
    fn figure(&self) -> Option<f64> {
        self.as_ref().and_then(T::figure)
    }
    fn of(figure: f64) -> Self {
        Some(T::of(figure))
    }
}

/// The lever of an input that the case gives.
pub(in crate::duty) fn lever<T: Pushed>(
    name: &'static str,
    kind: LeverKind,
    input: &T,
) -> Option<Lever> {
    input.figure().map(|value| Lever {
        name,
        kind,
        value,
        unit: T::UNIT,
    })
}

/// Writes `levers`, `with_lever` and `inputs` of a [`Part`](crate::duty::Part) from its inputs
/// that can be pushed: `pushed!(Load push, Thickness height);`.
macro_rules! pushed {
    ($($kind:ident $field:ident),* $(,)?) => {
        fn levers(&self) -> Vec<$crate::duty::Lever> {
            [$($crate::duty::mechanics::pushed::lever(
                stringify!($field),
                $crate::duty::LeverKind::$kind,
                &self.$field,
            )),*]
            .into_iter()
            .flatten()
            .collect()
        }

        fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn $crate::duty::Part>> {
            let mut other = self.clone();
            match name {
                $(stringify!($field) => {
                    other.$field = $crate::duty::mechanics::pushed::Pushed::of(value);
                })*
                _ => return None,
            }
            Some(Box::new(other))
        }

        fn inputs(&self) -> serde_json::Value {
            serde_json::to_value(self).unwrap_or_default()
        }
    };
}

pub(in crate::duty) use pushed;
