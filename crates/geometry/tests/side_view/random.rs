//! Random benches, the same ones on every run.

use bevelbench_geometry::{
    DVec2,
    math::Angle,
    parts::{
        AngleTravel, Arm, EdgeSection, Face, Holder, HolderSpec, Presentation, Table, TableSpec, Travel,
    },
    side::{Setting, Support},
};

/// Splitmix64: small, fast and the same everywhere.
#[derive(Debug, Clone)]
pub(crate) struct Random(u64);

impl Random {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        let unit = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        least + (most - least) * unit
    }

    pub(crate) fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    pub(crate) fn degrees(&mut self, least: f64, most: f64) -> Angle {
        Angle::from_degrees(self.between(least, most))
    }

    fn place(&mut self, x: [f64; 2], z: [f64; 2]) -> DVec2 {
        DVec2::new(self.between(x[0], x[1]), self.between(z[0], z[1]))
    }
}

pub(crate) fn angle_travel(least: f64, most: f64) -> AngleTravel {
    AngleTravel { least: Angle::from_degrees(least), most: Angle::from_degrees(most) }
}

pub(crate) fn arm(r: &mut Random) -> Arm {
    let zero = r.place([10.0, 70.0], [-220.0, 20.0]);
    let tilt = r.degrees(-20.0, 40.0);
    Arm::new(zero, tilt, Travel { least_mm: 0.0, most_mm: 300.0 }).unwrap()
}

pub(crate) fn holder(r: &mut Random) -> Holder {
    Holder::new(HolderSpec {
        hinge_setback_mm: r.between(0.0, 30.0),
        hinge_drop_mm: r.between(-10.0, 20.0),
        strut_length_mm: r.between(5.0, 130.0),
        strut_angle: angle_travel(15.0, 90.0),
        body_length_mm: r.between(10.0, 50.0),
        body_height_mm: r.between(10.0, 40.0),
    })
    .unwrap()
}

pub(crate) fn table(r: &mut Random) -> Table {
    Table::new(TableSpec {
        hinge_in_bench: r.place([30.0, 200.0], [-80.0, 80.0]),
        surface_offset_mm: r.between(-5.0, 30.0),
        front_mm: r.between(-10.0, 60.0),
        rear_mm: r.between(20.0, 100.0),
        tilt: angle_travel(-45.0, 70.0),
    })
    .unwrap()
}

pub(crate) fn support(r: &mut Random) -> Support {
    match r.below(3) {
        0 => Support::Handle {
            arm: arm(r),
            reach_mm: r.between(-100.0, 600.0),
            tool_length_mm: r.between(120.0, 600.0),
        },
        1 => Support::Holder {
            arm: arm(r),
            holder: holder(r),
            reach_mm: r.between(-100.0, 350.0),
            projection_mm: r.between(15.0, 120.0),
            strut_angle: r.degrees(-30.0, 180.0),
        },
        _ => Support::Table { table: table(r), tilt: r.degrees(-80.0, 80.0) },
    }
}

/// Any bench of a workshop's measures, with an answer or without.
pub(crate) fn bench(r: &mut Random) -> Setting {
    let face = if r.below(4) == 0 {
        Face::Flat { normal: r.degrees(-40.0, 95.0) }
    } else {
        Face::Round { radius_mm: r.between(30.0, 150.0) }
    };
    Setting {
        face,
        edge: EdgeSection { height_mm: r.between(-9.0, 9.0), under_mm: r.between(0.5, 14.0) },
        obliquity: if r.below(2) == 0 { Angle::QUARTER } else { r.degrees(30.0, 90.0) },
        presentation: if r.below(3) == 0 {
            Presentation::AxisInSidePlane
        } else {
            Presentation::EdgeParallelToSpindle
        },
        support: support(r),
    }
}

/// A bench that has an answer, its travels left aside.
pub(crate) fn answered(r: &mut Random) -> Setting {
    loop {
        let setting = bench(r);
        if setting.evaluate_off_travel().is_ok() {
            return setting;
        }
    }
}
