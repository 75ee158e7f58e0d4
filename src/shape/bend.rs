//! The length of a bend and what it does to the fibres: used by straps and folds alike.

/// Length of a bend along the neutral axis, `a (R + K t)`. [m]
///
/// `neutral_fraction` K is counted from the inside face: 0.5 is the middle. The European factor k of DIN 6935 is twice K.
pub fn inner_length_m(
    angle_rad: f64,
    inside_radius_m: f64,
    thickness_m: f64,
    neutral_fraction: f64,
) -> f64 {
    angle_rad * (inside_radius_m + neutral_fraction * thickness_m)
}

/// Strain of the outer fibre, `(1 − K) t / (R + K t)`.
pub fn outer_strain(inside_radius_m: f64, thickness_m: f64, neutral_fraction: f64) -> f64 {
    (1.0 - neutral_fraction) * thickness_m / (inside_radius_m + neutral_fraction * thickness_m)
}

/// Thinning of the outer fibre at constant volume and constant width, `1 − 1/(1 + strain)`.
pub fn outer_thinning(inside_radius_m: f64, thickness_m: f64, neutral_fraction: f64) -> f64 {
    let strain = outer_strain(inside_radius_m, thickness_m, neutral_fraction);
    strain / (1.0 + strain)
}
