//! What heats a face, in Python: [`Heat`] from an oven, a panel, a bath, a bar, or as given; guns are in `heat_gun.rs`.

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use super::heat::{Face, words};
use super::record;
use crate::error::{Error, Result};
use crate::heat::Exposure;
use crate::heat::exposure::factor;
use crate::heat::tools::bar::Bar;
use crate::heat::tools::bath::Bath;
use crate::heat::tools::oven::Oven;
use crate::heat::tools::panel::Panel;
use crate::quantity::{Dimension, Measure, parse};
use crate::sourced::Standing;

/// A quantity in SI whose uncertainty has no place here.
pub(super) fn exact(what: &str, text: &str, dimension: Dimension) -> Result<f64> {
    let measure = parse(what, text, dimension)?;
    if measure.plus_minus > 0.0 {
        return Err(Error::Unit {
            what: what.into(),
            given: text.into(),
            expected: dimension.example().into(),
            remedy: "its uncertainty cannot be used here: leave it out".into(),
        });
    }
    Ok(measure.value)
}

/// Two sides: `"60 mm x 200 mm"`, `"60 x 200 mm"`. [m]
pub(super) fn sides(what: &str, text: &str) -> Result<(f64, f64)> {
    let wrong = || Error::Unit {
        what: what.into(),
        given: text.chars().take(60).collect(),
        expected: "two lengths such as \"60 mm x 200 mm\"".into(),
        remedy: "write the two sides with an x between".into(),
    };
    let (one, two) = text.split_once(['x', '×']).ok_or_else(wrong)?;
    let (one, two) = (one.trim(), two.trim());
    let long = exact(what, two, Dimension::Length)?;
    // "60 x 200 mm": the unit after the second side serves both.
    let unit = two.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"' && c != '″');
    let short = if one.ends_with(|c: char| c.is_ascii_digit()) {
        exact(what, &format!("{one} {unit}"), Dimension::Length)?
    } else {
        exact(what, one, Dimension::Length)?
    };
    Ok((short, long))
}

/// A number, or its low, likely and high value.
#[derive(FromPyObject)]
pub(super) enum Bounded {
    One(f64),
    Three(f64, f64, f64),
}

/// What a source of heat does to the face that it is turned to, with its range.
///
/// A gun gives one by :meth:`HotAirGun.at`; the others are made here.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> oven = mw.Heat.oven("135 °C")
/// >>> oven.film_low_w_m2_k, oven.film_w_m2_k, oven.film_high_w_m2_k
/// (15.0, 25.0, 40.0)
#[pyclass(frozen, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq)]
pub(super) struct Heat {
    pub(super) core: Exposure,
    /// Width of the patch that it is turned to, where it has one. [m]
    pub(super) width_m: Option<f64>,
    /// How it is made again: a kind and its texts.
    pub(super) again: Again,
}

/// How a heat is made again, for pickling.
#[derive(Clone, PartialEq)]
pub(super) enum Again {
    /// `gun.at(distance, patch)`.
    Gun(Box<super::heat_gun::HotAirGun>, String, String),
    /// A kind and its arguments as texts.
    Kind(&'static str, Vec<String>),
}

#[pymethods]
impl Heat {
    /// An oven; it heats both faces (`back="same heat"`).
    ///
    /// Parameters
    /// ----------
    /// air : str
    ///     Temperature beside the sheet, not at the dial.
    /// fan : bool, default True
    ///     Whether a fan drives the air.
    /// length : str, default "300 mm"
    ///     Length that the air runs along the sheet.
    #[staticmethod]
    #[pyo3(signature = (air, *, fan=true, length="300 mm"))]
    fn oven(air: &str, fan: bool, length: &str) -> Result<Self> {
        let oven = Oven {
            air_k: exact("air", air, Dimension::Temperature)?,
            fan,
            length_m: exact("length", length, Dimension::Length)?,
        };
        let texts = vec![air.into(), word(fan).into(), length.into()];
        Ok(Self::of(oven.exposure()?, "oven", texts))
    }

    /// A radiant panel parallel to the sheet and as large as it.
    ///
    /// Parameters
    /// ----------
    /// surface : str
    ///     Temperature of its surface.
    /// size : str, default "300 mm x 300 mm"
    ///     Width and length of panel and sheet.
    /// distance : str, default "100 mm"
    ///     From the sheet.
    /// emissivity : float, default 0.9
    ///     Of its surface.
    /// room : str, default "20 degC"
    ///     Air and walls.
    /// clear_sheet : bool, default False
    ///     Whether the sheet lets short waves through.
    #[staticmethod]
    #[pyo3(signature = (surface, *, size="300 mm x 300 mm", distance="100 mm", emissivity=0.9, room="20 degC", clear_sheet=false))]
    fn panel(
        surface: &str,
        size: &str,
        distance: &str,
        emissivity: f64,
        room: &str,
        clear_sheet: bool,
    ) -> Result<Self> {
        let panel = Panel {
            surface_k: exact("surface", surface, Dimension::Temperature)?,
            emissivity,
            size_m: sides("size", size)?,
            distance_m: exact("distance", distance, Dimension::Length)?,
            room_k: exact("room", room, Dimension::Temperature)?,
            clear_sheet,
        };
        let texts = vec![
            surface.into(),
            size.into(),
            distance.into(),
            emissivity.to_string(),
            room.into(),
            word(clear_sheet).into(),
        ];
        Ok(Self::of(panel.exposure()?, "panel", texts))
    }

