//! Real roots of polynomials up to the fourth degree, all of them, without allocation.
//!
//! The roots of the derivative cut an interval into stretches on which the polynomial is monotone. A
//! stretch whose ends differ in sign holds exactly one root, found by a bracketed Newton iteration; an end
//! at which the polynomial vanishes to within its own rounding error is a root of even order. The
//! derivative's roots are found the same way, down to a straight line, so nothing is missed and nothing is
//! guessed.

#![allow(clippy::neg_cmp_op_on_partial_ord, reason = "written so that a NaN takes the safe way")]

/// Highest degree.
pub const HIGHEST_DEGREE: usize = 4;

/// Coefficients in rising order: `c[0] + c[1] x + … + c[4] x⁴`. Leading zeros make a polynomial of lower
/// degree.
pub type Coefficients = [f64; HIGHEST_DEGREE + 1];

/// Real roots in rising order; roots of higher order are listed once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Roots {
    found: [f64; HIGHEST_DEGREE],
    count: usize,
}

impl Roots {
    /// The roots, rising.
    #[must_use]
    pub fn as_slice(&self) -> &[f64] {
        &self.found[..self.count]
    }

    /// The roots, rising.
    pub fn iter(&self) -> std::iter::Copied<std::slice::Iter<'_, f64>> {
        self.as_slice().iter().copied()
    }

    /// The greatest root.
    #[must_use]
    pub fn greatest(&self) -> Option<f64> {
        self.as_slice().last().copied()
    }

    fn push(&mut self, root: f64) {
        let repeats = self.count > 0 && root <= self.found[self.count - 1];
        if !repeats && self.count < HIGHEST_DEGREE {
            self.found[self.count] = root;
            self.count += 1;
        }
    }
}

impl<'a> IntoIterator for &'a Roots {
    type Item = f64;
    type IntoIter = std::iter::Copied<std::slice::Iter<'a, f64>>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

/// All real roots within `least ≤ x ≤ most`.
///
/// None when a coefficient or a limit is not finite, when the limits are out of order, and for the
/// polynomial that is zero everywhere (it has no isolated root).
///
/// # Accuracy
/// A simple root is a sign change of the polynomial as evaluated, bracketed to neighbouring numbers: its
/// error is that of Horner's scheme, about `8ε Σ|cᵢxⁱ| / |p'(x)|`. A root of even order is reported where
/// the derivative vanishes and `|p(x)| ≤ 8ε Σ|cᵢxⁱ|`; two roots closer than such a perturbation can
/// separate are reported as one or as two.
///
/// # Example
/// ```
/// use bevelbench_geometry::math::roots::roots_within;
/// // (x − 1)(x − 2)²
/// let roots = roots_within(&[-4.0, 8.0, -5.0, 1.0, 0.0], 0.0, 10.0);
/// assert_eq!(roots.as_slice().len(), 2);
/// assert!((roots.as_slice()[1] - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn roots_within(c: &Coefficients, least: f64, most: f64) -> Roots {
    let mut roots = Roots::default();
    if !(least <= most) || !least.is_finite() || !most.is_finite() || c.iter().any(|x| !x.is_finite()) {
        return roots;
    }
    let Some(degree) = c.iter().rposition(|&x| x != 0.0) else { return roots };
    // Derivatives from the polynomial itself down to a straight line.
    let mut ladder = [*c; HIGHEST_DEGREE];
    for rung in 1..degree.max(1) {
        ladder[rung] = derivative(&ladder[rung - 1]);
    }
    // A straight line has no turning point; climb from there.
    for rung in (0..degree).rev() {
        roots = between_turns(&ladder[rung], degree - rung, &roots, least, most);
    }
    roots
}

/// All real roots, wherever they lie: [`roots_within`] Cauchy's bound `1 + max|cᵢ/cₙ|`.
#[must_use]
pub fn real_roots(c: &Coefficients) -> Roots {
    let Some(degree) = c.iter().rposition(|&x| x != 0.0) else { return Roots::default() };
    let bound = 1.0 + c[..degree].iter().fold(0.0_f64, |most, x| most.max((x / c[degree]).abs()));
    roots_within(c, -bound, bound)
}

fn derivative(c: &Coefficients) -> Coefficients {
    [c[1], 2.0 * c[2], 3.0 * c[3], 4.0 * c[4], 0.0]
}

/// Value, slope and the bound of the value's rounding error.
fn value_slope_error(c: &Coefficients, degree: usize, x: f64) -> (f64, f64, f64) {
    let (mut value, mut slope, mut size) = (c[degree], 0.0, c[degree].abs());
    for i in (0..degree).rev() {
        slope = slope * x + value;
        value = value * x + c[i];
        size = size * x.abs() + c[i].abs();
    }
    (value, slope, 8.0 * f64::EPSILON * size)
}

/// Roots of `c` in `[least, most]`, given the places where it turns.
fn between_turns(c: &Coefficients, degree: usize, turns: &Roots, least: f64, most: f64) -> Roots {
    let mut roots = Roots::default();
    let mut left = least;
    let (mut at_left, _, error) = value_slope_error(c, degree, left);
    if at_left.abs() <= error {
        roots.push(left);
        at_left = 0.0;
    }
    for right in turns.iter().chain([most]) {
        if right <= left {
            continue;
        }
        let (mut at_right, _, error) = value_slope_error(c, degree, right);
        // Within its rounding error of nothing at a turn: a root of even (or higher) order sits there.
        if at_right.abs() <= error {
            at_right = 0.0;
        }
        if at_left * at_right < 0.0 {
            roots.push(bracketed(c, degree, left, right, at_left));
        } else if at_right == 0.0 {
            roots.push(right);
        }
        (left, at_left) = (right, at_right);
    }
    roots
}

