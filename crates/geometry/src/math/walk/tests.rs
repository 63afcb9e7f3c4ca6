use super::*;

mod effort;

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
fn roots_beside_a_jump_are_found() {
    // Derived here. A jump down, a root just behind it, and another one, all within one step of a half.
    let beside = |x: f64| Some(if x < 4.1 { 20.0 } else { 0.3 * (x - 4.1001) * (4.4 - x) });
    assert!(near(&roots(beside), &[4.1001, 4.4]), "{:?}", roots(beside));
    // A dip through nothing on the step before a jump up.
    let ahead = |x: f64| Some(if x > 5.2 { 24.0 } else { -0.2 + 0.6 * (0.5 - (x - 4.72).abs()) });
    let turning = 0.5 - 0.2 / 0.6;
    assert!(near(&roots(ahead), &[4.72 - turning, 4.72 + turning]), "{:?}", roots(ahead));
}

#[test]
fn samples_on_a_root_count_once() {
    let on = roots(|x| Some(x - 5.0));
    assert!(near(&on, &[5.0]), "{on:?}");
    let first = roots(|x| Some(x * (x - 10.0)));
    assert!(near(&first, &[0.0, 10.0]), "{first:?}");
    assert!(roots(|_| Some(f64::NAN)).is_empty() && roots(|_| None).is_empty());
}

#[test]
fn a_jump_from_below_to_as_far_above_hides_no_roots() {
    // Derived here: -20 jumps to +20, which falls and dips through nothing before the next sample.
    let f = |x: f64| {
        Some(if x < 4.1 {
            -20.0
        } else if x < 4.2 {
            200.0 * (4.2 - x)
        } else {
            5.0 * (x - 4.2) * (x - 4.3)
        })
    };
    let found = roots(f);
    assert!(near(&found, &[4.2, 4.3]), "{found:?}");
    // The same seen from the other side, and upside down.
    let mirrored: Vec<f64> = roots(|x| f(10.0 - x)).iter().map(|x| 10.0 - x).rev().collect();
    assert!(near(&mirrored, &[4.2, 4.3]), "{mirrored:?}");
    assert!(near(&roots(|x| f(x).map(|y| -y)), &[4.2, 4.3]));
}

#[test]
fn waves_are_crossed_wherever_they_cross() {
    // Derived here: a sin(b (x - c)) + d is nothing where the arc sine says, however long its waves and wherever
    // they begin, as long as a wave has its four steps.
    let mut seen = 0;
    for step in 0..400_u32 {
        let fraction = |k: u32| f64::from((step * k) % 97) / 97.0;
        let (a, b) = (0.3 + 40.0 * fraction(31), 0.3 + 2.0 * fraction(17));
        let (c, d) = (3.0 * fraction(53), a * (1.9 * fraction(71) - 0.95));
        let mut expected = Vec::new();
        for turn in -6_i32..12 {
            let whole = f64::from(turn) * std::f64::consts::TAU;
            let first = (-d / a).asin();
            for at in [first, std::f64::consts::PI - first] {
                expected.push(c + (at + whole) / b);
            }
        }
        expected.retain(|x| (0.0..=10.0).contains(x));
        expected.sort_by(f64::total_cmp);
        let found = roots(|x| Some(a * (b * (x - c)).sin() + d));
        assert!(near(&found, &expected), "{a} {b} {c} {d}: {found:?} {expected:?}");
        seen += found.len();
    }
    assert!(seen > 1000, "{seen}");
}

#[test]
fn roots_of_steep_and_of_flat_crossings_are_narrowed_to_rounding() {
    // Derived here: functions that false position alone takes long over.
    for root in [0.37, 3.219, 6.66, 9.93] {
        let steep = roots(|x| Some((60.0 * (x - root)).tanh() + 1e-3 * (x - root)));
        assert!(steep.len() == 1 && (steep[0] - root).abs() < 1e-12, "{steep:?}");
        let bent = roots(|x| Some(((x - root) * 2.0).exp() - 1.0));
        assert!(bent.len() == 1 && (bent[0] - root).abs() < 1e-12, "{bent:?}");
        let lazy = roots(|x| Some((x - root).powi(5) + 1e-3 * (x - root)));
        assert!(lazy.len() == 1 && (lazy[0] - root).abs() < 1e-9, "{lazy:?}");
    }
}

