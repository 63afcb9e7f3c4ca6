//! Any swung grind: an edge without a number that is none, or a refusal.
#![no_main]

use arbitrary::Unstructured;
use bevelbench_fuzz::bent;
use bevelbench_notebook::answer::swept::swept;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut u = Unstructured::new(bytes);
    let Ok((bench, entry)) = bent(&mut u) else { return };
    let Ok((job, view)) = bench.answer(&entry) else { return };
    let Ok(shape) = swept(&job, &view, entry.swing.as_ref(), 33) else { return };
    for point in shape.points() {
        assert!(point.s_mm.is_finite() && point.h_mm.is_finite() && point.w_mm.is_finite());
        assert!((0.0..=180.0).contains(&point.wedge.degrees()), "{point:?}");
    }
    assert!(shape.summary().edge_length_mm.is_finite());
});
