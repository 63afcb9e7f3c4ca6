//! Side views of jobs in round numbers, of refused ones and of ten thousand at random: what is drawn is where the
//! geometry says, nothing is drawn nowhere, and words stand clear.

use std::{collections::BTreeMap, f64::consts::TAU, sync::Arc};

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Arm, Bevels, Blank, Face, FlatKind, FlatStock, Presentation, Section, Tool, Travel},
    side::{Job, Seat, Support},
};
use bevelbench_notebook::drawing::{
    Drawing, Geometry, Part, Point, Role, Standing, TextSize,
    outline::{blade, facet_points},
    side_view::{
        SideLook, attempt_view, focus, loupe_centre_and_radius, loupe_view, side_view, tool_outline,
    },
    svg::{Sheet, svg},
};
use resvg::usvg;

use crate::sample;

fn mm(value: f64) -> String {
    format!("{value:.1} mm")
}

fn look() -> SideLook<'static> {
    SideLook { all_dimensions: true, roll_centre_mm: Some(0.0), ..SideLook::new(&mm, &mm) }
}

fn numbers(geometry: &Geometry) -> Vec<f64> {
    match geometry {
        Geometry::Line(points) | Geometry::Outline(points) => points.as_flattened().to_vec(),
        Geometry::Circle { centre, radius } => vec![centre[0], centre[1], *radius],
        Geometry::Arc { centre, radius, start, sweep } => {
            vec![centre[0], centre[1], *radius, start.radians(), sweep.radians()]
        }
        Geometry::Mark { at, direction, .. } => vec![at[0], at[1], direction.radians()],
        Geometry::Text { at, along, lift, .. } => vec![at[0], at[1], along.radians(), *lift],
    }
}

fn all_finite(drawing: &Drawing) -> bool {
    drawing.shapes.iter().flat_map(|shape| numbers(&shape.geometry)).all(f64::is_finite)
}

fn chain_of(drawing: &Drawing, role: Role) -> Vec<DVec2> {
    let chains =
        drawing.shapes.iter().filter(|shape| shape.role == role).filter_map(|shape| match &shape.geometry {
            Geometry::Line(points) | Geometry::Outline(points) => Some(points.clone()),
            _ => None,
        });
    chains.flatten().map(DVec2::from).collect()
}

#[test]
fn every_refusal_is_marked_and_named() {
    let mut kinds = BTreeMap::new();
    for (name, job) in sample::refused() {
        let refusal = job.evaluate().unwrap_err();
        let drawing = attempt_view(&job, &look());
        assert!(all_finite(&drawing), "{name}");
        let limits: Vec<_> = drawing.shapes.iter().filter(|shape| shape.role == Role::Limit).collect();
        let worded = limits.iter().filter(|shape| matches!(shape.geometry, Geometry::Text { .. })).count();
        assert!(worded == 1 && limits.len() > 1, "{name}: {} marks, {worded} texts", limits.len());
        assert!(drawing.shapes.iter().any(|shape| shape.standing == Standing::Attempt), "{name}");
        kinds.insert(refusal.kind(), name);
    }
    // A refusal that this list leaves out is drawn untested.
    assert!(kinds.len() >= 13, "{kinds:?}");
}

#[test]
fn reach_named_beside_a_pivot_too_far_is_where_the_edge_just_meets_the_wheel() {
    let (_, mut job) = sample::refused().into_iter().find(|(name, _)| *name == "pivot_too_far").unwrap();
    let drawing = attempt_view(&job, &look());
    let text = drawing.shapes.iter().find_map(|shape| match &shape.geometry {
        Geometry::Text { text, .. } if shape.role == Role::Limit => text.strip_prefix("reach at most "),
        _ => None,
    });
    let limit: f64 = text.unwrap().trim_end_matches(" mm").parse().unwrap();
    let meets = |job: &mut Job, reach: f64| {
        if let Support::Holder { reach_mm, .. } = &mut job.setting.support {
            *reach_mm = reach;
        }
        !matches!(job.setting.evaluate(), Err(bevelbench_geometry::side::Refusal::PivotTooFar { .. }))
    };
    // The text has one decimal.
    assert!(meets(&mut job, limit - 0.1) && !meets(&mut job, limit + 0.1));
}

