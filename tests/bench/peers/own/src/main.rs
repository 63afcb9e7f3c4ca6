//! The program's own side of the comparison: two cuts, each answered as the workbench answers a slider's tick.
//! Prints one JSON object a case; `peers.py` reads it.

use std::{hint::black_box, time::Instant};

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{Bar, FluteShape},
    swept::{
        Edge, EdgeSummary, Envelope, GrindingFace, GroundSurface, Region, RollLine, Rolled, Steel, Swing,
        Tip, TipMesh,
    },
};

type Fault = Box<dyn std::error::Error>;

/// The bar's square end, in front of the flute's floor, in millimetres.
const END: f64 = -12.0;
const FLOOR: f64 = -2.0;
/// Rays of the envelope along either side of a square grid of the section's patch: few, whose volume is about as good as
/// that of a mesh of 0.01 mm, and many.
const ACROSS: [u32; 2] = [64, 128];

fn main() -> Result<(), Fault> {
    let repeats: usize = std::env::args().nth(1).map_or(Ok(201), |n| n.parse())?;
    for name in ["A", "B"] {
        println!("{}", case(name, repeats)?);
    }
    Ok(())
}

fn setting(name: &str) -> Result<Rolled, Fault> {
    let bevel = Angle::from_degrees(45.0);
    let foot = DVec2::new(0.0, FLOOR) + 105.0 * DVec2::new(bevel.sin(), bevel.cos());
    let line = match name {
        // The axis of a torus of 180 mm and 75 mm, 105 mm from the floor.
        "A" => RollLine::through(foot, foot.y + foot.x)?,
        _ => RollLine::through(DVec2::new(139.5, -49.5), 0.0)?,
    };
    Ok(Rolled {
        line,
        bevel,
        edge_height_mm: FLOOR,
        abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        swing: Swing::ASSUMED,
        turn: Angle::ZERO,
    })
}

