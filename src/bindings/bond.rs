//! Adhesives and cures in Python.

use numpy::{AllowTypeChange, PyArray1, PyArrayLike1, PyArrayLike2};
use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::Serialize;

use super::{arrays, kind, record, whole};
use crate::bond::{
    Catalogue, Conditions, JointAsk, Kinetics, Laid, Load, Pack, Seam, joint as join,
    rank as ranked,
};
use crate::climate::{Air, Climate as Core};
use crate::error::{Error, Result};
use crate::quantity::{Dimension, parse};

fn si(what: &str, text: &str, dimension: Dimension) -> Result<f64> {
    Ok(parse(what, text, dimension)?.value)
}

fn maybe(what: &str, text: Option<&str>, dimension: Dimension) -> Result<Option<f64>> {
    text.map(|text| si(what, text, dimension)).transpose()
}

fn hours(what: &str, values: &[f64]) -> Result<[f64; 24]> {
    values.try_into().map_err(|_| Error::Shape {
        what: what.into(),
        given: format!("{} values", values.len()),
        allowed: "1 value for steady air, 24 for a day that repeats, or one for each of times_s"
            .into(),
    })
}

/// The air that a cure runs in: steady, a day that repeats, or a history; straight between the values.
///
/// Instants are seconds since the plan's first midnight.
///
/// Parameters
/// ----------
/// temperature_k : array_like of float
///     Temperature: one value for steady air, 24 for a day that repeats, or one for each of
///     ``times_s``. [K]
/// humidity : array_like of float
///     Relative humidity, 0 to 1, as many.
/// times_s : array_like of float, optional
///     Rising instants of a history, which holds its first air before and its last after. [s]
///
/// Raises
/// ------
/// OutOfRangeError
///     A temperature outside 200 to 500 K, a humidity outside 0 to 1.
/// ShapeError
///     Lists of different lengths, or instants that do not rise.
///
/// Examples
/// --------
/// >>> shop = mw.Climate([288.15] * 12 + [298.15] * 12, [0.5] * 24)
/// >>> round(shop.temperature_k(11.5 * 3600), 6)
/// 293.15
#[pyclass(frozen, eq, module = "mountwright")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Climate {
    #[serde(skip)]
    core: Core,
    temperature_k: Vec<f64>,
    humidity: Vec<f64>,
    times_s: Option<Vec<f64>>,
}

impl Climate {
    /// The core's climate.
    pub(super) const fn core(&self) -> &Core {
        &self.core
    }
}

#[pymethods]
impl Climate {
    #[new]
    #[pyo3(signature = (temperature_k, humidity, times_s = None))]
    fn new(
        #[pyo3(from_py_with = kind::of)] temperature_k: PyArrayLike1<'_, f64, AllowTypeChange>,
        #[pyo3(from_py_with = kind::of)] humidity: PyArrayLike1<'_, f64, AllowTypeChange>,
        #[pyo3(from_py_with = kind::of)] times_s: Option<PyArrayLike1<'_, f64, AllowTypeChange>>,
    ) -> PyResult<Self> {
        let temperature_k = temperature_k.as_array().to_vec();
        let humidity = humidity.as_array().to_vec();
        let times_s = times_s.map(|t| t.as_array().to_vec());
        let core = match (&times_s, temperature_k.as_slice(), humidity.as_slice()) {
            (Some(times_s), t, h) => Core::from_history(times_s, t, h)?,
            (None, [t], [h]) => Core::constant(*t, *h)?,
            (None, t, h) => Core::daily(&hours("temperature_k", t)?, &hours("humidity", h)?)?,
        };
        Ok(Self {
            core,
            temperature_k,
            humidity,
            times_s,
        })
    }

    /// Steady air.
    #[staticmethod]
    #[pyo3(signature = (temperature, humidity = "50 %"))]
    fn steady(temperature: &str, humidity: &str) -> PyResult<Self> {
        let t = si("temperature", temperature, Dimension::Temperature)?;
        let h = si("humidity", humidity, Dimension::Fraction)?;
        Ok(Self {
            core: Core::constant(t, h)?,
            temperature_k: vec![t],
            humidity: vec![h],
            times_s: None,
        })
    }

