//! Tips as solids: volumes, meshes, outlines, ink over the whole bevel.

use bevelbench_geometry::{
    DVec2, DVec3,
    swept::{
        GroundSurface, Rolled, Settling, Steel, SweptInk, Tip, TipMesh,
        silhouette::{plan_outline, side_outline},
    },
};

use crate::{
    Record,
    shop::{bars, degrees},
    swung::rolled,
};

fn tips() -> Vec<(String, Rolled, Tip)> {
    let mut tips = Vec::new();
    for (shape, bar) in bars() {
        let steel = Steel::of_bar(&bar);
        for (name, grind) in rolled(bar.flute().floor_mm()) {
            if let Ok(surface) = GroundSurface::rolled(&grind) {
                tips.push((format!("{shape}, {name}"), grind, Tip::new(surface, steel)));
            }
        }
    }
    tips
}

#[test]
fn removed_steel_is_as_recorded() {
    let mut record = Record::default();
    for (name, grind, tip) in tips() {
        record.say(&name, &tip.removed_from_square_end(-2.0, 1e-7).mm3);
        let keener = GroundSurface::rolled(&Rolled { bevel: grind.bevel - degrees(3.0), ..grind }).unwrap();
        record.say("  deeper", &[0.0, 0.5].map(|shift| tip.removed_by(&keener, shift, 1e-7).mm3));
        record.say("  between", &tip.removed_between(&[(keener, 0.2)], &[(*tip.surface(), 0.6)], 1e-7).mm3);
        record.say("  behind", &tip.edge_behind_mm(&[(keener, 0.1)], &[(*tip.surface(), 0.2)], 9));
        record.say("  section", &tip.section_area_mm2(1e-9));
        record.say("  at", &[(0.0, 0.0), (0.4, 0.3), (-0.7, 0.8), (0.95, 1.0)].map(|(t, v)| tip.at(t, v)));
    }
    record.check("removed.txt");
}

#[test]
fn meshes_and_outlines_are_as_recorded() {
    let mut record = Record::default();
    for (name, _, tip) in tips().into_iter().step_by(5) {
        let mesh = TipMesh::of(&tip, 35.0, 0.02);
        let sum = mesh.vertices().iter().fold([0.0; 7], |mut sum, v| {
            let parts = [
                v.position.x,
                v.position.y,
                v.position.z.abs(),
                v.normal.x,
                v.normal.y,
                v.normal.z.abs(),
                v.wedge_degrees,
            ];
            for (total, part) in sum.iter_mut().zip(parts) {
                *total += f64::from(part);
            }
            sum
        });
        // Vertices are single numbers: their sums hold to that.
        let coarse = sum.map(|total| (total * 10.0).round() / 10.0);
        let turns = mesh.triangles().iter().fold(0u64, |sum, [a, b, c]| {
            sum.wrapping_mul(31).wrapping_add(u64::from(*a) + 3 * u64::from(*b) + 7 * u64::from(*c))
        });
        record.say(&name, &(mesh.vertices().len(), mesh.triangles().len(), turns, mesh.reached(), coarse));
        record.say("  deviates", &mesh.deviation_mm());
        let along = |line: &[DVec3]| line.iter().step_by(20).copied().collect::<Vec<_>>();
        record.say("  edge", &along(mesh.edge()));
        record.say("  heel", &along(mesh.heel()));
        let few = |outline: Vec<DVec2>| outline.into_iter().step_by(9).collect::<Vec<_>>();
        record.say("  side", &few(side_outline(&tip, 30.0, 40)));
        record.say("  plan", &few(plan_outline(&tip, 30.0, 40)));
    }
    record.check("meshes.txt");
}

#[test]
fn ink_over_the_bevel_is_as_recorded() {
    let mut record = Record::default();
    for (name, grind, tip) in tips().into_iter().step_by(3) {
        for (off, settling) in [(0.0, true), (1.5, true), (-2.0, false)] {
            let today = Rolled { bevel: grind.bevel + degrees(off), ..grind };
            let Ok(surface) = GroundSurface::rolled(&today) else { continue };
            let settling = if settling {
                Settling::AboutPivot { pivot_in_tool: grind.line.pivot_in_tool() }
            } else {
                Settling::AlongTable
            };
            let ink = SweptInk::new(&tip, &surface, settling);
            record.say(
                &format!("{name}, {off} off"),
                &[-0.8, -0.3, 0.0, 0.45, 0.9].map(|t| ink.facing(&tip, t, 0.01)),
            );
            let places = [(0.0, 0.2), (0.5, 0.5), (-0.6, 0.7)].map(|(t, v)| {
                let (place, hit) = tip.at(t, v);
                hit.and_then(|hit| ink.gap_at_mm(DVec3::new(hit.s_mm, place.y, place.x)))
            });
            record.say("  gaps", &places);
        }
    }
    record.check("swept_ink.txt");
}
