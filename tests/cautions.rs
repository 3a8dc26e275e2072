//! The rule book of cautions: what declines, what a case can answer, what nothing lifts.

use dutyfit::duty::{
    Case, CautionSeverity, Decline, Duty, Harm, Hurts, Lever, LiesOnBed, Limit, MaterialFacts,
    NotAbout, Part, Setting, Sun, answer_faults, answered, cautions, material_cautions, raise,
};
use dutyfit::policy::Class;
use dutyfit::problem::Fault;
use dutyfit::property::{Ask, Lies};
use std::collections::BTreeMap;

/// A part without mechanics, so that only the rules speak.
#[derive(Debug, Default)]
struct Bare {
    kind: &'static str,
    words: Vec<String>,
    across: bool,
    class: Option<Class>,
}

impl Part for Bare {
    fn kind(&self) -> &'static str {
        self.kind
    }
    fn limits(&self, _: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let mut ask = Ask::room("tensile-strength").lying(Lies::InPlane);
        if self.across {
            ask = Ask::room("tensile-strength");
        }
        let ask = duty.ask(ask);
        duty.limits.push(Limit {
            id: "strength".to_owned(),
            title: "strength".to_owned(),
            failure: "breaks",
            class: self.class.unwrap_or(Class::Nuisance),
            sense: dutyfit::duty::LimitSense::AtLeast(1.0),
            unit: "MPa".to_owned(),
            needs: vec![vec![ask]],
            performance: dutyfit::duty::Performance::new(|i, _| i.x[0]),
            source: "",
        });
        Ok(())
    }
    fn levers(&self) -> Vec<Lever> {
        Vec::new()
    }
    fn with_lever(&self, _: &str, _: f64) -> Option<Box<dyn Part>> {
        None
    }
    fn inputs(&self) -> serde_json::Value {
        serde_json::json!({})
    }
    fn words(&self) -> Vec<String> {
        self.words.clone()
    }
}

fn case(title: &str) -> Case {
    case_of(title, Bare::default())
}

fn case_of(title: &str, part: Bare) -> Case {
    Case {
        title: title.to_owned(),
        note: String::new(),
        part: Box::new(part),
        setting: Setting {
            lies: LiesOnBed::Flat,
            ..Setting::default()
        },
        limits: BTreeMap::new(),
        preference: None,
        not_about: Vec::new(),
        assumed: Vec::new(),
        defaults: Vec::new(),
    }
}

fn answer(caution: &str, word: &str, because: &str) -> NotAbout {
    NotAbout {
        caution: caution.to_owned(),
        word: word.to_owned(),
        because: because.to_owned(),
        note: String::new(),
    }
}

fn declines(case: &Case) -> Vec<Decline> {
    raise(case, &case.duty().unwrap_or_default()).1
}

fn declined_by(case: &Case) -> Vec<String> {
    declines(case)
        .into_iter()
        .map(|d| format!("{} {}", d.caution.id, d.word))
        .collect()
}

fn raised(case: &Case) -> Vec<String> {
    raise(case, &case.duty().unwrap())
        .0
        .into_iter()
        .map(|r| r.caution.id)
        .collect()
}

fn book() -> Vec<serde_json::Value> {
    let book: serde_json::Value =
        serde_json::from_str(include_str!("../src/duty/cautions.json")).unwrap();
    book["cautions"].as_array().unwrap().clone()
}

fn words(rule: &serde_json::Value, key: &str) -> Vec<String> {
    rule[key]
        .as_array()
        .map(|a| a.iter().map(|w| w.as_str().unwrap().to_owned()).collect())
        .unwrap_or_default()
}

