//! Entries for the log of wheels and tools: what they say is what wheel and tool measure from then on.

use bevelbench_geometry::{math::Quantity, side::reach_by_gauge_mm};

use crate::saved::{
    bench::Bench,
    id::Id,
    log::{DiameterNote, KeptBy, LengthNote},
    rig::WheelSaved,
    setting::{SettingEntry, SupportSaved},
};

/// Why an entry was not logged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotLogged {
    /// The wheel or tool is not on the bench.
    Missing,
    /// The number is none, or not more than nothing.
    NoNumber,
    /// The wheel would be larger than when it was new.
    LargerThanNew {
        /// Diameter when new, in millimetres.
        new_mm: f64,
    },
    /// The tool would be no longer than its handle.
    NoBladeLeft {
        /// The handle, in millimetres.
        handle_mm: f64,
    },
}

/// Logs a wheel's diameter. The newest entry is the wheel's diameter from now on. Settings that are kept by gauge stick
/// follow: their cup is moved so that its gap to the rim stays; says how many did.
///
/// # Errors
/// [`NotLogged`].
pub fn log_diameter(bench: &mut Bench, rig: Id, wheel: Id, note: DiameterNote) -> Result<usize, NotLogged> {
    let saved = wheel_of(bench, rig, wheel).ok_or(NotLogged::Missing)?;
    if !(note.diameter_mm.is_finite() && note.diameter_mm > 0.0) {
        return Err(NotLogged::NoNumber);
    }
    if note.diameter_mm > saved.diameter_new_mm {
        return Err(NotLogged::LargerThanNew { new_mm: saved.diameter_new_mm });
    }
    let place = saved.keep.diameters.partition_point(|earlier| earlier.date <= note.date);
    let newest = place == saved.keep.diameters.len();
    let diameter_mm = note.diameter_mm;
    saved.keep.diameters.insert(place, note);
    if !newest {
        return Ok(0);
    }
    let arm = saved.arm.as_ref().and_then(|arm| arm.build().ok());
    let old_mm = std::mem::replace(&mut saved.diameter_mm, diameter_mm);
    let Some(arm) = arm else { return Ok(0) };
    let by_stick = |entry: &&mut SettingEntry| {
        (entry.rig, entry.wheel, entry.keep.by) == (rig, wheel, KeptBy::GaugeStick)
    };
    let follow = |reach_mm: &mut f64| {
        let moved = reach_by_gauge_mm(&arm, *reach_mm, old_mm / 2.0, diameter_mm / 2.0);
        *reach_mm = moved.unwrap_or(*reach_mm);
    };
    let mut count = 0;
    for entry in bench.settings.iter_mut().filter(by_stick) {
        count += usize::from(!matches!(entry.support, SupportSaved::Table { .. }));
        reaches_of(entry).for_each(follow);
    }
    for entry in bench.current.iter_mut().chain(&mut bench.beside).filter(by_stick) {
        reaches_of(entry).for_each(follow);
    }
    Ok(count)
}

/// Every reach that a setting and its further steps are set to, in millimetres.
fn reaches_of(entry: &mut SettingEntry) -> impl Iterator<Item = &mut f64> {
    let own = match &mut entry.support {
        SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => Some(reach_mm),
        SupportSaved::Table { .. } => None,
    };
    let further = entry.further_steps.iter_mut().filter_map(|step| {
        let reach = step.moved.quantity() == Quantity::Reach;
        reach.then(|| step.moved.value_mut())
    });
    own.into_iter().chain(further)
}

/// Logs a tool's length. The newest entry is the tool's length from now on.
///
/// # Errors
/// [`NotLogged`].
pub fn log_length(bench: &mut Bench, tool: Id, note: LengthNote) -> Result<(), NotLogged> {
    let saved = bench.tools.iter_mut().find(|saved| saved.id == tool).ok_or(NotLogged::Missing)?;
    if !(note.length_mm.is_finite() && note.length_mm > 0.0) {
        return Err(NotLogged::NoNumber);
    }
    let handle_mm = saved.overall_length_mm - saved.blade_length_mm;
    if note.length_mm <= handle_mm {
        return Err(NotLogged::NoBladeLeft { handle_mm });
    }
    let place = saved.keep.lengths.partition_point(|earlier| earlier.date <= note.date);
    if place == saved.keep.lengths.len() {
        // What is ground off comes off the blade.
        saved.overall_length_mm = note.length_mm;
        saved.blade_length_mm = note.length_mm - handle_mm;
    }
    saved.keep.lengths.insert(place, note);
    Ok(())
}

