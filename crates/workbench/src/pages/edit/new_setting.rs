//! A new setting of a tool: which rig, wheel and support; then ordinary values, and the bevel found with them.

use bevelbench_geometry::{math::Angle, side::Target};
use bevelbench_notebook::saved::{
    Bench, BevelMeant, BlankSaved, Id, PresentationSaved, Rig, SettingEntry, SettingKeep, SupportSaved,
    SwingSaved, TargetSaved, WheelSaved, table::settable,
};

use crate::model::parts::free_name;

/// The bevel that a new setting is found at.
const FIRST_BEVEL_DEG: f64 = 45.0;

/// What can carry the tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Carried {
    /// The handle's end in the cup.
    Handle,
    /// A holder of the rig, its strut in the cup.
    Holder(Id),
    /// The table.
    Table,
}

/// What is being chosen for a new setting.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct NewSetting {
    /// The tool.
    pub(super) tool: Id,
    /// The rig.
    pub(super) rig: Id,
    /// The wheel.
    pub(super) wheel: Id,
    /// What carries it.
    pub(super) carried: Carried,
    /// Its name.
    pub(super) name: String,
}

impl NewSetting {
    /// Ordinary choices for a tool: the rig and wheel of the current setting, the holder for a gouge, the table for what
    /// is flat. `None` on a bench without a wheel.
    pub(super) fn for_tool(bench: &Bench, tool: Id) -> Option<Self> {
        let current = bench.current.as_ref();
        let of_hand = current.and_then(|current| {
            let rig = bench.rig(current.rig)?;
            rig.wheel(current.wheel).map(|wheel| (rig, wheel))
        });
        let (rig, wheel) = of_hand
            .or_else(|| bench.rigs.iter().find_map(|rig| rig.wheels.first().map(|wheel| (rig, wheel))))?;
        let mut wanted =
            Self { tool, rig: rig.id, wheel: wheel.id, carried: Carried::Handle, name: String::new() };
        wanted.carried = wanted.usual(bench)?;
        wanted.name = free_name("New setting", bench.settings.iter().map(|setting| setting.name.as_str()));
        Some(wanted)
    }