#[test]
fn the_rule_book_is_whole() {
    assert_eq!(cautions().len(), 45);
    let declining = cautions()
        .iter()
        .filter(|c| c.severity == CautionSeverity::Decline)
        .count();
    assert_eq!(declining, 16);
    for rule in book() {
        let id = rule["id"].as_str().unwrap();
        let caution = cautions().iter().find(|c| c.id == id).unwrap();
        assert!(
            !caution.text.is_empty() && !caution.defer_to.is_empty(),
            "{id}"
        );
        let known = [
            "id", "severity", "text", "defer_to", "ask", "figures", "question", "clear",
            "doubtful", "true_use", "no_use", "words", "not_in", "parts", "when", "note",
        ];
        for key in rule.as_object().unwrap().keys() {
            assert!(known.contains(&key.as_str()), "{id}: {key}");
        }
        let decline = caution.severity == CautionSeverity::Decline;
        for key in ["question", "clear", "doubtful", "true_use", "no_use"] {
            assert_eq!(rule.get(key).is_some(), decline, "{id}: {key}");
        }
        assert!(!decline || rule.get("words").is_none(), "{id}");
        let speaks = ["words", "parts", "when", "clear"];
        assert!(
            speaks.iter().any(|k| rule.get(*k).is_some()),
            "{id} is never raised"
        );
        let status = |s: &serde_json::Value| {
            let s = s.as_str().unwrap();
            assert!(
                [
                    "verified in source",
                    "common practice, no source",
                    "from memory, not verified"
                ]
                .iter()
                .any(|k| s.contains(k)),
                "{id}: {s}"
            );
        };
        for d in rule["defer_to"].as_array().unwrap() {
            status(&d["status"]);
        }
        for f in rule["figures"].as_array().into_iter().flatten() {
            status(&f["status"]);
        }
    }
}

/// Each decline rule has one true use, an innocent use of every doubtful word, and
/// a use whose words only contain its words.
#[test]
fn every_decline_has_true_and_innocent_uses() {
    for rule in book() {
        if rule["severity"] != "decline" {
            continue;
        }
        let id = rule["id"].as_str().unwrap();
        let true_use = case(rule["true_use"].as_str().unwrap());
        let found = declines(&true_use);
        assert!(
            found
                .iter()
                .any(|d| d.caution.id == id && !d.doubtful && d.question.is_none()),
            "{id}: the true use must decline by a clear word"
        );

        let near = case(rule["no_use"].as_str().unwrap());
        assert_eq!(declined_by(&near), Vec::<String>::new(), "{id}");

        for (word, use_) in rule["doubtful"].as_object().unwrap() {
            let use_ = use_.as_str().unwrap();
            let mut innocent = case(use_);
            let asked = declines(&innocent);
            assert_eq!(declined_by(&innocent), [format!("{id} {word}")], "{use_}");
            assert!(asked[0].doubtful);
            assert!(asked[0].question.as_ref().unwrap().ends_with('?'));
            assert!(innocent.duty().unwrap().declined.is_some());

            innocent.not_about = vec![answer(id, word, use_)];
            assert_eq!(declined_by(&innocent), Vec::<String>::new(), "{use_}");
            let duty = innocent.duty().unwrap();
            assert_eq!(duty.declined, None);
            assert_eq!(duty.answered, innocent.not_about, "the answer is repeated");
        }
    }
}

#[test]
fn a_clear_word_declines_and_nothing_lifts_it() {
    for rule in book() {
        let id = rule["id"].as_str().unwrap();
        for word in words(&rule, "clear") {
            let mut c = case(&format!(
                "A drawing of a {} for the wall",
                word.to_uppercase()
            ));
            assert!(
                declined_by(&c).contains(&format!("{id} {word}")),
                "{id} {word}"
            );
            c.not_about = vec![answer(id, &word, "only a drawing")];
            assert!(!declines(&c).is_empty(), "{id} {word}");
            assert_eq!(answer_faults(&c)[0].code, "caution::clear-word");
            assert!(answered(&c).is_empty());
            assert!(c.duty().is_err());
        }
    }
}

#[test]
fn every_word_of_the_book_raises_its_rule() {
    for rule in book() {
        let id = rule["id"].as_str().unwrap();
        for word in words(&rule, "words") {
            let c = case(&format!("x {word} y"));
            let (raised, _) = raise(&c, &Duty::default());
            let hit = raised.iter().find(|r| r.caution.id == id).unwrap();
            assert!(hit.by.contains(&format!("word \"{word}\"")), "{id} {word}");
        }
        for kind in words(&rule, "parts") {
            let c = case_of(
                "x",
                Bare {
                    kind: Box::leak(kind.clone().into_boxed_str()),
                    ..Bare::default()
                },
            );
            let (raised, _) = raise(&c, &Duty::default());
            let hit = raised.iter().find(|r| r.caution.id == id).unwrap();
            assert!(hit.by.contains(&format!("part {kind}")), "{id} {kind}");
        }
    }
}

