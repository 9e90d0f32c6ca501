//! Small matrices whose size is known when the program is built, as rows.
//!
//! By hand: the smoother's matrices have 3 or 4 rows, are symmetric or triangular, and are gone through at every fix, which a library of
//! matrices of any shape knows nothing of.

/// As many rows as columns.
pub(crate) type Square<const N: usize> = [[f64; N]; N];

/// The matrix that changes nothing.
pub(crate) fn identity<const N: usize>() -> Square<N> {
    let mut identity = [[0.0; N]; N];
    for (i, row) in identity.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    identity
}

/// A B.
pub(crate) fn product<const N: usize>(a: &Square<N>, b: &Square<N>) -> Square<N> {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..N).map(|k| a[i][k] * b[k][j]).sum()))
}

/// A B'.
pub(crate) fn product_transposed<const N: usize>(a: &Square<N>, b: &Square<N>) -> Square<N> {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..N).map(|k| a[i][k] * b[j][k]).sum()))
}

/// A + s B.
pub(crate) fn plus<const N: usize>(a: &Square<N>, b: &Square<N>, s: f64) -> Square<N> {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + b[i][j] * s))
}

/// s A.
pub(crate) fn times<const N: usize>(a: &Square<N>, s: f64) -> Square<N> {
    a.map(|row| row.map(|x| x * s))
}

/// A x.
pub(crate) fn applied<const N: usize>(a: &Square<N>, x: &[f64; N]) -> [f64; N] {
    a.map(|row| row.iter().zip(x).map(|(a, x)| a * x).sum())
}

/// The inverse by Cramer's rule; `None` where there is none.
pub(crate) fn inverse(a: &Square<3>) -> Option<Square<3>> {
    // Minors go round: indices are taken modulo 3, which gives their signs as well.
    let cofactor = |i: usize, j: usize| {
        let (r, s, c, d) = ((i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3);
        a[r][c] * a[s][d] - a[r][d] * a[s][c]
    };
    let determinant: f64 = (0..3).map(|j| a[0][j] * cofactor(0, j)).sum();
    (determinant != 0.0)
        .then(|| std::array::from_fn(|i| std::array::from_fn(|j| cofactor(j, i) / determinant)))
}

/// The element of a symmetric matrix of which only the elements on and above the diagonal are kept.
#[inline]
pub(crate) fn symmetric<const N: usize>(a: &Square<N>, i: usize, j: usize) -> f64 {
    if i <= j { a[i][j] } else { a[j][i] }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_matrix_times_its_inverse_changes_nothing() {
        let a = [[4.0, -1.0, 0.5], [2.0, 3.0, -7.0], [0.25, 6.0, 1.0]];
        let inverse = inverse(&a).expect("it has one");
        let apart = plus(&product(&a, &inverse), &identity(), -1.0);
        assert!(apart.as_flattened().iter().all(|x| x.abs() < 1e-14));
        let [x, y, z] = applied(&a, &applied(&inverse, &[1.0, 2.0, 3.0]));
        assert!((x - 1.0).abs() + (y - 2.0).abs() + (z - 3.0).abs() < 1e-13);
        assert!(super::inverse(&[[1.0, 2.0, 3.0], [2.0, 4.0, 6.0], [0.0, 1.0, 5.0]]).is_none());
    }
}
