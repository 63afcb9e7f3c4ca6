//! Drawings against the geometry they are made from, and as files.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::Face,
    side::{Job, SideView},
};
use bevelbench_notebook::{
    answer::swept::wing_in_tool,
    drawing::{
        Drawing, Geometry, Part, Point, Role, Standing,
        outline::blank_section,
        png::png,
        side_view::{SideLook, attempt_view, focus, loupe_view, side_view, tool_outline},
        svg::{Sheet, svg},
    },
    saved::{
        Bench, SupportSaved,
        library::{demo_bench, library},
    },
};

fn mm(value: f64) -> String {
    format!("{value:.1} mm")
}

fn answered() -> Vec<(String, Job, SideView)> {
    let bench = demo_bench().unwrap();
    let answer = |setting: &bevelbench_notebook::saved::SettingEntry| {
        let (job, view) = bench.answer(setting).unwrap();
        (setting.name.clone(), job, view)
    };
    bench.settings.iter().map(answer).collect()
}

fn look() -> SideLook<'static> {
    SideLook::new(&mm, &mm)
}

fn points(geometry: &Geometry) -> Vec<Point> {
    match geometry {
        Geometry::Line(points) | Geometry::Outline(points) => points.clone(),
        Geometry::Circle { centre, .. } | Geometry::Arc { centre, .. } => vec![*centre],
        Geometry::Mark { at, .. } | Geometry::Text { at, .. } => vec![*at],
    }
}

fn of_role(drawing: &Drawing, role: Role) -> Vec<Point> {
    drawing
        .shapes
        .iter()
        .filter(|shape| shape.role == role)
        .flat_map(|shape| points(&shape.geometry))
        .collect()
}

fn all_finite(drawing: &Drawing) -> bool {
    drawing.shapes.iter().flat_map(|s| points(&s.geometry)).all(|p| p[0].is_finite() && p[1].is_finite())
}

#[test]
fn drawn_facet_lies_on_the_wheel_from_edge_to_heel() {
    for (name, job, view) in answered() {
        let drawing = side_view(&job, &view, &look());
        let facet = of_role(&drawing, Role::Facet);
        let Face::Round { radius_mm } = job.setting.face else { continue };
        for p in &facet {
            assert!((DVec2::from(*p).length() - radius_mm).abs() < 1e-6, "{name}: {p:?}");
        }
        let first = DVec2::from(facet[0]);
        let last = DVec2::from(*facet.last().unwrap());
        assert!((first - view.contact_in_bench).length() < 1e-9, "{name}");
        assert!((last - view.heel_in_bench()).length() < 1e-6, "{name}");
        // The tool's own outline is cut by the same arc.
        let tool = of_role(&drawing, Role::Tool);
        let cut = tool.iter().filter(|p| (DVec2::from(**p).length() - radius_mm).abs() < 1e-6).count();
        assert!(cut >= 40, "{name}: {cut}");
        assert!(
            tool.iter().all(|p| DVec2::from(*p).length() > radius_mm - 1e-6),
            "{name}: steel inside the wheel"
        );
    }
}

#[test]
fn drawn_pivot_and_gauge_are_those_of_the_geometry() {
    for (name, job, view) in answered() {
        let drawing = side_view(&job, &view, &look());
        let Some((pivot, _)) = job.setting.pivot() else { continue };
        assert_eq!(of_role(&drawing, Role::Pivot), vec![[pivot.x, pivot.y]], "{name}");
        let gauge = of_role(&drawing, Role::Gauge);
        let length = (DVec2::from(gauge[0]) - DVec2::from(gauge[1])).length();
        assert!((length - view.gauge_length_mm().unwrap()).abs() < 1e-9, "{name}");
        assert!(drawing.title_of(Part::Gauge).unwrap().contains(&mm(length)));
    }
}

#[test]
fn loupe_shows_no_steel_inside_the_wheel() {
    for (name, job, view) in answered() {
        let drawing = loupe_view(&job, &view, &look(), 0.01);
        assert!(all_finite(&drawing), "{name}");
        let Face::Round { radius_mm } = job.setting.face else { continue };
        for role in [Role::Tool, Role::FacetPresent] {
            for p in of_role(&drawing, role) {
                assert!(DVec2::from(p).length() > radius_mm - 1e-6, "{name}: {role:?} {p:?}");
            }
        }
        // A facet that touches has at least one drawn point on the rim.
        if job.tool.present().is_some() {
            let present = of_role(&drawing, Role::FacetPresent);
            let nearest =
                present.iter().map(|p| DVec2::from(*p).length() - radius_mm).fold(f64::INFINITY, f64::min);
            assert!(nearest < 2e-3, "{name}: {nearest}");
        }
    }
}

