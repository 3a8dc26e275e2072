//! How answers look, on a made-up judgement.

mod fixture;

use dutyfit::advise::{UseLimit, Want, margin};
use dutyfit::duty::LeverKind;
use dutyfit::judge::Standing::{Borderline, Fit, NotKnown, RuledOut};
use dutyfit::policy::{Class, Policy};
use dutyfit::quantity::Reading;
use dutyfit::render::Page;
use fixture::Fixture;
use std::cmp::Ordering;

const PAGE: Page = Page {
    width: 80,
    colour: false,
};

#[track_caller]
fn short(f: &mut Fixture) -> String {
    let text = f.shortlist(|s| s.text(PAGE));
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "wider than the page: {line}");
    }
    let before = text
        .lines()
        .take_while(|l| !l.starts_with("CAUTION, damage"))
        .count();
    assert!(before <= 24, "{before} lines before the cautions:\n{text}");
    text
}

#[track_caller]
fn says(text: &str, what: &str) {
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(what), "`{what}` is not in:\n{text}");
}

#[track_caller]
fn never_says(text: &str, what: &str) {
    assert!(!text.contains(what), "`{what}` is in:\n{text}");
}

#[test]
fn the_first_line_answers_in_a_sentence() {
    let text = short(&mut Fixture::with(&[Fit, Borderline, NotKnown, RuledOut]));
    assert!(
        text.starts_with("Use m-00: 97 of 100 next washers take 4 N.m and keep 300 N"),
        "{text}"
    );
    says(&text, "for 5 years. [invented demo]");
    says(&text, "m-01 comes near, 1 is ruled out and 1 is not known.");
    says(
        &text,
        "clamp load left 575 N (needs 300), from 3 specimens of 1 print",
    );
    says(&text, "ahead on cost: 24 per kg, m-01 has 38 per kg");
}

#[test]
fn the_rest_is_counted_by_cause() {
    let mut standings = vec![Fit, Fit, Borderline];
    standings.extend([NotKnown; 6]);
    standings.extend([RuledOut; 9]);
    let mut f = Fixture::with(&standings);
    assert_eq!(
        f.wants(),
        [Want::NoRun {
            test: "bolted-washer".to_owned()
        }]
    );
    let text = short(&mut f);
    says(
        &text,
        "Ruled out: 9 creep away under the bolt (best 9.14 N of 300)",
    );
    says(&text, "Not known: 6 lack a bolted-washer run");
    // Three of the not known are named, the others only counted.
    says(&text, "m-05 not known");
    never_says(&text, "m-06");
    never_says(&text, "m-09");
}

#[test]
fn thirty_fit_materials_still_fit_the_page_and_the_rest_is_counted() {
    let text = short(&mut Fixture::with(&[Fit; 30]));
    let shown = text.lines().filter(|l| l.contains(" fit  ")).count();
    assert!(shown >= 8, "{text}");
    says(&text, &format!("and {} more, with --all", 30 - shown));
    let mut f = Fixture::with(&[Fit; 30]);
    let all = f.shortlist(|s| dutyfit::render::Shortlist { all: true, ..*s }.text(PAGE));
    says(&all, "m-29");
}

#[test]
fn nothing_fit_says_so_first_and_names_what_would_change_it() {
    let mut f = Fixture::with(&[Borderline, NotKnown, RuledOut]);
    f.turn = Some(UseLimit {
        lever: "torque".to_owned(),
        kind: LeverKind::Load,
        now: 4.0,
        fit_now: false,
        limit: Some(3.1),
        open: false,
        unit: "N.m".to_owned(),
        ended_by: None,
        then: None,
        refused: None,
    });
    let text = short(&mut f);
    assert!(
        text.starts_with("Nothing is fit. m-00 comes nearest"),
        "{text}"
    );
    says(&text, "clamp load left 468 N, at least 300 N asked");
    says(
        &text,
        "It would be fit with torque 3.1 N.m in place of 4 N.m.",
    );

    let open = short(&mut Fixture::with(&[NotKnown, RuledOut]));
    says(
        &open,
        "What would settle it: clamp load left wants 2 specimens of bolted-washer (45 degC), 40 min.",
    );
}

