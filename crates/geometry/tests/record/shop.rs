//! An invented workshop: round numbers, no two alike, nothing at a special place.

use bevelbench_geometry::{
    DVec2,
    facet::MeasurementUncertainties,
    math::Angle,
    parts::{
        Abrasive, AngleTravel, Arm, Bar, Bevels, Blank, FlatKind, FlatStock, FluteShape, Grinder, Holder,
        HolderSpec, Hollow, Plan, PresentFacet, Presentation, Section, Table, TableSpec, Tool, Travel, Wheel,
        WheelSpec,
    },
    side::{Job, Setting, Support},
};

/// How well a facet is measured.
pub(crate) const UNCERTAINTIES: MeasurementUncertainties = MeasurementUncertainties {
    width_mm: 0.2,
    under_mm: 0.15,
    angle: Angle::from_degrees(0.4),
    daylight_mm: 0.05,
    hollow_mm: 0.02,
    radius_mm: 1.5,
};

pub(crate) fn degrees(x: f64) -> Angle {
    Angle::from_degrees(x)
}

pub(crate) fn wheel(diameter_mm: f64, abrasive: Abrasive) -> Wheel {
    Wheel::new(WheelSpec {
        diameter_mm,
        diameter_new_mm: 205.0,
        diameter_least_mm: 120.0,
        width_mm: 38.0,
        abrasive,
        marked_speed_m_s: Some(30.0),
        face_slope: degrees(62.0),
    })
    .unwrap()
}

pub(crate) fn arm() -> Arm {
    Arm::new(DVec2::new(18.0, -97.0), degrees(3.0), Travel { least_mm: 40.0, most_mm: 420.0 }).unwrap()
}

pub(crate) fn holder() -> Holder {
    Holder::new(HolderSpec {
        hinge_setback_mm: 14.0,
        hinge_drop_mm: 6.0,
        strut_length_mm: 72.0,
        strut_angle: AngleTravel { least: degrees(-5.0), most: degrees(115.0) },
        body_length_mm: 31.0,
        body_height_mm: 23.0,
    })
    .unwrap()
}

pub(crate) fn table() -> Table {
    Table::new(TableSpec {
        hinge_in_bench: DVec2::new(121.0, -22.0),
        surface_offset_mm: 9.0,
        front_mm: 17.0,
        rear_mm: 63.0,
        tilt: AngleTravel { least: degrees(-25.0), most: degrees(65.0) },
    })
    .unwrap()
}

