//! What the surroundings ask of every part: chemicals, sun, weather, inspection.

use super::{bound, case, close, limit, performs};
use dutyfit::belief::{Evidence, Grade, Material, Note};
use dutyfit::catalog::{Beside, read_case};
use dutyfit::duty::{Case, Duty, Site, Sun, parts};
use dutyfit::judge::{Candidate, Request, Standing, judge};
use dutyfit::policy::{Class, Policy};
use dutyfit::property::chemical::{CHEMICALS, ChemicalClass, attack};
use dutyfit::property::{Ask, Moisture, Properties};

/// A part without a demand of its own that a polymer could miss.
fn bare() -> Case {
    case(
        "plain",
        r#"{ "limits": [ { "property": "price", "at_most": "900 per kg" } ], "aims": [] }"#,
    )
}

fn with(chemicals: &[&str]) -> Case {
    let mut c = bare();
    c.setting.chemicals = chemicals.iter().map(|s| (*s).to_owned()).collect();
    c
}

fn limits_of(case: &Case) -> Vec<String> {
    let duty = case.duty().expect("a duty");
    duty.limits
        .into_iter()
        .map(|l| l.id)
        .filter(|id| id.starts_with("chemicals-") || id == "sun")
        .collect()
}

/// A material of a polymer or a blend, known by its price alone.
fn judged(duty: &Duty, polymers: &[&str]) -> Candidate {
    let material = Material {
        id: "a".to_owned(),
        polymers: polymers.iter().map(|p| (*p).to_owned()).collect(),
        price_per_kg: Some(20.0),
        ..Material::default()
    };
    let evidence = Evidence::new(
        vec![material],
        vec![],
        vec![],
        Policy::default(),
        Properties::default(),
    );
    let among = ["a".to_owned()];
    let judgement = judge(&Request {
        duty,
        evidence: &evidence,
        among: &among,
        preference: &dutyfit::duty::Preference::Points(std::collections::BTreeMap::new()),
        seed: 1,
        draws: 2048,
    });
    judgement.candidates.into_iter().next().expect("one")
}

fn standing(chemical: &str, polymers: &[&str]) -> Standing {
    judged(&with(&[chemical]).duty().expect("a duty"), polymers).standing
}

#[test]
fn words_of_bench_and_household_find_their_classes() {
    let found = |name: &str| {
        let mut ids = limits_of(&with(&[name]));
        for id in &mut ids {
            *id = id.trim_start_matches("chemicals-").to_owned();
        }
        ids.join(" ")
    };
    for (name, classes) in [
        ("petrol", "aliphatic aromatic"),
        ("Acetone", "ester-ketone"),
        ("bleach", "weak-base strong-oxidant"),
        ("sunscreen", "oil-grease"),
        ("chain oil", "oil-grease"),
        ("dish soap", "soap-detergent"),
        ("limonene cleaner", "aromatic"),
        ("white vinegar", "weak-acid"),
        ("ammonia window cleaner", "alcohol weak-base"),
        ("rubbing alcohol", "alcohol"),
        ("brake fluid", "ester-ketone"),
        ("tomato fertiliser", "water"),
        ("sea-water", "water"),
        ("battery acid", "strong-acid"),
        ("caustic soda", "strong-base"),
        ("paint stripper", "chlorinated"),
        ("oily rag", ""),
        ("engine oils", "oil-grease"),
        ("strange brew (strong acid)", "strong-acid"),
        ("something else", ""),
    ] {
        let mut want: Vec<&str> = classes.split_whitespace().collect();
        let mut got: Vec<String> = found(name).split_whitespace().map(str::to_owned).collect();
        want.sort_unstable();
        got.sort_unstable();
        assert_eq!(got, want, "{name}");
    }
    // A longer name hides the shorter one in it.
    assert_eq!(found("silicone oil"), "oil-grease");
    assert_eq!(found("orange oil"), "aromatic");
    // Every class can be written itself.
    for row in &CHEMICALS {
        assert_eq!(found(row.word), row.word);
    }
}

#[test]
fn an_unknown_chemical_is_said_to_be_unknown_first_and_near_names_are_given() {
    let notes = |name: &str| with(&[name]).duty().expect("a duty").notes[0].clone();
    assert_eq!(
        notes("aceton"),
        "`aceton` is unknown here as a chemical: nothing is judged for it; write `acetone` if that is meant"
    );
    let far = notes("gunk");
    assert!(
        far.contains("`gunk` is unknown") && far.contains("`gunk (alcohol)`"),
        "{far}"
    );
    assert!(limits_of(&with(&["gunk"])).is_empty());
}

