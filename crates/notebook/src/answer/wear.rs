//! Wear of wheels and tools, as it is kept: what a setting grinds as its wheel gets smaller, kept in each of three ways;
//! how far a setting has drifted since it was last set true; what is left of a wheel; and entries for the log.

use bevelbench_geometry::{
    math::{Angle, Quantity},
    parts::{Abrasive, Face},
    side::{HeldInput, Job, NotWorn, Refusal, Setting, SideView, Support, Target},
};

use crate::{
    answer::{bench::Unanswered, logbook::days_between},
    saved::{
        bench::Bench,
        log::KeptBy,
        rig::{AbrasiveSaved, WheelSaved},
        setting::SettingEntry,
    },
};

/// The three ways of keeping a setting while its wheel wears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WearStrategy {
    /// Nothing is touched: the cup stays on its arm, the table at its tilt.
    Place,
    /// The cup is set anew with the same gauge stick.
    GaugeStick,
    /// The reach, or the tilt, is found again for the bevel.
    FoundAgain,
}

impl WearStrategy {
    /// Every way, in the order of the page.
    pub const ALL: [Self; 3] = [Self::Place, Self::GaugeStick, Self::FoundAgain];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Place => "left where it is",
            Self::GaugeStick => "set by gauge stick",
            Self::FoundAgain => "found again",
        }
    }
}

/// A setting at one diameter of its wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearPoint {
    /// The wheel's diameter, in millimetres.
    pub diameter_mm: f64,
    /// Bevel at the edge.
    pub bevel: Angle,
    /// Bevel across the facet.
    pub across: Angle,
    /// What is set: reach in millimetres, or tilt in degrees.
    pub set: f64,
    /// The gauge length, in millimetres; a table has none.
    pub gauge_length_mm: Option<f64>,
}

/// A setting whose wheel wears.
#[derive(Debug, Clone, PartialEq)]
pub struct Wear {
    job: Job,
    view: SideView,
    target: Target,
    pace_mm_a_year: Option<f64>,
}

impl Wear {
    /// Of a setting of a bench. What is found again is the bevel it is meant to grind, or, where none was asked for,
    /// the one it grinds now.
    ///
    /// # Errors
    /// [`Unanswered`].
    pub fn of(bench: &Bench, entry: &SettingEntry) -> Result<Self, Unanswered> {
        let (job, view) = bench.answer(entry)?;
        let target = match entry.target {
            Some(target) => target.bevel(&job)?,
            None => Target::AtEdge(view.bevel()),
        };
        let wheel = bench.rig(entry.rig).and_then(|rig| rig.wheel(entry.wheel));
        Ok(Self { job, view, target, pace_mm_a_year: wheel.and_then(pace_mm_a_year) })
    }

    /// The job it was made from.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// Its answer today.
    #[must_use]
    pub fn view(&self) -> &SideView {
        &self.view
    }

    /// The bevel that is found again.
    #[must_use]
    pub fn target(&self) -> Target {
        self.target
    }

    /// The wheel's diameter today, in millimetres.
    #[must_use]
    pub fn diameter_mm(&self) -> f64 {
        self.job.wheel.diameter_mm()
    }

    /// Diameters from the least usable to that of the new wheel, in millimetres.
    #[must_use]
    pub fn range_mm(&self) -> (f64, f64) {
        let spec = self.job.wheel.spec();
        // A wheel with no least diameter is looked at down to half of what it was.
        let least =
            if spec.diameter_least_mm > 1.0 { spec.diameter_least_mm } else { spec.diameter_new_mm / 2.0 };
        (least.min(spec.diameter_mm), spec.diameter_new_mm)
    }

    /// What makes wear of this wheel nothing to speak of, if anything does.
    #[must_use]
    pub fn hardly_wears(&self) -> Option<HardlyWears> {
        match self.job.wheel.spec().abrasive {
            Abrasive::Friable => None,
            Abrasive::Superabrasive => Some(HardlyWears::Superabrasive),
            Abrasive::Flat => Some(HardlyWears::Flat),
        }
    }

    /// Whether a way can be kept at all: a table has no gauge length.
    #[must_use]
    pub fn has(&self, strategy: WearStrategy) -> bool {
        strategy != WearStrategy::GaugeStick || !matches!(self.job.setting.support, Support::Table { .. })
    }

