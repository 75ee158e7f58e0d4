//! The hot-air gun and its calibration, in Python.

use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::heat::{place, words};
use super::heat_ask::Question;
use super::heat_source::{Again, Heat, exact, sides};
use super::{kind, record};
use crate::error::{Error, Result};
use crate::heat;
use crate::heat::calibrate::{self, Calibration, Seen, calibrate};
use crate::plan::UsualTrial;
use crate::quantity::{Dimension, Measure, parse};

/// Low, likely, high: as written with ±, or the usual ones.
fn bounds(measure: Measure, usual: [f64; 3]) -> [f64; 3] {
    let Measure { value, plus_minus } = measure;
    if plus_minus > 0.0 {
        [value - plus_minus, value, value + plus_minus]
    } else {
        usual
    }
}

/// Stands for a nozzle until its text is read. [m]
const PLAIN_NOZZLE_M: f64 = 34e-3;

/// The gun with a round nozzle, `"34 mm"`, or a slot, `"8 mm x 70 mm"`.
fn with_nozzle(gun: heat::HotAirGun, text: &str) -> Result<heat::HotAirGun> {
    if text.contains(['x', '×']) {
        let (width_m, length_m) = sides("nozzle", text)?;
        return gun.with_slot(width_m, length_m);
    }
    Ok(heat::HotAirGun {
        nozzle_m: exact("nozzle", text, Dimension::Length)?,
        ..gun
    })
}

/// How a gun was made, for pickling.
#[derive(Clone, PartialEq)]
enum Made {
    Given {
        setpoint: String,
        airflow: String,
        nozzle: String,
        airflow_meant_at: Option<String>,
        rated_power: Option<String>,
        room: String,
        reflector: bool,
    },
    TwoSetting {
        setting: String,
        nozzle: String,
        room: String,
        reflector: bool,
    },
}

impl Made {
    fn core(&self) -> Result<heat::HotAirGun> {
        match self {
            Self::Given {
                setpoint,
                airflow,
                nozzle,
                airflow_meant_at,
                rated_power,
                room,
                reflector,
            } => {
                let set = parse("setpoint", setpoint, Dimension::Temperature)?;
                let flow = parse("airflow", airflow, Dimension::VolumeFlow)?;
                let plain = heat::HotAirGun::new(set.value, flow.value, PLAIN_NOZZLE_M)?;
                let plain = with_nozzle(plain, nozzle)?;
                let maybe = |what: &str, text: &Option<String>, dimension| {
                    text.as_deref()
                        .map(|text| exact(what, text, dimension))
                        .transpose()
                };
                Ok(heat::HotAirGun {
                    setpoint_k: bounds(set, plain.setpoint_k),
                    airflow_m3_s: bounds(flow, plain.airflow_m3_s),
                    flow_meant_at_k: maybe(
                        "airflow_meant_at",
                        airflow_meant_at,
                        Dimension::Temperature,
                    )?,
                    rated_w: maybe("rated_power", rated_power, Dimension::Power)?,
                    room_k: exact("room", room, Dimension::Temperature)?,
                    reflector: *reflector,
                    ..plain
                })
            }
            Self::TwoSetting {
                setting,
                nozzle,
                room,
                reflector,
            } => Ok(heat::HotAirGun {
                room_k: exact("room", room, Dimension::Temperature)?,
                reflector: *reflector,
                ..with_nozzle(heat::HotAirGun::two_setting(setting)?, nozzle)?
            }),
        }
    }
}

/// A hot-air gun: what leaves its nozzle.
///
/// Parameters
/// ----------
/// setpoint : str
///     Temperature of the air at the nozzle, 30 to 800 °C: ``"350 °C"``. With ``±`` its range is that,
///     otherwise -25/+15 K.
/// airflow : str
///     ``"300 L/min"``, 0.6 to 6000 L/min. With ``±`` its range is that, otherwise -15/+10 %.
/// nozzle : str, default "34 mm"
///     Inner diameter of the nozzle; or a slot, ``"8 mm x 70 mm"``, taken as a round one of equal
///     area, its film 25 % less certain.
/// airflow_meant_at : str, optional
///     Temperature at which the litres are meant: ``"20 °C"``, or the setpoint. Without it they are
///     room air, unless that would take more power than the tool has.
/// rated_power : str, optional
///     ``"2 kW"``; decides about the litres.
/// room : str, default "20 degC"
///     Air of the room.
/// reflector : bool, default False
///     Whether a reflector or a box behind the part keeps the hot air there.
///
/// Raises
/// ------
/// UnitError
///     A text is not a quantity of its kind.
/// OutOfRangeError
///     A number cannot be.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> gun = mw.HotAirGun("350 °C", "300 L/min", "34 mm")
/// >>> gun.at("120 mm", "60 mm x 200 mm").gas_k < 350 + 273.15
/// True
#[pyclass(frozen, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq)]
pub(super) struct HotAirGun {
    made: Made,
    pub(super) core: heat::HotAirGun,
    coupons: Vec<Coupon>,
    fit: Option<Calibration>,
}

