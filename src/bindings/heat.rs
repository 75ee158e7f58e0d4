//! The slab solver in Python.

use std::mem::take;

use numpy::{AllowTypeChange, IntoPyArray, PyArray1, PyArray2, PyArrayLike1};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use serde::Serialize;

use super::{kind, record};
use crate::error::{Error, Range, Result, check};
use crate::heat::film::{self, Lie};
use crate::heat::tools::bar;
use crate::heat::{self, Table, Where};

/// A place in a slab by its name.
pub(super) fn place(text: &str) -> Result<Where> {
    Ok(match text {
        "mean" => Where::Mean,
        "front" => Where::Front,
        "back" => Where::Back,
        "coldest" => Where::Coldest,
        "hottest" => Where::Hottest,
        other => {
            let known = ["mean", "front", "back", "coldest", "hottest"];
            return Err(Error::unknown("place in a slab", other, known));
        }
    })
}

/// How a face lies by its name.
pub(super) fn lie(text: &str) -> Result<Lie> {
    Ok(match text {
        "upright" => Lie::Upright,
        "facing up" => Lie::FacingUp,
        "facing down" => Lie::FacingDown,
        other => {
            let known = ["upright", "facing up", "facing down"];
            return Err(Error::unknown("lie of a face", other, known));
        }
    })
}

/// What acts on a face of a slab.
///
/// Parameters
/// ----------
/// film_w_m2_k : float, default 0
///     Film coefficient. [W/m²/K]
/// gas_k : float, default 293.15
///     Temperature that the film is referred to. [K]
/// emissivity : float, default 0
///     Emissivity of the face, 0 to 1.
/// surroundings_k : float, default 293.15
///     Radiating temperature of the surroundings. [K]
/// flux_w_m2 : float, default 0
///     Absorbed flux that does not depend on the face. [W/m²]
/// free_w_m2_k125 : float, default 0
///     Free convection as ``free · ΔT^1.25``; :meth:`Face.cooling` works it out. [W/m²/K^1.25]
/// still_k : float, default 293.15
///     Temperature of the still air. [K]
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> mw.Face(film_w_m2_k=62, gas_k=513).gas_k
/// 513.0
/// >>> mw.Face(film_w_m2_k=10, gas_k=300).heat_in_w_m2(350)
/// -500.0
#[pyclass(frozen, get_all, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Face {
    film_w_m2_k: f64,
    gas_k: f64,
    emissivity: f64,
    surroundings_k: f64,
    flux_w_m2: f64,
    free_w_m2_k125: f64,
    still_k: f64,
}

#[pymethods]
impl Face {
    #[new]
    #[pyo3(signature = (*, film_w_m2_k=0.0, gas_k=293.15, emissivity=0.0, surroundings_k=293.15, flux_w_m2=0.0, free_w_m2_k125=0.0, still_k=293.15))]
    fn new(
        #[pyo3(from_py_with = kind::of)] film_w_m2_k: f64,
        #[pyo3(from_py_with = kind::of)] gas_k: f64,
        #[pyo3(from_py_with = kind::of)] emissivity: f64,
        #[pyo3(from_py_with = kind::of)] surroundings_k: f64,
        #[pyo3(from_py_with = kind::of)] flux_w_m2: f64,
        #[pyo3(from_py_with = kind::of)] free_w_m2_k125: f64,
        #[pyo3(from_py_with = kind::of)] still_k: f64,
    ) -> Result<Self> {
        let face = Self {
            film_w_m2_k,
            gas_k,
            emissivity,
            surroundings_k,
            flux_w_m2,
            free_w_m2_k125,
            still_k,
        };
        face.core().check("face")?;
        Ok(face)
    }

