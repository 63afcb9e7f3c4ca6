//! How often the function is asked: each of its values may be a whole surface ground anew, so the walk must not ask for
//! more of them than it needs. All counts are derived here.
#![allow(clippy::unwrap_used, reason = "a test may stop at a surprise")]

use std::cell::Cell;

use super::super::*;

const STEPS: u32 = 20;

/// The roots between 0 and 10, and the number of evaluations.
fn asked(f: impl Fn(f64) -> f64) -> (Vec<f64>, u32) {
    let (mut found, count) = (Vec::new(), Cell::new(0));
    let counting = |x: f64| {
        count.set(count.get() + 1);
        Some(f(x))
    };
    each_root(&counting, 0.0, 10.0, STEPS, &mut |root| found.push(root));
    (found, count.get())
}

#[test]
fn a_gentle_function_is_asked_at_its_samples_only() {
    // Less than a twentieth of a unit from sample to sample is never looked at for a jump.
    assert_eq!(asked(|x| 1.0 + 0.01 * x), (vec![], STEPS + 1));
    assert_eq!(asked(|x| -1.0 - 0.08 * x), (vec![], STEPS + 1));
}

#[test]
fn three_bisections_distinguish_a_slope_from_a_jump() {
    // The first step has none before it to be compared with; a straight one is an eighth after three halvings.
    for slope in [1.0, 100.0, -3.0] {
        let (found, count) = asked(|x| 7.0 * slope + slope * x);
        assert_eq!((found, count), (vec![], STEPS + 1 + 3), "{slope}");
    }
    // Through nothing on that step, from minus 25 at one sample to 25 at the next; one try finds the root of a
    // straight line.
    let (found, count) = asked(|x| 100.0 * (x - 0.25));
    assert_eq!((found, count), (vec![0.25], STEPS + 1 + 3 + 1));
    let (found, count) = asked(|x| 0.0625 * (x - 7.25));
    assert_eq!((found, count), (vec![7.25], STEPS + 1 + 1));
}

#[test]
fn a_jump_is_halved_down_to_its_width_and_its_sides_are_looked_at() {
    for at in [0.3, 4.1, 8.7] {
        for height in [0.1, 20.0, -50.0] {
            let (found, count) = asked(|x| 60.0 + 0.01 * x + if x > at { height } else { 0.0 });
            // Halves of a half down to 1e-12 of a unit and its place; then seven places on either side.
            let halvings = (0.5 / (1e-12 * (1.0 + at))).log2().ceil();
            assert_eq!((found, count), (vec![], STEPS + 1 + halvings as u32 + 14), "{at} {height}");
        }
    }
}

#[test]
fn a_dip_is_followed_to_its_bottom_and_no_further() {
    // Less than a twentieth of a unit from sample to sample again, and the golden section of a unit down to 1e-9.
    for at in [0.27, 0.31, 3.7, 9.3] {
        let (found, count) = asked(|x| 1e-6 + 0.002 * (x - at) * (x - at));
        let sections = (1.0 / (1e-9 * (1.0 + at))).ln() / 1.618_034_f64.ln();
        let more = f64::from(count) - f64::from(STEPS + 1) - sections;
        assert!(found.is_empty() && more.abs() < 2.0, "{at} {count} {sections}");
    }
}

/// Tries of narrowing a root that is known to be bracketed, and where it was found.
fn tries(f: &dyn Fn(f64) -> f64, low: f64, high: f64) -> (Option<f64>, u32) {
    let count = Cell::new(0);
    let counting = |x: f64| {
        count.set(count.get() + 1);
        Some(f(x))
    };
    (narrow(&counting, (low, f(low)), (high, f(high))), count.get())
}

#[test]
fn a_bent_crossing_takes_no_more_tries_than_its_order_asks_for() {
    // False position with halved weights gains by the order of the cube root of three a try: from a half to 1e-13 in
    // log(43) / log(1.44), ten. Halving alone would take 43.
    for i in 0..60_u32 {
        let root = 1.03 + 0.157 * f64::from(i);
        let low = 0.5 * (2.0 * root).floor();
        let bent: [&dyn Fn(f64) -> f64; 5] = [
            &|x| (x - root).exp() - 1.0,
            &|x| (3.0 * (root - x)).exp() - 1.0,
            &|x| (x - root).powi(5) + 0.1 * (x - root),
            &|x| x.powi(4) - root.powi(4),
            &|x| 1e6 * ((x - root).exp() - 1.0),
        ];
        for (k, f) in bent.into_iter().enumerate() {
            let (found, count) = tries(f, low, low + 0.5);
            assert!(count <= 10 && (found.unwrap() - root).abs() < 2e-12, "{k} {root} {found:?} {count}");
        }
    }
}

#[test]
fn a_crossing_that_is_all_but_a_corner_takes_few_tries_more_than_halving() {
    for i in 0..60_u32 {
        let root = 1.03 + 0.157 * f64::from(i);
        let low = 0.5 * (2.0 * root).floor();
        let corner = |x: f64| (200.0 * (x - root)).exp() - 1.0;
        let (found, count) = tries(&corner, low, low + 0.5);
        assert!(count <= 60 && (found.unwrap() - root).abs() < 1e-13, "{root} {found:?} {count}");
        // The width that ends it at a jump is 4 epsilon of a unit and its place.
        let jump = |x: f64| if x < root { -1.0 } else { 1.0 };
        let (found, count) = tries(&jump, low, low + 0.5);
        assert!(count <= 60 && found.is_none(), "{root} {found:?} {count}");
    }
    // Beside zero too, where numbers lie closer.
    for place in [0.0, 1e-12, -1e-9, 1e-6] {
        let jump = |x: f64| if x <= place { -1.0 } else { 1.0 };
        let (found, count) = tries(&jump, -0.2, 0.3);
        assert!(count <= 60 && found.is_none(), "{place} {found:?} {count}");
    }
}
