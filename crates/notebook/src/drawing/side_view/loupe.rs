//! The surroundings of the contact, to be looked at many times enlarged.

use bevelbench_geometry::{
    DVec2,
    facet::{InkMap, Touch},
    math::Angle,
    parts::{Face, Profile},
    side::{Job, Seat, SideView},
};

use crate::{
    drawing::{
        outline::{blade, present_points},
        shape::{Drawing, Geometry, Mark, Point, Role},
        side_view::{
            lines::{drawable, line, outline, platen, point, small_text},
            look::SideLook,
            steps::facet_widths,
        },
    },
    saved::part::Part,
};

/// The surroundings of the contact, to be looked at many times enlarged: the wheel's rim, the tip, the facet that this
/// setting grinds, and the facet as it is, settled on the wheel, with its gaps. Ink goes where the gap is below
/// `film_mm`.
#[must_use]
pub fn loupe_view(job: &Job, view: &SideView, look: &SideLook<'_>, film_mm: f64) -> Drawing {
    let mut d = Drawing::new();
    let contact = view.contact_in_bench;
    let (_, seen) = loupe_centre_and_radius(job, view, look);
    match job.setting.face {
        Face::Round { radius_mm } => {
            // A piece of the wheel large enough to fill the glass, finely drawn.
            let middle = Angle::of(contact);
            let half = Angle::from_radians((3.0 * seen / radius_mm).min(1.2));
            let rim = |fraction: f64| (middle - half + half * (2.0 * fraction)).direction();
            let mut body: Vec<DVec2> = (0..=160).map(|i| rim(f64::from(i) / 160.0) * radius_mm).collect();
            let deep = (radius_mm - 4.0 * seen).max(radius_mm * 0.2);
            body.extend([rim(1.0) * deep, rim(0.0) * deep]);
            d.add(Role::Wheel, Part::Rim, outline(body));
        }
        Face::Flat { .. } => d.add(Role::Wheel, Part::Rim, outline(platen(job, Some(view)))),
    }
    let edge = DVec2::new(0.0, view.edge_height_mm);
    let facet = look.facets(view);
    let end = (6.0 * seen).min(job.tool.blade_length_mm());
    let points = blade(job.tool.blank(), &facet, look.wing, end);
    d.add(Role::Tool, Part::Tool, outline(points.into_iter().map(|p| view.bench_from_tool(p))));
    let ground: Vec<Point> = facet.iter().map(|p| point(view.bench_from_tool(edge + *p))).collect();
    d.add(Role::Facet, Part::Facet, Geometry::Line(ground));
    d.title(Part::Facet, look.facet_words(view));

    let outward = |at: DVec2| match job.setting.face {
        Face::Round { .. } => at.normalize_or_zero(),
        Face::Flat { normal } => normal.direction(),
    };
    // Words stand over the stone, where there is room for them.
    let words_at = |at: DVec2| at - outward(at) * (seen * 0.24);
    if let Some(Ok(ink)) = job.tool.profile().map(|profile| job.setting.ink(profile, film_mm)) {
        let ends = present_facets(&mut d, job, view, &ink);
        let measured = [
            (Part::Edge, "Edge", ends[0], ink.edge_gap_mm()),
            (Part::Heel, "Heel", ends[1], ink.heel_gap_mm()),
        ];
        for (part, name, at, gap_mm) in measured {
            if gap_mm > film_mm {
                let text = (look.fine)(gap_mm);
                d.title(part, format!("{name}: gap {text} as the tool is now"));
                // The gap square to the stone, and on as a leader to its size below the end's name.
                let foot = at - outward(at) * gap_mm;
                d.add(Role::Gap, part, line(at, foot));
                d.add(Role::Dimension, part, line(foot, words_at(foot)));
                d.add(Role::Gap, part, small_text(words_at(foot), text, -1.5));
            }
        }
    }
    let heel = look.heel_in_bench(view);
    let label = |d: &mut Drawing, part: Part, role: Role, at: DVec2, text: &str| {
        d.add(role, part, Geometry::Mark { at: point(at), direction: Angle::ZERO, mark: Mark::Dot });
        d.add(role, part, small_text(words_at(at), text.to_owned(), 0.0));
    };
    label(&mut d, Part::Edge, Role::Edge, contact, "edge");
    label(&mut d, Part::Heel, Role::Heel, heel, "heel");
    if let Some(relief) = look.relief {
        let edge = DVec2::new(0.0, view.edge_height_mm);
        facet_widths(&mut d, relief, look, seen * 0.2, |p| view.bench_from_tool(edge + p));
    }
    drawable(d)
}

