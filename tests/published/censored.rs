//! Bounds and ranges against figures from outside: the likelihood's top, and the joint posterior of
//! mean and spread. Each case of `censored.json` names its source and status.

use crate::runs::{Bench, Missed, evidence, readings, stated};
use dutyfit::belief::Belief;
use dutyfit::num::censored::{NoTop, Span, likeliest, log_likelihood};
use dutyfit::policy::Policy;
use dutyfit::property::Ask;
use serde_json::Value;

fn cases(key: &str) -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("censored.json")).expect("JSON");
    let found = all[key].as_array().expect("a list").clone();
    assert!(!found.is_empty(), "no cases under {key}");
    found
}

fn num(v: &Value, key: &str) -> f64 {
    v[key].as_f64().unwrap_or(f64::NAN)
}

/// Rows `[lower, upper, count]` on the scale that the likelihood is asked on.
fn spans(c: &Value) -> Vec<Span> {
    let log = c["log"] == true;
    let end = |v: &Value, open: f64| v.as_f64().map_or(open, |y| if log { y.ln() } else { y });
    let rows = c["rows"].as_array().expect("rows");
    rows.iter()
        .map(|r| {
            let low = end(&r[0], f64::NEG_INFINITY);
            let high = end(&r[1], f64::INFINITY);
            Span::new(low, high, r[2].as_f64().unwrap_or(1.0)).expect("a reading")
        })
        .collect()
}

#[track_caller]
fn close(got: f64, want: f64, by: f64, what: &str) {
    assert!((got - want).abs() <= by, "{what}: {got} is not {want}");
}

/// To 1e-8 of the spread: four digits more than the promise of 1e-4.
#[test]
fn the_most_likely_normal_of_censored_samples() {
    for c in cases("likeliest") {
        for key in ["source", "status"] {
            assert!(
                c[key].as_str().is_some_and(|s| !s.is_empty()),
                "{}",
                c["id"]
            );
        }
        let rows = spans(&c);
        let f = likeliest(&rows).expect("a top");
        let says = |key: &str| format!("{} {key}", c["id"]);
        let sd = num(&c, "sd");
        close(f.mean, num(&c, "mean"), 1e-8 * sd, &says("mean"));
        close(f.sd, sd, 1e-8 * sd, &says("sd"));
        close(f.mean_se, num(&c, "mean_se"), 1e-7 * sd, &says("mean_se"));
        close(f.sd_se, num(&c, "sd_se"), 1e-7 * sd, &says("sd_se"));
        close(
            f.correlation,
            num(&c, "correlation"),
            1e-7,
            &says("correlation"),
        );
        let top = num(&c, "log_likelihood");
        close(f.log_likelihood, top, 1e-9 * top.abs(), &says("top"));
        close(
            log_likelihood(&rows, f.mean, f.sd),
            top,
            1e-9 * top.abs(),
            &says("likelihood"),
        );
    }
}

/// As printed by their sources.
#[test]
fn printed_fits_of_censored_samples() {
    let mut printed = 0;
    for c in cases("likeliest") {
        let Some(figures) = c["published"].as_object() else {
            continue;
        };
        let f = likeliest(&spans(&c)).expect("a top");
        let by = num(&c["published"], "abs_tol");
        for (name, want) in figures.iter().filter(|(name, _)| *name != "abs_tol") {
            let got = match name.as_str() {
                "mean" => f.mean,
                "sd" => f.sd,
                // Akaike's criterion of the readings themselves, not of their logarithms.
                "aic" => {
                    let jacobian: f64 = c["rows"]
                        .as_array()
                        .into_iter()
                        .flatten()
                        .filter(|r| r[0] == r[1])
                        .filter_map(|r| r[0].as_f64())
                        .map(f64::ln)
                        .sum();
                    4.0 - 2.0 * (f.log_likelihood - jacobian)
                }
                other => panic!("{other} is no figure of a fit"),
            };
            close(got, want.as_f64().expect("figure"), by, name);
            printed += 1;
        }
    }
    assert_eq!(printed, 3);
}

/// Nothing but bounds of one side: no figure may come out, and the side is named.
#[test]
fn samples_of_bounds_alone_have_no_top() {
    for c in cases("no_top") {
        let want = match c["why"].as_str() {
            Some("OnlyAtLeast") => NoTop::OnlyAtLeast,
            Some("OnlyAtMost") => NoTop::OnlyAtMost,
            other => panic!("{other:?}"),
        };
        assert_eq!(likeliest(&spans(&c)), Err(want), "{}", c["id"]);
    }
}

/// The belief of one posterior case: prints alike, and the property's default spread with these
/// degrees of freedom.
fn believed(c: &Value) -> Belief {
    let property = if c["property"] == "density" {
        "density"
    } else {
        "softening-onset"
    };
    let bench = Bench::new("a", property, &readings(&c["rows"]))
        .with(|b| b.resolution = c["resolution"].as_f64().unwrap_or(0.0));
    let policy = Policy {
        rho: 0.0,
        pool_floor: num(c, "prior_dof"),
        pool_cap: num(c, "prior_dof"),
        ..Policy::default()
    };
    let stated = stated(property, &c["stated"]);
    evidence(&[("a", "")], &[bench], &stated, policy).believe("a", &Ask::room(property))
}

/// Mean and next part to 1e-4 of the figure and 2e-3 of the interval's half width, the share of parts to
/// the latter.
#[test]
fn posteriors_of_censored_samples() {
    let mut missed = Missed::default();
    for c in cases("posterior") {
        let b = believed(&c);
        missed.check_case(&b, &c, 2e-3, 1e-4);
        let next = |k: usize| c["next"][k].as_f64().expect("figure");
        let most = b.share_bounds(0.9, 0.9).map(|s| s.0);
        let what = format!("{} most above", c["id"]);
        missed.check(
            &what,
            most,
            num(&c, "most_above"),
            1e-3 * (next(2) - next(0)),
        );
    }
    missed.none();
}
