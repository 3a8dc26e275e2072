//! `parts` and `parts NAME`: what a part asks, where it leads, what it warns of.

use crate::support::dutyfit;
use dutyfit::describe::PartSheet;
use dutyfit::duty::parts;
use dutyfit::render::{Page, PartList, PartShown};
use std::sync::LazyLock;

#[test]
fn the_list_names_every_kind_with_what_it_asks() {
    let text = PartList(SHEETS.clone()).text(Page {
        width: 80,
        colour: false,
    });
    for kind in parts() {
        assert!(text.contains(kind.id), "{}", kind.id);
    }
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("asks mass or mass per foot, shape,"),
        "{flat}"
    );
    assert!(
        flat.contains("asks bolt, torque or clamp, outer diameter,"),
        "{flat}"
    );
}

/// Every sheet, made once: what is needed is found by trying, kind by kind.
static SHEETS: LazyLock<Vec<PartSheet>> =
    LazyLock::new(|| parts().iter().map(PartSheet::of).collect());

#[test]
fn a_sheet_tells_inputs_limits_formulas_aims_cautions_and_the_example() {
    for sheet in SHEETS.iter() {
        let id = sheet.kind.id;
        let shown = PartShown(sheet.clone());
        let ran: serde_json::Value = serde_json::from_str(&shown.json()).unwrap();
        let p = &ran["parts"][0];
        assert_eq!(p["id"], id);
        for list in ["asks", "limits", "aims", "formulas", "cautions"] {
            assert!(!p[list].as_array().unwrap().is_empty(), "{id}: {list}");
        }
        assert_eq!(p["example"]["part"], id);
        let asks = p["asks"].as_array().unwrap();
        let needed = asks.iter().any(|a| a["needed"] == true);
        assert!(needed || id == "plain", "{id}");
        let text = shown.text(Page {
            width: 80,
            colour: false,
        });
        for part in [
            "What it asks",
            "Limits of its worked example",
            "Formulas",
            "Worked example",
        ] {
            assert!(text.contains(part), "{id}: {part}");
        }
    }
}

#[test]
fn what_a_word_of_another_input_asks_is_found() {
    let foot = dutyfit(&["parts", "support-foot", "--format", "json"])
        .exits(0)
        .json();
    let asks = foot["parts"][0]["asks"].as_array().unwrap().clone();
    let of = |name: &str| asks.iter().find(|a| a["name"] == name).unwrap().clone();
    assert_eq!(of("inner_diameter")["needed_where"]["input"], "shape");
    assert_eq!(
        of("inner_diameter")["needed_where"]["is"],
        serde_json::json!(["ring"])
    );
    assert_eq!(
        of("length")["needed_where"]["is"],
        serde_json::json!(["block"])
    );
    assert_eq!(of("mass")["instead"], serde_json::json!(["mass_per_foot"]));
    assert_eq!(of("feet")["default"], "4");
    assert_eq!(
        foot["parts"][0]["needs_of_use"],
        serde_json::json!(["counterface"])
    );
}

#[test]
fn sheets_and_list_keep_to_the_page() {
    for width in [80, 40] {
        let page = Page {
            width,
            colour: false,
        };
        let list = PartList(SHEETS.clone()).text(page);
        let sheets = SHEETS.iter().map(|s| PartShown(s.clone()).text(page));
        for line in sheets
            .chain([list])
            .flat_map(|t| t.lines().map(str::to_owned).collect::<Vec<_>>())
        {
            // A word that is longer than the page cannot be broken.
            let fits = line.chars().count() <= width || line.trim().split(' ').count() <= 2;
            assert!(fits, "{width}: {line}");
        }
    }
}

#[test]
fn near_names_and_plain_words_lead_to_a_part() {
    let ran = dutyfit(&["parts", "feet"]).exits(0);
    assert!(ran.out.starts_with("support-foot"), "{}", ran.out);
    let ran = dutyfit(&["parts", "bolt-wascher"]).exits(2);
    assert!(ran.err.contains("write `bolt-washer`"), "{}", ran.err);
    let ran = dutyfit(&["parts", "hook"]).exits(2);
    assert!(
        ran.err.contains("`snap-hook`") && ran.err.contains("`cantilever-bracket`"),
        "{}",
        ran.err
    );
    let ran = dutyfit(&["parts", "zeppelin"]).exits(2);
    assert!(
        ran.err.contains("there is no part kind `zeppelin`"),
        "{}",
        ran.err
    );
}