#[pymethods]
impl HotAirGun {
    #[new]
    #[pyo3(signature = (setpoint, airflow, nozzle="34 mm", *, airflow_meant_at=None, rated_power=None, room="20 degC", reflector=false))]
    fn new(
        #[pyo3(from_py_with = kind::of)] setpoint: &str,
        #[pyo3(from_py_with = kind::of)] airflow: &str,
        #[pyo3(from_py_with = kind::of)] nozzle: &str,
        #[pyo3(from_py_with = kind::of)] airflow_meant_at: Option<String>,
        #[pyo3(from_py_with = kind::of)] rated_power: Option<String>,
        #[pyo3(from_py_with = kind::of)] room: &str,
        #[pyo3(from_py_with = kind::of)] reflector: bool,
    ) -> Result<Self> {
        Self::made(Made::Given {
            setpoint: setpoint.into(),
            airflow: airflow.into(),
            nozzle: nozzle.into(),
            airflow_meant_at,
            rated_power,
            room: room.into(),
            reflector,
        })
    }

    /// The usual gun that says I and II and nothing else: wide ranges, to be narrowed by coupons.
    ///
    /// Parameters
    /// ----------
    /// setting : {"I", "II"}
    ///     Its setting.
    /// nozzle : str, default "34 mm"
    ///     As for the class.
    /// room : str, default "20 degC"
    ///     Air of the room.
    /// reflector : bool, default False
    ///     As for the class.
    ///
    /// Examples
    /// --------
    /// >>> import mountwright as mw
    /// >>> mw.HotAirGun.two_setting("II")
    /// HotAirGun(400 to 600 °C, 250 to 550 L/min, nozzle 34 mm)
    #[staticmethod]
    #[pyo3(signature = (setting, *, nozzle="34 mm", room="20 degC", reflector=false))]
    fn two_setting(setting: &str, nozzle: &str, room: &str, reflector: bool) -> Result<Self> {
        Self::made(Made::TwoSetting {
            setting: setting.into(),
            nozzle: nozzle.into(),
            room: room.into(),
            reflector,
        })
    }

    /// What it does to a patch of the sheet: held still over a square, swept to and fro along anything longer.
    ///
    /// Parameters
    /// ----------
    /// distance : str
    ///     From nozzle to sheet, 5 mm to 1 m.
    /// patch : str, default "60 mm x 200 mm"
    ///     Width and length of what is heated.
    ///
    /// Returns
    /// -------
    /// Heat
    ///     Area-mean film coefficient and the gas temperature that it refers to, with their range.
    ///
    /// Raises
    /// ------
    /// UnitError
    ///     A text is not a length.
    /// OutOfRangeError
    ///     A length cannot be.
    #[pyo3(signature = (distance, patch="60 mm x 200 mm"))]
    fn at(&self, distance: &str, patch: &str) -> Result<Heat> {
        let patch_m = sides("patch", patch)?;
        let core = self
            .core
            .at(exact("distance", distance, Dimension::Length)?, patch_m)?;
        Ok(Heat {
            core,
            width_m: Some(patch_m.0),
            again: Again::Gun(Box::new(self.clone()), distance.into(), patch.into()),
        })
    }

