//! Second bevels, costs, clearances, fits, cross checks and roots.

use bevelbench_geometry::{
    DVec2, DVec3,
    facet::{FacetCurve, FurtherFacet, Regrind, Relief, ReliefWanted},
    math::{
        Angle, Quantity,
        roots::{real_roots, roots_within},
    },
    parts::{Face, Grinder, Hollow, PresentFacet, Profile},
    side::{Facet, Support, Target, face_to_strut_end, rim_to_cup, rim_to_table},
    solve::{FITTED, Trial, fit_rig},
    space::{Guard, Moved, Solid, Surroundings},
    swept::{RollLine, Swing},
};
use glam::DQuat;

use crate::{
    Record,
    shop::{arm, degrees, holder, jobs, table},
};

#[test]
fn second_bevels_and_regrinds_are_as_recorded() {
    let mut record = Record::default();
    for (name, job) in jobs().into_iter().step_by(2) {
        let Ok(view) = job.evaluate() else { continue };
        let under = job.setting.edge.under_mm;
        record.say(&name, &FurtherFacet::first(&job.setting, &view).width_mm);
        let (free, by) = match job.setting.support {
            Support::Table { .. } => (Quantity::TableTilt, -9.0),
            _ => (Quantity::Reach, -13.0),
        };
        let value = job.setting.value_of(free).unwrap();
        let first = FurtherFacet::first(&job.setting, &view);
        for left_mm in [0.8, 2.4] {
            let steps = [(free, value + by, left_mm), (free, value + 2.1 * by, 0.7 * left_mm)];
            match Relief::of(&job, &view, steps) {
                Ok(relief) => {
                    let facets: Vec<_> = relief
                        .facets()
                        .iter()
                        .map(|facet| {
                            (
                                facet.ends_from_edge,
                                facet.at_begin,
                                facet.across,
                                facet.at_end,
                                facet.width_mm,
                                facet.hollow_mm,
                                facet.removed_mm2,
                            )
                        })
                        .collect();
                    record.say(&format!("  {left_mm} left"), &facets);
                    record.say(
                        "  of it",
                        &(
                            [0, 1, 2].map(|at| (relief.relief(at), relief.turn_at_junction(at))),
                            relief.removed_mm2(),
                            relief.inside(),
                            [30.0, 90.0].map(|radius| relief.lift(radius)),
                        ),
                    );
                    let new = Regrind::between(
                        FacetCurve::of_relief(&relief),
                        FacetCurve::of_ground(&view.facet, job.setting.face),
                        under,
                    );
                    let lost = new.length_lost_mm();
                    record.say(
                        "  ground away",
                        &(
                            lost,
                            new.begins_and_ends(),
                            new.removed_mm2(lost),
                            [0.2, 1.1, 3.0].map(|depth| new.difference_mm(depth)),
                        ),
                    );
                }
                Err(refusal) => record.say("  refused", &(refusal.to_string(), refusal.step())),
            }
            for wanted in [
                ReliefWanted::Relief(degrees(7.0)),
                ReliefWanted::Across(view.facet.across - degrees(11.0)),
                ReliefWanted::Inside(40.0),
            ] {
                let found = first.second_settings(&job, left_mm, free, wanted).map(|all| {
                    all.map(|one| (one.value, one.off_travel.map(|refusal| refusal.kind())))
                        .collect::<Vec<_>>()
                });
                record.say(&format!("  for {wanted:?}"), &found.map_err(|refusal| refusal.to_string()));
                record.say("  widths", &Relief::primary_widths(&job, &view, free, value + by, wanted));
            }
        }
        for (hollow, off, width) in [
            (Hollow::Arc { radius_mm: 80.0 }, -4.0, 5.0),
            (Hollow::Flat, 6.0, 4.0),
            (Hollow::Arc { radius_mm: 300.0 }, 0.3, 9.0),
        ] {
            let Ok(old) = PresentFacet::new(hollow, view.bevel() + degrees(off), width) else { continue };
            let regrind = Regrind::new(&old, &view.facet, job.setting.face, under);
            let lost = regrind.length_lost_mm();
            record.say(
                "  regrind",
                &(
                    lost,
                    regrind.begins_and_ends(),
                    [0.0, 0.3].map(|more| regrind.removed_mm2(lost + more)),
                    [0.5, 2.0, 4.5].map(|width| regrind.length_lost_for_width_mm(width)),
                ),
            );
            record.say("  outline", &regrind.removed_outline(lost + 0.2, 5).collect::<Vec<_>>());
            let Ok(later) = PresentFacet::new(hollow, view.bevel() + degrees(off - 8.0), 3.0) else {
                continue;
            };
            let chain = Regrind::between(
                FacetCurve::of_profile(&Profile::new(&[old, later]).unwrap()),
                FacetCurve::of_ground(&view.facet, job.setting.face),
                under,
            );
            record
                .say("  of two facets", &(chain.length_lost_mm(), chain.removed_mm2(chain.length_lost_mm())));
        }
    }
    record.check("second_bevels.txt");
}

