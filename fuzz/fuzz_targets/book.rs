#![no_main]

use dutyfit_fuzz::{bounded, readers, unpacked};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|input: &[u8]| bounded(unpacked(input), || readers::book(input)));
