//! The table of quantities: what is known of each that a setting is made of, once.
//!
//! A row says what a quantity is called, how it is measured, where it is kept, how far it goes and what may be done with
//! it: turned, found, read, set at the grinder, moved by a further step, fitted. Rows of the settings panel, sliders,
//! pins, readings, cards, charts, JSON and the words of the command line follow from it. The rows stand in `rows`.

mod rows;
mod stand;
#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests;

use bevelbench_geometry::{
    math::Quantity,
    side::{Job, SideView},
};

pub use rows::TABLE;
pub use stand::{Stand, holder_id};

use crate::saved::{
    bench::Bench,
    names::further_key,
    part::Part,
    reading::ReadWith,
    rig::{HolderSaved, WheelSaved},
    setting::SettingEntry,
    tool::ToolEntry,
};

/// What is known of a quantity.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// The quantity; its words in a sentence are [`Quantity::words`].
    pub quantity: Quantity,
    /// Its label on screen and on paper, where it stands alone: its words with a capital.
    pub label: &'static str,
    /// What it is and how it is measured at the bench.
    pub how: &'static str,
    /// Its key in JSON, with the unit.
    pub key: &'static str,
    /// The word for it on the command line.
    pub word: &'static str,
    /// An ordinary step of the keys, in millimetres or degrees.
    pub step: f64,
    /// The part of the drawing that it belongs to.
    pub part: Part,
    /// Where it is kept.
    pub place: Place,
    /// Whether a setting has it.
    pub applies: fn(&Stand<'_>) -> bool,
    /// How it is turned, if it may be.
    pub turned: Option<Turned>,
    /// How finding moves it, if it may.
    pub found: Option<Found>,
    /// What it is usually read with, if the bevel rests on it.
    pub read: Option<fn(&Stand<'_>) -> ReadWith>,
    /// How it is set at the grinder, if it is one of the numbers that are.
    pub set: Option<SetStep>,
    /// Whether trial grinds may fit it.
    pub fitted: bool,
}

/// How a quantity is turned.
#[derive(Debug, Clone, Copy)]
pub struct Turned {
    /// What the slider reaches and finding keeps to, in millimetres or degrees; more can be typed.
    pub range: fn(&Stand<'_>) -> Option<(f64, f64)>,
    /// Values worth stopping at.
    pub stops: fn(&Stand<'_>) -> Vec<Stop>,
    /// What stands under the row where the value is at no stop.
    pub note: Note,
    /// The step between values that are laid side by side, if they are, in millimetres or degrees.
    pub compared: Option<f64>,
}

/// What stands under a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Note {
    /// The range.
    Range,
    /// Every stop by its value behind this word, if there are any; else the range.
    Stops(&'static str),
    /// Every stop with its name.
    NamedStops,
    /// These words.
    Words(&'static str),
}

/// How finding moves a quantity.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    /// Which way more of it is: "out".
    pub more: &'static str,
    /// Which way less of it is: "in".
    pub less: &'static str,
    /// Whether it is offered where what is free does not do; what is dear is not.
    pub offered: bool,
}

/// How a quantity is set at the grinder.
#[derive(Debug, Clone, Copy)]
pub struct SetStep {
    /// Its place in the order in which the numbers are set.
    pub order: u8,
    /// The column of a chart that it stands in.
    pub column: &'static str,
    /// What stands before its value in a column that another quantity heads.
    pub lead: &'static str,
    /// How it is set or measured.
    pub how: &'static str,
    /// How it is set on a stop.
    pub how_at_stop: &'static str,
}

/// Where a quantity is kept.
#[derive(Debug, Clone, Copy)]
pub enum Place {
    /// In the setting.
    Setting(Lens<SettingEntry>),
    /// With the wheel, what stands in front of it counted in.
    Wheel(Lens<WheelSaved>),
    /// With the holder.
    Holder(Lens<HolderSaved>),
    /// With the tool.
    Tool(Lens<ToolEntry>),
    /// Nowhere: it follows from others.
    Worked,
}

/// A number of a part.
#[derive(Debug)]
pub struct Lens<P> {
    /// Its value, in millimetres or degrees.
    pub get: fn(&P) -> Option<f64>,
    /// Its place.
    pub place: fn(&mut P) -> Option<&mut f64>,
}

impl<P> Clone for Lens<P> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<P> Copy for Lens<P> {}

/// A value worth stopping at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// The value in millimetres or degrees.
    pub value: f64,
    /// What it is.
    pub kind: StopKind,
}

/// What a stop is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopKind {
    /// A stop block.
    Block,
    /// A notch of a holder that the strut clicks into.
    Rest,
    /// A new wheel.
    New,
    /// A wheel worn out.
    Least,
    /// The bar's centreline.
    Centreline,
    /// The flute straight up.
    Upright,
}

impl StopKind {
    /// Its name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Block => "stop block",
            Self::Rest => "rest",
            Self::New => "new",
            Self::Least => "least",
            Self::Centreline => "bar’s centreline",
            Self::Upright => "straight up",
        }
    }

    /// What is said of a value that stands on it.
    #[must_use]
    pub const fn stands_on(self) -> &'static str {
        match self {
            Self::Block => "on its stop block",
            Self::Rest => "on its rest",
            Self::New => "as new",
            Self::Least => "at its least",
            Self::Centreline => "on the bar’s centreline",
            Self::Upright => "the flute straight up",
        }
    }

    /// Whether it is a thing at the bench that the value is set against.
    #[must_use]
    pub const fn is_at_hand(self) -> bool {
        matches!(self, Self::Block | Self::Rest)
    }
}