#[test]
fn facets_are_as_recorded() {
    let mut record = Record::default();
    for face in [
        Face::Round { radius_mm: 61.0 },
        Face::Round { radius_mm: 125.0 },
        Face::Flat { normal: degrees(40.0) },
    ] {
        for bevel in [14.0, 33.0, 60.0, 95.0, 141.0] {
            for under in [0.7, 4.0, 11.0] {
                record.say(
                    &format!("{bevel} {under}"),
                    &(
                        Facet::ground(face, degrees(bevel), under),
                        Facet::edge_bevel_for_across(face, degrees(bevel), under),
                    ),
                );
            }
        }
    }
    record.check("facets.txt");
}

#[test]
fn clearances_are_as_recorded() {
    let mut record = Record::default();
    let guard = Guard::new(131.0, degrees(-28.0), degrees(57.0), 52.0).unwrap();
    for (name, job) in jobs().into_iter().step_by(7) {
        let Ok(view) = job.evaluate() else { continue };
        let line = job.setting.pivot().map(|(_, in_tool)| RollLine::through(in_tool, 0.6));
        let moved = match line {
            Some(Ok(line)) => Moved::Rolled { line, swing: Swing::to_either_side(degrees(64.0)).unwrap() },
            _ => Moved::Pushed { half_mm: 11.0 },
        };
        for guard in [None, Some(&guard)] {
            let around = Surroundings::of(&job, &view, moved, guard);
            record.say(
                &format!("{name}, guard {}", guard.is_some()),
                &around
                    .clearances()
                    .iter()
                    .map(|one| (one.body, one.obstacle, one.gap_mm, one.at))
                    .collect::<Vec<_>>(),
            );
            if guard.is_some() {
                record.say("  moving", &[-1.0, 0.0, 0.6].map(|at| around.moving_at(at).collect::<Vec<_>>()));
                record.say("  still", &(around.still(), around.obstacles()));
            }
        }
    }
    record.check("clearances.txt");
}

#[test]
fn gaps_of_solids_are_as_recorded() {
    let mut record = Record::default();
    let turn = DQuat::from_euler(glam::EulerRot::XYZ, 0.3, -0.5, 0.2);
    let block = |x: f64| Solid::Block {
        centre: DVec3::new(x, 12.0, 20.0),
        axes: [turn * DVec3::X, turn * DVec3::Y, turn * DVec3::Z],
        half_mm: DVec3::new(15.0, 12.0, 9.0),
    };
    let rod = |z: f64| Solid::Rod {
        ends: [DVec3::new(90.0, -40.0, z), DVec3::new(160.0, 70.0, z + 13.0)],
        radius_mm: 6.0,
    };
    let disc = Solid::Disc { radius_mm: 76.0, half_width_mm: 19.0 };
    let solids = [block(150.0), block(96.0), block(40.0), rod(3.0), rod(31.0), rod(-77.0), disc];
    for one in solids {
        for other in solids {
            record.say("gap", &one.gap(&other).mm);
        }
        record.say(
            "farthest",
            &one.farthest_from_line_mm(DVec3::new(3.0, 5.0, -7.0), DVec3::new(0.6, 0.8, 0.0)),
        );
        record.say(
            "moved",
            &one.moved(turn, DVec3::new(20.0, -3.0, 8.0), DVec3::new(1.0, 2.0, 3.0)).gap(&disc),
        );
    }
    record.check("solids.txt");
}

