//! Any bytes as a bench file: read or refused in words; what is read is written and reads back the same.
#![no_main]

use bevelbench_notebook::saved::file::{read_bench, write_bench};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let Ok(bench) = read_bench(text) else { return };
    let written = write_bench(&bench).expect("what was read can be written");
    let again = read_bench(&written).expect("what was written can be read");
    assert_eq!(again, bench);
    for entry in bench.settings.iter().take(3) {
        let _either = bench.answer(entry);
    }
});
