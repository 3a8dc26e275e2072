//! Published decision matrices and closed-form shares of best, against a judgement of the same.
//!
//! Each matrix becomes a workshop of exact stated values, each criterion an aim of a `plain`
//! case; sources and statuses stand in `decision.json` beside each figure.

use crate::synthetic::{Shop, aim, of};
use dutyfit::duty::{Duty, Preference};
use dutyfit::judge::DRAWS;
use dutyfit::property::{Properties, Scale};
use serde::Deserialize;

#[derive(Deserialize)]
struct Set {
    weighted_sums: Vec<WeightedSum>,
    weight_regions: Vec<WeightRegion>,
    best_shares: Vec<BestShare>,
    order_weights: OrderWeights,
}

#[derive(Deserialize)]
struct Source {
    citation: String,
    status: String,
}

#[derive(Deserialize)]
struct Scores {
    of: Vec<String>,
    scores: Vec<f64>,
    tolerance: f64,
    status: String,
}

#[derive(Deserialize)]
struct Ranks {
    ranks: Vec<u32>,
    status: String,
}

#[derive(Deserialize)]
struct WeightedSum {
    id: String,
    alternatives: Vec<String>,
    matrix: Vec<Vec<f64>>,
    weights: Vec<f64>,
    zero: Vec<f64>,
    one: Vec<f64>,
    index: Vec<String>,
    scale: f64,
    published_scores: Vec<Scores>,
    published_ranks: Vec<Ranks>,
    recomputed_scores: Vec<f64>,
    recomputed_ranks: Vec<u32>,
    source: Vec<Source>,
}

#[derive(Deserialize)]
struct Row {
    coef: Vec<f64>,
    ge: f64,
}

