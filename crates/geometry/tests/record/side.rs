//! The side view, forward and backward, and what is read of it.

use bevelbench_geometry::{
    facet::{AcrossBy, HollowBy, InkSeen, MeasuredFacet, Pattern},
    fault::{NewFacet, TwoFacetsSeen},
    math::{Angle, Quantity},
    parts::{Blank, Hollow, PresentFacet, Profile},
    side::{HeldInput, Job, Reading, Refusal, Setting, SideView, Target, uncertainty::READINGS},
    solve::{DegreeOfFreedom, Question, Rolling, Sharer, Solution, WingTarget, one_reach_for_many},
    space::RestGap,
    swept::{Steel, Swing},
};

use crate::{
    Record,
    shop::{UNCERTAINTIES, degrees, jobs},
};

const FREE: [Quantity; 6] = [
    Quantity::Reach,
    Quantity::Projection,
    Quantity::StrutAngle,
    Quantity::ToolLength,
    Quantity::TableTilt,
    Quantity::WheelDiameter,
];

#[test]
fn side_views_answer_as_recorded() {
    let mut record = Record::default();
    for (name, job) in jobs() {
        match job.evaluate() {
            Ok(view) => {
                record.say(&name, &view);
                let about = (
                    view.gauge_length_mm(),
                    view.contact_height_mm(),
                    view.heel_in_bench(),
                    job.tool_axis_in_bench(&view),
                    job.holder_corners_in_bench(&view),
                    job.strut_in_bench(&view),
                    job.rim_speed_m_s(),
                    RestGap::of(&job, 3.0),
                    RestGap::of(&job, 12.0),
                );
                record.say("  about it", &about);
                record.say("  cautions", &job.cautions(&view));
            }
            Err(refusal) => {
                record.say(&name, &(refusal, refusal.kind(), refusal.numbers(), refusal.to_string()));
            }
        }
    }
    record.check("side_views.txt");
}

fn found(
    setting: &Setting,
    target: Target,
    free: Quantity,
) -> Result<Vec<(f64, Angle, Option<&'static str>)>, Refusal> {
    let answers = setting.find(target, free)?;
    Ok(answers
        .all()
        .map(|one| (one.value, one.view.bevel(), one.off_travel.map(|refusal| refusal.kind())))
        .collect())
}

#[test]
fn settings_are_found_as_recorded() {
    let mut record = Record::default();
    for (name, job) in jobs() {
        for free in FREE {
            if job.setting.value_of(free).is_none() {
                continue;
            }
            let targets = [31.0, 52.0, 118.0];
            let at_edge = targets.map(|bevel| found(&job.setting, Target::AtEdge(degrees(bevel)), free));
            record.say(&format!("{name}, {free:?}, at the edge"), &at_edge);
            let across = found(&job.setting, Target::AcrossFacet(degrees(38.0)), free);
            record.say("  across", &across);
        }
    }
    record.check("found.txt");
}

#[test]
fn doubts_wear_and_measuring_are_as_recorded() {
    let mut record = Record::default();
    let readings: Vec<Reading> = READINGS
        .iter()
        .enumerate()
        .map(|(at, input)| Reading { input: *input, half_width: 0.1 + 0.05 * at as f64 })
        .collect();
    for (name, job) in jobs() {
        let Ok(view) = job.evaluate() else { continue };
        let uncertainty = job.setting.uncertainty(&view, &readings);
        record.say(
            &name,
            &(
                uncertainty.bevel,
                uncertainty.expanded(),
                uncertainty
                    .contributions()
                    .map(|s| (s.reading.input, s.slope_deg, s.part))
                    .collect::<Vec<_>>(),
            ),
        );
        for wanted in [0.1, 0.6, 1.5, 4.0] {
            record.say("  needs", &uncertainty.needs(degrees(wanted)).collect::<Vec<_>>());
        }
        for kept in [
            HeldInput::Place,
            HeldInput::GaugeLength,
            HeldInput::Bevel(Target::AtEdge(view.bevel())),
            HeldInput::Bevel(Target::AcrossFacet(view.facet.across)),
        ] {
            let worn = job.setting.on_worn_wheel(0.9 * job.wheel.diameter_mm(), kept);
            record.say(
                "  worn",
                &worn.map(|(setting, view)| (FREE.map(|free| setting.value_of(free)), view.bevel())),
            );
        }
        record.say("  shorter", &job.setting.with_tool_shorter(7.0).map(|(_, view)| view.bevel()));
    }
    for across in [
        AcrossBy::Thickness { under_mm: 4.1 },
        AcrossBy::Protractor { reads: degrees(43.0) },
        AcrossBy::Template { template: degrees(40.0), daylight_mm: 0.3 },
        AcrossBy::Template { template: degrees(40.0), daylight_mm: -0.2 },
    ] {
        for hollow in [
            HollowBy::Wheel { radius_mm: 77.0 },
            HollowBy::Depth { hollow_mm: 0.07 },
            HollowBy::Depth { hollow_mm: 0.0 },
        ] {
            for width_mm in [3.0, 6.2, 11.0] {
                let facet = MeasuredFacet { width_mm, across, hollow };
                record.say(&format!("{facet:?}"), &(facet.matched(), facet.uncertainty(&UNCERTAINTIES)));
            }
        }
    }
    record.check("doubts.txt");
}

