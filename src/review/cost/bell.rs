//! Likelihoods as costs: a bell with a floor, and either of two.

/// `-ln` of a mixture of a bell of unit height and a floor, for a deviation in standard deviations.
pub(in crate::review) fn bell(z: f64, floor: f64) -> f64 {
    // Beyond, the exponential adds nothing, and is slow to say so.
    let z = z.abs().min(9.0);
    -((-0.5 * z * z).exp() + (-floor).exp()).ln()
}

/// `-ln` of the sum of the likelihoods behind two costs.
pub(super) fn either(a: f64, b: f64) -> f64 {
    let low = a.min(b);
    if low == f64::INFINITY {
        return low;
    }
    low - ((low - a).exp() + (low - b).exp()).ln()
}
