//! The sliding-pad part kind.
