//! From the catalogue's stages to the cure of one seam.

use serde::Serialize;

use super::catalogue::{Adhesive, Catalogue, Stage, StageLaw};
use super::clock::Clock;
use super::cure::Cure;
use super::shift::Shift;
use super::solvent::{self, Socket};
use crate::error::{Error, Note, Range, Result, check};
use crate::sourced::Constant;

/// What the time of a cure depends on besides the air.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seam {
    /// Thickness of the bond line; `None` for the adhesive's usual one. [m]
    pub gap_m: Option<f64>,
    /// Narrowest width of the overlap, which solvent must leave and moisture must enter through; 10 mm where nothing is said. [m]
    pub overlap_m: f64,
    /// The two faces, by their names in the catalogue; may be empty.
    pub substrates: Vec<String>,
}

impl Default for Seam {
    fn default() -> Self {
        Self {
            gap_m: None,
            overlap_m: 0.01,
            substrates: Vec::new(),
        }
    }
}

/// Overlap beyond which solvent leaves so slowly that times are doubled.
pub const WIDE_OVERLAP: Constant =
    Constant::practice("bond.wide_overlap", [0.010, 0.015, 0.025], "m");

impl Seam {
    /// The seam itself, where its numbers are possible.
    pub(crate) fn checked(&self) -> Result<&Self> {
        if let Some(gap_m) = self.gap_m {
            let range = Range::new(1e-6, 0.02, "m");
            check(
                "gap_m",
                gap_m,
                range,
                "measure the bond line; a close fit is about 0.00005 m",
            )?;
        }
        let range = Range::new(1e-4, 1.0, "m");
        check(
            "overlap_m",
            self.overlap_m,
            range,
            "measure the narrowest width of the overlap",
        )?;
        Ok(self)
    }
}

impl Adhesive {
    /// The clock of one stage in a seam.
    ///
    /// # Errors
    /// [`Error::Shape`] where the stage lacks what its law needs; [`Error::OutOfRange`] for an impossible number.
    pub(crate) fn clock(&self, stage: &Stage, seam: &Seam) -> Result<Clock> {
        let lacks = |key: &str| Error::Shape {
            what: format!("stage of law {:?}", stage.law),
            given: format!("no {key}"),
            allowed: format!("{key} must be given"),
        };
        let one = || stage.time_s.first().copied().ok_or_else(|| lacks("time_s"));
        let clock = match stage.law {
            StageLaw::Fixed => Clock::Fixed { time_s: one()? },
            StageLaw::Shifted => {
                if stage.temperature_k.len() != stage.time_s.len() {
                    return Err(lacks("time for each temperature"));
                }
                let rows: Vec<(f64, f64)> = stage
                    .temperature_k
                    .iter()
                    .copied()
                    .zip(stage.time_s.iter().copied())
                    .collect();
                Clock::Shifted(Shift::new(&rows, self.activation.value)?)
            }
            StageLaw::Surface => {
                let gap_m = seam.gap_m.unwrap_or(self.gap.value);
                let slow = self
                    .gap_s_m2
                    .as_ref()
                    .map_or(0.0, |c| c.value * gap_m * gap_m);
                let base_s = one()?;
                // The slower face decides; a face without a figure counts as the stage's own time.
                let fixture_s = seam
                    .substrates
                    .iter()
                    .filter_map(|face| self.fixture.get(face))
                    .map(|s| s.value)
                    .fold(0.0, f64::max);
                Clock::Humidity {
                    half_humid_s: base_s.max(fixture_s) + slow,
                }
            }
            StageLaw::Depth => Clock::Moisture {
                skin_s: stage.skin_s.ok_or_else(|| lacks("skin_s"))?,
                depth_m: (seam.overlap_m / 2.0).min(stage.limit_m.ok_or_else(|| lacks("limit_m"))?),
                depth_m_root_day: stage
                    .depth_m_root_day
                    .ok_or_else(|| lacks("depth_m_root_day"))?,
            },
            StageLaw::SolventCement => {
                let row = stage.row.ok_or_else(|| lacks("row"))?;
                let wide = seam.overlap_m > WIDE_OVERLAP.value;
                solvent::clock(Socket::Small, row, if wide { 2.0 } else { 1.0 })
            }
            StageLaw::Cooling => Clock::Cooling {
                time_constant_s: stage
                    .time_constant_s
                    .ok_or_else(|| lacks("time_constant_s"))?,
                applied_k: stage.applied_k.ok_or_else(|| lacks("applied_k"))?,
                set_k: stage.set_k.ok_or_else(|| lacks("set_k"))?,
            },
        };
        clock.checked()
    }

