//! Which materials are flexible and which are rigid.

use crate::belief::{Evidence, Grade, Material, Side};
use crate::property::{Ask, PolymerKind, polymer};

/// Elastic modulus at 23 degC up to which a material counts as flexible, MPa: above it a plastic is
/// "rigid", at or below it "semirigid" or "nonrigid" (ASTM D883; from memory, not verified).
pub const FLEXIBLE_UP_TO_MPA: f64 = 700.0;
/// Shore D up to which a material without a modulus counts as flexible (ours, no source).
pub const FLEXIBLE_UP_TO_D: f64 = 60.0;
/// Shore D from which a material without a modulus counts as rigid (ours, no source); between the two
/// the scale does not tell: soft polyolefins and hard elastomers overlap there.
pub const RIGID_FROM_D: f64 = 75.0;

/// Whether a material is flexible or rigid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stiffness {
    /// Flexible.
    Flexible,
    /// Rigid.
    Rigid,
}

/// What told it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToldBy {
    /// A modulus or a hardness of its own, measured or stated.
    Evidence,
    /// Its polymer, for want of both.
    Polymer,
}

/// Whether a material is flexible or rigid, and what told it; `None` where nothing does.
///
/// By its own measured or stated modulus at 23 degC (tensile, else flexural, else in compression);
/// else by its own hardness: a Shore A reading, which ends at 95, is flexible, Shore D is cut at
/// [`FLEXIBLE_UP_TO_D`] and [`RIGID_FROM_D`]; else by the kind of its polymer, where the polymers of a
/// blend agree. A bound tells only where it lies on one side of the cut by itself.
pub fn stiffness(material: &Material, evidence: &Evidence) -> Option<(Stiffness, ToldBy)> {
    let own = ["tensile-modulus", "flexural-modulus", "compression-modulus"]
        .into_iter()
        .find_map(|p| {
            cut(
                evidence,
                material,
                p,
                FLEXIBLE_UP_TO_MPA,
                FLEXIBLE_UP_TO_MPA,
            )
        })
        .or_else(|| cut(evidence, material, "shore-a", f64::INFINITY, f64::INFINITY))
        .or_else(|| {
            cut(
                evidence,
                material,
                "shore-d",
                FLEXIBLE_UP_TO_D,
                RIGID_FROM_D,
            )
        });
    if let Some(s) = own {
        return Some((s, ToldBy::Evidence));
    }
    let mut kinds = material.polymers.iter().map(|p| {
        polymer(p).map(|p| match p.kind {
            PolymerKind::Flexible => Stiffness::Flexible,
            PolymerKind::Amorphous | PolymerKind::Semicrystalline | PolymerKind::Filled => {
                Stiffness::Rigid
            }
        })
    });
    let first = kinds.next()??;
    kinds
        .all(|k| k == Some(first))
        .then_some((first, ToldBy::Polymer))
}

/// Flexible at or below `flexible`, rigid above `rigid`, by own evidence.
fn cut(
    evidence: &Evidence,
    material: &Material,
    property: &'static str,
    flexible: f64,
    rigid: f64,
) -> Option<Stiffness> {
    let belief = evidence.believe(&material.id, &Ask::room(property));
    if belief.grade < Grade::Stated {
        return None;
    }
    let taken = belief.as_exact.as_deref().unwrap_or(&belief);
    let at = taken.mean_quantile(0.5)?;
    let low_enough = at <= flexible && belief.side != Some(Side::AtLeast);
    let high_enough = at > rigid && belief.side != Some(Side::AtMost);
    if low_enough {
        Some(Stiffness::Flexible)
    } else if high_enough {
        Some(Stiffness::Rigid)
    } else {
        None
    }
}
