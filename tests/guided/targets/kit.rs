#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| fieldstop_guided::kit(bytes));