/// Values nearer than this are the same stop, in millimetres or degrees: finer than a rule or a protractor is read.
const SAME_STOP: f64 = 0.05;

impl Stop {
    /// Whether a value stands on it.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        (self.value - value).abs() < SAME_STOP
    }
}

/// The row of a quantity, if the table has one.
#[must_use]
pub fn row(quantity: Quantity) -> Option<&'static Row> {
    TABLE.iter().find(|row| row.quantity == quantity)
}

fn those(is: impl Fn(&Row) -> bool + 'static) -> impl Iterator<Item = Quantity> {
    TABLE.iter().filter(move |row| is(row)).map(|row| row.quantity)
}

/// What finding may move, in the order of the rows.
pub fn found() -> impl Iterator<Item = Quantity> {
    those(|row| row.found.is_some())
}

/// What is offered to be moved where what is free does not do.
pub fn offered() -> impl Iterator<Item = Quantity> {
    those(|row| row.found.is_some_and(|found| found.offered))
}

/// What a further step may move.
pub fn further() -> impl Iterator<Item = Quantity> {
    those(|row| further_key(row.quantity).is_some())
}

/// What is set of a setting, in the order in which it is.
pub fn in_setting_order() -> impl Iterator<Item = Quantity> {
    let mut set: Vec<_> = TABLE
        .iter()
        .filter(|row| !matches!(row.place, Place::Worked))
        .filter_map(|row| Some((row.set?.order, row.quantity)))
        .collect();
    set.sort_unstable();
    set.into_iter().map(|(_, quantity)| quantity)
}

/// What trial grinds may fit.
pub fn fitted() -> impl Iterator<Item = Quantity> {
    those(|row| row.fitted)
}

/// What may be turned of a setting, in the order of the rows.
#[must_use]
pub fn turned(bench: &Bench, entry: &SettingEntry) -> Vec<Quantity> {
    let stand = Stand::of(bench, entry);
    those(|row| row.turned.is_some()).filter(|quantity| quantity.of_setting(&stand).is_some()).collect()
}

/// What the bevel of a setting rests on, those that are set first.
#[must_use]
pub fn readings(bench: &Bench, entry: &SettingEntry) -> Vec<Quantity> {
    let stand = Stand::of(bench, entry);
    TABLE.iter().filter(|row| row.read.is_some() && (row.applies)(&stand)).map(|row| row.quantity).collect()
}

/// The numbers of a setting that are set at the grinder, in the order in which they are.
#[must_use]
pub fn set_steps(job: &Job, view: &SideView) -> Vec<(&'static Row, SetStep, f64)> {
    let mut steps: Vec<_> = TABLE
        .iter()
        .filter_map(|row| {
            let value = match row.place {
                Place::Worked => view.gauge_length_mm(),
                _ => job.setting.value_of(row.quantity),
            };
            Some((row, row.set?, value?))
        })
        .collect();
    steps.sort_by_key(|(_, step, _)| step.order);
    steps
}

/// The columns of a chart, in order.
#[must_use]
pub fn columns() -> Vec<&'static str> {
    let mut steps: Vec<SetStep> = TABLE.iter().filter_map(|row| row.set).collect();
    steps.sort_by_key(|step| step.order);
    let mut columns = Vec::with_capacity(4);
    for step in steps {
        if !columns.contains(&step.column) {
            columns.push(step.column);
        }
    }
    columns
}

/// The stop blocks and rests of a setting's rig.
#[must_use]
pub fn at_hand(bench: &Bench, entry: &SettingEntry) -> Vec<(Quantity, Stop)> {
    let stand = Stand::of(bench, entry);
    let of = |row: &'static Row| {
        let stops = row.turned.map(|turned| (turned.stops)(&stand)).unwrap_or_default();
        stops.into_iter().filter(|stop| stop.kind.is_at_hand()).map(|stop| (row.quantity, stop))
    };
    TABLE.iter().flat_map(of).collect()
}

