//! The dialogue that writes a case, in words, and what it wrote.

mod talk;
mod wrote;

pub(crate) use talk::Talk;
pub(super) use wrote::limit_rows;
pub(crate) use wrote::{DescribeFile, Wrote, not_written, not_written_json};
