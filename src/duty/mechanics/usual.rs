//! Limits and aims that every part may have: heat margin, cost, weight, easy printing, heat reserve.

use crate::duty::mechanics::surroundings::plain_ask;
use crate::duty::{
    AIMS, Aim, Duty, Limit, LimitSense, Performance, Preference, Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;

/// Price that is just acceptable, and the one below which cheaper gives nothing, per kg.
const PRICE_SCALE: (f64, f64) = (100.0, 15.0);
/// Density at which those prices turn into a part's cost and weight, g/cm3: a usual unfilled polymer.
const DENSITY_USUAL: f64 = 1.2;
/// Density beyond which a part is as heavy as is just acceptable, and below which lighter gives nothing, g/cm3.
const DENSITY_SCALE: (f64, f64) = (1.6, 0.9);
/// Kelvins of reserve beyond the margin from which more gives nothing.
const RESERVE_ENOUGH_K: f64 = 60.0;

/// Nozzle temperature that every printer reaches, degC, and the step above it that costs one point.
const NOZZLE_C: (f64, f64) = (200.0, 60.0);
/// The same for the bed, degC.
const BED_C: (f64, f64) = (25.0, 50.0);
/// Hours of drying that cost one point.
const DRYING_H: f64 = 8.0;
/// Points of effort that are just acceptable, and below which easier gives nothing.
const EFFORT_SCALE: (f64, f64) = (4.0, 0.5);

/// A figure for a message, to six digits that matter: a lever that is being pushed has sixteen.
pub(in crate::duty) fn shown(x: f64) -> String {
    let rounded: f64 = format!("{x:.5e}").parse().unwrap_or(x);
    rounded.to_string()
}

/// Refuses an input that is not above nothing.
pub(in crate::duty) fn positive(faults: &mut Vec<Fault>, name: &str, value: f64, unit: &str) {
    if !(value > 0.0 && value.is_finite()) {
        faults.push(Fault::new(
            "duty::not-positive",
            format!(
                "`{name}` is {}, and the formulas need more than nothing",
                format!("{} {unit}", shown(value)).trim_end()
            ),
            format!("write a figure above 0 for `{name}`"),
        ));
    }
}

/// Refuses a share that does not lie above 0 and up to 1.
pub(in crate::duty) fn share(faults: &mut Vec<Fault>, name: &str, value: Option<f64>) {
    if let Some(x) = value
        && !(x > 0.0 && x <= 1.0)
    {
        faults.push(Fault::new(
            "duty::share",
            format!("`{name}` is {x}, and a share lies above 0 and up to 1"),
            format!("write for example `\"{name}\": 0.3`"),
        ));
    }
}

/// Says what an input that the case leaves out is taken as.
pub(in crate::duty) fn left_out(duty: &mut Duty, name: &str, given: bool, taken: &str) {
    if !given {
        duty.notes.push(format!("`{name}` left out: {taken}"));
    }
}

/// The factor that the policy puts on the loads of a class, said once where it changes them.
pub(in crate::duty) fn loads_factor(setting: &Setting, class: Class, duty: &mut Duty) -> f64 {
    let factor = setting.factor(class);
    if factor.total_cmp(&1.0).is_ne() {
        // First, because the figures of the answer are not the case's own.
        let said = format!("loads times {factor} for class {}", class.word());
        duty.notes.insert(0, said);
    }
    factor
}

/// The title of an aim of the registry.
pub(in crate::duty) fn aim_title(id: &str) -> String {
    AIMS.iter()
        .find(|a| a.id == id)
        .map_or(id, |a| a.title)
        .to_owned()
}

/// An aim of the registry with its scale, needs and formula.
pub(in crate::duty) fn aim(
    id: &'static str,
    unit: &str,
    scale: ValueScale,
    needs: Vec<Vec<usize>>,
    performance: Performance,
) -> Aim {
    Aim {
        id: id.to_owned(),
        title: aim_title(id),
        unit: unit.to_owned(),
        scale,
        needs,
        performance,
    }
}

/// The limit `heat-margin`: softening onset at least `margin_k` kelvins above the hottest moment.
pub(in crate::duty) fn heat_margin(
    setting: &Setting,
    duty: &mut Duty,
    margin_k: f64,
    class: Class,
) -> Limit {
    let onset = duty.ask(plain_ask("softening-onset").moist(setting.moisture));
    let hottest = setting.hottest_c();
    Limit {
        id: "heat-margin".to_owned(),
        title: "margin below softening".to_owned(),
        failure: "softens in the heat",
        class,
        sense: LimitSense::AtLeast(margin_k),
        unit: "K".to_owned(),
        needs: vec![vec![onset]],
        performance: reserve(hottest),
        source: HEAT_SOURCE,
    }
}

/// Where the margin below the softening onset comes from.
pub(in crate::duty) const HEAT_SOURCE: &str = "D2: 20 to 30 K below the deflection temperature under lasting load, 10 to 20 K under light load (common practice, no source)";

/// The aim `heat-reserve`: from the margin asked to 60 K beyond it.
pub(in crate::duty) fn heat_reserve(setting: &Setting, duty: &mut Duty, margin_k: f64) -> Aim {
    let onset = duty.ask(plain_ask("softening-onset").moist(setting.moisture));
    reserve_aim(margin_k, vec![vec![onset]], reserve(setting.hottest_c()))
}

/// The aim `heat-reserve` of a part that warms itself.
pub(in crate::duty) fn reserve_aim(
    margin_k: f64,
    needs: Vec<Vec<usize>>,
    performance: Performance,
) -> Aim {
    aim(
        "heat-reserve",
        "K",
        ValueScale {
            zero: margin_k,
            one: margin_k + RESERVE_ENOUGH_K,
            log: false,
        },
        needs,
        performance,
    )
}

fn reserve(hottest_c: f64) -> Performance {
    Performance::new(move |i, t| {
        let [onset] = *i.x else { return f64::NAN };
        t.step("D2", "softening onset", onset, "degC");
        t.step("D2", "hottest moment", hottest_c, "degC");
        t.step("D2", "margin", onset - hottest_c, "K")
    })
}

/// The aim `cost`: price times the part's mass. `volume_mm3` is the polymer of the whole use.
pub(in crate::duty) fn cost(duty: &mut Duty, volume_mm3: f64) -> Aim {
    let price = duty.ask(plain_ask("price"));
    let density = duty.ask(plain_ask("density"));
    let usual_kg = mass_g(volume_mm3, DENSITY_USUAL) / 1000.0;
    aim(
        "cost",
        "money",
        ValueScale {
            zero: PRICE_SCALE.0 * usual_kg,
            one: PRICE_SCALE.1 * usual_kg,
            log: true,
        },
        vec![vec![price], vec![density]],
        Performance::new(move |i, t| {
            let [price, density] = *i.x else {
                return f64::NAN;
            };
            let mass = t.step("", "mass", mass_g(volume_mm3, density), "g");
            t.step("", "cost", price * mass / 1000.0, "money")
        }),
    )
}

/// The aim `weight`: density times volume.
pub(in crate::duty) fn weight(duty: &mut Duty, volume_mm3: f64) -> Aim {
    let density = duty.ask(plain_ask("density"));
    aim(
        "weight",
        "g",
        ValueScale {
            zero: mass_g(volume_mm3, DENSITY_SCALE.0),
            one: mass_g(volume_mm3, DENSITY_SCALE.1),
            log: false,
        },
        vec![vec![density]],
        Performance::new(move |i, t| {
            let [density] = *i.x else { return f64::NAN };
            t.step("", "mass", mass_g(volume_mm3, density), "g")
        }),
    )
}

/// Mass in g of a volume in mm3 at a density in g/cm3.
fn mass_g(volume_mm3: f64, density_g_cm3: f64) -> f64 {
    volume_mm3 * density_g_cm3 / 1000.0
}

/// The aim `easy-print`: points of effort from nozzle, bed and drying.
///
/// A proxy of ours (common practice, no source): a point for each 60 K of nozzle
/// above 200 degC, each 50 K of bed above 25 degC and each 8 h of drying.
pub(in crate::duty) fn easy_print(duty: &mut Duty) -> Aim {
    let nozzle = duty.ask(plain_ask("nozzle-temperature"));
    let bed = duty.ask(plain_ask("bed-temperature"));
    let dry = duty.ask(plain_ask("dry-time"));
    aim(
        "easy-print",
        "1",
        ValueScale {
            zero: EFFORT_SCALE.0,
            one: EFFORT_SCALE.1,
            log: false,
        },
        vec![vec![nozzle], vec![bed], vec![dry]],
        Performance::new(|i, t| {
            let [nozzle, bed, dry] = *i.x else {
                return f64::NAN;
            };
            // Not `max`, which would turn an unknown figure into no effort.
            let above = |x: f64, (from, step): (f64, f64)| {
                if x < from { 0.0 } else { (x - from) / step }
            };
            let hot = t.step("", "effort of the nozzle", above(nozzle, NOZZLE_C), "1");
            let bed = t.step("", "effort of the bed", above(bed, BED_C), "1");
            let dry = t.step("", "effort of drying", above(dry, (0.0, DRYING_H)), "1");
            t.step("", "printing effort", hot + bed + dry, "1")
        }),
    )
}

/// The aims that every part has: reserve against heat beyond `margin_k`, easy printing, cost and
/// weight of `volume_mm3` of polymer.
pub(in crate::duty) fn everyday_aims(
    setting: &Setting,
    duty: &mut Duty,
    margin_k: f64,
    volume_mm3: f64,
) -> [Aim; 4] {
    [
        heat_reserve(setting, duty, margin_k),
        easy_print(duty),
        cost(duty, volume_mm3),
        weight(duty, volume_mm3),
    ]
}

/// A default preference in points.
pub(in crate::duty) fn points(of: &[(&str, f64)]) -> Option<Preference> {
    let owned = of.iter().map(|(aim, p)| ((*aim).to_owned(), *p));
    Some(Preference::Points(owned.collect()))
}
