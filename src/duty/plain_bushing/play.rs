//! The play between bush and shaft: what heat, water and a press fit leave of it.

use crate::duty::Trace;
use crate::property::Moisture;

/// Growth in length for each per cent of water, as a share: 0.2 to 0.3 % (from memory, not
/// verified); the high end, because it is the one that seizes.
const SWELLS_PER_PERCENT: f64 = 0.003;

/// A shaft, its bush and what the bush sits in, as measured at one temperature.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seat {
    /// Diameter of the shaft, mm.
    pub(super) shaft_mm: f64,
    /// Bore of the bush before it is pressed in, mm.
    pub(super) bore_mm: f64,
    /// Outside diameter of the bush before it is pressed in, mm.
    pub(super) outer_mm: f64,
    /// Interference of the press fit, mm across the diameter; `None` where the outside is free to grow.
    pub(super) press_mm: Option<f64>,
    /// Expansion of the shaft, um/(m.K).
    pub(super) shaft_expansion: f64,
    /// Expansion of the housing, um/(m.K).
    pub(super) housing_expansion: f64,
    /// Temperature at which everything was measured, degC.
    pub(super) fitted_c: f64,
}

/// What the polymer of a bush brings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bushes {
    /// Thermal expansion, um/(m.K).
    pub(super) expansion: f64,
    /// Poisson's ratio.
    pub(super) poisson: f64,
    /// Water taken up, %.
    pub(super) uptake: f64,
}

/// A13: water taken up in a room, %, of a saturated uptake in %; none where that was not measured.
pub(super) fn room_uptake(saturated: Option<f64>, t: &mut Trace) -> f64 {
    let Some(saturated) = saturated else {
        return t.step(
            "A13",
            "water taken up in a room: not measured, none counted",
            0.0,
            "%",
        );
    };
    t.step("A13", "water taken up when soaked", saturated, "%");
    let taken = Moisture::ROOM_SHARE * saturated;
    t.step("A13", "water taken up in a room", taken, "%")
}

impl Seat {
    /// A13: how far the bore closes for each mm that a rigid housing holds the outside back:
    /// 2ab/((a^2 + b^2) - nu (b^2 - a^2)), a and b the inner and outer radius (thick ring under
    /// outside pressure, derived); near 1 for a thin wall.
    pub(super) fn closing(&self, poisson: f64) -> f64 {
        let (a, b) = (self.bore_mm, self.outer_mm);
        // A draw past incompressible would have a negative bulk modulus.
        let nu = if poisson > 0.5 { 0.5 } else { poisson };
        2.0 * a * b / ((a * a + b * b) - nu * (b * b - a * a))
    }

    /// Play at a temperature and a rise of friction above it, mm across the diameter: the smaller
    /// of cold start and warm running. Negative once the bush grips the shaft.
    pub(super) fn play_mm(&self, at_c: f64, rise_k: f64, bush: Bushes, t: &mut Trace) -> f64 {
        t.step("A13", "diameter of the shaft", self.shaft_mm, "mm");
        t.step("A13", "bore before it is pressed in", self.bore_mm, "mm");
        t.step("A13", "expansion of the bush", bush.expansion, "um/(m.K)");
        t.step(
            "A13",
            "expansion of the shaft",
            self.shaft_expansion,
            "um/(m.K)",
        );
        let swollen = bush.uptake * SWELLS_PER_PERCENT;
        t.step("A13", "growth by water", 100.0 * swollen, "%");
        if let Some(press) = self.press_mm {
            t.step("A13", "interference of the press fit", press, "mm");
            let closes = self.closing(bush.poisson);
            t.step(
                "A13",
                "bore closed for each mm held back outside",
                closes,
                "1",
            );
        }
        let still = self.at(at_c - self.fitted_c, swollen, bush);
        t.step("A13", "play before friction warms it", still, "mm");
        let warm = self.at(at_c + rise_k - self.fitted_c, swollen, bush);
        t.step("A13", "play when friction has warmed it", warm, "mm");
        let least = if still < warm { still } else { warm };
        t.step("A13", "play left", least, "mm")
    }

    /// Play at so many kelvins above the fitting temperature, mm.
    fn at(&self, warmer_k: f64, swollen: f64, bush: Bushes) -> f64 {
        let grown = 1.0 + 1e-6 * bush.expansion * warmer_k + swollen;
        let held_back = self.press_mm.map_or(0.0, |press| {
            let housing =
                (self.outer_mm - press) * (1.0 + 1e-6 * self.housing_expansion * warmer_k);
            let over = self.outer_mm * grown - housing;
            // Away from its housing the bush is free; NaN stays NaN.
            if over < 0.0 {
                0.0
            } else {
                over * self.closing(bush.poisson)
            }
        });
        let shaft = self.shaft_mm * (1.0 + 1e-6 * self.shaft_expansion * warmer_k);
        self.bore_mm * grown - held_back - shaft
    }
}
