//! Pins: which things of a setting finding may move, and which stay as they are.
//!
//! What is kept is the list of what is free, so that a thing that a setting gets later is pinned to begin with. A setting
//! that says nothing moves what is usually moved.

use bevelbench_geometry::math::Quantity;

use crate::saved::setting::{SettingEntry, SupportSaved};

/// What is free when nobody has said: the reach, or the table's tilt; for a wing the strut angle as well, or the roll
/// centre where there is no strut.
#[must_use]
pub fn usually_free(support: &SupportSaved, wing: bool) -> Vec<Quantity> {
    let first = support.follows_wheel();
    let second = match support {
        SupportSaved::Holder { .. } => Quantity::StrutAngle,
        _ => Quantity::RollCentre,
    };
    std::iter::once(first).chain(wing.then_some(second)).collect()
}

impl SettingEntry {
    fn usual(&self) -> Vec<Quantity> {
        usually_free(&self.support, self.target.is_some_and(|target| target.wing.is_some()))
    }

    /// Whether finding may move something of this setting, if it has it at all.
    #[must_use]
    pub fn is_free(&self, what: Quantity) -> bool {
        match &self.free {
            Some(free) => free.contains(&what),
            None => self.usual().contains(&what),
        }
    }

    /// Lets finding move something, or pins it.
    pub fn set_free(&mut self, what: Quantity, free: bool) {
        let mut all: Vec<Quantity> = match self.free.take() {
            Some(known) => known,
            None => self.usual(),
        };
        all.retain(|known| *known != what);
        if free {
            all.push(what);
        }
        all.sort_unstable();
        self.free = Some(all);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]
mod tests {
    use super::*;
    use crate::saved::{
        file::{read_bench, write_bench},
        library::demo_bench,
        table,
    };

    #[test]
    fn reach_alone_is_free_until_somebody_says_otherwise_and_pins_are_kept() {
        let mut bench = demo_bench().unwrap();
        let entry = bench.settings.iter_mut().find(|e| e.name == "Long grind, 85 mm").unwrap();
        let free = |entry: &SettingEntry| -> Vec<Quantity> {
            table::found().filter(|what| entry.is_free(*what)).collect()
        };
        let [reach, projection, strut] = [Quantity::Reach, Quantity::Projection, Quantity::StrutAngle];
        assert_eq!(free(entry), [reach]);
        entry.set_free(projection, true);
        entry.set_free(strut, true);
        entry.set_free(projection, true);
        assert_eq!(free(entry), [reach, projection, strut]);
        entry.set_free(reach, false);
        assert_eq!(free(entry), [projection, strut]);
        let kept = entry.free.clone();
        let again = read_bench(&write_bench(&bench).unwrap()).unwrap();
        assert_eq!(again.setting_named("Long grind, 85 mm").unwrap().free, kept);
        // Everything pinned is something said too.
        let entry = bench.settings.iter_mut().find(|e| e.name == "Long grind, 85 mm").unwrap();
        entry.set_free(projection, false);
        entry.set_free(strut, false);
        assert_eq!((free(entry), entry.free.as_deref()), (vec![], Some([].as_slice())));
    }
}