#[test]
fn both_faces_of_a_skew_are_hollow_alike_and_a_scraper_has_one() {
    for (name, job) in sample::answered() {
        let Blank::Flat(flat) = job.tool.blank() else { continue };
        let view = job.evaluate().unwrap();
        let edge = DVec2::new(0.0, job.tool.blank().edge_height_mm());
        let outline = blade(job.tool.blank(), &facet_points(&view.facet), &[], 60.0);
        let mirrored = |p: DVec2| DVec2::new(p.x, 2.0 * edge.y - p.y);
        let ground = facet_points(&view.facet).into_iter().skip(1).map(|p| edge + p);
        let twin = |p: DVec2| outline.iter().any(|q| (*q - mirrored(p)).length() < 1e-9);
        let twins = ground.clone().filter(|p| twin(*p)).count();
        match flat.bevels() {
            Bevels::Alike => assert_eq!(twins, ground.count(), "{name}"),
            Bevels::One | Bevels::Unlike { .. } => assert_eq!(twins, 0, "{name}"),
        }
    }
}

/// Boxes of the texts of a drawing on paper of a scale: centre, half extents, turn. Letters are taken to be a little
/// over half as wide as high, as they are in the fonts that travel with the program.
fn text_boxes(drawing: &Drawing, scale: f64) -> Vec<(String, DVec2, DVec2, Angle)> {
    let boxes = drawing.shapes.iter().filter_map(|shape| match &shape.geometry {
        Geometry::Text { at, text, align, along, size, lift } => {
            let height = match size {
                TextSize::Small => 2.6,
                TextSize::Normal => 3.0,
                TextSize::Strong => 3.5,
            };
            let half = DVec2::new(0.29 * height * text.chars().count() as f64, 0.5 * height) / scale;
            let shift = match align {
                bevelbench_notebook::drawing::Align::Start => half.x,
                bevelbench_notebook::drawing::Align::Middle => 0.0,
                bevelbench_notebook::drawing::Align::End => -half.x,
            };
            let along_it = along.direction();
            let centre = DVec2::from(*at) + along_it * shift + along_it.perp() * (lift * height / scale);
            Some((text.clone(), centre, half, *along))
        }
        _ => None,
    });
    boxes.collect()
}

/// Whether a segment passes through a turned box: sampled finely enough for boxes of millimetres.
fn crosses(segment: [DVec2; 2], centre: DVec2, half: DVec2, turn: Angle) -> bool {
    let along = turn.direction();
    (0..=2000).any(|i| {
        let off = segment[0].lerp(segment[1], f64::from(i) / 2000.0) - centre;
        off.dot(along).abs() < half.x && off.dot(along.perp()).abs() < half.y
    })
}

#[test]
fn words_of_a_side_view_stand_clear_of_each_other_and_of_the_roll_line() {
    for (name, job) in sample::answered() {
        let view = job.evaluate().unwrap();
        let look = SideLook { all_dimensions: false, ..look() };
        let drawing = side_view(&job, &view, &look);
        let scale = 184.0 / focus(&job, Some(&view)).unwrap().grown(10.0).width();
        let boxes = text_boxes(&drawing, scale);
        assert!(boxes.len() >= 2, "{name}");
        for (i, (text, centre, half, turn)) in boxes.iter().enumerate() {
            for (other, at, half_of_other, other_turn) in &boxes[i + 1..] {
                let (x, y) = (
                    other_turn.direction() * half_of_other.x,
                    other_turn.direction().perp() * half_of_other.y,
                );
                let lines = [[-x - y, x - y], [-x + y, x + y], [-x, x]];
                let clear = lines.iter().all(|[a, b]| !crosses([*at + *a, *at + *b], *centre, *half, *turn));
                assert!(clear, "{name}: “{text}” over “{other}”");
            }
            if let [a, b] = chain_of(&drawing, Role::RollLine)[..] {
                assert!(
                    !crosses([a, b], *centre, *half, *turn),
                    "{name}: the roll line runs through “{text}”"
                );
            }
        }
    }
}

fn texts_of(group: &usvg::Group, found: &mut Vec<usvg::Rect>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(inner) => texts_of(inner, found),
            usvg::Node::Text(text) => found.push(text.abs_bounding_box()),
            _ => {}
        }
    }
}

#[test]
fn no_word_leaves_a_sheet_that_shows_everything() {
    let mut fonts = usvg::fontdb::Database::new();
    fonts.load_font_data(include_bytes!("../../../../assets/fonts/BevelbenchSans-Regular.otf").to_vec());
    fonts.load_font_data(include_bytes!("../../../../assets/fonts/BevelbenchSans-SemiBold.otf").to_vec());
    let options = usvg::Options { fontdb: Arc::new(fonts), dpi: 25.4, ..usvg::Options::default() };
    for (name, job) in sample::refused() {
        let caption = vec![
            "A long caption that goes on for more than one line of a narrow sheet, then ends.".to_owned(),
        ];
        let sheet = Sheet { width_mm: 110.0, caption, ..Sheet::default() };
        let text = svg(&attempt_view(&job, &look()), &sheet);
        let tree = usvg::Tree::from_str(&text, &options).unwrap();
        let mut boxes = Vec::new();
        texts_of(tree.root(), &mut boxes);
        assert!(boxes.len() >= 2, "{name}");
        let size = tree.size();
        for b in boxes {
            let inside =
                b.left() >= 0.0 && b.right() <= size.width() && b.top() >= 0.0 && b.bottom() <= size.height();
            assert!(inside, "{name}: {b:?} on {size:?}");
        }
    }
}

