//! Student's distribution.

/// The two-sided 95 % point of Student's t; without a degree of freedom there is no bound.
///
/// # References
/// Fisher and Yates, Statistical Tables; from 11 on the first terms of the expansion about the normal distribution
/// (Abramowitz and Stegun, 26.7.5), right to 0.001.
pub(crate) fn t_95(freedom: usize) -> f64 {
    const TABLE: [f64; 10] = [
        12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
    ];
    /// That of the normal distribution.
    const Z: f64 = 1.959_963_984_540_054;
    let Some(tabled) = freedom.checked_sub(1) else {
        return f64::INFINITY;
    };
    if let Some(&t) = TABLE.get(tabled) {
        return t;
    }
    let n = freedom as f64;
    let first = (Z.powi(3) + Z) / 4.0;
    let second = (5.0 * Z.powi(5) + 16.0 * Z.powi(3) + 3.0 * Z) / 96.0;
    let third = (3.0 * Z.powi(7) + 19.0 * Z.powi(5) + 17.0 * Z.powi(3) - 15.0 * Z) / 384.0;
    Z + first / n + second / n.powi(2) + third / n.powi(3)
}

#[cfg(test)]
mod tests {
    use super::t_95;

    /// Fisher and Yates, Statistical Tables: 3.182 for 3, 2.201 for 11, 2.086 for 20, 2.000 for 60.
    #[test]
    fn it_falls_towards_the_normal_distribution() {
        assert_eq!(t_95(0), f64::INFINITY);
        for (freedom, t) in [(3, 3.182), (11, 2.201), (20, 2.086), (60, 2.000)] {
            assert!((t_95(freedom) - t).abs() < 0.001, "{}", t_95(freedom));
        }
    }
}
