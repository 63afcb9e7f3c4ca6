//! The benches that come with the program: the library that new parts start from, and the demo bench.

use crate::saved::{
    bench::Bench,
    file::{FileFault, read_bench},
};

/// The library's text, as it stands in `assets/library.ron`.
pub const LIBRARY_TEXT: &str = include_str!("../../../../assets/library.ron");
/// The demo bench's text, as it stands in `demo/workshop.bench.ron`.
pub const DEMO_TEXT: &str = include_str!("../../../../demo/workshop.bench.ron");

/// The built-in library: generic rigs, holders and tools of every family, without settings.
///
/// # Errors
/// [`FileFault`], should the text that was built in be damaged; a test holds it whole.
pub fn library() -> Result<Bench, FileFault> {
    read_bench(LIBRARY_TEXT)
}

/// The demo bench: an invented teaching workshop with three rigs and saved settings.
///
/// # Errors
/// As [`library`].
pub fn demo_bench() -> Result<Bench, FileFault> {
    read_bench(DEMO_TEXT)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        file::write_bench,
        id::Id,
        rig::AbrasiveSaved,
        setting::{PresentationSaved, SettingEntry, SupportSaved},
        target::BevelMeant,
        tool::{BevelsSaved, BlankSaved, EdgeSaved, Family, FluteSaved, SectionSaved},
    };
    use bevelbench_geometry::{
        math::{Angle, Quantity},
        side::{Seat, Target},
    };

    #[test]
    fn both_benches_are_what_the_program_would_write() {
        for text in [LIBRARY_TEXT, DEMO_TEXT] {
            let bench = read_bench(text).unwrap();
            assert!(text.ends_with(&write_bench(&bench).unwrap()), "{}", bench.title);
        }
    }

    #[test]
    fn every_part_of_both_benches_can_be_built() {
        for bench in [library().unwrap(), demo_bench().unwrap()] {
            for rig in &bench.rigs {
                rig.grinder.build().unwrap();
                for wheel in &rig.wheels {
                    wheel.build().unwrap();
                    wheel.arm.as_ref().map(|arm| arm.build().unwrap());
                    wheel.table.as_ref().map(|table| table.build().unwrap());
                }
                for holder in &rig.holders {
                    holder.build().unwrap();
                }
            }
            for tool in &bench.tools {
                tool.build().unwrap();
            }
        }
    }

    #[test]
    fn library_has_every_family_and_every_kind_of_steel() {
        let library = library().unwrap();
        assert!(library.tools.len() >= 14 && library.rigs.len() >= 3);
        for family in Family::ALL {
            assert!(library.tools.iter().any(|tool| tool.family == family), "{family:?}");
        }
        let bars: Vec<_> = library
            .tools
            .iter()
            .filter_map(|t| if let BlankSaved::Bar(bar) = &t.blank { Some(bar) } else { None })
            .collect();
        assert!(bars.iter().any(|bar| matches!(bar.flute, FluteSaved::Power { .. })));
        assert!(bars.iter().any(|bar| matches!(bar.flute, FluteSaved::Vee { .. })));
        assert!(bars.iter().any(|bar| matches!(bar.flute, FluteSaved::Circle { .. })));
        assert!(bars.iter().any(|bar| bar.top_mm.is_some()));
        let flats: Vec<_> = library
            .tools
            .iter()
            .filter_map(|t| if let BlankSaved::Flat(flat) = &t.blank { Some(flat) } else { None })
            .collect();
        for section in [SectionSaved::Rectangular, SectionSaved::Rolled, SectionSaved::Oval] {
            assert!(flats.iter().any(|flat| flat.section == section), "{section:?}");
        }
        let skews: Vec<_> = flats
            .iter()
            .filter_map(|flat| {
                if let EdgeSaved::Skew { edge_radius_mm, bevels, .. } = flat.edge {
                    Some((edge_radius_mm, bevels))
                } else {
                    None
                }
            })
            .collect();
        assert!(
            skews.iter().any(|(radius, _)| radius.is_some())
                && skews.iter().any(|(radius, _)| radius.is_none())
        );
        assert!(skews.iter().any(|(_, bevels)| *bevels == BevelsSaved::One));
        assert!(skews.iter().any(|(_, bevels)| *bevels == BevelsSaved::Alike));
        assert!(skews.iter().any(|(_, bevels)| matches!(bevels, BevelsSaved::Unlike { .. })));
        for round in [false, true] {
            assert!(flats.iter().any(|f| matches!(f.edge, EdgeSaved::Scraper { nose_radius_mm } if nose_radius_mm.is_some() == round)));
            assert!(flats.iter().any(|f| matches!(f.edge, EdgeSaved::NegativeRake { nose_radius_mm, .. } if nose_radius_mm.is_some() == round)));
        }
        assert!(library.tools.iter().any(|t| t.present_facet.is_some()));
        assert!(library.tools.iter().any(|t| t.present_facet.is_none()));
        assert!(library.rigs.iter().any(|r| r.wheels.iter().any(|w| w.abrasive == AbrasiveSaved::Flat)));
    }

    #[test]
    fn every_tool_of_the_library_finds_a_setting_on_every_rig_of_it() {
        let library = library().unwrap();
        for rig in &library.rigs {
            for tool in &library.tools {
                let gouge = matches!(tool.blank, BlankSaved::Bar(_));
                let entry = SettingEntry {
                    id: Id(1000),
                    name: tool.name.clone(),
                    tool: tool.id,
                    rig: rig.id,
                    wheel: rig.wheels[0].id,
                    support: if gouge {
                        SupportSaved::Holder {
                            holder: rig.holders[0].id,
                            reach_mm: 150.0,
                            projection_mm: 60.0,
                            strut_angle_deg: 50.0,
                        }
                    } else {
                        SupportSaved::Table { tilt_deg: 0.0 }
                    },
                    presentation: PresentationSaved::default(),
                    swing: None,
                    target: None,
                    further_steps: Vec::new(),
                    free: None,
                    notes: String::new(),
                    readings: Vec::new(),
                    keep: crate::saved::log::SettingKeep::default(),
                };
                let mut job = library.job_of(&entry).unwrap();
                let free = if gouge { Quantity::Reach } else { Quantity::TableTilt };
                let target = Target::AtEdge(Angle::from_degrees(if gouge { 45.0 } else { 40.0 }));
                let answers = job.setting.find(target, free).unwrap();
                let answer = answers.settable().find(|answer| {
                    job.setting = answer.setting;
                    job.evaluate().is_ok()
                });
                assert!(answer.is_some(), "{} on {}: {answers:?}", tool.name, rig.name);
            }
        }
    }

    #[test]
    fn demo_has_enough_settings_over_all_three_supports() {
        let demo = demo_bench().unwrap();
        assert!(demo.settings.len() >= 16 && demo.tools.len() >= 10 && demo.rigs.len() == 3);
        let count =
            |kind: fn(&SupportSaved) -> bool| demo.settings.iter().filter(|s| kind(&s.support)).count();
        assert!(count(|s| matches!(s, SupportSaved::Handle { .. })) >= 3);
        assert!(count(|s| matches!(s, SupportSaved::Holder { .. })) >= 3);
        assert!(count(|s| matches!(s, SupportSaved::Table { .. })) >= 3);
        let mut names: Vec<_> = demo.settings.iter().map(|s| s.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), demo.settings.len(), "each name is told apart on the command line");
    }

    #[test]
    fn every_demo_setting_answers_near_its_target_and_at_a_sensible_place() {
        let demo = demo_bench().unwrap();
        for entry in &demo.settings {
            let (job, view) = demo.answer(entry).unwrap_or_else(|why| panic!("{}: {why:?}", entry.name));
            let target = entry.target.unwrap();
            let got = match (target.meant, crate::answer::wear::drift(&demo, entry)) {
                // What has drifted since was near its target when it was set true.
                (BevelMeant::AtEdge, Some(drift)) => drift.was,
                (BevelMeant::AtEdge, None) => view.facet.at_edge,
                (meant, _) => meant.ground(&job, &view).unwrap(),
            };
            // Reaches and tilts are kept to a tenth, which is worth up to 0.1°.
            assert!((got.degrees() - target.bevel_deg).abs() < 0.12, "{}: {}", entry.name, got.degrees());
            let up = Angle::of(view.contact_in_bench).degrees();
            assert!((0.0..=60.0).contains(&up), "{}: contact {up}° above the horizontal", entry.name);
            if let Seat::Pivot { gauge_length_mm, .. } = view.seat {
                assert!((60.0..600.0).contains(&gauge_length_mm), "{}: {gauge_length_mm}", entry.name);
            }
            if let Some(facet) = job.tool.present() {
                let touch = job.setting.settle(facet).unwrap_or_else(|why| panic!("{}: {why:?}", entry.name));
                assert!(
                    touch.edge_gap_mm.min(touch.heel_gap_mm).min(touch.middle_gap_mm) < 1e-6,
                    "{}",
                    entry.name
                );
            }
        }
    }

    #[test]
    fn one_demo_setting_has_drifted_and_the_log_says_why() {
        let demo = demo_bench().unwrap();
        let drifted: Vec<_> = demo
            .settings
            .iter()
            .filter_map(|entry| Some((entry.name.as_str(), crate::answer::wear::drift(&demo, entry)?)))
            .filter(|(_, drift)| drift.passes(demo.keep.tolerance()))
            .collect();
        let [(name, drift)] = drifted[..] else { panic!("{drifted:?}") };
        assert_eq!(name, "Inside bowl, shaping wheel");
        assert!(drift.by_wheel.degrees() > 0.5 && drift.by_length.degrees().abs() < 1e-9, "{drift:?}");
        for rig in &demo.rigs {
            for wheel in rig.wheels.iter().filter(|wheel| !wheel.keep.diameters.is_empty()) {
                let last = wheel.keep.diameters.last().unwrap();
                assert!((last.diameter_mm - wheel.diameter_mm).abs() < 1e-9, "{}", wheel.name);
            }
        }
    }

    #[test]
    fn demo_gouges_are_swung_and_its_flat_tools_are_not() {
        let demo = demo_bench().unwrap();
        for entry in &demo.settings {
            let gouge = matches!(demo.tool(entry.tool).unwrap().blank, BlankSaved::Bar(_));
            assert_eq!(entry.swing.is_some(), gouge, "{}", entry.name);
        }
    }
}
