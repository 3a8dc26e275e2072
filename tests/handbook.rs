//! A maker without a catalog: an order, exclusions and the test to run by published ranges, never a fit.

use crate::support::{Bench, dutyfit};
use dutyfit::belief::{Evidence, Grade};
use dutyfit::catalog::{Beside, Catalog, Origin, Source, load_catalog, read_case};
use dutyfit::duty::{Case, Preference, part, parts};
use dutyfit::judge::{Cause, Judgement, Request, Standing, judge};
use dutyfit::property::{Ask, Direction, Properties, PropertyId, handbook_range, polymers};
use dutyfit::quantity::Reading;
use std::collections::BTreeSet;

/// Enough to tell a standing; what is judged here is never near a requirement.
const FEW_DRAWS: usize = 1_024;

fn handbook() -> Catalog {
    load_catalog(&Source::Handbook, None).expect("the handbook")
}

fn judged(evidence: &Evidence, case: &Case) -> Option<Judgement> {
    let duty = case.duty().ok()?;
    let among: Vec<String> = evidence.materials().iter().map(|m| m.id.clone()).collect();
    Some(judge(&Request {
        duty: &duty,
        evidence,
        among: &among,
        preference: duty
            .preference
            .as_ref()
            .unwrap_or(&Preference::Order(Vec::new())),
        seed: 1,
        draws: FEW_DRAWS,
    }))
}

fn example(text: &str) -> Case {
    let catalog = handbook();
    let beside = Beside {
        policy: &catalog.policy,
        properties: &Properties::default(),
        surfaces: &[],
    };
    read_case("worked example", text, &[], beside).expect("a worked example")
}

#[test]
fn every_polymer_is_a_candidate_and_every_range_says_how_well_it_is_known() {
    let catalog = handbook();
    assert_eq!(catalog.origin, Origin::Handbook);
    assert!(
        !catalog
            .problems
            .iter()
            .any(|p| p.severity == dutyfit::problem::Severity::Error)
    );
    assert!(catalog.runs.is_empty(), "nothing is measured");
    let candidates: BTreeSet<&str> = catalog.materials.iter().map(|m| m.id.as_str()).collect();
    let table: BTreeSet<&str> = polymers().iter().map(|p| p.id).collect();
    assert_eq!(candidates, table);
    assert!(table.len() >= 19);
    let properties = Properties::default();
    for s in &catalog.stated {
        let at = format!("{:?} {} {:?}", s.polymer, s.property, s.value);
        assert!(s.material.is_none(), "{at}");
        assert!(
            ["from memory, not verified", "verified in source"]
                .iter()
                .any(|status| s.source.contains(status)),
            "{at}: {}",
            s.source
        );
        let Reading::Between(low, high) = s.value else {
            panic!("{at} is no range");
        };
        assert!(low < high, "{at}");
        let row = properties.get(s.property.as_str()).expect("a property");
        let here = s.condition.temperature_c.total_cmp(&23.0).is_eq();
        assert!(
            !here || (row.plausible.0 <= low && high <= row.plausible.1),
            "{at}"
        );
    }
}

/// What is plausible at all is wider than what is common.
#[test]
fn no_range_leaves_what_is_plausible_of_its_polymer() {
    for s in &handbook().stated {
        let (Some(polymer), Reading::Between(low, high)) = (&s.polymer, s.value) else {
            continue;
        };
        let common = s.condition.temperature_c.total_cmp(&23.0).is_eq()
            && s.condition.moisture == dutyfit::property::Moisture::Room
            // The plausible ranges are those of moulded parts and of prints lying flat.
            && s.condition.direction != Some(Direction::Across)
            && s.property.as_str() != "price";
        let whole = handbook_range(std::slice::from_ref(polymer), "", s.property.as_str());
        if let (true, Some(r)) = (common, whole) {
            assert!(
                r.low <= low && high <= r.high,
                "{polymer} {}: {low}..{high} of {}..{}",
                s.property,
                r.low,
                r.high
            );
        }
    }
}

#[test]
fn a_range_is_an_opinion_of_the_mean_with_a_twenty_fifth_on_either_side() {
    let evidence = handbook().evidence();
    for (property, low, high) in [
        ("yield-strength", 38.0, 52.0),
        ("softening-onset", 62.0, 74.0),
    ] {
        let b = evidence.believe("petg", &Ask::of(PropertyId::own(property)));
        assert_eq!(b.grade, Grade::Borrowed);
        for (end, share) in [(low, 0.0416), (high, 0.9584)] {
            let q = b.mean_quantile(share).expect("a quantile");
            assert!((q / end - 1.0).abs() < 0.004, "{property}: {q} for {end}");
        }
    }
}

#[test]
fn a_range_is_carried_to_heat_and_cold_and_only_gets_wider_and_worse() {
    let evidence = handbook().evidence();
    let ask = |p: &'static str, t: f64| {
        let b = evidence.believe("pp", &Ask::room(p).at(t).after(1_000.0));
        b.mean_quantile(0.05).zip(b.mean_quantile(0.95))
    };
    let creep = |t| ask("creep-modulus", t);
    let (room, warm) = (creep(23.0).expect("room"), creep(55.0).expect("warm"));
    assert!(warm.0 < room.0 && warm.1 < room.1, "{room:?} {warm:?}");
    assert_eq!(creep(-5.0).map(|x| x.0 > 0.99 * room.0), Some(true));
    assert!(
        creep(120.0).is_none(),
        "nothing is left above the softening"
    );
    let (tough, cold) = (
        ask("impact-notched", 23.0).expect("room"),
        ask("impact-notched", -20.0).expect("cold"),
    );
    assert!(cold.0 < 0.8 * tough.0);
    let (slip, hot) = (
        ask("kinetic-friction", 23.0).expect("room"),
        ask("kinetic-friction", 60.0).expect("hot"),
    );
    assert!(hot.0 < slip.0 && slip.1 < hot.1);
}

