//! A step of a lesson from what is shown, and the bench that a step is shown on.

use crate::saved::{
    bench::Bench,
    lesson::{LessonStep, LessonView},
    setting::SettingEntry,
};

impl LessonStep {
    /// A step that shows what is current, and beside it, on a bench.
    #[must_use]
    pub fn of(bench: &Bench) -> Option<Self> {
        let setting = bench.current.clone()?;
        let wheel = |entry: &SettingEntry| {
            bench.rig(entry.rig).and_then(|rig| rig.wheel(entry.wheel)).map(|wheel| wheel.diameter_mm)
        };
        let wheel_diameter_mm = wheel(&setting);
        let beside_wheel_diameter_mm = bench.beside.as_ref().and_then(wheel);
        Some(Self {
            caption: String::new(),
            view: LessonView::Side,
            highlight: None,
            setting,
            wheel_diameter_mm,
            beside: bench.beside.clone(),
            beside_wheel_diameter_mm,
        })
    }
}

/// A bench on which the wheel of a setting has another diameter, in millimetres: to show a worn wheel without wearing
/// one.
#[must_use]
pub fn with_wheel(bench: &Bench, entry: &SettingEntry, diameter_mm: Option<f64>) -> Bench {
    let mut bench = bench.clone();
    if let Some(diameter_mm) = diameter_mm
        && let Some(rig) = bench.rigs.iter_mut().find(|rig| rig.id == entry.rig)
        && let Some(wheel) = rig.wheels.iter_mut().find(|wheel| wheel.id == entry.wheel)
    {
        wheel.diameter_mm = diameter_mm;
    }
    bench
}
