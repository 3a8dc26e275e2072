//! Laws of every part kind, from its worked example and the demo's cases, whatever the material.
//!
//! Material figures are drawn at random; a figure of a part's use falls with time and heat as
//! evidence does. More load and a longer life never bring a limit nearer to being met, more of a
//! thickness never takes it further away, and units change nothing. Where mechanics say otherwise
//! the exception stands below with its reason.

use dutyfit::catalog::{Beside, read_case};
use dutyfit::duty::{
    Case, Duty, Inputs, Lever, LeverKind, Limit, LimitSense, Part, Setting, parts,
};
use dutyfit::policy::Policy;
use dutyfit::property::{Ask, Heat, Properties, Property, Scale};
use dutyfit::quantity::{Unit, parse_span};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::LazyLock;

/// Part kind, lever and limit where more of the lever does the other thing, and why.
const EXCEPTIONS: &[(&str, &str, &str, &str)] = &[
    (
        "bolt-washer",
        "height",
        "bearing",
        "a thicker washer expands more in the heat, against the bolt",
    ),
    (
        "bolt-washer",
        "height",
        "clamp-left",
        "a thicker washer gives more and loses less of the clamp load, but expands and shrinks more",
    ),
    (
        "bolt-washer",
        "height",
        "clamp-after-set",
        "a thicker washer gives more: of its own share of the closure more is lost",
    ),
    (
        "bolt-washer",
        "outer_diameter",
        "clamp-left",
        "a wider washer is stiffer: the same loss of it is more of the clamp load",
    ),
    (
        "bolt-washer",
        "torque",
        "clamp-left",
        "a harder tightened joint keeps more clamp load; what it crushes is another limit",
    ),
    (
        "bolt-washer",
        "torque",
        "clamp-after-set",
        "a harder tightened joint keeps more clamp load; what it crushes is another limit",
    ),
    (
        "clip",
        "width",
        "opening-force",
        "a wider clip that grips more is harder to open",
    ),
    (
        "living-hinge",
        "width",
        "fold-torque",
        "a longer fold takes more torque",
    ),
    (
        "plain-bushing",
        "wall",
        "creep-sink",
        "a thicker wall sinks further under the same pressure",
    ),
    (
        "plain-bushing",
        "wall",
        "play-left",
        "in a stiff housing a thicker wall grows further inwards",
    ),
    (
        "protective-cap",
        "length",
        "push-on",
        "a longer cap that holds more firmly is harder to push on",
    ),
    (
        "protective-cap",
        "wall",
        "push-on",
        "a thicker cap that holds more firmly is harder to push on",
    ),
    (
        "snap-hook",
        "arm_length",
        "pull-out",
        "a longer arm bends away at less",
    ),
    (
        "snap-hook",
        "arm_length",
        "held-slip",
        "a longer arm bends away at less",
    ),
    (
        "sliding-pad",
        "thickness",
        "creep-sink",
        "a thicker pad sinks further under the same pressure",
    ),
    (
        "strap",
        "lasting_pull",
        "fatigue",
        "a pull that stays makes what comes and goes smaller",
    ),
    (
        "strap",
        "thickness",
        "bend-crack",
        "a thicker strap is bent further round the same post",
    ),
    (
        "support-foot",
        "height",
        "sag",
        "a taller foot sinks further under the same pressure",
    ),
    (
        "support-foot",
        "mass",
        "hold",
        "weight is what friction holds with",
    ),
    (
        "vibration-pad",
        "height",
        "passed-on",
        "a taller pad is softer, and its resonance moves",
    ),
    (
        "vibration-pad",
        "height",
        "resonance",
        "a taller pad is softer, and its resonance moves",
    ),
    (
        "vibration-pad",
        "height",
        "sag",
        "a taller pad sinks further under the same pressure",
    ),
    (
        "wheel-tyre",
        "thickness",
        "flat-spot",
        "a thicker tread sinks further, and keeps a share of that",
    ),
    (
        "wheel-tyre",
        "thickness",
        "sag",
        "a thicker tread sinks further under the same load",
    ),
];

