//! What is sold: thicknesses, sheet sizes, how true the thickness is; and whether a sheet is dried before forming.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::table::Table;
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// Thickness of a sheet that the library plans with. [m]
pub const THICKNESS: Range = Range::new(1e-4, 0.1, "m");

/// How the fixed part and the share of a tolerance go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Combine {
    /// The greater of both.
    Larger,
    /// Their sum.
    Sum,
}

/// How far a sheet's thickness may be from its nominal.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tolerance {
    /// How both parts go together.
    pub rule: Combine,
    /// Fixed part. [m]
    pub fixed_m: f64,
    /// Part that grows with the thickness. [1]
    pub share_fraction: f64,
    /// Below this thickness ... [m]
    pub thin_below_m: f64,
    /// ... this share holds instead. [1]
    pub thin_share_fraction: f64,
    /// Keys of the sources, separated by `, `.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
    /// Conditions; may be empty.
    pub note: String,
}

impl Tolerance {
    /// Half-width of the tolerance at a nominal thickness. [m]
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] outside 0.1 to 100 mm.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let stock = Catalogue::standard()?.get("pmma-cast")?.stock.as_ref();
    /// let tolerance = stock.and_then(|s| s.tolerance.as_ref());
    /// // ISO 7823-1: a 3 mm cast sheet may be 2.3 to 3.7 mm.
    /// assert!(tolerance.is_some_and(|t| (t.at(3e-3).unwrap() - 0.7e-3).abs() < 1e-12));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn at(&self, thickness_m: f64) -> Result<f64> {
        let t = check("thickness_m", thickness_m, THICKNESS, "measure the sheet")?;
        let thin = t < self.thin_below_m;
        let share = if thin {
            self.thin_share_fraction
        } else {
            self.share_fraction
        } * t;
        Ok(match self.rule {
            Combine::Larger => self.fixed_m.max(share),
            Combine::Sum => self.fixed_m + share,
        })
    }
}

/// What stockists carry.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stock {
    /// Nominal thicknesses, rising. [m]
    pub thicknesses_m: Vec<f64>,
    /// Sheet sizes, short side first. [m]
    pub sheets_m: Vec<(f64, f64)>,
    /// How true the thickness is, where it is known.
    pub tolerance: Option<Tolerance>,
    /// Keys of the sources, separated by `, `.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
}

impl Stock {
    /// Whether a thickness is stocked, to half a millimetre or a tenth of it, whichever is less: 1/8 in counts as 3 mm.
    pub fn has(&self, thickness_m: f64) -> bool {
        let near = (0.5e-3_f64).min(0.1 * thickness_m);
        self.thicknesses_m
            .iter()
            .any(|t| (t - thickness_m).abs() <= near)
    }
}

/// Whether a sheet must be dried before it is heated to form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// Not needed.
    No,
    /// Only a sheet that blisters.
    IfBlistered,
    /// Always.
    Yes,
}

/// How a sheet is dried before forming.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drying {
    /// Whether.
    pub needed: Need,
    /// Oven temperature. [K]
    pub temperature_k: Option<f64>,
    /// Thicknesses and times of the source. [m, s]
    pub times: Vec<(f64, f64)>,
    /// Keys of the sources, separated by `, `.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
    /// Conditions; may be empty.
    pub note: String,
}

impl Drying {
    /// Time in the oven for a thickness, where the source gives one. [s]
    ///
    /// Between the source's points straight on log-log paper; outside them by the square of the thickness, since water
    /// leaves by diffusion; one point alone is taken for every thickness.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] outside 0.1 to 100 mm.
    pub fn time_s(&self, thickness_m: f64) -> Result<Option<f64>> {
        let t = check("thickness_m", thickness_m, THICKNESS, "measure the sheet")?;
        let (Some(first), Some(last)) = (self.times.first(), self.times.last()) else {
            return Ok(None);
        };
        if self.times.len() == 1 {
            return Ok(Some(first.1));
        }
        let square = |from: &(f64, f64)| from.1 * (t / from.0).powi(2);
        Ok(Some(if t < first.0 {
            square(first)
        } else if t > last.0 {
            square(last)
        } else {
            let (at, time) = self.times.iter().map(|p| (p.0.ln(), p.1.ln())).unzip();
            Table::new(at, time)?.at(t.ln()).exp()
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    #[test]
    fn polycarbonate_dries_by_the_square_of_its_thickness() {
        let pc = Catalogue::standard().unwrap().get("pc").unwrap();
        let drying = pc.drying.as_ref().unwrap();
        assert_eq!(drying.needed, Need::Yes);
        let hours = |mm: f64| drying.time_s(mm * 1e-3).unwrap().unwrap() / 3600.0;
        // The maker's table: 7 h for 3 mm, 26 h for 6 mm.
        assert!((hours(3.0) - 7.0).abs() < 1e-9 && (hours(6.0) - 26.0).abs() < 1e-9);
        // 0.90 t^1.88 hours, fitted to the table from 3 mm up; whole hours round it by up to 4 %.
        for mm in [3.0, 3.5, 4.5, 5.5, 7.0, 8.0] {
            assert!(
                (hours(mm) / (0.90 * f64::powf(mm, 1.88)) - 1.0).abs() < 0.1,
                "{mm}"
            );
        }
        assert!((hours(16.0) / hours(8.0) - 4.0).abs() < 1e-9);
        assert!(drying.time_s(f64::NAN).is_err());
    }

    #[test]
    fn an_eighth_of_an_inch_counts_as_three_millimetres() {
        let stock = Catalogue::standard()
            .unwrap()
            .get("abs")
            .unwrap()
            .stock
            .clone()
            .unwrap();
        assert!(stock.has(3.175e-3) && !stock.has(3.5e-3));
        let thin = stock.tolerance.unwrap();
        // ±0.1 mm below 2 mm, ±5 % above.
        assert!((thin.at(1e-3).unwrap() - 0.1e-3).abs() < 1e-12);
        assert!((thin.at(4e-3).unwrap() - 0.2e-3).abs() < 1e-12);
    }
}
