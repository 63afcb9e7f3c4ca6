//! Swept grinds: surfaces, edges, summaries, envelopes, equal grinds and slips.

use bevelbench_geometry::{
    DVec2, DVec3,
    fault::{Dip, FaultyGrind, Peak, RollingFault, WingInk, WingInkSeen},
    math::Angle,
    parts::Presentation,
    swept::{
        Edge, EdgeDifference, EdgeSummary, Envelope, GrindingFace, GroundSurface, Pushed, RimShape, RollLine,
        Rolled, Steel, Strut, StrutTravel, Swing, TurnedOnTable,
        equal::{equal_grind, fit_roll_centre},
    },
};

use crate::{
    Record,
    shop::{bars, degrees, flats},
};

/// Rolled grinds of a bar: round and flat stones, about lines near and far, wide and narrow swings, turned or not.
pub(crate) fn rolled(edge_height_mm: f64) -> Vec<(String, Rolled)> {
    let wheel = |radius_mm, width_mm| GrindingFace::Wheel { radius_mm, width_mm };
    let mut all = Vec::new();
    for (at, (pivot, centre)) in
        [((139.5, -49.5), 0.0), ((118.0, -61.0), 1.4), ((96.0, -20.0), -1.1), ((210.0, 6.0), 2.2)]
            .into_iter()
            .enumerate()
    {
        for (turn, half, bevel, face) in [
            (0.0, 120.0, 44.0, wheel(75.0, 40.0)),
            (0.0, 70.0, 58.0, wheel(101.0, 25.0)),
            (3.5, 85.0, 49.0, wheel(66.0, 38.0)),
            (0.0, 95.0, 41.0, GrindingFace::Flat { width_mm: 45.0 }),
        ] {
            let line = RollLine::through(DVec2::new(pivot.0, pivot.1), centre).unwrap();
            let swing = Swing::to_either_side(degrees(half)).unwrap();
            all.push((
                format!("line {at}, {half} to a side, turned {turn}"),
                Rolled {
                    line,
                    bevel: degrees(bevel),
                    edge_height_mm,
                    abrasive: face,
                    swing,
                    turn: degrees(turn),
                },
            ));
        }
    }
    all
}

fn say_surface(record: &mut Record, name: &str, surface: &GroundSurface, steel: &Steel) {
    let edge = Edge::trace(surface, steel, 21);
    record.say(name, &(edge.points().len(), edge.unreached(), edge.breaks()));
    for point in edge.points().iter().step_by(4) {
        record.say("  edge", point);
    }
    record.say("  summary", &EdgeSummary::of(&Edge::trace(surface, steel, 101), surface, steel));
    let half = steel.half_width_mm();
    for (w, h) in
        [(0.0, -4.0), (0.31 * half, -1.0), (-0.62 * half, 0.5), (0.9 * half, 2.0), (-0.2 * half, -6.0)]
    {
        let hit = surface.start_of_steel(w, h);
        record.say("  hit", &hit);
        if let Some(hit) = hit {
            let place = DVec3::new(hit.s_mm, h, w);
            record.say(
                "  there",
                &(
                    surface.normal_at(place, hit.face),
                    surface.roll_at(place, hit.face),
                    surface.implicit_value(place + DVec3::new(0.2, 0.1, -0.1)),
                ),
            );
            record.say(
                "  ways",
                &[DVec3::X, DVec3::new(0.6, 0.0, 0.8), DVec3::new(-0.8, 0.6, 0.0)]
                    .map(|way| surface.way_to(place + DVec3::new(0.3, -0.2, 0.1), way)),
            );
        }
    }
}

#[test]
fn rolled_edges_are_as_recorded() {
    let mut record = Record::default();
    for (shape, bar) in bars() {
        let steel = Steel::of_bar(&bar);
        for (name, grind) in rolled(bar.flute().floor_mm()) {
            match GroundSurface::rolled(&grind) {
                Ok(surface) => say_surface(&mut record, &format!("{shape}, {name}"), &surface, &steel),
                Err(error) => record.say(&name, &error.to_string()),
            }
        }
    }
    record.check("rolled.txt");
}

#[test]
fn flat_tools_are_as_recorded() {
    let mut record = Record::default();
    for (name, stock) in flats() {
        let steel = Steel::of_flat(&stock);
        let edge_height_mm = bevelbench_geometry::parts::Blank::Flat(stock).edge_height_mm();
        for abrasive in [
            GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
            GrindingFace::Wheel { radius_mm: 101.0, width_mm: 7.0 },
            GrindingFace::Flat { width_mm: 45.0 },
        ] {
            for presentation in [Presentation::EdgeParallelToSpindle, Presentation::AxisInSidePlane] {
                let obliquity = bevelbench_geometry::parts::Blank::Flat(stock).obliquity();
                let pushed =
                    Pushed { bevel: degrees(37.0), edge_height_mm, abrasive, obliquity, presentation };
                match GroundSurface::pushed(&pushed) {
                    Ok(surface) => {
                        say_surface(&mut record, &format!("{name}, {presentation:?}"), &surface, &steel);
                    }
                    Err(error) => record.say(name, &error.to_string()),
                }
            }
            let swing = Swing::to_either_side(degrees(52.0)).unwrap();
            let turned =
                TurnedOnTable { plan_radius_mm: 15.0, bevel: degrees(71.0), edge_height_mm, abrasive, swing };
            match GroundSurface::turned_on_table(&turned) {
                Ok(surface) => {
                    say_surface(&mut record, &format!("{name}, turned on the table"), &surface, &steel);
                }
                Err(error) => record.say(name, &error.to_string()),
            }
        }
    }
    record.check("flats.txt");
}