#[test]
fn words_match_whole_in_any_case_with_plurals_and_hyphens() {
    let hits = [
        ("Two Carabiners", "fall-arrest carabiner"),
        ("CRUTCHES", "walking-aid crutch"),
        ("the rudder's cap", "brakes-steering rudder"),
        ("car-seat shim", "child-seat car seat"),
        ("carseat shim", "child-seat car seat"),
        ("spacer for 230V", "mains-insulation 230 V"),
        ("new car\tseats", "child-seat car seat"),
    ];
    for (title, want) in hits {
        assert!(
            declined_by(&case(title)).contains(&want.to_owned()),
            "{title}"
        );
    }
    for title in [
        "wheelbarrow handle",
        "forklift toy",
        "stepping stone",
        "harnessed energy",
        "a car, then a seat cover for the child",
        "hubbub",
        "anchored, slid and swung",
    ] {
        let found = declined_by(&case(title));
        assert_eq!(found, Vec::<String>::new(), "{title}");
    }
}

#[test]
fn words_count_wherever_the_case_has_words() {
    let decline = |change: &dyn Fn(&mut Case)| {
        let mut c = case("plain");
        change(&mut c);
        !declines(&c).is_empty()
    };
    assert!(!decline(&|_| {}));
    assert!(decline(&|c| c.note = "for a helmet".to_owned()));
    assert!(decline(&|c| c.setting.harm.damages = "helmet".to_owned()));
    assert!(decline(&|c| c.setting.notes = vec!["helmet".to_owned()]));
    assert!(decline(&|c| c.setting.harm.note = "helmet".to_owned()));
    assert!(decline(
        &|c| c.setting.chemicals = vec!["propane".to_owned()]
    ));
    assert!(decline(
        &|c| c.setting.counterface = Some("helmet".to_owned())
    ));
    assert!(decline(&|c| c.part = Box::new(Bare {
        words: vec!["helmet".to_owned()],
        ..Bare::default()
    })));
}

#[test]
fn an_answer_must_fit_its_question() {
    let code = |title: &str, n: NotAbout| {
        let mut c = case(title);
        c.not_about = vec![n];
        answer_faults(&c).first().map(|f| f.code)
    };
    assert_eq!(
        code("hose reel hub", answer("vehicle-structure", "hub", "reel")),
        None
    );
    assert_eq!(
        code("hose reel hubs", answer("vehicle-structure", "Hub", "reel")),
        None
    );
    assert_eq!(
        code("hose reel hub", answer("vehicle-structure", "hub", "  ")),
        Some("caution::no-reason")
    );
    assert_eq!(
        code("hose reel", answer("vehicle-structure", "hub", "reel")),
        Some("caution::word-not-in-case")
    );
    assert_eq!(
        code("hose reel hub", answer("vehicle-structures", "hub", "reel")),
        Some("caution::unknown")
    );
    assert_eq!(
        code("hose reel hub", answer("playground", "hub", "reel")),
        Some("caution::unknown-word")
    );
    assert_eq!(
        code("a toy", answer("toys-small-parts", "toy", "for adults")),
        Some("caution::never-lifted")
    );
    // An answer under one caution says nothing under another, nor for another word.
    let mut c = case("barrel with a hub");
    c.not_about = vec![answer("vehicle-structure", "hub", "reel")];
    assert_eq!(declined_by(&c), ["firearms barrel"]);
    c.not_about.push(answer("firearms", "barrel", "water"));
    assert_eq!(declined_by(&c), Vec::<String>::new());
    // Doubts come after what nothing lifts.
    assert_eq!(
        declined_by(&case("hub of a crutch"))[0],
        "walking-aid crutch"
    );
    let near = answer_faults(&{
        let mut c = case("hose reel hub");
        c.not_about = vec![answer("vehicle-structures", "hub", "reel")];
        c
    });
    assert!(near[0].fix.contains("`vehicle-structure`"));
}

