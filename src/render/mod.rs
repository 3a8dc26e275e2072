//! Answers to text, JSON and Markdown. No arithmetic.

mod problem;
mod reduce;

pub use problem::{fault, file_fault, problems};