/// Inputs of forms that no example or demo case shows: part kind and inputs.
const OTHERS: &[(&str, &str)] = &[
    (
        "cantilever-bracket",
        r#""form": "hook", "load": "20 N", "arm": "40 mm", "spread": "even", "height": "12 mm", "width": "10 mm", "inner_radius": "10 mm", "droop": "1 mm""#,
    ),
    (
        "clip",
        r#""shape": "arms", "thickness": "2 mm", "width": "10 mm", "arm_length": "30 mm", "fillet_radius": "1 mm", "opening": "4 mm", "held_opening": "1 mm", "grip": "0.3 N""#,
    ),
    (
        "living-hinge",
        r#""web": "0.4 mm", "land": "8 mm", "width": "40 mm", "angle": "90 deg", "folds": 20, "pull": "20 N", "held_pull": "4 N", "springs_back": 0.3, "fold_torque": "0.05 N.m""#,
    ),
    (
        "plain-bushing",
        r#""shaft": "10 mm", "length": "12 mm", "wall": "3 mm", "load": "40 N", "turns": "60 rpm", "swing": "90 deg", "swings_per_day": 400, "press": "0.05 mm", "wear_allowed": "0.6 mm", "thermal_resistance": "12 K/W", "drag_allowed": "0.2 N.m", "sink_allowed": "0.1 mm", "speed_allowed": "1 m/s""#,
    ),
    (
        "sliding-pad",
        r#""contact": "shaft-on-flat", "load": "40 N", "shaft_diameter": "12 mm", "length": "20 mm", "thickness": "5 mm", "speed": "0.1 m/s", "share": 0.01, "wear_allowed": "0.2 mm", "film": "10 W/(m2.K)", "cooled_area": "20 cm2", "sink_allowed": "0.1 mm", "contact_radius": "2 mm""#,
    ),
    (
        "small-gear",
        r#""teeth": 18, "module": "1 mm", "face": "12 mm", "torque": "0.3 N.m", "holding_torque": "0.1 N.m", "turns": "300 rpm", "share": 0.01, "made": "cut""#,
    ),
    (
        "snap-hook",
        r#""arm_length": "20 mm", "thickness": "2 mm", "width": "8 mm", "undercut": "1.5 mm", "fillet_radius": "1 mm", "worked": 50, "pull": "6 N", "held_pull": "3 N", "rest_bend": "0.3 mm""#,
    ),
    (
        "strap",
        r#""form": "loop", "width": "12 mm", "thickness": "3 mm", "pull": "60 N", "lasting_pull": "20 N", "pin": "12 mm", "hole": "4 mm""#,
    ),
    (
        "strap",
        r#""form": "wrap", "width": "12 mm", "thickness": "2 mm", "pull": "60 N", "pin": "60 mm", "wrap_angle": "540 deg", "tail": "2 N""#,
    ),
    (
        "strap",
        r#""form": "band", "width": "12 mm", "thickness": "2 mm", "free_diameter": "90 mm", "drum": "104 mm", "hold_torque": "1 N.m", "set_allowed": 0.3"#,
    ),
    (
        "knob",
        r#""rim_diameter": "80 mm", "hub_diameter": "26 mm", "hub_length": "20 mm", "shaft": "10 mm", "fixing": "press", "bore": "9.8 mm", "everyday_torque": "0.5 N.m", "turns_per_day": 10, "grip_force": "40 N", "spokes": 4, "spoke_width": "8 mm", "spoke_thickness": "6 mm""#,
    ),
    (
        "knob",
        r#""rim_diameter": "80 mm", "hub_diameter": "26 mm", "hub_length": "20 mm", "shaft": "10 mm", "fixing": "screw", "screw": "4 mm""#,
    ),
];

/// A case with the text it was read from.
struct Told {
    name: String,
    text: String,
    case: Case,
}

fn read(name: &str, text: &str) -> Case {
    let surfaces = ["old-brick".to_owned()];
    let beside = Beside {
        policy: &Policy::default(),
        properties: &Properties::default(),
        surfaces: &surfaces,
    };
    read_case(name, text, &[], beside).unwrap_or_else(|p| panic!("{name}: {p:#?}"))
}