    /// The cure of a seam.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a gap of zero or over 20 mm, or an overlap outside 0.1 mm to 1 m.
    pub fn cure(&self, seam: &Seam) -> Result<Cure> {
        let seam = seam.checked()?;
        let mut cure = Cure::named(self.name.clone())
            .with_open(self.clock(&self.open, seam)?)?
            .with_handling(self.clock(&self.handling, seam)?)?
            .with_full(self.clock(&self.full, seam)?)?
            .with_minimum(self.minimum_temperature.value)?
            .with_time_law(self.time_factor.law());
        if let Some(stage) = &self.joinable {
            cure = cure.with_joinable(self.clock(stage, seam)?)?;
        }
        if self.handling.law == StageLaw::SolventCement {
            cure = cure.with_note(Note::new(
                self.name.clone(),
                "the schedule is published for pipe sockets; a laminated ring is not one: smallest pipe class, twice that for overlaps over 15 mm (assumption)",
            ));
        }
        if seam.gap_m.is_some_and(|g| g > self.gap.high) {
            cure = cure.with_note(Note::new(
                self.name.clone(),
                format!("it fills gaps to {:.2} mm", self.gap.high * 1e3),
            ));
        }
        Ok(cure)
    }
}

impl Adhesive {
    /// The drying before the parts are joined, as a cure of its own; `None` where nothing dries first.
    ///
    /// # Errors
    /// As for [`Adhesive::cure`].
    pub fn drying(&self) -> Result<Option<Cure>> {
        let Some(stage) = &self.joinable else {
            return Ok(None);
        };
        let clock = self.clock(stage, &Seam::default())?;
        let cure = Cure::named(format!("{}, drying", self.name))
            .with_handling(clock.clone())?
            .with_full(clock)?
            .with_minimum(self.minimum_temperature.value)?
            .with_time_law(self.time_factor.law());
        Ok(Some(cure))
    }
}

impl Adhesive {
    /// A filler or primer until it can be worked on, as a drying of its own.
    ///
    /// # Errors
    /// As for [`Adhesive::cure`].
    pub fn workable(&self, name: &str) -> Result<Cure> {
        let clock = self.clock(&self.handling, &Seam::default())?;
        Ok(Cure::named(name)
            .with_handling(clock.clone())?
            .with_full(clock)?
            .with_minimum(self.minimum_temperature.value)?
            .with_time_law(self.time_factor.law()))
    }
}

/// The cure of an adhesive of the standard catalogue in its usual bond line.
///
/// # Errors
/// [`Error::Unknown`] with the nearest names.
///
/// ```
/// use mountwright::{bond, climate::Climate};
/// let cure = bond::cure_of("epoxy-slow")?;
/// // 12 h to handling strength at 20 °C, as the data sheet prints.
/// let ready = cure.ready_at(0.0, &Climate::constant(293.15, 0.5)?)?;
/// assert!((ready.handling_s.unwrap_or(0.0) / 3600.0 - 12.0).abs() < 1e-9);
/// assert!(bond::cure_of("epoxy-30mn").is_err());
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn cure_of(adhesive: &str) -> Result<Cure> {
    Catalogue::standard()?
        .adhesive(adhesive)?
        .cure(&Seam::default())
}
