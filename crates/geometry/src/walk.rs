//! Every root of a function of one number that is smooth but for jumps and gaps, found by walking over it.
//!
//! Between two samples the function may change sign (bracketed and narrowed), dip through nothing and come back
//! (every least value is narrowed until its sign changes), or end (the end is narrowed and taken as a sample). A
//! change of sign whose narrowed place is not near nothing is a jump and no root.

/// A place and the function's value there.
type Sample = (f64, f64);

/// A narrowed change of sign that is still this far from nothing is a jump.
const JUMP: f64 = 1e-8;

/// Hands over every root of a function on an interval, rising; the function may be undefined in places and jump.
pub(crate) fn each_root(
    f: &impl Fn(f64) -> Option<f64>,
    least: f64,
    most: f64,
    steps: u32,
    take: &mut dyn FnMut(f64),
) {
    let at = |i: u32| least + (most - least) * f64::from(i) / f64::from(steps);
    // The last two samples of the present stretch.
    let (mut before, mut last): (Option<Sample>, Option<Sample>) = (None, None);
    let mut previous = least;
    for i in 0..=steps {
        let x = at(i);
        let value = f(x).filter(|value| value.is_finite());
        // A stretch begins or ends between two samples: its end counts as a sample.
        let end = match (last, value) {
            (Some((inside, _)), None) => stretch_end(f, inside, x),
            (None, Some(_)) if i > 0 => stretch_end(f, x, previous),
            _ => None,
        };
        for sample in [end, value.map(|value| (x, value))].into_iter().flatten() {
            if let Some(from) = last {
                between(f, before, from, sample, take);
            } else if sample.1 == 0.0 {
                take(sample.0);
            }
            (before, last) = (last, Some(sample));
        }
        if value.is_none() {
            (before, last) = (None, None);
        }
        previous = x;
    }
}

/// The last defined place towards an undefined one, with its value.
fn stretch_end(f: &impl Fn(f64) -> Option<f64>, mut inside: f64, mut outside: f64) -> Option<Sample> {
    let mut found = None;
    for _ in 0..40 {
        let middle = f64::midpoint(inside, outside);
        match f(middle).filter(|value| value.is_finite()) {
            Some(value) => {
                inside = middle;
                found = Some((middle, value));
            }
            None => outside = middle,
        }
    }
    found
}

/// Roots between two samples, and in a dip about the first of them.
fn between(
    f: &impl Fn(f64) -> Option<f64>,
    before: Option<Sample>,
    from: Sample,
    to: Sample,
    take: &mut dyn FnMut(f64),
) {
    if to.1 == 0.0 {
        take(to.0);
        return;
    }
    if from.1 == 0.0 {
        return;
    }
    if (from.1 < 0.0) != (to.1 < 0.0) {
        if let Some(root) = narrow(f, from, to) {
            take(root);
        }
        return;
    }
    // Three of one sign with the middle one nearest to nothing: is there a dip through it?
    if let Some(before) = before
        && (before.1 < 0.0) == (from.1 < 0.0)
        && from.1.abs() <= before.1.abs()
        && from.1.abs() <= to.1.abs()
        && let Some(bottom) = dip(f, before.0, from, to.0)
    {
        if (bottom.1 < 0.0) == (from.1 < 0.0) {
            // It touches, to within rounding.
            take(bottom.0);
            return;
        }
        let (low, high) = if bottom.0 < from.0 { (before, from) } else { (from, to) };
        for (a, b) in [(low, bottom), (bottom, high)] {
            if let Some(root) = narrow(f, a, b) {
                take(root);
            }
        }
    }
}

