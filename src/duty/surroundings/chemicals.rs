//! What a person calls a chemical, and the limits that it sets for any part.

use crate::duty::words::{Phrase, tokens};
use crate::duty::{Duty, Limit, LimitSense, Performance, Setting};
use crate::policy::Class;
use crate::property::Ask;
use crate::property::chemical::{CHEMICALS, ChemicalClass, ChemicalRow};

use ChemicalClass::{
    Alcohol, Aliphatic, Aromatic, Chlorinated, EsterKetone, OilGrease, SoapDetergent, StrongAcid,
    StrongBase, StrongOxidant, Water, WeakAcid, WeakBase,
};

/// Words of bench and household and what they are, coarsely (from memory, not verified). Mixtures
/// count as all that they hold; a longer entry hides a shorter one within it.
#[rustfmt::skip]
const WORDS: &[(&str, &[ChemicalClass])] = &[
    // Solvents and fuels.
    ("white spirit", &[Aliphatic]), ("mineral spirits", &[Aliphatic]), ("turps substitute", &[Aliphatic]),
    ("diesel", &[Aliphatic, OilGrease]), ("kerosene", &[Aliphatic]), ("paraffin", &[Aliphatic]),
    ("lamp oil", &[Aliphatic]), ("naphtha", &[Aliphatic]), ("hexane", &[Aliphatic]), ("heptane", &[Aliphatic]),
    ("lighter fluid", &[Aliphatic]), ("degreaser", &[Aliphatic, SoapDetergent]),
    ("penetrating oil", &[Aliphatic, OilGrease]), ("two-stroke mix", &[Aliphatic, Aromatic, OilGrease]),
    ("petrol", &[Aliphatic, Aromatic]), ("gasoline", &[Aliphatic, Aromatic]), ("fuel", &[Aliphatic, Aromatic]),
    ("toluene", &[Aromatic]), ("xylene", &[Aromatic]), ("benzene", &[Aromatic]), ("styrene", &[Aromatic]),
    ("creosote", &[Aromatic]), ("wood preservative", &[Aliphatic, Aromatic]),
    ("limonene", &[Aromatic]), ("orange oil", &[Aromatic]), ("citrus cleaner", &[Aromatic, SoapDetergent]),
    ("turpentine", &[Aromatic]), ("terpene", &[Aromatic]), ("pine oil", &[Aromatic]), ("tea tree oil", &[Aromatic]),
    ("paint thinner", &[Aliphatic, Aromatic, EsterKetone]), ("cellulose thinner", &[Aromatic, EsterKetone]),
    ("thinner", &[Aliphatic, Aromatic, EsterKetone]),
    ("dichloromethane", &[Chlorinated]), ("methylene chloride", &[Chlorinated]), ("chloroform", &[Chlorinated]),
    ("trichloroethylene", &[Chlorinated]), ("perchloroethylene", &[Chlorinated]), ("paint stripper", &[Chlorinated]),
    ("dry cleaning fluid", &[Chlorinated]), ("brake cleaner", &[Aliphatic, Chlorinated, EsterKetone]),
    ("acetone", &[EsterKetone]), ("ketone", &[EsterKetone]), ("methyl ethyl ketone", &[EsterKetone]), ("mek", &[EsterKetone]),
    ("ethyl acetate", &[EsterKetone]), ("butyl acetate", &[EsterKetone]), ("amyl acetate", &[EsterKetone]),
    ("nail varnish remover", &[EsterKetone]), ("nail polish remover", &[EsterKetone]),
    ("brake fluid", &[EsterKetone]), ("glycol ether", &[EsterKetone]), ("plasticiser", &[EsterKetone]),
    ("insect repellent", &[EsterKetone, Alcohol]), ("deet", &[EsterKetone]),
    // Alcohols.
    ("alcohol", &[Alcohol]), ("isopropanol", &[Alcohol]), ("isopropyl", &[Alcohol]), ("ipa", &[Alcohol]), ("ethanol", &[Alcohol]),
    ("methanol", &[Alcohol]), ("methylated spirit", &[Alcohol]), ("meths", &[Alcohol]), ("surgical spirit", &[Alcohol]),
    ("hand sanitiser", &[Alcohol]), ("hand sanitizer", &[Alcohol]), ("hand gel", &[Alcohol]), ("screenwash", &[Alcohol, SoapDetergent]),
    ("antifreeze", &[Alcohol]), ("coolant", &[Alcohol]), ("glycol", &[Alcohol]), ("glycerine", &[Alcohol]), ("glycerin", &[Alcohol]),
    ("perfume", &[Alcohol, EsterKetone]), ("deodorant", &[Alcohol, OilGrease]),
    // Acids.
    ("vinegar", &[WeakAcid]), ("acetic acid", &[WeakAcid]), ("citric acid", &[WeakAcid]), ("lemon juice", &[WeakAcid]),
    ("descaler", &[WeakAcid]), ("limescale remover", &[WeakAcid]), ("lactic acid", &[WeakAcid]), ("tannin", &[WeakAcid]),
    ("fruit juice", &[WeakAcid]), ("wine", &[WeakAcid]), ("beer", &[WeakAcid]), ("silage", &[WeakAcid]), ("milk", &[WeakAcid, OilGrease]),
    ("battery acid", &[StrongAcid]), ("sulphuric acid", &[StrongAcid]), ("sulfuric acid", &[StrongAcid]),
    ("hydrochloric acid", &[StrongAcid]), ("muriatic acid", &[StrongAcid]), ("brick acid", &[StrongAcid]),
    ("phosphoric acid", &[StrongAcid]), ("rust remover", &[StrongAcid]), ("nitric acid", &[StrongAcid, StrongOxidant]),
    ("toilet cleaner", &[StrongAcid, SoapDetergent]),
    // Bases.
    ("ammonia", &[WeakBase]), ("ammonia window cleaner", &[WeakBase, Alcohol]), ("window cleaner", &[WeakBase, Alcohol]),
    ("glass cleaner", &[WeakBase, Alcohol]), ("washing soda", &[WeakBase]), ("soda crystals", &[WeakBase]), ("baking soda", &[WeakBase]),
    ("urea", &[WeakBase]), ("manure", &[WeakBase]), ("slurry", &[WeakBase]), ("garden lime", &[WeakBase]), ("cement", &[WeakBase]),
    ("wood ash", &[WeakBase]), ("caustic soda", &[StrongBase]), ("lye", &[StrongBase]), ("sodium hydroxide", &[StrongBase]),
    ("potassium hydroxide", &[StrongBase]), ("drain cleaner", &[StrongBase]), ("oven cleaner", &[StrongBase]),
    ("dishwasher tablet", &[StrongBase, StrongOxidant]), ("dishwasher", &[StrongBase, SoapDetergent]),
    // Oxidants.
    ("bleach", &[StrongOxidant, WeakBase]), ("hypochlorite", &[StrongOxidant, WeakBase]), ("hydrogen peroxide", &[StrongOxidant]),
    ("peroxide", &[StrongOxidant]), ("permanganate", &[StrongOxidant]), ("ozone", &[StrongOxidant]), ("chlorine", &[StrongOxidant]),
    ("pool chlorine", &[StrongOxidant]), ("mould remover", &[StrongOxidant, WeakBase]), ("pool water", &[Water]),
    // Oils and greases.
    ("oil", &[OilGrease]), ("grease", &[OilGrease]), ("chain oil", &[OilGrease]), ("chain lube", &[OilGrease]), ("lubricant", &[OilGrease]),
    ("engine oil", &[OilGrease]), ("hydraulic oil", &[OilGrease]), ("gear oil", &[OilGrease]), ("silicone oil", &[OilGrease]),
    ("silicone grease", &[OilGrease]), ("cutting oil", &[OilGrease]), ("linseed oil", &[OilGrease]), ("cooking oil", &[OilGrease]),
    ("olive oil", &[OilGrease]), ("butter", &[OilGrease]), ("wax", &[OilGrease]), ("beeswax", &[OilGrease]), ("petroleum jelly", &[OilGrease]),
    ("sunscreen", &[OilGrease]), ("sun cream", &[OilGrease]), ("hand cream", &[OilGrease]), ("lotion", &[OilGrease]), ("cosmetics", &[OilGrease]),
    // Soaps and waters.
    ("soap", &[SoapDetergent]), ("dish soap", &[SoapDetergent]), ("washing-up liquid", &[SoapDetergent]), ("washing up liquid", &[SoapDetergent]),
    ("detergent", &[SoapDetergent]), ("shampoo", &[SoapDetergent]), ("washing powder", &[SoapDetergent, WeakBase]),
    ("all-purpose cleaner", &[SoapDetergent]), ("sweat", &[Water]), ("water", &[Water]), ("rain", &[Water]),
    ("sea water", &[Water]), ("salt water", &[Water]), ("seawater", &[Water]), ("brine", &[Water]), ("road salt", &[Water]), ("salt", &[Water]),
    ("fertiliser", &[Water]), ("fertilizer", &[Water]), ("tomato feed", &[Water]), ("plant feed", &[Water]),
];

