//! Answers to text, JSON and Markdown. No arithmetic.

mod page;
mod problem;
mod reduce;
mod words;

pub use page::Page;
pub use problem::{fault, file_fault, problems};
pub(crate) use reduce::{ReducedSheet, SheetRun};