#[test]
fn nothing_is_ever_fit_by_the_handbook_and_every_part_kind_gets_an_order_and_a_test() {
    let evidence = handbook().evidence();
    for kind in parts() {
        let case = example(kind.example);
        let Some(judgement) = judged(&evidence, &case) else {
            continue;
        };
        let all = &judgement.candidates;
        assert!(
            all.iter()
                .all(|c| matches!(c.standing, Standing::NotKnown | Standing::RuledOut)),
            "{}: something is fit or nearly so by ranges alone",
            kind.id
        );
        for c in all.iter().filter(|c| c.standing == Standing::RuledOut) {
            let least = c.limits.iter().filter_map(|l| l.chance).fold(1.0, f64::min);
            assert!(least < 0.05, "{} {}: {least}", kind.id, c.material);
        }
        let first = all.first().expect("a candidate");
        if first.standing == Standing::NotKnown {
            assert!(
                matches!(
                    first.causes.first(),
                    Some(Cause::Borrowed { .. } | Cause::Absent { .. })
                ),
                "{}: {:?}",
                kind.id,
                first.causes.first()
            );
        }
    }
}

#[test]
fn in_an_empty_folder_a_maker_gets_an_order_exclusions_and_the_one_test() {
    let washer = part("bolt-washer").expect("a part kind");
    let bench = Bench::new().file("my-case.json", washer.example);
    let case = bench.path("my-case.json").display().to_string();
    for name in [case.as_str(), "bolt-washer"] {
        let ran = dutyfit(&["shortlist", name, "--handbook"]).exits(1);
        let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for said in [
            "Nothing is proven. ",
            " looks nearest",
            "Print it and run bolted-washer",
            "it settles the clamp load left",
            "[handbook ranges, no measured material]",
            "After it in order: ",
            "ruled out by their ranges",
        ] {
            assert!(text.contains(said), "{said} is not in {text}");
        }
        assert!(!text.contains("-a "), "no material of the demo: {text}");
    }
    let json = dutyfit(&["shortlist", "bolt-washer", "--handbook", "--format", "json"]).json();
    assert_eq!(json["handbook"], true);
    assert_eq!(json["demo"], false);
}

#[test]
fn the_status_of_each_range_stands_where_the_figure_is_explained() {
    let why = dutyfit(&["show", "petg", "--why", "yield-strength", "--handbook"]).exits(0);
    assert!(why.out.contains("38 to 52 MPa"), "{}", why.out);
    assert!(why.out.contains("from memory, not"), "{}", why.out);
    assert!(why.out.contains("[handbook ranges"), "{}", why.out);
    let json = dutyfit(&["show", "petg", "--handbook", "--format", "json"]).json();
    let ranges = json["ranges"].as_array().expect("ranges");
    assert!(ranges.len() > 20);
    assert!(
        ranges
            .iter()
            .all(|r| r["status"].as_str().is_some_and(|s| s.len() > 20))
    );
    let shown = dutyfit(&["show", "petg", "--handbook"]).exits(0);
    assert!(shown.out.contains("of no product"), "{}", shown.out);
    let sheet = dutyfit(&["sheet", "--handbook", "--among", "petg,pla"]).exits(0);
    assert!(sheet.out.contains("2 borrowed"), "{}", sheet.out);
}

#[test]
fn a_polymer_is_asked_by_its_id_and_a_near_name_is_told() {
    let ran = dutyfit(&["check", "bolt-washer", "petg", "--handbook"]).exits(1);
    assert!(
        ran.out.contains("It is not known whether petg serves"),
        "{}",
        ran.out
    );
    let near = dutyfit(&["check", "bolt-washer", "pet-g", "--handbook"]).exits(2);
    assert!(near.err.contains("`petg`"), "{}", near.err);
}

#[test]
fn where_the_handbook_cannot_serve_it_is_refused_with_the_reason() {
    for (args, code) in [
        (
            &["shortlist", "bolt-washer", "--demo"][..],
            "usage::demo-and-handbook",
        ),
        (
            &["shortlist", "bolt-washer", "--catalog", "x"],
            "usage::handbook-and-catalog",
        ),
        (&["rig-check"], "usage::handbook-not-here"),
        (&["compare", "petg", "pla"], "usage::handbook-not-here"),
        (&["lint"], "usage::handbook-not-here"),
        (&["reduce", "x.csv"], "usage::handbook-not-here"),
        (&["form", "tensile"], "usage::handbook-not-here"),
        (
            &["set-aside", "r-1", "--reason", "dusty"],
            "usage::handbook-writes",
        ),
        (&["rename", "petg", "x"], "usage::handbook-writes"),
    ] {
        let ran = dutyfit(&[args, &["--handbook"]].concat()).exits(2);
        assert!(ran.err.contains(code), "{args:?}: {}", ran.err);
    }
    let none = dutyfit(&["shortlist", "bolt-washer", "--catalog", "nowhere"]).exits(2);
    assert!(
        none.err.contains("--demo") && none.err.contains("--handbook"),
        "{}",
        none.err
    );
}

#[test]
fn directions_are_kept_apart_in_the_handbook() {
    for s in &handbook().stated {
        if s.property.as_str() == "tensile-strength" {
            assert!(matches!(
                s.condition.direction,
                Some(Direction::Flat | Direction::Across)
            ));
        }
    }
}
