//! What is asked of a recipe.

use serde::Serialize;

use crate::error::{Range, Result, check};
use crate::heat::exposure::Exposure;
use crate::heat::sheet::{Limits, Sheet};
use crate::heat::slab::drive::Accuracy;
use crate::heat::slab::{CONTACT, TEMPERATURE, THICKNESS};
use crate::sourced::{Constant, Sourced, Standing};

/// What lies behind the heated face.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Back {
    /// Still air; the back loses heat.
    Open,
    /// A body that the sheet lies on.
    Board(Body),
    /// Still air, and the sheet is turned over again and again.
    Turned {
        /// Time between two turns. [s]
        every_s: f64,
    },
    /// The same heat on both faces: an oven, a bath, two panels.
    SameHeat,
}

/// A body that a sheet lies on or is pressed against.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Body {
    /// Thickness. [m]
    pub thickness_m: f64,
    /// Conductivity. [W/m/K]
    pub conductivity_w_m_k: f64,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Heat capacity. [J/kg/K]
    pub heat_capacity_j_kg_k: f64,
    /// Conductance of the contact with what lies before it. [W/m²/K]
    pub contact_w_m2_k: f64,
}

impl Body {
    /// A plywood board, 12 mm, the sheet lying on it (typical values, remembered; contact known to a factor of two).
    pub const BOARD: Self = Self {
        thickness_m: 12e-3,
        conductivity_w_m_k: 0.13,
        density_kg_m3: 550.0,
        heat_capacity_j_kg_k: 1600.0,
        contact_w_m2_k: 150.0,
    };
    /// Closed-cell polyethylene foam, 3 mm, pressed on softly (material data of this library; contact known to a factor of two).
    pub const FOAM: Self = Self {
        thickness_m: 3e-3,
        conductivity_w_m_k: 0.045,
        density_kg_m3: 33.0,
        heat_capacity_j_kg_k: 2300.0,
        contact_w_m2_k: 300.0,
    };
    /// A turned plug of wood or dense board as dummy of the part.
    pub const PLUG: Self = Self {
        thickness_m: 20e-3,
        conductivity_w_m_k: 0.15,
        density_kg_m3: 650.0,
        heat_capacity_j_kg_k: 1600.0,
        contact_w_m2_k: 300.0,
    };
    /// The steel or zinc body of a small driver.
    pub const DRIVER: Self = Self {
        thickness_m: 5e-3,
        conductivity_w_m_k: 50.0,
        density_kg_m3: 7500.0,
        heat_capacity_j_kg_k: 450.0,
        contact_w_m2_k: 300.0,
    };

    /// Its numbers as the report of sources tells them: typical of such bodies, the contact to a factor of two.
    pub fn told(&self) -> [(&'static str, Sourced); 5] {
        let typical = |value: f64, factor: f64, unit: &str| Sourced {
            value,
            low: value / factor,
            high: value * factor,
            unit: unit.into(),
            source:
                "typical of such bodies, from memory; contact at hand pressure to a factor of two"
                    .into(),
            standing: Standing::Remembered,
            note: String::new(),
        };
        [
            ("thickness", typical(self.thickness_m, 1.0, "m")),
            (
                "conductivity",
                typical(self.conductivity_w_m_k, 1.0, "W/m/K"),
            ),
            ("density", typical(self.density_kg_m3, 1.0, "kg/m3")),
            (
                "heat capacity",
                typical(self.heat_capacity_j_kg_k, 1.0, "J/kg/K"),
            ),
            ("contact", typical(self.contact_w_m2_k, 2.0, "W/m2/K")),
        ]
    }

    pub(crate) fn check(&self, place: &str) -> Result<()> {
        let at = |name: &str| format!("{place}.{name}");
        check(at("thickness_m"), self.thickness_m, THICKNESS, "measure it")?;
        check(
            at("contact_w_m2_k"),
            self.contact_w_m2_k,
            CONTACT,
            "150 to 500 at hand pressure",
        )?;
        // Conductivity, density and heat capacity are checked where the body is made ready.
        Ok(())
    }
}

/// What the shape needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// Bends under its own weight: a strap, a fold.
    Limp,
    /// Draws: a pressed pod.
    Formable,
}

/// How it is held until it sets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hold {
    /// In the hand or on a thin frame: both faces in still air.
    InHand,
    /// Pressed with its back on a form, its front in still air.
    OnForm {
        /// The form.
        form: Body,
        /// Time from the end of heat until it is pressed on. [s]
        transfer_s: f64,
    },
    /// Pressed with its back on foam that lies on a part.
    AgainstMetalBehindFoam {
        /// The foam.
        foam: Body,
        /// The metal behind it: the body of a driver.
        metal: Body,
        /// Time from the end of heat until it is pressed on. [s]
        transfer_s: f64,
    },
}

