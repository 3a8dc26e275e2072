//! Finding what was named: workspace, cases, weights, materials; near names for the rest.