    /// A hot-water bath; it heats both faces (`back="same heat"`).
    ///
    /// Parameters
    /// ----------
    /// water : str
    ///     Temperature of the water, up to 100 °C.
    #[staticmethod]
    fn bath(water: &str) -> Result<Self> {
        let bath = Bath {
            water_k: exact("water", water, Dimension::Temperature)?,
        };
        Ok(Self::of(bath.exposure()?, "bath", vec![water.into()]))
    }

    /// A heated bar or plate that touches the sheet.
    ///
    /// Parameters
    /// ----------
    /// surface : str
    ///     Temperature of its surface.
    /// pressed_soft : bool, default False
    ///     Whether the sheet is soft enough to wet it under pressure.
    #[staticmethod]
    #[pyo3(signature = (surface, *, pressed_soft=false))]
    fn bar(surface: &str, pressed_soft: bool) -> Result<Self> {
        let bar = Bar {
            surface_k: exact("surface", surface, Dimension::Temperature)?,
            pressed_soft,
        };
        let texts = vec![surface.into(), word(pressed_soft).into()];
        Ok(Self::of(bar.exposure()?, "bar", texts))
    }

    /// A film and a gas temperature from elsewhere.
    ///
    /// Parameters
    /// ----------
    /// film_w_m2_k : float or tuple of three floats
    ///     Film coefficient, or its low, likely and high value. [W/m²/K]
    /// gas : str
    ///     Temperature that the film is referred to, with its range if wanted: ``"240 °C ± 15 °C"``.
    /// surroundings : str, default "20 degC"
    ///     What the face radiates to.
    /// radiates : bool, default True
    ///     Whether it does; not in a bath or against a bar.
    /// flux_w_m2 : float, default 0
    ///     Absorbed flux besides. [W/m²]
    #[staticmethod]
    #[pyo3(signature = (film_w_m2_k, gas, *, surroundings="20 degC", radiates=true, flux_w_m2=0.0))]
    fn given(
        film_w_m2_k: Bounded,
        gas: &str,
        surroundings: &str,
        radiates: bool,
        flux_w_m2: f64,
    ) -> Result<Self> {
        let film = match film_w_m2_k {
            Bounded::One(film) => [film; 3],
            Bounded::Three(low, likely, high) => [low, likely, high],
        };
        let texts = film
            .iter()
            .map(f64::to_string)
            .chain([
                gas.into(),
                surroundings.into(),
                word(radiates).into(),
                flux_w_m2.to_string(),
            ])
            .collect();
        let core = given(film, gas, surroundings, radiates, flux_w_m2)?;
        Ok(Self::of(core, "given", texts))
    }

    /// What it does to a face of some emissivity, for :func:`heat_slab`.
    ///
    /// Parameters
    /// ----------
    /// emissivity : float, default 0.9
    ///     Of the sheet.
    #[pyo3(signature = (emissivity=0.9))]
    fn face(&self, emissivity: f64) -> Face {
        self.core.face(emissivity).into()
    }

    /// The source: ``"hot-air gun"``.
    #[getter]
    fn source(&self) -> &str {
        &self.core.source
    }

    /// Film coefficient, the area mean over the patch. [W/m²/K]
    #[getter]
    fn film_w_m2_k(&self) -> f64 {
        self.core.film_w_m2_k
    }

    /// Its low bound. [W/m²/K]
    #[getter]
    fn film_low_w_m2_k(&self) -> f64 {
        self.core.film_low_w_m2_k
    }

    /// Its high bound. [W/m²/K]
    #[getter]
    fn film_high_w_m2_k(&self) -> f64 {
        self.core.film_high_w_m2_k
    }

    /// Temperature that the film is referred to: for a gun the adiabatic wall temperature. [K]
    #[getter]
    fn gas_k(&self) -> f64 {
        self.core.gas_k
    }

    /// Its low bound. [K]
    #[getter]
    fn gas_low_k(&self) -> f64 {
        self.core.gas_low_k
    }

    /// Its high bound. [K]
    #[getter]
    fn gas_high_k(&self) -> f64 {
        self.core.gas_high_k
    }

    /// What the face radiates to, beside a radiant panel. [K]
    #[getter]
    fn surroundings_k(&self) -> f64 {
        self.core.surroundings_k
    }

