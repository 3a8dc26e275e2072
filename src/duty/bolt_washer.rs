//! The bolt-washer part kind.
