//! The further steps of a setting: saved, told in words, drawn.

use bevelbench_geometry::{DVec2, math::Quantity};
use bevelbench_notebook::{
    drawing::{
        Geometry, Part, Role,
        outline::{blade, relief_points},
        side_view::{SideLook, loupe_view, side_view},
    },
    saved::{
        Bench, FurtherStepSaved, MovedSaved, SettingEntry, SupportSaved,
        file::{read_bench, write_bench},
        library::demo_bench,
    },
    words::{further_steps_words, relief_refusal_words},
};

fn mm(value: f64) -> String {
    format!("{value:.1} mm")
}

/// The demo's long grind with the arm moved in by 25 mm for its heel, and once more.
fn stepped(count: usize) -> (Bench, SettingEntry) {
    let bench = demo_bench().unwrap();
    let mut entry = bench.setting_named("Long grind, 85 mm").unwrap().clone();
    let SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!() };
    let list = [
        FurtherStepSaved {
            moved: MovedSaved::to(Quantity::Reach, reach_mm - 10.0).unwrap(),
            left_width_mm: 1.5,
        },
        FurtherStepSaved { moved: MovedSaved::to(Quantity::Projection, 95.0).unwrap(), left_width_mm: 2.0 },
    ];
    entry.further_steps = list[..count].to_vec();
    (bench, entry)
}

#[test]
fn steps_are_saved_and_a_setting_without_any_writes_nothing_about_them() {
    let (mut bench, entry) = stepped(2);
    let plain = write_bench(&bench).unwrap();
    assert!(!plain.contains("further_steps"));
    let index = bench.settings.iter().position(|setting| setting.id == entry.id).unwrap();
    bench.settings[index] = entry;
    let text = write_bench(&bench).unwrap();
    assert!(text.contains("further_steps"));
    assert_eq!(read_bench(&text).unwrap(), bench);
}

#[test]
fn a_moved_quantity_reads_back_from_its_step() {
    for free in [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle, Quantity::TableTilt] {
        let moved = MovedSaved::to(free, 7.0).unwrap();
        assert_eq!((moved.quantity(), moved.value(), moved.moved_to(8.0).value()), (free, 7.0, 8.0));
    }
    assert!(MovedSaved::to(Quantity::WheelDiameter, 7.0).is_none());
}

#[test]
fn steps_are_reported_in_the_order_in_which_they_are_set() {
    let (bench, entry) = stepped(2);
    let (job, view, relief) = bench.facets(&entry).unwrap();
    let reported = further_steps_words(&entry.further_steps, &relief, &mm);
    assert_eq!(reported.len(), 2);
    assert_eq!(
        (reported[0].name.as_str(), reported[1].name.as_str()),
        ("Second bevel: arm reach", "Third bevel: projection")
    );
    assert!(reported[0].how.starts_with("10.0 mm in; lock it. Gauge length "), "{}", reported[0].how);
    assert!(reported[0].how.ends_with("until the facet at the edge is 1.5 mm wide."), "{}", reported[0].how);
    assert!(reported[1].how.starts_with("10.0 mm longer; lock it."), "{}", reported[1].how);
    assert_eq!(reported[1].value_text, "95.0 mm");
    // The gauge length told is that of the pivot after the move.
    let moved = job.setting.with(Quantity::Reach, reported[0].value).unwrap();
    let pivot = moved.pivot().unwrap().0.length();
    let gauge = mm(pivot - job.wheel.diameter_mm() / 2.0);
    assert!(reported[0].how.contains(&gauge), "{}: {gauge}", reported[0].how);
    assert!(view.bevel() > relief.facets()[1].at_begin);
}

#[test]
fn a_step_that_cuts_nothing_is_refused_in_words_with_a_remedy() {
    let (bench, mut entry) = stepped(1);
    let (job, view) = bench.answer(&entry).unwrap();
    for (value, left) in
        [(900.0, 1.5), (1.0, 1.5), (40.0, 0.0), (140.0, 99.0), (f64::NAN, 1.0), (140.0, f64::NAN)]
    {
        entry.further_steps = vec![FurtherStepSaved {
            moved: MovedSaved::to(Quantity::Reach, value).unwrap(),
            left_width_mm: left,
        }];
        let Err(why) = entry.relief(&job, &view) else { continue };
        let words = relief_refusal_words(&why, &mm);
        assert!(words.reason.starts_with("Second bevel") && !words.remedy.is_empty(), "{words:?}");
    }
}

#[test]
fn both_facets_are_cut_into_the_outline() {
    let (bench, entry) = stepped(1);
    let (job, _, relief) = bench.facets(&entry).unwrap();
    let points = relief_points(&relief);
    let outline = blade(job.tool.blank(), &points, &[], 60.0);
    let edge = DVec2::new(0.0, job.setting.edge.height_mm);
    for corner in [relief.facets()[0].ends_from_edge, relief.facets()[1].ends_from_edge] {
        let nearest = outline.iter().map(|p| p.distance(edge + corner)).fold(f64::INFINITY, f64::min);
        assert!(nearest < 1e-9, "{corner}");
    }
    // Every point lies on one of the two wheels.
    for point in &points {
        let off = relief
            .facets()
            .iter()
            .map(|facet| {
                let radius = facet.setting.face.radius_mm().unwrap();
                let (sin, cos) = facet.at_begin.sin_cos();
                let middle = facet.begins_from_edge - radius * DVec2::new(sin, cos);
                (point.distance(middle) - radius).abs()
            })
            .fold(f64::INFINITY, f64::min);
        assert!(off < 1e-9, "{point}");
    }
}

#[test]
fn loupe_shows_both_facets_and_the_width_of_the_first() {
    let (bench, entry) = stepped(1);
    let (job, view, relief) = bench.facets(&entry).unwrap();
    let plain = SideLook::new(&mm, &mm);
    let look = SideLook { relief: Some(&relief), ..plain };
    let loupe = loupe_view(&job, &view, &look, 0.01);
    let texts = |drawing: &bevelbench_notebook::drawing::Drawing| {
        drawing
            .shapes
            .iter()
            .filter_map(|shape| match (&shape.geometry, shape.part) {
                (Geometry::Text { text, .. }, Some(Part::Facet)) => Some(text.clone()),
                _ => None,
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(texts(&loupe), ["1.5 mm"]);
    assert!(texts(&loupe_view(&job, &view, &plain, 0.01)).is_empty());
    let heel = |look: &SideLook<'_>| {
        side_view(&job, &view, look)
            .shapes
            .iter()
            .find_map(|shape| match (&shape.geometry, shape.role) {
                (Geometry::Circle { centre, .. }, Role::Heel) => Some(*centre),
                _ => None,
            })
            .unwrap()
    };
    // The second heel lies farther from the edge than the first alone.
    let edge = view.contact_in_bench;
    let far = |p: [f64; 2]| DVec2::from(p).distance(edge);
    assert!(far(heel(&look)) > far(heel(&plain)) + 0.1);
}
