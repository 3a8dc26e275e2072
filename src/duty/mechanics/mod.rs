//! Mechanics and aims that several part kinds share.

pub(in crate::duty) mod band;
pub(in crate::duty) mod beam;
pub(in crate::duty) mod bent;
pub(in crate::duty) mod block;
pub(in crate::duty) mod clamp;
pub(in crate::duty) mod fatigue;
pub(in crate::duty) mod gear;
pub(in crate::duty) mod held;
pub(in crate::duty) mod hub;
pub(in crate::duty) mod impact;
pub(in crate::duty) mod index;
pub(in crate::duty) mod layers;
pub(in crate::duty) mod pad;
pub(in crate::duty) mod pushed;
pub(in crate::duty) mod ring;
pub(in crate::duty) mod rolling;
pub(in crate::duty) mod rubbing;
pub(in crate::duty) mod seal;
pub(in crate::duty) mod sleeve;
pub(in crate::duty) mod sliding;
pub(in crate::duty) mod surroundings;
pub(in crate::duty) mod usual;
pub(in crate::duty) mod vibration;
