//! Any setting and any target with two quantities free: every answer meets the target and lies within its travel.
#![no_main]

use arbitrary::Unstructured;
use bevelbench_fuzz::{bent, number};
use bevelbench_geometry::{
    math::{Angle, Quantity},
    side::Target,
    solve::{DegreeOfFreedom, Question},
};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let mut u = Unstructured::new(bytes);
    let Ok((bench, entry)) = bent(&mut u) else { return };
    let Ok(job) = bench.job_of(&entry) else { return };
    let Ok(bevel_deg) = number(&mut u, 45.0) else { return };
    let bevel = Target::AtEdge(Angle::from_degrees(bevel_deg));
    let question = Question { setting: job.setting, bevel, wing: None, rolling: None };
    let pairs = [
        [Quantity::Reach, Quantity::Projection],
        [Quantity::Reach, Quantity::StrutAngle],
        [Quantity::TableTilt, Quantity::WheelDiameter],
    ];
    let Ok(pair) = u.choose(&pairs) else { return };
    let freedoms: Vec<DegreeOfFreedom<'_>> = pair
        .iter()
        .filter_map(|free| {
            let now = job.setting.value_of(*free)?;
            let (least, most) = (now - 40.0, now + 40.0);
            (now.is_finite()).then(|| DegreeOfFreedom::within(*free, least, most))
        })
        .collect();
    let Ok(found) = question.solve(&freedoms) else { return };
    for answer in &found.answers {
        let off = (answer.view.bevel().degrees() - bevel_deg).abs();
        assert!(off < 1e-5, "asked {bevel_deg}, off by {off}");
        for one in &freedoms {
            let value = answer.setting.value_of(one.what).expect("what was free is still there");
            assert!(value >= one.least - 1e-6 && value <= one.most + 1e-6, "{:?} {value}", one.what);
        }
    }
});