    /// Temperature at an instant. [K]
    fn temperature_k(&self, t_s: f64) -> f64 {
        self.core.temperature_k(t_s)
    }

    /// Relative humidity at an instant, 0 to 1.
    fn humidity(&self, t_s: f64) -> f64 {
        self.core.humidity(t_s)
    }

    /// Copy it into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        record::plain(py, self)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
    }

    fn __repr__(&self) -> String {
        let (low, high) = self.core.extremes_k();
        let kind = match (&self.times_s, self.temperature_k.len()) {
            (Some(times), _) => format!("history of {} instants", times.len()),
            (None, 1) => "steady".into(),
            (None, _) => "a day that repeats".into(),
        };
        format!(
            "Climate({kind}, {:.1} to {:.1} °C)",
            low - 273.15,
            high - 273.15
        )
    }

    #[allow(clippy::type_complexity)] // the tuple that pickle wants
    fn __getnewargs__(&self) -> (Vec<f64>, Vec<f64>, Option<Vec<f64>>) {
        (
            self.temperature_k.clone(),
            self.humidity.clone(),
            self.times_s.clone(),
        )
    }
}

/// The cure of an adhesive in a seam: it has no length until it is given a start in a climate.
///
/// Parameters
/// ----------
/// adhesive : str
///     Its name in the catalogue: ``"epoxy-30min"``.
/// gap : str, optional
///     Thickness of the bond line; the adhesive's usual one if left out.
/// overlap : str, default "10 mm"
///     Narrowest width of the overlap.
/// faces : sequence of str, optional
///     The two faces, where the adhesive's times depend on them.
///
/// Raises
/// ------
/// UnknownNameError
///     No adhesive has that name; ``near`` holds the nearest.
/// OutOfRangeError
///     A gap of zero or over 20 mm, an overlap outside 0.1 mm to 1 m.
/// UnitError
///     A size is none.
///
/// Examples
/// --------
/// >>> epoxy = mw.Cure("epoxy-slow")
/// >>> ready = epoxy.ready_at(0.0, mw.Climate.steady("20 °C"))
/// >>> round(ready.handling_s / 3600, 6)
/// 12.0
#[pyclass(frozen, eq, module = "mountwright")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Cure {
    #[serde(skip)]
    core: crate::bond::Cure,
    adhesive: String,
    gap: Option<String>,
    overlap: String,
    faces: Vec<String>,
}

impl Cure {
    /// The core's cure.
    pub(super) const fn core(&self) -> &crate::bond::Cure {
        &self.core
    }
}

#[pymethods]
impl Cure {
    #[new]
    #[pyo3(signature = (adhesive, gap = None, overlap = "10 mm", faces = None))]
    fn new(
        #[pyo3(from_py_with = kind::of)] adhesive: String,
        #[pyo3(from_py_with = kind::of)] gap: Option<String>,
        #[pyo3(from_py_with = kind::of)] overlap: &str,
        #[pyo3(from_py_with = kind::of)] faces: Option<Vec<String>>,
    ) -> PyResult<Self> {
        let catalogue = Catalogue::standard()?;
        let faces = faces.unwrap_or_default();
        for face in &faces {
            catalogue.substrate(face)?;
        }
        let seam = Seam {
            gap_m: maybe("gap", gap.as_deref(), Dimension::Length)?,
            overlap_m: si("overlap", overlap, Dimension::Length)?,
            substrates: faces.iter().map(|f| catalogue.kin(f).to_string()).collect(),
        };
        Ok(Self {
            core: catalogue.adhesive(&adhesive)?.cure(&seam)?,
            adhesive,
            gap,
            overlap: overlap.into(),
            faces,
        })
    }

