//! Which way to print, and what it gains: judged with the same draws, and changing no other figure.

use crate::support::dutyfit;
use serde_json::Value as Json;

fn shortlist(args: &[&str]) -> Json {
    dutyfit(&[&["shortlist"], args, &["--format", "json"]].concat()).json()
}

fn of<'a>(list: &'a Json, material: &str) -> &'a Json {
    list.as_array()
        .and_then(|a| a.iter().find(|c| c["material"] == material))
        .unwrap_or_else(|| panic!("{material} is not in {list}"))
}

fn way<'a>(direction: &'a Json, lies: &str) -> &'a Json {
    let has = |w: &&Json| {
        w["lies"]
            .as_array()
            .is_some_and(|l| l.contains(&lies.into()))
    };
    let ways = direction["ways"].as_array().expect("ways");
    ways.iter().find(has).expect("a way")
}

/// A washer that stands has no evidence across its layers; lying flat it has.
#[test]
fn where_another_way_turns_a_standing_it_is_said_with_what_it_gains() {
    let among = [
        "greenhouse-washer",
        "--demo",
        "--among",
        "petg-c,pacf-b,tpu-85-a",
    ];
    let upright = shortlist(&[&among[..], &["--set", "lies=upright"]].concat());
    let direction = &upright["direction"];
    assert_eq!(direction["lies"], "upright");
    assert_eq!(direction["best"], "flat");
    let flat = way(direction, "flat");
    let first = flat["materials"][0]["material"].as_str().expect("an id");
    assert_eq!(of(&flat["materials"], first)["standing"], "fit");
    assert_eq!(of(&upright["candidates"], first)["standing"], "not known");
    let text = direction["text"].as_str().expect("a sentence");
    for said in [
        "lying flat, as the washers of the bench runs are, the way that its bench runs speak of",
        "which says nothing against printing it so",
        first,
        "fit (",
        "is not known (",
        "across",
    ] {
        assert!(text.contains(said), "{said} is not in {text}");
    }
    // What is judged on the way is what the case itself comes to when it lies so.
    let lying = shortlist(&[&among[..], &["--set", "lies=flat"]].concat());
    for c in flat["materials"].as_array().expect("materials") {
        let id = c["material"].as_str().unwrap_or_default();
        let own = of(&lying["candidates"], id);
        assert_eq!(c["meets_all"], own["meets_all"], "{id}");
        assert_eq!(c["standing"], own["standing"], "{id}");
    }
    // The case that lies so already has nothing to be told.
    assert_eq!(lying["direction"]["text"], Json::Null);
}

#[test]
fn where_it_makes_no_difference_one_line_says_so() {
    let args = [
        "bench-foot",
        "--demo",
        "--among",
        "tpu-85-a,petg-c",
        "--set",
        "lies=open",
    ];
    let json = shortlist(&args);
    assert_eq!(
        json["direction"]["best"],
        Json::Null,
        "{}",
        json["direction"]
    );
    let text = dutyfit(&[&["shortlist"], &args[..]].concat()).out;
    assert!(
        text.contains("Print direction: how it lies on the bed makes no difference"),
        "{text}"
    );
    let again = dutyfit(&[&["shortlist"], &args[..]].concat()).out;
    assert_eq!(text, again, "the same seed gives the same bytes");
}

/// A hook holds either way, and its root has twice the room where it bends in the layers.
#[test]
fn where_only_the_room_differs_it_is_said_which_way_has_more() {
    let args = [
        "snap-hook",
        "--demo",
        "--among",
        "pla-a,pom-a",
        "--set",
        "lies=open",
    ];
    let json = shortlist(&args);
    assert_eq!(json["direction"]["best"], "flat");
    let text = json["direction"]["text"].as_str().expect("a sentence");
    assert!(
        text.contains("has more room (strain that the root takes"),
        "{text}"
    );
    let upright = shortlist(&[&args[..4], &["--set", "lies=upright"]].concat());
    assert_eq!(
        upright["direction"]["text"],
        Json::Null,
        "it is no reason to say more"
    );
}

#[test]
fn one_candidate_is_told_its_own_direction() {
    let args = [
        "check",
        "greenhouse-washer",
        "petg-c",
        "--demo",
        "--set",
        "lies=upright",
    ];
    let text = dutyfit(&args).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Print direction: petg-c is fit"), "{text}");
    let json = dutyfit(&[&args[..], &["--format", "json"]].concat()).json();
    for w in json["direction"]["ways"].as_array().expect("ways") {
        assert_eq!(w["materials"].as_array().map(Vec::len), Some(1));
    }
}

/// `plain` says of each limit itself how its load lies.
#[test]
fn a_part_kind_without_ways_has_no_direction() {
    let json = shortlist(&["cloche-clip", "--demo", "--among", "petg-c"]);
    assert_eq!(json["direction"], Json::Null);
}
