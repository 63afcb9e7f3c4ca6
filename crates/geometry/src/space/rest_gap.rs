//! The gap between a table's front edge and the rim, and how it can change: by wear, and by tilting until the table catches
//! the wheel or stands too far off.

use crate::{
    math::angle::Angle,
    parts::wheel::{Abrasive, Face},
    side::{job::Job, setting::Support},
};

/// Tilts at which the way to the end of the travel is looked at.
const LOOKS: u32 = 720;
/// Halvings that narrow a change down to rounding.
const HALVINGS: u32 = 50;

/// The gap between a table's front edge and the rim, and how it can change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RestGap {
    /// Now, in millimetres.
    pub now_mm: f64,
    /// When the wheel is worn to its least diameter and the table is left alone; `None` for a wheel that keeps its size.
    pub worn_mm: Option<f64>,
    /// The tilts next to the present one between which the table neither catches the wheel nor stands further off than
    /// the widest gap; the least and the greatest its travel allows where nothing stops it.
    pub allowed: Option<[Angle; 2]>,
    /// The tilts next to the present one at which the table would catch the wheel, below and above; `None` where its
    /// travel ends first.
    pub catches: [Option<Angle>; 2],
}

impl RestGap {
    /// Of a job on a table, with the widest gap that is allowed, in millimetres; `None` on a pivot. A table that catches
    /// the wheel has a negative gap.
    #[must_use]
    pub fn of(job: &Job, widest_mm: f64) -> Option<Self> {
        let Support::Table { table, tilt } = job.setting.support else { return None };
        let gap_at = |tilt: Angle| job.setting.rest_gap_mm(&table, tilt);
        let now_mm = gap_at(tilt);
        let spec = job.wheel.spec();
        let worn_mm = (spec.abrasive == Abrasive::Friable).then(|| {
            let mut worn = job.setting;
            worn.face = Face::Round { radius_mm: spec.diameter_least_mm / 2.0 };
            worn.rest_gap_mm(&table, tilt)
        });
        let travel = table.spec().tilt;
        let catches = [travel.least, travel.most].map(|end| first_change(tilt, end, |t| gap_at(t) <= 0.0));
        let allowed_here = now_mm > 0.0 && now_mm <= widest_mm;
        let allowed = allowed_here.then(|| {
            [travel.least, travel.most].map(|end| {
                let out = |t: Angle| {
                    let gap = gap_at(t);
                    gap <= 0.0 || gap > widest_mm
                };
                first_change(tilt, end, out).unwrap_or(end)
            })
        });
        Some(Self { now_mm, worn_mm, allowed, catches })
    }
}

/// The first tilt on the way from one to another at which something begins to be so.
fn first_change(from: Angle, to: Angle, so: impl Fn(Angle) -> bool) -> Option<Angle> {
    let at = |i: u32| from + (to - from) * (f64::from(i) / f64::from(LOOKS));
    let first = (1..=LOOKS).find(|i| so(at(*i)))?;
    let (mut low, mut high) = (at(first - 1), at(first));
    for _ in 0..HALVINGS {
        let middle = (low + high) / 2.0;
        if so(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(low)
}
