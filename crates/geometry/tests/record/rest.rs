//! What the other records do not come by: words of refusals, accessors, limits of safety, flat stones, corners.

use bevelbench_geometry::{
    DVec2, DVec3,
    facet::{AcrossBy, HollowBy, InkMap, MeasuredFacet, NoContact, Relief, ReliefWanted},
    fault::{FaultyGrind, NewFacet, TwoFacetsSeen},
    math::{Angle, Quantity},
    parts::{
        Abrasive, Bar, Blank, FluteShape, GapLimits, GuardOpening, Hollow, PresentFacet, Presentation,
        least_flange_mm, most_turns_rpm,
    },
    side::{NoHeel, NotWorn, Refusal, Target},
    solve::{DegreeOfFreedom, Question, Rolling, SolveError, WingTarget},
    space::Guard,
    swept::{
        Edge, EdgeSummary, Envelope, EnvelopeError, EqualGrindError, GrindingFace, GroundError,
        GroundSurface, Pushed, RollLine, RollLineError, Rolled, Settling, Steel, SweptInk, Swing, Tip,
        TipMesh, TurnedOnTable,
        equal::{equal_grind, fit_roll_centre},
    },
};

use crate::{
    Record,
    shop::{UNCERTAINTIES, bars, degrees, flats, jobs, wheel},
    swung::rolled,
};

#[test]
fn refusals_speak_as_recorded() {
    let mut record = Record::default();
    let dimension_error = Bar::new(-3.0, FluteShape::Circle { radius_mm: 2.0 }, 0.0).unwrap_err();
    record.say(
        "unfit",
        &(
            dimension_error.to_string(),
            Quantity::FluteRadius.to_string(),
            NoContact.to_string(),
            NoHeel { under_mm: 9.5, most_mm: 3.25 }.to_string(),
        ),
    );
    let lines = [
        RollLine::through(DVec2::new(f64::NAN, 0.0), 0.0),
        RollLine::through(DVec2::new(0.0, 0.0), 0.0),
        RollLine::upright(-1.0),
        RollLine::upright(12.0),
    ];
    record.say(
        "lines",
        &lines.map(|line| {
            line.map(|line| {
                (line.square_in_tool(), line.along_in_tool(), line.reach_mm(), line.pivot_in_tool())
            })
            .map_err(|error: RollLineError| error.to_string())
        }),
    );
    for (_, grind) in rolled(-4.0) {
        let bad = [
            Rolled { bevel: degrees(-3.0), ..grind },
            Rolled { bevel: degrees(181.0), ..grind },
            Rolled { turn: degrees(f64::NAN), ..grind },
            Rolled { turn: degrees(120.0), ..grind },
            Rolled { edge_height_mm: 60.0, ..grind },
            Rolled { abrasive: GrindingFace::Wheel { radius_mm: 0.0, width_mm: 40.0 }, ..grind },
            Rolled { abrasive: GrindingFace::Flat { width_mm: f64::INFINITY }, ..grind },
        ];
        record.say(
            "grounds",
            &bad.map(|bad| {
                GroundSurface::rolled(&bad)
                    .map(|surface| surface.roll_line())
                    .map_err(|error: GroundError| error.to_string())
            }),
        );
        record.say(
            "poses",
            &Envelope::of_swing(&grind, 31)
                .map(|envelope| envelope.poses())
                .map_err(|error: EnvelopeError| error.to_string()),
        );
        record.say(
            "none",
            &Envelope::of_swing(&grind, 0)
                .map(|envelope| envelope.poses())
                .map_err(|error| error.to_string()),
        );
    }
    record.say(
        "solve",
        &[
            SolveError::NotRolled,
            SolveError::TooManyFreedoms { free: 4, targets: 1 },
            SolveError::NotARange(Quantity::RollCentre),
        ]
        .map(|error| error.to_string()),
    );
    record
        .say("worn", &[NotWorn::NoWheel, NotWorn::NoGauge, NotWorn::NoPlace].map(|error| error.to_string()));
    record
        .say("equal", &[EqualGrindError::NoWheel, EqualGrindError::NoTravel].map(|error| error.to_string()));
    record.check("refusals.txt");
}