#[test]
fn envelopes_are_as_recorded() {
    let mut record = Record::default();
    let rays: Vec<DVec2> = (0..40)
        .map(|i| DVec2::new(7.0 * (f64::from(i) * 0.61).sin(), 5.0 * (f64::from(i) * 0.37).cos()))
        .collect();
    for (name, grind) in rolled(-4.0) {
        for rim in [
            RimShape::Flat,
            RimShape::RoundedCorners { radius_mm: 3.0 },
            RimShape::Crowned { radius_mm: 210.0 },
        ] {
            for offset in [0.0, 4.0] {
                let poses = (-40..=40).map(|i| degrees(f64::from(i) * 1.5));
                match Envelope::new(&grind, rim, offset, poses) {
                    Ok(envelope) => {
                        let (mut starts, mut best) = (vec![0.0; rays.len()], vec![0; rays.len()]);
                        envelope.fill(&rays, &mut starts, &mut best);
                        let few: Vec<_> = starts.iter().step_by(5).collect();
                        record.say(
                            &format!("{name}, {rim:?}, {offset} off"),
                            &(few, best.iter().step_by(5).collect::<Vec<_>>()),
                        );
                        envelope.fill_by_scan(&rays, &mut starts, &mut best);
                        record.say("  by scan", &starts.iter().skip(1).step_by(5).collect::<Vec<_>>());
                    }
                    Err(error) => record.say(&name, &error.to_string()),
                }
            }
        }
    }
    record.check("envelopes.txt");
}

#[test]
fn equal_grinds_are_as_recorded() {
    let mut record = Record::default();
    let strut = Strut { hinge_setback_mm: 14.0, hinge_drop_mm: 6.0, length_mm: 72.0 };
    let travel = StrutTravel {
        least_angle: degrees(0.0),
        greatest_angle: degrees(110.0),
        least_distance_mm: 90.0,
        greatest_distance_mm: 260.0,
    };
    let (_, bar) = &bars()[0];
    let steel = Steel::of_bar(bar);
    for (name, grind) in rolled(-3.0) {
        for projection in [48.0, 70.0] {
            record.say(
                &format!("{name} at {projection}"),
                &equal_grind(&grind, &steel, &strut, projection, &travel),
            );
            record.say("  onto", &strut.angles_onto(&grind.line, projection));
        }
        for sweep in [4.0, 9.0, 30.0] {
            record.say("  roll centre", &fit_roll_centre(&grind, &steel, sweep, 5.0));
        }
        let other = Rolled { bevel: grind.bevel + degrees(1.0), ..grind };
        if let (Ok(one), Ok(other)) = (GroundSurface::rolled(&grind), GroundSurface::rolled(&other)) {
            record.say(
                "  difference",
                &EdgeDifference::between(&Edge::trace(&one, &steel, 33), &Edge::trace(&other, &steel, 33)),
            );
        }
    }
    record.check("equal.txt");
}

#[test]
fn slips_are_as_recorded() {
    let mut record = Record::default();
    for (shape, bar) in bars() {
        let steel = Steel::of_bar(&bar);
        for (name, grind) in rolled(bar.flute().floor_mm()).into_iter().step_by(3) {
            record.say(&format!("{shape}, {name}"), &grind.line.reach_mm());
            for rolling_fault in [
                RollingFault::TurnedInHolder { by: degrees(2.0) },
                RollingFault::Dwelt { at: degrees(21.0), nod: degrees(0.6) },
                RollingFault::Skipped { at: degrees(-17.0), half: degrees(9.0) },
                RollingFault::AboutAnotherCentre { height_mm: 1.1 },
            ] {
                match FaultyGrind::new(&grind, rolling_fault) {
                    Ok(faulty) => record.say(
                        &format!("  {rolling_fault:?}"),
                        &(faulty.edge(&steel, 9), faulty.start_of_steel_mm(1.2, 0.4)),
                    ),
                    Err(error) => record.say("  refused", &error.to_string()),
                }
            }
            record.say("  behind", &FaultyGrind::turned_behind(&grind, &steel, 1.1));
            record.say("  behind", &FaultyGrind::dwelt_behind_flat(&grind, &steel, 1.4));
            record.say(
                "  behind",
                &FaultyGrind::dwelt_behind_dip(&grind, &steel, Dip { at: 0.3, depth_mm: 0.25 }),
            );
            record.say(
                "  behind",
                &FaultyGrind::skipped_behind_peak(&grind, &steel, Peak { at: -0.2, height_mm: 0.2 }),
            );
            record.say("  behind", &FaultyGrind::centre_behind_nose(&grind, &steel, 2.0, 4.0));
            for (plus, at_heel) in [(true, true), (false, false)] {
                let seen = WingInkSeen { plus, at_heel, rubbed_mm: 1.0, film_mm: 0.006 };
                record.say("  wing ink", &WingInk::read(&grind, &steel, &seen, degrees(0.5)));
            }
        }
    }
    let line = RollLine::through(DVec2::new(120.0, -33.0), 1.0).unwrap();
    record.say("line", &(line, line.distance_mm(DVec2::new(3.0, 4.0)), line.angle(), Angle::ZERO));
    record.check("slips.txt");
}