#[test]
fn what_is_known_to_soften_is_ruled_out_and_what_is_doubtful_is_not_known() {
    // Letters as the table has them: verified ones, ones from memory, and a doubted row.
    assert_eq!(standing("acetone", &["ps"]), Standing::RuledOut);
    assert_eq!(standing("acetone", &["abs"]), Standing::RuledOut);
    assert_eq!(standing("acetone", &["pa-6"]), Standing::Fit);
    assert_eq!(standing("acetone", &["pom"]), Standing::Fit);
    // From memory that it softens is not to know it.
    assert_eq!(standing("acetone", &["pla"]), Standing::NotKnown);
    // Mild is neither.
    assert_eq!(standing("white spirit", &["pe-hd"]), Standing::NotKnown);
    // The source says that aromatics leave polycarbonate alone; bench hands know better.
    assert_eq!(standing("toluene", &["pc"]), Standing::NotKnown);
    assert_eq!(standing("bleach", &["pom"]), Standing::RuledOut);
    assert_eq!(standing("bleach", &["pe-hd"]), Standing::Fit);
    // A pair that the table does not have.
    assert_eq!(standing("hydrogen peroxide", &["pmma"]), Standing::NotKnown);
    assert_eq!(standing("vinegar", &["other"]), Standing::NotKnown);
}

#[test]
fn a_blend_takes_the_worse_of_its_parents_and_says_why() {
    let evidence = |polymers: &[&str]| {
        let material = Material {
            id: "a".to_owned(),
            polymers: polymers.iter().map(|p| (*p).to_owned()).collect(),
            ..Material::default()
        };
        Evidence::new(
            vec![material],
            vec![],
            vec![],
            Policy::default(),
            Properties::default(),
        )
    };
    let believe = |polymers: &[&str]| {
        evidence(polymers).believe("a", &Ask::room("attack-ester-ketone").at(23.0))
    };
    let blend = believe(&["pp", "abs"]);
    close(blend.next_quantile(0.5).expect("a figure"), 4.0, 1e-9);
    assert_eq!(blend.grade, Grade::Borrowed);
    assert!(blend.auxiliary);
    assert_eq!(
        believe(&["abs", "pp"]).next_quantile(0.5),
        blend.next_quantile(0.5)
    );
    let said = blend.notes.iter().any(|n| {
        matches!(n, Note::Assumed(s) if s == "letter E at room and E hot, A none to E severe; from memory, not verified")
    });
    assert!(said, "{:?}", blend.notes);
    // A parent of which nothing is known may be the worse one.
    assert_eq!(believe(&["pp", "other"]).grade, Grade::Absent);
    let sun = evidence(&["asa", "pla"]).believe("a", &Ask::room("sun-class"));
    close(sun.next_quantile(0.95).expect("a figure"), 0.411, 0.01);
}

#[test]
fn the_attack_is_read_at_the_hot_end_of_use() {
    let mut warm = with(&["white spirit"]);
    let duty = warm.duty().expect("a duty");
    assert_eq!(judged(&duty, &["pp"]).standing, Standing::Fit);
    warm.setting.temperature_c = (0.0, 60.0);
    let duty = warm.duty().expect("a duty");
    assert_eq!(judged(&duty, &["pp"]).standing, Standing::RuledOut);
    let l = limit(&duty, "chemicals-aliphatic");
    assert_eq!((bound(l), l.failure), (2.3, "is attacked by paraffins"));
    close(
        performs(&duty, "chemicals-aliphatic", &[("attack-aliphatic", 1.5)]),
        1.5,
        0.0,
    );
    assert!(l.title.ends_with("by white spirit"), "{}", l.title);
    let a = attack("pp", ChemicalClass::Aliphatic, 60.0).expect("a letter");
    assert_eq!(a.figure, 3.0);
}

#[test]
fn the_surroundings_take_the_class_of_the_gravest_limit_and_a_case_may_set_their_bounds() {
    let read = |limits: &str, harm: &str| {
        let text = format!(
            r#"{{ "format": "dutyfit.case/1", "part": "plain",
            "inputs": {{ "limits": [ {{ "property": "tensile-strength", "at_least": "1 MPa", "class": "damage" }} ] }},
            "surroundings": {{ "sun": "outdoors", "chemicals": ["acetone"] }},
            "limits": {{ {limits} }}, "harm": {{ {harm} }} }}"#
        );
        let beside = Beside {
            policy: &Policy::default(),
            properties: &Properties::default(),
            surfaces: &[],
        };
        read_case("case.json", &text, &[], beside).expect("reads")
    };
    let class = |c: &Case, id: &str| limit(&c.duty().expect("a duty"), id).class;
    let c = read("", r#""hurts": "nobody""#);
    assert_eq!(c.setting.place, Site::Outdoors);
    assert_eq!(class(&c, "sun"), Class::Damage);
    assert_eq!(class(&c, "chemicals-ester-ketone"), Class::Damage);
    let c = read(
        r#""chemicals-ester-ketone": { "at_most": 3.5, "class": "nuisance" }"#,
        r#""hurts": "user""#,
    );
    let duty = c.duty().expect("a duty");
    assert_eq!(bound(limit(&duty, "chemicals-ester-ketone")), 3.5);
    assert_eq!(class(&c, "chemicals-ester-ketone"), Class::Injury);
    // The part's own limits are all a nuisance: so are these.
    assert_eq!(
        class(&with(&["acetone"]), "chemicals-ester-ketone"),
        Class::Nuisance
    );
}