    /// The setting at a diameter in millimetres, kept in a way.
    ///
    /// # Errors
    /// [`NotWorn`].
    pub fn at(&self, diameter_mm: f64, strategy: WearStrategy) -> Result<WearPoint, NotWorn> {
        let kept = match strategy {
            WearStrategy::Place => HeldInput::Place,
            WearStrategy::GaugeStick => HeldInput::GaugeLength,
            WearStrategy::FoundAgain => HeldInput::Bevel(self.target),
        };
        let (setting, view) = self.job.setting.on_worn_wheel(diameter_mm, kept)?;
        // What is found again is an answer: its nose must survive the whole swing.
        if strategy == WearStrategy::FoundAgain
            && let Some(gone) = (Job { setting, ..self.job }).nose_gone(&view)
        {
            return Err(NotWorn::Refused(Refusal::NoseGone(gone)));
        }
        Ok(WearPoint {
            diameter_mm,
            bevel: view.bevel(),
            across: view.facet.across,
            set: setting.value_of(setting.follows_wheel()).unwrap_or(0.0),
            gauge_length_mm: view.gauge_length_mm(),
        })
    }

    /// The curve of a way over the wheel's whole life in so many points; where it has no answer there is a gap.
    #[must_use]
    pub fn curve(&self, strategy: WearStrategy, count: usize) -> Vec<Option<WearPoint>> {
        let (least, most) = self.range_mm();
        let steps = count.max(2) - 1;
        let at = |i: usize| most + (least - most) * i as f64 / steps as f64;
        (0..=steps).map(|i| self.at(at(i), strategy).ok()).collect()
    }

    /// The setting table: today's diameter and round ones below it down to the least usable, `step_mm` apart.
    #[must_use]
    pub fn table(&self, step_mm: f64) -> Vec<WearRow> {
        let (least, _) = self.range_mm();
        let now = self.diameter_mm();
        let step = if step_mm.is_finite() { step_mm.max(0.1) } else { 5.0 };
        let mut diameters = vec![now];
        let mut next = ((now / step - 0.25).floor()) * step;
        while next > least + step / 4.0 && diameters.len() < 200 {
            diameters.push(next);
            next -= step;
        }
        if now - least > 1e-9 {
            diameters.push(least);
        }
        diameters.into_iter().map(|diameter_mm| self.row(diameter_mm)).collect()
    }

    /// The next millimetres of wear, each with what is set then to have the bevel again: as far as the wheel may be used
    /// and there is an answer. Nothing for a flat abrasive.
    #[must_use]
    pub fn next_mm(&self, worn_mm: &[f64]) -> Vec<WearPoint> {
        let least_mm = self.job.wheel.spec().diameter_least_mm;
        let diameters = worn_mm.iter().map(|worn_mm| self.diameter_mm() - worn_mm);
        let usable = diameters.take_while(|diameter_mm| *diameter_mm >= least_mm);
        usable.map_while(|diameter_mm| self.at(diameter_mm, WearStrategy::FoundAgain).ok()).collect()
    }

    /// One line of the table.
    #[must_use]
    pub fn row(&self, diameter_mm: f64) -> WearRow {
        let at = |strategy| self.at(diameter_mm, strategy);
        WearRow {
            diameter_mm,
            place: at(WearStrategy::Place),
            gauge_stick: at(WearStrategy::GaugeStick),
            found_again: at(WearStrategy::FoundAgain),
        }
    }

    /// Bevel at the edge against length lost from the tool, in millimetres, where its handle's end stands in the cup;
    /// `None` for every other support.
    #[must_use]
    pub fn with_tool_shorter(&self, lost_mm: f64) -> Option<Angle> {
        self.job.setting.value_of(Quantity::ToolLength)?;
        let (_, view) = self.job.setting.with_tool_shorter(lost_mm).ok()?;
        Some(view.bevel())
    }

