//! The lines of a bill: amount times rate.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Range, Result, check};
use crate::task::{Kind, Task};

/// What a line is for.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// Sheet and what stays in the vehicle.
    Material,
    /// Adhesive, cutters, gloves, energy: what is used up.
    Consumable,
    /// Hands.
    Labour,
    /// Hours of a bench, an oven, a router.
    Machine,
    /// Work bought from others, delivery.
    Outside,
}

/// All groups, in the order of a bill.
pub(super) const GROUPS: [Group; 5] = [
    Group::Material,
    Group::Consumable,
    Group::Labour,
    Group::Machine,
    Group::Outside,
];

impl Group {
    /// The group of a name: `material`, `consumable`, `labour`, `machine`, `outside`.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn named(name: &str) -> Result<Self> {
        const NAMES: [&str; 5] = ["material", "consumable", "labour", "machine", "outside"];
        let at = NAMES.iter().position(|known| *known == name);
        at.map(|at| GROUPS[at])
            .ok_or_else(|| Error::unknown("group", name, NAMES))
    }
}

/// One line of a bill.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Line {
    /// What it is.
    pub name: String,
    /// What it is for.
    pub group: Group,
    /// How much.
    pub amount: f64,
    /// Unit of the amount: `h`, `m²`, `piece`.
    pub unit: String,
    /// Price of one unit.
    pub rate: f64,
    /// Amount times rate; below zero for a credit.
    pub cost: f64,
}

/// Largest amount and rate.
const MOST: f64 = 1e9;

impl Line {
    /// A line that costs `amount × rate`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an amount or a rate that is negative or not finite, with the name of the line.
    pub fn new(
        name: impl Into<String>,
        group: Group,
        amount: f64,
        unit: impl Into<String>,
        rate: f64,
    ) -> Result<Self> {
        let name = name.into();
        let range = Range::new(0.0, MOST, "");
        check(
            format!("\"{name}\".amount"),
            amount,
            range,
            "an amount is zero or more",
        )?;
        check(
            format!("\"{name}\".rate"),
            rate,
            range,
            "a rate is zero or more; a credit has its own line",
        )?;
        Ok(Self {
            name,
            group,
            amount,
            unit: unit.into(),
            rate,
            cost: amount * rate,
        })
    }

    /// A line that takes `amount × rate` off, for offcuts kept.
    ///
    /// # Errors
    /// As [`Line::new`].
    pub fn credit(
        name: impl Into<String>,
        group: Group,
        amount: f64,
        unit: impl Into<String>,
        rate: f64,
    ) -> Result<Self> {
        let line = Self::new(name, group, amount, unit, rate)?;
        Ok(Self {
            cost: -line.cost,
            ..line
        })
    }
}

/// Sheet that a job costs: what is bought, less the worth of what is kept, plus the worth of offcuts used.
///
/// `Σ price - v p A_kept + v p A_taken`, `p` the mean price of an area of what is bought, or `offcut_price_m2` where nothing is.
/// A kept offcut is a by-product: its net worth is deducted (IAS 2, paragraph 14).
///
/// # Errors
/// [`Error::OutOfRange`] for negative or non-finite values, a worth outside 0 to 1, or more area kept than bought and taken.
///
/// ```
/// // One sheet of 1.22 × 2.44 m at 42, 1.2 m² kept at half its price.
/// let net = mountwright::cost::net_material(&[(42.0, 1.22 * 2.44)], 1.2, 0.0, 0.5, 0.0)?;
/// assert!((net - 33.5345).abs() < 5e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn net_material(
    bought: &[(f64, f64)],
    kept_m2: f64,
    taken_m2: f64,
    worth: f64,
    offcut_price_m2: f64,
) -> Result<f64> {
    let range = Range::new(0.0, MOST, "");
    let (mut price, mut area_m2) = (0.0, 0.0);
    for &(sheet, sheet_m2) in bought {
        price += check("price of a sheet", sheet, range, "a price is zero or more")?;
        let positive = Range::new(1e-6, 1e3, "m²");
        area_m2 += check("area of a sheet", sheet_m2, positive, "width times height")?;
    }
    check("taken_m2", taken_m2, range, "an area is zero or more")?;
    let most = Range::new(0.0, (area_m2 + taken_m2) * (1.0 + 1e-9), "m²");
    check(
        "kept_m2",
        kept_m2,
        most,
        "no more is kept than was bought or taken",
    )?;
    check(
        "worth",
        worth,
        Range::new(0.0, 1.0, ""),
        "share of the price, 0.3 to 0.6 is usual",
    )?;
    check(
        "offcut_price_m2",
        offcut_price_m2,
        range,
        "a price is zero or more",
    )?;
    let per_m2 = if area_m2 > 0.0 {
        price / area_m2
    } else {
        offcut_price_m2
    };
    Ok(price + worth * per_m2 * (taken_m2 - kept_m2))
}

/// Cutter used up by a length of cut: `price / (life × (1 + regrinds)) × length × passes`.
///
/// # Errors
/// [`Error::OutOfRange`] for negative or non-finite values, or no life.
pub fn cutter_wear(price: f64, life_m: f64, regrinds: u32, cut_m: f64, passes: u32) -> Result<f64> {
    let range = Range::new(0.0, MOST, "");
    check("price", price, range, "a price is zero or more")?;
    check(
        "life_m",
        life_m,
        Range::new(1e-3, MOST, "m"),
        "length that it cuts before it is dull",
    )?;
    check("cut_m", cut_m, range, "a length is zero or more")?;
    Ok(price / (life_m * (1.0 + f64::from(regrinds))) * cut_m * f64::from(passes))
}

/// Labour lines, one for each kind of work that takes time, in the order of [`Kind`].
///
/// `attended_s` is the time of each task over the whole batch, as [`super::batch_s`] gives it.
///
/// # Errors
/// [`Error::Shape`] unless there is one time for each task; [`Error::OutOfRange`] for a negative time or rate.
pub fn labour_lines(tasks: &[Task], attended_s: &[f64], rate_per_h: f64) -> Result<Vec<Line>> {
    if tasks.len() != attended_s.len() {
        return Err(Error::Shape {
            what: "attended_s".into(),
            given: format!("{} values", attended_s.len()),
            allowed: format!("one for each of {} tasks", tasks.len()),
        });
    }
    let mut hours: std::collections::BTreeMap<Kind, f64> = std::collections::BTreeMap::new();
    for (task, &seconds) in tasks.iter().zip(attended_s) {
        let range = Range::new(0.0, MOST, "s");
        check(
            format!("\"{}\".attended_s", task.id),
            seconds,
            range,
            "a time is zero or more",
        )?;
        *hours.entry(task.kind).or_default() += seconds / 3600.0;
    }
    hours
        .into_iter()
        .filter(|(_, hours)| *hours > 0.0)
        .map(|(kind, hours)| Line::new(kind.name(), Group::Labour, hours, "h", rate_per_h))
        .collect()
}
