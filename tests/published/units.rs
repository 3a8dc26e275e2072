//! Units against printed figures and definitions, and every unit that files may hold.

use dutyfit::quantity::{Reading, Unit, parse_amount, parse_bounded_amount, parse_reading};
use proptest::prelude::*;

/// Figure as printed, unit to read it in, value, tolerance, source and its status.
const PRINTED: &[(&str, &str, f64, f64, &str)] = &[
    (
        "5.6 kgf/mm2",
        "MPa",
        54.91724,
        1e-5,
        "plastics table in kgf/mm2; derived from the definition",
    ),
    (
        "3630 psi",
        "MPa",
        25.0,
        0.05,
        "property sheet of nylon 6 in psi and MPa; verified in source",
    ),
    (
        "0.0365 lb/in^3",
        "g/cm3",
        1.01,
        0.005,
        "property sheet of nylon 6 in lb/in3 and g/cm3; verified in source",
    ),
    (
        "1.7 ft.lbf/in",
        "J/m",
        90.0,
        1.0,
        "Engineering Plastics Handbook, table 5.5, acetal; verified in source",
    ),
    (
        "7.0 ft.lbf/in",
        "J/m",
        373.650_615_7,
        1e-6,
        "ABS data sheet in ft.lbf/in; derived from the definition",
    ),
    (
        "1e-15 m3/(N.m)",
        "mm3/(N.m)",
        1e-6,
        1e-12,
        "derived from the definition",
    ),
    (
        "26e-8 mm3/(N.m)",
        "mm3/(N.m)",
        2.6e-7,
        1e-13,
        "wear-factor table in 1e-8 mm3/(N.m); derived from the definition",
    ),
    (
        "10 kgf.cm",
        "N.m",
        0.980_665,
        1e-9,
        "derived from the definition",
    ),
    (
        "4600 gf",
        "N",
        45.110_59,
        1e-6,
        "derived from the definition",
    ),
    (
        "-40 degF",
        "degC",
        -40.0,
        1e-9,
        "the point at which both scales meet; derived from the definition",
    ),
    (
        "212 degF",
        "degC",
        100.0,
        1e-9,
        "boiling point of water; derived from the definition",
    ),
];

#[test]
fn printed_figures_convert() {
    for (text, to, value, tolerance, source) in PRINTED {
        assert!(!source.is_empty());
        let got = parse_amount(text, &Unit::parse(to).unwrap(), "it").unwrap();
        assert!(
            (got - value).abs() <= *tolerance,
            "{text} is {got} {to}, not {value} ({source})"
        );
    }
}

/// Every unit that files may hold, those of one kind on one line.
const KINDS: &[&[&str]] = &[
    &["N", "kN", "kgf", "gf", "lbf"],
    &["MPa", "GPa", "kPa", "Pa", "psi", "bar", "kgf/cm2"],
    &["um", "mm", "cm", "m", "km", "in"],
    &["mm2", "cm2"],
    &["mm3", "cm3", "mL"],
    &["s", "min", "h", "d", "week", "year"],
    &["degC", "degF"],
    &["K"],
    &["N.m", "kgf.cm", "lbf.in", "J", "kJ"],
    &["J/m"],
    &["kJ/m2", "N/mm"],
    &["g", "mg", "kg"],
    &["g/cm3", "kg/m3"],
    &["deg"],
    &["rpm", "Hz"],
    &["m/s", "mm/s"],
    &["mm3/s"],
    &["MPa.m/s"],
    &["mm3/(N.m)"],
    &["1/K", "um/(m.K)"],
    &["W/(m.K)"],
    &["K/W"],
    &["J/(kg.K)"],
    &["mm2/s"],
    &["MPa.m^0.5"],
    &["ohm.m"],
    &["1/decade"],
    &["%", "1", "cycles", "strokes", "turns"],
    &["shoreA"],
    &["shoreD"],
    &["per kg"],
];

#[test]
fn every_unit_reads_and_fits_only_its_kind() {
    for (i, kind) in KINDS.iter().enumerate() {
        for a in *kind {
            let unit = Unit::parse(a).unwrap_or_else(|e| panic!("{a}: {e}"));
            for b in KINDS.iter().flat_map(|k| k.iter()) {
                let other = Unit::parse(b).unwrap();
                // A force along a metre is an energy a square metre times a length: J/m is a force.
                let force = |u: &str| matches!(u, "J/m") || KINDS[0].contains(&u);
                let fits = kind.contains(b) || force(a) && force(b);
                assert_eq!(
                    unit.conversion_fault(&other, a, "it").is_none(),
                    fits,
                    "{a} for {b} (line {i})"
                );
            }
        }
    }
}

#[test]
fn a_wrong_kind_is_refused_with_the_unit_to_write() {
    let refusal =
        |text: &str, unit: &str| parse_amount(text, &Unit::parse(unit).unwrap(), "it").unwrap_err();
    assert!(refusal("12.4 kg", "N").fix.contains("kgf"));
    assert!(refusal("12.4 g", "N").fix.contains("gf"));
    assert!(refusal("12.4 lb", "N").fix.contains("lbf"));
    assert!(refusal("300 K", "degC").fix.contains("degC"));
    assert!(refusal("12", "mm").fix.contains("12 mm"));
    assert!(refusal("12 newton", "N").code == "unit::unknown");
    assert!(refusal("12 mm.degC", "mm").code == "unit::point-in-product");
}

proptest! {
    /// A force entered in kgf and the same in N are one figure.
    #[test]
    fn kgf_and_n_are_one_figure(x in 1e-3..1e6f64) {
        let n = Unit::parse("N").unwrap();
        let a = parse_amount(&format!("{x} kgf"), &n, "force").unwrap();
        let b = parse_amount(&format!("{} N", x * 9.80665), &n, "force").unwrap();
        prop_assert!((a - b).abs() <= 1e-12 * a);
    }

    /// What is printed reads back as it was, in any unit of its kind.
    #[test]
    fn print_then_read_is_the_identity(x in -1e9..1e9f64, kind in 0..KINDS.len(), unit in 0..8usize) {
        let unit = KINDS[kind][unit % KINDS[kind].len()];
        let u = Unit::parse(unit).unwrap();
        let read = parse_bounded_amount(&format!("{x} {u}"), &u, "it").unwrap();
        prop_assert_eq!(read, Reading::Exact(x));
        let bound = parse_reading(&format!(">={x}")).unwrap();
        prop_assert_eq!(bound, Reading::AtLeast(x));
        let range = parse_reading(&format!("{x}..{}", x + 1.0)).unwrap();
        prop_assert_eq!(range, Reading::Between(x, x + 1.0));
    }

    /// No text makes the readers stumble.
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,40}", unit in "[a-zA-Z0-9./^() %-]{0,20}") {
        drop(parse_reading(&text));
        drop(Unit::parse(&unit));
        drop(parse_amount(&format!("{text} {unit}"), &Unit::parse("mm").unwrap(), "it"));
    }
}
