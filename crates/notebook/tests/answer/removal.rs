//! Steel removed over the whole tip and the gentlest way to a bevel, against cases that must collapse and sums by
//! another road.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    parts::{Hollow, PresentFacet},
    side::{Job, SideView, Target},
};
use bevelbench_notebook::{
    answer::{
        removal::{
            GroundTip, TipBefore,
            gentlest::{MayMove, gentlest, grind_option},
            removed_by_steps,
        },
        swept::swept,
    },
    saved::{Bench, FurtherStepSaved, MovedSaved, SettingEntry, SupportSaved, library::demo_bench},
};

fn demo(name: &str) -> (Bench, SettingEntry, Job, SideView) {
    let bench = demo_bench().unwrap();
    let entry = bench.setting_named(name).unwrap().clone();
    let (job, view) = bench.answer(&entry).unwrap();
    (bench, entry, job, view)
}

fn step(free: Quantity, value: f64, left_width_mm: f64) -> FurtherStepSaved {
    FurtherStepSaved { moved: MovedSaved::to(free, value).unwrap(), left_width_mm }
}

/// Derived here: across a straight edge every section is alike, so that steel over the tip is steel in the side plane
/// times the width, on both faces where both are ground.
#[test]
fn on_a_straight_edge_the_tip_is_the_section_times_the_width() {
    let mut seen = 0;
    let bench = demo_bench().unwrap();
    for entry in &bench.settings {
        let (job, view) = bench.answer(entry).unwrap();
        let bevelbench_geometry::parts::Blank::Flat(flat) = job.tool.blank() else { continue };
        let straight = swept(&job, &view, entry.swing.as_ref(), 11)
            .is_ok_and(|shape| shape.nose_word() == "straight" && job.setting.obliquity.degrees() > 89.0);
        if !straight || flat.section() != bevelbench_geometry::parts::Section::Rectangular {
            continue;
        }
        let (free, value) = match entry.support {
            SupportSaved::Table { tilt_deg } => (Quantity::TableTilt, tilt_deg - 6.0),
            SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => {
                (Quantity::Reach, reach_mm - 6.0)
            }
        };
        let mut entry = entry.clone();
        entry.further_steps = vec![step(free, value, 0.4 * view.facet.width_mm)];
        let Ok(relief) = entry.relief(&job, &view) else { continue };
        let volumes = removed_by_steps(&job, &view, entry.swing.as_ref(), &relief, 1e-6).unwrap();
        let both = if matches!(flat.bevels(), bevelbench_geometry::parts::Bevels::Alike) { 2.0 } else { 1.0 };
        let expected = relief.removed_mm2() * flat.width_mm() * both;
        assert!(
            (volumes[0].mm3 - expected).abs() < 1e-4 * expected,
            "{}: {} {expected}",
            entry.name,
            volumes[0].mm3
        );
        seen += 1;
    }
    assert!(seen >= 2, "{seen}");
}