    /// What is left of the wheel: millimetres of diameter down to the least usable, and years at the pace of the log
    /// where it tells one.
    #[must_use]
    pub fn left(&self) -> Left {
        let spec = self.job.wheel.spec();
        let left_mm = (spec.diameter_mm - spec.diameter_least_mm).max(0.0);
        let years = self.pace_mm_a_year.filter(|pace| *pace > 0.0).map(|pace| left_mm / pace);
        Left {
            diameter_mm: left_mm,
            fraction: self.job.wheel.fraction_left(),
            pace_mm_a_year: self.pace_mm_a_year,
            years,
        }
    }
}

/// Why a wheel is not said to wear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HardlyWears {
    /// A superabrasive layer on a metal wheel.
    Superabrasive,
    /// A flat abrasive.
    Flat,
}

impl HardlyWears {
    /// A sentence.
    ///
    /// # Source
    /// Common practice.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Superabrasive => {
                "A superabrasive wheel hardly wears: its diameter is that of its metal body, and settings made on it stay. When the layer is used up the wheel is replaced. It is not dressed."
            }
            Self::Flat => "A flat abrasive has no diameter to lose: settings made on it stay.",
        }
    }
}

/// One line of a setting table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WearRow {
    /// The wheel's diameter, in millimetres.
    pub diameter_mm: f64,
    /// With nothing touched.
    pub place: Result<WearPoint, NotWorn>,
    /// Set by gauge stick.
    pub gauge_stick: Result<WearPoint, NotWorn>,
    /// Found again.
    pub found_again: Result<WearPoint, NotWorn>,
}

/// What is left of a wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Left {
    /// Millimetres of diameter to the least usable.
    pub diameter_mm: f64,
    /// The same as a fraction of what the new wheel had.
    pub fraction: f64,
    /// Millimetres of diameter lost a year, from the log.
    pub pace_mm_a_year: Option<f64>,
    /// Years left at that pace.
    pub years: Option<f64>,
}

/// Days that a log must span before a pace is told from it.
const DAYS_FOR_A_PACE: i64 = 28;

/// Millimetres of diameter lost a year, from the first and the last entry of a wheel's log; `None` while they lie too
/// near each other.
fn pace_mm_a_year(wheel: &WheelSaved) -> Option<f64> {
    if wheel.abrasive != AbrasiveSaved::Friable {
        return None;
    }
    let (first, last) = (wheel.keep.diameters.first()?, wheel.keep.diameters.last()?);
    let days = days_between(&first.date, &last.date).filter(|days| *days >= DAYS_FOR_A_PACE)?;
    let pace = (first.diameter_mm - last.diameter_mm) / days as f64 * 365.25;
    (pace.is_finite() && pace > 0.0).then_some(pace)
}

/// How far a setting has drifted since it was last set true.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// Bevel at the edge when it was set true.
    pub was: Angle,
    /// Bevel at the edge now.
    pub now: Angle,
    /// The part of it that the wheel's wear did, found by putting the wheel's old diameter back.
    pub by_wheel: Angle,
    /// The part of it that lost length of the tool did, found by putting the old length back; zero but for a handle
    /// in the cup.
    pub by_length: Angle,
}

impl Drift {
    /// All of it; positive is blunter.
    #[must_use]
    pub fn by(&self) -> Angle {
        self.now - self.was
    }

    /// Whether it is more than a tolerance.
    #[must_use]
    pub fn passes(&self, tolerance: Angle) -> bool {
        self.by().abs() > tolerance
    }
}

/// How far a setting has drifted; `None` while it is not known what it was when set true, or it has no answer now.
#[must_use]
pub fn drift(bench: &Bench, entry: &SettingEntry) -> Option<Drift> {
    let trued = entry.keep.trued?;
    let (job, view) = bench.answer(entry).ok()?;
    let now = view.bevel();
    let kept = match entry.keep.by {
        KeptBy::GaugeStick if job.setting.pivot().is_some() => HeldInput::GaugeLength,
        _ => HeldInput::Place,
    };
    let old_wheel = match job.setting.face {
        Face::Round { .. } => job.setting.on_worn_wheel(trued.wheel_diameter_mm, kept).ok(),
        Face::Flat { .. } => None,
    };
    let old_length = job.setting.with_tool_shorter(job.tool.overall_length_mm() - trued.tool_length_mm).ok();
    let since = |then: Option<(Setting, SideView)>| then.map_or(Angle::ZERO, |(_, then)| now - then.bevel());
    Some(Drift {
        was: Angle::from_degrees(trued.bevel_deg),
        now,
        by_wheel: since(old_wheel),
        by_length: since(old_length),
    })
}

