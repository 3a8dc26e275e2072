//! What a case leads to before any material is looked at.

use crate::duty::{Aim, Limit};
use crate::policy::Class;
use crate::render::json::{BoundOut, computed};
use schemars::JsonSchema;
use serde::Serialize;

/// A limit that a case leads to.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct LimitOfCase<'a> {
    /// Limit id.
    id: &'a str,
    /// Title.
    title: &'a str,
    /// What fails.
    failure: &'a str,
    /// Class.
    class: Class,
    /// The bound.
    bound: BoundOut,
    /// Unit.
    unit: &'a str,
}

impl<'a> From<&'a Limit> for LimitOfCase<'a> {
    fn from(l: &'a Limit) -> Self {
        LimitOfCase {
            id: &l.id,
            title: &l.title,
            failure: l.failure,
            class: l.class,
            bound: l.sense.into(),
            unit: &l.unit,
        }
    }
}

/// An aim of a case with its scale.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct AimOfCase<'a> {
    /// Aim id.
    id: &'a str,
    /// Title.
    title: &'a str,
    /// Just acceptable, in `unit`.
    zero: Option<f64>,
    /// From here on more gives nothing.
    one: Option<f64>,
    /// Unit.
    unit: &'a str,
}

impl<'a> From<&'a Aim> for AimOfCase<'a> {
    fn from(a: &'a Aim) -> Self {
        AimOfCase {
            id: &a.id,
            title: &a.title,
            zero: computed(a.scale.zero),
            one: computed(a.scale.one),
            unit: &a.unit,
        }
    }
}
