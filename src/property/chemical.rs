//! How kinds of chemicals attack polymers: coarse letters, each with its status.

/// A coarse class of chemicals and cleaners.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ChemicalClass {
    /// Paraffins: white spirit, diesel, most of petrol.
    Aliphatic,
    /// Toluene, xylene; terpenes such as limonene count here.
    Aromatic,
    /// Dichloromethane, trichloroethylene.
    Chlorinated,
    /// Acetone, ethyl acetate; glycol ethers of brake fluid count here.
    EsterKetone,
    /// Ethanol, isopropanol, glycols.
    Alcohol,
    /// Vinegar, citric acid.
    WeakAcid,
    /// Battery acid, hydrochloric acid.
    StrongAcid,
    /// Ammonia, washing soda.
    WeakBase,
    /// Caustic soda.
    StrongBase,
    /// Bleach, hydrogen peroxide.
    StrongOxidant,
    /// Mineral and plant oils, greases.
    OilGrease,
    /// Soaps and detergents in water.
    SoapDetergent,
    /// Water and salts in it.
    Water,
}

/// A class with its words and the property that holds how it attacks a material.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChemicalRow {
    /// The class.
    pub class: ChemicalClass,
    /// Word in files (`ester-ketone`).
    pub word: &'static str,
    /// Auxiliary property: 0 none, 1 slight, 2 mild, 3 softens or swells, 4 severe.
    pub property: &'static str,
    /// What a material that fails does, for people.
    pub failure: &'static str,
    /// Whether it is an organic liquid or wets like one, in which stressed amorphous polymers crack.
    pub cracks: bool,
}

const fn row(
    class: ChemicalClass,
    word: &'static str,
    property: &'static str,
    failure: &'static str,
    cracks: bool,
) -> ChemicalRow {
    ChemicalRow {
        class,
        word,
        property,
        failure,
        cracks,
    }
}

/// Every class, in the order of the letters below.
#[rustfmt::skip]
pub const CHEMICALS: [ChemicalRow; 13] = [
    row(ChemicalClass::Aliphatic, "aliphatic", "attack-aliphatic", "is attacked by paraffins", true),
    row(ChemicalClass::Aromatic, "aromatic", "attack-aromatic", "is attacked by aromatics", true),
    row(ChemicalClass::Chlorinated, "chlorinated", "attack-chlorinated", "is attacked by chlorinated solvents", true),
    row(ChemicalClass::EsterKetone, "ester-ketone", "attack-ester-ketone", "is attacked by esters or ketones", true),
    row(ChemicalClass::Alcohol, "alcohol", "attack-alcohol", "is attacked by alcohols", true),
    row(ChemicalClass::WeakAcid, "weak-acid", "attack-weak-acid", "is attacked by weak acids", false),
    row(ChemicalClass::StrongAcid, "strong-acid", "attack-strong-acid", "is attacked by strong acids", false),
    row(ChemicalClass::WeakBase, "weak-base", "attack-weak-base", "is attacked by weak bases", false),
    row(ChemicalClass::StrongBase, "strong-base", "attack-strong-base", "is attacked by strong bases", false),
    row(ChemicalClass::StrongOxidant, "strong-oxidant", "attack-strong-oxidant", "is attacked by oxidants", false),
    row(ChemicalClass::OilGrease, "oil-grease", "attack-oil-grease", "swells in oil or grease", true),
    row(ChemicalClass::SoapDetergent, "soap-detergent", "attack-soap-detergent", "is attacked by soap or detergent", true),
    row(ChemicalClass::Water, "water", "attack-water", "is attacked by water", false),
];

impl ChemicalClass {
    /// Its row.
    pub fn row(self) -> &'static ChemicalRow {
        // The table is in the order of the enum; a test holds it there.
        &CHEMICALS[self as usize]
    }
}

/// Up to here the letter for a room counts, degC: the source's 25 degC and the usual window of 15 K.
pub const ROOM_LETTER_TO_C: f64 = 40.0;
/// From here the hot letter counts, degC. The source's hot temperature was not seen; such tables
/// mostly mean 60 degC (from memory, not verified).
pub const HOT_LETTER_FROM_C: f64 = 60.0;