/// Median microseconds of a job.
fn median(repeats: usize, mut job: impl FnMut()) -> f64 {
    let mut times: Vec<f64> = (0..repeats)
        .map(|_| {
            let start = Instant::now();
            job();
            start.elapsed().as_secs_f64() * 1e6
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn case(name: &str, repeats: usize) -> Result<String, Fault> {
    let setting = setting(name)?;
    let steel = Steel::of_bar(&Bar::new(16.0, FluteShape::Circle { radius_mm: 7.0 }, FLOOR)?);
    let surface = GroundSurface::rolled(&setting)?;

    let (mut edge, mut mesh) = (Edge::trace(&surface, &steel, 513), TipMesh::default());
    let mut volume = 0.0;
    let mut contact: Vec<f32> = Vec::new();
    // Everything that is shown: 513 points of the edge with every angle, the removed volume, the mesh with its colours of
    // wedge angle, and the roll angle at which each place of the ground face was ground.
    let mut whole = || {
        let Ok(surface) = GroundSurface::rolled(black_box(&setting)) else { return };
        edge.trace_again(&surface, &steel, 513);
        black_box(EdgeSummary::of(&edge, &surface, &steel));
        let tip = Tip::new(surface, steel);
        volume = tip.removed_from_square_end(END, 1e-6).mm3;
        mesh.fill(&tip, 40.0, 0.005);
        let (ground, column) = mesh.ground();
        contact.clear();
        // The two wings mirror each other.
        let half = (ground.len() + column) / 2;
        contact.extend(ground[..half].iter().zip(mesh.ground_by()).map(|(vertex, face)| {
            face.map_or(f32::NAN, |face| surface.roll_at(vertex.position.as_dvec3(), face).degrees() as f32)
        }));
        for i in half / column..ground.len() / column {
            let twin = ground.len() - (i + 1) * column;
            contact.extend_from_within(twin..twin + column);
            let end = contact.len();
            contact[end - column..].iter_mut().for_each(|roll| *roll = -*roll);
        }
        black_box(&contact);
    };
    whole();
    let whole_us = median(repeats, &mut whole);
    let triangles = mesh.triangles().len();
    let ground = mesh.vertices().iter().filter(|vertex| vertex.region == Region::Ground).count();

    let mut numbers = || {
        let Ok(surface) = GroundSurface::rolled(black_box(&setting)) else { return };
        edge.trace_again(&surface, &steel, 201);
        black_box(EdgeSummary::of(&edge, &surface, &steel));
        black_box(Tip::new(surface, steel).removed_from_square_end(END, 1e-6));
    };
    let numbers_us = median(repeats, &mut numbers);
    let volume_us = median(repeats, || {
        let Ok(surface) = GroundSurface::rolled(black_box(&setting)) else { return };
        black_box(Tip::new(surface, steel).removed_from_square_end(END, 1e-6));
    });
    let mesh_us = median(repeats, || {
        let Ok(surface) = GroundSurface::rolled(black_box(&setting)) else { return };
        mesh.fill(&Tip::new(surface, steel), 40.0, 0.005);
    });

    let tip = Tip::new(surface, steel);
    let fine = tip.removed_from_square_end(END, 1e-11).mm3;
    let [few, many] =
        [poses(&setting, &tip, ACROSS[0], repeats)?, poses(&setting, &tip, ACROSS[1], repeats)?];

    Ok(format!(
        "{{\"case\": \"{name}\", \"whole_us\": {whole_us:.2}, \"numbers_us\": {numbers_us:.2}, \
         \"volume_us\": {volume_us:.2}, \"mesh_us\": {mesh_us:.2}, \"few_us\": {:.2}, \"many_us\": {:.2}, \
         \"volume_mm3\": {volume:.12}, \"fine_mm3\": {fine:.12}, \"triangles\": {triangles}, \
         \"ground_vertices\": {ground}, \"deviation_mm\": {:.6}, \"contacts\": {}, \
         \"few_rays\": {}, \"many_rays\": {}, \"off_mm\": {:.3e}, \"few_mm3\": {:.6}, \"many_mm3\": {:.6}}}",
        few.us,
        many.us,
        mesh.deviation_mm(),
        contact.len(),
        ACROSS[0] * ACROSS[0],
        ACROSS[1] * ACROSS[1],
        few.off_mm.max(many.off_mm),
        few.mm3,
        many.mm3,
    ))
}

/// 181 poses over a grid of rays.
struct Poses {
    us: f64,
    /// Greatest difference from trying every pose on every ray.
    off_mm: f64,
    /// Removed volume by the middle rule over these rays.
    mm3: f64,
}

fn poses(setting: &Rolled, tip: &Tip, across: u32, repeats: usize) -> Result<Poses, Fault> {
    // Column after column, up one and down the next.
    let cell = |k: u32| {
        let (i, j) = (k / across, k % across);
        (i, if i % 2 == 0 { j } else { across - 1 - j })
    };
    let at = |i: f64, j: f64| tip.at(2.0 * i / f64::from(across) - 1.0, j / f64::from(across)).0;
    let count = across * across;
    let rays: Vec<DVec2> = (0..count)
        .map(|k| {
            let (i, j) = cell(k);
            at(f64::from(i) + 0.5, f64::from(j) + 0.5)
        })
        .collect();
    let (mut starts, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
    let us = median(repeats, || {
        let Ok(envelope) = Envelope::of_swing(black_box(setting), 181) else { return };
        envelope.fill(&rays, &mut starts, &mut best);
        black_box((&starts, &best));
    });
    let (mut slow, mut slow_best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
    Envelope::of_swing(setting, 181)?.fill_by_scan(&rays, &mut slow, &mut slow_best);
    let off_mm = starts.iter().zip(&slow).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    // Each ray stands for the quadrilateral of the patch around it.
    let mm3 = (0..count)
        .map(|k| {
            let (i, j) = cell(k);
            let corner = |a: u32, b: u32| at(f64::from(i + a), f64::from(j + b));
            let area = 0.5 * ((corner(1, 1) - corner(0, 0)).perp_dot(corner(0, 1) - corner(1, 0))).abs();
            area * (starts[k as usize] - END).max(0.0)
        })
        .sum();
    Ok(Poses { us, off_mm, mm3 })
}
