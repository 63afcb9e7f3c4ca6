//! What may be moved to meet a target: how far, in what steps and at what cost, and by how much it falls short.

use crate::{math::quantity::Quantity, side::setting::Setting};

/// A quantity that may be moved, how far and at what cost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DegreeOfFreedom<'a> {
    /// What.
    pub what: Quantity,
    /// The least value, in millimetres, or degrees for angles.
    pub least: f64,
    /// The greatest value.
    pub most: f64,
    /// The only values it can be set to, if it has rests or stops.
    pub stops: Option<&'a [f64]>,
    /// Cost of moving it by one millimetre or degree.
    pub weight: f64,
}

impl<'a> DegreeOfFreedom<'a> {
    /// Between two values, at the usual cost: a millimetre of reach or projection, a degree of strut or table is
    /// one; a tool's length, a wheel and a habit of the hand are dear. The weights are this program's own.
    #[must_use]
    pub fn within(what: Quantity, least: f64, most: f64) -> Self {
        let weight = match what {
            Quantity::RollCentre => 10.0,
            Quantity::ToolLength | Quantity::WheelDiameter => 50.0,
            _ => 1.0,
        };
        Self { what, least, most, stops: None, weight }
    }

    /// Over the whole travel of the arm, the strut or the table; `None` for what has no travel of its own.
    #[must_use]
    pub fn on_travel(setting: &Setting, free: Quantity) -> Option<Self> {
        let (least, most) = setting.travel_of(free)?;
        Some(Self::within(free, least, most))
    }

    /// Only at these values.
    #[must_use]
    pub fn at_stops(self, stops: &'a [f64]) -> Self {
        Self { stops: Some(stops), ..self }
    }

    pub(crate) fn holds(&self, value: f64) -> bool {
        let tolerance = 1e-9 * (1.0 + self.least.abs().max(self.most.abs()));
        value >= self.least - tolerance && value <= self.most + tolerance
    }
}

/// What stops a target short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Short {
    /// What would have to go further than it can.
    pub what: Quantity,
    /// How far it would have to go, in millimetres or degrees.
    pub wanted: f64,
    /// How far it goes.
    pub limit: f64,
}

impl Short {
    /// By how much it is short, in millimetres or degrees.
    #[must_use]
    pub fn by(&self) -> f64 {
        (self.wanted - self.limit).abs()
    }
}

impl DegreeOfFreedom<'_> {
    pub(crate) fn short(&self, wanted: f64) -> Short {
        let limit = if wanted < self.least { self.least } else { self.most };
        Short { what: self.what, wanted, limit }
    }
}

/// How ready a thing is to be walked rather than solved for: the greater the readier.
pub(crate) const fn rank(what: Quantity) -> u8 {
    match what {
        Quantity::Reach => 0,
        Quantity::Projection | Quantity::ToolLength => 2,
        Quantity::StrutAngle => 3,
        Quantity::WheelDiameter => 4,
        Quantity::RollCentre => 5,
        _ => 1,
    }
}

/// Which of two is walked, and which is solved for.
pub(crate) fn by_walk<'a, 'b>(
    a: &'a DegreeOfFreedom<'b>,
    b: &'a DegreeOfFreedom<'b>,
) -> (&'a DegreeOfFreedom<'b>, &'a DegreeOfFreedom<'b>) {
    if rank(a.what) > rank(b.what) { (a, b) } else { (b, a) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_holds_both_its_ends_and_nothing_beyond() {
        for (least, most) in [(40.0, 420.0), (-25.0, 65.0), (-300.0, -2.0), (0.0, 0.0), (150.0, 150.0)] {
            let one = DegreeOfFreedom::within(Quantity::Reach, least, most);
            // Rounding does not put an end outside.
            for inside in [least, most, f64::midpoint(least, most), least - 1e-10, most + 1e-10] {
                assert!(one.holds(inside), "{inside} in {least} to {most}");
            }
            for outside in [least - 1e-6, most + 1e-6, f64::NAN] {
                assert!(!one.holds(outside), "{outside} in {least} to {most}");
            }
        }
    }

    #[test]
    fn a_shortfall_stops_at_the_end_of_the_travel() {
        let one = DegreeOfFreedom::within(Quantity::Reach, 40.0, 420.0);
        for (wanted, limit, by) in [(30.0, 40.0, 10.0), (470.0, 420.0, 50.0), (-5.0, 40.0, 45.0)] {
            let short = one.short(wanted);
            assert!((short.limit - limit).abs() < 1e-12 && (short.by() - by).abs() < 1e-12, "{short:?}");
        }
    }

    #[test]
    fn of_two_quantities_the_one_without_a_fold_is_walked() {
        let order = [
            Quantity::Reach,
            Quantity::TableTilt,
            Quantity::Projection,
            Quantity::StrutAngle,
            Quantity::WheelDiameter,
            Quantity::RollCentre,
        ];
        for (i, less) in order.iter().enumerate() {
            for more in &order[i + 1..] {
                let (a, b) =
                    (DegreeOfFreedom::within(*less, 0.0, 1.0), DegreeOfFreedom::within(*more, 0.0, 1.0));
                assert_eq!((by_walk(&a, &b).0.what, by_walk(&b, &a).0.what), (*more, *more));
                assert_eq!((by_walk(&a, &b).1.what, by_walk(&b, &a).1.what), (*less, *less));
            }
        }
    }
}
