//! The catalog tables beside the readings: materials, prints, stated values, rigs, own properties.
