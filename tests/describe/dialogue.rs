//! What is asked, what is taken, and what each answer leads to.

use super::{Talk, case};
use dutyfit::describe::{Noticed, OnEnter, Reply, common_keys, kinds_called, kinds_near};
use dutyfit::duty::parts;
use serde_json::Value;

/// The common rows and the schema of a case file name the same entries.
#[test]
fn every_entry_that_all_cases_have_is_asked() {
    let ran = crate::support::dutyfit(&["schema", "case"]).exits(0).json();
    let rows: Vec<&str> = common_keys().collect();
    let names = |at: &str| -> Vec<String> {
        let all = ran.pointer(at).and_then(Value::as_object);
        let all = all.unwrap_or_else(|| panic!("no {at}"));
        all.keys().cloned().collect()
    };
    let not_asked = [
        "format",
        "part",
        "inputs",
        "surroundings",
        "harm",
        "limits",
        "weights",
        "not_about",
        "assumed",
        "title",
    ];
    for name in names("/properties") {
        assert!(
            not_asked.contains(&name.as_str()) || rows.contains(&name.as_str()),
            "`{name}` is an entry of a case, and `describe` does not ask for it"
        );
    }
    for (home, def) in [("surroundings", "SurroundingsJson"), ("harm", "Harm")] {
        for name in names(&format!("/$defs/{def}/properties")) {
            let key = format!("{home}.{name}");
            assert!(
                name == "note" || rows.contains(&key.as_str()),
                "`{key}` is not asked"
            );
        }
    }
}

#[test]
fn every_part_kind_can_be_described_with_enter_alone_and_says_what_was_assumed() {
    for kind in parts().iter().filter(|k| k.id != "plain") {
        let text = Talk::about(kind.id).written();
        let case = case(&text);
        let duty = case
            .duty()
            .unwrap_or_else(|f| panic!("{}: {f:#?}", kind.id));
        assert!(duty.limits.len() >= 2, "{}", kind.id);
        let value: Value = serde_json::from_str(&text).unwrap();
        let inputs = value["inputs"].as_object().unwrap();
        for name in inputs.keys() {
            assert!(case.assumed.contains(name), "{}: {name}", kind.id);
        }
        let schema = (kind.schema)();
        let required = schema.get("required").and_then(|r| r.as_array()).cloned();
        for name in required.unwrap_or_default() {
            assert!(
                inputs.contains_key(name.as_str().unwrap()),
                "{}: {name}",
                kind.id
            );
        }
        // What was written is read back the same.
        let again: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(again, value);
    }
}

#[test]
fn every_question_has_an_example_or_a_list_and_says_why() {
    for kind in parts().iter().filter(|k| k.id != "plain") {
        let mut talk = Talk::about(kind.id);
        while talk.asked().name() != "id" {
            let q = talk.asked().clone();
            assert!(!q.why.is_empty(), "{}: {}", kind.id, q.key);
            assert!(!q.example.is_empty(), "{}: {} {q:?}", kind.id, q.key);
            assert_ne!(q.on_enter, OnEnter::Nothing, "{}: {}", kind.id, q.key);
            talk = talk.say(if q.key == "finer" { "yes" } else { "" });
        }
    }
}

#[test]
fn a_bare_number_is_refused_with_the_unit_that_it_may_want_and_any_unit_that_fits_is_kept() {
    let mut talk = Talk::about("support-foot").say("feet").asks("mass");
    let r = talk.refused("80");
    assert_eq!(r.code, "unit::missing");
    assert!(r.fix.contains("`80 kg`"), "{r:?}");
    let r = talk.refused("80 mm");
    assert!(r.code.starts_with("unit::"), "{r:?}");
    let text = talk.say("80000 g").written();
    assert!(text.contains("\"mass\": \"80000 g\""), "{text}");
}

