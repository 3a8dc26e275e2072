//! Standings and their causes.