    /// A face that cools in still air and to walls at air temperature.
    ///
    /// The film follows ``ΔT^¼`` through its value at a face ``typical_k``.
    #[staticmethod]
    #[pyo3(signature = (*, typical_k, air_k, length_m, emissivity, lie="upright"))]
    fn cooling(
        typical_k: f64,
        air_k: f64,
        length_m: f64,
        emissivity: f64,
        lie: &str,
    ) -> Result<Self> {
        let lie = self::lie(lie)?;
        film::cooling(typical_k, air_k, length_m, lie, emissivity).map(Self::from)
    }

    /// A face under a wet cloth that is pressed on and kept wet.
    #[staticmethod]
    #[pyo3(signature = (*, cloth_k=293.15))]
    fn wet_cloth(cloth_k: f64) -> Result<Self> {
        bar::wet_cloth(cloth_k).map(Self::from)
    }

    /// Heat that flows into the face at a temperature. [W/m²]
    fn heat_in_w_m2(&self, temperature_k: f64) -> f64 {
        self.core().heat_in_w_m2(temperature_k)
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
        let usual = heat::Face::INSULATED;
        let mut words = Vec::new();
        for (name, value, plain) in [
            ("film_w_m2_k", self.film_w_m2_k, usual.film_w_m2_k),
            ("gas_k", self.gas_k, usual.gas_k),
            ("emissivity", self.emissivity, usual.emissivity),
            ("surroundings_k", self.surroundings_k, usual.surroundings_k),
            ("flux_w_m2", self.flux_w_m2, usual.flux_w_m2),
            ("free_w_m2_k125", self.free_w_m2_k125, usual.free_w_m2_k125),
            ("still_k", self.still_k, usual.still_k),
        ] {
            if value.to_bits() != plain.to_bits() {
                words.push(format!("{name}={value:?}"));
            }
        }
        format!("Face({})", words.join(", "))
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyDict>)> {
        let words = PyDict::new(py);
        words.set_item("film_w_m2_k", self.film_w_m2_k)?;
        words.set_item("gas_k", self.gas_k)?;
        words.set_item("emissivity", self.emissivity)?;
        words.set_item("surroundings_k", self.surroundings_k)?;
        words.set_item("flux_w_m2", self.flux_w_m2)?;
        words.set_item("free_w_m2_k125", self.free_w_m2_k125)?;
        words.set_item("still_k", self.still_k)?;
        Ok((nothing(py), words))
    }
}

/// The positional arguments of a constructor that takes none.
fn nothing(py: Python<'_>) -> Bound<'_, PyAny> {
    pyo3::types::PyTuple::empty(py).into_any()
}

impl From<heat::Face> for Face {
    fn from(face: heat::Face) -> Self {
        Self {
            film_w_m2_k: face.film_w_m2_k,
            gas_k: face.gas_k,
            emissivity: face.emissivity,
            surroundings_k: face.surroundings_k,
            flux_w_m2: face.flux_w_m2,
            free_w_m2_k125: face.free_w_m2_k125,
            still_k: face.still_k,
        }
    }
}

impl Face {
    fn core(&self) -> heat::Face {
        heat::Face {
            film_w_m2_k: self.film_w_m2_k,
            gas_k: self.gas_k,
            free_w_m2_k125: self.free_w_m2_k125,
            still_k: self.still_k,
            emissivity: self.emissivity,
            surroundings_k: self.surroundings_k,
            flux_w_m2: self.flux_w_m2,
        }
    }
}

/// A stretch of time with the same faces.
///
/// Parameters
/// ----------
/// seconds : float
///     How long it lasts. [s]
/// front, back : Face
///     What acts on the two faces.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> mw.Step(seconds=150, front=mw.Face(film_w_m2_k=62, gas_k=513), back=mw.Face()).seconds
/// 150.0
#[pyclass(frozen, get_all, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Step {
    seconds: f64,
    front: Face,
    back: Face,
}