/// The one root between two ends of opposite sign: Newton's step where it stays inside and at least halves,
/// bisection where not.
fn bracketed(c: &Coefficients, degree: usize, left: f64, right: f64, at_left: f64) -> f64 {
    let (mut below, mut above) = if at_left < 0.0 { (left, right) } else { (right, left) };
    let mut x = f64::midpoint(left, right);
    let mut last_step = right - left;
    for _ in 0..200 {
        let (value, slope, _) = value_slope_error(c, degree, x);
        if value == 0.0 {
            return x;
        }
        if value < 0.0 {
            below = x;
        } else {
            above = x;
        }
        let newton = x - value / slope;
        let inside = newton > below.min(above) && newton < below.max(above);
        let next = if inside && (newton - x).abs() <= 0.5 * last_step.abs() {
            newton
        } else {
            f64::midpoint(below, above)
        };
        last_step = next - x;
        if last_step.abs() <= f64::EPSILON * x.abs() {
            return next;
        }
        x = next;
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn planted(roots: &[f64], lead: f64) -> Coefficients {
        let mut c = [0.0; 5];
        c[0] = lead;
        for (n, root) in roots.iter().enumerate() {
            for i in (0..=n + 1).rev() {
                let below = if i > 0 { c[i - 1] } else { 0.0 };
                c[i] = below - root * c[i];
            }
        }
        c
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

        /// Derived here: the planted roots come back, and no others.
        #[test]
        fn planted_roots_are_all_found(
            mut roots in proptest::collection::vec(-50.0_f64..50.0, 1..=4),
            lead in prop_oneof![-3.0_f64..-0.1, 0.1_f64..3.0],
        ) {
            roots.sort_by(f64::total_cmp);
            prop_assume!(roots.windows(2).all(|pair| pair[1] - pair[0] > 0.05));
            let found = roots_within(&planted(&roots, lead), -50.0, 50.0);
            prop_assert_eq!(found.as_slice().len(), roots.len());
            for (found, planted) in found.into_iter().zip(&roots) {
                prop_assert!((found - planted).abs() < 1e-6, "{found} for {planted}");
            }
        }

        /// Derived here: a pair of complex roots adds no real one.
        #[test]
        fn complex_pairs_are_not_roots(
            (a, b) in (-20.0_f64..20.0, -20.0_f64..20.0),
            (re, im) in (-20.0_f64..20.0, 0.1_f64..20.0),
        ) {
            prop_assume!((a - b).abs() > 0.05);
            let real = planted(&[a, b], 1.0);
            let pair = [re * re + im * im, -2.0 * re, 1.0];
            let mut c = [0.0; 5];
            for i in 0..3 {
                for j in 0..3 {
                    c[i + j] += real[i] * pair[j];
                }
            }
            let found = real_roots(&c);
            prop_assert_eq!(found.as_slice().len(), 2, "{:?}", found);
            prop_assert!((found.as_slice()[0] - a.min(b)).abs() < 1e-7);
            prop_assert!((found.as_slice()[1] - a.max(b)).abs() < 1e-7);
        }

        /// Touching roots with coefficients that are exact in binary are found once.
        #[test]
        fn touching_roots_are_found(a in -20_i32..20, b in -20_i32..20) {
            prop_assume!(a != b);
            let (a, b) = (f64::from(a), f64::from(b));
            let found = real_roots(&planted(&[a, a, b, b], 1.0));
            prop_assert_eq!(found.as_slice().len(), 2, "{:?}", found);
            let triple = real_roots(&planted(&[a, a, a, b], 1.0));
            prop_assert_eq!(triple.as_slice().len(), 2, "{:?}", triple);
        }

        #[test]
        fn random_numbers_cause_no_panic(c in proptest::array::uniform5(proptest::num::f64::ANY), x in proptest::num::f64::ANY) {
            let _ = (real_roots(&c), roots_within(&c, -x, x));
        }
    }

    #[test]
    fn zero_and_constant_polynomials_have_no_roots() {
        assert!(real_roots(&[0.0; 5]).as_slice().is_empty());
        assert!(real_roots(&[1.0, 0.0, 0.0, 0.0, 0.0]).as_slice().is_empty());
    }

    #[test]
    fn lower_degrees_are_not_divided_by_their_missing_lead() {
        assert_eq!(real_roots(&[-6.0, 2.0, 0.0, 0.0, 0.0]).as_slice(), [3.0]);
        assert_eq!(real_roots(&[-4.0, 0.0, 1.0, 0.0, 0.0]).as_slice(), [-2.0, 2.0]);
    }

    #[test]
    fn a_root_at_the_limit_counts() {
        assert_eq!(roots_within(&[-4.0, 0.0, 1.0, 0.0, 0.0], 0.0, 2.0).as_slice(), [2.0]);
    }

    #[test]
    fn limits_out_of_order_hold_no_root() {
        let c = [-4.0, 0.0, 1.0, 0.0, 0.0];
        assert!(roots_within(&c, 2.0, -2.0).as_slice().is_empty());
        assert!(roots_within(&c, 2.0, 1.0).as_slice().is_empty());
        assert_eq!(roots_within(&c, 2.0, 2.0).as_slice(), [2.0]);
        for (least, most) in
            [(f64::NEG_INFINITY, 3.0), (-3.0, f64::INFINITY), (f64::NAN, 3.0), (-3.0, f64::NAN)]
        {
            assert!(roots_within(&c, least, most).as_slice().is_empty());
        }
    }
}
