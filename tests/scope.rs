//! What the tool declines, what it cautions, and what only sounds like either: as a user writes it.

use crate::support::{Bench, Ran, dutyfit};

/// A foot under a shed's bench, with words and persons of its own.
fn case(title: &str, more: &str) -> String {
    format!(
        r#"{{ "format": "dutyfit.case/1", "title": {}, "part": "support-foot",
        "inputs": {{ "mass": "4 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm" }},
        "surroundings": {{ "counterface": "tile" }}{}{more} }}"#,
        serde_json::Value::from(title),
        if more.is_empty() { "" } else { ", " }
    )
}

/// A workspace with one material of which next to nothing is known: what is declined or cautioned
/// does not hang on evidence.
fn shed() -> Bench {
    Bench::new().file(
        "catalog/materials.csv",
        "material,title,polymer,price [per kg]\ntpu-95-a,TPU 95A,tpu,20\n",
    )
}

fn asked(title: &str, more: &str, command: &[&str]) -> Ran {
    let bench = shed().file("foot.json", case(title, more));
    let mut args = command.to_vec();
    args.insert(1, "foot.json");
    bench.run(&args)
}

fn shortlisted(title: &str, more: &str) -> Ran {
    asked(
        title,
        more,
        &["shortlist", "--among", "tpu-95-a", "--format", "json"],
    )
}

/// The caution that declines a title, if one does.
fn declined_by(title: &str, more: &str) -> Option<(String, bool)> {
    let ran = shortlisted(title, more);
    let json = ran.json();
    let d = &json["declined"];
    assert_eq!(ran.code == 3, d.is_object(), "{title}: {ran:?}");
    d.is_object().then(|| {
        (
            d["caution"]["id"].as_str().unwrap().to_owned(),
            d["doubtful"].as_bool().unwrap(),
        )
    })
}