#[test]
fn only_what_applies_is_asked() {
    let keys = |shape: &str| {
        let mut talk = Talk::about("support-foot").enter_to("shape").say(shape);
        let mut keys = Vec::new();
        while talk.asked().name() != "temperature" {
            keys.push(talk.asked().name().to_owned());
            let text = if talk.asked().name() == "finer" {
                "yes"
            } else {
                ""
            };
            talk = talk.say(text);
        }
        keys
    };
    let (disc, ring, block) = (keys("disc"), keys("ring"), keys("block"));
    let has = |k: &[String], n: &str| k.iter().any(|k| k == n);
    assert!(has(&disc, "diameter") && !has(&disc, "inner_diameter") && !has(&disc, "length"));
    assert!(has(&ring, "diameter") && has(&ring, "inner_diameter") && !has(&ring, "width"));
    assert!(has(&block, "length") && has(&block, "width") && !has(&block, "diameter"));
    // The mass was given for all feet together.
    assert!(!has(&disc, "mass_per_foot"), "{disc:?}");
    assert!(has(&disc, "slope"), "{disc:?}");
}

#[test]
fn one_of_two_inputs_may_stand_for_the_other() {
    let talk = Talk::about("support-foot").say("feet").asks("mass");
    assert_eq!(talk.asked().instead, ["mass_per_foot"]);
    let mut talk = talk.say("skip").asks("mass_per_foot");
    // Now it is the last that is left.
    assert_eq!(talk.refused("skip").code, "describe::needs-answer");
    let text = talk.say("20 kg").written();
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["inputs"]["mass_per_foot"], "20 kg");
    assert!(value["inputs"].get("mass").is_none());
}

#[test]
fn words_are_taken_by_their_beginning_or_their_number_or_told_with_the_nearest() {
    let talk = || Talk::about("support-foot").enter_to("shape");
    let taken = |text: &str, word: &str| {
        let mut talk = talk();
        let reply = talk.0.answer(text);
        let noticed = vec![Noticed::TakenAs(word.to_owned())];
        assert_eq!(reply, Reply::Next(noticed), "{text}");
    };
    taken("2", "ring");
    taken("bl", "block");
    taken("Disc", "disc");
    let r = talk().refused("rnig");
    assert!(r.fix.contains("`ring`"), "{r:?}");
    let r = talk().refused("square");
    assert!(r.fix.contains("`disc`, `ring` or `block`"), "{r:?}");
}

#[test]
fn what_is_not_known_is_assumed_and_marked() {
    let mut talk = Talk::about("support-foot").say("feet");
    let reply = talk.0.answer("don't know");
    assert_eq!(
        reply,
        Reply::Next(vec![Noticed::Assumed("40 kg".to_owned())])
    );
    let mut talk = talk.enter_to("temperature");
    assert_eq!(
        talk.0.answer("I do not know"),
        Reply::Next(vec![Noticed::Assumed("23 degC".to_owned())])
    );
    let text = talk.written();
    let case = case(&text);
    assert!(case.assumed.contains(&"mass".to_owned()));
    assert!(case.assumed.contains(&"temperature".to_owned()));
    assert!(text.contains("\"temperature\": \"23 degC\""), "{text}");
}

#[test]
fn back_and_change_lead_to_earlier_answers_and_enter_keeps_them() {
    let talk = Talk::about("support-foot")
        .say("feet")
        .say("80 kg")
        .asks("feet");
    let talk = talk.say("back").asks("mass");
    assert_eq!(talk.asked().on_enter, OnEnter::Keep("80 kg".to_owned()));
    let talk = talk.say("").asks("feet").say("4").say("ring");
    let talk = talk.say("30 mm").say("12 mm").asks("height");
    let mut talk = talk.say("change shape").asks("shape");
    // The bore belongs to a ring, and goes with it.
    assert_eq!(
        talk.0.answer("disc"),
        Reply::Next(vec![Noticed::Dropped("inner_diameter".to_owned())])
    );
    let mut talk = talk.asks("height");
    assert_eq!(talk.refused("change hight").code, "describe::unknown-name");
    let r = talk.refused("change hieght");
    assert!(r.fix.contains("`height`"), "{r:?}");
    assert_eq!(talk.refused("change part").code, "describe::part-stays");
    let text = talk.say("10 mm").written();
    assert!(
        text.contains("\"mass\": \"80 kg\"") && !text.contains("inner"),
        "{text}"
    );
}

