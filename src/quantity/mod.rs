//! Units and quantities as bench people write them: `25.3 kgf`, `>=164 degC`, `0.54 mm`.
//!
//! Text comes in with any unit that fits; inside, every figure stands in the
//! canonical unit of the thing it describes. Temperature points and
//! temperature differences are different dimensions.

mod figure;
mod reading;
mod typed;
mod unit;

pub(crate) use figure::with_unit;
pub use figure::{amount, figure, placed, significant};
pub use reading::{
    Bound, Reading, parse_amount, parse_bounded_amount, parse_number, parse_reading, parse_span,
};
pub use typed::{
    Acceleration, Angle, Area, Energy, Expansion, FilmCoefficient, Flow, Force, Length, Mass,
    Pressure, Speed, Stiffness, Temperature, TemperatureRange, TemperatureSpan, ThermalResistance,
    Time, Torque,
};
pub(crate) use typed::{FAULT_MARK, NAME_MARK, fault_message};
pub use unit::{Dimension, Unit};
