//! What a screw holds against a pull, out of the plastic or through it, hot.

use std::f64::consts::PI;

use serde::Serialize;

use super::super::beam::positive;
use super::super::check::{Check, MarginKind, Rule, Sense, mm_up};
use super::super::sheet::Material;
use super::screws::{Screw, core_m};
use crate::error::{Range, Result, check};
use crate::shape::ring::Insert;
use crate::sourced::{Constant, Standing};

/// Pull-out of a screw from plastic, upper bound: `pi d_p L s_y/sqrt(3)`, `d_p` the mean of thread and core. [N]
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a diameter outside 1 to 12 mm, an engagement outside 0 to 100 mm or a yield outside 0 to 1 GPa.
///
/// ```
/// let n = mountwright::mount::fixing::pull_out_n(0.004, 0.006, 40e6)?;
/// assert!((n - 1343.0).abs() < 0.5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn pull_out_n(diameter_m: f64, engagement_m: f64, yield_pa: f64) -> Result<f64> {
    let d = check(
        "diameter_m",
        diameter_m,
        Range::new(1e-3, 0.012, "m"),
        "screws of this trade are 2 to 6 mm",
    )?;
    let l = check(
        "engagement_m",
        engagement_m,
        Range::new(0.0, 0.1, "m"),
        "give the threaded length in plastic",
    )?;
    let y = check(
        "yield_pa",
        yield_pa,
        Range::new(0.0, 1e9, "Pa"),
        "give pascal",
    )?;
    Ok(PI * f64::midpoint(d, core_m(d)) * l * y / 3f64.sqrt())
}

const PULL_OUT: Rule = Rule {
    name: "screw pull-out, hot",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear round the mean thread, pi d L yield/sqrt(3) at the hot yield, over 5 for what lasts and 2 for a shock (bounds of common practice)",
    standing: Standing::CommonPractice,
};

/// Load of one screw against its hot pull-out over the factor of the load.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a load, screw, length or count that cannot be.
pub fn pull_out(
    part: &str,
    material: &Material,
    temperature_k: f64,
    screw: Screw,
    engagement_m: f64,
    load: ScrewLoad,
) -> Result<Check> {
    screw.validate()?;
    let each = load.each_n()?;
    let hot_yield = material.yield_at_pa(temperature_k);
    let whole = pull_out_n(screw.diameter_m, engagement_m, hot_yield)?;
    let limit = whole / load.factor;
    let why = format!(
        "{}; {:.1} mm of thread at a hot yield of {:.0} MPa stands {whole:.0} N, over {} is {limit:.0} N",
        load.words(each),
        engagement_m * 1e3,
        hot_yield / 1e6,
        load.factor
    );
    Ok(PULL_OUT.judge(part, each, limit, why, || {
        "bolts with nuts and washers".into()
    }))
}

const PULL_THROUGH: Rule = Rule {
    name: "head pull-through, hot",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear round the head through the sheet, pi D t yield/sqrt(3) at the hot yield, over 5 for what lasts and 2 for a shock (derived as the pull-out; common practice)",
    standing: Standing::CommonPractice,
};

/// Load of one screw against what pulls its head through the sheet, hot, over the factor of the load.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a load, screw, thickness or count that cannot be.
pub fn pull_through(
    part: &str,
    material: &Material,
    temperature_k: f64,
    screw: Screw,
    thickness_m: f64,
    load: ScrewLoad,
) -> Result<Check> {
    screw.validate()?;
    let t = positive("thickness_m", thickness_m, 1e-4, 0.2, "m")?;
    let each = load.each_n()?;
    let shear = material.yield_at_pa(temperature_k) / 3f64.sqrt();
    let limit = PI * screw.head_m * t * shear / load.factor;
    let why = format!(
        "{}; a {:.1} mm head shears {:.1} mm of hot sheet at {:.0} N, over {} is {limit:.0} N",
        load.words(each),
        screw.head_m * 1e3,
        t * 1e3,
        limit * load.factor,
        load.factor
    );
    Ok(PULL_THROUGH.judge(part, each, limit, why, || {
        let washer = screw.head_m * each / (limit * (1.0 - PULL_THROUGH.reserve));
        format!(
            "washers of {:.0} mm, or a backing plate",
            mm_up(washer, 1.0)
        )
    }))
}

