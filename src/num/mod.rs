//! Numerics below everything: random streams, quadrature nodes, small least squares,
//! quantiles that never hang.

mod least_squares;
pub mod shape;
mod stream;

pub use least_squares::{Line, line};
pub use stream::{Stream, stream};