#[test]
fn fields_raise_what_the_rules_say() {
    let plain = raised(&case("x"));
    assert_eq!(plain, ["prototype"], "only the closing note");

    let with = |change: &dyn Fn(&mut Case)| {
        let mut c = case("x");
        change(&mut c);
        let mut got = raised(&c);
        assert_eq!(
            got.pop().unwrap(),
            "prototype",
            "the closing note is always last"
        );
        got
    };
    assert_eq!(with(&|c| c.setting.sun = Sun::Outdoors), ["sun"]);
    assert_eq!(with(&|c| c.setting.sun = Sun::Indoors), ["sun"]);
    assert_eq!(
        with(&|c| {
            c.setting.sun = Sun::Indoors;
            c.setting.life_h = 6000.0;
        }),
        Vec::<String>::new(),
        "behind glass a season takes longer"
    );
    assert_eq!(
        with(&|c| c.setting.chemicals = vec!["vinegar".into()]),
        ["chemicals"]
    );
    assert_eq!(
        with(&|c| c.setting.temperature_c = (0.0, 43.5)),
        ["hot-surface"]
    );
    assert_eq!(
        with(&|c| c.setting.temperature_c = (0.0, 43.0)),
        Vec::<String>::new()
    );
    assert_eq!(
        with(&|c| c.setting.lies = LiesOnBed::Open),
        ["across-layers"]
    );
    assert_eq!(
        with(&|c| c.setting.counterface = Some("skin".into())),
        ["skin"]
    );
    assert_eq!(
        with(&|c| c.setting.class = Some(Class::Severe)),
        ["licensed-engineer"]
    );
    let hurt = |hurts| {
        with(&|c| {
            c.setting.harm = Harm {
                hurts,
                ..Harm::default()
            }
        })
    };
    assert_eq!(hurt(Hurts::User), ["licensed-engineer"]);
    assert_eq!(hurt(Hurts::Bystander), ["licensed-engineer"]);
    assert_eq!(
        hurt(Hurts::Child),
        ["toys-small-parts", "licensed-engineer"]
    );

    let part = |part: Bare| {
        let mut got = raised(&case_of("x", part));
        got.pop();
        got
    };
    let across = Bare {
        across: true,
        ..Bare::default()
    };
    assert_eq!(part(across), ["across-layers"]);
    let severe = Bare {
        class: Some(Class::Severe),
        ..Bare::default()
    };
    assert_eq!(part(severe), ["licensed-engineer"]);
}

#[test]
fn the_most_severe_comes_first() {
    let mut c = case("toy handle with grease, on a shelf");
    c.setting.sun = Sun::Outdoors;
    let duty = c.duty().unwrap();
    let order: Vec<CautionSeverity> = duty.cautions.iter().map(|r| r.caution.severity).collect();
    let mut sorted = order.clone();
    sorted.sort();
    assert_eq!(order, sorted);
    assert_eq!(duty.cautions[0].caution.id, "toys-small-parts");
    let chemicals = duty
        .cautions
        .iter()
        .find(|r| r.caution.id == "chemicals")
        .unwrap();
    assert_eq!(chemicals.by, ["word \"grease\""]);
}

#[test]
fn a_material_raises_its_own_cautions() {
    let ids = |f: MaterialFacts| -> Vec<String> {
        material_cautions(&f)
            .into_iter()
            .map(|r| r.caution.id)
            .collect()
    };
    let calm = MaterialFacts {
        hottest_c: 40.0,
        softening_c: Some(60.0),
        life_h: 1000.0,
        longest_run_h: Some(100.0),
        polyamide: true,
        dried_data: false,
        ..MaterialFacts::default()
    };
    assert_eq!(ids(calm.clone()), Vec::<String>::new());
    assert_eq!(
        ids(MaterialFacts {
            hottest_c: 40.5,
            ..calm.clone()
        }),
        ["thermal-margin"]
    );
    assert_eq!(
        ids(MaterialFacts {
            softening_c: None,
            hottest_c: 90.0,
            ..calm.clone()
        }),
        Vec::<String>::new()
    );
    assert_eq!(
        ids(MaterialFacts {
            life_h: 1001.0,
            ..calm.clone()
        }),
        ["beyond-test-time"]
    );
    assert_eq!(
        ids(MaterialFacts {
            dried_data: true,
            ..calm.clone()
        }),
        ["moist-polyamide"]
    );
    assert_eq!(
        ids(MaterialFacts {
            dried_data: true,
            polyamide: false,
            ..calm.clone()
        }),
        Vec::<String>::new()
    );
    // Where nobody can look at the part, any time past the longest run is cautioned.
    let hidden = MaterialFacts {
        hidden: true,
        life_h: 101.0,
        ..calm.clone()
    };
    assert_eq!(ids(hidden.clone()), ["beyond-test-time"]);
    assert!(material_cautions(&hidden)[0].by[0].ends_with("nobody can look at the part"));
    let solvent = MaterialFacts {
        cracking: vec!["acetone".to_owned()],
        ..calm.clone()
    };
    assert_eq!(ids(solvent.clone()), Vec::<String>::new());
    let amorphous = MaterialFacts {
        amorphous: true,
        ..solvent
    };
    assert_eq!(ids(amorphous.clone()), ["stress-cracking"]);
    assert_eq!(
        material_cautions(&amorphous)[0].by,
        ["amorphous, with acetone"]
    );
    let why = material_cautions(&MaterialFacts {
        hottest_c: 45.0,
        ..calm.clone()
    });
    assert_eq!(why[0].by, ["45 degC, within 20 K of softening at 60 degC"]);
}