fn present_facets(view: &SideView, setting: &Setting) -> Vec<(&'static str, PresentFacet)> {
    let (bevel, width) = (view.bevel(), view.facet.width_mm.min(14.0));
    let own = setting.face.hollow();
    let facet = |hollow, off: f64, fraction: f64| {
        PresentFacet::new(hollow, bevel + degrees(off), fraction * width).ok()
    };
    [
        ("its own", facet(own, 0.0, 1.0)),
        ("keener", facet(own, -2.0, 0.9)),
        ("blunter", facet(own, 3.0, 0.8)),
        ("of a small wheel", facet(Hollow::Arc { radius_mm: 61.0 }, 1.0, 1.0)),
        ("of a large wheel", facet(Hollow::Arc { radius_mm: 260.0 }, -1.0, 1.0)),
        ("flat", facet(Hollow::Flat, 0.5, 1.0)),
    ]
    .into_iter()
    .filter_map(|(name, facet)| Some((name, facet?)))
    .collect()
}

#[test]
fn facets_settle_and_ink_reads_as_recorded() {
    let mut record = Record::default();
    for (name, job) in jobs().into_iter().step_by(5) {
        let Ok(view) = job.evaluate() else { continue };
        for (kind, facet) in present_facets(&view, &job.setting) {
            let touch = job.setting.settle(&facet);
            record.say(
                &format!("{name}, {kind}"),
                &(touch, job.setting.clean_move(&facet, Quantity::Reach).map(|to_move| to_move.by)),
            );
            if let Ok(touch) = touch {
                record.say(
                    "  gaps",
                    &[0.0, 0.3, 0.7, 1.0]
                        .map(|fraction| touch.gap_at_mm(job.setting.face, facet.point_at(fraction))),
                );
                record.say("  patterns", &[0.001, 0.01, 0.1].map(|film| touch.pattern(film)));
            }
            let second =
                PresentFacet::new(facet.hollow(), facet.at_edge() - degrees(9.0), 0.6 * facet.width_mm())
                    .unwrap();
            let both = Profile::new(&[facet, second]).unwrap();
            for film in [0.003, 0.02] {
                let map = job.setting.ink(&both, film).map(|map| {
                    (
                        map.stretches().copied().collect::<Vec<_>>(),
                        map.inked_mm(),
                        map.rests_on(),
                        map.pattern(),
                        map.edge_gap_mm(),
                        map.heel_gap_mm(),
                        [0.1, 0.5, 0.9].map(|fraction| map.gap_at_mm(fraction * both.width_mm())),
                    )
                });
                record.say(&format!("  ink of {film}"), &map);
            }
        }
        for (pattern, rubbed_mm) in [
            (Pattern::Heel, 1.3),
            (Pattern::Edge, 0.9),
            (Pattern::BothEnds, 0.7),
            (Pattern::Middle, 1.9),
            (Pattern::Whole, 4.0),
        ] {
            let seen = InkSeen { pattern, rubbed_mm, facet_mm: 5.0, hollow: None, film_mm: 0.006 };
            for free in FREE {
                let read = job.setting.read_ink(&seen, degrees(0.5), free);
                record.say(
                    &format!("  {pattern:?} seen, {free:?}"),
                    &read
                        .map(|read| {
                            (
                                read.verdict,
                                read.facet_bevel,
                                read.remedy.map(|remedy| {
                                    remedy.to_move().map(|to_move| (to_move.by, to_move.value))
                                }),
                            )
                        })
                        .map_err(|refusal| refusal.kind()),
                );
            }
        }
        for newer in [NewFacet::AtHeel, NewFacet::AtEdge] {
            let seen = TwoFacetsSeen { edge_mm: 2.1, heel_mm: 3.2, newer };
            record.say(
                "  two facets",
                &job.setting
                    .two_facets(&seen)
                    .map(|two| (two.older, two.newer, two.lost_mm, two.slips().copied().collect::<Vec<_>>())),
            );
        }
    }
    record.check("ink.txt");
}