#[test]
fn the_sun_asks_for_better_than_poor_past_a_season_and_better_than_fair_past_five_years() {
    let year = 8766.0;
    let asked = |sun: Sun, life_h: f64| {
        let mut c = bare();
        c.setting.sun = sun;
        c.setting.life_h = life_h;
        let duty = c.duty().expect("a duty");
        duty.limits.iter().find(|l| l.id == "sun").map(bound)
    };
    assert_eq!(asked(Sun::None, 20.0 * year), None);
    assert_eq!(asked(Sun::Outdoors, 0.25 * year), None);
    assert_eq!(asked(Sun::Outdoors, 0.26 * year), Some(0.3));
    assert_eq!(asked(Sun::Outdoors, 5.0 * year), Some(0.3));
    assert_eq!(asked(Sun::Outdoors, 5.1 * year), Some(1.3));
    // Behind glass it takes three times as long.
    assert_eq!(asked(Sun::Indoors, 0.7 * year), None);
    assert_eq!(asked(Sun::Indoors, 15.0 * year), Some(0.3));
    assert_eq!(asked(Sun::Indoors, 16.0 * year), Some(1.3));

    let stands = |life: f64, polymer: &str| {
        let mut c = bare();
        c.setting.sun = Sun::Outdoors;
        c.setting.life_h = life * year;
        let duty = c.duty().expect("a duty");
        let said = "which is not known here";
        assert!(
            duty.notes
                .iter()
                .any(|n| n.contains("black") && n.contains(said))
        );
        judged(&duty, &[polymer]).standing
    };
    // Poor polymers may come stabilised or black: not known, until the life is long.
    assert_eq!(stands(2.0, "pp"), Standing::NotKnown);
    assert_eq!(stands(10.0, "pp"), Standing::RuledOut);
    assert_eq!(stands(2.0, "petg"), Standing::Fit);
    assert_eq!(stands(10.0, "petg"), Standing::NotKnown);
    assert_eq!(stands(10.0, "asa"), Standing::Fit);
}

#[test]
fn weather_and_hidden_parts_are_told() {
    let notes = |change: &dyn Fn(&mut Case)| {
        let mut c = bare();
        change(&mut c);
        c.duty().expect("a duty").notes.join("\n")
    };
    assert!(!notes(&|_| {}).contains("outdoors"));
    assert!(notes(&|c| c.setting.place = Site::Outdoors).contains("rain and dew are left out"));
    assert!(
        !notes(&|c| {
            c.setting.place = Site::Outdoors;
            c.setting.moisture = Moisture::Wet;
        })
        .contains("rain")
    );
    assert!(notes(&|c| c.setting.sun = Sun::Indoors).contains("20 to 40 K above the air"));
    assert!(
        !notes(&|c| {
            c.setting.sun = Sun::Outdoors;
            c.setting.temperature_c = (0.0, 60.0);
        })
        .contains("above the air")
    );
    assert!(notes(&|c| c.setting.harm.inspected = false).contains("nobody can look at it"));
    let mut c = bare();
    c.setting.harm.inspected = false;
    assert_eq!(c.setting.harm_floor(), Class::Damage);
    assert_eq!(c.setting.class_of(Class::Nuisance), Class::Damage);
    c.setting.harm.hurts = dutyfit::duty::Hurts::User;
    assert_eq!(c.setting.harm_floor(), Class::Injury);
}

#[test]
fn every_part_kind_is_asked_the_same_of_its_surroundings() {
    for kind in parts() {
        let beside = Beside {
            policy: &Policy::default(),
            properties: &Properties::default(),
            surfaces: &[],
        };
        let mut c = read_case(kind.id, kind.example, &[], beside).expect("an example");
        c.setting.chemicals = vec!["bleach".to_owned()];
        c.setting.sun = Sun::Outdoors;
        c.setting.life_h = 3.0 * 8766.0;
        let ids = limits_of(&c);
        for id in ["chemicals-strong-oxidant", "chemicals-weak-base", "sun"] {
            assert!(ids.iter().any(|i| i == id), "{}: {ids:?}", kind.id);
        }
    }
}