#[derive(Deserialize)]
struct WeightRegion {
    id: String,
    alternatives: Vec<String>,
    matrix: Vec<Vec<f64>>,
    constraints: Vec<Row>,
    can_be_best: Vec<String>,
    pairwise_least: Vec<Vec<f64>>,
    source: Vec<Source>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Weights {
    Word(String),
    Fixed(Vec<f64>),
}

#[derive(Deserialize)]
struct BestShare {
    id: String,
    alternatives: Vec<String>,
    mean: Vec<Vec<f64>>,
    #[serde(default)]
    sd: Vec<Vec<f64>>,
    weights: Weights,
    first: Vec<f64>,
    source: Vec<Source>,
}

#[derive(Deserialize)]
struct OrderWeights {
    alternatives: Vec<String>,
    matrix: Vec<Vec<f64>>,
    scores: Vec<f64>,
    source: Vec<Source>,
}

fn set() -> Set {
    serde_json::from_str(include_str!("decision.json")).expect("decision.json")
}

/// An id of an alternative's name.
fn id(name: &str) -> String {
    name.to_lowercase().replace(' ', "-")
}

/// A workshop whose materials are the alternatives and whose properties `c1` ... are the criteria.
fn shop(alternatives: &[String], mean: &[Vec<f64>], sd: &[Vec<f64>]) -> Shop {
    let criteria = mean.first().map_or(0, Vec::len);
    let mut shop = Shop::with(criteria, Scale::Plain);
    for (a, (name, row)) in alternatives.iter().zip(mean).enumerate() {
        shop.material(&id(name));
        for (k, y) in row.iter().enumerate() {
            let spread = sd.get(a).and_then(|r| r.get(k)).copied().unwrap_or(0.0);
            shop.state(&id(name), &format!("c{}", k + 1), *y, spread);
        }
    }
    shop
}

/// An aim `c1`, `c2` ... for each criterion, from `zero` to `one`.
fn aims(criteria: usize, zero: f64, one: f64) -> Duty {
    let mut duty = Duty::default();
    for k in 1..=criteria {
        let id = format!("c{k}");
        aim(&mut duty, &id, &id, zero, one);
    }
    duty
}

fn points(weights: &[f64]) -> Preference {
    Preference::Points(
        weights
            .iter()
            .enumerate()
            .map(|(k, w)| (format!("c{}", k + 1), *w))
            .collect(),
    )
}

fn ranges(ends: impl Iterator<Item = (f64, f64)>) -> Preference {
    Preference::Ranges(
        ends.enumerate()
            .map(|(k, r)| (format!("c{}", k + 1), r))
            .collect(),
    )
}

fn order(criteria: usize) -> Preference {
    Preference::Order((1..=criteria).map(|k| vec![format!("c{k}")]).collect())
}

fn sourced(source: &[Source]) {
    assert!(!source.is_empty());
    for s in source {
        assert!(!s.citation.is_empty() && !s.status.is_empty());
    }
}

#[test]
fn published_matrices_are_ranked_as_their_sources_do() {
    for case in set().weighted_sums {
        sourced(&case.source);
        let aims: Vec<String> = (0..case.index.len())
            .map(|k| {
                format!(
                    r#"{{ "id": "c{}", "index": "{}", "zero": {}, "one": {}, "unit": "1" }}"#,
                    k + 1,
                    case.index[k],
                    case.zero[k],
                    case.one[k]
                )
            })
            .collect();
        let text = format!(r#"{{ "limits": [], "aims": [ {} ] }}"#, aims.join(", "));
        let shop = shop(&case.alternatives, &case.matrix, &[]);
        let duty = plain(&text, &shop);
        let judged = shop.judge(&duty, &points(&case.weights), 256);
        let score = |name: &str| case.scale * of(&judged, &id(name)).score;
        for p in &case.published_scores {
            assert!(!p.status.is_empty());
            for (name, want) in p.of.iter().zip(&p.scores) {
                let got = score(name);
                assert!(
                    (got - want).abs() <= p.tolerance,
                    "{} {name}: {got}, published {want} ({})",
                    case.id,
                    p.status
                );
            }
        }
        for (name, want) in case.alternatives.iter().zip(&case.recomputed_scores) {
            assert!(
                (score(name) - want).abs() < 1e-8 * case.scale,
                "{}",
                case.id
            );
        }
        let published = case.published_ranks.iter().map(|r| {
            assert!(!r.status.is_empty());
            &r.ranks
        });
        for ranks in published.chain([&case.recomputed_ranks]) {
            for (name, want) in case.alternatives.iter().zip(ranks) {
                assert_eq!(
                    of(&judged, &id(name)).rank,
                    Some(*want),
                    "{} {name}",
                    case.id
                );
            }
        }
    }
}

/// The duty of a `plain` case with these inputs, among the properties of a workshop.
fn plain(inputs: &str, shop: &Shop) -> Duty {
    let part = (dutyfit::duty::part("plain").expect("the part kind").read)(inputs).expect(inputs);
    let setting = dutyfit::duty::Setting {
        properties: Properties::with_own(&shop.own),
        ..dutyfit::duty::Setting::default()
    };
    let mut duty = Duty::default();
    part.limits(&setting, &mut duty).expect(inputs);
    duty
}

/// The mean of an order's weights is the rank-order centroid, so the mean score is the score
/// with those weights.
#[test]
fn an_order_scores_as_the_rank_order_centroid() {
    let case = set().order_weights;
    sourced(&case.source);
    let shop = shop(&case.alternatives, &case.matrix, &[]);
    let judged = shop.judge(&aims(6, 0.0, 100.0), &order(6), DRAWS);
    for (name, want) in case.alternatives.iter().zip(&case.scores) {
        let c = of(&judged, &id(name));
        let off = (100.0 * c.score - want).abs();
        assert!(off < 400.0 * c.score_se && off < 0.8, "{name}: {off}");
    }
}

#[test]
fn shares_of_best_are_those_of_the_closed_forms() {
    for case in set().best_shares {
        sourced(&case.source);
        let criteria = case.mean[0].len();
        // Uncertain values may pass 0 and 1: a wider scale moves all scores alike.
        let (zero, one) = if case.sd.is_empty() {
            (0.0, 1.0)
        } else {
            (-2.0, 3.0)
        };
        let preference = match &case.weights {
            Weights::Fixed(w) => points(w),
            Weights::Word(w) if w == "order" => order(criteria),
            Weights::Word(_) => ranges((0..criteria).map(|_| (0.0, 1.0))),
        };
        let shop = shop(&case.alternatives, &case.mean, &case.sd);
        let judged = shop.judge(&aims(criteria, zero, one), &preference, DRAWS);
        for (name, want) in case.alternatives.iter().zip(&case.first) {
            let got = of(&judged, &id(name)).best_share;
            // 4.5 standard errors of a share over all draws: one false alarm in 150 000.
            let within = 4.5 * (want * (1.0 - want) / DRAWS as f64).sqrt() + 1e-9;
            assert!(
                (got - want).abs() <= within,
                "{} {name}: {got}, closed form {want}",
                case.id
            );
        }
        let total: f64 = judged.candidates.iter().map(|c| c.best_share).sum();
        assert!((total + judged.nothing_serves - 1.0).abs() < 1e-9);
    }
}

#[test]
fn the_weight_region_says_who_can_be_best_and_who_dominates() {
    for case in set().weight_regions {
        sourced(&case.source);
        let criteria = case.matrix[0].len();
        let (preference, floor) = stated(&case.constraints, criteria);
        // An order with a floor f under every weight is w = f + (1 - n f) u with u in the order
        // alone, so values f sum(v) + (1 - n f) v_k under u say the same.
        let matrix: Vec<Vec<f64>> = case
            .matrix
            .iter()
            .map(|row| {
                let sum: f64 = row.iter().sum();
                let left = 1.0 - floor * criteria as f64;
                row.iter().map(|v| floor * sum + left * v).collect()
            })
            .collect();
        let shop = shop(&case.alternatives, &matrix, &[]);
        let top = matrix.iter().flatten().copied().fold(1.0, f64::max);
        let judged = shop.judge(&aims(criteria, 0.0, top), &preference, 256);
        for (i, a) in case.alternatives.iter().enumerate() {
            let can = judged.region.can_be_best.contains(&id(a));
            assert_eq!(can, case.can_be_best.contains(a), "{} {a}", case.id);
            assert_ne!(can, judged.region.never_best.contains(&id(a)));
            for (k, b) in case.alternatives.iter().enumerate() {
                let (least, most) = (case.pairwise_least[i][k], -case.pairwise_least[k][i]);
                let want = i != k && least >= -1e-12 && most > 1e-12;
                let found = judged.region.dominates.contains(&(id(a), id(b)));
                assert_eq!(found, want, "{} {a} {b}", case.id);
            }
        }
        assert_eq!(judged.region.left_out, 0);
    }
}

/// The preference that constraints state, and the floor under every weight.
fn stated(constraints: &[Row], criteria: usize) -> (Preference, f64) {
    if constraints.is_empty() {
        return (ranges((0..criteria).map(|_| (0.0, 1.0))), 0.0);
    }
    let floor = constraints
        .iter()
        .filter(|c| c.coef.iter().filter(|x| x.abs() > 0.0).count() == 1)
        .map(|c| c.ge)
        .fold(0.0, f64::max);
    (order(criteria), floor)
}