/// The worked example of every part kind and every case of the demo.
static TOLD: LazyLock<Vec<Told>> = LazyLock::new(|| {
    let mut texts: Vec<(String, String)> = parts()
        .iter()
        .map(|k| (k.id.to_owned(), k.example.to_owned()))
        .collect();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    for entry in std::fs::read_dir(folder).expect("cases").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(entry.path()).expect("a case");
        texts.push((name, text));
    }
    texts.extend(OTHERS.iter().map(|(kind, inputs)| {
        let around = r#""temperature": "5..40 degC", "counterface": "steel-smooth""#;
        let text = format!(
            r#"{{ "format": "dutyfit.case/1", "part": "{kind}", "inputs": {{ {inputs} }}, "cycles": 20000, "surroundings": {{ {around} }} }}"#
        );
        (format!("{kind}: {inputs}"), text)
    }));
    texts.sort();
    texts
        .into_iter()
        .map(|(name, text)| Told {
            case: read(&name, &text),
            name,
            text,
        })
        .collect()
});

/// A material: where each property lies in its range, 0 to 1; none for one that was never tested.
#[derive(Clone, Debug)]
struct Material(BTreeMap<String, Option<f64>>);

fn material() -> impl Strategy<Value = Material> {
    let ids: Vec<String> = Properties::default()
        .iter()
        .map(|p| p.id.to_string())
        .collect();
    // One in eight has not been tested.
    let one = (0.0..1.0_f64, 0..8_u8).prop_map(|(u, n)| (n > 0).then_some(u));
    prop::collection::vec(one, ids.len())
        .prop_map(move |us| Material(ids.iter().cloned().zip(us).collect()))
}

/// Figures that fall, or sets that grow, as the life goes on.
const IN_TIME: &[&str] = &[
    "creep-modulus",
    "sustained-strength",
    "force-retained",
    "stretch-retained",
    "clamp-retained",
    "torque-retained",
];

impl Material {
    /// The figure of a property under the conditions of an ask.
    fn figure(&self, ask: &Ask, row: &Property) -> Option<f64> {
        let u = (*self.0.get(row.id.as_str())?)?;
        let (low, high) = row.plausible;
        let y = match row.scale {
            Scale::Log => low * (high / low).powf(u),
            Scale::Plain => low + u * (high - low),
        };
        // A set below nothing would be a piece that grew under its load.
        let y = y.clamp(row.ends().0, row.ends().1);
        let life = ask.life_h.unwrap_or(0.0);
        let aged = if IN_TIME.contains(&row.id.as_str()) {
            y * (1.0 + life).powf(-0.03)
        } else if row.id.as_str().ends_with("-set") {
            y + 0.5 * (1.0 + life).ln()
        } else {
            y
        };
        let warm = (1.0 - (ask.temperature_c - 38.0) / 200.0).clamp(0.1, 1.0);
        Some(if row.heat == Heat::Falls {
            aged * warm
        } else {
            aged
        })
    }

    /// One figure a need: of the first alternative that was tested.
    fn draw(&self, duty: &Duty, needs: &[Vec<usize>]) -> (Vec<f64>, Vec<u8>) {
        let table = Properties::default();
        needs
            .iter()
            .map(|alternatives| {
                (0_u8..)
                    .zip(alternatives)
                    .find_map(|(k, i)| {
                        let ask = &duty.asks[*i];
                        let row = table.get(ask.property.as_str())?;
                        Some((self.figure(ask, row)?, k))
                    })
                    .unwrap_or((f64::NAN, 0))
            })
            .unzip()
    }

    fn performs(&self, duty: &Duty, limit: &Limit) -> f64 {
        let (x, which) = self.draw(duty, &limit.needs);
        limit.performance.of(Inputs {
            x: &x,
            which: &which,
        })
    }

    /// How near a limit is to being met; more is nearer, and what cannot be said is furthest.
    fn nearness(&self, duty: &Duty, limit: &Limit) -> f64 {
        let y = self.performs(duty, limit);
        let near = |b: f64, y: f64| if b > 0.0 { y / b } else { y - b };
        let n = match limit.sense {
            LimitSense::AtLeast(b) => near(b, y),
            LimitSense::AtMost(b) => -near(b, y),
            LimitSense::Between(a, b) => near(a, y).min(-near(b, y)),
        };
        if n.is_nan() { f64::NEG_INFINITY } else { n }
    }
}

fn base(id: &str) -> &str {
    id.split('@').next().unwrap_or(id)
}

fn kinds_of(case: &Case) -> &'static str {
    case.part.kind()
}

