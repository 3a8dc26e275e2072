//! The published shapes of JSON answers.