/// The bottom of a dip, as soon as its sign has changed, or where it touches nothing.
fn dip(f: &impl Fn(f64) -> Option<f64>, low: f64, middle: Sample, high: f64) -> Option<Sample> {
    let sign = middle.1.signum();
    let (mut low, mut high, mut best) = (low, high, middle);
    for _ in 0..50 {
        // The longer side is tried at its golden section.
        let left = best.0 - low > high - best.0;
        let x = if left { best.0 - 0.382 * (best.0 - low) } else { best.0 + 0.382 * (high - best.0) };
        let value = f(x).filter(|value| value.is_finite())?;
        if value * sign < 0.0 || value == 0.0 {
            return Some((x, value));
        }
        if value * sign < best.1 * sign {
            if left {
                high = best.0;
            } else {
                low = best.0;
            }
            best = (x, value);
        } else if left {
            low = x;
        } else {
            high = x;
        }
        if high - low < 1e-9 * (1.0 + best.0.abs()) {
            break;
        }
    }
    (best.1.abs() < 1e-10).then_some(best)
}

/// A bracketed root by false position, halving whenever that is slow; `None` for a jump.
fn narrow(f: &impl Fn(f64) -> Option<f64>, from: Sample, to: Sample) -> Option<f64> {
    let (mut a, mut b) = (from, to);
    // Weights of the ends that keep false position from standing still (Illinois): an end that has stayed twice
    // counts half.
    let (mut weight_a, mut weight_b) = (1.0, 1.0);
    let mut stayed = 0_i8;
    let mut best = if a.1.abs() < b.1.abs() { a } else { b };
    for i in 0..80 {
        let width = b.0 - a.0;
        if width.abs() < 4.0 * f64::EPSILON * (1.0 + a.0.abs()) || best.1.abs() < 1e-13 {
            break;
        }
        let (fa, fb) = (a.1 * weight_a, b.1 * weight_b);
        let share = if i % 8 == 7 { 0.5 } else { fa / (fa - fb) };
        let x = a.0 + width * share.clamp(1e-9, 1.0 - 1e-9);
        let value = f(x).filter(|value| value.is_finite())?;
        if value.abs() < best.1.abs() {
            best = (x, value);
        }
        if (value < 0.0) == (a.1 < 0.0) {
            a = (x, value);
            (weight_a, weight_b) = (1.0, if stayed == 1 { weight_b * 0.5 } else { 1.0 });
            stayed = 1;
        } else {
            b = (x, value);
            (weight_a, weight_b) = (if stayed == -1 { weight_a * 0.5 } else { 1.0 }, 1.0);
            stayed = -1;
        }
    }
    (best.1.abs() < JUMP).then_some(best.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn roots(f: impl Fn(f64) -> Option<f64>) -> Vec<f64> {
        let mut found = Vec::new();
        each_root(&f, 0.0, 10.0, 20, &mut |root| found.push(root));
        found
    }

    fn near(found: &[f64], expected: &[f64]) -> bool {
        found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-7)
    }

    #[test]
    fn close_pairs_between_samples_are_found() {
        // Derived here: two roots 0.02 apart between samples half apart, and a double root.
        let pair = roots(|x| Some((x - 3.22) * (x - 3.24)));
        assert!(near(&pair, &[3.22, 3.24]), "{pair:?}");
        let double = roots(|x| Some((x - 3.7) * (x - 3.7)));
        assert!(double.len() == 1 && (double[0] - 3.7).abs() < 1e-4, "{double:?}");
    }

    #[test]
    fn jumps_are_no_roots_and_ends_hide_none() {
        let jump = roots(|x| Some(if x < 4.1 { -1.0 } else { 1.0 }));
        assert!(jump.is_empty(), "{jump:?}");
        // Defined between 2.05 and 7.3 only, with roots close to both ends.
        let ends = roots(|x| (x > 2.05 && x < 7.3).then_some((x - 2.06) * (x - 7.29)));
        assert!(near(&ends, &[2.06, 7.29]), "{ends:?}");
    }

    #[test]
    fn samples_on_a_root_count_once() {
        let on = roots(|x| Some(x - 5.0));
        assert!(near(&on, &[5.0]), "{on:?}");
        let first = roots(|x| Some(x * (x - 10.0)));
        assert!(near(&first, &[0.0, 10.0]), "{first:?}");
        assert!(roots(|_| Some(f64::NAN)).is_empty() && roots(|_| None).is_empty());
    }
}