fn wheel_of(bench: &mut Bench, rig: Id, wheel: Id) -> Option<&mut WheelSaved> {
    let rig = bench.rigs.iter_mut().find(|saved| saved.id == rig)?;
    rig.wheels.iter_mut().find(|saved| saved.id == wheel)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::step::MovedSaved;
    use crate::saved::{library::demo_bench, step::FurtherStepSaved};

    fn on(date: &str, diameter_mm: f64) -> DiameterNote {
        DiameterNote { date: date.to_owned(), diameter_mm, ..DiameterNote::default() }
    }

    /// The demo with its logs struck out.
    fn bare() -> Bench {
        let mut bench = demo_bench().unwrap();
        for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            wheel.keep.diameters = Vec::new();
        }
        for tool in &mut bench.tools {
            tool.keep.lengths = Vec::new();
        }
        bench
    }

    #[test]
    fn newest_entry_is_the_diameter_and_older_ones_only_join_the_log() {
        let mut bench = bare();
        let (rig, wheel) = (bench.rigs[0].id, bench.rigs[0].wheels[0].id);
        log_diameter(&mut bench, rig, wheel, on("2026-03-01", 150.0)).unwrap();
        log_diameter(&mut bench, rig, wheel, on("2026-01-01", 156.0)).unwrap();
        let saved = &bench.rigs[0].wheels[0];
        assert!((saved.diameter_mm - 150.0).abs() < 1e-12);
        let dates: Vec<&str> = saved.keep.diameters.iter().map(|note| note.date.as_str()).collect();
        assert_eq!(dates, ["2026-01-01", "2026-03-01"]);
    }

    #[test]
    fn impossible_diameters_are_not_logged() {
        let mut bench = bare();
        let (rig, wheel) = (bench.rigs[0].id, bench.rigs[0].wheels[0].id);
        for odd in [f64::NAN, f64::INFINITY, 0.0, -5.0] {
            assert_eq!(log_diameter(&mut bench, rig, wheel, on("2026-03-01", odd)), Err(NotLogged::NoNumber));
        }
        let larger = log_diameter(&mut bench, rig, wheel, on("2026-03-01", 500.0));
        assert_eq!(larger, Err(NotLogged::LargerThanNew { new_mm: 200.0 }));
        assert_eq!(bench, bare());
    }

    #[test]
    fn setting_kept_by_gauge_stick_follows_the_wheel_and_one_kept_by_reach_does_not() {
        let mut bench = bare();
        let (rig, wheel) = (bench.rigs[0].id, bench.rigs[0].wheels[0].id);
        let stick = "Swept, shaping wheel";
        let reach = "Long grind, shaping wheel";
        for entry in &mut bench.settings {
            if entry.name == stick {
                entry.keep.by = KeptBy::GaugeStick;
                entry.further_steps = vec![FurtherStepSaved {
                    moved: MovedSaved::to(Quantity::Reach, 120.0).unwrap(),
                    left_width_mm: 2.0,
                }];
            }
        }
        let gauge = |bench: &Bench, name: &str| {
            bench.answer(bench.setting_named(name).unwrap()).unwrap().1.gauge_length_mm().unwrap()
        };
        let before = [gauge(&bench, stick), gauge(&bench, reach)];
        let step = |bench: &Bench| bench.setting_named(stick).unwrap().further_steps[0].moved.value();
        let step_before = step(&bench);
        assert_eq!(log_diameter(&mut bench, rig, wheel, on("2026-03-01", 152.0)), Ok(1));
        assert!((gauge(&bench, stick) - before[0]).abs() < 1e-9);
        assert!((gauge(&bench, reach) - before[1] - 3.0).abs() < 1e-9);
        // Its second step keeps its own gap to the rim: 20 in front of the wheel's middle and 95 below.
        let gap = |reach: f64, radius: f64| (20.0 + reach).hypot(95.0) - radius;
        assert!((gap(step(&bench), 76.0) - gap(step_before, 79.0)).abs() < 1e-9);
    }

    #[test]
    fn lost_length_comes_off_the_blade_and_leaves_the_handle() {
        let mut bench = bare();
        let tool = bench.tools[0].clone();
        let handle = tool.overall_length_mm - tool.blade_length_mm;
        let note = |length_mm| LengthNote { date: "2026-03-02".to_owned(), length_mm };
        log_length(&mut bench, tool.id, note(tool.overall_length_mm - 7.0)).unwrap();
        assert!((bench.tools[0].blade_length_mm - tool.blade_length_mm + 7.0).abs() < 1e-12);
        let refused = log_length(&mut bench, tool.id, note(handle));
        assert!(matches!(refused, Err(NotLogged::NoBladeLeft { .. })), "{refused:?}");
    }
}