#[test]
fn the_first_question_has_none_before_it() {
    let mut talk = Talk::about("support-foot");
    assert_eq!(talk.refused("back").code, "describe::first-question");
    // Where the part was asked, that is the one before.
    let talk = Talk::about("").asks("part").say("feet").asks("title");
    talk.say("back").asks("part").say("washer").asks("title");
}

#[test]
fn what_does_not_go_together_is_told_and_asked_again() {
    let mut talk = Talk::about("support-foot").enter_to("height").say("10 mm");
    talk = talk.enter_to("sag");
    let r = talk.refused("12 mm");
    assert_eq!(r.code, "duty::sag-of-all");
    // Which of several answers is wrong nobody can know: it is asked.
    let mut talk = Talk::about("support-foot").enter_to("push").say("300 N");
    talk = talk.say("900 mm").say("250 mm").enter_to("finer");
    let r = talk.refused("no");
    assert_eq!(r.code, "duty::tips-over");
    let talk = talk.asks("mend").say("push").asks("push").say("20 N");
    talk.asks("temperature");
}

#[test]
fn why_tells_which_limits_an_answer_moves() {
    let mut talk = Talk::about("support-foot").enter_to("height");
    let Reply::Why(effect) = talk.0.answer("?") else {
        panic!("no why");
    };
    assert!(
        effect.limits.iter().any(|l| l.starts_with("sag")),
        "{effect:?}"
    );
    assert!(
        !effect.limits.iter().any(|l| l.contains("hold")),
        "{effect:?}"
    );
    assert!(effect.aims.contains(&"lower cost".to_owned()), "{effect:?}");
    let mut talk = talk.enter_to("sun");
    let Reply::Why(effect) = talk.0.answer("?") else {
        panic!("no why");
    };
    assert!(!effect.cautions.is_empty(), "{effect:?}");
    let mut talk = talk.enter_to("hurts");
    let Reply::Why(effect) = talk.0.answer("?") else {
        panic!("no why");
    };
    assert!(effect.limits.len() >= 3, "{effect:?}");
}

#[test]
fn a_clear_word_declines_at_once_and_a_doubtful_one_is_asked_about() {
    let mut talk = Talk::about("bolt-washer");
    match talk.0.answer("spacer in a climbing harness") {
        Reply::Declined(d) => {
            assert_eq!(d.caution.id, "fall-arrest");
            assert!(!d.caution.ask.is_empty());
        }
        other => panic!("{other:?}"),
    }
    let mut talk = Talk::about("bolt-washer").say("spacer for climbing beans");
    assert!(talk.asked().ask.ends_with('?'), "{:?}", talk.asked());
    assert_eq!(talk.refused("perhaps").code, "describe::not-yes-or-no");
    assert!(matches!(talk.0.answer("yes"), Reply::Declined(_)));
    let talk = Talk::about("bolt-washer").say("spacer for climbing beans");
    let mut talk = talk.say("no");
    assert_eq!(talk.asked().example, "clip for climbing beans");
    assert_eq!(talk.refused("").code, "describe::needs-answer");
    let text = talk.say("beans on a trellis").written();
    let case = case(&text);
    assert_eq!(case.not_about.len(), 1);
    assert_eq!(case.not_about[0].because, "beans on a trellis");
    assert!(case.duty().unwrap().declined.is_none());
}

#[test]
fn swings_become_points_or_an_order_or_stay_as_is_usual() {
    let talk = || Talk::about("support-foot").enter_to("weights");
    let asked = talk().say("points").asks("weights.grip");
    let swing = asked.asked().swing.clone().expect("a swing");
    assert_eq!(swing.title, "more grip");
    let mut asked = asked;
    assert_eq!(asked.refused("120").code, "describe::points");
    let text = asked.say("10").say("100").written();
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["weights"]["points"]["grip"], 10);
    assert_eq!(value["weights"]["points"]["stiffness"], 100);
    let mut asked = talk().say("order");
    assert_eq!(
        asked.refused("cost, grip, cost").code,
        "describe::aim-twice"
    );
    assert_eq!(asked.refused("costs a lot").code, "describe::unknown-word");
    let text = asked.say("cost, grip = weight").written();
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        value["weights"]["order"],
        serde_json::json!([["cost"], ["grip", "weight"]])
    );
    let text = talk().say("usual").written();
    assert!(!text.contains("weights"), "{text}");
}

