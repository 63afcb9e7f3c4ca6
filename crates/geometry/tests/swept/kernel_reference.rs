//! Edge points and volumes against a general-purpose boundary-representation kernel:
//! `tests/reference/brep_tip.csv`, written by `brep_tip.py` beside it.

use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        ground::{GrindingFace, GroundSurface, Rolled},
        roll::{RollLine, Swing},
        steel::Steel,
        tip::Tip,
    },
};
use glam::DVec2;

const ROWS: &str = include_str!("../../../../tests/reference/brep_tip.csv");

struct Row {
    case: String,
    kind: String,
    numbers: Vec<Option<f64>>,
    flute: String,
}

fn rows() -> Vec<Row> {
    ROWS.lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            Row {
                case: fields[0].into(),
                kind: fields[14].into(),
                flute: fields[2].into(),
                numbers: fields.iter().map(|field| field.parse().ok()).collect(),
            }
        })
        .collect()
}

fn tip(row: &Row) -> Tip {
    let n = |i: usize| row.numbers[i].unwrap();
    let shape = match row.flute.as_str() {
        "circle" => FluteShape::Circle { radius_mm: n(3) },
        _ => FluteShape::Power { factor: n(3), exponent: 2.0 },
    };
    let surface = GroundSurface::rolled(&Rolled {
        line: RollLine::through(DVec2::new(n(5), n(6)), n(7)).unwrap(),
        bevel: Angle::from_degrees(n(10)),
        edge_height_mm: n(4),
        abrasive: GrindingFace::Wheel { radius_mm: n(8), width_mm: n(9) },
        swing: Swing::to_either_side(Angle::from_degrees(n(11))).unwrap(),
        turn: Angle::from_degrees(n(12)),
    })
    .unwrap();
    Tip::new(surface, Steel::of_bar(&Bar::new(n(1), shape, n(4)).unwrap()))
}

#[test]
fn edge_points_of_the_kernel_lie_on_the_edge() {
    let mut compared = 0;
    for row in rows().iter().filter(|row| row.kind == "edge") {
        let [s, h, w] = [15, 16, 17].map(|i| row.numbers[i].unwrap());
        let tip = tip(row);
        assert!((tip.steel().wall_height_at(w) - h).abs() < 1e-5);
        let hit = tip.surface().start_of_steel(w, tip.steel().wall_height_at(w)).unwrap();
        // The kernel's own curves keep to 1e-6 or so of its surfaces.
        assert!((hit.s_mm - s).abs() < 2e-5, "{}: {} for {s} at w = {w}", row.case, hit.s_mm);
        compared += 1;
    }
    assert_eq!(compared, 198);
}

#[test]
fn volumes_are_those_of_the_kernel() {
    let mut compared = 0;
    for row in rows().iter().filter(|row| row.kind == "volume") {
        let expected = row.numbers[18].unwrap();
        let volume = tip(row).removed_from_square_end(row.numbers[13].unwrap(), 1e-7);
        assert!((volume.mm3 - expected).abs() < 1e-6 * expected, "{}: {volume:?} for {expected}", row.case);
        compared += 1;
    }
    assert_eq!(compared, 6);
}