/// How a class attacks a polymer.
#[derive(Clone, Debug, PartialEq)]
pub struct Attack {
    /// 0 none, 1 slight, 2 mild, 3 softens or swells, 4 severe; between the letters where it is warm.
    pub figure: f64,
    /// One standard deviation of the letter for a grade of this polymer (ours, no source).
    pub sd: f64,
    /// The letters and their status.
    pub status: String,
}

/// Doubt of a letter that was seen in its source: a third of a letter between grades.
const SEEN_SD: f64 = 0.35;
/// Doubt of a letter from memory.
const MEMORY_SD: f64 = 0.5;
/// Doubt where the source contradicts common experience.
const DOUBTED_SD: f64 = 0.9;

/// A polymer's letters in the order of [`CHEMICALS`], room then hot. Capitals were seen in the
/// source (a handbook table of families, Taylor and Francis 2006, scan partly scrambled: only rows
/// that read cleanly); small letters are from memory, not verified; `!` marks what contradicts
/// common experience, there the small letters are ours; `--` is not known.
///
/// The table's "none" for polycarbonate with aromatics and strong acids, and for polyurethane with
/// strong acids and oxidants, is such a contradiction, and so is its harshness to polyethylene in
/// esters and ketones. Filled polyamide has its matrix's letters.
#[rustfmt::skip]
const LETTERS: &[(&str, [&str; 13])] = &[
    ("tpu",          ["AD", "CD", "DE", "BC!", "bd", "bd", "de!", "AA", "CD", "de!", "ab", "ab", "ac"]),
    ("peba",         ["bd", "cd", "de", "cd", "bd", "bd", "de", "ab", "bc", "de", "ab", "ab", "ab"]),
    ("tpe",          ["de", "de", "ee", "cd", "ab", "ab", "bc", "aa", "ab", "cd", "de", "ab", "aa"]),
    ("tpc",          ["ab", "bd", "de", "cd", "ab", "bd", "de", "ac", "ce", "ce", "ab", "ac", "ac"]),
    ("pp-elastomer", ["cd", "de", "de", "bd", "ab", "ab", "bc", "aa", "ab", "cd", "cd", "aa", "aa"]),
    ("pla",          ["bc", "de", "ee", "de", "bc", "bc", "de", "cd", "ee", "cd", "bc", "bc", "bd"]),
    ("petg",         ["bc", "de", "ee", "de", "ab", "ab", "cd", "bd", "de", "bc", "bc", "ab", "ac"]),
    ("abs",          ["cd", "ee", "ee", "ee", "bc", "ab", "bd", "aa", "ab", "bd", "bc", "ab", "ab"]),
    ("asa",          ["cd", "ee", "ee", "ee", "bc", "ab", "bd", "aa", "ab", "bd", "bc", "ab", "ab"]),
    ("pc",           ["AA!", "cd!", "EE!", "EE!", "bc", "ab", "cd!", "ce!", "EE!", "AA!", "bc", "ac", "ac"]),
    ("pmma",         ["ac", "ee", "ee", "ee", "cd", "ab", "bd", "ab", "bd", "--", "ab", "ab", "ab"]),
    ("ps",           ["DE", "DE", "EE", "DE", "ab", "ab", "DE", "AE", "AE", "DE", "cd", "ab", "ab"]),
    ("pp",           ["AD", "BD", "BD", "AC", "aa", "aa", "AC", "AA", "AA", "AD", "ac", "aa", "aa"]),
    ("pe-hd",        ["CE", "CE", "DE", "DE!", "ab", "aa", "AA", "AA", "AA", "AA", "bd", "aa", "aa"]),
    ("pa-6",         ["AA", "AA", "AB", "AA", "bc", "bd", "EE", "AB", "BC", "EE", "aa", "ab", "ab"]),
    ("pa-66",        ["AA", "AA", "AB", "AA", "bc", "bd", "EE", "AB", "BC", "EE", "aa", "ab", "ab"]),
    ("pa-12",        ["AA", "AA", "AB", "AA", "bc", "bd", "EE", "AB", "BC", "EE", "aa", "ab", "ab"]),
    ("pa-cf",        ["AA", "AA", "AB", "AA", "bc", "bd", "EE", "AB", "BC", "EE", "aa", "ab", "ab"]),
    ("pom",          ["AB", "AB", "AB", "AB", "aa", "bc", "EE", "AA", "AB", "EE", "aa", "aa", "ab"]),
    ("pbt",          ["ab", "bd", "de", "bc", "ab", "ac", "cd", "bd", "de", "bd", "aa", "ac", "ad"]),
    ("pvdf",         ["aa", "ab", "ab", "de", "aa", "aa", "ab", "bc", "cd", "ab", "aa", "ab", "aa"]),
    ("pctg",         ["bc", "de", "ee", "de", "ab", "ab", "cd", "bd", "de", "bc", "bc", "ab", "ac"]),
];

