//! Numerics below everything: random streams, quadrature nodes, small least squares,
//! quantiles that never hang.

mod stream;

pub use stream::{Stream, stream};
