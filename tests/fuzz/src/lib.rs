//! What the fuzz targets share: a setting of the demo bench with its numbers bent by the fuzzer's bytes, a little or
//! beyond all reason.

use std::sync::OnceLock;

use arbitrary::{Result, Unstructured};
use bevelbench_notebook::saved::{Bench, SettingEntry, SupportSaved, library::demo_bench};

/// The demo bench, read once.
fn demo() -> &'static Bench {
    static DEMO: OnceLock<Bench> = OnceLock::new();
    DEMO.get_or_init(|| demo_bench().expect("the demo bench is built in"))
}

/// A number near `usual`, far from it, or none at all.
///
/// # Errors
/// When the bytes are used up.
pub fn number(u: &mut Unstructured<'_>, usual: f64) -> Result<f64> {
    Ok(match u.int_in_range(0..=9)? {
        0..=3 => usual,
        4..=6 => usual + f64::from(u.arbitrary::<i16>()?) / 256.0,
        7 => usual * f64::from(u.arbitrary::<i8>()?) / 16.0,
        8 => {
            *u.choose(&[0.0, -0.0, 1e-300, 1e300, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 90.0, 180.0])?
        }
        _ => u.arbitrary()?,
    })
}

/// A bench with a setting whose own numbers, wheel, arm and holder are bent.
///
/// # Errors
/// When the bytes are used up.
pub fn bent(u: &mut Unstructured<'_>) -> Result<(Bench, SettingEntry)> {
    let mut bench = demo().clone();
    let mut entry = u.choose(&bench.settings)?.clone();
    match &mut entry.support {
        SupportSaved::Handle { reach_mm } => *reach_mm = number(u, *reach_mm)?,
        SupportSaved::Holder { reach_mm, projection_mm, strut_angle_deg, .. } => {
            *reach_mm = number(u, *reach_mm)?;
            *projection_mm = number(u, *projection_mm)?;
            *strut_angle_deg = number(u, *strut_angle_deg)?;
        }
        SupportSaved::Table { tilt_deg } => *tilt_deg = number(u, *tilt_deg)?,
    }
    if let Some(swing) = &mut entry.swing {
        swing.roll_centre_mm = number(u, swing.roll_centre_mm)?;
        swing.half_swing_deg = number(u, swing.half_swing_deg)?;
    }
    if let Some(rig) = bench.rigs.iter_mut().find(|rig| rig.id == entry.rig) {
        if let Some(wheel) = rig.wheels.iter_mut().find(|wheel| wheel.id == entry.wheel) {
            wheel.diameter_mm = number(u, wheel.diameter_mm)?;
            if let Some(arm) = &mut wheel.arm {
                arm.zero_x_mm = number(u, arm.zero_x_mm)?;
                arm.zero_z_mm = number(u, arm.zero_z_mm)?;
                arm.tilt_deg = number(u, arm.tilt_deg)?;
            }
            if let Some(table) = &mut wheel.table {
                table.hinge_x_mm = number(u, table.hinge_x_mm)?;
                table.hinge_z_mm = number(u, table.hinge_z_mm)?;
                table.surface_offset_mm = number(u, table.surface_offset_mm)?;
            }
        }
        if let SupportSaved::Holder { holder, .. } = entry.support
            && let Some(holder) = rig.holders.iter_mut().find(|each| each.id == holder)
        {
            holder.hinge_setback_mm = number(u, holder.hinge_setback_mm)?;
            holder.hinge_drop_mm = number(u, holder.hinge_drop_mm)?;
            holder.strut_length_mm = number(u, holder.strut_length_mm)?;
        }
    }
    Ok((bench, entry))
}
