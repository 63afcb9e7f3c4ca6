//! A bench measured in inches is the same bench: what is typed in one unit and in another gives the same numbers.
//! Derived here; the inch is 25.4 mm by definition.

use bevelbench_geometry::{math::Quantity, side::SideView};
use bevelbench_notebook::{
    quantity::{LengthUnit, MM_PER_INCH, parse_angle, parse_length},
    saved::library::demo_bench,
};

/// Everything a side view says, in a row.
fn numbers(view: &SideView) -> Vec<f64> {
    let mut all = vec![
        view.bevel().degrees(),
        view.facet.across.degrees(),
        view.facet.at_heel.degrees(),
        view.facet.width_mm,
        view.facet.hollow_mm,
        view.contact_in_bench.x,
        view.contact_in_bench.y,
        view.handle_angle.degrees(),
    ];
    all.extend(view.gauge_length_mm());
    all
}

/// One length as four people type it.
fn typed(mm: f64) -> [(String, LengthUnit); 4] {
    let inches = mm / MM_PER_INCH;
    [
        (format!("{mm}"), LengthUnit::Millimetre),
        (format!("{mm} mm"), LengthUnit::Inch),
        (format!("{inches}"), LengthUnit::Inch),
        (format!("{inches} in"), LengthUnit::Millimetre),
    ]
}

#[test]
fn bench_typed_in_inches_gives_the_numbers_of_millimetres() {
    let bench = demo_bench().unwrap();
    let mut compared = 0;
    for entry in &bench.settings {
        let Ok((job, view)) = bench.answer(entry) else { continue };
        for free in [Quantity::Reach, Quantity::Projection] {
            let Some(value) = job.setting.value_of(free) else { continue };
            for (text, unit) in typed(value) {
                let read = parse_length(&text, unit).unwrap_or_else(|e| panic!("{text}: {e:?}"));
                assert!((read - value).abs() < 1e-12 * value.abs(), "{text} as {unit:?}: {read} for {value}");
                let mut again = entry.clone();
                again.put(free, read);
                let (_, seen) = bench.answer(&again).unwrap();
                for (a, b) in numbers(&view).into_iter().zip(numbers(&seen)) {
                    assert!((a - b).abs() < 1e-9 * (1.0 + a.abs()), "{text}: {a} and {b}");
                }
                compared += 1;
            }
        }
    }
    assert!(compared > 20, "{compared}");
}

#[test]
fn wheel_typed_in_inches_is_the_same_wheel() {
    let bench = demo_bench().unwrap();
    let wheels = |unit: LengthUnit, per: f64| {
        let mut typed = bench.clone();
        for wheel in typed.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            wheel.diameter_mm = parse_length(&format!("{}", wheel.diameter_mm / per), unit).unwrap();
        }
        typed
            .settings
            .iter()
            .filter_map(|entry| typed.answer(entry).ok())
            .map(|(_, v)| numbers(&v))
            .collect::<Vec<_>>()
    };
    let (metric, inches) = (wheels(LengthUnit::Millimetre, 1.0), wheels(LengthUnit::Inch, MM_PER_INCH));
    assert!(metric.len() > 3 && metric.len() == inches.len());
    for (a, b) in metric.iter().flatten().zip(inches.iter().flatten()) {
        assert!((a - b).abs() < 1e-9 * (1.0 + a.abs()), "{a} and {b}");
    }
}

#[test]
fn angle_in_minutes_or_radians_is_the_same_angle() {
    for (text, degrees) in
        [("45°30′", 45.5), ("45.5 deg", 45.5), ("45 deg 30 min", 45.5), ("0.5 rad", 0.5_f64.to_degrees())]
    {
        let read = parse_angle(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
        assert!((read - degrees).abs() < 1e-12 * degrees, "{text}: {read}");
    }
}
