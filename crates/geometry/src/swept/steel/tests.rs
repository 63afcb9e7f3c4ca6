use super::*;
use approx::assert_relative_eq;

fn area(steel: &Steel) -> f64 {
    let n = 400;
    let mut sum = 0.0;
    for i in 0..n {
        let ruling = steel.ruling(-1.0 + (f64::from(i) + 0.5) * 2.0 / f64::from(n));
        sum += f64::midpoint(ruling.area(0.0), ruling.area(1.0)) * 2.0 / f64::from(n);
    }
    sum
}

/// Area under the wall and inside the bar, column by column.
fn area_by_columns(bar: &Bar) -> f64 {
    let n = 200_000;
    let (radius, wing) = (bar.radius_mm(), bar.flute().wing_top());
    let mut sum = 0.0;
    for i in 0..n {
        let w = radius * (f64::from(i) + 0.5) / f64::from(n);
        let half = (radius * radius - w * w).sqrt();
        let roof = if w < wing.x {
            bar.flute().height_at(w).min(half)
        } else if wing.length() > radius * (1.0 - 1e-9) && wing.y < 0.0 {
            continue;
        } else {
            half.min(bar.top_mm()).min(wing.y)
        };
        sum += (roof + half).max(0.0) * radius / f64::from(n);
    }
    2.0 * sum
}

