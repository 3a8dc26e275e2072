//! The water-uptake test: weighed dry and after soaking.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::quantity::Reading;

/// The water-uptake test.
pub(super) struct WaterUptake;

const COLUMNS: &[Column] = &[
    Column::number(
        "mass_dry",
        Need::Once,
        "g",
        0.001,
        0.001,
        "after drying, before soaking",
    ),
    Column::number(
        "mass_wet",
        Need::Each,
        "g",
        0.001,
        0.001,
        "wiped dry after soaking; a line for each time",
    ),
    Column::number(
        "mass_redried",
        Need::Optional,
        "g",
        0.001,
        0.001,
        "dried again after soaking: shows what was washed out",
    ),
    Column::number(
        "thickness",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "smallest dimension",
    ),
    Column::number(
        "time",
        Need::Optional,
        "d",
        0.0,
        0.0,
        "in the water or damp air",
    ),
];

const FORMULAS: &[&str] = &[
    "U1 uptake = (wet - dry) / dry, %, on the dry mass. ISO 62, from memory, not verified; the dry basis stated in a test-house page. A small negative uptake is real and stays.",
    "U2 with washing out = (wet - redried) / dry, %; washed out = (dry - redried) / dry. ISO 62, from memory, not verified.",
    "U3 of one soaking it is the uptake at that time, not at saturation. Of several, one that still grew by more than a twentieth at the last line is `>=`. The limit is ours.",
    "U4 diffusivity at which the soaking is half way: 0.0492 thickness^2 / time, mm2/s (Fick, both faces; derived). Shown, so that a known one tells how near to saturation the piece was.",
];

/// Growth since the line before, as a share of the uptake, under which it counts as settled (ours).
const SETTLED: f64 = 0.05;
/// Fick's law for a sheet, both faces: half of saturation at D t / h^2 of this (derived from the series).
const HALF_WAY: f64 = 0.049_182_7;
const SECONDS_PER_DAY: f64 = 86_400.0;

impl BenchTest for WaterUptake {
    fn id(&self) -> &'static str {
        "water-uptake"
    }
    fn title(&self) -> &'static str {
        "water uptake"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::Stopped]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["water-uptake"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Dry to constant mass, weigh at once, soak, wipe with a dry cloth and weigh within a minute; a line a time.",
                "Dry again at the end and weigh: what is missing was washed out.",
            ],
            beware: [
                "Water in open seams counts as uptake: print solid, and shake it off before wiping.",
                "A dry piece takes up water on the balance: weigh within a minute of the oven.",
            ],
            specimens: 3,
            lines: 3,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let Some(dry) = s.once("mass_dry").filter(|m| *m > 0.0) else {
            out.refuse(
                "water-uptake",
                "bench::no-dry-mass",
                "the dry mass is blank",
            );
            return;
        };
        let mut soaked: Vec<(Option<f64>, f64)> = s
            .points
            .iter()
            .filter_map(|p| Some((p.num("time"), p.num("mass_wet")?)))
            .collect();
        if soaked.iter().all(|l| l.0.is_some()) {
            soaked.sort_by(|a, b| a.0.unwrap_or(0.0).total_cmp(&b.0.unwrap_or(0.0)));
        }
        let Some((time, wet)) = soaked.last().copied() else {
            out.refuse("water-uptake", "bench::no-wet-mass", "no wet mass was read");
            return;
        };
        let gained = 100.0 * (wet - dry) / dry;
        out.step("U1", "uptake on the dry mass", gained, "%");
        let redried = s.once("mass_redried");
        if let Some(redried) = redried {
            let lost = 100.0 * (dry - redried) / dry;
            out.step("U2", "washed out", lost, "%");
        }
        if let (Some(h), Some(t)) = (s.once("thickness"), time)
            && t > 0.0
        {
            let d = HALF_WAY * h * h / (t * SECONDS_PER_DAY);
            out.step(
                "U4",
                "diffusivity that is half way at this time",
                d,
                "mm2/s",
            );
        }
        let base = redried.unwrap_or(dry);
        let uptake = 100.0 * (wet - base) / dry;
        let growing = match soaked.as_slice() {
            [.., before, last] => last.1 - before.1 > SETTLED * (last.1 - base).abs(),
            _ => s.outcome() == Outcome::Stopped,
        };
        out.give(
            s,
            "water-uptake",
            if growing {
                Reading::AtLeast(uptake)
            } else {
                Reading::Exact(uptake)
            },
        );
    }
}
