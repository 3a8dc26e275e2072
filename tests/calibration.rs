//! Whether intervals hold what they promise: whole catalogs simulated from the model, read through the
//! reduction, and compared with the truth. The tables of `examples/calibration.rs`, at a small size.

use crate::simulate::SEEDS;
use crate::simulate::catalog::{HARDNESS, IMPACT, TENSILE};
use crate::simulate::coverage::{Covered, Rests, Size, Table, alone, whole};
use crate::simulate::tally::Share;
use crate::simulate::world::{MODEL, RHO_UNSURE, World};

/// Coverage allowed of a 90 % interval, and of a 50 % interval.
const NINETY: (f64, f64) = (0.88, 0.92);
const FIFTY: (f64, f64) = (0.47, 0.53);
/// Least intervals behind a share that is held to these.
const INTERVALS: f64 = 5_000.0;

fn outside(name: &str, share: &Share, (low, high): (f64, f64)) -> Option<String> {
    let p = share.share();
    // Of fewer intervals than that, only what two standard errors do not explain.
    let few = if share.count() < INTERVALS {
        2.0 * share.error()
    } else {
        0.0
    };
    (!(low - few..=high + few).contains(&p)).then(|| {
        format!(
            "{name}: {:.2} % ± {:.2} of {}, {low} to {high} allowed",
            100.0 * p,
            100.0 * share.error(),
            share.count()
        )
    })
}

/// Every share of a kind of evidence that lies outside what is allowed.
fn misses(name: &str, c: &Covered, fifty: (f64, f64), ninety: (f64, f64)) -> Vec<String> {
    [
        ("mean, 50 %", &c.mean_50, fifty),
        ("mean, 90 %", &c.mean_90, ninety),
        ("next part, 50 %", &c.next_50, fifty),
        ("next part, 90 %", &c.next_90, ninety),
    ]
    .into_iter()
    .filter_map(|(what, share, allowed)| outside(&format!("{name}, {what}"), share, allowed))
    .collect()
}

#[track_caller]
fn assert_exact_readings_cover(table: &Table) {
    let mut missed = Vec::new();
    let mut cells = 0;
    for (cell, covered) in table {
        if let Rests::Exact(_) = cell {
            cells += 1;
            assert!(covered.mean_90.count() >= INTERVALS, "{}", cell.title());
            missed.extend(misses(&cell.title(), covered, FIFTY, NINETY));
        }
    }
    assert!(cells >= 7, "only {cells} kinds of evidence");
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

/// Enough catalogs for two properties.
const TWO: Size = Size {
    catalogs: 450,
    each: 2,
};

/// The model as beliefs have it before any data: print scatter, typical spread and how alike
/// materials scatter are drawn for each property.
#[test]
fn calibration_under_the_model() {
    let table = whole(&MODEL, &[TENSILE, HARDNESS], &SEEDS, TWO);
    assert_exact_readings_cover(&table);
    let stated = table.get(&Rests::Stated).copied().unwrap_or_default();
    let missed = misses("stated", &stated, FIFTY, NINETY);
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

/// The first material of a workshop: the table's spread is all that is known.
#[test]
fn calibration_without_other_materials() {
    assert_exact_readings_cover(&alone(&SEEDS, 840));
}

/// A hammer that ends, or begins, somewhere near what the material takes.
#[test]
fn calibration_of_bounds() {
    let size = Size {
        catalogs: 60,
        each: 2,
    };
    let world = World {
        rho: RHO_UNSURE,
        ..World::default()
    };
    let table = whole(&world, &[IMPACT], &SEEDS, size);
    let mut missed = Vec::new();
    for cell in [Rests::Mixed, Rests::Bounds, Rests::Borrowed] {
        let covered = table.get(&cell).copied().unwrap_or_default();
        missed.extend(misses(&cell.title(), &covered, (0.45, 0.55), (0.87, 0.93)));
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
