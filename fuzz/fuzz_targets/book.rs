#![no_main]

use dutyfit_fuzz::{bounded, readers};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|input: &[u8]| bounded(input.len(), || readers::book(input)));