#[test]
fn what_food_touches_is_cautioned_and_what_only_sounds_like_it_is_not() {
    for title in [
        "mug",
        "Coffee mug",
        "two bowls",
        "soap dishes",
        "a jug",
        "saucer",
        "water bottle",
    ] {
        assert!(
            raised(&case(title)).contains(&"food-contact".to_owned()),
            "{title}"
        );
    }
    for title in [
        "bowling green edge",
        "smug gnome",
        "steel foot of the tamper",
        "stand for dish soap",
    ] {
        assert!(
            !raised(&case(title)).contains(&"food-contact".to_owned()),
            "{title}"
        );
    }
}

#[test]
fn a_person_who_falls_is_declined_and_whoever_lets_a_cart_go_is_not() {
    for words in [
        "a climber falls from the rope",
        "both climbers fall",
        "abseil ring",
    ] {
        let mut c = case("clip");
        c.setting.harm.damages = words.to_owned();
        let found = declines(&c);
        assert!(
            found
                .iter()
                .any(|d| d.caution.id == "fall-arrest" && !d.doubtful),
            "{words}"
        );
    }
    assert!(declines(&case("lamp for when a person falls asleep"))[0].doubtful);
    assert!(declines(&case("whoever pulls falls backwards; the pot falls")).is_empty());
}

#[test]
fn the_note_of_every_part_kind_counts() {
    for kind in dutyfit::duty::parts() {
        let example: serde_json::Value = serde_json::from_str(kind.example).unwrap();
        let mut inputs = example["inputs"].clone();
        inputs["note"] = "for a climbing harness".into();
        let mut c = case("x");
        c.part = (kind.read)(&inputs.to_string()).unwrap();
        let (_, found) = raise(&c, &Duty::default());
        let harness = found.iter().any(|d| d.word == "harness");
        assert!(harness, "{}", kind.id);
    }
}

#[test]
fn a_note_counts_wherever_it_is_changed_or_written() {
    use crate::support::{Bench, dutyfit};
    for case in ["greenhouse-washer", "bench-foot", "cart-grip", "frame-pad"] {
        let set = "note=for a climbing harness";
        let ran = dutyfit(&["shortlist", case, "--demo", "--set", set]).exits(3);
        assert!(ran.out.contains("DECLINED"), "{case}: {}", ran.out);
    }
    let text = |on: &str, of_bound: &str| {
        format!(
            r#"{{ "format": "dutyfit.case/1", "title": "foot", "part": "support-foot",
            "inputs": {{ "mass": "4 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm" }},
            "limits": {{ "sag": {{ "at_most": "2 mm", "note": "{of_bound}" }} }},
            "surroundings": {{ "counterface": "tile", "note": "{on}" }} }}"#
        )
    };
    for (on, of_bound, code) in [
        ("a shed", "seen", 0),
        ("under a ladder", "seen", 3),
        ("a shed", "as the ladder's maker says", 3),
    ] {
        let bench = Bench::new().file("foot.json", text(on, of_bound));
        bench.run(&["shortlist", "foot.json", "--demo"]).exits(code);
    }
}