#[test]
fn accessors_and_limits_are_as_recorded() {
    let mut record = Record::default();
    for (name, bar) in bars() {
        record.say(
            name,
            &(
                bar.diameter_mm(),
                bar.radius_mm(),
                bar.top_mm(),
                bar.flute().floor_mm(),
                bar.flute().wing_top(),
                Blank::Bar(bar).height_span_mm(),
                Blank::Bar(bar).included(degrees(40.0)),
            ),
        );
    }
    for (name, stock) in flats() {
        let blank = Blank::Flat(stock);
        record.say(
            name,
            &(
                stock.width_mm(),
                stock.thickness_mm(),
                stock.section(),
                stock.kind(),
                stock.bevels(),
                blank.height_span_mm(),
                blank.included(degrees(33.0)),
                blank.edge_height_mm(),
                blank.thickness_under_edge_mm(),
            ),
        );
    }
    let guard = Guard::new(131.0, degrees(-28.0), degrees(57.0), 52.0).unwrap();
    record.say("guard", &(guard.radius_mm(), guard.open()));
    for (diameter, abrasive) in [
        (203.0, Abrasive::Friable),
        (119.0, Abrasive::Friable),
        (203.0, Abrasive::Flat),
        (150.0, Abrasive::Superabrasive),
    ] {
        let wheel = wheel(diameter, abrasive);
        record.say(
            "wheel",
            &(
                wheel.wear_refusal(),
                wheel.fraction_left(),
                wheel.face(),
                wheel.face().radius_mm(),
                wheel.face().hollow(),
                wheel.face().distance_mm(DVec2::new(31.0, 77.0)),
            ),
        );
    }
    record.say(
        "speeds",
        &[(30.0, 203.0), (25.0, 151.0)]
            .map(|(speed, diameter)| (most_turns_rpm(speed, diameter), least_flange_mm(diameter))),
    );
    record.say("gaps", &[GapLimits::UNITED_STATES, GapLimits::GERMANY]);
    for (top, exposure) in [(64.0, 88.0), (65.0, 90.0), (66.0, 91.0), (70.0, 125.0), (60.0, 126.5)] {
        let opening = GuardOpening { top: degrees(top), exposure: degrees(exposure) };
        let shows = [-61.0, -60.0, -20.0, top, top + 0.5].map(|at| opening.shows(degrees(at)));
        record.say(
            "opening",
            &(
                opening.bottom(),
                shows,
                opening.too_open(false).collect::<Vec<_>>(),
                opening.too_open(true).collect::<Vec<_>>(),
            ),
        );
    }
    let mut turned = degrees(30.0);
    turned -= degrees(12.5);
    turned += degrees(1.25);
    record.say("angles", &(turned, [1.0, 2.0, 4.5].map(degrees).into_iter().sum::<Angle>()));
    for (name, job) in jobs().into_iter().step_by(3) {
        record.say(
            &name,
            &(
                job.tool.present().map(PresentFacet::across),
                job.tool.profile().map(bevelbench_geometry::parts::Profile::width_mm),
                job.tool.overall_length_mm(),
                job.tool.blade_length_mm(),
            ),
        );
        if let Ok(view) = job.evaluate() {
            record.say(
                "  cautions",
                &job.cautions(&view)
                    .iter()
                    .map(|caution| (caution.code(), caution.is_warning(), caution.is_unsafe()))
                    .collect::<Vec<_>>(),
            );
            record.say(
                "  inside",
                &(Relief::lift_of_single_facet(&view, 30.0), Relief::lift_of_single_facet(&view, 0.1)),
            );
            if let Some(facet) = job.tool.present() {
                record.say(
                    "  wheel",
                    &job.setting.ink(&(*facet).into(), 0.01).map(|map: InkMap| {
                        (map.wheel_from_edge(), map.profile().width_mm(), map.touch().pattern(0.01))
                    }),
                );
            }
            for (edge_mm, heel_mm) in [(1.4, 2.6), (3.0, 0.8), (30.0, 4.0)] {
                for newer in [NewFacet::AtHeel, NewFacet::AtEdge] {
                    record.say(
                        "  two facets",
                        &job.setting.two_facets(&TwoFacetsSeen { edge_mm, heel_mm, newer }).map(|two| {
                            (
                                two.newer,
                                two.lost_mm,
                                two.profile.map(|profile| profile.width_mm()),
                                two.slips().map(|slip| (slip.free, slip.by)).collect::<Vec<_>>(),
                            )
                        }),
                    );
                }
            }
            if let Some(free) = [Quantity::Reach, Quantity::TableTilt]
                .into_iter()
                .find(|free| job.setting.value_of(*free).is_some())
            {
                let value = job.setting.value_of(free).unwrap_or(0.0) - 11.0;
                for radius in [9.0, 25.0, 400.0] {
                    record.say(
                        "  widths",
                        &Relief::primary_widths(&job, &view, free, value, ReliefWanted::Inside(radius)),
                    );
                }
            }
        }
    }
    for across in [
        AcrossBy::Thickness { under_mm: 2.99 },
        AcrossBy::Thickness { under_mm: 0.02 },
        AcrossBy::Protractor { reads: degrees(0.6) },
    ] {
        let facet = MeasuredFacet { width_mm: 3.0, across, hollow: HollowBy::Depth { hollow_mm: 0.01 } };
        record.say("near the limits", &(facet.matched(), facet.uncertainty(&UNCERTAINTIES)));
    }
    record.check("accessors.txt");
}

