//! How many digits of a figure are worth showing.

/// Most significant digits of the middle of an interval.
const MOST_DIGITS: i32 = 4;
/// The smaller half of an interval decides, unless it is less than this share of the other one (an end
/// that the quantity cannot pass); ours, no source.
const LEAST_HALF: f64 = 0.05;
/// Halves are alike where the larger is at most this many times the smaller, or one step of the last
/// digit more (ours, for reading).
const ALIKE: f64 = 1.25;
/// Figures in thousandths or less are counted in a power of ten (ours, for reading).
const SMALL: f64 = 1e-2;
/// And so are figures of ten million and more.
const LARGE: f64 = 1e7;

/// Power of ten of the last digit worth showing of 5, 50 and 95 % of a mean: that of the first digit of
/// half the interval, of the second where the first is 1 (common practice, no source); no more than four
/// significant digits of the middle.
pub(super) fn place([low, middle, high]: [f64; 3]) -> i32 {
    let (down, up) = ((middle - low).abs(), (high - middle).abs());
    let (small, large) = (down.min(up), down.max(up));
    let half = if small < LEAST_HALF * large {
        large
    } else {
        small
    };
    let least = exponent(middle).map_or(i32::MIN, |e| e + 1 - MOST_DIGITS);
    let Some(e) = exponent(half) else {
        return if middle.abs() > 0.0 { least } else { 0 };
    };
    let begins_with_one = half < 2.0 * 10_f64.powi(e);
    let place = if begins_with_one { e - 1 } else { e };
    place.max(least)
}

/// Half of the interval where its halves are alike, the larger of the two; `None` where one half is
/// plainly longer.
pub(super) fn half([low, middle, high]: [f64; 3], place: i32) -> Option<f64> {
    let step = 10_f64.powi(place);
    let [down, up] = [middle - low, high - middle].map(|h| (h / step).round());
    let (small, large) = (down.min(up), down.max(up));
    let alike = large - small < 1.5 || large <= ALIKE * small;
    alike.then_some(large * step)
}

/// Power of ten that a column's figures are counted in: 0, or a multiple of three.
pub(super) fn power(figures: impl Iterator<Item = f64>) -> i32 {
    let mut sizes: Vec<f64> = figures
        .map(f64::abs)
        .filter(|x| *x > 0.0 && x.is_finite())
        .collect();
    sizes.sort_by(f64::total_cmp);
    let middle = sizes.get(sizes.len() / 2).copied().unwrap_or(1.0);
    if (SMALL..LARGE).contains(&middle) {
        return 0;
    }
    exponent(middle).map_or(0, |e| e.div_euclid(3) * 3)
}

/// Power of ten of the first digit; `None` of nothing and of what is no figure.
fn exponent(x: f64) -> Option<i32> {
    let size = x.abs();
    if !(size > 0.0 && size.is_finite()) {
        return None;
    }
    // By text, so that 1000 is not 999.99... of a logarithm.
    format!("{size:e}").split_once('e')?.1.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::placed;

    fn shown(mean: [f64; 3]) -> String {
        let [low, middle, high] = mean.map(|x| placed(x, place(mean), 0));
        format!("{middle} ({low}..{high})")
    }

    #[test]
    fn the_interval_says_how_many_digits() {
        assert_eq!(shown([40.01, 43.31, 46.88]), "43 (40..47)");
        assert_eq!(shown([42.2, 43.31, 44.5]), "43.3 (42.2..44.5)");
        assert_eq!(shown([1752.0, 1838.0, 1921.0]), "1840 (1750..1920)");
        assert_eq!(shown([0.789, 0.813, 0.837]), "0.81 (0.79..0.84)");
        assert_eq!(shown([0.0, 0.3, 40.0]), "0 (0..40)");
        assert_eq!(shown([0.1, 2.0, 30.0]), "2.0 (0.1..30.0)");
        assert_eq!(shown([1234.567, 1234.568, 1234.569]), "1235 (1235..1235)");
        assert_eq!(shown([-3.4, -1.2, 1.1]), "-1 (-3..1)");
    }

    #[test]
    fn half_an_interval_is_told_where_its_halves_are_alike() {
        assert_eq!(half([40.0, 43.3, 46.9], 0), Some(4.0));
        assert_eq!(half([17.6, 19.5, 21.6], -1), Some(2.1));
        assert_eq!(half([73.0, 130.0, 240.0], 1), None);
        assert_eq!(half([5.0, 5.0, 5.0], 0), Some(0.0));
    }

    #[test]
    fn small_figures_are_counted_in_millionths() {
        assert_eq!(power([1.3e-4, 2.0e-5, 9.0e-6].into_iter()), -6);
        assert_eq!(power([0.3, 0.02].into_iter()), 0);
        assert_eq!(power([43.0, f64::NAN].into_iter()), 0);
        assert_eq!(power(std::iter::empty()), 0);
        assert_eq!(placed(1.32e-4, -6, -6), "132");
        assert_eq!(placed(1.32e-4, -7, -6), "132.0");
        assert_eq!(placed(-0.2, 0, 0), "0");
    }
}