    /// The gun fitted to the shop's own timed trials, so that its predictions narrow.
    ///
    /// A factor on the film and a shift of the gas temperature are fitted; coupons that lie far off
    /// lose weight. Two coupons are enough; more say whether they agree. Give all coupons at once: an
    /// earlier calibration of the same gun is replaced.
    ///
    /// Parameters
    /// ----------
    /// coupons : sequence of Coupon
    ///     The trials.
    ///
    /// Returns
    /// -------
    /// HotAirGun
    ///     Its ``calibration`` says what was fitted, with its uncertainty, and which coupons disagree.
    ///
    /// Raises
    /// ------
    /// ShapeError
    ///     No coupons.
    ///
    /// Examples
    /// --------
    /// >>> import mountwright as mw
    /// >>> gun = mw.HotAirGun.two_setting("I")
    /// >>> strap = {"thickness": "3 mm", "patch": "50 mm x 200 mm", "back": "turned every 6 s"}
    /// >>> own = gun.calibrated([
    /// ...     mw.Coupon("abs", distance="100 mm", limp_after="85 s", **strap),
    /// ...     mw.Coupon("abs", distance="130 mm", limp_after="110 s", **strap),
    /// ... ])
    /// >>> own.calibration.log_film_factor.sd < 0.2 and not own.calibration.contradict
    /// True
    fn calibrated(&self, py: Python<'_>, coupons: Vec<Coupon>) -> Result<Self> {
        let plain = self.made.core()?;
        let trials = coupons
            .iter()
            .map(|coupon| coupon.core(&plain))
            .collect::<Result<Vec<_>>>()?;
        let fit = py.detach(|| calibrate(&trials))?;
        Ok(Self {
            core: plain.calibrated(&fit),
            made: self.made.clone(),
            coupons,
            fit: Some(fit),
        })
    }

    /// What the coupons told; None for a gun that is not calibrated.
    #[getter]
    fn calibration<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyAny>>> {
        self.fit
            .as_ref()
            .map(|fit| record::give_from(py, "mountwright.heat_records", "Calibration", fit))
            .transpose()
    }

    /// Temperature at the nozzle: low, likely, high. [K]
    #[getter]
    fn setpoint_k(&self) -> (f64, f64, f64) {
        self.core.setpoint_k.into()
    }

    /// Airflow: low, likely, high. [m³/s]
    #[getter]
    fn airflow_m3_s(&self) -> (f64, f64, f64) {
        self.core.airflow_m3_s.into()
    }

    /// Temperature at which the airflow is meant; None decides by the power. [K]
    #[getter]
    fn airflow_meant_at_k(&self) -> Option<f64> {
        self.core.flow_meant_at_k
    }

    /// Inner diameter of the nozzle, or of a round one with the area of the slot. [m]
    #[getter]
    fn nozzle_m(&self) -> f64 {
        self.core.nozzle_m
    }

    /// Air of the room. [K]
    #[getter]
    fn room_k(&self) -> f64 {
        self.core.room_k
    }

    /// Whether hot air is kept behind the part.
    #[getter]
    fn reflector(&self) -> bool {
        self.core.reflector
    }

    /// Factor on the film of the correlation: low, likely, high.
    #[getter]
    fn film_factor(&self) -> (f64, f64, f64) {
        self.core.film_factor.into()
    }

    /// Shift of the effectiveness of the model: low, likely, high.
    #[getter]
    fn effectiveness_shift(&self) -> (f64, f64, f64) {
        self.core.effectiveness_shift.into()
    }

    /// Where setpoint and airflow come from.
    #[getter]
    fn source(&self) -> &str {
        self.core.source
    }

    fn __repr__(&self) -> String {
        let gun = &self.core;
        let span = |[low, _, high]: [f64; 3], scale: f64, zero: f64| {
            let (low, high) = (low * scale + zero, high * scale + zero);
            if high - low < 0.5 {
                format!("{low:.0}")
            } else {
                format!("{low:.0} to {high:.0}")
            }
        };
        let known = self.fit.as_ref().map_or(String::new(), |fit| {
            format!(", calibrated by {} coupons", fit.residuals.len())
        });
        format!(
            "HotAirGun({} °C, {} L/min, nozzle {:.0} mm{known})",
            span(gun.setpoint_k, 1.0, -273.15),
            span(gun.airflow_m3_s, 60e3, 0.0),
            gun.nozzle_m * 1e3,
        )
    }

    /// Copy the gun into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names; each range is low, likely, high.
    fn to_dict<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        words(slf.py(), "gun_dict")?.call1((slf,))
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        words(slf.py(), "gun_html")?.call1((slf,))
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let words = PyDict::new(py);
        match &self.made {
            Made::Given {
                setpoint,
                airflow,
                nozzle,
                airflow_meant_at,
                rated_power,
                room,
                reflector,
            } => {
                words.set_item("setpoint", setpoint)?;
                words.set_item("airflow", airflow)?;
                words.set_item("nozzle", nozzle)?;
                words.set_item("airflow_meant_at", airflow_meant_at)?;
                words.set_item("rated_power", rated_power)?;
                words.set_item("room", room)?;
                words.set_item("reflector", reflector)?;
            }
            Made::TwoSetting {
                setting,
                nozzle,
                room,
                reflector,
            } => {
                words.set_item("setting", setting)?;
                words.set_item("nozzle", nozzle)?;
                words.set_item("room", room)?;
                words.set_item("reflector", reflector)?;
            }
        }
        let make = py.import("mountwright._core")?.getattr("_gun")?;
        Ok((make, (words, self.coupons.clone()).into_pyobject(py)?))
    }
}

