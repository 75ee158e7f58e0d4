//! The slab solver in Python.

use numpy::{AllowTypeChange, IntoPyArray, PyArray1, PyArray2, PyArrayLike1};
use pyo3::prelude::*;

use crate::heat::{self, Table};

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
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> mw.Face(film_w_m2_k=62, gas_k=513).gas_k
/// 513.0
#[pyclass(frozen, get_all, eq, from_py_object, module = "mountwright._core")]
#[derive(Clone, PartialEq)]
pub(super) struct Face {
    film_w_m2_k: f64,
    gas_k: f64,
    emissivity: f64,
    surroundings_k: f64,
    flux_w_m2: f64,
}

#[pymethods]
impl Face {
    #[new]
    #[pyo3(signature = (*, film_w_m2_k=0.0, gas_k=293.15, emissivity=0.0, surroundings_k=293.15, flux_w_m2=0.0))]
    fn new(
        film_w_m2_k: f64,
        gas_k: f64,
        emissivity: f64,
        surroundings_k: f64,
        flux_w_m2: f64,
    ) -> Self {
        Self {
            film_w_m2_k,
            gas_k,
            emissivity,
            surroundings_k,
            flux_w_m2,
        }
    }
}

impl Face {
    fn core(&self) -> heat::Face {
        heat::Face {
            film_w_m2_k: self.film_w_m2_k,
            gas_k: self.gas_k,
            emissivity: self.emissivity,
            surroundings_k: self.surroundings_k,
            flux_w_m2: self.flux_w_m2,
            ..heat::Face::INSULATED
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
#[derive(Clone, PartialEq)]
pub(super) struct Step {
    seconds: f64,
    front: Face,
    back: Face,
}

#[pymethods]
impl Step {
    #[new]
    #[pyo3(signature = (*, seconds, front, back))]
    fn new(seconds: f64, front: Face, back: Face) -> Self {
        Self {
            seconds,
            front,
            back,
        }
    }
}

/// A property: one value, or points over temperature.
#[derive(FromPyObject, Clone)]
enum Property {
    One(f64),
    Points(Vec<f64>, Vec<f64>),
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
/// start_k : float
///     Temperature at the start. [K]
/// contact_w_m2_k : float, optional
///     Contact conductance to the next layer; without it the contact is perfect. [W/m²/K]
/// cells : int, optional
///     Number of cells; 32 where nothing is said.
///
/// Examples
/// --------
/// >>> import mountwright as mw
/// >>> sheet = mw.Layer(thickness_m=3e-3, conductivity_w_m_k=0.18, density_kg_m3=1180,
/// ...                  heat_capacity_j_kg_k=1500, start_k=293)
#[pyclass(frozen, from_py_object, module = "mountwright._core")]
#[derive(Clone)]
pub(super) struct Layer {
    thickness_m: f64,
    conductivity_w_m_k: Property,
    density_kg_m3: f64,
    heat_capacity_j_kg_k: Property,
    start_k: f64,
    contact_w_m2_k: Option<f64>,
    cells: Option<usize>,
}

#[pymethods]
impl Layer {
    #[new]
    #[pyo3(signature = (*, thickness_m, conductivity_w_m_k, density_kg_m3, heat_capacity_j_kg_k, start_k, contact_w_m2_k=None, cells=None))]
    fn new(
        thickness_m: f64,
        conductivity_w_m_k: Property,
        density_kg_m3: f64,
        heat_capacity_j_kg_k: Property,
        start_k: f64,
        contact_w_m2_k: Option<f64>,
        cells: Option<usize>,
    ) -> Self {
        Self {
            thickness_m,
            conductivity_w_m_k,
            density_kg_m3,
            heat_capacity_j_kg_k,
            start_k,
            contact_w_m2_k,
            cells,
        }
    }
}

impl Layer {
    fn core(&self) -> crate::Result<heat::Layer> {
        Ok(heat::Layer {
            thickness_m: self.thickness_m,
            conductivity_w_m_k: self.conductivity_w_m_k.core()?,
            density_kg_m3: self.density_kg_m3,
            heat_capacity_j_kg_k: self.heat_capacity_j_kg_k.core()?,
            melting: None,
            start_k: vec![self.start_k],
            contact_w_m2_k: self.contact_w_m2_k,
            cells: self.cells,
        })
    }
}

/// Temperatures of a slab over time and depth.
#[pyclass(frozen, get_all, module = "mountwright._core")]
pub(super) struct SlabHistory {
    /// Times, shape (n,). [s]
    t_s: Py<PyArray1<f64>>,
    /// Depths from the front, shape (m,). [m]
    x_m: Py<PyArray1<f64>>,
    /// Temperatures, shape (n, m). [K]
    temperature_k: Py<PyArray2<f64>>,
    /// Mean over the thickness, shape (n,). [K]
    mean_k: Py<PyArray1<f64>>,
    /// Front face, shape (n,). [K]
    front_k: Py<PyArray1<f64>>,
    /// Back face, shape (n,). [K]
    back_k: Py<PyArray1<f64>>,
    /// Heat stored less heat supplied, over the sum of the heat through both faces.
    energy_error: f64,
    /// Steps that the solver took.
    steps: usize,
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
    let layers = layers
        .iter()
        .map(Layer::core)
        .collect::<crate::Result<Vec<_>>>()?;
    let steps: Vec<heat::Step> = steps
        .iter()
        .map(|s| heat::Step {
            seconds: s.seconds,
            front: s.front.core(),
            back: s.back.core(),
        })
        .collect();
    let at_s = at_s.map_or_else(Vec::new, |t| t.as_array().to_vec());
    let done = py.detach(move || heat::heat_slab(&layers, &steps, &at_s))?;
    Ok(SlabHistory {
        t_s: done.t_s.into_pyarray(py).unbind(),
        x_m: done.x_m.into_pyarray(py).unbind(),
        temperature_k: done.temperature_k.into_pyarray(py).unbind(),
        mean_k: done.mean_k.into_pyarray(py).unbind(),
        front_k: done.front_k.into_pyarray(py).unbind(),
        back_k: done.back_k.into_pyarray(py).unbind(),
        energy_error: done.energy_error,
        steps: done.steps,
    })
}
