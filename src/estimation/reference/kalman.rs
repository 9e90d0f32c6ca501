//! The Kalman filter and the smoother against published values and plain least squares.

use nalgebra::{DMatrix, DVector, SMatrix};

use crate::estimation::adjoint::Adjoint;
use crate::estimation::kalman::{Belief, Transition, predict, update};
use crate::estimation::kinematic::{Process, singer};
use crate::estimation::matrix::{Square, symmetric};

/// The exact transition of a chain of integrators whose last is disturbed by white noise of unit spectral density: of two, constant
/// velocity under white acceleration; of three, constant acceleration under white jerk.
fn integrators<const N: usize>(dt_s: f64) -> Transition<N> {
    let mut chain = Process {
        a: [[0.0; N]; N],
        g: [0.0; N],
    };
    for k in 1..N {
        chain.a[k - 1][k] = 1.0;
    }
    chain.g[N - 1] = 1.0;
    chain.over(dt_s)
}

/// Filters and smooths a series; `steps[k]` leads from `k - 1` to `k`, the first is not used. `None` is not observed.
fn smoothed<const N: usize>(
    prior: Belief<N, 1>,
    steps: &[Transition<N>],
    density: f64,
    observed: &[Option<f64>],
    r: f64,
) -> (Vec<Belief<N, 1>>, Vec<Belief<N, 1>>) {
    let mut filtered: Vec<Belief<N, 1>> = Vec::new();
    let mut innovations = Vec::new();
    for (step, z) in steps.iter().zip(observed) {
        let ahead = filtered
            .last()
            .map_or(prior, |before| predict(before, step, density));
        let seen = z.map(|z| update(&ahead, &[z], r));
        filtered.push(seen.map_or(ahead, |(belief, _)| belief));
        innovations.push(seen.map(|(_, innovation)| innovation));
    }
    let mut later = Adjoint::last();
    let mut beliefs = filtered.clone();
    for k in (0..steps.len()).rev() {
        let here = later.smoothed(&filtered[k]);
        beliefs[k] = Belief {
            mean: std::array::from_fn(|i| here.mean(i)),
            covariance: std::array::from_fn(|i| std::array::from_fn(|j| here.covariance(i, j))),
        };
        if let Some(innovation) = &innovations[k] {
            later.before_observation(&filtered[k], innovation, r);
        }
        later.before_step(&steps[k]);
    }
    (filtered, beliefs)
}

/// As a matrix of the library that the plain solution is worked out by.
fn whole<const N: usize>(matrix: &Square<N>) -> SMatrix<f64, N, N> {
    SMatrix::from_fn(|i, j| matrix[i][j])
}

/// The steady gains of an alpha-beta filter: Kalata (1984), The tracking index: a generalized parameter for alpha-beta and
/// alpha-beta-gamma target trackers, IEEE Trans Aerosp Electron Syst 20:174 (from memory); values computed from his
/// formulae, lambda being the standard deviation of the acceleration times T squared over that of the observation.
#[test]
fn kalata_steady_state() {
    for (lambda, alpha, beta) in [
        (0.1, 0.36, 0.08),
        (1.0, 0.75, 0.5),
        (2.0, 0.854_102, 0.763_932),
    ] {
        for t in [0.1, 1.0] {
            let r = 0.25;
            let s: f64 = lambda * f64::sqrt(r) / (t * t);
            let step = Transition {
                f: [[1.0, t], [0.0, 1.0]],
                q: [[t.powi(4) / 4.0, t.powi(3) / 2.0], [t.powi(3) / 2.0, t * t]],
            };
            let mut belief = Belief {
                mean: [[0.0]; 2],
                covariance: [[100.0, 0.0], [0.0, 100.0]],
            };
            for _ in 0..500 {
                belief = update(&predict(&belief, &step, s * s), &[0.0], r).0;
            }
            // After an update the covariance's first column is the gain times r.
            let gains = [belief.covariance[0][0] / r, belief.covariance[0][1] / r * t];
            assert!(
                (gains[0] - alpha).abs() < 1e-6,
                "lambda {lambda}: alpha {}",
                gains[0]
            );
            assert!(
                (gains[1] - beta).abs() < 1e-6,
                "lambda {lambda}: beta {}",
                gains[1]
            );
        }
    }
}

