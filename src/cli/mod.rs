//! Commands, one file each. No arithmetic.
