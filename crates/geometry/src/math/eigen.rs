//! Eigenvalues of small symmetric matrices.

/// Eigenvalues and eigenvectors (in columns) of a symmetric matrix, by Jacobi's rotations.
///
/// # Source
/// Golub and Van Loan, *Matrix Computations*, the cyclic Jacobi method.
pub(crate) fn eigen(mut a: Vec<Vec<f64>>) -> (Vec<f64>, Vec<Vec<f64>>) {
    let n = a.len();
    let mut v: Vec<Vec<f64>> =
        (0..n).map(|i| (0..n).map(|j| f64::from(u8::from(i == j))).collect()).collect();
    // A handful of sweeps settles a matrix of this size; more do nothing.
    for _ in 0..30 {
        for p in 0..n {
            for q in p + 1..n {
                if a[p][q].abs() <= f64::MIN_POSITIVE {
                    continue;
                }
                let theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                let t = theta.signum() / (theta.abs() + theta.hypot(1.0));
                let cos = t.hypot(1.0).recip();
                let sin = t * cos;
                let turn = |x: &mut f64, y: &mut f64| (*x, *y) = (cos * *x - sin * *y, sin * *x + cos * *y);
                for row in a.iter_mut().chain(&mut v) {
                    let (head, tail) = row.split_at_mut(q);
                    turn(&mut head[p], &mut tail[0]);
                }
                let (head, tail) = a.split_at_mut(q);
                head[p].iter_mut().zip(&mut tail[0]).for_each(|(x, y)| turn(x, y));
            }
        }
    }
    (a.iter().enumerate().map(|(i, row)| row[i]).collect(), v)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vectors_are_stretched_by_their_values() {
        // Checked against the definition: A v = λ v.
        let a = vec![vec![4.0, 1.0, -2.0], vec![1.0, 2.0, 0.5], vec![-2.0, 0.5, 3.0]];
        let (values, vectors) = eigen(a.clone());
        for (k, value) in values.iter().enumerate() {
            for row in 0..3 {
                let product: f64 = (0..3).map(|j| a[row][j] * vectors[j][k]).sum();
                assert!((product - value * vectors[row][k]).abs() < 1e-12);
            }
        }
        assert!((values.iter().sum::<f64>() - 9.0).abs() < 1e-12, "trace");
    }
}
