//! Reasons, what is wanted, how far a use can be pushed, and what a material is good for.

use crate::synthetic::{Shop, aim, limit, of};
use dutyfit::advise::{Reason, UseLimit, fitness, limits_of_use, reasons, turning_input};
use dutyfit::duty::{
    Case, Duty, Lever, LeverKind, Limit, LimitSense, Part, Performance, Preference, Setting,
};
use dutyfit::judge::{DRAWS, Judgement, Standing};
use dutyfit::policy::Class;
use dutyfit::problem::Fault;
use dutyfit::property::{Ask, Lies, Moisture, Properties, PropertyId, Scale};
use dutyfit::quantity::Reading;
use std::collections::BTreeMap;

fn exact(readings: &[f64]) -> Vec<Reading> {
    readings.iter().map(|y| Reading::Exact(*y)).collect()
}

/// A strap that hangs a load: stress = load / thickness against the property `c1`.
#[derive(Clone, Debug)]
struct Strap {
    load_n: f64,
    thickness_mm: f64,
}

/// Thinnest strap that the formula covers, mm.
const THINNEST_MM: f64 = 0.25;

impl Part for Strap {
    fn kind(&self) -> &'static str {
        "strap"
    }
    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        if self.thickness_mm < THINNEST_MM {
            return Err(vec![Fault::new(
                "duty::too-thin",
                "a strap so thin is a film",
                "write a thicker strap",
            )]);
        }
        let mut ask = Ask::of(PropertyId::own("c1"));
        ask.temperature_c = setting.temperature_c.1;
        let need = vec![vec![duty.ask(ask)]];
        let stress = self.load_n / self.thickness_mm;
        duty.limits.push(Limit {
            id: "tear".to_owned(),
            title: "reserve against tearing".to_owned(),
            failure: "tears",
            class: Class::Nuisance,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs: need,
            performance: Performance::new(move |i, _| i.x[0] / stress),
            source: "made up",
        });
        Ok(())
    }
    fn levers(&self) -> Vec<Lever> {
        vec![
            Lever {
                name: "load",
                kind: LeverKind::Load,
                value: self.load_n,
                unit: "N",
            },
            Lever {
                name: "thickness",
                kind: LeverKind::Thickness,
                value: self.thickness_mm,
                unit: "mm",
            },
        ]
    }
    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>> {
        let mut other = self.clone();
        match name {
            "load" => other.load_n = value,
            "thickness" => other.thickness_mm = value,
            _ => return None,
        }
        Some(Box::new(other))
    }
    fn inputs(&self) -> serde_json::Value {
        serde_json::Value::Null
    }
}

/// A strap of a material of exactly 20 MPa at 23 degC.
fn strap(load_n: f64, thickness_mm: f64) -> Vec<UseLimit> {
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    shop.state("m", "c1", 20.0, 0.0);
    let case = Case {
        title: "strap".to_owned(),
        note: String::new(),
        part: Box::new(Strap {
            load_n,
            thickness_mm,
        }),
        setting: Setting {
            properties: Properties::with_own(&shop.own),
            ..Setting::default()
        },
        limits: BTreeMap::new(),
        preference: None,
        not_about: Vec::new(),
        assumed: Vec::new(),
        defaults: Vec::new(),
    };
    limits_of_use(&case, &shop.evidence(), "m", 1)
}

#[track_caller]
fn lever<'a>(all: &'a [UseLimit], name: &str) -> &'a UseLimit {
    all.iter().find(|u| u.lever == name).expect("a lever")
}

#[track_caller]
fn ends(u: &UseLimit, at: f64) {
    let limit = u.limit.expect("an end");
    assert!((limit / at - 1.0).abs() < 1e-3, "{u:?}");
}