/// Process noise of the textbook models: Bar-Shalom, Li, Kirubarajan (2001), section 6.2 (from memory; numbers computed).
#[test]
fn process_noise_of_the_textbook() {
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-5 * b.abs();
    let q = integrators::<2>(1.0).q;
    assert!(close(q[0][0], 0.333_333) && close(q[0][1], 0.5) && close(q[1][1], 1.0));
    let q = integrators::<3>(0.1).q;
    let published = [
        [5e-7, 1.25e-5, 1.666_67e-4],
        [1.25e-5, 3.333_33e-4, 5e-3],
        [1.666_67e-4, 5e-3, 0.1],
    ];
    let pairs = q.as_flattened().iter().zip(published.as_flattened());
    assert!(pairs.into_iter().all(|(&a, &b)| close(a, b)), "{q:?}");
}

/// Singer's model where its closed form is simple: state transition over T with fading time c is
/// [1, T, c^2 (e^-u - 1 + u); 0, 1, c (1 - e^-u); 0, 0, e^-u], u = T/c, and the acceleration gains a variance of
/// c (1 - e^-2u) / 2. Singer (1970), IEEE Trans Aerosp Electron Syst 6:473 (from memory).
#[test]
fn singers_transition() {
    for (c, t) in [(0.6, 0.1), (0.6, 1.0), (1.0, 3.7)] {
        let u: f64 = t / c;
        let fade = (-u).exp();
        let step = singer(c).over(t);
        let expected = [
            [1.0, t, c * c * (fade - 1.0 + u)],
            [0.0, 1.0, c * (1.0 - fade)],
            [0.0, 0.0, fade],
        ];
        let apart = whole(&step.f) - whole(&expected);
        assert!(apart.abs().max() < 1e-12, "{:?}", step.f);
        assert!((step.q[2][2] - c * (1.0 - fade * fade) / 2.0).abs() < 1e-12);
    }
}

/// A run by hand: white acceleration with q = 1, T = 1, r = 1, prior 0 with variances of 100, first observation taken in
/// without a prediction. Values computed with the textbook recursions in another language, double precision.
#[test]
fn the_five_point_run() {
    let prior = Belief {
        mean: [[0.0]; 2],
        covariance: [[100.0, 0.0], [0.0, 100.0]],
    };
    let steps = [integrators(1.0); 5];
    let observed = [0.1, 1.3, 1.8, 3.2, 3.9].map(Some);
    let (filtered, smooth) = smoothed(prior, &steps, 1.0, &observed, 1.0);

    let by_filter = [
        (0.099_010, 0.0),
        (1.288_263, 1.179_588),
        (1.901_515, 0.796_561),
        (3.087_343, 1.044_461),
        (3.956_034, 0.930_485),
    ];
    let by_smoother = [
        (0.159_528, 0.961_499),
        (1.115_648, 0.940_553),
        (2.050_984, 0.950_659),
        (3.016_211, 0.958_502),
        (3.956_034, 0.930_485),
    ];
    let close = |a: f64, b: f64| (a - b).abs() < 1e-6;
    for (beliefs, published) in [(&filtered, by_filter), (&smooth, by_smoother)] {
        for (belief, (x, v)) in beliefs.iter().zip(published) {
            assert!(
                close(belief.mean[0][0], x) && close(belief.mean[1][0], v),
                "{:?} is not {x}, {v}",
                belief.mean
            );
        }
    }
    let last = filtered[4].covariance;
    assert!(
        close(last[0][0], 0.758_269)
            && close(last[0][1], 0.491_692)
            && close(last[1][1], 1.040_023)
    );
    let middle = smooth[2].covariance;
    assert!(
        close(middle[0][0], 0.385_677)
            && close(middle[0][1], 0.000_168)
            && close(middle[1][1], 0.369_820)
    );
}

