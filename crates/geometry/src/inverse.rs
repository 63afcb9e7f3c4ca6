//! From a bevel back to what must be set: every answer, in closed form.
//!
//! With `k(β) = s sin β − v cos β` and `v = h_E − h_P` the triangle reads `D² = L² + R² + 2 R k`. Each input
//! enters it by at most a quadratic or by one sine and cosine, so that all its answers can be listed; a
//! candidate is kept only if evaluating it gives the bevel back, which drops the mirror image (the lower
//! contact).

use glam::dvec2;

use crate::{Angle, Face, Facet, Refusal, Setting, SideView, Support};

/// The bevel that is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At the edge.
    AtEdge(Angle),
    /// Across the facet: what a protractor reads.
    AcrossFacet(Angle),
}

/// The one input that may move to meet a target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Free {
    /// Arm reach.
    Reach,
    /// Projection through the holder.
    Projection,
    /// Strut angle.
    StrutAngle,
    /// Overall length of a tool whose handle stands in the cup.
    ToolLength,
    /// Table tilt.
    TableTilt,
    /// Wheel diameter: at which size of wheel would this setting be right?
    WheelDiameter,
}

/// One setting that meets the target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answer {
    /// The setting, the free input moved.
    pub setting: Setting,
    /// What follows from it.
    pub view: SideView,
    /// The value of the free input: millimetres, or degrees for angles.
    pub value: f64,
    /// Why the rig cannot be set to it, if its travel stops short.
    pub off_travel: Option<Refusal>,
}

/// All answers to one question, at most four.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Answers {
    found: [Option<Answer>; 4],
}

impl Answers {
    /// Every answer, on the rig's travel or not.
    pub fn all(&self) -> impl Iterator<Item = &Answer> {
        self.found.iter().flatten()
    }

    /// The answers that the rig can be set to.
    pub fn settable(&self) -> impl Iterator<Item = &Answer> {
        self.all().filter(|answer| answer.off_travel.is_none())
    }

    /// The settable answer whose free value is nearest to a present one.
    #[must_use]
    pub fn nearest(&self, present: f64) -> Option<&Answer> {
        self.settable().min_by(|a, b| (a.value - present).abs().total_cmp(&(b.value - present).abs()))
    }

    fn add(&mut self, answer: Answer) {
        let twin = |other: &Answer| (other.value - answer.value).abs() < 1e-9 * (1.0 + answer.value.abs());
        if !self.all().any(twin)
            && let Some(place) = self.found.iter_mut().find(|place| place.is_none())
        {
            *place = Some(answer);
        }
    }
}

impl Setting {
    /// The bevel at the edge that a target means for this edge and wheel.
    ///
    /// # Errors
    /// [`Refusal::NoHeel`] when no facet reads that angle across; [`Refusal::BevelOutOfRange`] outside
    /// 0° to 180°.
    pub fn bevel_meant(&self, target: Target) -> Result<Angle, Refusal> {
        let bevel = match target {
            Target::AtEdge(bevel) => bevel,
            Target::AcrossFacet(across) => {
                Facet::edge_bevel_for_across(self.face, across, self.edge.under_mm).map_err(Refusal::NoHeel)?
            }
        };
        let straight = Angle::HALF;
        if bevel > Angle::ZERO && bevel < straight { Ok(bevel) } else { Err(Refusal::BevelOutOfRange { bevel }) }
    }

    /// Every value of the free input that grinds the target, all else left alone.
    ///
    /// An input that the support does not have gives no answers. Answers off the travel are listed too, each
    /// with what stops it.
    ///
    /// # Errors
    /// As [`Setting::bevel_meant`], and [`Refusal::Unfit`] for inputs that are no numbers.
    ///
    /// # Accuracy
    /// Evaluating an answer gives the target back to 1e-9°, or to rounding times the slope where the slope
    /// is steeper than the workshop can use.
    pub fn find(&self, target: Target, free: Free) -> Result<Answers, Refusal> {
        self.check_numbers()?;
        let bevel = self.bevel_meant(target)?;
        let mut answers = Answers::default();
        for value in self.candidates(bevel, free).into_iter().flatten() {
            let Some(setting) = self.with(free, value) else { continue };
            let Ok(view) = setting.evaluate_off_travel() else { continue };
            // For a free wheel the target across the facet means another edge bevel on each wheel.
            let slope = view.slopes.by(free).unwrap_or(0.0).abs();
            let hair = 1e-10 + 1e-11 * slope * (1.0 + value.abs());
            if (view.bevel() - bevel).abs().radians() <= hair {
                let off_travel = setting.check_travel().err();
                answers.add(Answer { setting, view, value, off_travel });
            }
        }
        Ok(answers)
    }