pub(crate) fn bars() -> [(&'static str, Bar); 4] {
    [
        ("parabola", Bar::new(13.0, FluteShape::Power { factor: 0.25, exponent: 2.0 }, -3.0).unwrap()),
        ("steep", Bar::new(16.0, FluteShape::Power { factor: 0.09, exponent: 2.7 }, -4.5).unwrap()),
        ("round", Bar::new(15.0, FluteShape::Circle { radius_mm: 7.0 }, -3.4).unwrap()),
        ("v", Bar::cut_off(14.0, FluteShape::Vee { slope: 1.3, floor_radius_mm: 2.1 }, -3.1, 4.0).unwrap()),
    ]
}

pub(crate) fn flats() -> Vec<(&'static str, FlatStock)> {
    let unlike = Bevels::Unlike { other: degrees(27.0), edge_height_mm: 1.3 };
    let kinds = [
        (
            "skew",
            24.0,
            6.0,
            Section::Rectangular,
            FlatKind::Skew { obliquity: degrees(68.0), edge_radius_mm: None, bevels: Bevels::Alike },
        ),
        (
            "oval skew",
            25.0,
            7.0,
            Section::Oval,
            FlatKind::Skew { obliquity: degrees(71.0), edge_radius_mm: None, bevels: unlike },
        ),
        (
            "curved skew",
            32.0,
            9.0,
            Section::Rolled,
            FlatKind::Skew { obliquity: Angle::QUARTER, edge_radius_mm: Some(55.0), bevels: Bevels::Alike },
        ),
        ("parting tool", 4.0, 19.0, Section::Rectangular, FlatKind::Parting { bevels: unlike }),
        ("beading tool", 9.0, 9.0, Section::Rectangular, FlatKind::Beading { bevels: Bevels::One }),
        ("scraper", 25.0, 8.0, Section::Rectangular, FlatKind::Scraper { plan: Plan::Straight }),
        (
            "round scraper",
            26.0,
            8.5,
            Section::Rectangular,
            FlatKind::Scraper { plan: Plan::Round { radius_mm: 15.0 } },
        ),
        (
            "negative rake",
            31.0,
            9.5,
            Section::Rectangular,
            FlatKind::NegativeRake { plan: Plan::Straight, upper: degrees(21.0), drop_mm: 1.7 },
        ),
    ];
    kinds
        .into_iter()
        .map(|(name, width, thick, section, kind)| {
            (name, FlatStock::new(width, thick, section, kind).unwrap())
        })
        .collect()
}

fn job(
    wheel: Wheel,
    blank: Blank,
    length_mm: f64,
    present: Option<PresentFacet>,
    presentation: Presentation,
    support: Support,
) -> Job {
    let tool = Tool::new(blank, length_mm, 0.4 * length_mm, present).unwrap();
    let setting = Setting {
        face: wheel.face(),
        edge: tool.edge_section(),
        obliquity: blank.obliquity(),
        presentation,
        support,
    };
    Job {
        setting,
        wheel,
        grinder: Grinder::new(1_440.0, 255.0, 190.0).unwrap(),
        tool,
        rest_gap_most_mm: 3.0,
        roll: None,
    }
}

/// Gouges in the holder, every blank on the arm and on the table, on stones that wear, that do not, and on a flat one.
pub(crate) fn jobs() -> Vec<(String, Job)> {
    let mut jobs = Vec::new();
    let present = PresentFacet::new(Hollow::Arc { radius_mm: 88.0 }, degrees(46.0), 5.5).unwrap();
    let stones = [(203.0, Abrasive::Superabrasive), (151.0, Abrasive::Friable), (150.0, Abrasive::Flat)];
    for (at, (name, bar)) in bars().into_iter().enumerate() {
        let (diameter, abrasive) = stones[at % 2];
        for (reach_mm, projection_mm, strut) in
            [(150.0, 61.0, 43.0), (171.0, 77.0, 21.0), (131.0, 52.0, 70.0)]
        {
            let support = Support::Holder {
                arm: arm(),
                holder: holder(),
                reach_mm,
                projection_mm,
                strut_angle: degrees(strut),
            };
            let one = job(
                wheel(diameter, abrasive),
                Blank::Bar(bar),
                480.0,
                Some(present),
                Presentation::EdgeParallelToSpindle,
                support,
            );
            jobs.push((format!("{name} in the holder at {reach_mm}"), one));
        }
    }
    let blanks = bars()
        .map(|(name, bar)| (name, Blank::Bar(bar)))
        .into_iter()
        .chain(flats().into_iter().map(|(name, stock)| (name, Blank::Flat(stock))));
    for (at, (name, blank)) in blanks.enumerate() {
        for (stone, (diameter, abrasive)) in stones.into_iter().enumerate() {
            let presentation = if (at + stone) % 2 == 0 {
                Presentation::EdgeParallelToSpindle
            } else {
                Presentation::AxisInSidePlane
            };
            let (length, reach_mm) = (431.0, 437.0 + 3.0 * at as f64);
            let long =
                Arm::new(DVec2::new(11.0, -121.0), degrees(-2.0), Travel { least_mm: 60.0, most_mm: 620.0 })
                    .unwrap();
            let handle = Support::Handle { arm: long, reach_mm, tool_length_mm: length };
            jobs.push((
                format!("{name} in the cup, stone {stone}"),
                job(wheel(diameter, abrasive), blank, length, None, presentation, handle),
            ));
            let tilt = Support::Table { table: table(), tilt: degrees(7.0 + 2.0 * at as f64) };
            jobs.push((
                format!("{name} on the table, stone {stone}"),
                job(wheel(diameter, abrasive), blank, length, Some(present), presentation, tilt),
            ));
        }
    }
    jobs
}