#[test]
fn flat_stones_and_pushed_tools_take_ink_as_recorded() {
    let mut record = Record::default();
    let faces = [
        GrindingFace::Wheel { radius_mm: 75.0, width_mm: 40.0 },
        GrindingFace::Wheel { radius_mm: 90.0, width_mm: 5.0 },
        GrindingFace::Flat { width_mm: 45.0 },
    ];
    let settlings = [Settling::AlongTable, Settling::AboutPivot { pivot_in_tool: DVec2::new(171.0, -33.0) }];
    for (name, stock) in flats() {
        let blank = Blank::Flat(stock);
        let steel = Steel::of_flat(&stock);
        for abrasive in faces {
            let pushed = Pushed {
                bevel: degrees(39.0),
                edge_height_mm: blank.edge_height_mm(),
                abrasive,
                obliquity: blank.obliquity(),
                presentation: Presentation::EdgeParallelToSpindle,
            };
            let turned = TurnedOnTable {
                plan_radius_mm: 15.0,
                bevel: degrees(70.0),
                edge_height_mm: blank.edge_height_mm(),
                abrasive,
                swing: Swing::to_either_side(degrees(60.0)).unwrap(),
            };
            let today = [
                (
                    GroundSurface::pushed(&pushed),
                    GroundSurface::pushed(&Pushed { bevel: degrees(41.0), ..pushed }),
                ),
                (
                    GroundSurface::turned_on_table(&turned),
                    GroundSurface::turned_on_table(&TurnedOnTable { bevel: degrees(68.0), ..turned }),
                ),
            ];
            for pair in today {
                let (Ok(own), Ok(other)) = pair else { continue };
                let tip = Tip::new(own, steel);
                record.say(
                    name,
                    &(
                        own.is_symmetric(),
                        own.swing().map(|swing| swing.half()),
                        tip.removed_from_square_end(-1.0, 1e-7).mm3,
                    ),
                );
                record.say("  summary", &EdgeSummary::of(&Edge::trace(&own, &steel, 51), &own, &steel));
                for settling in settlings {
                    for surface in [&own, &other] {
                        let ink = SweptInk::new(&tip, surface, settling);
                        record.say("  ink", &[-0.8, 0.0, 0.45].map(|t| ink.facing(&tip, t, 0.01)));
                    }
                }
            }
        }
    }
    for (name, grind) in rolled(-4.0)
        .into_iter()
        .filter(|(_, grind)| matches!(grind.abrasive, GrindingFace::Flat { .. }) || grind.turn != Angle::ZERO)
    {
        let (_, bar) = &bars()[1];
        let steel = Steel::of_bar(bar);
        let Ok(own) = GroundSurface::rolled(&grind) else { continue };
        let turned = Rolled { turn: degrees(5.0), ..grind };
        record.say(
            &name,
            &GroundSurface::rolled(&turned)
                .map(|surface| (surface.start_of_steel(1.0, 0.3), surface.start_of_steel(-2.0, 0.3))),
        );
        let tip = Tip::new(own, steel);
        for settling in settlings {
            let ink = SweptInk::new(&tip, &own, settling);
            record.say("  ink", &[-0.8, 0.0, 0.45].map(|t| ink.facing(&tip, t, 0.01)));
        }
        let mesh = TipMesh::of(&tip, 25.0, 0.05);
        let (ground, a_column) = mesh.ground();
        record.say("  mesh", &(ground.len(), a_column, mesh.heel().len(), mesh.edge().len()));
        record.say(
            "  flat behind",
            &[0.3, 3.0, 40.0].map(|flat| FaultyGrind::dwelt_behind_flat(&grind, &steel, flat)),
        );
        record.say(
            "  nose behind",
            &[0.4, 1.0, 6.0, 50.0].map(|radius| FaultyGrind::centre_behind_nose(&grind, &steel, radius, 5.0)),
        );
    }
    record.check("flat_ink.txt");
}

