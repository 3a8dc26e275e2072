//! The cubic of Hermite.

/// Value at `t` (0 to 1) of the cubic that goes from `a` to `b` with these slopes at its ends, each per
/// unit of `t`.
pub(crate) fn hermite(a: f64, b: f64, rise_a: f64, rise_b: f64, t: f64) -> f64 {
    let up = b - a;
    a + t * (rise_a + t * (3.0 * up - 2.0 * rise_a - rise_b + t * (rise_a + rise_b - 2.0 * up)))
}

#[cfg(test)]
mod tests {
    use super::hermite;

    #[test]
    fn a_cubic_comes_back_exactly() {
        let f = |x: f64| 2.0 - 3.0 * x + 0.5 * x * x + 4.0 * x * x * x;
        let rise = |x: f64| -3.0 + x + 12.0 * x * x;
        for t in [0.0, 0.2, 0.5, 0.9, 1.0] {
            let got = hermite(f(0.0), f(1.0), rise(0.0), rise(1.0), t);
            assert!((got - f(t)).abs() < 1e-12, "{t}: {got}");
        }
    }
}