#[test]
fn patch_covers_the_section_once() {
    let bars = [
        Bar::new(12.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap(),
        Bar::new(16.0, FluteShape::Power { factor: 0.002, exponent: 5.5 }, -4.0).unwrap(),
        Bar::new(16.0, FluteShape::Vee { slope: 1.6, floor_radius_mm: 1.5 }, -4.0).unwrap(),
        Bar::new(12.0, FluteShape::Circle { radius_mm: 9.0 }, 0.5).unwrap(),
        Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap(),
        Bar::new(12.0, FluteShape::Power { factor: 1e-9, exponent: 2.0 }, 0.5).unwrap(),
    ];
    for bar in bars {
        assert_relative_eq!(area(&Steel::of_bar(&bar)), area_by_columns(&bar), max_relative = 2e-4);
    }
}

#[test]
fn half_ring_has_its_area() {
    let bar = Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap();
    let ring = std::f64::consts::PI * (15.0_f64.powi(2) - 12.0_f64.powi(2)) / 2.0;
    assert_relative_eq!(area(&Steel::of_bar(&bar)), ring, max_relative = 1e-6);
}

#[test]
fn way_out_of_a_bar_is_exact() {
    let bar = Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap();
    let steel = Steel::of_bar(&bar);
    assert_relative_eq!(steel.way_out(DVec2::new(0.0, -4.0), DVec2::NEG_Y), 4.0, epsilon = 1e-12);
    assert_relative_eq!(
        steel.way_out(DVec2::new(3.0, -4.0), DVec2::X),
        48.0_f64.sqrt() - 3.0,
        epsilon = 1e-12
    );
}

/// Half the height of a slab's section at `w`, written out from what an oval and a rolled side are.
fn half_height(section: Section, w: f64) -> f64 {
    match section {
        Section::Rectangular => 4.0,
        Section::Oval => 4.0 * (1.0 - w * w / 156.25).max(0.0).sqrt(),
        // Half circles of 4 mm about (±8.5, 0).
        Section::Rolled => (16.0 - (w.abs() - 8.5).max(0.0).powi(2)).max(0.0).sqrt(),
    }
}

fn slab(section: Section) -> Steel {
    let kind = crate::parts::blank::FlatKind::Scraper { plan: crate::parts::blank::Plan::Straight };
    Steel::of_flat(&FlatStock::new(25.0, 8.0, section, kind).unwrap())
}

fn cut_off() -> Steel {
    Steel::of_bar(&Bar::cut_off(30.0, FluteShape::Power { factor: 0.1, exponent: 2.0 }, -4.0, 3.0).unwrap())
}

#[test]
fn outlines_have_the_normals_of_circle_ellipse_and_plane() {
    for w in [-12.0, -9.0, -8.0, -3.0, 0.0, 2.0, 6.5, 10.0, 11.5] {
        let on = |section: Section| DVec2::new(w, -half_height(section, w));
        let oval = DVec2::new(w / 156.25, on(Section::Oval).y / 16.0).normalize();
        let found = slab(Section::Oval).outline_normal_at(on(Section::Oval));
        assert!((found - oval).length() < 1e-3, "{w} {found} {oval}");
        let round = w.abs().mul_add(1.0, -8.5).max(0.0) * w.signum();
        let rolled = DVec2::new(round, on(Section::Rolled).y).normalize();
        let found = slab(Section::Rolled).outline_normal_at(on(Section::Rolled));
        assert!((found - rolled).length() < 1e-3, "{w} {found} {rolled}");
        let found = slab(Section::Rectangular).outline_normal_at(on(Section::Rectangular));
        assert!((found - DVec2::NEG_Y).length() < 1e-12);
        let bar = 15.0 * DVec2::new(w, -9.0).normalize();
        assert!((cut_off().outline_normal_at(bar) - bar / 15.0).length() < 1e-12);
    }
    // At the very sides, where an oval stands upright, the normal points out to that side.
    for (side, section) in
        [(1.0, Section::Oval), (-1.0, Section::Oval), (1.0, Section::Rolled), (-1.0, Section::Rolled)]
    {
        let found = slab(section).outline_normal_at(DVec2::new(12.5 * side, 0.0));
        assert!((found - DVec2::new(side, 0.0)).length() < 0.03, "{section:?} {found}");
    }
}

#[test]
fn straight_ways_out_end_at_the_first_part_of_the_outline() {
    for i in 0..400 {
        let turn = f64::from(i);
        let along = DVec2::new((0.9 * turn).cos(), (0.9 * turn).sin());
        let point = DVec2::new(9.0 * (1.7 * turn).sin(), 2.8 * (2.3 * turn).cos());
        // Out of a circle of 15 mm, or at a height of 3 mm.
        let lean = point.dot(along);
        let round = (lean * lean + 225.0 - point.length_squared()).sqrt() - lean;
        let level = if along.y > 0.0 { (3.0 - point.y) / along.y } else { f64::INFINITY };
        assert_relative_eq!(cut_off().way_out(point, along), round.min(level), epsilon = 1e-9);
        let side = (12.5 * along.x.signum() - point.x) / along.x;
        let under = if along.y < 0.0 { (-4.0 - point.y) / along.y } else { f64::INFINITY };
        let found = slab(Section::Rectangular).way_out(point, along);
        assert_relative_eq!(found, side.min(under), epsilon = 1e-9);
        for section in [Section::Rectangular, Section::Oval, Section::Rolled] {
            let found = slab(section).way_out(point, DVec2::NEG_Y);
            let depth = (point.y + half_height(section, point.x)).max(0.0);
            assert_relative_eq!(found, depth, epsilon = 1e-9);
            if outside_by(section, point) > 0.0 {
                continue;
            }
            // Convex: halved towards where the way is no longer inside.
            let (mut inside, mut outside) = (0.0, 1e6);
            for _ in 0..80 {
                let middle = f64::midpoint(inside, outside);
                if outside_by(section, point + middle * along) <= 0.0 {
                    inside = middle;
                } else {
                    outside = middle;
                }
            }
            assert_relative_eq!(slab(section).way_out(point, along), inside, epsilon = 1e-9);
        }
    }
}

/// How far a place is outside of a slab's lower half and its sides, from what an oval and a rolled side are.
fn outside_by(section: Section, place: DVec2) -> f64 {
    let across = place.x.abs();
    if place.y >= 0.0 {
        return across - 12.5;
    }
    match section {
        Section::Rectangular => (across - 12.5).max(-4.0 - place.y),
        Section::Oval => 4.0 * ((across / 12.5).hypot(place.y / 4.0) - 1.0),
        Section::Rolled if across <= 8.5 => -4.0 - place.y,
        Section::Rolled => (across - 8.5).hypot(place.y) - 4.0,
    }
}

/// A walk along arcs that lean any way in space: no step leaves the steel, and the walk ends on the outline.
#[test]
fn steps_along_an_arc_never_leave_the_steel() {
    let whole =
        Steel::of_bar(&Bar::new(30.0, FluteShape::Power { factor: 0.1, exponent: 2.0 }, -4.0).unwrap());
    let gap = |steel: &Steel, p: DVec2| {
        let round = p.length() - 15.0;
        match steel.outside {
            Outside::Bar { top, .. } if top < 15.0 => round.max(p.y - top),
            Outside::Bar { .. } => round,
            Outside::Slab { section, .. } => outside_by(section, p),
        }
    };
    let mut steps = 0;
    let slabs = [Section::Rectangular, Section::Oval, Section::Rolled].map(slab);
    let steels = [whole, cut_off(), slabs[0], slabs[1], slabs[2]];
    for i in 0..1500_i32 {
        let turn = f64::from(i);
        let steel = steels[i.rem_euclid(5).unsigned_abs() as usize];
        let radius = [8.0, 15.0, 40.0, 200.0][(i / 5).rem_euclid(4).unsigned_abs() as usize];
        let sphere = |a: f64, b: f64| glam::DVec3::new(a.sin() * b.cos(), a.sin() * b.sin(), a.cos());
        let tangent = sphere(1.1 * turn, 0.7 * turn);
        let radial = tangent.cross(sphere(0.3 + 2.1 * turn, 1.9 * turn)).normalize();
        let start = DVec2::new(9.0 * (1.3 * turn).sin(), 2.8 * (2.9 * turn).cos());
        let in_section = |v: glam::DVec3| DVec2::new(v.z, v.y);
        let at = |way: f64| {
            let (sin, cos) = (way / radius).sin_cos();
            start + radius * in_section((cos - 1.0) * radial + sin * tangent)
        };
        let along = |way: f64| {
            let (sin, cos) = (way / radius).sin_cos();
            in_section(cos * tangent - sin * radial)
        };
        let bend_up = radial.y.hypot(tangent.y) / radius;
        let (mut way, mut limit) = (0.0, f64::INFINITY);
        for _ in 0..200 {
            let step = steel.room(at(way), along(way), 1.0 / radius, bend_up, limit);
            assert!(step >= 0.0, "{step}");
            // Half a turn and more: the arc may stay inside for good.
            if step > 3.0 * radius || way > 6.0 * radius {
                break;
            }
            for part in 0..=40 {
                let p = at(way + step * f64::from(part) / 40.0);
                assert!(gap(&steel, p) < 1e-9, "{} {i} {way} {step} {part}", gap(&steel, p));
            }
            (way, limit) = (way + step, step);
            steps += 1;
            if step < 1e-8 {
                assert!(gap(&steel, at(way)).abs() < 1e-6, "{} {i}", gap(&steel, at(way)));
                break;
            }
        }
    }
    // Near its end a step squares what is left of the way: seven of them in the mean.
    assert!((9_000..10_200).contains(&steps), "{steps}");
}