impl HotAirGun {
    fn made(made: Made) -> Result<Self> {
        let core = made.core()?;
        // Refuses now what `at` would refuse later.
        core.mean_at(0.1, (0.06, 0.2))?;
        Ok(Self {
            core,
            made,
            coupons: Vec::new(),
            fit: None,
        })
    }
}

/// Makes a gun again; for pickles.
#[pyfunction]
pub(super) fn _gun(
    py: Python<'_>,
    words: &Bound<'_, PyDict>,
    coupons: Vec<Coupon>,
) -> PyResult<HotAirGun> {
    let class = py.get_type::<HotAirGun>();
    let gun: HotAirGun = if words.contains("setting")? {
        let setting = words.get_item("setting")?;
        let words = words.copy()?;
        words.del_item("setting")?;
        class.call_method("two_setting", (setting,), Some(&words))?
    } else {
        class.call((), Some(words))?
    }
    .extract()?;
    if coupons.is_empty() {
        Ok(gun)
    } else {
        Ok(gun.calibrated(py, coupons)?)
    }
}

/// One timed trial of a shop with its gun.
///
/// Parameters
/// ----------
/// material : str
///     Name of the sheet's material.
/// thickness, distance : str
///     As measured.
/// patch : str, optional
///     Width and length of what was heated; that of a trial of the shop's file and memory about
///     which nothing is said, 50 mm x 100 mm, if left out.
/// back : str, default "open"
///     As for :func:`recipe`; a trial about which nothing is said was heated from one face only.
/// need : {"limp", "formable"}, default "limp"
///     What was waited for.
/// limp_after : str, optional
///     Time from the start of heat: ``"62 s"``; ``"62 s ± 5 s"`` says its standard uncertainty.
/// uncertainty : float, optional
///     Standard uncertainty of that time as a share; 0.10, usual by eye and watch, if left out.
/// trace : tuple of two array_like, optional
///     Instead: times [s] and temperatures [K] of a thermocouple or an infrared thermometer.
/// where : {"front", "back", "mean", "coldest", "hottest"}, default "front"
///     Where the trace was taken; the front is the face that is heated first.
/// trace_uncertainty : str, default "3 K"
///     Standard uncertainty of a temperature.
/// air : str, optional
///     Air of the shop; 20 degC if left out.
/// file : str, optional
///     A materials file of your own.
///
/// Raises
/// ------
/// ShapeError
///     Neither a time nor a trace, or both; times and temperatures that do not fit together.
/// UnitError
///     A text is not a quantity of its kind.
/// UnknownNameError
///     No material, back or place has that name.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> mw.Coupon("abs", thickness="3 mm", distance="120 mm", limp_after="62 s")
/// Coupon('abs', 3 mm at 120 mm: limp after 62 s)
#[pyclass(frozen, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq)]
pub(super) struct Coupon {
    question: Question,
    distance: String,
    patch: String,
    seen: Seen,
}