#[pymethods]
impl Step {
    #[new]
    #[pyo3(signature = (*, seconds, front, back))]
    fn new(
        #[pyo3(from_py_with = kind::of)] seconds: f64,
        #[pyo3(from_py_with = kind::of)] front: Face,
        #[pyo3(from_py_with = kind::of)] back: Face,
    ) -> Result<Self> {
        let step = Self {
            seconds,
            front,
            back,
        };
        step.core().check("step")?;
        Ok(step)
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
        format!(
            "Step(seconds={:?}, front={}, back={})",
            self.seconds,
            self.front.__repr__(),
            self.back.__repr__()
        )
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyDict>)> {
        let words = PyDict::new(py);
        words.set_item("seconds", self.seconds)?;
        words.set_item("front", self.front.clone())?;
        words.set_item("back", self.back.clone())?;
        Ok((nothing(py), words))
    }
}

impl Step {
    fn core(&self) -> heat::Step {
        heat::Step {
            seconds: self.seconds,
            front: self.front.core(),
            back: self.back.core(),
        }
    }
}

/// Melting and freezing of a polymer; it may freeze along another branch than it melts.
///
/// The molten share rises along the melting range while it warms, falls along the freezing range while
/// it cools, and stays as it is between the two. Both are S-shaped: a triangular peak of a calorimeter.
///
/// Parameters
/// ----------
/// latent_j_kg : float
///     Heat of melting of the sheet as it is, not of a full crystal. [J/kg]
/// melts_k : tuple of three floats
///     Start, peak and end of melting. [K]
/// freezes_k : tuple of three floats, optional
///     Low end, peak and high end of freezing; the melting range if left out. [K]
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> mw.Melting(latent_j_kg=70e3, melts_k=(318, 331, 338), freezes_k=(293, 300, 308)).melts_k
/// (318.0, 331.0, 338.0)
#[pyclass(frozen, get_all, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Melting {
    latent_j_kg: f64,
    melts_k: (f64, f64, f64),
    freezes_k: (f64, f64, f64),
}

#[pymethods]
impl Melting {
    #[new]
    #[pyo3(signature = (*, latent_j_kg, melts_k, freezes_k=None))]
    fn new(
        #[pyo3(from_py_with = kind::of)] latent_j_kg: f64,
        #[pyo3(from_py_with = kind::of)] melts_k: (f64, f64, f64),
        #[pyo3(from_py_with = kind::of)] freezes_k: Option<(f64, f64, f64)>,
    ) -> Result<Self> {
        let melting = Self {
            latent_j_kg,
            melts_k,
            freezes_k: freezes_k.unwrap_or(melts_k),
        };
        melting.core()?;
        Ok(melting)
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
        format!(
            "Melting(latent_j_kg={:?}, melts_k={:?}, freezes_k={:?})",
            self.latent_j_kg, self.melts_k, self.freezes_k
        )
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyDict>)> {
        let words = PyDict::new(py);
        words.set_item("latent_j_kg", self.latent_j_kg)?;
        words.set_item("melts_k", self.melts_k)?;
        words.set_item("freezes_k", self.freezes_k)?;
        Ok((nothing(py), words))
    }
}

impl Melting {
    fn core(&self) -> Result<heat::Melting> {
        heat::Melting::between(self.latent_j_kg, self.melts_k, self.freezes_k)
    }
}

/// A property: one value, or points over temperature.
#[derive(FromPyObject, IntoPyObject, Clone, PartialEq, Serialize)]
#[serde(untagged)]
enum Property {
    One(f64),
    Points(Vec<f64>, Vec<f64>),
}

/// Temperatures at the start: one for the whole layer, or several evenly spaced through it.
#[derive(FromPyObject, IntoPyObject, Clone, PartialEq, Serialize)]
#[serde(untagged)]
enum Start {
    One(f64),
    Many(Vec<f64>),
}

impl Property {
    fn core(&self) -> crate::Result<Table> {
        match self {
            Self::One(value) => Ok(Table::constant(*value)),
            Self::Points(temperature_k, value) => Table::new(temperature_k.clone(), value.clone()),
        }
    }
}