    /// The adhesive's name for people.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    /// When its stages are reached, if it is started at an instant in a climate: a `Ready`.
    ///
    /// A stage that is never reached is None, and `never` says why.
    fn ready_at<'py>(
        &self,
        py: Python<'py>,
        start_s: f64,
        climate: &Bound<'_, Climate>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let ready = self.core.ready_at(start_s, &climate.get().core)?;
        record::give(py, "Ready", &ready)
    }

    /// The same for a quick, a middling and a slow batch: a `ReadyBand` with `p10`, `p50`, `p90`.
    fn ready_band_at<'py>(
        &self,
        py: Python<'py>,
        start_s: f64,
        climate: &Bound<'_, Climate>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let band = self.core.ready_band_at(start_s, &climate.get().core)?;
        record::give(py, "ReadyBand", &band)
    }

    /// Open time that is left at an instant, if it was started at another: 0 once it is over. [s]
    ///
    /// Examples
    /// --------
    /// >>> epoxy, shop = mw.cure("epoxy-30min"), mw.Climate.steady("23 °C")
    /// >>> round(epoxy.open_left(0.0, 600.0, shop))  # mixed ten minutes ago
    /// 900
    fn open_left(&self, start_s: f64, now_s: f64, climate: &Bound<'_, Climate>) -> PyResult<f64> {
        Ok(self.core.open_left(start_s, now_s, &climate.get().core)?)
    }

    /// Its times in steady air, from the start: a `Ready`.
    ///
    /// Air colder than it cures in raises `OutOfRangeError`; ask `ready_at` where "never" is wanted
    /// as an answer.
    #[pyo3(signature = (shop, humidity = "50 %"))]
    fn times_at<'py>(
        &self,
        py: Python<'py>,
        shop: &str,
        humidity: &str,
    ) -> PyResult<Bound<'py, PyAny>> {
        let ready = self.core.times_at(Air {
            temperature_k: si("shop", shop, Dimension::Temperature)?,
            humidity: si("humidity", humidity, Dimension::Fraction)?,
        })?;
        record::give(py, "Ready", &ready)
    }

    /// `ready_at` over many histories at once, one row each, in parallel: arrays `open_s`, `handling_s`, `full_s`, NaN for never.
    #[pyo3(signature = (start_s, times_s, temperature_k, humidity))]
    fn ready_over<'py>(
        &self,
        py: Python<'py>,
        start_s: f64,
        times_s: PyArrayLike1<'py, f64, AllowTypeChange>,
        temperature_k: PyArrayLike2<'py, f64, AllowTypeChange>,
        humidity: PyArrayLike2<'py, f64, AllowTypeChange>,
    ) -> PyResult<Bound<'py, PyDict>> {
        let times_s = times_s.as_array().to_vec();
        let (t, h) = (temperature_k.as_array(), humidity.as_array());
        if t.ncols() != times_s.len() || t.dim() != h.dim() {
            return Err(Error::Shape {
                what: "climate histories".into(),
                given: format!("temperature_k {:?}, humidity {:?}", t.dim(), h.dim()),
                allowed: format!("rows of {} values, one for each instant", times_s.len()),
            }
            .into());
        }
        let t: Vec<f64> = t.iter().copied().collect();
        let h: Vec<f64> = h.iter().copied().collect();
        let core = self.core.clone();
        let done = py.detach(move || core.ready_over(start_s, &times_s, &t, &h))?;
        let out = PyDict::new(py);
        out.set_item("open_s", arrays::give(py, done.open_s))?;
        out.set_item("handling_s", arrays::give(py, done.handling_s))?;
        out.set_item("full_s", arrays::give(py, done.full_s))?;
        Ok(out)
    }

    /// Copy it into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        record::plain(py, self)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
    }

    fn __repr__(&self) -> String {
        format!("Cure({:?})", self.adhesive)
    }

    fn __getnewargs__(&self) -> (String, Option<String>, String, Vec<String>) {
        (
            self.adhesive.clone(),
            self.gap.clone(),
            self.overlap.clone(),
            self.faces.clone(),
        )
    }
}

