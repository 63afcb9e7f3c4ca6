//! Ink at the ends of a facet and whole facets: two circles through the same two points ("derived here").

use bevelbench_geometry::{
    DVec2,
    facet::{InkSeen, InkVerdict, Pattern},
    math::{Angle, Quantity},
    parts::{Arm, EdgeSection, Face, Hollow, PresentFacet, Presentation, Travel},
    side::{Setting, Support, Target},
};

const WHEEL: f64 = 90.0;
const WIDTH: f64 = 6.0;

fn settings() -> Vec<Setting> {
    let mut all = Vec::new();
    for reach in 0..40 {
        let arm = Arm::new(
            DVec2::new(20.0, -110.0),
            Angle::from_degrees(5.0),
            Travel { least_mm: 0.0, most_mm: 500.0 },
        );
        all.push(Setting {
            face: Face::Round { radius_mm: WHEEL },
            edge: EdgeSection { height_mm: -3.0, under_mm: 4.0 },
            obliquity: Angle::QUARTER,
            presentation: Presentation::AxisInSidePlane,
            support: Support::Handle {
                arm: arm.unwrap(),
                reach_mm: 200.0 + 2.37 * f64::from(reach),
                tool_length_mm: 231.0,
            },
        });
    }
    all.retain(|setting| setting.evaluate().is_ok());
    all
}

/// A facet of a hollow whose ends both lie on the wheel: its chord is the wheel's.
fn on_the_chord(setting: &Setting, hollow: Hollow) -> PresentFacet {
    let half = |radius: f64| Angle::from_radians((WIDTH / (2.0 * radius)).asin());
    let across = setting.evaluate().unwrap().bevel() + half(WHEEL);
    let at_edge = match hollow {
        Hollow::Arc { radius_mm } => across - half(radius_mm),
        Hollow::Flat => across,
    };
    PresentFacet::new(hollow, at_edge, WIDTH).unwrap()
}

/// How far a chord's middle lies under its arc.
fn sagitta(radius: f64) -> f64 {
    radius - (radius * radius - WIDTH * WIDTH / 4.0).sqrt()
}

#[test]
fn a_tighter_hollow_is_inked_at_both_ends_until_the_film_is_as_thick_as_its_middle_is_open() {
    let open = sagitta(60.0) - sagitta(WHEEL);
    for setting in settings() {
        let facet = on_the_chord(&setting, Hollow::Arc { radius_mm: 60.0 });
        for (fraction, pattern) in [
            (0.3, Pattern::BothEnds),
            (0.98, Pattern::BothEnds),
            (0.9999, Pattern::BothEnds),
            (1.001, Pattern::Whole),
        ] {
            let map = setting.ink(&facet.into(), fraction * open).unwrap();
            assert_eq!(map.pattern(), pattern, "{fraction}");
            // The gap falls off with the square of the way from the middle, to the order of its own smallness.
            let bare = WIDTH * (1.0 - fraction).max(0.0).sqrt();
            assert!((map.inked_mm() - (WIDTH - bare)).abs() < 2e-3, "{fraction} {}", map.inked_mm());
        }
    }
}

#[test]
fn a_missing_gap_is_reported_as_none() {
    for setting in settings() {
        for hollow in [Hollow::Arc { radius_mm: 60.0 }, Hollow::Arc { radius_mm: WHEEL }] {
            let facet = on_the_chord(&setting, hollow);
            let map = setting.ink(&facet.into(), 0.005).unwrap();
            assert_eq!((map.edge_gap_mm(), map.heel_gap_mm()), (0.0, 0.0));
            let touch = setting.settle(&facet).unwrap();
            assert_eq!((touch.edge_gap_mm, touch.heel_gap_mm), (0.0, 0.0));
        }
    }
}

#[test]
fn a_very_tight_hollow_is_read_from_its_ink_at_both_ends() {
    // Almost a half circle: a facet of 6 mm in a hollow of 4 mm, and one of 3.3 mm.
    let settings = settings();
    let answers = settings[0].find(Target::AtEdge(Angle::from_degrees(70.0)), Quantity::Reach).unwrap();
    let setting = answers.settable().next().unwrap().setting;
    let setting = Setting { edge: EdgeSection { under_mm: 12.0, ..setting.edge }, ..setting };
    for radius_mm in [3.3, 4.0, 9.0] {
        let facet = on_the_chord(&setting, Hollow::Arc { radius_mm });
        let map = setting.ink(&facet.into(), 0.01).unwrap();
        assert_eq!(map.pattern(), Pattern::BothEnds);
        let seen = InkSeen {
            pattern: Pattern::BothEnds,
            rubbed_mm: map.inked_mm(),
            facet_mm: WIDTH,
            hollow: None,
            film_mm: 0.01,
        };
        let read = setting.read_ink(&seen, Angle::from_degrees(1.0), Quantity::Reach).unwrap();
        let InkVerdict::WheelLarger { hollow_radius_mm } = read.verdict else { panic!("{read:?}") };
        assert!((hollow_radius_mm - radius_mm).abs() < 1e-3 * radius_mm, "{hollow_radius_mm} {radius_mm}");
    }
}

#[test]
fn ink_narrower_than_any_facet_leaves_it_is_of_another_facet() {
    // A facet off by 40°, the most that is looked at, is rubbed by about film over sine.
    let settings = settings();
    let answers = settings[0].find(Target::AtEdge(Angle::from_degrees(70.0)), Quantity::Reach).unwrap();
    let setting = answers.settable().next().unwrap().setting;
    for pattern in [Pattern::Edge, Pattern::Heel] {
        for (rubbed_mm, other) in [(0.001, true), (0.1, false)] {
            let seen = InkSeen { pattern, rubbed_mm, facet_mm: WIDTH, hollow: None, film_mm: 0.01 };
            let read = setting.read_ink(&seen, Angle::from_degrees(1.0), Quantity::Reach).unwrap();
            assert_eq!(read.verdict == InkVerdict::NotThisFacet, other, "{pattern:?} {rubbed_mm} {read:?}");
        }
    }
}