    /// The same setting with one input at another value (millimetres, or degrees for angles); `None` if the
    /// support has no such input.
    #[must_use]
    pub fn with(&self, free: Free, value: f64) -> Option<Self> {
        let mut moved = *self;
        match (&mut moved.support, free) {
            (Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. }, Free::Reach) => *reach_mm = value,
            (Support::Holder { projection_mm, .. }, Free::Projection) => *projection_mm = value,
            (Support::Holder { strut_angle, .. }, Free::StrutAngle) => *strut_angle = Angle::from_degrees(value),
            (Support::Handle { tool_length_mm, .. }, Free::ToolLength) => *tool_length_mm = value,
            (Support::Table { tilt, .. }, Free::TableTilt) => *tilt = Angle::from_degrees(value),
            (_, Free::WheelDiameter) => match &mut moved.face {
                Face::Round { radius_mm } => *radius_mm = value / 2.0,
                Face::Flat { .. } => return None,
            },
            _ => return None,
        }
        Some(moved)
    }

    /// The present value of an input (millimetres, or degrees for angles), if the support has it.
    #[must_use]
    pub fn value_of(&self, free: Free) -> Option<f64> {
        match (self.support, free) {
            (Support::Handle { reach_mm, .. } | Support::Holder { reach_mm, .. }, Free::Reach) => Some(reach_mm),
            (Support::Holder { projection_mm, .. }, Free::Projection) => Some(projection_mm),
            (Support::Holder { strut_angle, .. }, Free::StrutAngle) => Some(strut_angle.degrees()),
            (Support::Handle { tool_length_mm, .. }, Free::ToolLength) => Some(tool_length_mm),
            (Support::Table { tilt, .. }, Free::TableTilt) => Some(tilt.degrees()),
            (_, Free::WheelDiameter) => self.face.radius_mm().map(|r| 2.0 * r),
            _ => None,
        }
    }

    /// Values that satisfy the triangle or the table's equation; the mirror images among them.
    fn candidates(&self, bevel: Angle, free: Free) -> [Option<f64>; 2] {
        let (sin, cos) = bevel.sin_cos();
        if let Support::Table { table, .. } = self.support {
            return match (free, self.face) {
                (Free::TableTilt, Face::Round { radius_mm }) => {
                    let q = radius_mm * cos - self.edge.under_mm;
                    pair(table.tilts_at_distance(q).map(Angle::degrees))
                }
                (Free::TableTilt, Face::Flat { normal }) => {
                    [Some((bevel - Angle::QUARTER + normal).wrapped().degrees()), None]
                }
                (Free::WheelDiameter, Face::Round { .. }) => {
                    let Support::Table { tilt, .. } = self.support else { return [None; 2] };
                    let radius = (table.plane_from_centre_mm(tilt) + self.edge.under_mm) / cos;
                    [(radius.is_finite() && radius > 0.0).then_some(2.0 * radius), None]
                }
                _ => [None; 2],
            };
        }
        let Some((in_bench, in_tool)) = self.pivot() else { return [None; 2] };
        let share = self.foreshortening();
        let v = self.edge.height_mm - in_tool.y;
        let k = in_tool.x * sin - v * cos;
        match free {
            Free::Reach => {
                let (Support::Handle { arm, .. } | Support::Holder { arm, .. }) = self.support else {
                    return [None; 2];
                };
                match self.face {
                    Face::Round { radius_mm: r } => {
                        let square = in_tool.x * in_tool.x + v * v + r * r + 2.0 * r * k;
                        if square < 0.0 { [None; 2] } else { pair(arm.reaches_at_distance(square.sqrt())) }
                    }
                    Face::Flat { normal } => {
                        // (zero + reach·along)·n = k
                        let n = normal.direction();
                        let reach = (k - arm.zero_in_bench().dot(n)) / arm.along().dot(n);
                        [reach.is_finite().then_some(reach), None]
                    }
                }
            }
            Free::Projection | Free::ToolLength => {
                // s² + v² + R² + 2R(s sin β − v cos β) = D², a quadratic in s.
                let roots = match self.face {
                    Face::Round { radius_mm: r } => {
                        let c = v * v + r * r - 2.0 * r * v * cos - in_bench.length_squared();
                        quadratic(r * sin, c)
                    }
                    Face::Flat { normal } => {
                        let gauge = in_bench.dot(normal.direction());
                        [Some((gauge + v * cos) / sin), None]
                    }
                };
                let before = match self.support {
                    Support::Holder { projection_mm, .. } => in_tool.x / share - projection_mm,
                    _ => 0.0,
                };
                roots.map(|root| root.map(|s| s / share - before))
            }
            Free::StrutAngle => {
                let Support::Holder { holder, projection_mm, .. } = self.support else { return [None; 2] };
                let hinge = holder.hinge_in_tool(projection_mm);
                let (s1, v1) = (hinge.x * share, self.edge.height_mm - hinge.y);
                let strut = holder.spec().strut_length_mm;
                match self.face {
                    Face::Round { radius_mm: r } if share == 1.0 => {
                        // A cos α + B sin α = K
                        let target = in_bench.length_squared() - r * r;
                        let fixed = s1 * s1 + v1 * v1 + strut * strut + 2.0 * r * (s1 * sin - v1 * cos);
                        sine_and_cosine(
                            2.0 * strut * (s1 + r * sin),
                            2.0 * strut * (v1 - r * cos),
                            target - fixed,
                        )
                    }
                    Face::Flat { normal } if share == 1.0 => {
                        let gauge = in_bench.dot(normal.direction());
                        sine_and_cosine(strut * sin, -strut * cos, gauge - (s1 * sin - v1 * cos))
                    }
                    // Held askew, the foreshortened strut has its end on an ellipse: no closed form is kept.
                    _ => self.strut_angles_by_halving(bevel),
                }
            }
            Free::WheelDiameter => {
                let l_squared = in_tool.x * in_tool.x + v * v;
                match self.face {
                    Face::Round { .. } => quadratic(k, l_squared - in_bench.length_squared())
                        .map(|root| root.filter(|r| *r > 0.0).map(|r| 2.0 * r)),
                    Face::Flat { .. } => [None; 2],
                }
            }
            Free::TableTilt => [None; 2],
        }
    }

    /// Strut angles of a holder held askew, by scanning the half turn and halving every change of sign.
    fn strut_angles_by_halving(&self, bevel: Angle) -> [Option<f64>; 2] {
        let off = |degrees: f64| {
            let view = self.with(Free::StrutAngle, degrees)?.evaluate_off_travel().ok()?;
            Some((view.bevel() - bevel).radians())
        };
        let mut found = [None; 2];
        let mut count = 0;
        let steps = 720;
        let mut last: Option<(f64, f64)> = None;
        for i in 0..=steps {
            let at = -180.0 + 360.0 * f64::from(i) / f64::from(steps);
            let here = off(at).map(|y| (at, y));
            if let (Some((mut low, low_value)), Some((mut high, high_value))) = (last, here)
                && (low_value <= 0.0) != (high_value <= 0.0)
                && count < 2
            {
                for _ in 0..80 {
                    let mid = f64::midpoint(low, high);
                    match off(mid) {
                        Some(value) if (value <= 0.0) == (low_value <= 0.0) => low = mid,
                        Some(_) => high = mid,
                        None => break,
                    }
                }
                if let Some(place) = found.get_mut(count) {
                    *place = Some(f64::midpoint(low, high));
                    count += 1;
                }
            }
            last = here;
        }
        found
    }
}

