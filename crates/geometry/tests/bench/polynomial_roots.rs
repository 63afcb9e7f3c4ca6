//! Roots of polynomials against roots that are known without solving: planted ones, closed forms, roots at zero that
//! no halving reaches.

use bevelbench_geometry::math::roots::{Coefficients, real_roots, roots_within};

/// `lead (x − r₁)(x − r₂)…`, multiplied out.
fn planted(lead: f64, roots: &[f64]) -> Coefficients {
    let mut c = [lead, 0.0, 0.0, 0.0, 0.0];
    for (n, root) in roots.iter().enumerate() {
        for i in (0..=n + 1).rev() {
            let below = if i > 0 { c[i - 1] } else { 0.0 };
            c[i] = below - root * c[i];
        }
    }
    c
}

/// Limits zero does not lie in the middle of, nor at any halving.
const UNEVEN: [(f64, f64); 4] = [(-47.3, 31.7), (-1.1, 97.0), (-8.0, 9.1), (-0.37, 5.9)];

/// Derived here: at zero nothing is left of a term but the last, so `|p(x)|` is within its rounding error of nothing
/// only where the turning point comes out as zero itself, which Newton's step reaches and halving never does.
#[test]
fn a_curve_that_touches_zero_at_zero_has_a_root_there() {
    for (least, most) in UNEVEN {
        for lead in [1.0, -3.0, 2.339_768_374_407_251, 0.7] {
            assert_eq!(roots_within(&planted(lead, &[0.0, 0.0]), least, most).as_slice(), [0.0]);
            for other in [1.0, 3.0, 4.0, 5.0] {
                let c = planted(lead, &[0.0, 0.0, other]);
                let found = roots_within(&c, least, most);
                let [at, beyond] = found.as_slice() else { panic!("{c:?} {least} {most} {found:?}") };
                assert!(*at == 0.0 && (beyond - other).abs() < 1e-14 * other, "{c:?} {found:?}");
            }
        }
    }
}

/// Derived here: three and four roots, one of them zero.
#[test]
fn a_crossing_at_zero_is_zero() {
    for (least, most) in UNEVEN {
        for roots in [[0.0, 2.0, 5.0, 5.5], [-0.25, 0.0, 1.0, 3.0]] {
            for count in 1..=4 {
                let found = roots_within(&planted(1.0, &roots[..count]), least, most);
                assert_eq!(found.as_slice().len(), count, "{found:?}");
                for (found, root) in found.iter().zip(roots) {
                    let enough = if root == 0.0 { 1e-300 } else { 1e-13 };
                    assert!((found - root).abs() <= enough, "{found} for {root}");
                }
            }
        }
    }
}

/// Derived here: `x² = k x + k` has its greater root at `(k + √(k² + 4k)) / 2`, more than the greatest coefficient.
#[test]
fn roots_beyond_every_coefficient_are_found() {
    for k in [0.5, 1.0, 2.0, 7.0, 100.0] {
        let root = f64::sqrt(k * k + 4.0 * k);
        let found = real_roots(&[-k, -k, 1.0, 0.0, 0.0]);
        let [less, more] = found.as_slice() else { panic!("{found:?}") };
        assert!((more - f64::midpoint(k, root)).abs() < 1e-14 * k.max(1.0), "{k} {more}");
        // The lesser one by their product, −k.
        assert!((less + 2.0 * k / (k + root)).abs() < 1e-14, "{k} {less}");
    }
}

/// A straight line crosses at the quotient of its numbers.
#[test]
fn a_line_crosses_where_division_says() {
    for (height, slope) in [(-20096.5, 0.674_435), (3.0, 7.0), (1e-7, -3e4), (-1246.3, -4.8e-5), (1e9, 1e-3)]
    {
        let root = -height / slope;
        let found = real_roots(&[height, slope, 0.0, 0.0, 0.0]);
        assert_eq!(found.as_slice().len(), 1);
        assert!(
            (found.as_slice()[0] - root).abs() <= 2.0 * f64::EPSILON * root.abs(),
            "{found:?} for {root}"
        );
        assert_eq!(found.greatest(), Some(found.as_slice()[0]));
    }
}

/// Derived here: at one `18 / 9` says that the root lies at minus one, as far on the other side of zero, and it does not:
/// `(x + 2)(x² − x + 6)`.
#[test]
fn a_step_across_zero_is_not_taken_for_convergence() {
    let found = roots_within(&[12.0, 4.0, 1.0, 1.0, 0.0], -3.0, 5.0);
    assert!(found.as_slice().len() == 1 && (found.as_slice()[0] + 2.0).abs() < 1e-14, "{found:?}");
}

/// Derived here: so close to a root of fourth order, or to four roots side by side, a polynomial is nothing to within
/// rounding wherever one looks, at both limits and where it turns between. What is reported are some of these places: in
/// order, within the limits, no more than the degree.
#[test]
fn the_zero_polynomial_reports_no_more_roots_than_its_order() {
    for root in [1000.0, -1000.0, 1500.0] {
        for apart in [0.0, 0.03, 0.1, 0.13] {
            let c = planted(1.0, &[-2.0, -1.0, 1.0, 2.0].map(|place| root + apart * place));
            for (before, behind) in [(0.3, 0.3), (0.3, 0.4), (0.5, 0.28), (0.25, 0.0)] {
                let (least, most) = (root - before, root + behind);
                let found = roots_within(&c, least, most);
                let found = found.as_slice();
                assert!(!found.is_empty() && found.len() <= 4, "{root} {apart} {found:?}");
                assert!(found.windows(2).all(|pair| pair[0] < pair[1]), "{root} {apart} {found:?}");
                assert!(found.iter().all(|x| (least..=most).contains(x)), "{root} {apart} {found:?}");
            }
        }
    }
}