#[test]
fn steps_and_gaps_anywhere_hide_no_root() {
    // Derived here: straight pieces with jumps between them, some of them missing; each root is where its piece says.
    let mut random = 0x9E37_79B9_7F4A_7C15_u64;
    let mut next = || {
        random ^= random << 13;
        random ^= random >> 7;
        random ^= random << 17;
        (random >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut seen = 0;
    for _ in 0..500 {
        let ends = [2.0 + 2.0 * next(), 5.0 + 3.0 * next()];
        let pieces: Vec<(f64, f64)> =
            (0..3).map(|_| (10.0 * next(), (0.1 + next()) * (next() - 0.5).signum())).collect();
        let gap = (next() * 4.0) as usize;
        let piece_at = |x: f64| {
            if x < ends[0] {
                0
            } else if x < ends[1] {
                1
            } else {
                2
            }
        };
        let f = |x: f64| {
            let at = piece_at(x);
            (at != gap).then(|| pieces[at].1 * (x - pieces[at].0))
        };
        let mut expected: Vec<f64> =
            (0..3).filter(|at| *at != gap && piece_at(pieces[*at].0) == *at).map(|at| pieces[at].0).collect();
        expected.sort_by(f64::total_cmp);
        let found = roots(f);
        assert!(near(&found, &expected), "{ends:?} {pieces:?} {gap}: {found:?} {expected:?}");
        seen += found.len();
    }
    assert!(seen > 200, "{seen}");
}

#[test]
fn a_jump_between_two_samples_of_opposite_values_is_noticed() {
    // Derived here: the samples say -0.0588 and as much above nothing; between them it jumps up to 20, falls, and dips.
    let f = |x: f64| {
        Some(if x < 4.1 {
            -0.0588
        } else if x < 4.29 {
            20.0 * (4.29 - x) / 0.19
        } else {
            2.0 * (x - 4.29) * (x - 4.36)
        })
    };
    let found = roots(f);
    assert!(near(&found, &[4.29, 4.36]), "{found:?}");
}

#[test]
fn a_small_jump_beside_steep_ground_is_no_root_either() {
    // Derived here: the same slope before and after a jump through nothing, at places all over a step.
    for i in 0..40_u32 {
        let at = 5.01 + f64::from(i) * 0.0123;
        for height in [0.001, 0.02, 0.4, 7.0] {
            let found = roots(|x| Some(if x < at { -height - (at - x) } else { height + (x - at) }));
            assert!(found.is_empty(), "{at} {height}: {found:?}");
            let falling = roots(|x| Some(if x < at { height + (at - x) } else { -height - (x - at) }));
            assert!(falling.is_empty(), "{at} {height}: {falling:?}");
        }
    }
}

#[test]
fn minima_above_zero_are_no_roots() {
    // Derived here: parabolas that miss by a little, touch, or go through, wherever their bottom lies in a step.
    for i in 0..60_u32 {
        let (at, sign) = (3.0007 + f64::from(i) * 0.031, if i % 2 == 0 { 1.0 } else { -1.0 });
        let over = |lift: f64| roots(|x| Some(sign * ((x - at) * (x - at) + lift)));
        assert!(over(1e-6).is_empty() && over(1e-9).is_empty(), "{at}");
        for half in [0.003, 0.05, 0.2] {
            let found = over(-half * half);
            assert!(near(&found, &[at - half, at + half]), "{at} {half}: {found:?}");
        }
    }
}

#[test]
fn a_root_at_a_sample_does_not_hide_the_one_in_the_next_step() {
    // Roots at 4.5, which is a sample, and 4.6; then with the parabola turned over and the two changed about.
    for (middle, sign) in [(4.55, 1.0), (4.55, -1.0), (4.45, 1.0), (4.45, -1.0)] {
        let mut found = Vec::new();
        let f = |x: f64| Some(sign * ((x - middle).powi(2) - 0.0025));
        each_root(&f, 0.0, 10.0, 20, &mut |x| found.push(x));
        for wanted in [middle - 0.05, middle + 0.05] {
            assert!(found.iter().any(|x| (x - wanted).abs() < 1e-9), "{found:?} without {wanted}");
        }
    }
}

#[test]
fn a_minimum_of_exactly_zero_is_one_root() {
    // Derived here: the first golden section about the sample at five, from above and from below.
    let bottom = 5.0 + 0.382 * (5.5 - 5.0);
    for sign in [1.0, -1.0] {
        let found = roots(|x| Some(sign * (x - bottom) * (x - bottom)));
        assert_eq!(found, [bottom], "{sign}");
    }
}