/// The facets as they are, laid on the wheel as they settle, in the bench frame; gives back their edge and their heel.
fn present_facets(d: &mut Drawing, job: &Job, view: &SideView, ink: &InkMap) -> [DVec2; 2] {
    // The settled tool stands turned against the ideal one; seen from the wheel's centre the contact is where the edge
    // is, so the tool frame of the settled tool is placed by its wheel.
    let (settled_edge, along) = settled_frame(job, view, ink.touch());
    let to_bench = |p: DVec2| settled_edge + along * p.x + along.perp() * p.y;
    let profile = ink.profile();
    for (facet, start) in profile.facets() {
        let points = present_points(facet).into_iter().map(|p| point(to_bench(start + p)));
        d.add(Role::FacetPresent, Part::Facet, Geometry::Line(points.collect()));
        if start != DVec2::ZERO {
            let corner =
                Geometry::Mark { at: point(to_bench(start)), direction: Angle::ZERO, mark: Mark::Ring };
            d.add(Role::FacetPresent, Part::Facet, corner);
        }
    }
    for inked in ink.stretches() {
        let run = (0..=32).map(|i| {
            let along = inked.from_mm + inked.width_mm() * f64::from(i) / 32.0;
            point(to_bench(profile.point_at(along)))
        });
        d.add(Role::Ink, Part::Facet, Geometry::Line(run.collect()));
    }
    [to_bench(DVec2::ZERO), to_bench(profile.point_at(profile.width_mm()))]
}

/// Where the edge of the settled tool lies in the bench frame, and its axis.
fn settled_frame(job: &Job, view: &SideView, touch: &Touch) -> (DVec2, DVec2) {
    let turned = |by: Angle, v: DVec2| by.direction() * v.x + by.direction().perp() * v.y;
    match (view.seat, job.setting.face) {
        (Seat::Pivot { in_bench, in_tool, .. }, face) => {
            // The pivot is known in both frames, and so is one direction: towards the wheel's centre, or square off a
            // flat face.
            let pivot = in_tool - DVec2::new(0.0, view.edge_height_mm);
            let turn = match (face, touch.flat_normal) {
                (Face::Flat { normal }, Some(in_tool)) => normal - Angle::of(in_tool),
                _ => Angle::of(-in_bench) - Angle::of(touch.wheel_from_edge - pivot),
            };
            (in_bench - turned(turn, pivot), turn.direction())
        }
        (Seat::Plane { .. }, Face::Round { .. }) => {
            let turn = Angle::of(view.axis_in_bench());
            (-turned(turn, touch.wheel_from_edge), turn.direction())
        }
        (Seat::Plane { .. }, Face::Flat { normal }) => {
            // Slid along the table until the foot of the edge on the plane lies on the plane.
            let axis = view.axis_in_bench();
            let n = normal.direction();
            let foot = view.contact_in_bench + turned(Angle::of(axis), touch.wheel_from_edge);
            (view.contact_in_bench - axis * (foot.dot(n) / axis.dot(n)), axis)
        }
    }
}

/// What the loupe should frame: the middle of the facet, and a radius in millimetres around it.
#[must_use]
pub fn loupe_centre_and_radius(job: &Job, view: &SideView, look: &SideLook<'_>) -> (Point, f64) {
    let middle = view.contact_in_bench.midpoint(look.heel_in_bench(view));
    let present = job.tool.profile().map_or(0.0, Profile::width_mm);
    let ground = look.heel_from_edge(view).length();
    let width = ground.max(present.min(3.0 * view.facet.width_mm));
    (point(middle), (width * 0.95).clamp(0.8, 60.0))
}
