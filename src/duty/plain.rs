//! The plain part kind.