impl crate::Slopes {
    /// The slope by a free input, if the support has it.
    #[must_use]
    pub fn by(&self, free: Free) -> Option<f64> {
        match free {
            Free::Reach => self.reach,
            Free::Projection => self.projection,
            Free::StrutAngle => self.strut_angle,
            Free::ToolLength => self.tool_length,
            Free::TableTilt => self.table_tilt,
            Free::WheelDiameter => self.wheel_diameter,
        }
    }
}

/// The first two of an iterator.
fn pair(mut values: impl Iterator<Item = f64>) -> [Option<f64>; 2] {
    [values.next(), values.next()]
}

/// Roots of `x² + 2 b x + c`, without the cancellation.
fn quadratic(b: f64, c: f64) -> [Option<f64>; 2] {
    let square = b * b - c;
    if square.is_nan() || square < 0.0 {
        return [None; 2];
    }
    let far = -(b + b.signum() * square.sqrt());
    if far == 0.0 { [Some(0.0), None] } else { [Some(far), Some(c / far)] }
}

/// Angles α in degrees with `a cos α + b sin α = k`.
fn sine_and_cosine(a: f64, b: f64, k: f64) -> [Option<f64>; 2] {
    let length = dvec2(a, b).length();
    let cosine = k / length;
    if !(cosine.abs() <= 1.0) {
        return [None; 2];
    }
    let (middle, half) = (b.atan2(a), cosine.acos());
    [middle + half, middle - half].map(|alpha| Some(Angle::from_radians(alpha).wrapped().degrees()))
}