#[test]
fn severe_cautions_stand_above_the_answer_and_the_others_last() {
    for (all, working) in [(false, false), (true, false), (false, true)] {
        let mut f = Fixture::with(&[Fit, RuledOut]).severe();
        let text = f.shortlist(|s| dutyfit::render::Shortlist { all, working, ..*s }.text(PAGE));
        assert!(
            text.starts_with("CAUTION, severe: What safety-joint says"),
            "{text}"
        );
        let answer = text.find("Use m-00").unwrap();
        let damage = text
            .find("CAUTION, damage: What washer-retorque says")
            .unwrap();
        let note = text.find("Note: What prototype says").unwrap();
        assert!(answer < damage && damage < note);
        assert!(text.trim_end().ends_with("(prototype)."), "{text}");
        says(&text, "Ask somebody who knows.");
    }
}

#[test]
fn a_declined_case_says_so_before_any_caution() {
    let mut f = Fixture::with(&[Fit]).severe().declined();
    let text = short(&mut f);
    let declined = text.find("DECLINED").unwrap();
    let severe = text.find("CAUTION, severe").unwrap();
    assert!(declined < severe, "{text}");
}

#[test]
fn a_bound_is_shown_as_one_and_never_as_an_interval() {
    let mut f = Fixture::with(&[Fit, RuledOut]);
    let l = &mut f.judgement.candidates[0].limits[0];
    l.bounded = Some(Reading::AtLeast(450.0));
    l.chance_as_exact = Some(0.96);
    assert_eq!(l.shown_chance(), Some(Reading::AtLeast(0.96)));
    let m = margin(l).unwrap();
    assert_eq!((m.factor, m.at), (Some(1.5), Ordering::Greater));
    let json: serde_json::Value = serde_json::from_str(&f.shortlist(|s| s.json(1))).unwrap();
    let limit = &json["candidates"][0]["limits"][0];
    assert_eq!(
        limit["predicted"],
        serde_json::json!({ "low": 450.0, "median": null, "high": null, "bound": "at_least" })
    );
    assert_eq!(limit["chance"], 0.96);
    assert!(limit["chance_se"].is_null());

    // Of a bound that shows too little nobody knows the chance, and the margin is at most so much.
    let l = &mut f.judgement.candidates[0].limits[0];
    l.bounded = Some(Reading::AtMost(450.0));
    l.chance_as_exact = Some(1.0);
    assert_eq!(l.shown_chance(), None);
    assert_eq!(margin(l).unwrap().at, Ordering::Less);
}

#[test]
fn a_declined_case_gives_no_pick_and_no_margin() {
    let mut f = Fixture::with(&[Fit]).declined();
    for text in [
        short(&mut f),
        f.shortlist(|s| s.markdown()),
        f.shortlist(|s| s.json(1)),
    ] {
        never_says(&text, "m-00");
        never_says(&text, "575");
        says(&text, "vehicle-structure");
        says(&text, "somebody who knows");
        says(&text, "Is the part in the hub of a vehicle?");
    }
    assert!(short(&mut f).starts_with("No material is picked"));
    says(&short(&mut f), "DECLINED: What vehicle-structure says");
    says(
        &short(&mut f),
        "\"not_about\": [{\"caution\": \"vehicle-structure\", \"word\": \"hub\"",
    );
}

