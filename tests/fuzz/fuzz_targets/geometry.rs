//! Any setting, in all reason or out of it: an answer without a number that is none, or a refusal; and back from the
//! answer's bevel to the setting it came from.
#![no_main]

use arbitrary::Unstructured;
use bevelbench_fuzz::bent;
use bevelbench_geometry::{side::Target, math::Quantity};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut u = Unstructured::new(bytes);
    let Ok((bench, entry)) = bent(&mut u) else { return };
    let Ok((job, view)) = bench.answer(&entry) else { return };
    assert!(view.bevel().degrees().is_finite() && view.facet.width_mm.is_finite());
    assert!(view.bevel().degrees() > 0.0 && view.bevel().degrees() < 180.0);
    for caution in job.cautions(&view) {
        let _words = format!("{caution:?}");
    }
    for free in [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle, Quantity::TableTilt] {
        let Some(present) = job.setting.value_of(free) else { continue };
        let Ok(answers) = job.setting.find(Target::AtEdge(view.bevel()), free) else { continue };
        if let Some(nearest) = answers.nearest(present) {
            let off = (nearest.view.bevel().degrees() - view.bevel().degrees()).abs();
            assert!(off < 1e-5, "{free:?}: {off}");
        }
    }
});