#[test]
fn far_swings_and_nearly_met_questions_are_as_recorded() {
    let mut record = Record::default();
    let (_, bar) = &bars()[2];
    let steel = Steel::of_bar(bar);
    // Swings and stones so narrow that wings are missed, ended by the swing or by the wheel's side.
    for (half, width) in [(8.0, 40.0), (35.0, 6.0), (25.0, 14.0), (170.0, 40.0)] {
        for turn in [0.0, 6.0] {
            let grind = Rolled {
                line: RollLine::through(DVec2::new(118.0, -61.0), 1.4).unwrap(),
                bevel: degrees(48.0),
                edge_height_mm: bar.flute().floor_mm(),
                abrasive: GrindingFace::Wheel { radius_mm: 75.0, width_mm: width },
                swing: Swing::to_either_side(degrees(half)).unwrap(),
                turn: degrees(turn),
            };
            let surface = GroundSurface::rolled(&grind).unwrap();
            let edge = Edge::trace(&surface, &steel, 61);
            record.say(
                &format!("{half} {width} {turn}"),
                &(
                    edge.points().len(),
                    edge.unreached(),
                    edge.breaks(),
                    EdgeSummary::of(&edge, &surface, &steel),
                ),
            );
            record.say(
                "  points",
                &edge.points().iter().step_by(9).map(|p| (p.w_mm, p.s_mm, p.wedge)).collect::<Vec<_>>(),
            );
            record.say("  volume", &Tip::new(surface, steel).removed_from_square_end(-2.0, 1e-6).mm3);
            record.say(
                "  roll centre",
                &[2.0, 5.0, 8.0].map(|sweep| fit_roll_centre(&grind, &steel, sweep, 6.0)),
            );
            record.say(
                "  below",
                &(
                    fit_roll_centre(&grind, &steel, 4.0, -20.0),
                    fit_roll_centre(&grind, &steel, f64::NAN, 6.0),
                ),
            );
            let strut = bevelbench_geometry::swept::Strut {
                hinge_setback_mm: 14.0,
                hinge_drop_mm: 6.0,
                length_mm: 72.0,
            };
            let travel = |least_distance_mm, greatest_distance_mm| bevelbench_geometry::swept::StrutTravel {
                least_angle: degrees(20.0),
                greatest_angle: degrees(60.0),
                least_distance_mm,
                greatest_distance_mm,
            };
            record.say(
                "  equal",
                &[travel(150.0, 160.0), travel(90.0, 120.0), travel(120.0, 90.0)]
                    .map(|travel| equal_grind(&grind, &steel, &strut, 55.0, &travel)),
            );
        }
    }
    for (name, job) in jobs().into_iter().step_by(7) {
        let rolling = match job.tool.blank() {
            Blank::Bar(bar) => Some(Rolling {
                steel: Steel::of_bar(bar),
                wheel_width_mm: 38.0,
                swing: Swing::to_either_side(degrees(85.0)).unwrap(),
                roll_centre_mm: 0.7,
                turn: degrees(2.0),
            }),
            Blank::Flat(_) => None,
        };
        for bevel in [
            Target::AcrossFacet(degrees(41.0)),
            Target::AtEdge(degrees(12.0)),
            Target::AtEdge(degrees(120.0)),
        ] {
            for wing in [None, rolling.map(|_| WingTarget::Sweep { mm: 7.0 })] {
                let question = Question { setting: job.setting, bevel, wing, rolling };
                for free in [
                    Quantity::WheelDiameter,
                    Quantity::Reach,
                    Quantity::StrutAngle,
                    Quantity::TableTilt,
                    Quantity::ToolLength,
                ] {
                    let Some(now) = job.setting.value_of(free) else { continue };
                    let near = DegreeOfFreedom::within(free, now - 4.0, now + 9.0);
                    let centre = DegreeOfFreedom::within(Quantity::RollCentre, -3.0, 5.0);
                    for freedoms in [vec![near], vec![centre], vec![near, centre]] {
                        let reported = question.solve(&freedoms).map(|found| {
                            (
                                found
                                    .answers
                                    .iter()
                                    .map(|one| {
                                        (
                                            one.value_of(freedoms[0].what),
                                            one.bevel_off,
                                            one.wing_off,
                                            one.cost,
                                        )
                                    })
                                    .collect::<Vec<_>>(),
                                found
                                    .near
                                    .iter()
                                    .take(2)
                                    .map(|near| (near.value_of(freedoms[0].what), near.bevel_off))
                                    .collect::<Vec<_>>(),
                                found.short,
                            )
                        });
                        record
                            .say(&format!("{name}, {free:?}"), &reported.map_err(|error| error.to_string()));
                    }
                }
            }
        }
        let _seen: Result<_, Refusal> = job.setting.bevel_meant(Target::AtEdge(degrees(30.0)));
        record.say(
            "  meant",
            &[
                Target::AtEdge(degrees(-1.0)),
                Target::AcrossFacet(degrees(3.0)),
                Target::AcrossFacet(degrees(77.0)),
            ]
            .map(|target| job.setting.bevel_meant(target).map_err(|refusal| refusal.to_string())),
        );
        record.say(
            "  settled",
            &job.setting
                .clean_move(&PresentFacet::new(Hollow::Flat, degrees(40.0), 4.0).unwrap(), Quantity::Reach)
                .map(|to_move| to_move.by),
        );
    }
    record.say("place", &DVec3::ZERO);
    record.check("corners.txt");
}