/// The question: how to heat one part.
#[derive(Debug, Clone, Serialize)]
pub struct Ask {
    /// The sheet.
    pub sheet: Sheet,
    /// Its forming temperatures.
    pub limits: Limits,
    /// What heats it.
    pub exposure: Exposure,
    /// Air and walls of the shop, and the sheet at the start. [K]
    pub air_k: f64,
    /// What lies behind it.
    pub back: Back,
    /// What the shape needs.
    pub need: Need,
    /// How it is held.
    pub hold: Hold,
    /// Width of the strap, the length of free convection at its faces. [m]
    pub width_m: f64,
    /// When heating stops; `None` takes the middle of the window, as far as `past_opening` goes. [s]
    pub stop_s: Option<f64>,
    /// Most that heat goes on past the opening, over the time to it, where the middle of the window would be later: a hand that
    /// waits for the limp sheet does not stay to the middle of a window that hardly ends, or has no end.
    pub past_opening: f64,
    /// Rests between bursts of heat; `None` heats without a rest.
    pub pulse: Option<Pulse>,
    /// How far air that goes round the edges warms the air behind the sheet: share of the gas's excess over the room.
    /// `None` takes [`wrap_of`] the width.
    pub wrap: Option<f64>,
    /// Whether the temperatures over time are wanted.
    pub history: bool,
    /// How finely it is worked out.
    pub grain: Grain,
}

/// Bursts of heat with rests between, or the strokes of a hand as a spot of the sheet sees them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pulse {
    /// Heat. [s]
    pub on_s: f64,
    /// Rest, both faces in still air. [s]
    pub off_s: f64,
    /// Film during the burst over the mean film of the exposure: 1 for plain pulses.
    pub strength: f64,
}

impl Pulse {
    /// Strokes of a hand that swings to and fro: in each stroke a spot lies in the jet for `share` of the time, and the
    /// mean film comes in that time only.
    ///
    /// ```
    /// let strokes = mountwright::heat::Pulse::strokes(2.0, 0.4);
    /// assert!((strokes.on_s - 0.8).abs() < 1e-12 && (strokes.strength - 2.5).abs() < 1e-12);
    /// ```
    pub fn strokes(stroke_s: f64, share: f64) -> Self {
        Self {
            on_s: stroke_s * share,
            off_s: stroke_s * (1.0 - share),
            strength: 1.0 / share,
        }
    }

    fn check(&self) -> Result<()> {
        let seconds = Range::new(0.05, 3600.0, "s");
        check(
            "pulse.on_s",
            self.on_s,
            seconds,
            "two seconds a stroke is usual",
        )?;
        check(
            "pulse.off_s",
            self.off_s,
            seconds,
            "leave the pulse out for heat without a rest",
        )?;
        check(
            "pulse.strength",
            self.strength,
            Range::new(0.01, 100.0, ""),
            "1 for plain pulses",
        )?;
        Ok(())
    }
}

/// Most that heat goes on past the opening, over the time to it, where nothing else is asked: a window that hardly ends would
/// otherwise be stopped hours later.
pub(crate) const PAST_OPENING: Constant =
    Constant::practice("end_of_heat.past_opening", [0.5, 1.0, 1.5], "1");

const WRAP_SOURCE: &str =
    "our own construction, good to a factor of two: hot air that goes round the edges of a strap";
/// Widest strap round whose edges hot air reaches the back.
pub(crate) const WRAP_WIDTH: Constant = Constant {
    name: "wrap.width",
    value: 0.15,
    low: 0.1,
    high: 0.25,
    unit: "m",
    source: WRAP_SOURCE,
    standing: Standing::Derived,
};
/// Share of the gas's excess that the air behind a very narrow strap takes on.
pub(crate) const WRAP_MOST: Constant = Constant {
    name: "wrap.most",
    value: 0.2,
    low: 0.0,
    high: 0.4,
    unit: "1",
    source: WRAP_SOURCE,
    standing: Standing::Derived,
};

