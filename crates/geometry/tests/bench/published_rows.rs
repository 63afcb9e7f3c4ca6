//! Published values, row by row, through the program's own functions. The rows are in
//! `tests/reference/published_checks.csv` at the top of the repository, each with its source.

use approx::assert_relative_eq;
use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, Flute, FluteShape, Presentation},
    swept::{
        edge::{EdgePoint, wedge_angle},
        ground::{GrindingFace, GroundSurface, Pushed, Rolled},
        hit::GroundBy,
        roll::{RollLine, Swing},
        steel::Steel,
        tip::Tip,
    },
};
use glam::{DMat3, DVec2, DVec3};

const ROWS: &str = include_str!("../../../../tests/reference/published_checks.csv");

/// The fields of a row: quotes hold commas, nothing else is needed of CSV here.
fn row(id: &str) -> Vec<String> {
    let line = ROWS.lines().find(|line| line.split(',').next() == Some(id)).unwrap();
    let (mut fields, mut quoted) = (vec![String::new()], false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            c => fields.last_mut().unwrap().push(c),
        }
    }
    fields
}

/// Every number of a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .filter_map(|word| word.trim_end_matches('.').parse().ok())
        .collect()
}

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

/// A flat ground square across at a slope to the axis.
fn flat_cut(slope: f64, edge_height_mm: f64) -> GroundSurface {
    GroundSurface::pushed(&Pushed {
        bevel: degrees(slope),
        edge_height_mm,
        abrasive: GrindingFace::Flat { width_mm: 40.0 },
        obliquity: Angle::QUARTER,
        presentation: Presentation::EdgeParallelToSpindle,
    })
    .unwrap()
}

/// A V flute whose walls stand at `plan` to one another, ground flat at `section` to the axis: the wedge
/// along its wing, as the edge tracer finds it.
fn vee_wedge(plan: f64, section: f64) -> f64 {
    let slope = 1.0 / degrees(plan / 2.0).tan();
    let bar = Bar::new(16.0, FluteShape::Vee { slope, floor_radius_mm: 0.0 }, -4.0).unwrap();
    let surface = flat_cut(section, -4.0);
    EdgePoint::at(&surface, &Steel::of_bar(&bar), 0.4).unwrap().wedge.degrees()
}

/// K01…K15: points formed by two side faces and one slope are a V flute under a flat grind.
#[test]
fn points_of_two_faces_and_a_slope_have_their_published_wedge() {
    for id in ["K01", "K03", "K04", "K06", "K07", "K09", "K10", "K12", "K13", "K15"] {
        let row = row(id);
        let [plan, section] = numbers(&row[2])[..] else { panic!("{row:?}") };
        let expected = numbers(&row[3])[0];
        let tolerance = numbers(&row[4])[0];
        let wedge = vee_wedge(plan, section);
        assert!((wedge - expected).abs() <= tolerance, "{id}: {wedge} for {expected}");
    }
}

/// K16: a square bar ground at 45° across the diagonal has two 60° edges, exactly.
#[test]
fn square_bar_ground_across_its_diagonal_has_sixty_degree_edges() {
    let row = row("K16");
    let [plan, section] = numbers(&row[2])[..] else { panic!("{row:?}") };
    let expected = numbers(&row[3])[0];
    assert_relative_eq!(vee_wedge(plan, section), expected, epsilon = 1e-10);
}

/// K17: two 60° edges need more than 60° in plan.
#[test]
fn two_sixty_degree_edges_need_more_than_sixty_in_plan() {
    let least_plan = numbers(&row("K17")[3])[0];
    let least_wedge =
        |plan: f64| (1..=89).map(|s| vee_wedge(plan, f64::from(s))).fold(f64::INFINITY, f64::min);
    assert!(least_wedge(least_plan - 1.0) > 60.0);
    assert!(least_wedge(least_plan + 1.0) < 60.0);
    assert_relative_eq!(vee_wedge(least_plan, 0.02), 60.0, epsilon = 1e-4);
}

/// K18: a round bar cut obliquely at 45° has 45° at the top, 90° at the sides, 135° at the bottom.
#[test]
fn obliquely_cut_round_bar_has_its_published_edge_round_the_rim() {
    let row = row("K18");
    let expected = numbers(&row[3]);
    let surface = flat_cut(45.0, 8.0);
    for (around, expected) in [0.0, 90.0, 180.0].into_iter().zip(&expected) {
        let (sin, cos) = degrees(around).sin_cos();
        let outside = DVec3::new(0.0, cos, sin);
        let hit = surface.start_of_steel(8.0 * sin, 8.0 * cos).unwrap();
        let place = DVec3::new(hit.s_mm, 8.0 * cos, 8.0 * sin);
        let wedge = wedge_angle(outside, surface.normal_at(place, GroundBy::Sweep));
        assert_relative_eq!(wedge.degrees(), *expected, epsilon = 1e-10);
    }
}