/// Look up the cure of an adhesive in a seam.
///
/// Parameters
/// ----------
/// adhesive : str
///     Its name in the catalogue: ``"epoxy-30min"``.
/// gap : str, optional
///     Thickness of the bond line; the adhesive's usual one if left out.
/// overlap : str, default "10 mm"
///     Narrowest width of the overlap.
/// faces : sequence of str, optional
///     The two faces, where the adhesive's times depend on them.
///
/// Returns
/// -------
/// Cure
///     To be asked ``ready_at(start_s, climate)``.
///
/// Raises
/// ------
/// UnknownNameError
///     No adhesive has that name; ``near`` holds the nearest.
/// OutOfRangeError
///     A gap of zero or over 20 mm, an overlap outside 0.1 mm to 1 m.
/// UnitError
///     A size is none.
///
/// Examples
/// --------
/// A slow epoxy at 20 °C is handled after 12 h, as its data sheet prints; below its least
/// temperature it never is:
///
/// >>> mw.cure("epoxy-slow").ready_at(0.0, mw.Climate.steady("20 °C")).handling_s / 3600
/// 12.0...
/// >>> mw.cure("epoxy-slow").ready_at(0.0, mw.Climate.steady("5 °C")).handling_s is None
/// True
#[pyfunction]
#[pyo3(signature = (adhesive, *, gap = None, overlap = "10 mm", faces = None))]
pub(super) fn cure(
    adhesive: String,
    gap: Option<String>,
    overlap: &str,
    faces: Option<Vec<String>>,
) -> PyResult<Cure> {
    Cure::new(adhesive, gap, overlap, faces)
}

/// What a joint is made in and has to stand, as text.
struct Asked<'a> {
    gap: Option<&'a str>,
    overlap: &'a str,
    service: &'a str,
    shop: &'a str,
    humidity: &'a str,
    load: &'a str,
    area: &'a str,
    closing: Option<&'a str>,
}

impl Asked<'_> {
    fn read(&self) -> Result<Conditions> {
        Ok(Conditions {
            gap_m: maybe("gap", self.gap, Dimension::Length)?,
            overlap_m: si("overlap", self.overlap, Dimension::Length)?,
            area_m2: si("area", self.area, Dimension::Area)?,
            closing_s: maybe("closing", self.closing, Dimension::Time)?,
            service_k: si("service", self.service, Dimension::Temperature)?,
            shop: Air {
                temperature_k: si("shop", self.shop, Dimension::Temperature)?,
                humidity: si("humidity", self.humidity, Dimension::Fraction)?,
            },
            load: match self.load {
                "light" => Load::Light,
                "static" => Load::Static,
                "sustained" => Load::Sustained,
                other => {
                    let known = ["light", "static", "sustained"];
                    return Err(Error::unknown("load", other, known));
                }
            },
        })
    }
}

/// Rank adhesives for a pair of faces.
///
/// Parameters
/// ----------
/// a, b : str
///     The two faces: ``"expanded-pvc"``, ``"abs"``, ``"painted-steel"``, ``"vinyl-film"``.
/// gap : str, optional
///     Thickness of the bond line; each adhesive's usual one if left out.
/// overlap : str, default "10 mm"
///     Narrowest width of the overlap.
/// service : str, default "60 degC"
///     Hottest that the joint gets.
/// shop : str, default "23 degC"
///     Air of the shop.
/// humidity : str, default "50 %"
///     Relative humidity of the shop.
/// load : {"sustained", "static", "light"}, default "sustained"
///     A load that stays or a car's heat and vibration; now and then; a wrap or gasket.
/// area : str, default "75 cm2"
///     Overlap of one joint, for the time to close it.
/// closing : str, optional
///     Time to lay the adhesive and close one joint; usual for its kind and the area if left out.
///
/// Returns
/// -------
/// AdhesiveRanking
///     ``ranked``, best first, and ``refused``, each with ``adhesive`` and ``reasons``.
///
/// Raises
/// ------
/// UnknownNameError
///     No face, or no load, has that name.
/// OutOfRangeError
///     Impossible conditions.
/// UnitError
///     A text is no such quantity.
///
/// Examples
/// --------
/// >>> answer = mw.rank_adhesives("vinyl-film", "expanded-pvc", service="80 °C", load="light")
/// >>> answer.ranked[0].adhesive
/// 'contact-cement-hot'
#[pyfunction]
#[pyo3(signature = (a, b, *, gap = None, overlap = "10 mm", service = "60 degC", shop = "23 degC", humidity = "50 %", load = "sustained", area = "75 cm2", closing = None))]
#[allow(clippy::too_many_arguments)] // they are keywords in Python
pub(super) fn rank_adhesives<'py>(
    py: Python<'py>,
    a: &str,
    b: &str,
    gap: Option<&str>,
    overlap: &str,
    service: &str,
    shop: &str,
    humidity: &str,
    load: &str,
    area: &str,
    closing: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let asked = Asked {
        gap,
        overlap,
        service,
        shop,
        humidity,
        load,
        area,
        closing,
    };
    let conditions = asked.read()?;
    record::give(
        py,
        "AdhesiveRanking",
        &py.detach(|| ranked(a, b, &conditions))?,
    )
}