/// The demo bench with one setting pushed far off.
fn spoilt(bench: &Bench, index: usize, by: f64) -> Bench {
    let mut bench = bench.clone();
    match &mut bench.settings[index].support {
        SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. } => *reach_mm += by,
        SupportSaved::Table { tilt_deg } => *tilt_deg += by / 5.0,
    }
    bench
}

#[test]
fn whatever_is_attempted_can_be_drawn() {
    let demo = demo_bench().unwrap();
    let mut refused = 0;
    for index in 0..demo.settings.len() {
        for by in [-2e3, -150.0, -60.0, 40.0, 90.0, 250.0, 3e3] {
            let bench = spoilt(&demo, index, by);
            let Ok(job) = bench.job_of(&bench.settings[index]) else { continue };
            let drawing = if let Ok(view) = job.evaluate() {
                side_view(&job, &view, &look())
            } else {
                refused += 1;
                attempt_view(&job, &look())
            };
            assert!(all_finite(&drawing));
            assert!(focus(&job, None).is_some());
        }
    }
    assert!(refused > 50, "{refused}");
}

#[test]
fn attempt_marks_its_limit() {
    let demo = demo_bench().unwrap();
    let bench = spoilt(&demo, 0, 3e3);
    let job = bench.job_of(&bench.settings[0]).unwrap();
    let drawing = attempt_view(&job, &look());
    assert!(!of_role(&drawing, Role::Limit).is_empty());
    assert!(drawing.shapes.iter().any(|shape| shape.standing == Standing::Attempt));
    assert!(
        drawing.shapes.iter().any(|shape| shape.role == Role::Wheel && shape.standing == Standing::Solid)
    );
}

#[test]
fn every_tool_of_the_library_has_an_outline_and_a_section() {
    for tool in library().unwrap().tools {
        let built = tool.build().unwrap();
        for drawing in [
            tool_outline(&built, bevelbench_geometry::math::Angle::from_degrees(45.0)),
            blank_section(built.blank()),
        ] {
            let bounds = drawing.bounds().unwrap();
            assert!(all_finite(&drawing) && bounds.width() > 1.0 && bounds.height() > 1.0, "{}", tool.name);
        }
    }
}

#[test]
fn svg_is_read_by_another_program_and_the_same_twice() {
    for (name, job, view) in answered() {
        let bench = demo_bench().unwrap();
        let swing = bench.setting_named(&name).unwrap().swing;
        let wing = wing_in_tool(&job, &view, swing.as_ref());
        let look = SideLook { wing: &wing, ..look() };
        let sheet = || Sheet {
            title: format!("<{name}> & \"more\""),
            caption: vec!["A line".to_owned()],
            cautions: vec!["Cover eyes and lungs. ".repeat(12)],
            ..Sheet::default()
        };
        let text = svg(&side_view(&job, &view, &look), &sheet());
        assert_eq!(text, svg(&side_view(&job, &view, &look), &sheet()));
        // usvg is a full SVG reader: it refuses what is not well formed.
        let tree = resvg::usvg::Tree::from_str(&text, &resvg::usvg::Options::default()).unwrap();
        assert!(tree.size().width() > 100.0, "{name}");
        assert!(!text.contains("NaN") && !text.contains("inf"), "{name}");
    }
}

#[test]
fn png_has_the_size_asked_for_and_ink_on_it() {
    let (_, job, view) = answered().remove(0);
    let text = svg(&side_view(&job, &view, &look()), &Sheet { width_mm: 120.0, ..Sheet::default() });
    let bytes = png(&text, 4.0).unwrap();
    let picture = resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap();
    assert_eq!(picture.width(), 480);
    let inked = picture.pixels().iter().filter(|p| p.red() < 200).count();
    assert!(inked > 2_000, "{inked}");
    assert_eq!(bytes, png(&text, 4.0).unwrap());
}

/// Against points all along the arc ("derived here").
#[test]
fn the_box_around_an_arc_is_that_of_its_points_whichever_way_it_turns() {
    for i in 0..400 {
        let (start, sweep) = (-400.0 + 2.03 * f64::from(i), 1.7 * f64::from(i % 211) - 180.0);
        let arc = Geometry::Arc {
            centre: [3.0, -2.0],
            radius: 75.0,
            start: Angle::from_degrees(start),
            sweep: Angle::from_degrees(sweep),
        };
        let found = arc.bounds().unwrap();
        let (mut min, mut max) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for k in 0..=20_000 {
            let at = (start + sweep * f64::from(k) / 20_000.0).to_radians();
            for (axis, value) in [3.0 + 75.0 * at.cos(), -2.0 + 75.0 * at.sin()].into_iter().enumerate() {
                min[axis] = value.min(min[axis]);
                max[axis] = value.max(max[axis]);
            }
        }
        for axis in 0..2 {
            let (low, high) = (found.min[axis] - min[axis], found.max[axis] - max[axis]);
            assert!(low.abs() < 1e-5 && high.abs() < 1e-5, "{start} {sweep}: {low} {high}");
        }
    }
}