/// A layer of a slab.
///
/// Parameters
/// ----------
/// thickness_m : float
///     Thickness, 0.01 mm to 1 m. [m]
/// conductivity_w_m_k : float or tuple of two lists
///     Conductivity, or temperatures [K] and conductivities. [W/m/K]
/// density_kg_m3 : float
///     Density. [kg/m³]
/// heat_capacity_j_kg_k : float or tuple of two lists
///     Heat capacity, or temperatures [K] and heat capacities. [J/kg/K]
/// start_k : float or list of float
///     Temperature at the start, or several evenly spaced from its front to its back. [K]
/// melting : Melting, optional
///     Melting and freezing, where it melts; the heat capacity is then that without them.
/// contact_w_m2_k : float, optional
///     Contact conductance to the next layer; without it the contact is perfect. [W/m²/K]
/// cells : int, optional
///     Number of cells; 32, or 48 where it melts.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> sheet = mw.Layer(thickness_m=3e-3, conductivity_w_m_k=0.18, density_kg_m3=1180,
/// ...                  heat_capacity_j_kg_k=1500, start_k=293)
#[pyclass(frozen, get_all, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq, Serialize)]
pub(super) struct Layer {
    thickness_m: f64,
    conductivity_w_m_k: Property,
    density_kg_m3: f64,
    heat_capacity_j_kg_k: Property,
    start_k: Start,
    melting: Option<Melting>,
    contact_w_m2_k: Option<f64>,
    cells: Option<usize>,
}

#[pymethods]
impl Layer {
    #[new]
    #[pyo3(signature = (*, thickness_m, conductivity_w_m_k, density_kg_m3, heat_capacity_j_kg_k, start_k, melting=None, contact_w_m2_k=None, cells=None))]
    #[allow(clippy::too_many_arguments)] // keywords in Python
    fn new(
        #[pyo3(from_py_with = kind::of)] thickness_m: f64,
        #[pyo3(from_py_with = kind::of)] conductivity_w_m_k: Property,
        #[pyo3(from_py_with = kind::of)] density_kg_m3: f64,
        #[pyo3(from_py_with = kind::of)] heat_capacity_j_kg_k: Property,
        #[pyo3(from_py_with = kind::of)] start_k: Start,
        #[pyo3(from_py_with = kind::of)] melting: Option<Melting>,
        #[pyo3(from_py_with = kind::of)] contact_w_m2_k: Option<f64>,
        #[pyo3(from_py_with = kind::of)] cells: Option<usize>,
    ) -> Result<Self> {
        let layer = Self {
            thickness_m,
            conductivity_w_m_k,
            density_kg_m3,
            heat_capacity_j_kg_k,
            start_k,
            melting,
            contact_w_m2_k,
            cells,
        };
        layer.core()?.part("layer")?;
        Ok(layer)
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
        let melts = if self.melting.is_some() {
            ", it melts"
        } else {
            ""
        };
        format!(
            "Layer({:?} m, {:?} kg/m3{melts})",
            self.thickness_m, self.density_kg_m3
        )
    }

    fn __getnewargs_ex__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyDict>)> {
        let words = PyDict::new(py);
        words.set_item("thickness_m", self.thickness_m)?;
        words.set_item("conductivity_w_m_k", self.conductivity_w_m_k.clone())?;
        words.set_item("density_kg_m3", self.density_kg_m3)?;
        words.set_item("heat_capacity_j_kg_k", self.heat_capacity_j_kg_k.clone())?;
        words.set_item("start_k", self.start_k.clone())?;
        words.set_item("melting", self.melting.clone())?;
        words.set_item("contact_w_m2_k", self.contact_w_m2_k)?;
        words.set_item("cells", self.cells)?;
        Ok((nothing(py), words))
    }
}