/// By another road: a plain grid over the section of a gouge, both surfaces asked for where steel begins.
#[test]
fn a_gouge_heel_relief_is_what_a_plain_grid_adds_up() {
    let (_, mut entry, job, view) = demo("Long grind, 85 mm");
    // All the way round, so that nothing is left to the wheel's edge at the end of the swing.
    entry.swing.as_mut().unwrap().half_swing_deg = 175.0;
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    entry.further_steps =
        vec![step(Quantity::Reach, reach - 12.0, 1.5), step(Quantity::Reach, reach - 20.0, 1.5)];
    let relief = entry.relief(&job, &view).unwrap();
    let volumes = removed_by_steps(&job, &view, entry.swing.as_ref(), &relief, 1e-4).unwrap();
    assert_eq!(volumes.len(), 2);
    let shape = swept(&job, &view, entry.swing.as_ref(), 65).unwrap();
    // Wheels of the steps in the tool: centres in the side plane, turned about the roll line by brute force.
    let line = shape.tip().surface().roll_line().unwrap();
    let (along, square) = (line.along_in_tool(), line.square_in_tool());
    let swing = shape.tip().surface().swing().unwrap().half().radians();
    let starts = |facet: &bevelbench_geometry::facet::FurtherFacet, w: f64, h: f64| -> f64 {
        let radius = facet.setting.face.radius_mm().unwrap();
        let (sin, cos) = facet.at_begin.sin_cos();
        let begin = facet.begins_from_edge + bevelbench_geometry::DVec2::new(0.0, job.setting.edge.height_mm);
        let centre = begin - radius * bevelbench_geometry::DVec2::new(sin, cos);
        let off = centre - line.centre_in_tool();
        let (uc, rc) = (off.dot(along), off.dot(square));
        // From far behind towards the nose: the first station inside the swept torus, within the swing.
        let inside = |s: f64| {
            let p = bevelbench_geometry::DVec2::new(s, h) - line.centre_in_tool();
            let (u, a) = (p.dot(along), p.dot(square));
            let r = a.hypot(w);
            w.atan2(a).abs() <= swing && (u - uc).powi(2) + (r - rc).powi(2) < radius * radius
        };
        let (mut high, mut low) = (120.0_f64, f64::NAN);
        let mut s = 120.0;
        while s > -40.0 {
            if inside(s) {
                low = s;
                break;
            }
            high = s;
            s -= 0.1;
        }
        if low.is_nan() {
            return f64::NAN;
        }
        for _ in 0..40 {
            let middle = f64::midpoint(low, high);
            if inside(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    };
    let bevelbench_geometry::parts::Blank::Bar(bar) = job.tool.blank() else { panic!() };
    let cell = 0.2;
    let mut sums = [0.0; 2];
    let count = (bar.radius_mm() / cell) as i32 + 1;
    for i in -count..=count {
        for j in -count..=count {
            let (w, h) = ((f64::from(i) + 0.5) * cell, (f64::from(j) + 0.5) * cell);
            let wing = bar.flute().wing_top();
            let steel = w.hypot(h) <= bar.radius_mm() && (w.abs() > wing.x || h <= bar.flute().height_at(w));
            if !steel || h > bar.top_mm() {
                continue;
            }
            let at: Vec<f64> = relief.facets().iter().map(|facet| starts(facet, w, h)).collect();
            if at.iter().any(|s| s.is_nan()) {
                continue;
            }
            sums[0] += (at[1] - at[0]).max(0.0) * cell * cell;
            sums[1] += (at[2] - at[1].max(at[0])).max(0.0) * cell * cell;
        }
    }
    for (volume, sum) in volumes.iter().zip(sums) {
        assert!(volume.mm3 > 1.0 && (volume.mm3 - sum).abs() < 0.03 * sum, "{} {sum}", volume.mm3);
    }
}

#[test]
fn the_facet_as_the_setting_grinds_it_costs_nothing() {
    let (mut bench, entry, job, view) = demo("Long grind, 85 mm");
    let tool = bench.tools.iter_mut().find(|tool| tool.id == entry.tool).unwrap();
    tool.present_facet = Some(bevelbench_notebook::saved::FacetSaved {
        hollow_radius_mm: job.setting.face.radius_mm(),
        bevel_deg: view.bevel().degrees(),
        width_mm: view.facet.width_mm,
    });
    let (job, view) = bench.answer(&entry).unwrap();
    let before = TipBefore::as_it_is(&job, &view, entry.swing.as_ref()).unwrap().unwrap();
    let same = grind_option(&job, &view, entry.swing.as_ref(), &before, None, 1e-4).unwrap();
    assert!(same.length_lost_mm < 1e-9 && same.removed_mm3 < 1e-6, "{same:?}");
    let regrind = before.regrind(&job, &view, None);
    assert!(regrind.removed_mm2(0.0) < 1e-9);
}

/// Derived here, from the roll-line theorem: coming from one grind of a tool, the gentlest way to its bevel at another
/// projection is the setting that puts the pivot back on its roll line, and it takes nothing.
#[test]
fn the_gentlest_way_at_another_projection_is_the_equal_grind() {
    let (_, entry, job, view) = demo("Long grind, 85 mm");
    let before = TipBefore::ground_by(&job, &view, &entry).unwrap();
    let shorter = job.setting.with(Quantity::Projection, 70.0).unwrap();
    let reach = job.setting.value_of(Quantity::Reach).unwrap();
    let shorter =
        shorter.find(Target::AtEdge(view.bevel()), Quantity::Reach).unwrap().nearest(reach).unwrap().setting;
    let other = Job { setting: shorter, ..job };
    let other_view = other.evaluate().unwrap();
    let asked = grind_option(&other, &other_view, entry.swing.as_ref(), &before, None, 1e-3).unwrap();
    let may = MayMove { strut_angle: true, ..MayMove::default() };
    let best = gentlest(&other, &other_view, entry.swing.as_ref(), &before, may, &[]).unwrap();
    assert!(asked.removed_mm3 > 5.0, "{asked:?}");
    assert!(best.removed_mm3 < 0.05 * asked.removed_mm3, "{} of {}", best.removed_mm3, asked.removed_mm3);
    assert!((best.view.bevel() - view.bevel()).degrees().abs() < 1e-6);
    assert_eq!(best.setting.value_of(Quantity::Projection), Some(70.0));
    // Pivot and roll centre in one line with the old pivot.
    let (old, new) = (job.setting.pivot().unwrap().1, best.setting.pivot().unwrap().1);
    let centre = bevelbench_geometry::DVec2::new(0.0, entry.swing.unwrap().roll_centre_mm);
    let turned = (old - centre).angle_to(new - centre).to_degrees();
    assert!(turned.abs() < 0.5, "{turned}");
    assert!(best.length_lost_mm < 0.05, "{}", best.length_lost_mm);
}

#[test]
fn a_bevel_that_may_move_saves_length_where_the_facet_is_keener() {
    let (mut bench, entry, job, view) = demo("Long grind, 85 mm");
    let tool = bench.tools.iter_mut().find(|tool| tool.id == entry.tool).unwrap();
    let keener = view.bevel().degrees() - 0.4;
    let hollow = Hollow::Arc { radius_mm: job.setting.face.radius_mm().unwrap() };
    let facet = bevelbench_geometry::side::Facet::ground(
        job.setting.face,
        Angle::from_degrees(keener),
        job.setting.edge.under_mm,
    )
    .unwrap();
    PresentFacet::new(hollow, Angle::from_degrees(keener), facet.width_mm).unwrap();
    tool.present_facet = Some(bevelbench_notebook::saved::FacetSaved {
        hollow_radius_mm: job.setting.face.radius_mm(),
        bevel_deg: keener,
        width_mm: facet.width_mm,
    });
    let (job, view) = bench.answer(&entry).unwrap();
    let before = TipBefore::as_it_is(&job, &view, entry.swing.as_ref()).unwrap().unwrap();
    let firm = gentlest(&job, &view, entry.swing.as_ref(), &before, MayMove::default(), &[]).unwrap();
    let may = MayMove { bevel: true, ..MayMove::default() };
    let unpinned = gentlest(&job, &view, entry.swing.as_ref(), &before, may, &[]).unwrap();
    assert!(firm.length_lost_mm > 0.02 && unpinned.length_lost_mm < 1e-6, "{firm:?} {unpinned:?}");
    assert!((unpinned.view.bevel() - view.bevel()).degrees().abs() <= 0.5 + 1e-9);
}

#[test]
fn every_demo_setting_costs_something_or_says_why_not() {
    let bench = demo_bench().unwrap();
    let mut reported = 0;
    for entry in &bench.settings {
        let Ok((job, view)) = bench.answer(entry) else { continue };
        let Some(before) = TipBefore::as_it_is(&job, &view, entry.swing.as_ref()) else { continue };
        let Ok(before) = before else { continue };
        let option = grind_option(&job, &view, entry.swing.as_ref(), &before, None, 1e-3).unwrap();
        assert!(
            option.removed_mm3.is_finite() && option.removed_mm3 >= 0.0 && option.length_lost_mm >= 0.0,
            "{}",
            entry.name
        );
        let tip = GroundTip::of(&job, &view, entry.swing.as_ref(), None).unwrap();
        assert!(tip.removed_by(&tip, 0.0, 1e-3).mm3 < 1e-6);
        reported += 1;
    }
    assert!(reported >= 1, "{reported}");
}