#[test]
fn no_points_at_all_are_asked_again() {
    let mut talk = Talk::about("support-foot")
        .enter_to("weights")
        .say("points");
    loop {
        match talk.0.answer("0") {
            Reply::Next(_) => {}
            Reply::Again(r) => {
                assert_eq!(r.code, "weights::all-zero");
                break;
            }
            other => panic!("{other:?}"),
        }
    }
    talk.asks("weights").say("usual").asks("id");
}

#[test]
fn plain_words_find_the_part() {
    let ids = |text: &str| -> Vec<&str> { kinds_called(text).iter().map(|k| k.id).collect() };
    assert_eq!(ids("bolt washer"), ["bolt-washer"]);
    assert_eq!(ids("a washer"), ["bolt-washer"]);
    assert_eq!(ids("feet"), ["support-foot"]);
    assert!(ids("bolt-wascher").is_empty());
    let near = |text: &str| -> Vec<&str> { kinds_near(text).iter().map(|k| k.id).collect() };
    assert_eq!(near("bolt-wascher"), ["bolt-washer"]);
    assert_eq!(near("hok"), ["cantilever-bracket", "snap-hook"]);
    assert!(near("zeppelin").is_empty());
    assert_eq!(ids("glide for a drawer"), ["sliding-pad"]);
    assert!(ids("zeppelin").is_empty());
    let known: Vec<&str> = parts().iter().map(|p| p.id).collect();
    for (word, kind) in [
        ("gasket", "seal-ring"),
        ("wheel", "wheel-tyre"),
        ("bumper", "impact-guard"),
        ("o-ring", "seal-ring"),
        ("latch", "snap-hook"),
        ("cog", "small-gear"),
        ("hinge", "living-hinge"),
    ] {
        if known.contains(&kind) {
            assert!(ids(word).contains(&kind), "{word}: {:?}", ids(word));
        }
    }
}

#[test]
fn a_plain_case_takes_bounds_in_words() {
    let mut talk = Talk::about("plain").say("a lid").asks("limits.1.property");
    let r = talk.refused("tensile-strenght");
    assert!(r.fix.contains("tensile-strength"), "{r:?}");
    let mut talk = talk.say("density").asks("limits.1.bound");
    assert_eq!(talk.refused("1.2 g/cm3").code, "describe::which-side");
    assert_eq!(talk.refused("at most 1.2").code, "unit::missing");
    let talk = talk.say("between 0.9 and 1.3 g/cm3").say("yes");
    // A property with a better side takes it.
    let talk = talk.say("tensile strength").say("12 MPa").say("no");
    let mut talk = talk
        .asks("aims.1.property")
        .say("price")
        .asks("aims.1.zero");
    assert!(talk.refused("60").code.starts_with("unit::"));
    let text = talk.say("60 per kg").say("15 per kg").written();
    let value: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(value["inputs"]["limits"][0]["between"], "0.9..1.3 g/cm3");
    assert_eq!(value["inputs"]["limits"][1]["at_least"], "12 MPa");
    assert_eq!(value["inputs"]["aims"][0]["one"], "15 per kg");
    case(&text);
}

#[test]
fn quit_and_the_words_of_the_dialogue_are_known_everywhere() {
    let mut talk = Talk::about("sliding-pad");
    while talk.asked().name() != "id" {
        let key = talk.asked().key.clone();
        assert!(matches!(talk.0.answer("help"), Reply::Help));
        assert!(matches!(talk.0.answer("list"), Reply::Review(_)));
        assert!(matches!(talk.0.answer("?"), Reply::Why(_)));
        assert_eq!(talk.asked().key, key);
        talk = talk.say("");
    }
    assert_eq!(talk.0.answer("quit"), Reply::Quit);
}