fn laid(area: Option<&str>, bead: Option<&str>, fillet: Option<&str>, size: &str) -> Result<Laid> {
    let size_m = si("size", size, Dimension::Length)?;
    match (area, bead, fillet) {
        (Some(area), None, None) => Ok(Laid::Film {
            area_m2: si("area", area, Dimension::Area)?,
        }),
        (None, Some(bead), None) => Ok(Laid::Bead {
            length_m: si("bead", bead, Dimension::Length)?,
            radius_m: size_m / 2.0,
        }),
        (None, None, Some(fillet)) => Ok(Laid::Fillet {
            length_m: si("fillet", fillet, Dimension::Length)?,
            leg_m: size_m,
        }),
        (area, bead, fillet) => Err(Error::Shape {
            what: "how the adhesive lies".into(),
            given: format!(
                "{} of area, bead and fillet",
                [area, bead, fillet].iter().flatten().count()
            ),
            allowed: "exactly one of them".into(),
        }),
    }
}

/// Choose, measure out and judge the adhesive of a joint.
///
/// Parameters
/// ----------
/// a, b : str
///     The two faces: ``"expanded-pvc"``, ``"abs"``, ``"painted-steel"``.
/// area : str, optional
///     Overlap of one joint, glued all over: ``"75 cm2"``. Give this, ``bead`` or ``fillet``.
/// bead : str, optional
///     Length of a half-round bead in one joint: ``"300 mm"``.
/// fillet : str, optional
///     Length of a fillet in an inside corner of one joint.
/// size : str, default "4 mm"
///     Width of the bead, or leg of the fillet.
/// adhesive : str, optional
///     Its name in the catalogue; the best one if left out.
/// count : int, default 1
///     How many joints alike.
/// gap, overlap, service, shop, humidity, load
///     As for :func:`rank_adhesives`.
/// pack : str, optional
///     Volume of the shop's pack: ``"50 mL"``.
/// price : float, default 0.0
///     Price of a pack, in the shop's currency.
/// nozzle : float, default 0.0
///     Price of a mixer nozzle, where it is paid apart.
/// closing : str, optional
///     Time to lay the adhesive and close one joint; usual for its kind and the area if left out.
///
/// Returns
/// -------
/// Joint
///     ``adhesive``, ``why``, ``amount``, ``open_s``, ``handling_s``, ``full_s``, ``ready`` (a band),
///     ``strength``, ``preparation``, ``cautions``, ``speed_up`` and more.
///
/// Raises
/// ------
/// UnknownNameError
///     No face, adhesive or load has that name.
/// OutOfRangeError
///     An impossible size, gap or climate.
/// ImpossibleError
///     No adhesive is named and none suits.
/// UnitError
///     A text is no such quantity.
///
/// Examples
/// --------
/// >>> joint = mw.joint("abs", "abs", area="75 cm2", adhesive="epoxy-30min", gap="0.15 mm")
/// >>> round(joint.amount.net_m3 * 1e6, 3)
/// 1.125
/// >>> seal = mw.joint("abs", "painted-steel", bead="300 mm", adhesive="silicone-neutral")
/// >>> round(seal.amount.net_m3 * 1e6, 3)
/// 1.885
#[pyfunction]
#[pyo3(signature = (a, b, *, area = None, bead = None, fillet = None, size = "4 mm", adhesive = None, count = 1, gap = None, overlap = "10 mm", service = "60 degC", shop = "23 degC", humidity = "50 %", load = "sustained", pack = None, price = 0.0, nozzle = 0.0, closing = None))]
#[allow(clippy::too_many_arguments)] // they are keywords in Python
pub(super) fn joint<'py>(
    py: Python<'py>,
    a: &str,
    b: &str,
    area: Option<&str>,
    bead: Option<&str>,
    fillet: Option<&str>,
    size: &str,
    adhesive: Option<String>,
    #[pyo3(from_py_with = whole::count)] count: u32,
    gap: Option<&str>,
    overlap: &str,
    service: &str,
    shop: &str,
    humidity: &str,
    load: &str,
    pack: Option<&str>,
    price: f64,
    nozzle: f64,
    closing: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let asked = Asked {
        gap,
        overlap,
        service,
        shop,
        humidity,
        load,
        // A joint's area is taken from how the adhesive lies.
        area: "75 cm2",
        closing,
    };
    let ask = JointAsk {
        adhesive,
        substrates: [a.into(), b.into()],
        laid: laid(area, bead, fillet, size)?,
        count,
        conditions: asked.read()?,
        pack: maybe("pack", pack, Dimension::Volume)?.map(|volume_m3| Pack {
            volume_m3,
            price,
            nozzle_price: nozzle,
        }),
    };
    record::give(py, "Joint", &py.detach(|| join(&ask))?)
}