/// K19: two angles in planes square to one another make one slope and its direction.
#[test]
fn compound_angle_of_a_worked_example() {
    let row = row("K19");
    let given = numbers(&row[2]);
    let (a, b) = (degrees(given[0] + given[1] / 60.0), degrees(given[2] + given[3] / 60.0));
    let expected = numbers(&row[3]);
    let tolerance = numbers(&row[4]);
    // The plane that rises at A along one axis and at B along the other, against the level one.
    let face = DVec3::new(-a.tan(), -b.tan(), 1.0);
    let slope = wedge_angle(face, DVec3::NEG_Z).degrees();
    let around = Angle::of(DVec2::new(a.tan(), b.tan())).degrees();
    assert!((around - (expected[0] + expected[1] / 60.0)).abs() * 60.0 <= tolerance[0], "{around}");
    assert!((slope - (expected[2] + expected[3] / 60.0)).abs() * 60.0 <= tolerance[1], "{slope}");
}

/// K21: `tan(true or apparent) = tan A cos B`. A bevel square to an oblique edge, seen along the tool, is
/// that identity with B the complement of the obliquity; the wedge of record is square to the edge.
#[test]
fn bevel_along_an_oblique_edge_is_the_apparent_angle() {
    assert!(row("K21")[1].contains("tanC = tanA cosB"));
    for (square, obliquity) in [(15.0, 70.0), (25.0, 45.0), (40.0, 80.0)] {
        let surface = GroundSurface::pushed(&Pushed {
            bevel: degrees(square),
            edge_height_mm: 0.0,
            abrasive: GrindingFace::Flat { width_mm: 40.0 },
            obliquity: degrees(obliquity),
            presentation: Presentation::EdgeParallelToSpindle,
        })
        .unwrap();
        let s = |w: f64, h: f64| surface.start_of_steel(w, h).unwrap().s_mm;
        let along = 1.0 / (s(0.0, -1.0) - s(0.0, 0.0));
        assert_relative_eq!(along, degrees(square).tan() * degrees(90.0 - obliquity).cos(), epsilon = 1e-12);
        // The edge itself runs at the obliquity to the long side.
        assert_relative_eq!((1.0 / s(1.0, 0.0)).abs(), degrees(obliquity).tan(), epsilon = 1e-9);
        let normal = surface.normal_at(DVec3::ZERO, GroundBy::Sweep);
        assert_relative_eq!(wedge_angle(DVec3::Y, normal).degrees(), square, epsilon = 1e-10);
    }
}

/// K22: the rake of a face square to an edge, from its rakes along two axes.
#[test]
fn normal_rake_of_a_worked_example() {
    let row = row("K22");
    let [back, side, edge] = numbers(&row[2])[..] else { panic!("{row:?}") };
    let expected = numbers(&row[3])[0];
    let tolerance: f64 = row[4].parse().unwrap();
    let face = DVec3::new(-degrees(side).tan(), -degrees(back).tan(), 1.0);
    // The edge lies in the face, at its angle in plan; the rake is measured square to it, against the level
    // direction there.
    let (sin, cos) = degrees(edge).sin_cos();
    let level = DVec3::new(cos, sin, 0.0);
    let along = DVec3::new(-sin, cos, degrees(back).tan() * cos - degrees(side).tan() * sin);
    assert_relative_eq!(face.dot(along), 0.0, epsilon = 1e-12);
    let reference = level.cross(along);
    assert_relative_eq!(wedge_angle(face, -reference).degrees(), expected, epsilon = tolerance);
}

/// A torus about the tool's axis with the given radii, turned all the way.
fn torus(major: f64, minor: f64) -> (GroundSurface, DVec2) {
    let bevel = degrees(60.0);
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(300.0, 0.0), 0.0).unwrap(),
        bevel,
        edge_height_mm: minor * bevel.cos() - major,
        abrasive: GrindingFace::Wheel { radius_mm: minor, width_mm: 10.0 },
        swing: Swing::to_either_side(Angle::HALF).unwrap(),
        turn: Angle::ZERO,
    })
    .unwrap();
    let centre = surface.wheel_centre_by_roll_line().unwrap();
    assert_relative_eq!(centre.y, major, epsilon = 1e-12);
    (surface, centre)
}

