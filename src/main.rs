//! The `dutyfit` command.
fn main() {}