fn reported(solutions: &[Solution]) -> Vec<(Vec<Option<f64>>, Angle, f64, f64)> {
    solutions
        .iter()
        .map(|one| {
            (
                FREE.iter().map(|free| one.value_of(*free)).chain([one.roll_centre_mm]).collect(),
                one.view.bevel(),
                one.wing_off,
                one.cost,
            )
        })
        .collect()
}

fn rolling(job: &Job) -> Option<Rolling> {
    let Blank::Bar(bar) = job.tool.blank() else { return None };
    let swing = Swing::to_either_side(degrees(85.0))?;
    Some(Rolling {
        steel: Steel::of_bar(bar),
        wheel_width_mm: 38.0,
        swing,
        roll_centre_mm: 0.7,
        turn: Angle::ZERO,
    })
}

#[test]
fn questions_are_answered_as_recorded() {
    let mut record = Record::default();
    let stops = [50.0, 62.0, 75.0, 90.0];
    for (name, job) in jobs().into_iter().step_by(3) {
        let rolling = rolling(&job);
        for (wing, bevel) in [
            (None, 44.0),
            (Some(WingTarget::Sweep { mm: 9.0 }), 47.0),
            (Some(WingTarget::BevelAtTop { bevel: degrees(38.0) }), 52.0),
        ] {
            let question =
                Question { setting: job.setting, bevel: Target::AtEdge(degrees(bevel)), wing, rolling };
            let freedoms: Vec<DegreeOfFreedom<'_>> =
                FREE.iter().filter_map(|free| DegreeOfFreedom::on_travel(&job.setting, *free)).collect();
            for (one, first) in freedoms.iter().enumerate() {
                record.say(
                    &format!("{name}, {:?}", first.what),
                    &question.solve(&[*first]).map(|found| (reported(&found.answers), found.short)),
                );
                for second in &freedoms[one + 1..] {
                    let two = [*first, *second];
                    let Ok(found) = question.solve(&two) else { continue };
                    record.say(
                        &format!("  and {:?}", second.what),
                        &(
                            reported(&found.answers),
                            reported(&found.family).into_iter().step_by(7).collect::<Vec<_>>(),
                            &found.short,
                        ),
                    );
                    if let Some(family) = question.family(&two, &found) {
                        let branches: Vec<_> = family
                            .branches
                            .iter()
                            .map(|branch| {
                                (branch.len(), reported(&branch[..1]), reported(&branch[branch.len() - 1..]))
                            })
                            .collect();
                        record.say("  curves", &branches);
                    }
                    let others: Vec<DegreeOfFreedom<'_>> = freedoms
                        .iter()
                        .filter(|other| two.iter().all(|one| one.what != other.what))
                        .copied()
                        .collect();
                    let remedies = question.remedies(&two, &found, &others);
                    record.say(
                        "  mends",
                        &remedies
                            .iter()
                            .map(|remedy| (remedy.short, remedy.what, remedy.value))
                            .collect::<Vec<_>>(),
                    );
                    let stopped = [first.at_stops(&stops), *second];
                    record.say("  at stops", &question.solve(&stopped).map(|found| reported(&found.answers)));
                }
            }
            if rolling.is_some() {
                let centre = DegreeOfFreedom::within(Quantity::RollCentre, -4.0, 6.0);
                for first in &freedoms {
                    record.say(
                        &format!("  roll centre and {:?}", first.what),
                        &question.solve(&[*first, centre]).map(|found| reported(&found.answers)),
                    );
                }
            }
        }
    }
    record.check("questions.txt");
}

#[test]
fn one_reach_serves_as_recorded() {
    let mut record = Record::default();
    let held: Vec<Setting> =
        jobs().into_iter().filter(|(name, _)| name.contains("holder")).map(|(_, job)| job.setting).collect();
    let stops = [48.0, 60.0, 71.0];
    let sharers: Vec<Sharer<'_>> = held
        .iter()
        .enumerate()
        .map(|(at, setting)| Sharer {
            setting: *setting,
            bevel: if at % 3 == 0 {
                Target::AcrossFacet(degrees(40.0))
            } else {
                Target::AtEdge(degrees(41.0 + 2.5 * at as f64))
            },
            least_mm: 35.0,
            most_mm: 95.0,
            stops_mm: (at % 4 == 1).then_some(&stops[..]),
        })
        .collect();
    for tolerance in [0.0, 0.5, 2.0] {
        for sharer in &sharers {
            record.say(&format!("within {tolerance}"), &sharer.serving_reaches_mm(degrees(tolerance)));
        }
        for struts in [None, Some([20.0, 43.0, 66.0].map(degrees))] {
            record.say(
                "  together",
                &one_reach_for_many(&sharers, degrees(tolerance), struts.as_ref().map(|all| &all[..])),
            );
        }
    }
    record.check("one_reach.txt");
}