/// What is too much: past mild (2), short of softening (3).
const MILD: f64 = 2.3;

/// What a named chemical was taken for.
#[derive(Clone, Debug, PartialEq)]
struct Taken {
    /// As the case writes it.
    name: String,
    /// Its classes in the order of the table; empty where it is in none.
    classes: Vec<ChemicalClass>,
}

/// What a person's words for a chemical were taken for.
fn taken(name: &str) -> Taken {
    let words = tokens(name);
    // Where each entry stands; one within a longer one says nothing of its own.
    let mut found: Vec<(std::ops::Range<usize>, &[ChemicalClass])> = Vec::new();
    let classes = CHEMICALS
        .iter()
        .map(|c| (c.word, std::slice::from_ref(&c.class)));
    for (entry, of) in WORDS.iter().map(|w| (w.0, w.1)).chain(classes) {
        found.extend(
            Phrase::of(entry)
                .places(&words)
                .into_iter()
                .map(|at| (at, of)),
        );
    }
    let within = |a: &std::ops::Range<usize>, b: &std::ops::Range<usize>| {
        b.start <= a.start && a.end <= b.end && b.len() > a.len()
    };
    let mut classes: Vec<ChemicalClass> = found
        .iter()
        .filter(|(at, _)| !found.iter().any(|(other, _)| within(at, other)))
        .flat_map(|(_, of)| of.iter().copied())
        .collect();
    classes.sort();
    classes.dedup();
    Taken {
        name: name.trim().to_owned(),
        classes,
    }
}

