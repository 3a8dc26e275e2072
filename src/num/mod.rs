//! Numerics below everything: random streams, quadrature nodes, small least squares,
//! quantiles that never hang.

mod least_squares;
pub mod shape;
mod stream;

pub use least_squares::{Line, line};
pub use stream::{Stream, stream};

/// The middle of some figures, the mean of the two middle ones where their number is even; NaN of none.
pub fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    let n = figures.len();
    match (figures.get(n.wrapping_sub(1) / 2), figures.get(n / 2)) {
        (Some(a), Some(b)) => 0.5 * (a + b),
        _ => f64::NAN,
    }
}
