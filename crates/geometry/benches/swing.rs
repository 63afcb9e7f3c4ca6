//! What one slider tick costs: edge, volume, mesh, envelope. Run with `cargo bench -p bevelbench-geometry --bench swing`.
#![allow(clippy::unwrap_used, reason = "a bench may stop at a surprise")]

use bevelbench_geometry::{
    math::Angle,
    parts::{Bar, Bevels, FlatKind, FlatStock, FluteShape, Presentation, Section},
    swept::{
        edge::Edge,
        edge_summary::EdgeSummary,
        envelope::Envelope,
        ground::{GrindingFace, GroundSurface, Pushed, Rolled},
        ink::{Settling, SweptInk},
        roll::{RollLine, Swing},
        steel::Steel,
        tip::Tip,
        tip_mesh::{Region, TipMesh},
    },
};
use divan::{Bencher, black_box};
use glam::{DVec2, DVec3};

fn main() {
    divan::main();
}

/// A swung gouge: 16 mm bar, wheel of 150 mm, ±90°.
fn setting(turn: f64) -> Rolled {
    Rolled {
        line: RollLine::through(DVec2::new(139.5, -49.5), 0.0).unwrap(),
        bevel: Angle::from_degrees(45.0),
        edge_height_mm: -4.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::from_degrees(turn),
    }
}

fn parabola() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -4.0).unwrap())
}

fn power() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Power { factor: 0.02, exponent: 3.7 }, -4.0).unwrap())
}

fn vee() -> Steel {
    Steel::of_bar(&Bar::new(16.0, FluteShape::Vee { slope: 1.6, floor_radius_mm: 1.5 }, -4.0).unwrap())
}

/// One setting to 201 edge points with all quantities. Bound: 50 µs.
#[divan::bench(args = ["parabola", "power 3.7", "vee", "parabola turned 3"])]
fn edge_of_201_points(bencher: Bencher, case: &str) {
    let steel = match case {
        "power 3.7" => power(),
        "vee" => vee(),
        _ => parabola(),
    };
    let setting = setting(if case.ends_with("turned 3") { 3.0 } else { 0.0 });
    let mut edge = Edge::trace(&GroundSurface::rolled(&setting).unwrap(), &steel, 201);
    bencher.bench_local(|| {
        let surface = GroundSurface::rolled(black_box(&setting)).unwrap();
        edge.trace_again(&surface, black_box(&steel), 201);
        edge.points().len()
    });
}

/// The same of a skew pushed straight across. Bound: 50 µs.
#[divan::bench]
fn edge_of_201_points_of_a_skew(bencher: Bencher) {
    let kind =
        FlatKind::Skew { obliquity: Angle::from_degrees(70.0), edge_radius_mm: None, bevels: Bevels::Alike };
    let steel = Steel::of_flat(&FlatStock::new(25.0, 8.0, Section::Oval, kind).unwrap());
    let pushed = Pushed {
        bevel: Angle::from_degrees(15.0),
        edge_height_mm: 0.0,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        obliquity: Angle::from_degrees(70.0),
        presentation: Presentation::EdgeParallelToSpindle,
    };
    let mut edge = Edge::trace(&GroundSurface::pushed(&pushed).unwrap(), &steel, 201);
    bencher.bench_local(|| {
        let surface = GroundSurface::pushed(black_box(&pushed)).unwrap();
        edge.trace_again(&surface, black_box(&steel), 201);
        edge.points().len()
    });
}

/// The gap from one swept face to another, at one place. Bound: 1 µs.
#[divan::bench]
fn gap_to_another_face(bencher: Bencher) {
    let (one, other) = (setting(0.0), Rolled { bevel: Angle::from_degrees(42.0), ..setting(0.0) });
    let (one, other) = (GroundSurface::rolled(&one).unwrap(), GroundSurface::rolled(&other).unwrap());
    let hit = one.start_of_steel(3.0, -4.5).unwrap();
    let place = DVec3::new(hit.s_mm, -4.5, 3.0);
    let normal = one.normal_at(place, hit.face);
    bencher.bench_local(|| black_box(&other).way_to(black_box(place), normal));
}

/// The summary of a traced edge.
#[divan::bench]
fn edge_summary(bencher: Bencher) {
    let (surface, steel) = (GroundSurface::rolled(&setting(0.0)).unwrap(), parabola());
    let edge = Edge::trace(&surface, &steel, 201);
    bencher.bench_local(|| EdgeSummary::of(black_box(&edge), &surface, &steel));
}

