//! Every root of a function of one number that is smooth but for jumps and gaps, found by walking over it.
//!
//! Between two samples the function may change sign (bracketed and narrowed), dip through nothing and come back
//! (every least value is narrowed until its sign changes), or end (the end is narrowed and taken as a sample). Where it
//! changes much more than on the step before it may jump: the jump is narrowed, and its two sides are ends. A change of
//! sign whose narrowed place is not near nothing is a jump all the same, and no root.

/// A place and the function's value there.
type Sample = (f64, f64);

/// A narrowed change of sign that is still this far from nothing is a jump.
const JUMP: f64 = 1e-8;

/// Steps between a jump and the sample beside it.
const FINE: u32 = 8;

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
    let mut stretch = Stretch::default();
    let mut previous = least;
    for i in 0..=steps {
        let x = at(i);
        let value = f(x).filter(|value| value.is_finite());
        // A stretch begins or ends between two samples: its end counts as a sample.
        let end = match (stretch.last, value) {
            (Some((inside, _)), None) => stretch_end(f, inside, x),
            (None, Some(_)) if i > 0 => stretch_end(f, x, previous),
            _ => None,
        };
        for sample in [end, value.map(|value| (x, value))].into_iter().flatten() {
            stretch.go_on(f, sample, take);
        }
        if value.is_none() {
            stretch = Stretch::default();
        }
        previous = x;
    }
}

/// A stretch on which the function is defined and does not jump, as far as it has been walked: its last two samples.
#[derive(Debug, Clone, Copy, Default)]
struct Stretch {
    before: Option<Sample>,
    last: Option<Sample>,
}

impl Stretch {
    /// Goes on to the next sample and hands over the roots on the way. A jump ends the stretch and begins another.
    fn go_on(&mut self, f: &impl Fn(f64) -> Option<f64>, to: Sample, take: &mut dyn FnMut(f64)) {
        let Some(from) = self.last else {
            if to.1 == 0.0 {
                take(to.0);
            }
            self.last = Some(to);
            return;
        };
        if let Some((a, b)) = self.sudden(from, to).then(|| jump(f, from, to)).flatten() {
            self.finely(f, from, a, take);
            *self = Self { before: None, last: Some(b) };
            self.finely(f, b, to, take);
            return;
        }
        self.on(f, from, to, take);
    }

    /// From a sample to a jump or from a jump to a sample, in smaller steps: a stretch may be as short as that.
    fn finely(
        &mut self,
        f: &impl Fn(f64) -> Option<f64>,
        from: Sample,
        to: Sample,
        take: &mut dyn FnMut(f64),
    ) {
        let mut last = from;
        for i in 1..=FINE {
            let x = from.0 + (to.0 - from.0) * f64::from(i) / f64::from(FINE);
            let next = if i == FINE { Some(to) } else { f(x).map(|value| (x, value)) };
            if let Some(next) = next.filter(|next| next.1.is_finite()) {
                self.on(f, last, next, take);
                last = next;
            }
        }
    }

    /// Whether the function changes so much more here than on the step before that it may jump.
    fn sudden(&self, from: Sample, to: Sample) -> bool {
        let usual = self.before.map_or(0.0, |before| (from.1 - before.1).abs());
        (to.1 - from.1).abs() > 4.0 * usual + 0.05
    }

    /// The roots between two samples without a jump that was noticed.
    fn on(&mut self, f: &impl Fn(f64) -> Option<f64>, from: Sample, to: Sample, take: &mut dyn FnMut(f64)) {
        between(f, self.before, from, to, take);
        (self.before, self.last) = (Some(from), Some(to));
    }
}

/// Both sides of a jump between two samples; `None` where the function goes from one to the other smoothly.
fn jump(f: &impl Fn(f64) -> Option<f64>, from: Sample, to: Sample) -> Option<(Sample, Sample)> {
    let (mut a, mut b) = (from, to);
    let whole = (to.1 - from.1).abs();
    for i in 0..60 {
        let x = f64::midpoint(a.0, b.0);
        if x <= a.0 || x >= b.0 {
            break;
        }
        let middle = (x, f(x).filter(|value| value.is_finite())?);
        // The half that changes more.
        if (middle.1 - a.1).abs() >= (b.1 - middle.1).abs() {
            b = middle;
        } else {
            a = middle;
        }
        // A smooth change is a few times less after three halvings.
        if i == 2 && (b.1 - a.1).abs() < 0.5 * whole {
            return None;
        }
        if b.0 - a.0 < 1e-12 * (1.0 + a.0.abs()) {
            break;
        }
    }
    ((b.1 - a.1).abs() > 0.05 * whole).then_some((a, b))
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
        if bottom.1 == 0.0 || (bottom.1 < 0.0) == (from.1 < 0.0) {
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
    // An end that is nothing to within rounding may be another root than the one in between: only what lies between counts
    // until the ends have met.
    let mut best = (f64::NAN, f64::INFINITY);
    for i in 0..80 {
        let width = b.0 - a.0;
        if width.abs() < 4.0 * f64::EPSILON * (1.0 + a.0.abs()) || best.1.abs() < 1e-13 {
            break;
        }
        let (fa, fb) = (a.1 * weight_a, b.1 * weight_b);
        let fraction = if i % 8 == 7 { 0.5 } else { fa / (fa - fb) };
        let x = a.0 + width * fraction.clamp(1e-9, 1.0 - 1e-9);
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
    if best.1.abs() >= 1e-13 {
        best = [a, b].into_iter().fold(best, |best, end| if end.1.abs() < best.1.abs() { end } else { best });
    }
    (best.1.abs() < JUMP).then_some(best.0)
}

#[cfg(test)]
mod tests;
