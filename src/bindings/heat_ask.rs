//! The question for a recipe as Python asks it: texts in, [`Ask`] out.

use pyo3::prelude::*;

use super::heat_source::exact;
use super::material::catalogue;
use crate::error::{Error, Result};
use crate::heat::{Ask, Back, Body, Exposure, Hold, Limits, Need, Pulse, Sheet, Vary};
use crate::material::Material;
use crate::quantity::{Dimension, Measure, parse};
use crate::spread::Law;

/// The question made ready, the spreads that were written with ±, and the material.
pub(super) type Asked = (Ask, Vec<(Vary, Law)>, Material);

/// The question without its source of heat, as `mountwright.heat` fills it in.
#[derive(FromPyObject, Clone, PartialEq)]
#[pyo3(from_item_all)]
pub(super) struct Question {
    pub(super) material: String,
    pub(super) thickness: String,
    pub(super) back: String,
    pub(super) need: String,
    pub(super) air: String,
    pub(super) hold: String,
    pub(super) foam: String,
    pub(super) metal: String,
    pub(super) transfer: String,
    pub(super) width: Option<String>,
    pub(super) wrap: Option<String>,
    pub(super) stop: Option<String>,
    pub(super) pulse: Option<String>,
    pub(super) file: Option<String>,
}

impl Question {
    /// A coupon's question: heated and looked at, not held.
    pub(super) fn plain(
        material: &str,
        thickness: &str,
        back: &str,
        need: &str,
        air: &str,
        file: Option<String>,
    ) -> Self {
        Self {
            material: material.into(),
            thickness: thickness.into(),
            back: back.into(),
            need: need.into(),
            air: air.into(),
            hold: "in hand".into(),
            foam: "3 mm".into(),
            metal: "5 mm".into(),
            transfer: "5 s".into(),
            width: None,
            wrap: None,
            stop: None,
            pulse: None,
            file,
        }
    }

    /// The question, the spreads that were written with ±, and the material.
    pub(super) fn ask(&self, exposure: Exposure, patch_width_m: Option<f64>) -> Result<Asked> {
        let material = catalogue(self.file.as_deref())?
            .get(&self.material)?
            .clone();
        let properties = material.properties();
        let thickness = parse("thickness", &self.thickness, Dimension::Length)?;
        let air = parse("air", &self.air, Dimension::Temperature)?;
        let sheet = Sheet::of(&properties, thickness.value)?;
        let limits = Limits::of(&properties)?;
        let maybe = |what: &str, text: &Option<String>, dimension| {
            text.as_deref()
                .map(|text| exact(what, text, dimension))
                .transpose()
        };
        let plain = Ask::new(sheet, limits, exposure, air.value, back(&self.back)?);
        let ask = Ask {
            need: need(&self.need)?,
            hold: self.hold()?,
            width_m: maybe("width", &self.width, Dimension::Length)?
                .or(patch_width_m)
                .unwrap_or(plain.width_m),
            stop_s: maybe("stop", &self.stop, Dimension::Time)?,
            wrap: maybe("wrap", &self.wrap, Dimension::Fraction)?,
            pulse: self.pulse.as_deref().map(pulse).transpose()?,
            ..plain
        };
        let written = [(Vary::Thickness, thickness), (Vary::Air, air)]
            .into_iter()
            .filter(|(_, measure)| measure.plus_minus > 0.0)
            .map(|(vary, Measure { value, plus_minus })| {
                let law = Law::Triangular {
                    low: value - plus_minus,
                    likely: value,
                    high: value + plus_minus,
                };
                (vary, law)
            })
            .collect();
        Ok((ask, written, material))
    }

    fn hold(&self) -> Result<Hold> {
        let transfer_s = exact("transfer", &self.transfer, Dimension::Time)?;
        let as_thick = |what: &str, text: &str, body: Body| -> Result<Body> {
            Ok(Body {
                thickness_m: exact(what, text, Dimension::Length)?,
                ..body
            })
        };
        let foam = as_thick("foam", &self.foam, Body::FOAM)?;
        let metal = as_thick("metal", &self.metal, Body::DRIVER)?;
        Ok(match self.hold.as_str() {
            "in hand" => Hold::InHand,
            "on a form" => Hold::OnForm {
                form: Body::PLUG,
                transfer_s,
            },
            "on the part" => Hold::AgainstMetalBehindFoam {
                foam,
                metal,
                transfer_s,
            },
            other => {
                let known = ["in hand", "on a form", "on the part"];
                return Err(Error::unknown("hold", other, known));
            }
        })
    }
}

fn back(text: &str) -> Result<Back> {
    Ok(match text {
        "open" => Back::Open,
        "board" => Back::Board(Body::BOARD),
        "same heat" => Back::SameHeat,
        other => {
            let known = ["open", "board", "same heat", "turned every 8 s"];
            let time = other
                .strip_prefix("turned every ")
                .ok_or_else(|| Error::unknown("back", other, known))?;
            Back::Turned {
                every_s: exact("back: turned every", time, Dimension::Time)?,
            }
        }
    })
}

fn need(text: &str) -> Result<Need> {
    match text {
        "limp" => Ok(Need::Limp),
        "formable" => Ok(Need::Formable),
        other => Err(Error::unknown("need", other, ["limp", "formable"])),
    }
}

/// `"5 s on, 5 s off"`, or the strokes of a hand as a spot sees them: `"2 s strokes, 40 %"`.
fn pulse(text: &str) -> Result<Pulse> {
    let wrong = || Error::Unit {
        what: "pulse".into(),
        given: text.chars().take(60).collect(),
        expected: "\"5 s on, 5 s off\" or \"2 s strokes, 40 %\"".into(),
        remedy: "the share is that of a stroke in which a spot lies in the jet".into(),
    };
    let (one, two) = text.split_once(',').ok_or_else(wrong)?;
    let (one, two) = (one.trim(), two.trim());
    let time = |text: &str| exact("pulse", text.trim(), Dimension::Time);
    if let (Some(on), Some(off)) = (one.strip_suffix("on"), two.strip_suffix("off")) {
        return Ok(Pulse {
            on_s: time(on)?,
            off_s: time(off)?,
            strength: 1.0,
        });
    }
    let stroke = one.strip_suffix("strokes").ok_or_else(wrong)?;
    Ok(Pulse::strokes(
        time(stroke)?,
        exact("pulse", two, Dimension::Fraction)?,
    ))
}
