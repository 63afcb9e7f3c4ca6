//! Heels of edge points, against what a heel is: the first place on the wheel's own circle, at the point's own roll,
//! where the steel's outline is reached.

use bevelbench_geometry::{
    DVec2, DVec3,
    math::Angle,
    parts::{Bar, Bevels, FlatKind, FlatStock, FluteShape, Presentation, Section},
    swept::{Edge, EdgePoint, GrindingFace, GroundBy, GroundSurface, Pushed, RollLine, Rolled, Steel, Swing},
};
use glam::DQuat;

fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

/// Of a heel on its outline.
const ACCURACY_MM: f64 = 2e-9;

/// How far a place of the section lies outside: a disc of 8 mm cut off at a height, or a blade of 24 by 6 mm.
#[derive(Debug, Clone, Copy)]
enum Outline {
    Bar { top: f64 },
    Blade(Section),
}

impl Outline {
    fn outside(self, w: f64, h: f64) -> f64 {
        match self {
            Self::Bar { top } => (w.hypot(h) - 8.0).max(h - top),
            Self::Blade(Section::Rectangular) => (w.abs() - 12.0).max(-3.0 - h),
            Self::Blade(Section::Oval) => (w / 12.0).hypot(h / 3.0) - 1.0,
            Self::Blade(Section::Rolled) => (w.abs() - 9.0).max(0.0).hypot(h) - 3.0,
        }
    }
}

/// The wheel's centre and axle when `point` is ground; a flat face has no centre.
fn wheel_at(setting: &Rolled, point: &EdgePoint, radius: f64) -> (DVec3, DVec3) {
    let normal = DVec3::new(setting.bevel.sin(), setting.bevel.cos(), 0.0);
    let nose = DVec3::new(0.0, setting.edge_height_mm, 0.0);
    let in_space = |v: DVec2| DVec3::new(v.x, v.y, 0.0);
    let (centre, along) = (in_space(setting.line.centre_in_tool()), in_space(setting.line.along_in_tool()));
    let sense = along.cross(in_space(setting.line.square_in_tool())).dot(DVec3::Z).signum();
    let turn = DQuat::from_axis_angle(along, sense * point.roll.radians());
    (centre + turn * (nose - radius * normal - centre), turn * DVec3::Z)
}

fn look(name: &str, outline: Outline, point: &EdgePoint, centre: DVec3, axle: DVec3, radius: f64) {
    let (from, to) = (point.position() - centre, point.heel - centre);
    let name = format!("{name} {point:?}");
    for leg in [from, to] {
        assert!(leg.dot(axle).abs() < 1e-6 && (leg.length() - radius).abs() < 1e-6, "{leg} {name}");
    }
    assert!((point.facet_width_mm - from.distance(to)).abs() < 1e-9, "{name}");
    let at_heel = outline.outside(point.heel.z, point.heel.y);
    assert!(at_heel.abs() < ACCURACY_MM, "{at_heel} {name}");
    // The shorter way round from edge to heel stays in the steel.
    for part in 1..40 {
        let on = centre + radius * from.lerp(to, f64::from(part) / 40.0).normalize();
        assert!(outline.outside(on.z, on.y) < ACCURACY_MM, "{part} {} {name}", outline.outside(on.z, on.y));
    }
}

#[test]
fn heels_of_rolled_gouges_are_where_the_wheel_leaves_the_bar() {
    let mut looked_at = 0;
    for top in [8.0, 2.0] {
        let bar = Bar::cut_off(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0, top).unwrap();
        let steel = Steel::of_bar(&bar);
        for radius in [12.0, 25.0, 75.0, 125.0] {
            for (pivot, centre) in [((139.5, -49.5), 0.0), ((90.0, -70.0), 2.0), ((150.0, 30.0), -1.5)] {
                for bevel in [25.0, 45.0, 70.0] {
                    let setting = Rolled {
                        line: RollLine::through(DVec2::new(pivot.0, pivot.1), centre).unwrap(),
                        bevel: degrees(bevel),
                        edge_height_mm: -4.0,
                        abrasive: GrindingFace::Wheel { radius_mm: radius, width_mm: 60.0 },
                        swing: Swing::to_either_side(degrees(150.0)).unwrap(),
                        turn: Angle::ZERO,
                    };
                    let Ok(surface) = GroundSurface::rolled(&setting) else { continue };
                    for point in Edge::trace(&surface, &steel, 61).points() {
                        // Where the wheel's circle never leaves the bar there is no heel.
                        if point.face != GroundBy::Sweep || point.facet_width_mm == 0.0 {
                            continue;
                        }
                        looked_at += 1;
                        let (middle, axle) = wheel_at(&setting, point, radius);
                        look(&format!("{setting:?}"), Outline::Bar { top }, point, middle, axle, radius);
                    }
                }
            }
        }
    }
    assert!(looked_at > 2000, "{looked_at}");
}

#[test]
fn heels_of_blades_are_where_the_wheel_leaves_the_blade() {
    let mut looked_at = 0;
    let kind = FlatKind::Parting { bevels: Bevels::Alike };
    for section in [Section::Rectangular, Section::Oval, Section::Rolled] {
        let steel = Steel::of_flat(&FlatStock::new(24.0, 6.0, section, kind).unwrap());
        for radius in [20.0, 75.0] {
            for obliquity in [90.0, 70.0, 55.0] {
                for bevel in [20.0, 45.0, 80.0] {
                    let pushed = Pushed {
                        bevel: degrees(bevel),
                        edge_height_mm: 0.0,
                        abrasive: GrindingFace::Wheel { radius_mm: radius, width_mm: 40.0 },
                        obliquity: degrees(obliquity),
                        presentation: Presentation::EdgeParallelToSpindle,
                    };
                    let surface = GroundSurface::pushed(&pushed).unwrap();
                    let (sin, cos) = pushed.obliquity.sin_cos();
                    let axle = DVec3::new(cos, 0.0, sin);
                    for point in Edge::trace(&surface, &steel, 41).points() {
                        if point.facet_width_mm == 0.0 || point.w_mm.abs() > 8.0 {
                            continue;
                        }
                        looked_at += 1;
                        let level = DVec3::new(sin, 0.0, -cos);
                        let normal = normal_at(&pushed, radius, point);
                        let centre =
                            point.position() - radius * (normal.x * level + DVec3::new(0.0, normal.y, 0.0));
                        look(&format!("{pushed:?}"), Outline::Blade(section), point, centre, axle, radius);
                    }
                }
            }
        }
    }
    assert!(looked_at > 500, "{looked_at}");
}

/// The wheel's outward normal in its own plane where it grinds a point of a pushed tool: `(level, up)`.
fn normal_at(pushed: &Pushed, radius: f64, point: &EdgePoint) -> DVec2 {
    // The wheel touches at the bevel at the height 0 and is a circle above and below.
    let up = pushed.bevel.cos() + (point.h_mm - pushed.edge_height_mm) / radius;
    DVec2::new((1.0 - up * up).max(0.0).sqrt(), up)
}
