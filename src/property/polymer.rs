//! The polymers: ids, kinds, and the auxiliary figures that no bench test here gives.

/// Which family of behaviour a polymer belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PolymerKind {
    /// Rubber-like at room temperature.
    Flexible,
    /// Stiff, glassy at room temperature, softening at its glass transition.
    Amorphous,
    /// Stiff, partly crystalline.
    Semicrystalline,
    /// Fibre-filled.
    Filled,
}

/// One generic polymer.
#[derive(Clone, Debug, PartialEq)]
pub struct Polymer {
    /// Id as in files (`tpu`, `pa-12`).
    pub id: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// Behaviour.
    pub kind: PolymerKind,
    /// Whether it takes up enough water to change (polyamides, soft blocks).
    pub hygroscopic: bool,
    /// Whether it is a polyamide (the moist-polyamide caution).
    pub polyamide: bool,
    /// Thermal expansion, um/(m.K).
    pub expansion: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Bulk modulus, MPa.
    pub bulk_mpa: f64,
    /// Conductivity, W/(m.K).
    pub conductivity: f64,
    /// Sun class: 0 poor, 1 fair, 2 good.
    pub sun: f64,
    /// Share of the static strength left at ten million cycles. PA 66 35.9 MPa and PC 5.5 MPa of
    /// ASTM D671 (a public table, verified in source) over static strengths from memory; the others
    /// between those and the usual placeholder of 0.2 to 0.3 (common practice, no source).
    pub fatigue: f64,
    /// Stiffness in vibration over stiffness at rest; 1.1 to 3 for elastomers (from memory, not verified).
    pub dynamic: f64,
    /// Where the auxiliary figures come from.
    pub status: &'static str,
}

const MEMORY: &str = "from memory, not verified";

macro_rules! polymers {
    ($($id:literal $title:literal $kind:ident $hyg:literal $pa:literal $a:literal $nu:literal $b:literal $k:literal $sun:literal $fatigue:literal $dynamic:literal;)*) => {
        &[$(Polymer { id: $id, title: $title, kind: PolymerKind::$kind, hygroscopic: $hyg, polyamide: $pa,
            expansion: $a, poisson: $nu, bulk_mpa: $b, conductivity: $k, sun: $sun, fatigue: $fatigue, dynamic: $dynamic, status: MEMORY }),*]
    };
}

/// id, title, kind, hygroscopic, polyamide, expansion, Poisson, bulk, conductivity, sun, fatigue, dynamic.
const POLYMERS: &[Polymer] = polymers! {
    "tpu" "TPU" Flexible false false 160.0 0.48 2000.0 0.20 1.0 0.15 1.6;
    "peba" "PEBA" Flexible true false 180.0 0.48 1500.0 0.22 0.0 0.20 1.4;
    "tpe" "TPE (styrenic)" Flexible false false 180.0 0.49 1500.0 0.18 1.0 0.15 1.4;
    "tpc" "TPC (copolyester)" Flexible false false 170.0 0.47 1800.0 0.20 1.0 0.20 1.5;
    "pp-elastomer" "PP elastomer" Flexible false false 160.0 0.47 1500.0 0.18 0.0 0.20 1.5;
    "pla" "PLA" Amorphous false false 70.0 0.36 3500.0 0.13 0.0 0.15 1.1;
    "petg" "PETG" Amorphous false false 65.0 0.38 3000.0 0.20 1.0 0.15 1.1;
    "abs" "ABS" Amorphous false false 90.0 0.36 3000.0 0.17 0.0 0.20 1.1;
    "asa" "ASA" Amorphous false false 95.0 0.36 3000.0 0.17 2.0 0.20 1.1;
    "pc" "PC" Amorphous false false 68.0 0.38 3500.0 0.20 1.0 0.09 1.1;
    "pmma" "PMMA" Amorphous false false 75.0 0.37 4000.0 0.19 2.0 0.20 1.1;
    "ps" "PS (HIPS)" Amorphous false false 80.0 0.35 3000.0 0.15 0.0 0.20 1.1;
    "pp" "PP" Semicrystalline false false 120.0 0.42 2500.0 0.20 0.0 0.30 1.2;
    "pe-hd" "PE-HD" Semicrystalline false false 150.0 0.44 2200.0 0.42 1.0 0.30 1.3;
    "pa-6" "PA 6" Semicrystalline true true 90.0 0.39 3500.0 0.25 0.0 0.40 1.2;
    "pa-66" "PA 66" Semicrystalline true true 85.0 0.39 3500.0 0.25 0.0 0.45 1.2;
    "pa-12" "PA 12" Semicrystalline true true 105.0 0.40 3000.0 0.23 0.0 0.30 1.2;
    "pa-cf" "PA, carbon-filled" Filled true true 35.0 0.38 4500.0 0.45 1.0 0.30 1.1;
    "pom" "POM" Semicrystalline false false 110.0 0.40 3500.0 0.30 0.0 0.35 1.1;
    "pbt" "PBT" Semicrystalline false false 95.0 0.39 3500.0 0.25 1.0 0.25 1.1;
    "pvdf" "PVDF" Semicrystalline false false 130.0 0.38 3000.0 0.19 2.0 0.25 1.2;
    "pctg" "PCTG" Amorphous false false 68.0 0.38 3000.0 0.20 1.0 0.15 1.1;
};