/// How a class attacks a polymer at a temperature in degC; `None` where the table does not know.
///
/// The room letter counts to [`ROOM_LETTER_TO_C`], the hot one from [`HOT_LETTER_FROM_C`], and a
/// straight line joins them (ours, no source).
pub fn attack(polymer: &str, class: ChemicalClass, temperature_c: f64) -> Option<Attack> {
    let cell = LETTERS.iter().find(|l| l.0 == polymer)?.1[class as usize];
    let doubted = cell.ends_with('!');
    let mut letters = cell.chars();
    let (room, hot) = (letters.next()?, letters.next()?);
    let (from, to) = (grade(room)?, grade(hot)?);
    let share = ((temperature_c - ROOM_LETTER_TO_C) / (HOT_LETTER_FROM_C - ROOM_LETTER_TO_C))
        .clamp(0.0, 1.0);
    let seen = room.is_ascii_uppercase();
    let (sd, whence) = match (doubted, seen) {
        (false, true) => (SEEN_SD, "verified in source"),
        (false, false) => (MEMORY_SD, "from memory, not verified"),
        (true, true) => (
            DOUBTED_SD,
            "verified in source, doubted: it contradicts common experience",
        ),
        (true, false) => (
            DOUBTED_SD,
            "from memory, not verified; the source's letters contradict common experience",
        ),
    };
    let upper = |c: char| c.to_ascii_uppercase();
    Some(Attack {
        figure: from + share * (to - from),
        sd,
        status: format!(
            "letter {} at room and {} hot, A none to E severe; {whence}",
            upper(room),
            upper(hot)
        ),
    })
}

fn grade(letter: char) -> Option<f64> {
    match letter.to_ascii_uppercase() {
        'A' => Some(0.0),
        'B' => Some(1.0),
        'C' => Some(2.0),
        'D' => Some(3.0),
        'E' => Some(4.0),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::property::{Properties, polymers};

    #[test]
    fn the_table_is_whole() {
        let properties = Properties::default();
        for (i, row) in CHEMICALS.iter().enumerate() {
            assert_eq!(row.class as usize, i);
            assert_eq!(row.property, format!("attack-{}", row.word));
            assert!(properties.get(row.property).is_some_and(|p| p.auxiliary));
        }
        for p in polymers() {
            let row = LETTERS.iter().find(|l| l.0 == p.id);
            for cell in row.map(|r| r.1).unwrap_or_default() {
                let letters = cell.trim_end_matches('!');
                assert!(
                    letters == "--" || letters.chars().filter_map(grade).count() == 2,
                    "{}: {cell}",
                    p.id
                );
                // Warmth never helps.
                assert!(letters.chars().nth(1) >= letters.chars().next());
            }
            assert!(row.is_some(), "{}", p.id);
        }
    }

    #[test]
    fn warmth_goes_from_the_room_letter_to_the_hot_one() {
        let at = |c| attack("pp", ChemicalClass::Aliphatic, c).map(|a| a.figure);
        assert_eq!(at(20.0), Some(0.0));
        assert_eq!(at(40.0), Some(0.0));
        assert_eq!(at(50.0), Some(1.5));
        assert_eq!(at(80.0), Some(3.0));
        assert_eq!(attack("other", ChemicalClass::Aliphatic, 20.0), None);
        assert_eq!(attack("pmma", ChemicalClass::StrongOxidant, 20.0), None);
    }
}
