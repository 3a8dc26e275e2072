//! Named sets of columns.

/// A named set of columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Preset {
    /// Name.
    pub name: &'static str,
    /// What it is for.
    pub what: &'static str,
    /// Its columns, as they are written on the command line.
    pub columns: &'static [&'static str],
}

const PRESETS: &[Preset] = &[
    Preset {
        name: "summary",
        what: "a bit of everything",
        columns: &[
            "polymer",
            "tensile-strength/flat",
            "tensile-strength/across",
            "tensile-modulus/flat",
            "impact-notched/across",
            "softening-onset",
            "price",
        ],
    },
    Preset {
        name: "strength",
        what: "what it takes before it breaks or yields",
        columns: &[
            "tensile-strength/flat",
            "tensile-strength/across",
            "yield-strength/flat",
            "layer-adhesion",
            "break-strain/flat",
            "tensile-modulus/flat",
            "flexural-strength/across",
            "impact-notched/across",
            "impact-plain/across",
        ],
    },
    Preset {
        name: "flexible",
        what: "what matters of soft materials",
        columns: &[
            "grade",
            "shore-a",
            "shore-d",
            "tensile-modulus/flat",
            "break-strain/flat",
            "rebound",
            "compression-set",
            "price",
        ],
    },
    Preset {
        name: "heat",
        what: "what is left when it is warm",
        columns: &[
            "softening-onset",
            "tensile-strength/across",
            "tensile-strength/across/60degC",
            "flexural-modulus/flat",
            "flexural-modulus/flat/60degC",
        ],
    },
    Preset {
        name: "lasting",
        what: "what is left after a long time under load",
        columns: &[
            "creep-modulus/flat",
            "sustained-strength/flat",
            "force-retained",
            "stretch-retained",
            "clamp-retained",
            "torque-retained",
            "compression-set",
        ],
    },
    Preset {
        name: "wear",
        what: "sliding: wear and friction",
        columns: &[
            "wear-rate",
            "kinetic-friction",
            "static-friction",
            "pv-held",
            "abrasion-index",
        ],
    },
    Preset {
        name: "printing",
        what: "what the printer needs, and what it costs",
        columns: &[
            "polymer",
            "drying",
            "nozzle",
            "bed",
            "water-uptake",
            "spool",
            "price",
        ],
    },
    Preset {
        name: "post",
        what: "a block to paste into a forum post, under 80 columns",
        columns: &[
            "tensile-strength/flat",
            "tensile-strength/across",
            "tensile-modulus/flat",
            "softening-onset",
            "price",
        ],
    },
];

/// All presets; the first is the default.
pub fn presets() -> &'static [Preset] {
    PRESETS
}

/// The preset of a name.
pub fn preset(name: &str) -> Option<&'static Preset> {
    PRESETS.iter().find(|p| p.name == name)
}