#[test]
fn rigs_are_fitted_as_recorded() {
    let mut record = Record::default();
    let trials: Vec<Trial> = jobs()
        .into_iter()
        .filter(|(name, _)| name.contains("holder"))
        .enumerate()
        .filter_map(|(at, (_, job))| {
            // As if the arm stood elsewhere, read to a tenth of a degree.
            let bevel = job.evaluate().ok()?.bevel() + degrees(0.4 * (at as f64 * 1.7).sin());
            let measured =
                if at % 2 == 0 { Target::AtEdge(bevel) } else { Target::AcrossFacet(bevel - degrees(1.3)) };
            Some(Trial {
                setting: job.setting,
                measured,
                half_width: degrees(0.3 + 0.02 * at as f64),
                readings: Vec::new(),
            })
        })
        .collect();
    record.say("trials", &trials.len());
    for hidden in [&FITTED[..], &FITTED[..2], &FITTED[2..4], &FITTED[4..]] {
        for count in [3, 7, trials.len()] {
            let fitted = fit_rig(&trials[..count.min(trials.len())], hidden);
            // A search by steps: what it finds is not as sharp as a formula.
            match fitted {
                Ok(fitted) => {
                    let coarse = |x: f64| (x * 1e4).round() / 1e4;
                    let dimensions: Vec<_> = fitted
                        .dimensions
                        .iter()
                        .map(|one| {
                            (
                                one.hidden,
                                coarse(one.was_mm),
                                coarse(one.is_mm),
                                coarse(one.standard_mm),
                                coarse(one.expanded_mm()),
                            )
                        })
                        .collect();
                    record.say(
                        "fitted",
                        &(
                            dimensions,
                            coarse(fitted.chi_squared),
                            fitted.degrees_of_freedom,
                            fitted.is_consistent(),
                        ),
                    );
                }
                Err(refusal) => record.say("refused", &refusal.to_string()),
            }
        }
    }
    let uncertainty = |quantity: Quantity| if quantity == Quantity::Reach { 0.5 } else { 0.8 };
    for (name, check) in [
        ("cup", rim_to_cup(&arm(), 155.0, 75.0)),
        ("table", rim_to_table(&table(), degrees(11.0), 75.0)),
        ("strut", face_to_strut_end(&holder(), degrees(37.0))),
    ] {
        for off in [-9.0, 0.2, 1.4] {
            record.say(name, &(&check, check.compare(check.expected_mm + off, 0.5, uncertainty)));
        }
    }
    record.say("grinder", &Grinder::new(1_440.0, 255.0, 190.0));
    record.check("fits.txt");
}

#[test]
fn roots_are_as_recorded() {
    let mut record = Record::default();
    for c in [
        [-6.0, 11.0, -6.0, 1.0, 0.0],
        [1.0, -3.0, 0.5, 2.0, -0.7],
        [0.3, 0.0, -2.0, 0.0, 1.1],
        [4.0, -4.0, 1.0, 0.0, 0.0],
        [-1.0, 2.5, 0.0, 0.0, 0.0],
        [1.0, 0.1, 3.0, 0.2, 0.9],
        [1e-7, 1.0, -4.0, 3.0, 1e-9],
    ] {
        record.say(
            &format!("{c:?}"),
            &(real_roots(&c).as_slice(), roots_within(&c, -1.0, 1.5).as_slice(), real_roots(&c).greatest()),
        );
    }
    for angle in [-700.0, -180.0, -90.0, 0.0, 179.0, 181.0, 540.0] {
        let angle: Angle = degrees(angle);
        record.say(
            "angle",
            &(
                angle.wrapped(),
                angle.abs(),
                angle.sin_cos(),
                angle.direction(),
                angle.clamped(degrees(-100.0), degrees(200.0)),
                Angle::of(DVec2::new(angle.cos(), 2.0 * angle.sin())),
            ),
        );
    }
    record.check("roots.txt");
}
