//! When what is free stops short: what else would do, with it left at its limit.

use crate::{
    math::quantity::Quantity,
    solve::{
        freedom::{DegreeOfFreedom, Short},
        question::Question,
        solution::{Solution, Solutions},
    },
};

/// Another thing that, moved, meets every target with what was short left at its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Remedy {
    /// What stays at its limit.
    pub short: Short,
    /// What moves instead.
    pub what: Quantity,
    /// To where, in millimetres or degrees.
    pub value: f64,
    /// The setting.
    pub solution: Solution,
}

impl Question {
    /// For what stops `found` short, the cheapest move of each of `others` that meets every target all the same;
    /// cheapest first. None where something was found.
    #[must_use]
    pub fn remedies(
        &self,
        freedoms: &[DegreeOfFreedom<'_>],
        found: &Solutions,
        others: &[DegreeOfFreedom<'_>],
    ) -> Vec<Remedy> {
        let mut remedies: Vec<Remedy> = Vec::new();
        if !found.answers.is_empty() || !found.family.is_empty() {
            return remedies;
        }
        for &short in &found.short {
            let Some(pinned) = self.with(short.what, short.limit) else { continue };
            let rest: Vec<DegreeOfFreedom<'_>> =
                freedoms.iter().filter(|one| one.what != short.what).copied().collect();
            for &other in others.iter().filter(|other| freedoms.iter().all(|one| one.what != other.what)) {
                let mut free = rest.clone();
                free.push(other);
                let Ok(solutions) = pinned.solve(&free) else { continue };
                let Some(&solution) = solutions.answers.first() else { continue };
                let Some(value) = solution.value_of(other.what) else { continue };
                match remedies.iter_mut().find(|remedy| remedy.what == other.what) {
                    Some(known) if known.solution.cost <= solution.cost => {}
                    Some(known) => *known = Remedy { short, what: other.what, value, solution },
                    None => remedies.push(Remedy { short, what: other.what, value, solution }),
                }
            }
        }
        remedies.sort_by(|a, b| a.solution.cost.total_cmp(&b.solution.cost));
        remedies
    }
}