/// A value as it would be set: to a tenth, the finest a rule or a protractor is read to.
#[must_use]
pub fn settable(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

impl SettingEntry {
    /// Sets a quantity that is kept in the setting, in millimetres or degrees; what it has not is left alone.
    pub fn put(&mut self, quantity: Quantity, value: f64) {
        if let Some(Place::Setting(lens)) = row(quantity).map(|row| row.place)
            && let Some(place) = (lens.place)(self)
        {
            *place = value;
        }
    }
}

/// What the table says of a quantity of the current setting.
pub trait OnBench: Copy {
    /// Its label; its words where the table does not have it.
    fn label(self) -> &'static str;
    /// What it is and how it is measured at the bench.
    fn how(self) -> &'static str;
    /// An ordinary step of the keys, in millimetres or degrees.
    fn step(self) -> f64;
    /// Its value for a setting, in millimetres or degrees, if the setting has it.
    fn of_setting(self, stand: &Stand<'_>) -> Option<f64>;
    /// Its value for the current setting.
    fn get(self, bench: &Bench) -> Option<f64>;
    /// Sets it for the current setting. What belongs to a wheel, a holder or a tool changes for every setting that uses it.
    fn set(self, bench: &mut Bench, value: f64);
    /// What the slider reaches for the current setting.
    fn range(self, bench: &Bench) -> Option<(f64, f64)>;
    /// The stops of the current setting.
    fn stops(self, bench: &Bench) -> Vec<Stop>;
    /// Whether finding may move it.
    fn is_found(self) -> bool;
}

impl OnBench for Quantity {
    fn label(self) -> &'static str {
        row(self).map_or(self.words(), |row| row.label)
    }

    fn how(self) -> &'static str {
        row(self).map_or("", |row| row.how)
    }

    fn step(self) -> f64 {
        row(self).map_or(1.0, |row| row.step)
    }

    fn of_setting(self, stand: &Stand<'_>) -> Option<f64> {
        let row = row(self).filter(|row| (row.applies)(stand))?;
        match row.place {
            Place::Setting(lens) => (lens.get)(stand.entry),
            Place::Wheel(lens) => (lens.get)(stand.wheel?),
            Place::Holder(lens) => (lens.get)(stand.holder?),
            Place::Tool(lens) => (lens.get)(stand.tool?),
            Place::Worked => None,
        }
    }

    fn get(self, bench: &Bench) -> Option<f64> {
        self.of_setting(&Stand::of(bench, bench.current.as_ref()?))
    }

    fn set(self, bench: &mut Bench, value: f64) {
        let (Some(row), Some(entry)) = (row(self), bench.current.as_mut()) else { return };
        let rigs = &mut bench.rigs;
        let place = match row.place {
            Place::Setting(lens) => (lens.place)(entry),
            Place::Wheel(lens) => rigs
                .iter_mut()
                .find(|rig| rig.id == entry.rig)
                .and_then(|rig| rig.wheels.iter_mut().find(|wheel| wheel.id == entry.wheel))
                .and_then(lens.place),
            Place::Holder(lens) => stand::holder_id(entry)
                .and_then(|id| {
                    let rig = rigs.iter_mut().find(|rig| rig.id == entry.rig)?;
                    rig.holders.iter_mut().find(|holder| holder.id == id)
                })
                .and_then(lens.place),
            Place::Tool(lens) => {
                bench.tools.iter_mut().find(|tool| tool.id == entry.tool).and_then(lens.place)
            }
            Place::Worked => None,
        };
        if let Some(place) = place {
            *place = value;
        }
    }

    fn range(self, bench: &Bench) -> Option<(f64, f64)> {
        range_of(self, &Stand::of(bench, bench.current.as_ref()?)).filter(|(least, most)| least < most)
    }

    fn stops(self, bench: &Bench) -> Vec<Stop> {
        let Some(entry) = bench.current.as_ref() else { return Vec::new() };
        row(self)
            .and_then(|row| row.turned)
            .map(|turned| (turned.stops)(&Stand::of(bench, entry)))
            .unwrap_or_default()
    }

    fn is_found(self) -> bool {
        row(self).is_some_and(|row| row.found.is_some())
    }
}

/// How far a quantity of a setting goes, in millimetres or degrees.
#[must_use]
pub fn range_of(quantity: Quantity, stand: &Stand<'_>) -> Option<(f64, f64)> {
    let range = (row(quantity)?.turned?.range)(stand)?;
    (range.0.is_finite() && range.1.is_finite() && range.0 <= range.1).then_some(range)
}
