//! Any text as a length, an angle, a speed or a number: a finite value or a refusal; what is shown reads back.
#![no_main]

use bevelbench_notebook::quantity::{
    LengthUnit, format_length, parse_angle, parse_length, parse_number, parse_speed,
};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    for unit in [LengthUnit::Millimetre, LengthUnit::Inch, LengthUnit::InchFraction] {
        let Ok(mm) = parse_length(text, unit) else { continue };
        assert!(mm.is_finite());
        if mm.abs() < 1e6 {
            let shown = format_length(mm, LengthUnit::Millimetre, 3);
            let back = parse_length(&shown, LengthUnit::Millimetre).expect("what is shown can be typed");
            assert!((back - mm).abs() <= 0.000_501, "{text} is {mm}, shown {shown}, read {back}");
        }
    }
    for read in [parse_angle(text), parse_number(text), parse_speed(text)].into_iter().flatten() {
        assert!(read.is_finite());
    }
});