/// Integrate autocatalytic cure kinetics over a temperature history.
///
/// ``da/dt = k1 (1-a)^n1 + k2 a^m (1-a)^n2`` with ``ki = Ai exp(-Ei/RT)``, temperature straight
/// between the instants.
///
/// Parameters
/// ----------
/// times_s : array_like of float
///     Rising instants. [s]
/// temperature_k : array_like of float
///     Temperature at each, 200 to 500 K. [K]
/// factors : tuple of float
///     A1 and A2. [1/s]
/// energies_j_mol : tuple of float
///     E1 and E2. [J/mol]
/// orders : tuple of float
///     n1, m and n2.
/// start : float, default 0.0
///     Conversion at the first instant, 0 to 1.
///
/// Returns
/// -------
/// ndarray of float64
///     Conversion at each instant.
///
/// Raises
/// ------
/// OutOfRangeError
///     A parameter outside what is possible.
/// ShapeError
///     Lists of different lengths, or instants that do not rise.
///
/// Examples
/// --------
/// Karkanas (1998) at 140 °C, 0.515823 after an hour:
///
/// >>> a = mw.conversion([0, 3600], [413.15, 413.15], factors=(2.6e4, 5.78e4),
/// ...                   energies_j_mol=(74690, 57880), orders=(0.449, 1.217, 1.786))
/// >>> float(a[1].round(6))
/// 0.515823
#[pyfunction]
#[pyo3(signature = (times_s, temperature_k, *, factors, energies_j_mol, orders, start = 0.0))]
pub(super) fn conversion<'py>(
    py: Python<'py>,
    times_s: PyArrayLike1<'py, f64, AllowTypeChange>,
    temperature_k: PyArrayLike1<'py, f64, AllowTypeChange>,
    factors: [f64; 2],
    energies_j_mol: [f64; 2],
    orders: [f64; 3],
    start: f64,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let times_s = times_s.as_array().to_vec();
    let temperature_k = temperature_k.as_array().to_vec();
    let found = py.detach(move || {
        let air = Core::from_history(&times_s, &temperature_k, &vec![0.5; times_s.len()])?;
        Kinetics::new(factors, energies_j_mol, orders)?.conversions(start, &times_s, &air)
    })?;
    Ok(arrays::give(py, found))
}