impl Layer {
    fn core(&self) -> crate::Result<heat::Layer> {
        Ok(heat::Layer {
            thickness_m: self.thickness_m,
            conductivity_w_m_k: self.conductivity_w_m_k.core()?,
            density_kg_m3: self.density_kg_m3,
            heat_capacity_j_kg_k: self.heat_capacity_j_kg_k.core()?,
            melting: self.melting.as_ref().map(Melting::core).transpose()?,
            start_k: match &self.start_k {
                Start::One(k) => vec![*k],
                Start::Many(k) => k.clone(),
            },
            contact_w_m2_k: self.contact_w_m2_k,
            cells: self.cells,
        })
    }
}

/// A function of Python that puts an answer into words.
pub(super) fn words<'py>(py: Python<'py>, name: &str) -> PyResult<Bound<'py, PyAny>> {
    py.import("mountwright.heat_words")?.getattr(name)
}

/// Temperatures of a slab over time and depth.
///
/// Two histories are equal when the same was asked of both; they are pickled as their question.
#[pyclass(frozen, module = "mountwright._core")]
pub(super) struct SlabHistory {
    /// Times, shape (n,). [s]
    #[pyo3(get)]
    t_s: Py<PyArray1<f64>>,
    /// Depths from the front, shape (m,). [m]
    #[pyo3(get)]
    x_m: Py<PyArray1<f64>>,
    /// Temperatures, shape (n, m). [K]
    #[pyo3(get)]
    temperature_k: Py<PyArray2<f64>>,
    /// Mean over the thickness, shape (n,). [K]
    #[pyo3(get)]
    mean_k: Py<PyArray1<f64>>,
    /// Front face, shape (n,). [K]
    #[pyo3(get)]
    front_k: Py<PyArray1<f64>>,
    /// Back face, shape (n,). [K]
    #[pyo3(get)]
    back_k: Py<PyArray1<f64>>,
    /// Coldest point, shape (n,). [K]
    #[pyo3(get)]
    coldest_k: Py<PyArray1<f64>>,
    /// Hottest point, shape (n,). [K]
    #[pyo3(get)]
    hottest_k: Py<PyArray1<f64>>,
    /// Heat that went in through front and back. [J/m²]
    #[pyo3(get)]
    supplied_j_m2: (f64, f64),
    /// Heat stored less heat supplied, over the sum of the heat through both faces.
    #[pyo3(get)]
    energy_error: f64,
    /// Steps that the solver took.
    #[pyo3(get)]
    steps: usize,
    /// The record of every step; its arrays were handed out.
    core: heat::History,
    /// What was asked: the same question gives the same history.
    asked: (Vec<Layer>, Vec<Step>, Vec<f64>),
}

#[pymethods]
impl SlabHistory {
    /// First time at which the slab, or one of its layers, rises (or falls) to a level.
    ///
    /// Located inside the step of the solver, whatever times are reported.
    ///
    /// Parameters
    /// ----------
    /// where : {"mean", "front", "back", "coldest", "hottest"}
    ///     The place.
    /// level_k : float
    ///     The level. [K]
    /// rising : bool, default True
    ///     Whether it must come from below; a slab that starts at or beyond the level gives 0.
    /// layer : int, optional
    ///     One layer, counted from 0 at the front, instead of the whole slab.
    ///
    /// Returns
    /// -------
    /// float or None
    ///     The time; None if never, or for a layer that is not there. [s]
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     No place has that name.
    /// OutOfRangeError
    ///     A level that is not finite.
    ///
    /// Examples
    /// --------
    /// >>> import mountwright as mw
    /// >>> sheet = mw.Layer(thickness_m=3e-3, conductivity_w_m_k=0.18, density_kg_m3=1180,
    /// ...                  heat_capacity_j_kg_k=1500, start_k=293)
    /// >>> gun = mw.Face(film_w_m2_k=60, gas_k=500)
    /// >>> history = mw.heat_slab([sheet], [mw.Step(seconds=150, front=gun, back=mw.Face())])
    /// >>> history.first_time("front", 380) < history.first_time("coldest", 380)
    /// True
    #[pyo3(signature = (r#where, level_k, *, rising=true, layer=None))]
    fn first_time(
        &self,
        r#where: &str,
        level_k: f64,
        rising: bool,
        layer: Option<usize>,
    ) -> Result<Option<f64>> {
        let at = place(r#where)?;
        let finite = Range::new(-f64::MAX, f64::MAX, "K");
        check("level_k", level_k, finite, "give a temperature")?;
        Ok(match layer {
            None => self.core.first_time(at, level_k, rising),
            Some(layer) => self.core.first_time_in(layer, at, level_k, rising),
        })
    }

    /// Copy the history into plain dicts, lists and numbers.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        words(slf.py(), "slab_dict")?.call1((slf,))
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        words(slf.py(), "slab_html")?.call1((slf,))
    }