    /// Uncertain inputs, each with ``name``, ``value``, ``low``, ``high``, ``unit``, ``source``, ``standing``.
    #[getter]
    fn factors<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let records = self
            .core
            .factors
            .iter()
            .map(|factor| record::give(py, "Record", factor))
            .collect::<PyResult<Vec<_>>>()?;
        PyTuple::new(py, records)
    }

    /// What is to be known: correlations outside their range, cautions; each with ``about`` and ``text``.
    #[getter]
    fn notes<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyTuple>> {
        let records = self
            .core
            .notes
            .iter()
            .map(|note| record::give(py, "Record", note))
            .collect::<PyResult<Vec<_>>>()?;
        PyTuple::new(py, records)
    }

    fn __repr__(&self) -> String {
        let e = &self.core;
        let range = |low: f64, high: f64| {
            if low < high {
                format!(" ({low:.0} to {high:.0})")
            } else {
                String::new()
            }
        };
        format!(
            "Heat({}: {:.0}{} W/m²/K at {:.0}{} °C)",
            e.source,
            e.film_w_m2_k,
            range(e.film_low_w_m2_k, e.film_high_w_m2_k),
            e.gas_k - 273.15,
            range(e.gas_low_k - 273.15, e.gas_high_k - 273.15)
        )
    }

    /// Copy the heat into plain dicts, lists, strings and numbers.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        words(py, "heat_dict")?.call1((self.clone(),))
    }

    fn _repr_html_(&self, py: Python<'_>) -> PyResult<String> {
        words(py, "heat_html")?.call1((self.clone(),))?.extract()
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        match &self.again {
            Again::Gun(gun, distance, patch) => {
                let gun = Bound::new(py, (**gun).clone())?;
                Ok((gun.getattr("at")?, (distance, patch).into_pyobject(py)?))
            }
            Again::Kind(kind, texts) => {
                let make = py.import("mountwright._core")?.getattr("_heat")?;
                Ok((make, (*kind, texts.clone()).into_pyobject(py)?))
            }
        }
    }
}

impl Heat {
    fn of(core: Exposure, kind: &'static str, texts: Vec<String>) -> Self {
        Self {
            core,
            width_m: None,
            again: Again::Kind(kind, texts),
        }
    }
}

fn word(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn given(
    film: [f64; 3],
    gas: &str,
    surroundings: &str,
    radiates: bool,
    flux_w_m2: f64,
) -> Result<Exposure> {
    const SOURCE: &str = "as given";
    let Measure { value, plus_minus } = parse("gas", gas, Dimension::Temperature)?;
    let surroundings_k = exact("surroundings", surroundings, Dimension::Temperature)?;
    let gas = [value - plus_minus, value, value + plus_minus];
    let mut factors = Vec::new();
    for (name, bounds, unit) in [
        ("heat.film_w_m2_k", film, "W/m2/K"),
        ("heat.gas_k", gas, "K"),
    ] {
        let [low, likely, high] = bounds;
        // Each bound is held to what the likeliest value may be.
        for bound in bounds {
            match name {
                "heat.gas_k" => Exposure::fixed(1.0, bound, surroundings_k)?,
                _ => Exposure::fixed(bound, value, surroundings_k)?,
            };
        }
        if !(low <= likely && likely <= high) {
            return Err(Error::Shape {
                what: name.into(),
                given: format!("{low}, {likely}, {high}"),
                allowed: "low, likely and high in rising order".into(),
            });
        }
        if low < high {
            factors.push(factor(
                name,
                (low, likely, high),
                unit,
                SOURCE,
                Standing::MeasuredByShop,
            ));
        }
    }
    Ok(Exposure {
        film_low_w_m2_k: film[0],
        film_high_w_m2_k: film[2],
        gas_low_k: gas[0],
        gas_high_k: gas[2],
        radiates,
        flux_w_m2,
        factors,
        ..Exposure::fixed(film[1], value, surroundings_k)?
    })
}

/// Makes a heat again from its kind and texts; for pickles.
#[pyfunction]
pub(super) fn _heat(kind: &str, texts: Vec<String>) -> Result<Heat> {
    let text: Vec<&str> = texts.iter().map(String::as_str).collect();
    let number = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
    match (kind, text.as_slice()) {
        ("oven", [air, fan, length]) => Heat::oven(air, *fan == "yes", length),
        ("panel", [surface, size, distance, emissivity, room, clear]) => Heat::panel(
            surface,
            size,
            distance,
            number(emissivity),
            room,
            *clear == "yes",
        ),
        ("bath", [water]) => Heat::bath(water),
        ("bar", [surface, soft]) => Heat::bar(surface, *soft == "yes"),
        ("given", [low, likely, high, gas, surroundings, radiates, flux]) => Heat::given(
            Bounded::Three(number(low), number(likely), number(high)),
            gas,
            surroundings,
            *radiates == "yes",
            number(flux),
        ),
        _ => Err(Error::unknown(
            "kind of heat",
            kind,
            ["oven", "panel", "bath", "bar", "given"],
        )),
    }
}