    /// The rig and the wheel it names.
    fn place<'b>(&self, bench: &'b Bench) -> Option<(&'b Rig, &'b WheelSaved)> {
        let rig = bench.rig(self.rig)?;
        rig.wheel(self.wheel).map(|wheel| (rig, wheel))
    }

    /// Everything that can carry a tool in front of this wheel, with its name.
    pub(super) fn choices(&self, bench: &Bench) -> Vec<(Carried, String)> {
        let Some((rig, wheel)) = self.place(bench) else { return Vec::new() };
        let mut all = Vec::new();
        if wheel.arm.is_some() {
            for holder in &rig.holders {
                all.push((Carried::Holder(holder.id), format!("Holder: {}", holder.name)));
            }
            all.push((Carried::Handle, "Handle end in the cup".to_owned()));
        }
        if wheel.table.is_some() {
            all.push((Carried::Table, "On the table".to_owned()));
        }
        all
    }

    /// The choice that is usual for the tool: a gouge in a holder, flat steel on the table.
    fn usual(&self, bench: &Bench) -> Option<Carried> {
        let gouge = bench.tool(self.tool).is_some_and(|tool| matches!(tool.blank, BlankSaved::Bar(_)));
        let all = self.choices(bench);
        let usual = all.iter().find(|(carried, _)| gouge != matches!(carried, Carried::Table));
        usual.or(all.first()).map(|(carried, _)| *carried)
    }

    /// Keeps the choices together after one of them changed: a wheel of the rig, a support of the wheel.
    pub(super) fn settle(&mut self, bench: &Bench) {
        if let Some(rig) = bench.rig(self.rig)
            && rig.wheel(self.wheel).is_none()
            && let Some(first) = rig.wheels.first()
        {
            self.wheel = first.id;
        }
        if !self.choices(bench).iter().any(|(carried, _)| *carried == self.carried)
            && let Some(usual) = self.usual(bench)
        {
            self.carried = usual;
        }
    }

    /// The setting with ordinary values, moved to where it grinds the first bevel if the rig can be set to that.
    /// `None` if a part is missing.
    pub(super) fn start(&self, bench: &Bench) -> Option<SettingEntry> {
        let (rig, wheel) = self.place(bench)?;
        let tool = bench.tool(self.tool)?;
        let middle = |least: f64, most: f64| settable(f64::midpoint(least, most));
        let reach_mm = wheel.arm.as_ref().map_or(0.0, |arm| {
            // From the middle, but not so far out that a long arm begins beyond every holder.
            middle(arm.reach_least_mm, arm.reach_most_mm.min(arm.reach_least_mm + 300.0))
        });
        let support = match self.carried {
            Carried::Handle => SupportSaved::Handle { reach_mm },
            Carried::Holder(id) => {
                let holder = rig.holder(id)?;
                let free_blade = tool.blade_length_mm - holder.body_length_mm;
                let projection_mm = rig
                    .projection_stops_mm
                    .iter()
                    .copied()
                    .find(|stop| *stop <= free_blade)
                    .unwrap_or_else(|| settable(free_blade * 0.5).clamp(10.0, 60.0));
                let (least, most) = (holder.strut_angle_least_deg, holder.strut_angle_most_deg);
                let strut_angle_deg = holder
                    .rests_deg
                    .get(holder.rests_deg.len() / 2)
                    .copied()
                    .unwrap_or_else(|| 50.0_f64.max(least).min(most));
                SupportSaved::Holder { holder: id, reach_mm, projection_mm, strut_angle_deg }
            }
            Carried::Table => {
                let table = wheel.table.as_ref()?;
                SupportSaved::Table { tilt_deg: 0.0_f64.max(table.tilt_least_deg).min(table.tilt_most_deg) }
            }
        };
        let name = self.name.trim();
        let gouge = matches!(tool.blank, BlankSaved::Bar(_));
        let mut entry = SettingEntry {
            // It gets one of its own when it is put on the bench.
            id: Id::default(),
            name: if name.is_empty() { "New setting".to_owned() } else { name.to_owned() },
            tool: self.tool,
            rig: self.rig,
            wheel: self.wheel,
            support,
            presentation: PresentationSaved::default(),
            swing: gouge.then(SwingSaved::default),
            target: Some(TargetSaved { bevel_deg: FIRST_BEVEL_DEG, meant: BevelMeant::AtEdge, wing: None }),
            free: None,
            further_steps: Vec::new(),
            notes: String::new(),
            readings: Vec::new(),
            keep: SettingKeep::default(),
        };
        find_first(bench, &mut entry);
        Some(entry.set_true(bench))
    }
}

/// Moves the reach or the tilt to where the setting grinds its first bevel, to the tenth to which it can be set.
fn find_first(bench: &Bench, entry: &mut SettingEntry) {
    let free = entry.support.follows_wheel();
    let Ok(job) = bench.job_of(entry) else { return };
    let present = job.setting.value_of(free).unwrap_or(0.0);
    let Ok(answers) = job.setting.find(Target::AtEdge(Angle::from_degrees(FIRST_BEVEL_DEG)), free) else {
        return;
    };
    // Where nothing stands in the way, rather than merely within the travel; then the nearest.
    let whole = |value: f64| {
        let mut moved = entry.clone();
        moved.put(free, settable(value));
        bench.answer(&moved).is_ok()
    };
    let nearest = answers.settable().map(|answer| answer.value).min_by(|a, b| {
        let far = |value: &f64| (!whole(*value), (value - present).abs());
        let (a, b) = (far(a), far(b));
        a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    if let Some(value) = nearest {
        entry.put(free, settable(value));
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests may fail loudly")]
mod tests {
    use super::*;
    use bevelbench_notebook::saved::library::{demo_bench, library};

    #[test]
    fn new_settings_of_the_demo_grind_their_first_bevel() {
        let bench = demo_bench().unwrap();
        for tool in &bench.tools {
            let wanted = NewSetting::for_tool(&bench, tool.id).unwrap();
            let entry = wanted.start(&bench).unwrap();
            let (_, view) = bench.answer(&entry).unwrap_or_else(|why| panic!("{}: {why:?}", tool.name));
            assert!(
                (view.bevel().degrees() - FIRST_BEVEL_DEG).abs() < 0.12,
                "{}: {}",
                tool.name,
                view.bevel().degrees()
            );
        }
    }

    #[test]
    fn without_a_wheel_there_is_nothing_to_choose() {
        let mut bench = library().unwrap();
        bench.rigs.clear();
        assert_eq!(NewSetting::for_tool(&bench, bench.tools[0].id), None);
    }
}