const INSERT_OUT: Rule = Rule {
    name: "insert pull-out, hot",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear round the insert's outside, pi D L yield/sqrt(3) at the hot yield, over 5 for what lasts and 2 for a shock (derived as the pull-out of a screw; common practice)",
    standing: Standing::CommonPractice,
};

/// Load of one threaded insert against what pulls it out of the sheet, hot, over the factor of the load.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a load, insert or count that cannot be.
pub fn insert_out(
    part: &str,
    material: &Material,
    temperature_k: f64,
    insert: Insert,
    load: ScrewLoad,
) -> Result<Check> {
    let size = |what: &str, m: f64| {
        let range = Range::new(1e-3, 0.1, "m");
        check(format!("insert.{what}"), m, range, "measure the insert")
    };
    let (d, l) = (
        size("outside_m", insert.outside_m)?,
        size("length_m", insert.length_m)?,
    );
    let each = load.each_n()?;
    let hot_yield = material.yield_at_pa(temperature_k);
    let whole = PI * d * l * hot_yield / 3f64.sqrt();
    let limit = whole / load.factor;
    let why = format!(
        "{}; an insert of {:.1} mm, {:.1} mm long, at a hot yield of {:.0} MPa stands {whole:.0} N, over {} is {limit:.0} N",
        load.words(each),
        d * 1e3,
        l * 1e3,
        hot_yield / 1e6,
        load.factor
    );
    Ok(INSERT_OUT.judge(part, each, limit, why, || {
        let longer = l * each / (limit * (1.0 - INSERT_OUT.reserve));
        format!(
            "inserts of {:.1} mm length, or bolts with nuts and washers",
            mm_up(longer, 0.5)
        )
    }))
}

/// A load over a number of screws, with its factor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ScrewLoad {
    /// What loads them: `the road`, `door slam`.
    pub name: &'static str,
    /// Pull on all of them. [N]
    pub total_n: f64,
    /// How many share it.
    pub screws: u32,
    /// What the upper bound of their strength is divided by.
    pub factor: f64,
}

/// Factor for vibration, weight and heat: the high bound of common practice, 2 to 5.
pub const LASTING_FACTOR: Constant = Constant {
    name: "mount.screw_lasting_factor",
    value: 5.0,
    low: 2.0,
    high: 5.0,
    unit: "1",
    source: "screw pages of low authority divide by 2 to 5; 5 for vibration and heat, common practice",
    standing: Standing::CommonPractice,
};
/// Factor for a shock: the low bound, since the level is that of a test and the strength is taken hot.
pub const SHOCK_FACTOR: Constant = Constant {
    name: "mount.screw_shock_factor",
    value: 2.0,
    low: 2.0,
    high: 5.0,
    unit: "1",
    source: "screw pages of low authority divide by 2 to 5; 2 for a shock, common practice",
    standing: Standing::CommonPractice,
};

impl ScrewLoad {
    /// The harder of the road (three times rms, over 5) and a shock (over 2), both as forces on all screws.
    pub fn harder(road_n: f64, shock_n: f64, shock_name: &'static str, screws: u32) -> Self {
        let road = Self {
            name: "the road",
            total_n: road_n,
            screws,
            factor: LASTING_FACTOR.value,
        };
        let shock = Self {
            name: shock_name,
            total_n: shock_n,
            screws,
            factor: SHOCK_FACTOR.value,
        };
        if road.total_n * road.factor > shock.total_n * shock.factor {
            road
        } else {
            shock
        }
    }

    /// Load on one. [N]
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for no screws, more than 200, a load outside 0 to 1e6 N or a factor outside 1 to 100.
    pub fn each_n(self) -> Result<f64> {
        let n = check(
            "screws",
            f64::from(self.screws),
            Range::new(1.0, 200.0, ""),
            "give the number of screws that share the load",
        )?;
        let total = check(
            "total_n",
            self.total_n,
            Range::new(0.0, 1e6, "N"),
            "give newton",
        )?;
        check(
            "factor",
            self.factor,
            Range::new(1.0, 100.0, ""),
            "2 to 5 is usual",
        )?;
        Ok(total / n)
    }

    fn words(self, each_n: f64) -> String {
        format!(
            "{} pulls {:.0} N over {} screws, {each_n:.0} N each",
            self.name, self.total_n, self.screws
        )
    }
}
