//! Changes of cells that stand in a file already; every other byte is kept.

mod rename;
mod rewrite;
mod set_aside;

pub(crate) use rename::{NotRenamed, RenamedFile, renamed};
pub(crate) use set_aside::{Aside, AsideOrder, set_aside};