/// All states at once by plain weighted least squares: the prior, each step and each observation are rows of one system.
/// Returns the solution and its covariance.
fn least_squares<const N: usize>(
    prior: Belief<N, 1>,
    steps: &[Transition<N>],
    density: f64,
    observed: &[Option<f64>],
    r: f64,
) -> (DVector<f64>, DMatrix<f64>) {
    let size = N * steps.len();
    let mut information = DMatrix::zeros(size, size);
    let mut right = DVector::zeros(size);
    let inverse = |m: &SMatrix<f64, N, N>| {
        m.try_inverse()
            .expect("a covariance that is positive definite")
    };

    let filled = |m: &Square<N>| SMatrix::from_fn(|i, j| symmetric(m, i, j));
    let weight = inverse(&filled(&prior.covariance));
    add(&mut information, 0, 0, &weight);
    let mean = SMatrix::<f64, N, 1>::from_fn(|i, _| prior.mean[i][0]);
    right.rows_mut(0, N).copy_from(&(weight * mean));
    for (k, step) in steps.iter().enumerate().skip(1) {
        // The residual x(k) - F x(k-1), weighted by the inverse of Q.
        let (f, weight) = (whole(&step.f), inverse(&(whole(&step.q) * density)));
        let (before, here) = (N * (k - 1), N * k);
        add(&mut information, here, here, &weight);
        add(&mut information, here, before, &(-weight * f));
        add(&mut information, before, here, &(-f.transpose() * weight));
        add(
            &mut information,
            before,
            before,
            &(f.transpose() * weight * f),
        );
    }
    for (k, z) in observed.iter().enumerate() {
        if let Some(z) = z {
            information[(N * k, N * k)] += 1.0 / r;
            right[N * k] += z / r;
        }
    }
    let factors = information
        .cholesky()
        .expect("the prior makes every state known");
    (factors.solve(&right), factors.inverse())
}

fn add<const N: usize>(
    whole: &mut DMatrix<f64>,
    row: usize,
    column: usize,
    block: &SMatrix<f64, N, N>,
) {
    let mut place = whole.view_mut((row, column), (N, N));
    place += block;
}

fn smoother_is_least_squares<const N: usize>(
    prior: Belief<N, 1>,
    steps: &[Transition<N>],
    density: f64,
    r: f64,
) {
    // A smooth course with an error that repeats nowhere, and every seventh observation left out.
    let observed: Vec<Option<f64>> = (0..steps.len())
        .map(|k| {
            let t = k as f64;
            (k % 7 != 3).then(|| 4.0 * (0.21 * t).sin() + 0.3 * (2.39 * t * t).sin())
        })
        .collect();
    let (_, beliefs) = smoothed(prior, steps, density, &observed, r);
    let (solution, covariance) = least_squares(prior, steps, density, &observed, r);
    for (k, belief) in beliefs.iter().enumerate() {
        for i in 0..N {
            let (ours, theirs) = (belief.mean[i][0], solution[N * k + i]);
            assert!(
                (ours - theirs).abs() < 1e-9,
                "state {k}, component {i}: {ours} is not {theirs}"
            );
            for j in 0..N {
                let (ours, theirs) = (belief.covariance[i][j], covariance[(N * k + i, N * k + j)]);
                assert!(
                    (ours - theirs).abs() < 1e-9,
                    "covariance {k}, ({i}, {j}): {ours} is not {theirs}"
                );
            }
        }
    }
}

/// Uneven intervals between 0.4 and 1.6 s.
fn intervals_s(count: usize) -> impl Iterator<Item = f64> {
    (0..count).map(|k| 1.0 + 0.6 * (1.7 * k as f64).sin())
}

/// For a linear Gaussian model the fixed-interval smoother is the weighted least squares solution over the whole series
/// (Rauch, Tung, Striebel 1965, AIAA J 3:1445).
#[test]
fn the_smoother_is_weighted_least_squares_over_the_whole_series() {
    let prior = Belief {
        mean: [[1.0], [-0.5]],
        covariance: [[9.0, 0.5], [0.5, 4.0]],
    };
    let steps: Vec<_> = intervals_s(80).map(integrators).collect();
    smoother_is_least_squares(prior, &steps, 0.8, 0.5);

    let prior = Belief {
        mean: [[0.0], [1.0], [0.2]],
        covariance: [[4.0, 0.0, 0.0], [0.0, 4.0, 0.0], [0.0, 0.0, 2.0]],
    };
    let steps: Vec<_> = intervals_s(60).map(integrators).collect();
    smoother_is_least_squares(prior, &steps, 0.5, 0.3);

    let fading: Process<3> = singer(1.0);
    let steps: Vec<_> = intervals_s(60).map(|dt_s| fading.over(dt_s)).collect();
    smoother_is_least_squares(prior, &steps, 2.0, 0.3);
}
