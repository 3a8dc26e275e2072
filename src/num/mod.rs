//! Numerics below everything: random streams, quantiles that never hang, and the tables that
//! carry a standard normal draw to a draw of another distribution.

pub mod anova;
pub mod censored;
mod chi;
pub mod control;
mod correlated;
mod fisher;
mod gamma;
mod hermite;
mod least_squares;
mod ln_cdf;
mod monotone;
mod normal;
pub mod reml;
pub mod shape;
mod stream;
mod student;
mod transport;

pub use chi::{ChiRoot, chi_square_share};
pub use correlated::{Chain, CorrelatedLine, Correlation};
pub use fisher::{f_quantile, f_upper};
pub use gamma::{digamma, trigamma, trigamma_inverse};
pub(crate) use hermite::hermite;
pub use least_squares::{Line, line};
pub(crate) use ln_cdf::{quick_ln_normal_cdf, quick_ln_normal_interval, quick_normal_cdf};
pub use monotone::monotone_curve;
pub use normal::{ln_normal_cdf, ln_normal_interval, normal_cdf, normal_quantile};
pub use stream::{Stream, stream};
pub use student::{t_cdf, t_quantile};
pub use transport::{KNOTS, Transport, knot, score_nodes};
pub(crate) use transport::{invert as transport_invert, refine};

/// The middle of some figures, the mean of the two middle ones where their number is even; NaN of none.
pub fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    let n = figures.len();
    match (figures.get(n.wrapping_sub(1) / 2), figures.get(n / 2)) {
        (Some(a), Some(b)) => 0.5 * (a + b),
        _ => f64::NAN,
    }
}