/// Finds a setting's bevel again on today's wheel and tool, and sets it true. Further steps that move the same quantity
/// move along by as much.
///
/// # Errors
/// [`Unanswered`] if the setting cannot be put together; [`NotWorn`] within it if nothing within the travel does it.
pub fn found_again(bench: &Bench, entry: &SettingEntry) -> Result<SettingEntry, NotFoundAgain> {
    let job = bench.job_of(entry).map_err(NotFoundAgain::Unanswered)?;
    let target = match (entry.target, entry.keep.trued) {
        (Some(target), _) => target.bevel(&job).map_err(|why| NotFoundAgain::Unanswered(why.into()))?,
        (None, Some(trued)) => Target::AtEdge(Angle::from_degrees(trued.bevel_deg)),
        (None, None) => return Err(NotFoundAgain::NothingToFind),
    };
    let free = job.setting.follows_wheel();
    let present = job.setting.value_of(free).unwrap_or(0.0);
    let answers = job.setting.find(target, free).map_err(|why| NotFoundAgain::Unanswered(why.into()))?;
    let answer = answers.nearest(present).ok_or(NotFoundAgain::OffTravel)?;
    let mut found = entry.clone();
    found.put(free, answer.value);
    // A second bevel that is set 25 mm further in is so still.
    for step in found.further_steps.iter_mut().filter(|step| step.moved.quantity() == free) {
        step.moved = step.moved.moved_to(step.moved.value() + answer.value - present);
    }
    Ok(found.set_true(bench))
}

/// Why a setting's bevel was not found again.
#[derive(Debug, Clone, PartialEq)]
pub enum NotFoundAgain {
    /// It has neither a bevel that was asked for nor one that it had when set true.
    NothingToFind,
    /// Every answer lies off the travel.
    OffTravel,
    /// It has no answer.
    Unanswered(Unanswered),
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::{
        answer::logbook::wear::{log_diameter, log_length},
        saved::{
            library::demo_bench,
            log::{DiameterNote, LengthNote},
            setting::SupportSaved,
            step::{FurtherStepSaved, MovedSaved},
        },
    };

    fn on(date: &str, diameter_mm: f64) -> DiameterNote {
        DiameterNote { date: date.to_owned(), diameter_mm, ..DiameterNote::default() }
    }