fn cautions(title: &str, more: &str) -> Vec<String> {
    let json = shortlisted(title, more).json();
    json["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|c| c["id"].as_str().unwrap().to_owned())
        .collect()
}

fn not_about(caution: &str, word: &str, because: &str) -> String {
    format!(
        r#""not_about": [{{ "caution": "{caution}", "word": "{word}", "because": "{because}" }}]"#
    )
}

/// A use that holds a life, by rule; and an innocent one with the same word, with the answer that it
/// needs, or none where a clear word or its compound stands for something else.
const TRUE_AND_INNOCENT: &[(&str, &str, &str, Option<&str>)] = &[
    (
        "fall-arrest",
        "ring that she climbs with, on her harness",
        "clip for climbing beans",
        Some("climb"),
    ),
    (
        "lifting",
        "pad under the hook of an engine hoist",
        "sleeve of a potato lifting spade",
        Some("lift"),
    ),
    (
        "brakes-steering",
        "spacer of a bicycle's brake lever",
        "stop of a sheet-metal brake",
        Some("brake"),
    ),
    (
        "pressure",
        "cap of a compressed air tank",
        "tray for an aerosol can",
        Some("aerosol"),
    ),
    (
        "medical",
        "clip of a surgical lamp",
        "greenhouse ventilator arm",
        Some("ventilator"),
    ),
    (
        "head-and-body-protection",
        "buckle of a helmet",
        "clip of a car's sun visor",
        Some("visor"),
    ),
    (
        "child-seat",
        "shim under a child seat",
        "foot of a water booster pump",
        Some("booster"),
    ),
    (
        "infant-products",
        "foot of a high chair for a baby",
        "label for baby carrots",
        Some("baby"),
    ),
    (
        "mains-insulation",
        "spacer in a 230 V lamp",
        "wiring of a vine trellis",
        Some("wiring"),
    ),
    (
        "live-working-handle",
        "sleeve of an insulated screwdriver",
        "pencil tray for an electrician",
        Some("electrician"),
    ),
    (
        "firearms",
        "grip of a firearm",
        "rest for a glue gun",
        Some("gun"),
    ),
    (
        "vehicle-structure",
        "bush of a car's control arm",
        "hub of a hose reel",
        Some("hub"),
    ),
    (
        "ladder-access",
        "foot of a ladder",
        "clip for a stair carpet",
        Some("stair"),
    ),
    (
        "playground",
        "bush of a seesaw",
        "stop of a garden swing gate",
        Some("swing"),
    ),
    (
        "walking-aid",
        "tip of a crutch",
        "bag clip for a dog walker",
        Some("walker"),
    ),
    (
        "gas-fuel-seal",
        "seal of a propane bottle",
        "shelf foot beside the fuel store",
        Some("fuel"),
    ),
];

#[test]
fn every_decline_has_a_true_use_and_an_innocent_one_with_the_same_word() {
    for (rule, truly, innocent, word) in TRUE_AND_INNOCENT {
        let (by, doubtful) = declined_by(truly, "").unwrap_or_else(|| panic!("{truly}"));
        assert!(!doubtful, "{truly}: {by}");
        let every = crate::scope::declines(truly);
        assert!(every.iter().any(|d| d == rule), "{truly}: {every:?}");

        let word = word.unwrap();
        let asked = declined_by(innocent, "").unwrap_or_else(|| panic!("{innocent}"));
        assert_eq!(asked, ((*rule).to_owned(), true), "{innocent}");
        let answer = not_about(rule, word, "a thing of the garden");
        assert_eq!(declined_by(innocent, &answer), None, "{innocent}");
        // The answer stays in sight, in every form of the output.
        for form in ["text", "markdown"] {
            let more = ["shortlist", "--among", "tpu-95-a", "--format", form];
            let out = asked_words(innocent, &answer, &more);
            assert!(
                out.contains(&format!("\"{word}\" is here a thing of the garden")),
                "{out}"
            );
        }
        let out = asked_words(innocent, &answer, &["check", "tpu-95-a"]);
        assert!(out.contains("is here a thing of the garden"), "{out}");
        let json = shortlisted(innocent, &answer).json();
        assert_eq!(json["case"]["not_about"][0]["word"], word);
    }
    let rules: Vec<&str> = TRUE_AND_INNOCENT.iter().map(|t| t.0).collect();
    let book = dutyfit::duty::cautions();
    for c in book
        .iter()
        .filter(|c| c.severity == dutyfit::duty::CautionSeverity::Decline)
    {
        assert!(rules.contains(&c.id.as_str()), "{}", c.id);
    }
}

fn asked_words(title: &str, more: &str, command: &[&str]) -> String {
    let ran = asked(title, more, command);
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every rule that declines a title.
fn declines(title: &str) -> Vec<String> {
    let beside = dutyfit::catalog::Beside {
        policy: &dutyfit::policy::Policy::default(),
        properties: &dutyfit::property::Properties::default(),
        surfaces: &[],
    };
    let case = dutyfit::catalog::read_case("foot.json", &case(title, ""), &[], beside).unwrap();
    let (_, all) = dutyfit::duty::raise(&case, &case.duty().unwrap());
    all.into_iter().map(|d| d.caution.id).collect()
}

#[test]
fn ten_declined_uses_get_no_pick_and_no_figure() {
    for (title, rule) in [
        ("pulley that lifts an engine on a hoist", "lifting"),
        (
            "pad that brakes a cargo bike by its brake cable",
            "brakes-steering",
        ),
        ("carabiner of a belay device", "fall-arrest"),
        ("liner of a hard hat", "head-and-body-protection"),
        ("denture tooth", "medical"),
        ("valve seat of a pressure cooker", "pressure"),
        ("handrail end on the cellar steps", "ladder-access"),
        ("stroller wheel", "infant-products"),
        ("cover over 400 V terminals", "mains-insulation"),
        ("tip of a walking frame", "walking-aid"),
    ] {
        for (command, format) in [
            (&["shortlist"][..], "text"),
            (&["shortlist", "--all", "--working"], "text"),
            (&["shortlist"], "markdown"),
            (&["shortlist", "--working"], "json"),
            (&["check", "tpu-95-a", "--working"], "text"),
            (&["check", "tpu-95-a"], "markdown"),
            (&["check", "tpu-95-a", "--working"], "json"),
        ] {
            let args = [command, &["--format", format]].concat();
            let ran = asked(title, "", &args).exits(3);
            let all: String = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(all.contains(rule_text(rule)), "{title}: {all}");
            let rule = dutyfit::duty::cautions()
                .iter()
                .find(|c| c.id == rule)
                .unwrap();
            assert!(all.contains(&rule.defer_to[0].standard), "{title}: {all}");
            assert!(all.contains(&rule.ask), "{title}: {all}");
            no_figures(title, &ran, format);
        }
    }
}

fn rule_text(id: &str) -> &'static str {
    let text = &dutyfit::duty::cautions()
        .iter()
        .find(|c| c.id == id)
        .unwrap()
        .text;
    text.split('.').next().unwrap()
}

/// Neither a material nor a chance, a margin, a limit or a step of working.
#[track_caller]
fn no_figures(title: &str, ran: &Ran, format: &str) {
    if format == "json" {
        let json = ran.json();
        for (field, empty) in [
            ("candidates", serde_json::json!([])),
            ("candidate", serde_json::Value::Null),
            ("limits_of_use", serde_json::json!([])),
            ("weights", serde_json::json!([])),
            ("reasons", serde_json::json!([])),
            ("limits", serde_json::json!([])),
        ] {
            if let Some(found) = json.get(field) {
                assert!(
                    *found == empty || found.is_null(),
                    "{title}: {field} {found}"
                );
            }
        }
        assert_eq!(json["draws"], 0, "{title}");
        assert_eq!(json["case"]["notes"], serde_json::json!([]), "{title}");
        assert!(!ran.out.contains("\"predicted\"") && !ran.out.contains("\"chance\""));
        return;
    }
    for word in [
        "Use ", "chance", "margin", "fit", "needs", "MPa", "standing", "of 100", "sag",
    ] {
        let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
        let cautions = said.find("CAUTION").unwrap_or(said.len());
        assert!(
            !said[..cautions].contains(word),
            "{title}: {word} in {said}"
        );
    }
    assert!(!ran.out.contains("| material"), "{title}: {}", ran.out);
}

#[test]
fn ten_cautioned_uses_are_answered_and_cautioned() {
    for (title, more, caution) in [
        ("foot of a toy box for our children", "", "toys-small-parts"),
        ("foot of a bread board, wiped with food", "", "food-contact"),
        ("foot of the stand of a tap", "", "drinking-water"),
        ("foot beside a candle", "", "fire"),
        ("foot of a lithium cell holder", "", "batteries"),
        ("foot of a lathe's shield", "", "machine-guard"),
        ("foot of a spindle stand", "", "fast-rotation"),
        ("foot of a tall wardrobe", "", "appliance-stability"),
        (
            "foot",
            r#""harm": { "hurts": "bystander" }"#,
            "licensed-engineer",
        ),
        (
            "foot",
            r#""harm": { "hurts": "child" }"#,
            "toys-small-parts",
        ),
        ("foot of a sanding table", "", "fumes-dust"),
        ("foot on a ramp and a walkway", "", "walkway-slip"),
        (
            "foot that vibration of the mower shakes",
            "",
            "hand-vibration",
        ),
    ] {
        let ran = shortlisted(title, more);
        assert!(ran.code < 2, "{title}: {ran:?}");
        let found = cautions(title, more);
        assert!(found.iter().any(|c| c == caution), "{title}: {found:?}");
    }
}

#[test]
fn ten_innocent_descriptions_with_the_same_words_in_them_are_not_declined() {
    for title in [
        "foot after a facelift of the shed",
        "poster of a forklift in the township hall",
        "foot of a wheelbarrow rack",
        "stepping stones laid by the path",
        "foot of a childhood bench",
        "swung lid beside an anchored net",
        "stemware shelf foot",
        "foot of a tower for towels",
        "harnessed energy on the gunmetal shelf",
        "hubbub at the plugged barrelhouse",
        "foot of the brakeless pull-along cart",
        "whoever pulls falls backwards",
    ] {
        assert_eq!(declined_by(title, ""), None, "{title}");
    }
}

#[test]
fn what_is_wound_round_something_is_no_wound() {
    for title in [
        "strip wound round a post",
        "strap wound around the bin",
        "foot of a winder, for hose wound onto a reel",
        "lid of a wire-wound resistor box",
    ] {
        assert_eq!(declined_by(title, ""), None, "{title}");
    }
    for title in [
        "dressing for a wound on the knee",
        "clip of a wound drain",
        "bandage wound round an open wound",
    ] {
        let by = declined_by(title, "").map(|(id, _)| id);
        assert_eq!(by.as_deref(), Some("medical"), "{title}");
    }
}

#[test]
fn a_stretched_ring_whips_back_and_a_pulled_strip_does_not() {
    let of = |inputs: &str| {
        let case = format!(
            r#"{{ "format": "dutyfit.case/1", "title": "thing", "part": "strap",
            "inputs": {{ "width": "10 mm", "thickness": "2 mm", {inputs} }} }}"#
        );
        let bench = shed().file("strap.json", case);
        let json = bench
            .run(&["shortlist", "strap.json", "--format", "json"])
            .json();
        let raised = json["cautions"].as_array().unwrap().clone();
        raised
            .iter()
            .find(|c| c["id"] == "whip-back")
            .map(|c| c["raised_by"].to_string())
    };
    let ring =
        r#""form": "band", "free_diameter": "92 mm", "drum": "100 mm", "tension_needed": "6 N""#;
    let by = of(ring).expect("a caution");
    assert!(by.contains("stretched by 9 %"), "{by}");
    assert_eq!(of(r#""form": "straight", "pull": "20 N""#), None);
}

#[test]
fn verbs_and_persons_count_in_all_their_usual_forms() {
    for (title, rule) in [
        ("he climbs with it", "fall-arrest"),
        ("rope that climbers trust", "fall-arrest"),
        ("climbed by night", "fall-arrest"),
        ("it lifts an engine", "lifting"),
        ("lifted by crane", "lifting"),
        ("a barge that was towed", "lifting"),
        ("brakes when pulled", "brakes-steering"),
        ("braking the reel", "brakes-steering"),
        ("it steers the boat", "brakes-steering"),
        ("abseiling ring", "fall-arrest"),
        ("held by 240V", "mains-insulation"),
        ("near 3 kV", "mains-insulation"),
        ("for two babies", "infant-products"),
    ] {
        assert_eq!(
            declined_by(title, "").map(|d| d.0).as_deref(),
            Some(rule),
            "{title}"
        );
    }
    for title in [
        "a child plays here",
        "in the mouth of one",
        "my kids' bench",
    ] {
        assert!(
            cautions(title, "").len() > cautions("a bench", "").len(),
            "{title}"
        );
    }
    // A low voltage is no live part.
    assert_eq!(declined_by("lamp of 24 V", ""), None);
    // An answer in another form of the word is the same answer.
    let answer = not_about("fall-arrest", "climbing", "a bean");
    assert_eq!(declined_by("pole for climbing beans", &answer), None);
}

#[test]
fn nothing_lifts_what_persons_loads_and_conditions_raise() {
    let harm = r#""harm": { "hurts": "child", "damages": "" }, "class": "severe", "surroundings": { "counterface": "skin", "sun": "outdoors", "temperature": "10..50 degC" }"#;
    let with = |title: &str, more: &str| {
        // The surroundings stand in the persons' part here.
        let text = case(title, "").replace(r#""surroundings": { "counterface": "tile" }"#, harm);
        let text = match more {
            "" => text,
            more => text.replace(
                r#""class": "severe""#,
                &format!(r#""class": "severe", {more}"#),
            ),
        };
        let bench = shed().file("foot.json", text);
        let json = bench
            .run(&[
                "shortlist",
                "foot.json",
                "--among",
                "tpu-95-a",
                "--format",
                "json",
            ])
            .json();
        let ids = |v: &serde_json::Value| -> Vec<String> {
            v["cautions"]
                .as_array()
                .unwrap()
                .iter()
                .map(|c| c["id"].as_str().unwrap().to_owned())
                .collect()
        };
        (json["declined"].is_object(), ids(&json))
    };
    let (declined, raised) = with("hub of a hose reel", "");
    assert!(declined);
    let answer = not_about("vehicle-structure", "hub", "a hose reel");
    let (declined, answered) = with("hub of a hose reel", &answer);
    assert!(!declined);
    let (_, plain) = with("spool of a hose reel", "");
    for id in [
        "licensed-engineer",
        "toys-small-parts",
        "skin",
        "sun",
        "hot-surface",
    ] {
        for (of, all) in [
            ("declined", &raised),
            ("answered", &answered),
            ("plain", &plain),
        ] {
            assert!(all.iter().any(|c| c == id), "{of}: {id} in {all:?}");
        }
    }
    // A caution cannot be answered at all, and a word says nothing of a condition.
    for caution in ["toys-small-parts", "sun", "licensed-engineer"] {
        let answer = not_about(caution, "hub", "nothing");
        asked("hub of a hose reel", &answer, &["shortlist"]).exits(2);
    }
    let answer = not_about("mains-insulation", "mains", "a water main");
    let (rule, doubtful) = declined_by("mains tap near 400 V", &answer).unwrap();
    assert_eq!((rule.as_str(), doubtful), ("mains-insulation", false));
}

#[test]
fn the_name_of_a_part_kind_declines_nothing_by_itself() {
    for kind in dutyfit::duty::parts() {
        let mut text: serde_json::Value = serde_json::from_str(kind.example).unwrap();
        // Without a title it is called by its kind, and with one it may be.
        for title in [
            None,
            Some(kind.id.to_owned()),
            Some(format!("my {}", kind.id.replace('-', " "))),
        ] {
            let whole = text.as_object_mut().unwrap();
            whole.remove("title");
            whole.remove("note");
            whole.remove("not_about");
            whole.extend(title.clone().map(|t| ("title".to_owned(), t.into())));
            let bench = shed().file("case.json", text.to_string());
            let ran = bench.run(&["shortlist", "case.json", "--among", "tpu-95-a"]);
            assert!(ran.code < 2, "{}: {title:?}: {ran:?}", kind.id);
        }
    }
}

#[test]
fn a_declined_use_is_declined_before_its_figures_are_asked_for() {
    let text = case("foot of a ladder", "").replace("\"4 kg\"", "\"0 kg\"");
    let bench = shed().file("foot.json", text);
    bench.run(&["shortlist", "foot.json"]).exits(3);
    let text = case("foot of a bench", "").replace("\"4 kg\"", "\"0 kg\"");
    let bench = shed().file("foot.json", text);
    bench.run(&["shortlist", "foot.json"]).exits(2);
}

#[test]
fn what_a_case_says_of_its_place_and_inspection_reaches_every_output_and_every_change() {
    let set = [
        "place=outdoors",
        "inspected=false",
        "chemicals=dish soap, acetone",
    ];
    let mut args = vec![
        "shortlist",
        "bench-foot",
        "--demo",
        "--format",
        "json",
        "--among",
        "tpu-95-a",
    ];
    for s in &set {
        args.extend(["--set", s]);
    }
    let json = dutyfit(&args).json();
    assert_eq!(json["case"]["place"], "outdoors");
    assert_eq!(json["case"]["harm"]["inspected"], false);
    let limits: Vec<&str> = json["candidates"][0]["limits"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| l["id"].as_str().unwrap())
        .collect();
    assert!(limits.contains(&"chemicals-ester-ketone"), "{limits:?}");
    assert!(limits.contains(&"chemicals-soap-detergent"), "{limits:?}");
    let schema = dutyfit(&["schema", "case"]).exits(0).out;
    for field in ["\"place\"", "\"inspected\"", "\"outdoors\""] {
        assert!(schema.contains(field), "{field}");
    }
    let ran = dutyfit(&["shortlist", "bench-foot", "--set", "place=outdors"]).exits(2);
    assert!(ran.err.contains("outdoors"), "{}", ran.err);
}

#[test]
fn an_answered_word_is_told_wherever_saved_cases_speak() {
    let answer = not_about("vehicle-structure", "hub", "a hose reel");
    let bench = shed().file("cases/reel.json", case("hub of a hose reel", &answer));
    let told = "reel is not about vehicle-structure: \"hub\" is here a hose reel.";
    assert!(bench.run(&["show", "tpu-95-a"]).exits(0).out.contains(told));
    let json = bench.run(&["show", "tpu-95-a", "--format", "json"]).json();
    assert_eq!(json["not_about"][0]["word"], "hub");
    assert_eq!(json["not_about"][0]["case"], "reel");
}

#[test]
fn a_declined_case_stays_out_of_what_saved_cases_say() {
    let bench = shed()
        .file("cases/foot.json", case("foot of a bench", ""))
        .file("cases/ladder.json", case("foot of a ladder", ""));
    let json = bench.run(&["show", "tpu-95-a", "--format", "json"]).json();
    let cases = json["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 1, "{cases:?}");
    assert_eq!(cases[0]["case"], "foot");
    // Over a folder of cases the decline outweighs an answer.
    bench.run(&["shortlist", "cases"]).exits(3);
}

#[test]
fn feet_that_tip_easily_say_so() {
    let inputs = r#""mass": "4 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm", "half_width": "100 mm", "centre_height": "500 mm", "push": "2 N", "push_height": "600 mm""#;
    let text = case("foot", "").replace(
        r#""mass": "4 kg", "shape": "disc", "diameter": "40 mm", "height": "10 mm""#,
        inputs,
    );
    let bench = shed().file("foot.json", text);
    let json = bench
        .run(&["shortlist", "foot.json", "--format", "json"])
        .json();
    let stability = json["cautions"]
        .as_array()
        .unwrap()
        .iter()
        .find(|c| c["id"] == "appliance-stability")
        .unwrap();
    let by = stability["raised_by"].to_string();
    assert!(by.contains("it tips at 11 degrees"), "{by}");
    assert!(by.contains("above its centre of gravity"), "{by}");
}

#[test]
fn what_an_input_declines_no_word_lifts() {
    let ring = |medium: &str, pressure: &str| {
        let kind = dutyfit::duty::part("seal-ring").unwrap();
        let mut whole: serde_json::Value = serde_json::from_str(kind.example).unwrap();
        whole["title"] = "ring under pressure".into();
        whole["inputs"]["medium"] = medium.into();
        whole["inputs"]["pressure"] = pressure.into();
        let mut text = whole.to_string();
        text.truncate(text.len() - 1);
        let answer = not_about("pressure", "pressure", "a rain butt");
        let bench = shed().file("ring.json", format!("{text}, {answer} }}"));
        bench.run(&["shortlist", "ring.json", "--format", "json"])
    };
    let json = ring("air", "2 bar").exits(3).json();
    assert_eq!(json["declined"]["caution"]["id"], "pressure");
    assert_eq!(json["declined"]["doubtful"], false);
    assert!(
        json["declined"]["word"]
            .as_str()
            .unwrap()
            .contains("2.0 bar")
    );
    let json = ring("gas", "0.1 bar").exits(3).json();
    assert_eq!(json["declined"]["caution"]["id"], "gas-fuel-seal");
    assert!(ring("water", "0.3 bar").code < 2);
}

#[test]
fn every_part_kind_that_the_rule_book_names_is_one() {
    let book: serde_json::Value =
        serde_json::from_str(include_str!("../src/duty/cautions.json")).unwrap();
    for rule in book["cautions"].as_array().unwrap() {
        for kind in rule["parts"].as_array().into_iter().flatten() {
            let kind = kind.as_str().unwrap();
            assert!(
                dutyfit::duty::part(kind).is_some(),
                "{}: {kind}",
                rule["id"]
            );
        }
    }
}
