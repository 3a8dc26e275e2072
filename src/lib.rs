//! `dutyfit`: raw bench readings of printable polymers in, a reasoned shortlist for a described part out.
//!
//! Two ends and one middle: readings become a catalog and beliefs; a described
//! use becomes limits and aims; judgement brings both together and advice says why.
//!
//! Arrows point one way: [`cli`] -> [`render`] -> [`advise`] -> [`judge`] ->
//! [`duty`], [`belief`] -> [`mod@bench`] -> [`property`] -> [`quantity`] -> [`num`].
//! `duty` reads `property`, never `belief`. [`catalog`] owns the file shapes and
//! hands plain structs to the core.
//!
//! What is absent, and stays so: `num` to `advise` touch no files, clock,
//! environment, printing or global state; `render` and `cli` do no arithmetic;
//! a property value, a belief or a ranking is never stored.

pub mod advise;
pub mod belief;
pub mod bench;
pub mod catalog;
pub mod cli;
pub mod describe;
pub mod duty;
pub mod judge;
pub mod num;
pub mod policy;
pub mod problem;
pub mod property;
pub mod quantity;
pub mod render;