/// A limit that came nearer though it must not: part kind, lever, limit, before and after.
type Nearer = (&'static str, String, String, f64, f64);

/// The limits that are nearer to being met in `after` than in `before`.
fn nearer(
    m: &Material,
    kind: &'static str,
    lever: &str,
    before: &Duty,
    after: &Duty,
) -> Vec<Nearer> {
    before
        .limits
        .iter()
        .filter_map(|l| {
            let now = after.limits.iter().find(|a| a.id == l.id)?;
            let (was, is) = (m.nearness(before, l), m.nearness(after, now));
            // Where neither is met and the bound moved, a ratio of figures below nothing says nothing.
            let below = was < 0.0 && is < 0.0 && matches!(l.sense, LimitSense::AtLeast(_));
            let rose = is > was + 1e-9 * was.abs().max(1e-9) && !below;
            rose.then(|| (kind, lever.to_owned(), base(&l.id).to_owned(), was, is))
        })
        .collect()
}

fn pushed(case: &Case, part: &dyn Part, setting: &Setting) -> Option<Duty> {
    // Past what the formulas cover it is refused, which brings nothing nearer.
    case.duty_with(part, setting).ok()
}

/// Every breach of the laws that this material shows in this case, with levers moved by `times`.
fn breaches(told: &Told, m: &Material, times: f64) -> Vec<Nearer> {
    let case = &told.case;
    let kind = kinds_of(case);
    let before = case
        .duty_with(case.part.as_ref(), &case.setting)
        .unwrap_or_else(|f| panic!("{}: {f:#?}", told.name));
    let mut found = Vec::new();
    for lever in case.part.levers() {
        let Lever { name, value, .. } = lever;
        let Some(part) = case.part.with_lever(name, value * times) else {
            continue;
        };
        let Some(more) = pushed(case, part.as_ref(), &case.setting) else {
            continue;
        };
        match lever.kind {
            LeverKind::Load => found.extend(nearer(m, kind, name, &before, &more)),
            LeverKind::Thickness => found.extend(nearer(m, kind, name, &more, &before)),
            LeverKind::Temperature | LeverKind::Life => {}
        }
    }
    let mut longer = case.setting.clone();
    longer.life_h *= times;
    if let Some(after) = pushed(case, case.part.as_ref(), &longer) {
        found.extend(nearer(m, kind, "life", &before, &after));
    }
    let mut often = case.setting.clone();
    often.cycles = Some(1e4);
    let seldom = pushed(case, case.part.as_ref(), &often);
    often.cycles = Some(1e4 * times);
    if let (Some(seldom), Some(often)) = (seldom, pushed(case, case.part.as_ref(), &often)) {
        found.extend(nearer(m, kind, "cycles", &seldom, &often));
    }
    found
}

fn excepted(n: &Nearer) -> bool {
    EXCEPTIONS
        .iter()
        .any(|(kind, lever, limit, _)| *kind == n.0 && *lever == n.1 && *limit == n.2)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn more_load_a_longer_life_and_more_cycles_never_help_and_thicker_never_harms(
        m in material(),
        times in 1.001..2.5_f64,
    ) {
        for told in TOLD.iter() {
            let found: Vec<Nearer> = breaches(told, &m, times)
                .into_iter()
                .filter(|n| !excepted(n))
                .collect();
            prop_assert!(found.is_empty(), "{}: {found:#?}", told.name);
        }
    }

    #[test]
    fn customary_and_metric_gravity_units_lead_to_the_same_limits_and_aims(m in material()) {
        for told in TOLD.iter() {
            let of = |case: &Case| case.duty_with(case.part.as_ref(), &case.setting).expect("a duty");
            let plain = of(&told.case);
            for units in [CUSTOMARY, GRAVITY] {
                let other = of(&read(&told.name, &rewritten(&told.text, units)));
                prop_assert_eq!(plain.limits.len(), other.limits.len());
                for (a, b) in plain.limits.iter().zip(&other.limits) {
                    prop_assert_eq!(&a.id, &b.id);
                    same(&told.name, &a.id, m.performs(&plain, a), m.performs(&other, b))?;
                    let ((a0, a1), (b0, b1)) = (ends(a.sense), ends(b.sense));
                    same(&told.name, &a.id, a0, b0)?;
                    same(&told.name, &a.id, a1, b1)?;
                }
                for (a, b) in plain.aims.iter().zip(&other.aims) {
                    let y = |duty: &Duty, aim: &dutyfit::duty::Aim| {
                        let (x, which) = m.draw(duty, &aim.needs);
                        aim.performance.of(Inputs { x: &x, which: &which })
                    };
                    same(&told.name, &a.id, y(&plain, a), y(&other, b))?;
                    same(&told.name, &a.id, a.scale.zero, b.scale.zero)?;
                    same(&told.name, &a.id, a.scale.one, b.scale.one)?;
                }
            }
        }
    }
}

#[test]
fn the_exceptions_are_all_there_are_and_each_is_one() {
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let mut seen: Vec<Nearer> = Vec::new();
    for k in 0..60 {
        let m = material()
            .new_tree(&mut runner)
            .expect("a material")
            .current();
        let times = [1.1, 1.5, 2.5][k % 3];
        for told in TOLD.iter() {
            seen.extend(breaches(told, &m, times));
        }
    }
    let others: BTreeSet<_> = seen
        .iter()
        .filter(|n| !excepted(n))
        .map(|n| (n.0, &n.1, &n.2))
        .collect();
    assert!(others.is_empty(), "{others:#?}");
    for e in EXCEPTIONS {
        assert!(
            seen.iter().any(|n| n.0 == e.0 && n.1 == e.1 && n.2 == e.2),
            "nothing shows the exception {e:?}"
        );
    }
}

fn ends(sense: LimitSense) -> (f64, f64) {
    match sense {
        LimitSense::AtLeast(b) | LimitSense::AtMost(b) => (b, b),
        LimitSense::Between(a, b) => (a, b),
    }
}

fn same(name: &str, id: &str, a: f64, b: f64) -> Result<(), TestCaseError> {
    let alike = (a.is_nan() && b.is_nan())
        || a.total_cmp(&b).is_eq()
        || (a - b).abs() <= 1e-9 * a.abs().max(1e-9);
    prop_assert!(alike, "{name} {id}: {a} and {b}");
    Ok(())
}

/// Units to write quantities in, the first that fits.
const CUSTOMARY: &[&str] = &[
    "in", "in^2", "in/min", "lbf", "lbf.in", "lbf/in", "psi", "degF",
];
const GRAVITY: &[&str] = &["cm", "cm2", "km/h", "kgf", "kgf.cm", "kgf/cm", "kgf/cm2"];

/// A case's text with every quantity of its inputs, surroundings and bounds in other units.
fn rewritten(text: &str, units: &[&str]) -> String {
    let mut case: Value = serde_json::from_str(text).expect("JSON");
    for part in ["inputs", "surroundings", "limits"] {
        if let Some(v) = case.get_mut(part) {
            rewrite(v, units);
        }
    }
    case.to_string()
}

fn rewrite(value: &mut Value, units: &[&str]) {
    match value {
        Value::Object(entries) => entries
            .iter_mut()
            // A plain case's bound stands in the unit beside it, and is read in it.
            .filter(|(k, _)| !["note", "unit", "counterface", "chemicals"].contains(&k.as_str()))
            .for_each(|(_, v)| rewrite(v, units)),
        Value::Array(all) => all.iter_mut().for_each(|v| rewrite(v, units)),
        Value::String(text) => {
            if let Some(other) = in_other(text, units) {
                *text = other;
            }
        }
        _ => {}
    }
}

fn in_other(text: &str, units: &[&str]) -> Option<String> {
    units.iter().find_map(|unit| {
        let target = Unit::parse(unit).ok()?;
        // A difference of temperatures is no temperature.
        if text.ends_with(" K") {
            return None;
        }
        let (low, high) = parse_span(text, &target, "x").ok()?;
        Some(if low < high {
            format!("{low}..{high} {unit}")
        } else {
            format!("{low} {unit}")
        })
    })
}

#[test]
fn quantities_are_written_in_other_units() {
    assert_eq!(in_other("25.4 mm", CUSTOMARY).as_deref(), Some("1 in"));
    assert_eq!(in_other("9.80665 N", GRAVITY).as_deref(), Some("1 kgf"));
    assert_eq!(in_other("20 K", CUSTOMARY), None);
    assert_eq!(in_other("steel-smooth", CUSTOMARY), None);
}

#[test]
fn every_part_kind_has_a_load_or_says_why_none() {
    // `plain` judges properties, and has no load that could be pushed.
    let without: Vec<&str> = TOLD
        .iter()
        .filter(|t| t.case.part.levers().is_empty())
        .map(|t| kinds_of(&t.case))
        .filter(|k| *k != "plain")
        .collect();
    assert!(without.is_empty(), "{without:?}");
}
