//! What holds for every row of the registry of part kinds.

use dutyfit::catalog::{Beside, read_case};
use dutyfit::duty::{AIMS, Case, EVERY_PART, PartKind, parts};
use dutyfit::policy::Policy;
use dutyfit::property::{Ask, Heat, Properties, builtin};

/// The worked example of a part kind.
fn example(kind: &PartKind) -> Case {
    let beside = Beside {
        policy: &Policy::default(),
        properties: &Properties::default(),
        surfaces: &[],
    };
    read_case(kind.id, kind.example, &[], beside).unwrap_or_else(|p| panic!("{}: {p:#?}", kind.id))
}

#[test]
fn every_worked_example_leads_to_limits_it_lists_and_says_that_its_inputs_are_assumed() {
    for kind in parts() {
        let case = example(kind);
        let duty = case
            .duty()
            .unwrap_or_else(|f| panic!("{}: {f:#?}", kind.id));
        assert!(duty.limits.len() >= 2, "{}", kind.id);
        for limit in &duty.limits {
            let base = limit.id.split('@').next().unwrap_or_default();
            let listed = kind
                .limits
                .iter()
                .find(|l| l.0 == base)
                .or_else(|| EVERY_PART.iter().find(|l| base.starts_with(l.0)));
            assert!(
                kind.id == "plain" || listed.is_some_and(|l| l.1 == limit.unit),
                "{}: `{}` in {}",
                kind.id,
                limit.id,
                limit.unit
            );
            assert!(!limit.source.is_empty() && !limit.failure.is_empty());
            assert!(limit.needs.iter().flatten().all(|i| *i < duty.asks.len()));
        }
        for aim in &duty.aims {
            assert!(
                kind.id == "plain" || AIMS.iter().any(|a| a.id == aim.id),
                "{}",
                aim.id
            );
        }
        let inputs = case.part.inputs();
        for name in inputs.as_object().into_iter().flat_map(|o| o.keys()) {
            assert!(
                case.assumed.contains(name),
                "{}: `{name}` is not in `assumed`",
                kind.id
            );
        }
        for (id, _) in kind.limits {
            assert!(
                kind.formulas.iter().any(|f| f.limit == *id),
                "{}: no formula tells `{id}`",
                kind.id
            );
        }
    }
}

#[test]
fn where_stiffer_is_worse_what_falls_with_heat_is_asked_so_and_elsewhere_not() {
    const WORSE: &[(&str, &[&str])] = &[
        ("clip", &["opening-force"]),
        ("impact-guard", &["force", "deceleration"]),
        ("living-hinge", &["fold-torque"]),
        ("protective-cap", &["push-on"]),
        ("seal-ring", &["bolt-load"]),
        ("snap-hook", &["push-in"]),
        ("vibration-pad", &["passed-on", "isolates", "resonance"]),
    ];
    for kind in parts() {
        let worse = WORSE
            .iter()
            .find(|w| w.0 == kind.id)
            .map_or(&[][..], |w| w.1);
        let mut case = example(kind);
        case.setting.temperature_c = (-25.0, 23.0);
        let duty = case
            .duty()
            .unwrap_or_else(|f| panic!("{}: {f:#?}", kind.id));
        for limit in &duty.limits {
            let base = limit.id.split('@').next().unwrap_or_default();
            let asks = || limit.needs.iter().flatten().map(|i| &duty.asks[*i]);
            let falls = |a: &&Ask| {
                builtin()
                    .iter()
                    .any(|p| p.id == a.property && p.heat == Heat::Falls)
            };
            let so = asks().filter(|a| a.stiffer_is_worse).count();
            let wanted = if worse.contains(&base) {
                asks().filter(falls).count()
            } else {
                0
            };
            assert_eq!(so, wanted, "{}: {}", kind.id, limit.id);
            assert!(wanted > 0 || !worse.contains(&base), "{}", limit.id);
        }
    }
}

#[test]
fn every_lever_moves_the_input_it_names() {
    for kind in parts() {
        let case = example(kind);
        for lever in case.part.levers() {
            let moved = case.part.with_lever(lever.name, 0.9 * lever.value);
            let now = moved.and_then(|m| m.levers().into_iter().find(|l| l.name == lever.name));
            assert!(
                now.is_some_and(|n| (n.value - 0.9 * lever.value).abs() < 1e-9),
                "{}: {}",
                kind.id,
                lever.name
            );
        }
        assert!(case.part.with_lever("no such input", 1.0).is_none());
    }
}

/// Every input says why it is asked: `describe` tells it to whoever wonders.
#[test]
fn every_input_says_why_it_is_asked_and_what_it_is() {
    for kind in parts() {
        let schema = (kind.schema)();
        let inputs = schema.get("properties").and_then(|p| p.as_object());
        for (name, about) in inputs.into_iter().flatten() {
            let text = |key: &str| about.get(key).and_then(|t| t.as_str()).unwrap_or_default();
            assert!(text("description").ends_with('.'), "{}: {name}", kind.id);
            if name == "note" {
                continue;
            }
            let why = text("why");
            assert!(why.len() > 10, "{}: `{name}` says no why", kind.id);
            assert!(
                !why.ends_with('.') && !why.contains('\n'),
                "{}: {name}",
                kind.id
            );
            assert!(
                why.starts_with(|c: char| c.is_lowercase() || !c.is_alphabetic()),
                "{}: `{name}` begins a sentence: {why}",
                kind.id
            );
        }
    }
}
