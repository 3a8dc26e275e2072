//! The handle-sleeve part kind.