/// The chemicals of a case in which amorphous polymers under lasting stress are taken to crack, as
/// the case writes them: every organic liquid, and what wets like one.
pub fn cracking(setting: &Setting) -> Vec<String> {
    setting
        .chemicals
        .iter()
        .map(|c| taken(c))
        .filter(|t| t.classes.iter().any(|c| c.row().cracks))
        .map(|t| t.name)
        .collect()
}

/// The entry that reads most like some words, if any does.
fn near(name: &str) -> Option<&'static str> {
    let written = tokens(name).join(" ");
    WORDS
        .iter()
        .map(|w| (w.0, strsim::damerau_levenshtein(w.0, &written)))
        .filter(|(w, d)| *d <= 1 + w.len() / 6)
        .min_by_key(|(_, d)| *d)
        .map(|(w, _)| w)
}

/// Adds a limit for each class that the case names, and says what was taken for what.
pub(super) fn add(setting: &Setting, class: Class, duty: &mut Duty) {
    let all: Vec<Taken> = setting.chemicals.iter().map(|c| taken(c)).collect();
    for row in &CHEMICALS {
        let names: Vec<&str> = all
            .iter()
            .filter(|t| t.classes.contains(&row.class))
            .map(|t| t.name.as_str())
            .collect();
        if !names.is_empty() {
            limit(setting, row, &names, class, duty);
        }
    }
    for t in &all {
        if t.classes.is_empty() {
            // First, because nothing was judged for it.
            duty.notes.insert(0, told(t));
        } else {
            duty.notes.push(told(t));
        }
    }
}

fn limit(
    setting: &Setting,
    row: &'static ChemicalRow,
    names: &[&str],
    class: Class,
    duty: &mut Duty,
) {
    let hottest = setting.temperature_c.1;
    let need = duty.ask(Ask::room(row.property).at(hottest));
    duty.limits.push(Limit {
        id: format!("chemicals-{}", row.word),
        title: format!("grade of attack, 0 to 4, by {}", names.join(", ")),
        failure: row.failure,
        class,
        sense: LimitSense::AtMost(MILD),
        unit: "1".to_owned(),
        needs: vec![vec![need]],
        performance: Performance::new(move |i, t| {
            let [attack] = *i.x else { return f64::NAN };
            t.step("D11", "hottest in use", hottest, "degC");
            t.step("D11", "attack, 0 none to 4 severe", attack, "1")
        }),
        source: "D11: letters by family (verified in source for some pairs, the rest from memory, not verified; each told with its figure); at most mild is ours",
    });
}

fn told(t: &Taken) -> String {
    if t.classes.is_empty() {
        let near = near(&t.name).map_or_else(
            || {
                format!(
                    "write its class beside it, `{} (alcohol)`, if it is one of {}",
                    t.name,
                    CHEMICALS.map(|c| c.word).join(", ")
                )
            },
            |w| format!("write `{w}` if that is meant"),
        );
        return format!(
            "`{}` is unknown here as a chemical: nothing is judged for it; {near}",
            t.name
        );
    }
    let words: Vec<&str> = t.classes.iter().map(|c| c.row().word).collect();
    format!(
        "`{}` is judged as {} (coarse classes, from memory)",
        t.name,
        words.join(" and ")
    )
}
