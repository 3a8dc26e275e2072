//! Duties as a user meets them: inputs in, limits and figures out.
#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test that cannot go on stops here"
)]

mod bolt_washer;
mod bounds;
mod cantilever_bracket;
mod clip;
mod factors;
mod handle_sleeve;
mod impact_guard;
mod kinds;
mod kinds_laws;
mod knob;
mod living_hinge;
mod plain;
mod plain_bushing;
mod protective_cap;
mod seal_ring;
mod sliding_pad;
mod small_gear;
mod snap_hook;
mod strap;
mod support_foot;
mod surroundings;
mod tool_handle;
mod vibration_pad;
mod wheel_tyre;
mod working;

use dutyfit::bench::Step;
use dutyfit::duty::{Case, Duty, Inputs, Limit, LimitSense, Performance, Setting, part};
use dutyfit::problem::Fault;
use std::collections::BTreeMap;

/// A case of a part kind with these inputs, at room temperature, nobody hurt.
pub(crate) fn case(kind: &str, inputs: &str) -> Case {
    Case {
        title: "test".to_owned(),
        note: String::new(),
        part: (part(kind).expect("part kind").read)(inputs).expect("inputs read"),
        setting: Setting::default(),
        limits: BTreeMap::new(),
        preference: None,
        not_about: Vec::new(),
        assumed: Vec::new(),
        defaults: Vec::new(),
    }
}

/// serde's message where the inputs cannot be read.
pub(crate) fn unread(kind: &str, inputs: &str) -> String {
    match (part(kind).expect("part kind").read)(inputs) {
        Ok(_) => panic!("`{inputs}` was read"),
        Err(f) => format!("{}: {}", f.path, f.message),
    }
}

/// The faults of a case that no formula covers.
pub(crate) fn faults(case: &Case) -> Vec<Fault> {
    case.duty().expect_err("refused")
}

pub(crate) fn codes(case: &Case) -> Vec<&'static str> {
    faults(case).into_iter().map(|f| f.code).collect()
}

/// Figures of one material by property id; the first alternative that has one is taken.
pub(crate) type Figures<'a> = &'a [(&'a str, f64)];

fn drawn(duty: &Duty, needs: &[Vec<usize>], figures: Figures<'_>) -> (Vec<f64>, Vec<u8>) {
    needs
        .iter()
        .map(|alternatives| {
            alternatives
                .iter()
                .enumerate()
                .find_map(|(k, i)| {
                    let id = duty.asks[*i].property.as_str();
                    let figure = figures.iter().find(|f| f.0 == id)?;
                    Some((figure.1, u8::try_from(k).expect("few alternatives")))
                })
                .unwrap_or((f64::NAN, 0))
        })
        .unzip()
}

pub(crate) fn worked(
    duty: &Duty,
    needs: &[Vec<usize>],
    performance: &Performance,
    figures: Figures<'_>,
) -> (f64, Vec<Step>) {
    let (x, which) = drawn(duty, needs, figures);
    performance.worked(Inputs {
        x: &x,
        which: &which,
    })
}

pub(crate) fn limit<'a>(duty: &'a Duty, id: &str) -> &'a Limit {
    duty.limits.iter().find(|l| l.id == id).unwrap_or_else(|| {
        let ids: Vec<&str> = duty.limits.iter().map(|l| l.id.as_str()).collect();
        panic!("no limit `{id}` among {ids:?}")
    })
}

/// A limit's performance for these figures.
pub(crate) fn performs(duty: &Duty, id: &str, figures: Figures<'_>) -> f64 {
    let l = limit(duty, id);
    worked(duty, &l.needs, &l.performance, figures).0
}

/// A step of a limit's working, by the words of its label and what it is.
pub(crate) fn step(duty: &Duty, id: &str, figures: Figures<'_>, what: &str) -> f64 {
    let l = limit(duty, id);
    let (_, steps) = worked(duty, &l.needs, &l.performance, figures);
    steps
        .iter()
        .rev()
        .find(|s| s.what == what)
        .unwrap_or_else(|| panic!("no step `{what}` among {steps:#?}"))
        .value
}

/// An aim's performance and its value, 0 to 1.
pub(crate) fn aimed(duty: &Duty, id: &str, figures: Figures<'_>) -> (f64, f64) {
    let aim = duty.aims.iter().find(|a| a.id == id).expect("aim");
    let y = worked(duty, &aim.needs, &aim.performance, figures).0;
    (y, aim.scale.value(y))
}

pub(crate) fn bound(limit: &Limit) -> f64 {
    match limit.sense {
        LimitSense::AtLeast(b) | LimitSense::AtMost(b) => b,
        LimitSense::Between(..) => panic!("`{}` has two bounds", limit.id),
    }
}

/// How many times better than its bound a limit is; below 1 it is missed.
pub(crate) fn margin(duty: &Duty, id: &str, figures: Figures<'_>) -> f64 {
    let l = limit(duty, id);
    let y = performs(duty, id, figures);
    match l.sense {
        LimitSense::AtLeast(b) => y / b,
        LimitSense::AtMost(b) => b / y,
        LimitSense::Between(a, b) => (y / a).min(b / y),
    }
}

/// The limit with the least margin.
pub(crate) fn governing(duty: &Duty, figures: Figures<'_>) -> String {
    duty.limits
        .iter()
        .min_by(|a, b| margin(duty, &a.id, figures).total_cmp(&margin(duty, &b.id, figures)))
        .expect("limits")
        .id
        .clone()
}

#[track_caller]
pub(crate) fn close(got: f64, wanted: f64, relative: f64) {
    assert!(
        (got - wanted).abs() <= relative * wanted.abs(),
        "got {got}, wanted {wanted} within {relative}"
    );
}
