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

/// The element of a symmetric matrix of which only the elements on and above the diagonal are kept.
#[inline]
pub(crate) fn symmetric<const N: usize>(a: &Square<N>, i: usize, j: usize) -> f64 {
    if i <= j { a[i][j] } else { a[j][i] }
}
