//! The least-squares problem of a fit as `rmpfit` wants it, and what comes of its slopes.
//!
//! Each trial's residual stands over the uncertainty of its measured bevel and of its own readings together: effective
//! variance, the slopes taken where the fit last stood. A reading that was made once for several trials is one more
//! unknown in all of them, held by its own ±.

use rmpfit::{MPConfig, MPFitter, MPPar, MPResult, MPSide};

use crate::{
    math::{eigen::eigen, quantity::Quantity},
    side::uncertainty::Reading,
    solve::calibrate::{
        FARTHEST_MM, moved,
        trial::{Occasion, Trial, is_same, occasion},
    },
};

/// A residual where the rig as tried has no answer: far worse than any that has one.
pub(super) const NO_ANSWER: f64 = 1e4;
/// How many of its standard uncertainties a reading may be off.
const FARTHEST_OFF: f64 = 10.0;

/// A reading made once for several trials.
#[derive(Debug, Clone)]
struct Shared {
    input: Quantity,
    /// Standard uncertainty, in millimetres or radians.
    standard: f64,
    /// Which trials it was made for.
    holds: Vec<bool>,
}

pub(super) struct Problem<'a> {
    trials: &'a [Trial],
    hidden: &'a [Quantity],
    shared: Vec<Shared>,
    /// Readings of each trial's own.
    own: Vec<Vec<Reading>>,
    /// Standard uncertainty of each trial's residual, in radians.
    standards: Vec<f64>,
    limits: Vec<MPPar>,
    config: MPConfig,
}

impl<'a> Problem<'a> {
    pub(super) fn new(trials: &'a [Trial], hidden: &'a [Quantity]) -> Self {
        let counts = |reading: &&Reading| {
            reading.half_width.is_finite() && reading.half_width > 0.0 && !hidden.contains(&reading.input)
        };
        let mut shared: Vec<Shared> = Vec::new();
        let mut own = vec![Vec::new(); trials.len()];
        for (k, trial) in trials.iter().enumerate() {
            for reading in trial.readings.iter().filter(counts) {
                let Occasion::Once(value) = occasion(&trial.setting, reading.input) else {
                    own[k].push(*reading);
                    continue;
                };
                let same = |other: &Trial| matches!(occasion(&other.setting, reading.input), Occasion::Once(at) if is_same(at, value));
                if shared.iter().any(|known| known.input == reading.input && known.holds[k]) {
                    continue;
                }
                let holds: Vec<bool> = trials.iter().map(same).collect();
                shared.push(Shared { input: reading.input, standard: Trial::standard_of(reading), holds });
            }
        }
        let limit = |most: f64| MPPar {
            side: MPSide::User,
            limited_low: true,
            limited_up: true,
            limit_low: -most,
            limit_up: most,
            ..MPPar::new()
        };
        let mut limits: Vec<MPPar> = hidden.iter().map(|_| limit(FARTHEST_MM)).collect();
        limits.extend(shared.iter().map(|_| limit(FARTHEST_OFF)));
        let standards = trials.iter().map(Trial::standard).collect();
        let config = MPConfig { xtol: 1e-13, ftol: 1e-13, ..MPConfig::new() };
        Self { trials, hidden, shared, own, standards, limits, config }
    }

    /// A start: nothing moved.
    pub(super) fn start(&self) -> Vec<f64> {
        vec![0.0; self.hidden.len() + self.shared.len()]
    }

    /// Takes the uncertainty of each residual at a place; whether that changed any by more than a thousandth.
    pub(super) fn weigh(&mut self, by: &[f64]) -> bool {
        let mut changed = false;
        for (k, trial) in self.trials.iter().enumerate() {
            let square: f64 = self.own[k]
                .iter()
                .map(|reading| self.slope(trial, by, reading.input) * Trial::standard_of(reading))
                .map(|part| part * part)
                .sum();
            let standard = trial.standard().hypot(square.sqrt());
            changed |= (standard - self.standards[k]).abs() > 1e-3 * standard;
            self.standards[k] = standard;
        }
        changed
    }

    fn slope(&self, trial: &Trial, by: &[f64], input: Quantity) -> f64 {
        let view = moved(&trial.setting, self.hidden, by)
            .and_then(|setting| Some((setting, setting.evaluate_off_travel().ok()?)));
        view.map_or(0.0, |(setting, view)| trial.slope(&setting, &view, input))
    }

    /// What is still measured more than the rig at a place grinds, in radians.
    pub(super) fn left_over(&self, k: usize, by: &[f64]) -> f64 {
        -self.residual(k, by, &mut |_, _| {}) * self.standards[k]
    }

    /// Residual and its slopes of one trial, over its standard uncertainty.
    fn residual(&self, k: usize, by: &[f64], slopes: &mut dyn FnMut(usize, f64)) -> f64 {
        let (trial, standard) = (&self.trials[k], self.standards[k]);
        let Some(setting) = moved(&trial.setting, self.hidden, by) else { return NO_ANSWER };
        let Ok(view) = setting.evaluate_off_travel() else { return NO_ANSWER };
        let mut off = trial.predicted(&view) - trial.measured();
        for (i, hidden) in self.hidden.iter().enumerate() {
            slopes(i, trial.slope(&setting, &view, *hidden) / standard);
        }
        for (i, shared) in (self.hidden.len()..).zip(&self.shared) {
            if shared.holds[k] {
                let slope = trial.slope(&setting, &view, shared.input) * shared.standard;
                off += slope * by.get(i).copied().unwrap_or(0.0);
                slopes(i, slope / standard);
            }
        }
        off / standard
    }

