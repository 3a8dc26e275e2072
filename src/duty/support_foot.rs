//! The support-foot part kind.