#[test]
fn an_answered_doubt_and_a_looser_policy_are_repeated() {
    let mut f = Fixture::with(&[Fit]).answered();
    let mut policy = Policy::default();
    policy.classes[Class::Damage as usize].chance = 0.8;
    f.evidence = dutyfit::belief::Evidence::new(
        Vec::new(),
        Vec::new(),
        Vec::new(),
        policy,
        dutyfit::property::Properties::default(),
    );
    let text = short(&mut f);
    says(
        &text,
        "Not about vehicle-structure: \"hub\" is here a hose reel.",
    );
    assert!(
        text.starts_with("Policy looser than usual: damage chance 0.8 in place of 0.9"),
        "{text}"
    );
    let json = f.shortlist(|s| s.json(1));
    says(&json, "\"because\": \"a hose reel\"");
    says(&json, "\"policy_loosened\": [ {");
}

#[test]
fn weights_stand_beside_their_swings_and_defaults_are_printed() {
    let text = short(&mut Fixture::with(&[Fit, Fit, Borderline]));
    says(
        &text,
        "Weights (of the case): hold 0.61 (300 to 900 N), cost 0.39 (60 to 15 per kg)",
    );
    says(
        &text,
        "m-00 or m-01 can be first within the allowed weights; m-02 never.",
    );
    says(&text, "Assumed in the case: storage");
    says(&text, "Taken by default: moisture room, sun none");
}

#[test]
fn text_from_files_cannot_reach_the_terminal_or_the_page() {
    let mut f = Fixture::with(&[Fit]).answered();
    f.case.not_about[0].because = "\u{1b}[2Ja <script>|reel|".to_owned();
    f.case.assumed = vec!["bell\u{7}".to_owned()];
    f.case.title = "# a *title*".to_owned();
    let text = f.shortlist(|s| s.text(PAGE));
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()));
    let page = f.shortlist(|s| s.markdown());
    assert!(page.chars().all(|c| c == '\n' || !c.is_control()));
    never_says(&page, "<script>");
    says(&page, "\\<script\\>\\|reel\\|");
    says(&page, "# \\# a \\*title\\*");
}

#[test]
fn colour_moves_no_line_break() {
    let mut f = Fixture::with(&[Fit, Borderline, NotKnown, RuledOut]).severe();
    let plain = f.shortlist(|s| s.text(PAGE));
    let coloured = f.shortlist(|s| {
        s.text(Page {
            colour: true,
            ..PAGE
        })
    });
    assert_ne!(plain, coloured);
    assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
}

#[test]
fn a_narrow_page_is_kept_to() {
    for width in [40, 60, 120] {
        let text = Fixture::with(&[Fit, Borderline, NotKnown, RuledOut]).shortlist(|s| {
            s.text(Page {
                width,
                colour: false,
            })
        });
        for line in text.lines() {
            assert!(line.chars().count() <= width, "wider than {width}: {line}");
        }
    }
}

#[test]
fn drawn_figures_have_four_digits_and_what_cannot_be_said_is_null() {
    let mut f = Fixture::with(&[Fit, RuledOut]);
    f.judgement.candidates[0].limits[0].predicted = None;
    f.judgement.candidates[0].limits[0].chance = None;
    f.judgement.candidates[0].meets_all = None;
    let json: serde_json::Value = serde_json::from_str(&f.shortlist(|s| s.json(7))).unwrap();
    assert_eq!(json["format"], "dutyfit.shortlist/1");
    assert_eq!(json["demo"], true);
    assert_eq!(json["seed"], 7);
    assert_eq!(json["nothing_serves"], 0.01235);
    let first = &json["candidates"][0];
    assert_eq!(first["standing"], "fit");
    assert_eq!(first["score"], 0.6852);
    assert!(first["meets_all"].is_null());
    assert!(first["limits"][0]["predicted"].is_null());
    assert!(first["limits"][0]["chance"].is_null());
    assert_eq!(first["limits"][0]["sense"], "at_least");
    assert_eq!(first["limits"][0]["needed"], 300.0);
    assert_eq!(first["limits"][1]["chance"], 0.9789);
    let second = &json["candidates"][1];
    assert_eq!(second["standing"], "ruled out");
    assert!(second["rank"].is_null());
    assert!(second["rank_range"].is_null());
    assert_eq!(second["reasons"][0]["kind"], "ruled-out-by");
}
