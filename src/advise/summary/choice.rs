//! Which materials a table shows, and in which order.

use crate::advise::summary::{Stiffness, ToldBy, stiffness};
use crate::belief::{Evidence, Material, MaterialKind};
use crate::property::polymers;

/// A group that is asked for by its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Group {
    /// Every candidate.
    All,
    /// The flexible ones.
    Flexible,
    /// The rigid ones.
    Rigid,
}

impl Group {
    /// The group of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        match word {
            "all" => Some(Group::All),
            "flexible" => Some(Group::Flexible),
            "rigid" => Some(Group::Rigid),
            _ => None,
        }
    }
    /// The word of a group.
    pub fn word(self) -> &'static str {
        match self {
            Group::All => "all",
            Group::Flexible => "flexible",
            Group::Rigid => "rigid",
        }
    }
}

/// What was asked for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Choice {
    /// Groups.
    pub groups: Vec<Group>,
    /// Materials by name, of any kind; with no group and no name every candidate is meant.
    pub named: Vec<String>,
    /// Only these polymers, each with its blends; `a+b` means both at once; none for all.
    pub polymers: Vec<String>,
    /// Not these.
    pub without: Vec<String>,
}

/// Which materials those are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chosen {
    /// Materials: as named where only names were given, else by polymer in the polymer table's order,
    /// then by id.
    pub materials: Vec<String>,
    /// Taken as flexible or rigid by their polymer, for want of modulus and hardness.
    pub by_polymer: Vec<String>,
    /// Left out since nothing tells whether they are flexible or rigid.
    pub untold: Vec<String>,
}

/// Finds the materials of a choice.
pub fn choose(evidence: &Evidence, choice: &Choice) -> Chosen {
    let mut out = Chosen::default();
    let all = evidence.materials();
    let whole = choice.groups.is_empty() && choice.named.is_empty();
    let by_stiffness = choice.groups.iter().any(|g| *g != Group::All);
    let any = whole || choice.groups.contains(&Group::All);
    let mut picked: Vec<&Material> = Vec::new();
    for m in all.iter().filter(|m| fits(m, choice)) {
        let named = choice.named.contains(&m.id);
        let mut taken = named || (any && m.kind == MaterialKind::Candidate);
        if !taken && by_stiffness && m.kind == MaterialKind::Candidate {
            match stiffness(m, evidence) {
                None => out.untold.push(m.id.clone()),
                Some((s, by)) => {
                    let group = match s {
                        Stiffness::Flexible => Group::Flexible,
                        Stiffness::Rigid => Group::Rigid,
                    };
                    taken = choice.groups.contains(&group);
                    if taken && by == ToldBy::Polymer {
                        out.by_polymer.push(m.id.clone());
                    }
                }
            }
        }
        if taken {
            picked.push(m);
        }
    }
    if choice.groups.is_empty() && !choice.named.is_empty() {
        let place = |m: &Material| choice.named.iter().position(|n| *n == m.id);
        picked.sort_by_key(|m| place(m));
    } else {
        picked.sort_by(|a, b| (polymer_place(a), &a.id).cmp(&(polymer_place(b), &b.id)));
    }
    out.materials = picked.into_iter().map(|m| m.id.clone()).collect();
    out
}

fn fits(m: &Material, choice: &Choice) -> bool {
    if choice.without.contains(&m.id) {
        return false;
    }
    let of = |asked: &String| match asked.as_str() {
        "other" => m.polymers.is_empty(),
        asked => asked
            .split('+')
            .all(|p| m.polymers.iter().any(|x| x == p.trim())),
    };
    choice.polymers.is_empty() || choice.polymers.iter().any(of)
}

/// Place of each polymer of a material in the table, so that kindred ones stand together; `other` last.
fn polymer_place(m: &Material) -> Vec<usize> {
    let last = polymers().len();
    let place = |id: &String| polymers().iter().position(|p| p.id == id).unwrap_or(last);
    if m.polymers.is_empty() {
        vec![last]
    } else {
        m.polymers.iter().map(place).collect()
    }
}