/// Other names of the trade, and the polymers that each may mean.
const ALSO_CALLED: &[(&str, &[&str])] = &[
    ("nylon", &["pa-6", "pa-66", "pa-12"]),
    ("polyamide", &["pa-6", "pa-66", "pa-12"]),
    ("nylon 6", &["pa-6"]),
    ("polyamide 6", &["pa-6"]),
    ("nylon 66", &["pa-66"]),
    ("polyamide 66", &["pa-66"]),
    ("nylon 12", &["pa-12"]),
    ("polyamide 12", &["pa-12"]),
    ("pa", &["pa-6", "pa-66", "pa-12"]),
    ("carbon nylon", &["pa-cf"]),
    ("nylon cf", &["pa-cf"]),
    ("polycarbonate", &["pc"]),
    ("acetal", &["pom"]),
    ("polyacetal", &["pom"]),
    ("polyoxymethylene", &["pom"]),
    ("acrylic", &["pmma"]),
    ("polystyrene", &["ps"]),
    ("hips", &["ps"]),
    ("styrene", &["ps"]),
    ("polypropylene", &["pp"]),
    ("polyethylene", &["pe-hd"]),
    ("pe", &["pe-hd"]),
    ("hdpe", &["pe-hd"]),
    ("polyurethane", &["tpu"]),
    ("polylactide", &["pla"]),
    ("polylactic acid", &["pla"]),
    ("pet", &["petg"]),
    ("pet g", &["petg"]),
    ("copolyester", &["petg", "pctg", "tpc"]),
    ("polyester elastomer", &["tpc"]),
    ("tpee", &["tpc"]),
    ("styrenic elastomer", &["tpe"]),
    ("sebs", &["tpe"]),
    ("tps", &["tpe"]),
    ("rubber", &["tpu", "tpe", "peba"]),
    ("flex", &["tpu", "tpe", "tpc"]),
    ("flexible", &["tpu", "tpe", "tpc"]),
];

/// The polymers that another name of the trade may mean (`nylon`, `HDPE`); none where it is no such name.
pub fn polymers_called(name: &str) -> &'static [&'static str] {
    let plain = |s: &str| -> String {
        s.chars()
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect()
    };
    let name = plain(name);
    ALSO_CALLED
        .iter()
        .find(|(other, _)| plain(other) == name)
        .map_or(&[], |(_, ids)| ids)
}

/// All known polymers.
pub fn polymers() -> &'static [Polymer] {
    POLYMERS
}

/// The polymer of an id.
pub fn polymer(id: &str) -> Option<&'static Polymer> {
    POLYMERS.iter().find(|p| p.id == id)
}