    /// Slopes of every trial's residual at a place.
    fn rows(&self, by: &[f64]) -> Vec<Vec<f64>> {
        let width = self.hidden.len() + self.shared.len();
        let row = |k| {
            let mut row = vec![0.0; width];
            self.residual(k, by, &mut |i, slope| row[i] = slope);
            row
        };
        (0..self.trials.len()).map(row).collect()
    }

    /// How well the trials tell the dimensions at a place.
    pub(super) fn told(&self, by: &[f64]) -> Told {
        let rows = self.rows(by);
        let (n, m) = (self.hidden.len(), self.shared.len());
        let product = |i: usize, j: usize| -> f64 {
            rows.iter().map(|row| row[i] * row[j]).sum::<f64>() + f64::from(u8::from(i == j && i >= n))
        };
        // What the shared readings take from the dimensions: N_hs N_ss⁻¹, each shared reading held by its own ±.
        let (values, vectors) =
            eigen((0..m).map(|i| (0..m).map(|j| product(n + i, n + j)).collect()).collect());
        let taken: Vec<Vec<f64>> = (0..n)
            .map(|i| {
                let along: Vec<f64> = (0..m)
                    .map(|e| (0..m).map(|j| product(i, n + j) * vectors[j][e]).sum::<f64>() / values[e])
                    .collect();
                (0..m).map(|j| (0..m).map(|e| along[e] * vectors[j][e]).sum()).collect()
            })
            .collect();
        let (values, vectors) = eigen(
            (0..n)
                .map(|i| {
                    (0..n)
                        .map(|j| product(i, j) - (0..m).map(|s| taken[i][s] * product(n + s, j)).sum::<f64>())
                        .collect()
                })
                .collect(),
        );
        let inverse =
            |i: usize, j: usize| -> f64 { (0..n).map(|e| vectors[i][e] * vectors[j][e] / values[e]).sum() };
        // How a dimension answers to each residual, and to each shared reading's own ±.
        let answers =
            |i: usize, row: &dyn Fn(usize) -> f64| (0..n).map(|j| inverse(i, j) * row(j)).sum::<f64>();
        let variances = (0..n)
            .map(|i| {
                let by_trial: Vec<f64> = rows
                    .iter()
                    .map(|row| {
                        answers(i, &|j| row[j] - (0..m).map(|s| taken[j][s] * row[n + s]).sum::<f64>())
                    })
                    .collect();
                let by_shared: f64 = (0..m).map(|s| answers(i, &|j| -taken[j][s]).powi(2)).sum();
                inverse(i, i).max(self.left_as_it_was(by, &by_trial) + by_shared)
            })
            .collect();
        Told { values, vectors, variances }
    }

    /// Variance of a dimension that answers so to each residual, where what was set to the same value for several trials
    /// was set once and left: its error is one in all of them.
    fn left_as_it_was(&self, by: &[f64], answers: &[f64]) -> f64 {
        let mut variance = 0.0;
        for (k, trial) in self.trials.iter().enumerate() {
            variance += (answers[k] * trial.standard() / self.standards[k]).powi(2);
            for reading in &self.own[k] {
                let at = |k: usize| occasion(&self.trials[k].setting, reading.input);
                let same = |other: usize| match (at(k), at(other)) {
                    (Occasion::EachTrial(one), Occasion::EachTrial(another)) => is_same(one, another),
                    _ => false,
                };
                if (0..k).any(same) {
                    continue;
                }
                let together: f64 = (k..self.trials.len())
                    .filter(|other| same(*other))
                    .map(|other| {
                        answers[other] * self.slope(&self.trials[other], by, reading.input)
                            / self.standards[other]
                    })
                    .sum();
                variance += (together * Trial::standard_of(reading)).powi(2);
            }
        }
        variance
    }
}

/// How well trials tell dimensions: eigenvalues in 1/mm² and directions of what they tell, and the variances in mm².
pub(super) struct Told {
    pub(super) values: Vec<f64>,
    pub(super) vectors: Vec<Vec<f64>>,
    pub(super) variances: Vec<f64>,
}

impl MPFitter for Problem<'_> {
    fn eval(&mut self, params: &[f64], deviates: &mut [f64]) -> MPResult<()> {
        for (k, deviate) in deviates.iter_mut().enumerate() {
            *deviate = match k.checked_sub(self.trials.len()) {
                None => self.residual(k, params, &mut |_, _| {}),
                Some(shared) => params[self.hidden.len() + shared],
            };
        }
        Ok(())
    }

    fn number_of_points(&self) -> usize {
        self.trials.len() + self.shared.len()
    }

    fn config(&self) -> &MPConfig {
        &self.config
    }

    fn parameters(&self) -> &[MPPar] {
        &self.limits
    }

    fn jacobian(
        &mut self,
        params: &[f64],
        deviates: &mut [f64],
        derivs: &mut [Option<Vec<f64>>],
    ) -> MPResult<()> {
        self.eval(params, deviates)?;
        let n = self.hidden.len();
        let rows = self.rows(params);
        for (i, column) in derivs.iter_mut().enumerate() {
            let Some(column) = column else { continue };
            for (k, place) in column.iter_mut().enumerate() {
                *place = match k.checked_sub(self.trials.len()) {
                    None => rows[k][i],
                    Some(shared) => f64::from(u8::from(i == n + shared)),
                };
            }
        }
        Ok(())
    }
}
