//! What is known of the weights: points, an order, or ranges.

use std::collections::BTreeMap;

/// Importance of the aims, as somebody stated it.
#[derive(Clone, Debug, PartialEq)]
pub enum Preference {
    /// Points for the swing of each aim from 0 to 1.
    Points(BTreeMap<String, f64>),
    /// Aims in falling order; aims of one inner list are not ordered among themselves.
    Order(Vec<Vec<String>>),
    /// Lowest and highest weight of each.
    Ranges(BTreeMap<String, (f64, f64)>),
}