#[test]
fn a_fit_strap_is_pushed_to_where_it_tears() {
    let all = strap(10.0, 1.0);
    let load = lever(&all, "load");
    assert!(load.fit_now && !load.open);
    ends(load, 20.0);
    assert_eq!(load.ended_by.as_deref(), Some("tear"));
    ends(lever(&all, "thickness"), 0.5);
    // The value at the end is itself fit.
    assert!(load.limit <= Some(20.0));
    // Nothing in the strap depends on its life.
    let life = lever(&all, "life");
    assert!(life.open && life.limit > Some(life.now));
    assert_eq!(life.ended_by, None);
    ends(life, 100.0 * 8_766.0);
    assert!(
        matches!(load.then, Some((Standing::RuledOut, _))),
        "{load:?}"
    );
    // A figure counts within 15 K of the temperature it was taken at, here 23 degC.
    ends(lever(&all, "temperature"), 38.0);
    assert_eq!(format!("{all:?}"), format!("{:?}", strap(10.0, 1.0)));
}

#[test]
fn a_formula_that_ends_first_says_so() {
    let all = strap(1.0, 1.0);
    let thickness = lever(&all, "thickness");
    ends(thickness, THINNEST_MM);
    assert_eq!(thickness.ended_by, None);
    assert_eq!(
        thickness.refused.as_deref(),
        Some("a strap so thin is a film")
    );
}

#[test]
fn a_strap_that_tears_is_eased_until_it_holds() {
    let all = strap(30.0, 1.0);
    let load = lever(&all, "load");
    assert!(!load.fit_now);
    ends(load, 20.0);
    ends(lever(&all, "thickness"), 1.5);
    assert_eq!(load.ended_by.as_deref(), Some("tear"));
    // No colder and no shorter use helps.
    assert_eq!(lever(&all, "temperature").limit, None);
    assert_eq!(lever(&all, "life").limit, None);
    let turn = turning_input(&all).expect("an input that helps");
    assert!(turn.lever == "load" || turn.lever == "thickness");
}

fn points(of: &[(&str, f64)]) -> Preference {
    Preference::Points(of.iter().map(|(id, p)| ((*id).to_owned(), *p)).collect())
}

fn of_material<'a>(judged: &Judgement, all: &'a [Vec<Reason>], id: &str) -> &'a [Reason] {
    let place = judged.candidates.iter().position(|c| c.material == id);
    &all[place.expect("judged")]
}

#[test]
fn a_placing_is_told_by_what_decides_it() {
    let mut shop = Shop::with(3, Scale::Log);
    for (id, strength, hold, cost) in [
        ("first", 30.0, 18.0, 1.5),
        ("second", 30.0, 10.0, 1.5),
        ("third", 30.0, 6.0, 1.4),
        ("weak", 8.0, 18.0, 1.0),
    ] {
        shop.material(id);
        shop.read(
            id,
            "c1",
            &exact(&[strength, 1.02 * strength, 0.98 * strength]),
        );
        shop.read(id, "c2", &exact(&[hold, 1.01 * hold, 0.99 * hold, hold]));
        shop.read(id, "c3", &exact(&[cost, 1.01 * cost]));
    }
    let mut duty = Duty::default();
    limit(&mut duty, "c1", LimitSense::AtLeast(16.0), Class::Damage);
    aim(&mut duty, "hold", "c2", 5.0, 40.0);
    aim(&mut duty, "cost", "c3", 2.0, 1.0);
    let judged = shop.judge(&duty, &points(&[("hold", 60.0), ("cost", 40.0)]), DRAWS);
    let told = reasons(&duty, &judged, &shop.evidence());
    assert!(told.iter().all(|r| (1..=3).contains(&r.len())), "{told:?}");

    let first = of_material(&judged, &told, "first");
    let decides = first.iter().find_map(|r| match r {
        Reason::Aim {
            aim,
            here,
            there,
            against,
            middle,
            gain,
            ..
        } => Some((
            aim.as_str(),
            *here,
            *there,
            against.as_deref(),
            *middle,
            *gain,
        )),
        _ => None,
    });
    let (aim, here, there, against, middle, gain) = decides.expect("an aim decides");
    assert_eq!((aim, against), ("hold", Some("second")));
    assert!((here - 18.0).abs() < 0.5 && there.is_some_and(|x| (x - 10.0).abs() < 0.5));
    assert!(middle.is_some_and(|x| (x - 10.0).abs() < 0.5));
    // 8 of the 35 from just acceptable to enough, at a weight of 0.6.
    assert!((gain - 0.137).abs() < 0.01, "{gain}");
    // Costs are equal and decide nothing.
    assert!(
        !first
            .iter()
            .any(|r| matches!(r, Reason::Aim { aim, .. } if aim == "cost"))
    );

    let weak = of_material(&judged, &told, "weak");
    let Reason::RuledOutBy {
        limit,
        failure,
        predicted,
        needed,
        factor,
        ..
    } = &weak[0]
    else {
        panic!("{weak:?}");
    };
    assert_eq!((limit.as_str(), failure.as_str()), ("limit-1", "gives way"));
    assert!(predicted.is_some_and(|x| (x.as_exact() - 8.0).abs() < 0.3));
    assert!((needed - 16.0).abs() < 1e-12);
    assert!(factor.is_some_and(|f| (f - 2.0).abs() < 0.1));
}