    /// The demo with its logs struck out.
    fn bare() -> Bench {
        let mut bench = demo_bench().unwrap();
        for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            wheel.keep.diameters = Vec::new();
        }
        for tool in &mut bench.tools {
            tool.keep.lengths = Vec::new();
        }
        bench
    }

    fn named(bench: &Bench, name: &str) -> SettingEntry {
        bench.setting_named(name).unwrap().clone()
    }

    #[test]
    fn a_second_bevel_set_25_mm_in_is_so_still_when_the_first_is_found_again() {
        let mut bench = bare();
        let mut entry = named(&bench, "Long grind, shaping wheel").set_true(&bench);
        let SupportSaved::Holder { reach_mm, .. } = entry.support else { panic!("a holder") };
        let further = |moved| FurtherStepSaved { moved, left_width_mm: 2.0 };
        entry.further_steps = vec![
            further(MovedSaved::to(Quantity::Reach, reach_mm - 25.0).unwrap()),
            further(MovedSaved::to(Quantity::StrutAngle, 60.0).unwrap()),
        ];
        for wheel in bench.rigs.iter_mut().flat_map(|rig| &mut rig.wheels) {
            wheel.diameter_mm -= if wheel.id == entry.wheel { 6.0 } else { 0.0 };
        }
        let found = found_again(&bench, &entry).unwrap();
        let SupportSaved::Holder { reach_mm: now_mm, .. } = found.support else { panic!("a holder") };
        assert!((now_mm - reach_mm).abs() > 0.5, "{reach_mm} {now_mm}");
        assert!((found.further_steps[0].moved.value() - (now_mm - 25.0)).abs() < 1e-9);
        assert_eq!(found.further_steps[1], entry.further_steps[1], "what else is moved stays");
    }

    #[test]
    fn drift_is_distinguished_by_wheel_and_by_length() {
        let mut bench = bare();
        let entry = named(&bench, "Inside bowl, shaping wheel").set_true(&bench);
        assert!(drift(&bench, &entry).unwrap().by().abs().degrees() < 1e-9);
        let (rig, wheel) = (bench.rigs[0].id, bench.rigs[0].wheels[0].id);
        log_diameter(&mut bench, rig, wheel, on("2026-03-01", 157.0)).unwrap();
        let by_wheel = drift(&bench, &entry).unwrap();
        assert!(by_wheel.by().degrees() > 0.3, "{by_wheel:?}");
        assert!((by_wheel.by_wheel - by_wheel.by()).degrees().abs() < 1e-9);
        assert!(by_wheel.by_length.degrees().abs() < 1e-9);
        let length_mm = bench.tool(entry.tool).unwrap().overall_length_mm - 1.0;
        log_length(&mut bench, entry.tool, LengthNote { date: "2026-03-02".to_owned(), length_mm }).unwrap();
        let both = drift(&bench, &entry).unwrap();
        assert!(both.by_length.degrees() > 1.0, "{both:?}");
        // The two together are all of it, but for their product.
        assert!((both.by_wheel + both.by_length - both.by()).degrees().abs() < 0.1, "{both:?}");
        assert!(both.passes(bench.keep.tolerance()));
        let again = found_again(&bench, &entry).unwrap();
        assert!(drift(&bench, &again).unwrap().by().abs().degrees() < 1e-9);
        let (_, view) = bench.answer(&again).unwrap();
        assert!((view.bevel().degrees() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn setting_table_goes_from_today_down_to_the_least_usable() {
        let bench = bare();
        let wear = Wear::of(&bench, &named(&bench, "Long grind, shaping wheel")).unwrap();
        let table = wear.table(5.0);
        let diameters: Vec<f64> = table.iter().map(|row| row.diameter_mm).collect();
        assert_eq!(diameters, [158.0, 155.0, 150.0, 145.0, 140.0, 135.0, 130.0]);
        for row in &table {
            let (place, stick, found) =
                (row.place.unwrap(), row.gauge_stick.unwrap(), row.found_again.unwrap());
            assert!((found.bevel.degrees() - 40.0).abs() < 1e-9);
            assert!((place.set - 166.0).abs() < 1e-9);
            assert!((stick.gauge_length_mm.unwrap() - wear.view().gauge_length_mm().unwrap()).abs() < 1e-9);
        }
        // Common practice: left alone it grinds ever blunter.
        assert!(table.windows(2).all(|two| two[1].place.unwrap().bevel > two[0].place.unwrap().bevel));
        assert!(wear.table(f64::NAN).len() > 2 && wear.table(-1.0).len() <= 202);
    }

    #[test]
    fn superabrasive_wheel_is_reported_to_keep_its_diameter() {
        let bench = bare();
        let keeping = Wear::of(&bench, &named(&bench, "Long grind, 85 mm")).unwrap();
        assert_eq!(keeping.hardly_wears(), Some(HardlyWears::Superabrasive));
        assert_eq!(keeping.left().pace_mm_a_year, None);
        let shaping = Wear::of(&bench, &named(&bench, "Long grind, shaping wheel")).unwrap();
        assert_eq!(shaping.hardly_wears(), None);
    }

    #[test]
    fn pace_of_the_log_says_how_long_a_wheel_lasts() {
        let mut bench = bare();
        let notes = &mut bench.rigs[0].wheels[0].keep.diameters;
        notes.extend([on("2025-03-01", 164.0), on("2026-03-01", 158.0)]);
        let entry = named(&bench, "Long grind, shaping wheel");
        let left = Wear::of(&bench, &entry).unwrap().left();
        // By hand: 6 mm in 365 days, 28 mm to go.
        assert!((left.pace_mm_a_year.unwrap() - 6.0 * 365.25 / 365.0).abs() < 1e-9);
        assert!((left.years.unwrap() - 28.0 / 6.0 * 365.0 / 365.25).abs() < 1e-9);
        bench.rigs[0].wheels[0].keep.diameters[0].date = "2026-02-20".to_owned();
        assert_eq!(Wear::of(&bench, &entry).unwrap().left().pace_mm_a_year, None);
    }
}