/// How far air that goes round the edges of a strap warms the air behind it, as a share of the gas's excess over the room:
/// 0.2 for a very narrow strap, falling to 0 at 150 mm; our own construction, good to a factor of two.
///
/// ```
/// assert_eq!(mountwright::heat::wrap_of(0.3), 0.0);
/// assert!((mountwright::heat::wrap_of(0.05) - 0.133).abs() < 1e-3);
/// ```
pub fn wrap_of(width_m: f64) -> f64 {
    WRAP_MOST.value * (1.0 - width_m / WRAP_WIDTH.value).clamp(0.0, 1.0)
}

/// How finely a recipe is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Grain {
    /// Cells across the sheet, 4 to 500; double where it melts.
    pub cells: usize,
    /// Error allowed in one time step, 1e-6 to 1. [K]
    pub step_error_k: f64,
}

impl Default for Grain {
    /// Over 300 random recipes of seven sheets nine times in ten lie within 0.1 %, the working time within 0.25 %, of what 128 cells
    /// and a hundredth of the step error give. A limit that is only grazed is less certain, whatever the grain.
    fn default() -> Self {
        Self {
            cells: 24,
            step_error_k: 0.1,
        }
    }
}

impl Ask {
    /// The plain question: limp, held in the hand, a strap of 60 mm, the middle of the window.
    pub fn new(sheet: Sheet, limits: Limits, exposure: Exposure, air_k: f64, back: Back) -> Self {
        Self {
            sheet,
            limits,
            exposure,
            air_k,
            back,
            need: Need::Limp,
            hold: Hold::InHand,
            width_m: 0.06,
            stop_s: None,
            past_opening: PAST_OPENING.value,
            pulse: None,
            wrap: None,
            history: false,
            grain: Grain::default(),
        }
    }

    /// Temperature that the shape needs. [K]
    pub fn need_k(&self) -> f64 {
        match self.need {
            Need::Limp => self.limits.limp_k,
            Need::Formable => self.limits.formable_k,
        }
    }

    /// The solver's part of the grain.
    pub(crate) fn accuracy(&self) -> Accuracy {
        Accuracy {
            step_error_k: self.grain.step_error_k,
            most_steps: MOST_STEPS,
        }
    }

    pub(crate) fn check(&self) -> Result<()> {
        self.sheet.check()?;
        self.limits.check()?;
        let cells = Range::new(4.0, 500.0, "");
        check("grain.cells", self.grain.cells as f64, cells, "24 is usual")?;
        let error = Range::new(1e-6, 1.0, "K");
        check(
            "grain.step_error_k",
            self.grain.step_error_k,
            error,
            "0.1 K is usual",
        )?;
        check("air_k", self.air_k, TEMPERATURE, "use kelvin")?;
        check(
            "width_m",
            self.width_m,
            Range::new(1e-3, 5.0, "m"),
            "give the strap's width",
        )?;
        if let Some(stop) = self.stop_s {
            check(
                "stop_s",
                stop,
                Range::new(1e-3, LONGEST_S, "s"),
                "leave it out for the middle of the window, or as long again as it took to open",
            )?;
        }
        check(
            "past_opening",
            self.past_opening,
            Range::new(0.0, 10.0, ""),
            "1 heats at most as long again as the window took to open",
        )?;
        if let Some(pulse) = &self.pulse {
            pulse.check()?;
        }
        if let Some(wrap) = self.wrap {
            check(
                "wrap",
                wrap,
                Range::new(0.0, 1.0, ""),
                "leave it out for the width's own",
            )?;
        }
        let wait = |s: f64| {
            check(
                "hold.transfer_s",
                s,
                Range::new(0.0, 3600.0, "s"),
                "5 s is usual",
            )
        };
        match self.back {
            Back::Open | Back::SameHeat => {}
            Back::Board(body) => body.check("back")?,
            Back::Turned { every_s } => {
                check(
                    "back.every_s",
                    every_s,
                    Range::new(0.2, 3600.0, "s"),
                    "turn every 5 to 20 s",
                )?;
            }
        }
        match &self.hold {
            Hold::InHand => {}
            Hold::OnForm { form, transfer_s } => {
                form.check("hold.form")?;
                wait(*transfer_s)?;
            }
            Hold::AgainstMetalBehindFoam {
                foam,
                metal,
                transfer_s,
            } => {
                foam.check("hold.foam")?;
                metal.check("hold.metal")?;
                wait(*transfer_s)?;
            }
        }
        self.exposure.face(self.sheet.emissivity).check("exposure")
    }
}

/// Steps for four hours of strokes, each a switch: a few hundredths of a second.
const MOST_STEPS: usize = 200_000;
/// Longest heat that is followed. [s]
pub(crate) const LONGEST_S: f64 = 4.0 * 3600.0;
