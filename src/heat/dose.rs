//! How much of its stability the hottest point has used up, and how many more heats it stands.

use serde::Serialize;

use super::slab::track::Track;
use crate::error::{Range, Result, check};
use crate::physics::GAS_CONSTANT;
use crate::sourced::{Constant, Standing};

/// Time-temperature dose: `D = ∫ dt / t(T)`, `t(T) = reference_s · exp(E/R · (1/T − 1/reference_k))`.
///
/// `D = 1` is visible colour change; doses of several heats add.
///
/// ```
/// use mountwright::heat::Dose;
/// let pvc = Dose::PVC;
/// assert!((pvc.rate_1_s(453.15) * 1200.0 - 1.0).abs() < 1e-12); // 20 min at 180 °C
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Dose {
    /// Time to visible colour change at `reference_k`. [s]
    pub reference_s: f64,
    /// Reference temperature. [K]
    pub reference_k: f64,
    /// Activation energy. [J/mol]
    pub activation_j_mol: f64,
    /// Dose that a part may have in all, 0 to 1.
    pub limit: f64,
}

/// Activation energy of the loss of hydrogen chloride from PVC.
pub const PVC_ACTIVATION: Constant = Constant {
    name: "dose.pvc_activation",
    value: 130e3,
    low: 110e3,
    high: 155e3,
    unit: "J/mol",
    source: "117.5 kJ/mol (Dean, Dafei, Deren, Polym. Degrad. Stab. 22 (1988) 31-41); 151 in air (Woolley and Wadley, Fire Research Note 795, 1970)",
    standing: Standing::Published,
};
/// Stability time of stabilised PVC at 180 °C.
pub const PVC_REFERENCE: Constant = Constant {
    name: "dose.pvc_reference",
    value: 1200.0,
    low: 480.0,
    high: 3600.0,
    unit: "s",
    source: "stability times of stabilised compounds as measured after ISO 182",
    standing: Standing::Remembered,
};
/// Share of the dose to visible colour change that is allowed.
pub const DOSE_LIMIT: Constant = Constant {
    name: "dose.limit",
    value: 0.3,
    low: 0.15,
    high: 0.6,
    unit: "1",
    source: "judgement of this library: far enough below visible colour change for a spread of 2 in the reference time",
    standing: Standing::CommonPractice,
};

impl Dose {
    /// Stabilised PVC, foamed or solid.
    pub const PVC: Self = Self {
        reference_s: PVC_REFERENCE.value,
        reference_k: 453.15,
        activation_j_mol: PVC_ACTIVATION.value,
        limit: DOSE_LIMIT.value,
    };

    /// Dose taken each second at a temperature. [1/s]
    ///
    /// Above 230 °C the law was never measured; it is continued, so that a scorched face shows as one.
    pub fn rate_1_s(&self, temperature_k: f64) -> f64 {
        let exponent = self.activation_j_mol / GAS_CONSTANT.value
            * (1.0 / self.reference_k - 1.0 / temperature_k);
        exponent.min(200.0).exp() / self.reference_s
    }

    /// Checks every number.
    pub(crate) fn check(&self) -> Result<()> {
        check(
            "dose.reference_s",
            self.reference_s,
            Range::new(1e-3, 1e9, "s"),
            "20 min is usual at 180 °C for PVC",
        )?;
        check(
            "dose.reference_k",
            self.reference_k,
            Range::new(250.0, 700.0, "K"),
            "use kelvin",
        )?;
        check(
            "dose.activation_j_mol",
            self.activation_j_mol,
            Range::new(1e3, 1e6, "J/mol"),
            "110 to 155 kJ/mol for PVC",
        )?;
        check(
            "dose.limit",
            self.limit,
            Range::new(1e-6, 1e3, ""),
            "0.3 is usual",
        )?;
        Ok(())
    }

    /// Temperature below which a second costs less than a millionth of the limit. [K]
    fn harmless_k(&self) -> f64 {
        let rate = 1e-6 * self.limit * self.reference_s;
        let per_kelvin =
            1.0 / self.reference_k - GAS_CONSTANT.value / self.activation_j_mol * rate.ln();
        if per_kelvin > 0.0 {
            1.0 / per_kelvin
        } else {
            f64::INFINITY
        }
    }
}

/// Adds up the dose of the two faces along a record.
#[derive(Debug, Clone)]
pub(crate) struct Meter {
    law: Dose,
    harmless_k: f64,
    /// Dose of front and back after each record.
    pub(crate) taken: Vec<[f64; 2]>,
}

impl Meter {
    pub(crate) fn new(law: Dose) -> Self {
        Self {
            law,
            harmless_k: law.harmless_k(),
            taken: Vec::new(),
        }
    }

    /// Dose of the worse face after record `i`.
    pub(crate) fn worst(&self, i: usize) -> f64 {
        self.taken.get(i).map_or(0.0, |d| d[0].max(d[1]))
    }

    /// Takes in the records that were added since the last call; `faces` are the face nodes in a profile.
    pub(crate) fn follow(&mut self, track: &Track, faces: [usize; 2]) {
        if self.taken.is_empty() && track.len() > 0 {
            self.taken.push([0.0; 2]);
        }
        for i in self.taken.len()..track.len() {
            let h = track.t_s[i] - track.t_s[i - 1];
            let before = self.taken[i - 1];
            self.taken.push(std::array::from_fn(|side| {
                before[side] + self.step(track, faces[side], i, h)
            }));
        }
    }

    /// Simpson's rule over one step; doses double in some 8 K and steps are shorter than that.
    fn step(&self, track: &Track, node: usize, i: usize, h: f64) -> f64 {
        let (a, b) = (track.profile(i - 1)[node], track.profile(i)[node]);
        let middle = track.node_at(i - 1, 0.5, node);
        if h <= 0.0 || a.max(b).max(middle) < self.harmless_k {
            return 0.0;
        }
        let rate = |t| self.law.rate_1_s(t);
        h / 6.0 * (rate(a) + 4.0 * rate(middle) + rate(b))
    }

    /// Time at which the worse face would reach `level`, if it went on as at the end of the record: as in its last round of
    /// `period_s`, or as at its last temperature where that is 0.
    pub(crate) fn time_at_rest(
        &self,
        track: &Track,
        faces: [usize; 2],
        level: f64,
        period_s: f64,
    ) -> Option<f64> {
        let last = self.taken.len().checked_sub(1)?;
        let end_s = track.t_s[last];
        let rate = if period_s > 0.0 {
            let before = track.t_s[..=last].partition_point(|&t| t < end_s - period_s);
            (self.worst(last) - self.worst(before)) / (end_s - track.t_s[before])
        } else {
            let profile = track.profile(last);
            self.law.rate_1_s(profile[faces[0]].max(profile[faces[1]]))
        };
        let time_s = end_s + (level - self.worst(last)).max(0.0) / rate;
        time_s.is_finite().then_some(time_s)
    }

    /// Time at which the worse face reaches `level`.
    pub(crate) fn time_of(&self, track: &Track, level: f64) -> Option<f64> {
        let i = (1..self.taken.len()).find(|&i| self.worst(i) >= level)?;
        let (low, high) = (self.worst(i - 1), self.worst(i));
        let share = if high > low {
            (level - low) / (high - low)
        } else {
            1.0
        };
        // Within a step the dose grows with the face's temperature; the chord is good to a fraction of the step.
        Some(track.t_s[i - 1] + share.clamp(0.0, 1.0) * (track.t_s[i] - track.t_s[i - 1]))
    }
}