#[test]
fn what_is_wanted_is_a_test_under_the_conditions_of_the_use() {
    let mut shop = Shop::with(0, Scale::Log);
    shop.material("m");
    let mut duty = Duty::default();
    let ask = Ask::room("tensile-strength")
        .lying(Lies::Across)
        .moist(Moisture::Wet)
        .at(60.0);
    let need = duty.ask(ask);
    let friction = duty.ask(Ask::room("static-friction").on("painted-wood"));
    for (id, need) in [("hot-strength", need), ("slides", friction)] {
        duty.limits.push(Limit {
            id: id.to_owned(),
            title: id.to_owned(),
            failure: "breaks",
            class: Class::Injury,
            sense: LimitSense::AtLeast(0.1),
            unit: "1".to_owned(),
            needs: vec![vec![need]],
            performance: Performance::new(|i, _| i.x[0]),
            source: "made up",
        });
    }
    let judged = shop.judge(&duty, &points(&[]), 256);
    assert_eq!(of(&judged, "m").standing, Standing::NotKnown);
    let told = reasons(&duty, &judged, &shop.evidence());
    type Want<'a> = (Option<&'a str>, &'a [String], u32, Option<f64>);
    let wants: Vec<Want<'_>> = told[0]
        .iter()
        .map(|r| match r {
            Reason::Wants {
                test,
                condition,
                specimens,
                minutes,
                ..
            } => (test.as_deref(), condition.as_slice(), *specimens, *minutes),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        wants,
        [
            (
                Some("tensile"),
                &["across".to_owned(), "60 degC".to_owned(), "wet".to_owned()][..],
                3,
                Some(25.0)
            ),
            (
                Some("static-friction"),
                &["painted-wood".to_owned()][..],
                3,
                Some(15.0)
            ),
        ]
    );
    let good = fitness("m", &shop.evidence(), &[("bracket".to_owned(), &judged)]);
    assert_eq!(good.cases.len(), 1);
    let missing: Vec<&str> = good.missing.iter().map(|m| m.test.as_str()).collect();
    assert_eq!(missing, ["static-friction", "tensile"]);
    assert_eq!(good.missing[0].cases, ["bracket"]);
}

#[test]
fn strengths_are_told_on_measured_figures_only() {
    let mut shop = Shop::with(1, Scale::Log);
    for (k, y) in [10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0]
        .iter()
        .enumerate()
    {
        let id = format!("m{k}");
        shop.material(&id);
        shop.read(&id, "c1", &exact(&[*y, 1.01 * y]));
    }
    // Stated, not measured: neither told nor counted.
    shop.material("sheet");
    shop.state("sheet", "c1", 99.0, 0.1);
    let evidence = shop.evidence();
    let of = |id: &str| fitness(id, &evidence, &[]).strengths;
    let best = of("m7");
    assert_eq!(best.len(), 1);
    assert!(best[0].best);
    assert_eq!((best[0].place, best[0].of), (1, 8));
    assert!((best[0].median - 24.0).abs() < 0.5);
    assert!(of("m6")[0].best && !of("m1")[0].best && !of("m0")[0].best);
    assert_eq!(of("m0")[0].place, 8);
    assert!(of("m4").is_empty() && of("sheet").is_empty());
}