#[test]
fn sheet_to_scale_keeps_true_size() {
    let (_, job) = sample::answered().into_iter().find(|(name, _)| *name == "holder_60").unwrap();
    let drawing = side_view(&job, &job.evaluate().unwrap(), &look());
    let text = svg(&drawing, &Sheet { scale: Some(1.0), ..Sheet::default() });
    assert!(text.contains(" r=\"75\""));
    let halved = svg(&drawing, &Sheet { scale: Some(0.5), ..Sheet::default() });
    assert!(halved.contains(" r=\"37.5\""));
}

/// A small deterministic source of numbers from 0 to 1 (a 64-bit linear congruential generator, Knuth's constants).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.roll()
    }

    fn pick(&mut self, count: usize) -> usize {
        ((self.roll() * count as f64) as usize).min(count - 1)
    }
}

/// A job at random: mostly plausible, now and then with a number that is none or far off.
fn random_job(dice: &mut Dice) -> Job {
    let wheel = if dice.pick(5) == 0 {
        sample::platen(dice.between(-45.0, 90.0))
    } else {
        sample::wheel(dice.between(95.0, 150.0))
    };
    let facet = (dice.pick(3) > 0).then(|| {
        sample::present(dice.between(40.0, 200.0), dice.between(5.0, 120.0), dice.between(0.5, 12.0))
    });
    let bevels = [Bevels::One, Bevels::Alike][dice.pick(2)];
    let tool = match dice.pick(4) {
        0 => sample::gouge(facet),
        1 => sample::flat(25.0, dice.between(2.0, 40.0), FlatKind::Beading { bevels }, facet),
        2 => sample::negative_rake(),
        _ => {
            let obliquity = Angle::from_degrees(dice.between(15.0, 90.0));
            let kind = FlatKind::Skew { obliquity, edge_radius_mm: None, bevels };
            let stock = FlatStock::new(25.0, dice.between(3.0, 9.0), Section::Oval, kind).unwrap();
            Tool::new(Blank::Flat(stock), 400.0, 190.0, facet).unwrap()
        }
    };
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e9, 0.0][dice.pick(6)];
    let or_odd = |dice: &mut Dice, value: f64| if dice.pick(25) == 0 { odd } else { value };
    let support = match dice.pick(3) {
        0 => {
            let tilt = dice.between(-60.0, 70.0);
            sample::on_table(or_odd(dice, tilt))
        }
        1 => {
            let (reach, projection, strut) =
                (dice.between(-20.0, 320.0), dice.between(1.0, 200.0), dice.between(-20.0, 130.0));
            sample::in_holder(or_odd(dice, reach), or_odd(dice, projection), or_odd(dice, strut))
        }
        _ => {
            let zero = DVec2::new(dice.between(-50.0, 80.0), dice.between(-200.0, 50.0));
            let travel = Travel { least_mm: 0.0, most_mm: 600.0 };
            let arm = Arm::new(zero, Angle::from_degrees(dice.between(-30.0, 40.0)), travel).unwrap();
            let (reach, length) = (dice.between(-20.0, 620.0), dice.between(100.0, 600.0));
            Support::Handle { arm, reach_mm: or_odd(dice, reach), tool_length_mm: or_odd(dice, length) }
        }
    };
    let presentation = [Presentation::EdgeParallelToSpindle, Presentation::AxisInSidePlane][dice.pick(2)];
    sample::job(wheel, tool, presentation, support)
}