/// Removed volume to 1e-6, the same job as the peers' case A with an open flute. Bound: 10 µs.
#[divan::bench]
fn volume_of_a_torus(bencher: Bencher) {
    let slope = Angle::from_degrees(45.0);
    let foot = DVec2::new(0.0, -2.0) + 105.0 * DVec2::new(slope.sin(), slope.cos());
    let setting = Rolled {
        line: RollLine::through(foot, foot.y + foot.x).unwrap(),
        bevel: slope,
        edge_height_mm: -2.0,
        ..setting(0.0)
    };
    let steel = Steel::of_bar(&Bar::new(16.0, FluteShape::Circle { radius_mm: 7.0 }, -2.0).unwrap());
    bencher.bench_local(|| {
        let tip = Tip::new(GroundSurface::rolled(black_box(&setting)).unwrap(), steel);
        tip.removed_from_square_end(-12.0, 1e-6)
    });
}

/// Removed volume to 1e-6 of a swing whose roll line runs through the tip: the field is smooth but steep near the line, and
/// the patch is divided. Some five times the bound of the torus above.
#[divan::bench]
fn volume_of_a_swing(bencher: Bencher) {
    let setting =
        Rolled { swing: Swing::to_either_side(Angle::from_degrees(160.0)).unwrap(), ..setting(0.0) };
    let steel = parabola();
    bencher.bench_local(|| {
        let tip = Tip::new(GroundSurface::rolled(black_box(&setting)).unwrap(), steel);
        tip.removed_from_square_end(-12.0, 1e-6)
    });
}

/// Height field and mesh for display, at least 20,000 triangles within 0.005 mm. Bound: 4 ms.
#[divan::bench(args = [0.0, 3.0])]
fn mesh_for_display(bencher: Bencher, turn: f64) {
    let (setting, steel) = (setting(turn), parabola());
    let mut mesh = TipMesh::default();
    bencher.bench_local(|| {
        let tip = Tip::new(GroundSurface::rolled(black_box(&setting)).unwrap(), steel);
        mesh.fill(&tip, 40.0, 0.005);
        assert!(mesh.triangles().len() >= 20_000 && mesh.reached());
        mesh.triangles().len()
    });
}

/// Ink over a whole swept bevel: the face as it is settled on today's wheel all over the swing, and the gap at every
/// ground vertex of the coarsest mesh for display. Bound: 2 ms.
#[divan::bench(args = [0.0, 3.0])]
fn ink_over_a_swept_bevel(bencher: Bencher, turn: f64) {
    let present = Tip::new(GroundSurface::rolled(&setting(0.0)).unwrap(), parabola());
    let today = GroundSurface::rolled(&Rolled { bevel: Angle::from_degrees(44.0), ..setting(turn) }).unwrap();
    let mesh = TipMesh::of(&present, 40.0, f64::INFINITY);
    let ground: Vec<DVec3> = mesh
        .vertices()
        .iter()
        .filter(|vertex| vertex.region == Region::Ground)
        .map(|vertex| vertex.position.as_dvec3())
        .collect();
    let settling = Settling::AboutPivot { pivot_in_tool: setting(0.0).line.pivot_in_tool() };
    let mut ink = SweptInk::default();
    bencher.bench_local(|| {
        ink.lay(black_box(&present), black_box(&today), settling);
        ground.iter().filter_map(|place| ink.gap_at_mm(*place)).filter(|gap| *gap < 0.005).count()
    });
}

/// 181 poses over 65,536 rays. Bound: 2 ms.
#[divan::bench]
fn envelope_of_181_poses_over_65536_rays(bencher: Bencher) {
    let setting = setting(0.0);
    let tip = Tip::new(GroundSurface::rolled(&setting).unwrap(), parabola());
    let rays: Vec<DVec2> = (0..65_536_u32)
        .map(|k| {
            // Column after column, up one and down the next.
            let (i, j) = (k / 256, k % 256);
            let j = if i % 2 == 0 { j } else { 255 - j };
            tip.at(2.0 * (f64::from(i) + 0.5) / 256.0 - 1.0, (f64::from(j) + 0.5) / 256.0).0
        })
        .collect();
    let (mut starts, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
    let envelope = Envelope::of_swing(&setting, 181).unwrap();
    bencher.bench_local(|| {
        envelope.fill(black_box(&rays), &mut starts, &mut best);
        starts[0]
    });
}
