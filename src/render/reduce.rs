//! A reduced sheet for people, for programs and for pages.
