//! The quantities that can be turned: where each is kept, what it may be, and the words for it.
//!
//! Rows, handles and the page for the grinder all speak of the same dials, so that a quantity has one name, one
//! range and one way to be set.

use bevelbench_geometry::math::Quantity;
use bevelbench_notebook::{
    drawing::Part,
    saved::{AbrasiveSaved, Bench, BlankSaved, SettingEntry, SupportSaved, SwingSaved},
};

use bevelbench_notebook::quantity::Kind;

/// A quantity that can be turned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dial {
    /// Reach of the cup along the arm.
    Reach,
    /// Projection from edge to holder.
    Projection,
    /// Strut angle to the tool's axis.
    StrutAngle,
    /// Tilt of the table.
    TableTilt,
    /// Overall tool length, where the handle stands in the cup.
    ToolLength,
    /// Wheel diameter now.
    WheelDiameter,
    /// Height of the roll centre.
    RollCentre,
    /// Swing to either side.
    HalfSwing,
    /// Turn of the tool in its holder.
    Turn,
}

/// A place on a dial worth stopping at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// The value in millimetres or degrees.
    pub value: f64,
    /// What it is.
    pub kind: StopKind,
}

/// What makes a place on a dial worth stopping at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StopKind {
    /// A stop block of this projection is at hand.
    StopBlock,
    /// The strut clicks into a rest of its holder.
    Rest,
    /// The wheel when it was new.
    New,
    /// The wheel when it is worn out.
    Least,
    /// The middle of the bar.
    Centreline,
    /// The flute straight up.
    StraightUp,
}

impl StopKind {
    /// Its name beside the tick.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::StopBlock => "stop block",
            Self::Rest => "rest",
            Self::New => "new",
            Self::Least => "least",
            Self::Centreline => "bar’s centreline",
            Self::StraightUp => "straight up",
        }
    }

    /// What is said of a value that stands on it.
    #[must_use]
    pub const fn standing_on_it(self) -> &'static str {
        match self {
            Self::StopBlock => "on its stop block",
            Self::Rest => "on its rest",
            Self::New => "as new",
            Self::Least => "at its least",
            Self::Centreline => "on the bar’s centreline",
            Self::StraightUp => "the flute straight up",
        }
    }
}