/// G06: `(c − √(x² + y²))² + z² = a²`.
#[test]
fn swept_surface_is_the_implicit_torus() {
    assert!(row("G06")[2].contains("(c - sqrt(x^2+y^2))^2 + z^2 = a^2"));
    let (surface, centre) = torus(40.0, 15.0);
    for p in [DVec3::new(3.0, -20.0, 4.0), DVec3::new(-9.0, 11.0, -30.0), DVec3::new(0.0, 40.0, 0.0)] {
        let (x, y, z) = (p.y, p.z, p.x - centre.x);
        let expected = (40.0 - x.hypot(y)).powi(2) + z * z - 15.0 * 15.0;
        assert_relative_eq!(surface.implicit_value(p), expected, epsilon = 1e-11);
    }
}

/// G04 and G07: Gauss' curvature `cos u / (r (R + r cos u))` and the principal curvatures `1/r` and `cos v
/// / (R + r cos v)`, from the program's implicit function by differences: agreement to 1e-6 is what
/// differences allow, the published values are exact.
#[test]
fn swept_surface_has_the_curvature_of_a_torus() {
    let published = numbers(&row("G04")[3]);
    // "u=0: 0.1; 90: 0; 180: -0.5"
    assert_eq!(published, [0.0, 0.1, 90.0, 0.0, 180.0, -0.5]);
    let (major, minor) = (3.0, 2.0);
    let (surface, centre) = torus(major, minor);
    for pair in published.chunks(2) {
        let (sin, cos) = degrees(pair[0]).sin_cos();
        let p = DVec3::new(centre.x + minor * sin, -(major + minor * cos), 0.0);
        let f = |d: DVec3| surface.implicit_value(p + d);
        let step = 1e-4;
        let axes = [DVec3::X, DVec3::Y, DVec3::Z].map(|e| e * step);
        let gradient = DVec3::from_array(axes.map(|e| (f(e) - f(-e)) / (2.0 * step)));
        let bend = |a: DVec3, b: DVec3| (f(a + b) - f(a - b) - f(b - a) + f(-a - b)) / (4.0 * step * step);
        let hessian = DMat3::from_cols_array_2d(&axes.map(|a| axes.map(|b| bend(a, b))));
        // Cofactors: the determinant times the inverse, without dividing.
        let c = [hessian.row(0), hessian.row(1), hessian.row(2)];
        let adjugate = DMat3::from_cols(c[1].cross(c[2]), c[2].cross(c[0]), c[0].cross(c[1]));
        let gauss = gradient.dot(adjugate * gradient) / gradient.length_squared().powi(2);
        assert_relative_eq!(gauss, pair[1], epsilon = 1e-6);
        let mean = (gradient.dot(hessian * gradient)
            - gradient.length_squared() * (hessian.x_axis.x + hessian.y_axis.y + hessian.z_axis.z))
            / (2.0 * gradient.length().powi(3));
        let (first, second) = (1.0 / minor, cos / (major + minor * cos));
        assert_relative_eq!(gauss, first * second, epsilon = 1e-6);
        assert_relative_eq!(mean.abs(), f64::midpoint(first, second).abs(), epsilon = 1e-6);
    }
}

/// Pappus: what a concentric half ring loses to a torus about its axis is the profile's area times the way
/// of its centroid, `π ∫ r s(r) dr`, in closed form.
#[test]
fn volume_lost_to_a_torus_is_pappus() {
    let bar = Bar::cut_off(30.0, FluteShape::Circle { radius_mm: 12.0 }, -12.0, 0.0).unwrap();
    for (bevel, radius) in [(45.0, 75.0), (30.0, 100.0), (60.0, 50.0)] {
        let surface = GroundSurface::rolled(&Rolled {
            line: RollLine::through(DVec2::new(400.0, 0.0), 0.0).unwrap(),
            bevel: degrees(bevel),
            edge_height_mm: -12.0,
            abrasive: GrindingFace::Wheel { radius_mm: radius, width_mm: 40.0 },
            swing: Swing::ASSUMED,
            turn: Angle::ZERO,
        })
        .unwrap();
        let centre = surface.wheel_centre_by_roll_line().unwrap();
        let u_c = -radius * degrees(bevel).sin();
        let antiderivative = |r: f64| {
            let x = r - centre.y;
            let root = (radius * radius - x * x).sqrt();
            u_c * r * r / 2.0 - root.powi(3) / 3.0
                + centre.y * (x * root + radius * radius * (x / radius).asin()) / 2.0
        };
        let expected = std::f64::consts::PI * (antiderivative(15.0) - antiderivative(12.0));
        let volume = Tip::new(surface, Steel::of_bar(&bar)).removed_from_square_end(0.0, 1e-9);
        assert_relative_eq!(volume.mm3, expected, max_relative = 1e-9);
    }
}