    fn __repr__(&self) -> String {
        format!("SlabHistory({} steps of the solver)", self.steps)
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other
            .cast::<Self>()
            .is_ok_and(|other| other.get().asked == self.asked)
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let make = py.import("mountwright._core")?.getattr("heat_slab")?;
        Ok((make, self.asked.clone().into_pyobject(py)?))
    }
}

/// Follow a stack of layers through a sequence of steps.
///
/// One-dimensional transient conduction with convection and radiation at each face, by finite
/// volumes and an adaptive, L-stable method; the energy closes to rounding.
///
/// Parameters
/// ----------
/// layers : list of Layer
///     From the front to the back.
/// steps : list of Step
///     One after the other.
/// at_s : array_like, optional
///     Times to report, rising; without it every step of the solver is reported. [s]
///
/// Returns
/// -------
/// SlabHistory
///     Temperatures, means and faces over time.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number cannot be; the message names its place.
/// ShapeError
///     Lists that do not fit together.
///
/// References
/// ----------
/// .. [1] Hosea and Shampine, Appl. Numer. Math. 20 (1996) 21-37 (the time stepping).
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> sheet = mw.Layer(thickness_m=3e-3, conductivity_w_m_k=0.18, density_kg_m3=1180,
/// ...                  heat_capacity_j_kg_k=1500, start_k=293)
/// >>> gun = mw.Face(film_w_m2_k=60, gas_k=500)
/// >>> history = mw.heat_slab([sheet], [mw.Step(seconds=150, front=gun, back=mw.Face())], [150])
/// >>> bool(history.front_k[0] > history.back_k[0] > 350)
/// True
#[pyfunction]
#[pyo3(signature = (layers, steps, at_s=None))]
pub(super) fn heat_slab(
    py: Python<'_>,
    layers: Vec<Layer>,
    steps: Vec<Step>,
    at_s: Option<PyArrayLike1<'_, f64, AllowTypeChange>>,
) -> PyResult<SlabHistory> {
    let at_s = at_s.map_or_else(Vec::new, |t| t.as_array().to_vec());
    let asked = (layers, steps, at_s.clone());
    let layers = asked
        .0
        .iter()
        .map(Layer::core)
        .collect::<crate::Result<Vec<_>>>()?;
    let steps: Vec<heat::Step> = asked.1.iter().map(Step::core).collect();
    let mut done = py.detach(move || heat::heat_slab(&layers, &steps, &at_s))?;
    Ok(SlabHistory {
        t_s: take(&mut done.t_s).into_pyarray(py).unbind(),
        x_m: take(&mut done.x_m).into_pyarray(py).unbind(),
        temperature_k: take(&mut done.temperature_k).into_pyarray(py).unbind(),
        mean_k: take(&mut done.mean_k).into_pyarray(py).unbind(),
        front_k: take(&mut done.front_k).into_pyarray(py).unbind(),
        back_k: take(&mut done.back_k).into_pyarray(py).unbind(),
        coldest_k: take(&mut done.coldest_k).into_pyarray(py).unbind(),
        hottest_k: take(&mut done.hottest_k).into_pyarray(py).unbind(),
        supplied_j_m2: (done.supplied_j_m2[0], done.supplied_j_m2[1]),
        energy_error: done.energy_error,
        steps: done.steps,
        core: done,
        asked,
    })
}
