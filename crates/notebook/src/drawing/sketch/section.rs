//! The sketches of a tool's section, seen from its end: the bar with its flute, the flat blade.

use bevelbench_geometry::{
    math::{Angle, Quantity as Q},
    parts::Bar,
};

use crate::{
    drawing::{
        Bounds, Geometry, Point, Role,
        sketch::{
            lines::{Sketch, arc, rectangle},
            mark::Mark,
        },
    },
    quantity::{Units, to_type::length_text},
    saved::{BarSaved, FlatSaved, FluteSaved, SectionSaved},
};

fn around(left: f64, low: f64, right: f64, high: f64) -> Bounds {
    Bounds { min: [left, low], max: [right, high] }
}

/// A bar with its flute.
#[must_use]
pub fn bar_section(saved: &BarSaved, bar: &Bar, units: Units, pointed: Option<Mark>) -> Sketch {
    let r = bar.radius_mm();
    let step = r * 0.3;
    let mut s = Sketch::new(around(-r, -r, r, r), step, pointed);
    let flute = bar.flute();
    let wing = flute.wing_top();
    let top = bar.top_mm();
    // The bar's outline below the top, from right to left by way of the bottom, then back along the flute's wall.
    let shoulder = (r * r - top * top).max(0.0).sqrt();
    let start = if top < r && wing.y > top - 1e-6 {
        Angle::from_radians(top.atan2(shoulder))
    } else {
        Angle::from_radians(wing.y.atan2(wing.x))
    };
    let sweep = -(Angle::HALF + start * 2.0);
    let mut outline = vec![[wing.x, wing.y]];
    outline.extend(arc([0.0, 0.0], r, start, sweep, 96));
    let wall: Vec<Point> = (0..=64)
        .map(|i| {
            let w = wing.x * (f64::from(i) / 32.0 - 1.0);
            [w, flute.height_at(w)]
        })
        .collect();
    outline.extend(wall.iter().copied());
    outline.dedup_by(|a, b| (a[0] - b[0]).hypot(a[1] - b[1]) < 1e-6);
    s.add(Role::ToolSection, Geometry::Outline(outline));
    s.guide([-r - step, 0.0], [r + step, 0.0]);
    s.guide([0.0, -r - step], [0.0, r + step * 0.6]);

    let floor = saved.flute_floor_mm;
    s.distance(
        Mark::Of(Q::BarDiameter),
        [-r, 0.0],
        [r, 0.0],
        -(r / step + 1.0),
        length_text(2.0 * r, units),
        true,
    );
    s.distance(
        Mark::Of(Q::FluteFloor),
        [0.0, 0.0],
        [0.0, floor],
        if floor < 0.0 { -(r / step + 1.0) } else { r / step + 1.0 },
        length_text(floor, units),
        false,
    );
    if let Some(top) = saved.top_mm {
        s.distance(Mark::BarTop, [0.0, 0.0], [0.0, top], -(r / step + 1.0), length_text(top, units), false);
    }
    match saved.flute {
        FluteSaved::Circle { radius_mm } => {
            let side = Angle::from_degrees(-90.0)
                + Angle::from_radians((wing.x / radius_mm).clamp(-1.0, 1.0).asin() * 0.6);
            s.glow(Mark::Of(Q::FluteRadius), wall);
            s.radius(
                Mark::Of(Q::FluteRadius),
                [0.0, floor + radius_mm],
                radius_mm,
                side,
                length_text(radius_mm, units),
            );
        }
        FluteSaved::Vee { slope, floor_radius_mm } => {
            s.glow(Mark::Of(Q::FluteSlope), wall[40..].to_vec());
            let words = format!("{slope} up for 1 aside");
            s.remark(Mark::Of(Q::FluteSlope), [0.0, r + step], words);
            let towards = Angle::from_degrees(-90.0);
            s.glow(
                Mark::Of(Q::FluteFloorRadius),
                arc(
                    [0.0, floor + floor_radius_mm],
                    floor_radius_mm,
                    Angle::from_degrees(-140.0),
                    Angle::from_degrees(100.0),
                    24,
                ),
            );
            s.radius(
                Mark::Of(Q::FluteFloorRadius),
                [0.0, floor + floor_radius_mm],
                floor_radius_mm,
                towards,
                length_text(floor_radius_mm, units),
            );
        }
        FluteSaved::Power { k, n } => {
            for quantity in [Q::FluteFactor, Q::FluteExponent] {
                s.glow(Mark::Of(quantity), wall.clone());
                s.remark(
                    Mark::Of(quantity),
                    [0.0, r + step],
                    format!("height = {k} × aside to the power {n}"),
                );
            }
        }
    }
    s
}

/// A flat blade.
#[must_use]
pub fn flat_section(flat: &FlatSaved, units: Units, pointed: Option<Mark>) -> Sketch {
    let (half, t) = (flat.width_mm / 2.0, flat.thickness_mm / 2.0);
    let step = (half * 0.28).max(t * 0.6);
    let mut s = Sketch::new(around(-half, -t, half, t), step, pointed);
    let outline = match flat.section {
        SectionSaved::Rectangular => rectangle(-half, -t, half, t),
        SectionSaved::Rolled => {
            let round = t.min(half);
            let mut points = arc([half - round, 0.0], round, -Angle::QUARTER, Angle::HALF, 24);
            points.extend(arc([round - half, 0.0], round, Angle::QUARTER, Angle::HALF, 24));
            Geometry::Outline(points)
        }
        SectionSaved::Oval => {
            let points = (0..72).map(|i| {
                let (sin, cos) = Angle::from_degrees(f64::from(i) * 5.0).sin_cos();
                [half * cos, t * sin]
            });
            Geometry::Outline(points.collect())
        }
    };
    s.add(Role::ToolSection, outline);
    s.guide([-half - step, 0.0], [half + step, 0.0]);
    s.distance(
        Mark::Of(Q::BladeWidth),
        [-half, -t],
        [half, -t],
        -1.0,
        length_text(flat.width_mm, units),
        true,
    );
    s.distance(
        Mark::Of(Q::BladeThickness),
        [half, -t],
        [half, t],
        -1.0,
        length_text(flat.thickness_mm, units),
        true,
    );
    s
}