/// A torus of 180 mm and 75 mm whose axis lies 105 mm from the flute's floor, square to the bevel's normal
/// there.
fn sloping_torus() -> GroundSurface {
    let slope = degrees(45.0);
    let foot = DVec2::new(0.0, -2.0) + 105.0 * DVec2::new(slope.sin(), slope.cos());
    let height = foot.y + foot.x * slope.tan();
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(foot, height).unwrap(),
        bevel: slope,
        edge_height_mm: -2.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    })
    .unwrap();
    assert_relative_eq!(surface.wheel_centre_by_roll_line().unwrap().y, 180.0, epsilon = 1e-11);
    surface
}

/// A volume of 30 digits (mpmath, `tests/reference/torus_volume.py`): a 16 mm bar with a round flute of 6
/// mm radius, whose walls close in above its axis, less the sloping torus. A [`Flute`] does not close in,
/// so the section is laid out here: 9 × 8 Gauss rays on half of it, cast by the program.
#[test]
fn volume_of_a_known_torus_is_reproduced_by_seventy_two_rays() {
    // Gauss–Legendre on (−1, 1): nodes as roots of the polynomial, weights 2/((1 − x²) P'²).
    let gauss = |n: u32| -> Vec<(f64, f64)> {
        (0..n)
            .map(|i| {
                let mut x = (std::f64::consts::PI * (f64::from(i) + 0.75) / (f64::from(n) + 0.5)).cos();
                let mut slope = 0.0;
                for _ in 0..50 {
                    let (mut p, mut before) = (1.0, 0.0);
                    for k in 1..=n {
                        let k = f64::from(k);
                        (p, before) = (((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k, p);
                    }
                    slope = f64::from(n) * (x * p - before) / (x * x - 1.0);
                    x -= p / slope;
                }
                (x, 2.0 / ((1.0 - x * x) * slope * slope))
            })
            .collect()
    };
    let surface = sloping_torus();
    let open = (-0.25_f64).acos();
    let mut volume = 0.0;
    for (x, weight) in gauss(9) {
        let (sin, cos) = (open * (x + 1.0) / 2.0).sin_cos();
        let outline = 4.0 * cos + (64.0 - 16.0 * sin * sin).sqrt();
        for (y, other) in gauss(8) {
            let rho = 6.0 + (outline - 6.0) * (y + 1.0) / 2.0;
            let hit = surface.start_of_steel(rho * sin, 4.0 - rho * cos).unwrap();
            volume += weight * other * open / 2.0 * (outline - 6.0) / 2.0 * rho * (hit.s_mm + 12.0);
        }
    }
    assert_relative_eq!(2.0 * volume, 1_362.662_861_901_489, max_relative = 1e-9);
}

/// The same with a 7 mm flute, which opens upwards, through the program's own patch and quadrature.
#[test]
fn tip_volume_of_a_known_torus_is_reproduced() {
    let exact = 1_302.861_534_773_006;
    let bar = Bar::new(16.0, FluteShape::Circle { radius_mm: 7.0 }, -2.0).unwrap();
    let tip = Tip::new(sloping_torus(), Steel::of_bar(&bar));
    let volume = tip.removed_from_square_end(-12.0, 1e-6);
    assert_relative_eq!(volume.mm3, exact, max_relative = 1e-8);
    assert!(volume.rays < 100 && volume.reached, "{volume:?}");
    let fine = tip.removed_from_square_end(-12.0, 1e-12);
    assert_relative_eq!(fine.mm3, exact, max_relative = 1e-12);
}

/// Limit n → ∞ of a power-law flute: a flat floor between upright walls; the edge on the floor tends to the
/// edge under a level face, and the wedge there to the bevel to a level face.
#[test]
fn ever_higher_powers_tend_to_a_level_floor() {
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 2.0).unwrap(),
        bevel: degrees(45.0),
        edge_height_mm: -3.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    })
    .unwrap();
    let mut last = f64::INFINITY;
    for exponent in [3.0, 6.0, 12.0, 24.0] {
        // The wall passes 1 mm above the floor at w = 3.1.
        let shape = FluteShape::Power { factor: 3.1_f64.powf(-exponent), exponent };
        let flute = Flute::new(shape, -3.0, 16.0, 8.0).unwrap();
        let mut off = 0.0_f64;
        for w in [0.0, 0.6, 1.2, 1.8, 2.4] {
            let bent = surface.start_of_steel(w, flute.height_at(w)).unwrap().s_mm;
            let level = surface.start_of_steel(w, -3.0).unwrap().s_mm;
            off = off.max((bent - level).abs());
        }
        assert!(off < last, "{exponent}: {off}");
        last = off;
    }
    assert!(last < 0.01, "{last}");
}