#[test]
fn ten_thousand_jobs_at_random_are_drawn_where_the_geometry_says() {
    let mut dice = Dice(20_240_607);
    let mut answered = [0; 3];
    let (mut refused, mut settled) = (0, 0);
    for round in 0..10_000 {
        let job = random_job(&mut dice);
        let result = job.evaluate();
        let Ok(view) = result else {
            refused += 1;
            let drawing = attempt_view(&job, &look());
            assert!(all_finite(&drawing), "{job:?}");
            assert!(drawing.shapes.iter().any(|shape| shape.role == Role::Wheel), "{job:?}");
            if round % 40 == 0 {
                let text = svg(&drawing, &Sheet::default());
                usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
            }
            continue;
        };
        let drawing = side_view(&job, &view, &look());
        assert!(all_finite(&drawing), "{job:?}");
        let facet = chain_of(&drawing, Role::Facet);
        for p in &facet {
            assert!(job.setting.face.distance_mm(*p).abs() < 1e-6, "{p} {job:?}");
        }
        assert!((facet[0] - view.contact_in_bench).length() < 1e-9, "{job:?}");
        assert!((*facet.last().unwrap() - view.heel_in_bench()).length() < 1e-6, "{job:?}");
        let index = match (view.seat, job.setting.support) {
            (Seat::Plane { .. }, _) => 0,
            (Seat::Pivot { .. }, Support::Holder { .. }) => 1,
            (Seat::Pivot { .. }, _) => 2,
        };
        answered[index] += 1;
        if let Seat::Pivot { in_bench, gauge_length_mm, .. } = view.seat {
            let drawn = drawing.shapes.iter().find_map(|shape| match shape.geometry {
                Geometry::Mark { at, .. } if shape.role == Role::Pivot => Some(DVec2::from(at)),
                _ => None,
            });
            assert_eq!(drawn, Some(in_bench));
            let gauge = chain_of(&drawing, Role::Gauge);
            assert!(((gauge[0] - gauge[1]).length() - gauge_length_mm).abs() < 1e-9, "{job:?}");
            assert!(job.setting.face.distance_mm(gauge[1]).abs() < 1e-9, "{job:?}");
        }
        let loupe = loupe_view(&job, &view, &look(), 0.01);
        let (centre, radius) = loupe_centre_and_radius(&job, &view, &look());
        assert!(all_finite(&loupe) && radius > 0.0 && centre.iter().all(|x| x.is_finite()), "{job:?}");
        let present = chain_of(&loupe, Role::FacetPresent);
        if !present.is_empty() {
            settled += 1;
            let depth =
                present.iter().map(|p| job.setting.face.distance_mm(*p)).fold(f64::INFINITY, f64::min);
            // Nothing of the steel is inside the stone, and something touches it: the chords between drawn points
            // of a hollow may pass the one touching point by their sagitta.
            assert!(depth > -1e-6 && depth < 5e-3, "{depth} {job:?}");
        }
        assert!(all_finite(&tool_outline(&job.tool, view.bevel())));
        if round % 40 == 0 {
            let text = svg(&drawing, &Sheet::default());
            usvg::Tree::from_str(&text, &usvg::Options::default()).unwrap();
        }
    }
    assert!(
        answered.iter().all(|count| *count > 150) && refused > 2_000 && settled > 200,
        "{answered:?} {refused} {settled}"
    );
}

#[test]
fn measured_gap_of_the_loupe_is_the_one_that_is_drawn() {
    let mut measured = 0;
    for (name, job) in sample::answered() {
        let view = job.evaluate().unwrap();
        let Some(present) = job.tool.present() else { continue };
        let touch = job.setting.settle(present).unwrap();
        let loupe = loupe_view(&job, &view, &look(), 0.01);
        for (part, gap_mm) in [(Part::Edge, touch.edge_gap_mm), (Part::Heel, touch.heel_gap_mm)] {
            let line = loupe.shapes.iter().find_map(|shape| match &shape.geometry {
                Geometry::Line(points) if shape.role == Role::Gap && shape.part == Some(part) => {
                    Some(points.clone())
                }
                _ => None,
            });
            assert_eq!(line.is_some(), gap_mm > 0.01, "{name}");
            let Some(line) = line else { continue };
            measured += 1;
            let [from, foot] = [line[0], line[1]].map(|p: Point| DVec2::from(p));
            assert!(((from - foot).length() - gap_mm).abs() < 1e-9, "{name}");
            assert!(job.setting.face.distance_mm(foot).abs() < 1e-6, "{name}: {foot}");
        }
    }
    assert!(measured >= 4, "{measured}");
}

#[test]
fn wheel_turns_its_top_towards_the_operator() {
    let (_, job) = sample::answered().remove(0);
    let drawing = side_view(&job, &job.evaluate().unwrap(), &look());
    let Face::Round { .. } = job.setting.face else { unreachable!() };
    let arrow = drawing.shapes.iter().find_map(|shape| match shape.geometry {
        Geometry::Mark { at, direction, .. } if shape.role == Role::Rotation => {
            Some((DVec2::from(at), direction))
        }
        _ => None,
    });
    let (at, direction) = arrow.unwrap();
    assert!(at.y > 0.0 && direction.cos() > 0.9, "{at} {direction:?}");
    // Along the rim, not across it.
    assert!(at.dot(direction.direction()).abs() < 1e-9 * TAU);
}