impl Dial {
    /// The dials of a setting, in the order of the rows.
    #[must_use]
    pub fn of(entry: &SettingEntry, bench: &Bench) -> Vec<Self> {
        let mut dials = match entry.support {
            SupportSaved::Handle { .. } => vec![Self::Reach, Self::ToolLength],
            SupportSaved::Holder { .. } => vec![Self::Reach, Self::Projection, Self::StrutAngle],
            SupportSaved::Table { .. } => vec![Self::TableTilt],
        };
        let flat_face = bench
            .rig(entry.rig)
            .and_then(|rig| rig.wheel(entry.wheel))
            .is_some_and(|wheel| wheel.abrasive == AbrasiveSaved::Flat);
        if !flat_face {
            dials.push(Self::WheelDiameter);
        }
        let is_gouge = bench.tool(entry.tool).is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)));
        if is_gouge && entry.swing.is_some() {
            dials.extend([Self::RollCentre, Self::HalfSwing, Self::Turn]);
        }
        dials
    }

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Reach => "Arm reach",
            Self::Projection => "Projection",
            Self::StrutAngle => "Strut angle",
            Self::TableTilt => "Table tilt",
            Self::ToolLength => "Tool length",
            Self::WheelDiameter => "Wheel diameter",
            Self::RollCentre => "Roll centre",
            Self::HalfSwing => "Swing to either side",
            Self::Turn => "Turn in the holder",
        }
    }

    /// What it is and how it is measured at the bench.
    #[must_use]
    pub const fn how(self) -> &'static str {
        match self {
            Self::Reach => {
                "How far the cup stands along the arm, from the arm’s zero mark. Read it on the arm’s scale, or measure from the mark to the middle of the cup."
            }
            Self::Projection => {
                "How far the tool stands out of the holder: from the nose of the edge to the holder’s front face. Push the nose against a stop block, or lay a rule along the tool."
            }
            Self::StrutAngle => {
                "The angle between the strut and the tool’s axis; 90° is square off the tool. Lay a protractor on tool and strut, or count the rests."
            }
            Self::TableTilt => {
                "The table’s slope; positive when the operator’s side is high. Set an angle gauge on the table."
            }
            Self::ToolLength => {
                "From the edge to the end of the handle. It is part of the setting when the handle stands in the cup, and it shrinks with every sharpening."
            }
            Self::WheelDiameter => {
                "Today’s diameter, across the wheel, power off and plug out. A tape round the rim divided by 3.1416 gives it too."
            }
            Self::RollCentre => {
                "Where the line you roll the tool about passes the nose: above (+) or below (−) the bar’s centreline. A hand does not roll about one line exactly, so this is an assumption to be fitted."
            }
            Self::HalfSwing => {
                "How far the tool is rolled from upright to either wing. Steel beyond the swing is touched by the wheel’s edge only."
            }
            Self::Turn => {
                "How far the flute is turned away from straight up in its holder. Anything but 0° makes one wing longer."
            }
        }
    }

    /// Length or angle.
    #[must_use]
    pub const fn kind(self) -> Kind {
        match self {
            Self::StrutAngle | Self::TableTilt | Self::HalfSwing | Self::Turn => Kind::Angle,
            _ => Kind::Length,
        }
    }

    /// The part of the drawing that it turns.
    #[must_use]
    pub const fn part(self) -> Part {
        match self {
            Self::Reach => Part::Cup,
            Self::Projection => Part::Projection,
            Self::StrutAngle => Part::Strut,
            Self::TableTilt => Part::Table,
            Self::ToolLength | Self::Turn => Part::Tool,
            Self::WheelDiameter => Part::Rim,
            Self::RollCentre | Self::HalfSwing => Part::RollLine,
        }
    }

    /// The input of the geometry that it is, if the bevel can be found with it.
    #[must_use]
    pub const fn free(self) -> Option<Quantity> {
        match self {
            Self::Reach => Some(Quantity::Reach),
            Self::Projection => Some(Quantity::Projection),
            Self::StrutAngle => Some(Quantity::StrutAngle),
            Self::TableTilt => Some(Quantity::TableTilt),
            _ => None,
        }
    }

    /// What finding may move by it, if it may.
    #[must_use]
    pub const fn movable(self) -> Option<Quantity> {
        Some(match self {
            Self::Reach => Quantity::Reach,
            Self::Projection => Quantity::Projection,
            Self::StrutAngle => Quantity::StrutAngle,
            Self::TableTilt => Quantity::TableTilt,
            Self::ToolLength => Quantity::ToolLength,
            Self::WheelDiameter => Quantity::WheelDiameter,
            Self::RollCentre => Quantity::RollCentre,
            Self::HalfSwing | Self::Turn => return None,
        })
    }

    /// The dial of what finding may move.
    #[must_use]
    pub const fn from_movable(what: Quantity) -> Self {
        Self::from_free(what)
    }

    /// The dial of an input of the geometry.
    #[must_use]
    pub const fn from_free(free: Quantity) -> Self {
        match free {
            Quantity::Reach => Self::Reach,
            Quantity::Projection => Self::Projection,
            Quantity::StrutAngle => Self::StrutAngle,
            Quantity::ToolLength => Self::ToolLength,
            Quantity::TableTilt => Self::TableTilt,
            Quantity::WheelDiameter => Self::WheelDiameter,
            // Of what may be found there is nothing else.
            _ => Self::RollCentre,
        }
    }

    /// Its value for the current setting, in millimetres or degrees.
    #[must_use]
    pub fn get(self, bench: &Bench) -> Option<f64> {
        let current = bench.current.as_ref()?;
        match (self, current.support) {
            (Self::Reach, SupportSaved::Handle { reach_mm } | SupportSaved::Holder { reach_mm, .. }) => {
                Some(reach_mm)
            }
            (Self::Projection, SupportSaved::Holder { projection_mm, .. }) => Some(projection_mm),
            (Self::StrutAngle, SupportSaved::Holder { strut_angle_deg, .. }) => Some(strut_angle_deg),
            (Self::TableTilt, SupportSaved::Table { tilt_deg }) => Some(tilt_deg),
            (Self::ToolLength, _) => bench.tool(current.tool).map(|tool| tool.overall_length_mm),
            (Self::WheelDiameter, _) => {
                bench.rig(current.rig).and_then(|rig| rig.wheel(current.wheel)).map(|wheel| wheel.diameter_mm)
            }
            (Self::RollCentre, _) => current.swing.map(|swing| swing.roll_centre_mm),
            (Self::HalfSwing, _) => current.swing.map(|swing| swing.half_swing_deg),
            (Self::Turn, _) => current.swing.map(|swing| swing.turn_deg),
            _ => None,
        }
    }

    /// Sets it for the current setting. Wheel and tool belong to every setting that uses them.
    pub fn set(self, bench: &mut Bench, value: f64) {
        let Some(current) = bench.current.as_mut() else { return };
        match self {
            Self::ToolLength => {
                let id = current.tool;
                if let Some(tool) = bench.tools.iter_mut().find(|tool| tool.id == id) {
                    tool.overall_length_mm = value;
                }
            }
            Self::WheelDiameter => {
                let (rig_id, wheel_id) = (current.rig, current.wheel);
                let rig = bench.rigs.iter_mut().find(|rig| rig.id == rig_id);
                if let Some(wheel) = rig.and_then(|rig| rig.wheels.iter_mut().find(|w| w.id == wheel_id)) {
                    wheel.diameter_mm = value;
                }
            }
            Self::RollCentre | Self::HalfSwing | Self::Turn => {
                let swing = current.swing.get_or_insert_with(SwingSaved::default);
                match self {
                    Self::RollCentre => swing.roll_centre_mm = value,
                    Self::HalfSwing => swing.half_swing_deg = value,
                    _ => swing.turn_deg = value,
                }
            }
            Self::Reach | Self::Projection | Self::StrutAngle | Self::TableTilt => {
                if let Some(free) = self.free() {
                    current.support.put(free, value);
                }
            }
        }
    }

    /// What the slider reaches, in millimetres or degrees; nothing is kept from being typed beyond it.
    #[must_use]
    pub fn range(self, bench: &Bench) -> Option<(f64, f64)> {
        let current = bench.current.as_ref()?;
        let rig = bench.rig(current.rig)?;
        let wheel = rig.wheel(current.wheel)?;
        let tool = bench.tool(current.tool)?;
        let range = match self {
            Self::Reach => {
                let arm = wheel.arm.as_ref()?;
                (arm.reach_least_mm, arm.reach_most_mm)
            }
            Self::Projection => {
                let SupportSaved::Holder { holder, .. } = current.support else { return None };
                let body = rig.holder(holder)?.body_length_mm;
                (10.0, (tool.blade_length_mm - body).max(20.0))
            }
            Self::StrutAngle => {
                let SupportSaved::Holder { holder, .. } = current.support else { return None };
                let holder = rig.holder(holder)?;
                (holder.strut_angle_least_deg, holder.strut_angle_most_deg)
            }
            Self::TableTilt => {
                let table = wheel.table.as_ref()?;
                (table.tilt_least_deg, table.tilt_most_deg)
            }
            Self::ToolLength => {
                (tool.blade_length_mm, (tool.blade_length_mm + 450.0).max(tool.overall_length_mm))
            }
            Self::WheelDiameter => (wheel.diameter_least_mm.max(1.0), wheel.diameter_new_mm),
            Self::RollCentre => match &tool.blank {
                BlankSaved::Bar(bar) => (bar.flute_floor_mm, bar.diameter_mm),
                BlankSaved::Flat(_) => return None,
            },
            Self::HalfSwing => (5.0, 120.0),
            Self::Turn => (-15.0, 15.0),
        };
        (range.0.is_finite() && range.1.is_finite() && range.0 < range.1).then_some(range)
    }

    /// Places on it worth stopping at.
    #[must_use]
    pub fn stops(self, bench: &Bench) -> Vec<Stop> {
        let Some(current) = bench.current.as_ref() else { return Vec::new() };
        let Some(rig) = bench.rig(current.rig) else { return Vec::new() };
        match self {
            Self::Projection => rig
                .projection_stops_mm
                .iter()
                .map(|&value| Stop { value, kind: StopKind::StopBlock })
                .collect(),
            Self::StrutAngle => {
                let SupportSaved::Holder { holder, .. } = current.support else { return Vec::new() };
                let rests = rig.holder(holder).map(|holder| holder.rests_deg.as_slice()).unwrap_or_default();
                rests.iter().map(|&value| Stop { value, kind: StopKind::Rest }).collect()
            }
            Self::WheelDiameter => rig.wheel(current.wheel).map_or_else(Vec::new, |wheel| {
                vec![
                    Stop { value: wheel.diameter_new_mm, kind: StopKind::New },
                    Stop { value: wheel.diameter_least_mm, kind: StopKind::Least },
                ]
            }),
            Self::RollCentre => vec![Stop { value: 0.0, kind: StopKind::Centreline }],
            Self::Turn => vec![Stop { value: 0.0, kind: StopKind::StraightUp }],
            _ => Vec::new(),
        }
    }

    /// An ordinary step of the keys, in millimetres or degrees.
    #[must_use]
    pub const fn step(self) -> f64 {
        match self {
            Self::RollCentre => 0.1,
            Self::StrutAngle | Self::TableTilt | Self::Turn => 0.5,
            _ => 1.0,
        }
    }

    /// A value as it would be set: to a tenth, the finest a rule or a protractor is read to.
    #[must_use]
    pub fn settable(value: f64) -> f64 {
        (value * 10.0).round() / 10.0
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use std::collections::HashSet;

    use bevelbench_notebook::saved::library::demo_bench;

    use super::*;

    #[test]
    fn what_is_said_of_a_stop_hangs_on_its_kind() {
        let mut bench = demo_bench().unwrap();
        let (mut names, mut words, mut kinds) = (HashSet::new(), HashSet::new(), HashSet::new());
        for entry in bench.settings.clone() {
            bench.current = Some(entry.clone());
            let wheel = bench.rig(entry.rig).unwrap().wheel(entry.wheel).unwrap();
            let (new, least) = (wheel.diameter_new_mm, wheel.diameter_least_mm);
            for dial in Dial::of(&entry, &bench) {
                for stop in dial.stops(&bench) {
                    let wanted = match dial {
                        Dial::Projection => StopKind::StopBlock,
                        Dial::StrutAngle => StopKind::Rest,
                        Dial::WheelDiameter if (stop.value - new).abs() < 1e-9 && new > least => {
                            StopKind::New
                        }
                        Dial::WheelDiameter => StopKind::Least,
                        Dial::RollCentre => StopKind::Centreline,
                        _ => StopKind::StraightUp,
                    };
                    assert_eq!(stop.kind, wanted, "{}: {}", entry.name, dial.name());
                    kinds.insert(stop.kind);
                    names.insert(stop.kind.name());
                    words.insert(stop.kind.standing_on_it());
                }
            }
        }
        assert_eq!([kinds.len(), names.len(), words.len()], [6; 3]);
    }
}