#[pymethods]
impl Coupon {
    #[new]
    #[pyo3(signature = (material, *, thickness, distance, patch=None, back="open", need="limp", limp_after=None, uncertainty=None, trace=None, r#where="front", trace_uncertainty="3 K", air=None, file=None))]
    #[allow(clippy::too_many_arguments)] // keywords in Python
    fn new(
        #[pyo3(from_py_with = kind::of)] material: &str,
        #[pyo3(from_py_with = kind::of)] thickness: &str,
        #[pyo3(from_py_with = kind::of)] distance: &str,
        #[pyo3(from_py_with = kind::of)] patch: Option<&str>,
        #[pyo3(from_py_with = kind::of)] back: &str,
        #[pyo3(from_py_with = kind::of)] need: &str,
        #[pyo3(from_py_with = kind::of)] limp_after: Option<&str>,
        #[pyo3(from_py_with = kind::of)] uncertainty: Option<f64>,
        #[pyo3(from_py_with = kind::of)] trace: Option<(Vec<f64>, Vec<f64>)>,
        #[pyo3(from_py_with = kind::of)] r#where: &str,
        #[pyo3(from_py_with = kind::of)] trace_uncertainty: &str,
        #[pyo3(from_py_with = kind::of)] air: Option<&str>,
        #[pyo3(from_py_with = kind::of)] file: Option<String>,
    ) -> Result<Self> {
        let usual = UsualTrial::get();
        let seen = match (limp_after, trace) {
            (Some(text), None) => {
                let Measure { value, plus_minus } = parse("limp_after", text, Dimension::Time)?;
                Seen::Limp {
                    seconds: value,
                    uncertainty: if plus_minus > 0.0 {
                        plus_minus / value
                    } else {
                        uncertainty.unwrap_or(usual.uncertainty)
                    },
                }
            }
            (None, Some((t_s, temperature_k))) => Seen::Trace {
                place: place(r#where)?,
                t_s,
                temperature_k,
                uncertainty_k: exact(
                    "trace_uncertainty",
                    trace_uncertainty,
                    Dimension::TemperatureDifference,
                )?,
            },
            (none, _) => {
                return Err(Error::Shape {
                    what: "coupon".into(),
                    given: if none.is_some() {
                        "a time and a trace".into()
                    } else {
                        "neither a time nor a trace".into()
                    },
                    allowed: "either limp_after or trace".into(),
                });
            }
        };
        let (width_m, length_m) = usual.patch_m;
        let usual_air = || format!("{:.2} °C", usual.air_k - 273.15);
        let air = air.map_or_else(usual_air, Into::into);
        let usual_patch = || format!("{width_m} m x {length_m} m");
        let coupon = Self {
            question: Question::plain(material, thickness, back, need, &air, file),
            distance: distance.into(),
            patch: patch.map_or_else(usual_patch, Into::into),
            seen,
        };
        // Any gun will do to see whether the rest can be.
        let core = coupon.core(&heat::HotAirGun::two_setting("I")?)?;
        calibrate::check_coupons(&[core])?;
        Ok(coupon)
    }

    fn __repr__(&self) -> String {
        let q = &self.question;
        let seen = match &self.seen {
            Seen::Limp { seconds, .. } => format!("{} after {seconds:.0} s", q.need),
            Seen::Trace { t_s, .. } => format!("a trace of {} points", t_s.len()),
        };
        format!(
            "Coupon('{}', {} at {}: {seen})",
            q.material, q.thickness, self.distance
        )
    }

    /// Copy it into plain dicts, lists, texts and numbers.
    ///
    /// Returns
    /// -------
    /// dict
    ///     What it was made with, by the names of its arguments.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        words(py, "coupon_dict")?.call1(self.__getnewargs_ex__(py)?)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
    }

    fn __getnewargs_ex__<'py>(&self, py: Python<'py>) -> PyResult<((String,), Bound<'py, PyDict>)> {
        let q = &self.question;
        let words = PyDict::new(py);
        words.set_item("thickness", &q.thickness)?;
        words.set_item("distance", &self.distance)?;
        words.set_item("patch", &self.patch)?;
        words.set_item("back", &q.back)?;
        words.set_item("need", &q.need)?;
        words.set_item("air", &q.air)?;
        words.set_item("file", &q.file)?;
        match &self.seen {
            Seen::Limp {
                seconds,
                uncertainty,
            } => {
                words.set_item("limp_after", format!("{seconds} s"))?;
                words.set_item("uncertainty", uncertainty)?;
            }
            Seen::Trace {
                place,
                t_s,
                temperature_k,
                uncertainty_k,
            } => {
                words.set_item("trace", (t_s.clone(), temperature_k.clone()))?;
                words.set_item("where", format!("{place:?}").to_lowercase())?;
                words.set_item("trace_uncertainty", format!("{uncertainty_k} K"))?;
            }
        }
        Ok(((q.material.clone(),), words))
    }
}

impl Coupon {
    fn core(&self, gun: &heat::HotAirGun) -> Result<calibrate::Coupon> {
        let distance_m = exact("distance", &self.distance, Dimension::Length)?;
        let patch_m = sides("patch", &self.patch)?;
        let exposure = gun.at(distance_m, patch_m)?;
        Ok(calibrate::Coupon {
            ask: self.question.ask(exposure, Some(patch_m.0))?.0,
            seen: self.seen.clone(),
        })
    }
}
