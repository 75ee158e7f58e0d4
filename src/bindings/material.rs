//! Materials in Python.

use std::borrow::Cow;

use pyo3::prelude::*;
use serde::Serialize;

use super::record;
use crate::error::{Error, Note, Result};
use crate::job::text_of;
use crate::material::{
    AtTemperature, Candidate, Catalogue, Material, MeasuredSheet, Piece, Property, PropertyRow,
    Square, Texture, Use, Wanted, Weights, rank,
};
use crate::provenance::Provenance;
use crate::quantity::{Dimension, Measure, parse};

/// The standard catalogue, with a user's file over it where one is named.
pub(super) fn catalogue(file: Option<&str>) -> Result<Cow<'static, Catalogue>> {
    let standard = Catalogue::standard()?;
    match file {
        None => Ok(Cow::Borrowed(standard)),
        Some(path) => Ok(Cow::Owned(standard.overlaid_with(&text_of(path)?, path)?)),
    }
}

/// A material with its numbers for people.
#[derive(Serialize)]
struct Out<'a> {
    #[serde(flatten)]
    material: &'a Material,
    rows: Vec<PropertyRow>,
}

impl<'a> From<&'a Material> for Out<'a> {
    fn from(material: &'a Material) -> Self {
        Self {
            material,
            rows: material.rows(),
        }
    }
}

#[derive(Serialize)]
struct Many<'a> {
    materials: Vec<Out<'a>>,
}

fn value(what: &str, text: Option<&str>, dimension: Dimension) -> Result<Option<f64>> {
    text.map(|text| parse(what, text, dimension).map(|m| m.value))
        .transpose()
}

fn measure(what: &str, text: Option<&str>, dimension: Dimension) -> Result<Option<Measure>> {
    text.map(|text| parse(what, text, dimension)).transpose()
}

/// A word of an enumeration, read as serde writes it.
pub(super) fn word<T: serde::de::DeserializeOwned>(
    kind: &str,
    text: &str,
    known: &[&str],
) -> Result<T> {
    serde_json::from_value(text.into())
        .map_err(|_| Error::unknown(kind, text, known.iter().copied()))
}

/// Look up a material.
///
/// Parameters
/// ----------
/// name : str
///     Its name or an alias of the trade; case, spaces and hyphens do not matter.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Material
///     Each property is an attribute with ``value``, ``low``, ``high``, ``unit`` (SI), ``source``,
///     ``standing``, ``note`` and ``origin``, the file that it came from.
///
/// Raises
/// ------
/// UnknownNameError
///     No material has that name; ``near`` holds the nearest.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> sheet = mw.material("foamed PVC")
/// >>> sheet.name, sheet.limp.unit, sheet.limp.standing
/// ('expanded-pvc', 'K', 'published')
#[pyfunction]
#[pyo3(signature = (name, *, file = None))]
pub(super) fn material<'py>(
    py: Python<'py>,
    name: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let catalogue = py.detach(|| catalogue(file))?;
    record::give(py, "Material", &Out::from(catalogue.get(name)?))
}

/// List the materials that do what is wanted.
///
/// Parameters
/// ----------
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
/// role : {"sheet", "gasket", "body"}, optional
///     What it is for.
/// limp_at, formable_at : str, optional
///     Limp, or drawing, at this temperature or below: ``"120 °C"``.
/// softens_above : str, optional
///     Softens at this temperature or above.
/// survives : str, optional
///     Stands this temperature for long: softens 10 K above it or higher (common practice; a part
///     that was formed hot wants 15 K more).
/// stocked : str, optional
///     Stocked in this thickness: ``"3 mm"``, ``"1/8 in"``.
/// contains_pvc : bool, optional
///     With or without PVC.
///
/// Returns
/// -------
/// Materials
///     A sequence, in the order of the names; prints as a table.
///
/// Raises
/// ------
/// UnitError
///     A temperature or thickness is none.
/// UnknownNameError
///     No role has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> [m.name for m in mw.materials(role="sheet", survives="95 °C")]
/// ['pc']
/// >>> [m.name for m in mw.materials(limp_at="117 °C", role="sheet")]
/// ['pcl', 'petg', 'rigid-pvc']
#[pyfunction]
#[pyo3(signature = (*, file = None, role = None, limp_at = None, formable_at = None, softens_above = None, survives = None, stocked = None, contains_pvc = None))]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn materials<'py>(
    py: Python<'py>,
    file: Option<&str>,
    role: Option<&str>,
    limp_at: Option<&str>,
    formable_at: Option<&str>,
    softens_above: Option<&str>,
    survives: Option<&str>,
    stocked: Option<&str>,
    contains_pvc: Option<bool>,
) -> PyResult<Bound<'py, PyAny>> {
    let wanted = Wanted {
        role: role
            .map(|role| word("role", role, &["sheet", "gasket", "body"]))
            .transpose()?,
        limp_at_k: value("limp_at", limp_at, Dimension::Temperature)?,
        formable_at_k: value("formable_at", formable_at, Dimension::Temperature)?,
        softens_above_k: value("softens_above", softens_above, Dimension::Temperature)?,
        survives_k: value("survives", survives, Dimension::Temperature)?,
        stocked_m: value("stocked", stocked, Dimension::Length)?,
        contains_pvc,
    };
    let catalogue = py.detach(|| catalogue(file))?;
    let materials = catalogue
        .matching(&wanted)
        .into_iter()
        .map(Out::from)
        .collect();
    record::give(py, "Materials", &Many { materials })
}

/// Set materials side by side.
///
/// Parameters
/// ----------
/// names : sequence of str
///     Materials, one row each.
/// properties : sequence of str
///     Properties, one column each: ``"limp"``, ``"hdt_1820"``.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Comparison
///     ``columns`` and ``rows``, value and range in shop units; prints as a table.
///
/// Raises
/// ------
/// UnknownNameError
///     No material, or no property, has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> print(mw.compare_materials(["abs", "pc"], ["limp", "hdt_1820"]))
/// material  limp                 hdt 1820
/// abs       127 (127 to 130) °C  93 (80 to 104) °C
/// pc        168 (163 to 170) °C  134 (128 to 138) °C
#[pyfunction]
#[pyo3(signature = (names, properties, *, file = None))]
pub(super) fn compare_materials<'py>(
    py: Python<'py>,
    names: Vec<String>,
    properties: Vec<String>,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let catalogue = py.detach(|| catalogue(file))?;
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let columns = properties
        .iter()
        .map(|p| Property::named(p))
        .collect::<Result<Vec<_>>>()?;
    record::give(py, "Comparison", &catalogue.compared(&names, &columns)?)
}

/// Read a material at a temperature.
///
/// Parameters
/// ----------
/// name : str
///     Its name or an alias.
/// temperature : str
///     ``"80 °C"``, -60 to 400 °C.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// MaterialAt
///     Conductivity, heat capacity, modulus, yield strength, creep modulus after 1000 h, in SI;
///     ``None`` where the catalogue has nothing to build it from. ``notes`` say which of the data
///     behind them are weak or in conflict.
///
/// Raises
/// ------
/// OutOfRangeError
///     The temperature lies outside -60 to 400 °C.
/// UnitError
///     The temperature is none.
/// UnknownNameError
///     No material has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> hot, cold = mw.material_at("abs", "80 °C"), mw.material_at("abs", "23 °C")
/// >>> 0.5 < hot.modulus_pa / cold.modulus_pa < 0.8
/// True
/// >>> [note.about for note in cold.notes]
/// ['abs, heat capacity', 'abs, heat capacity']
#[pyfunction]
#[pyo3(signature = (name, temperature, *, file = None))]
pub(super) fn material_at<'py>(
    py: Python<'py>,
    name: &str,
    temperature: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let at = parse("temperature", temperature, Dimension::Temperature)?;
    let catalogue = py.detach(|| catalogue(file))?;
    let material = catalogue.get(name)?;
    let found = material.properties().at(at.value)?;
    let notes = material.notes_on(&[
        Property::Conductivity,
        Property::HeatCapacity,
        Property::YoungsModulus,
        Property::YieldStrength,
        Property::CreepFactor,
    ]);
    let out = At {
        notes: [found.held.clone(), notes].concat(),
        at: found,
    };
    record::give(py, "MaterialAt", &out)
}

/// Tell what is to be known of a sheet: surprises, conflicts of sources, weak data.
///
/// A recipe tells this by itself; columns of numbers, as :func:`recipes` and :func:`quick_recipes` give
/// them, have no place for it.
///
/// Parameters
/// ----------
/// name : str
///     Its name or an alias.
/// thickness : str, default "3 mm"
///     As it is sold; with ``±``, as it was measured: then nothing is told of its tolerance.
/// formed : bool, default True
///     Formed hot, not only cut.
/// infrared : bool, default False
///     Heated by radiation.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// list of Record
///     Each with ``about`` and ``text``.
///
/// Raises
/// ------
/// OutOfRangeError
///     The thickness lies outside 0.1 to 100 mm.
/// UnitError
///     The thickness is none.
/// UnknownNameError
///     No material has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> told = mw.material_notes("cast acrylic", thickness="3 mm", formed=False)
/// >>> [note.text for note in told if "2.3 to 3.7" in note.text][-1][:34]
/// 'sold as 3.0 mm it may be 2.3 to 3.'
#[pyfunction]
#[pyo3(signature = (name, *, thickness = "3 mm", formed = true, infrared = false, file = None))]
pub(super) fn material_notes<'py>(
    py: Python<'py>,
    name: &str,
    thickness: &str,
    formed: bool,
    infrared: bool,
    file: Option<&str>,
) -> PyResult<Vec<Bound<'py, PyAny>>> {
    let thickness = parse("thickness", thickness, Dimension::Length)?;
    let used = Use {
        formed,
        infrared,
        measured: thickness.plus_minus > 0.0,
    };
    let catalogue = py.detach(|| catalogue(file))?;
    let notes = catalogue.get(name)?.notes_of_sheet(thickness.value, used)?;
    notes
        .iter()
        .map(|note| record::give(py, "Record", note))
        .collect()
}

#[derive(Serialize)]
struct At {
    #[serde(flatten)]
    at: AtTemperature,
    notes: Vec<Note>,
}

/// Report where the numbers of materials come from.
///
/// Parameters
/// ----------
/// names : sequence of str
///     Materials.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Provenance
///     ``entries``: every number with its range, source and standing; ``counts``: how many are
///     published, remembered and so on. Prints as a report.
///
/// Raises
/// ------
/// UnknownNameError
///     No material has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> report = mw.material_provenance(["abs"])
/// >>> report.entries[0].name, report.entries[0].shown
/// ('abs: density', '1040 (1030 to 1080) kg/m³')
#[pyfunction]
#[pyo3(signature = (names, *, file = None))]
pub(super) fn material_provenance<'py>(
    py: Python<'py>,
    names: Vec<String>,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let catalogue = py.detach(|| catalogue(file))?;
    let mut report = Provenance::default();
    for name in &names {
        let material = catalogue.get(name)?;
        report.material(&material.name, material, &catalogue);
    }
    record::give(py, "Provenance", &report)
}

/// Put what was measured on a sheet in place of the catalogue's numbers.
///
/// Parameters
/// ----------
/// material : str
///     What the sheet is.
/// name : str
///     What the shop calls the sheet.
/// thickness : str
///     Measured, with its uncertainty if known: ``"3.1 mm ± 0.05 mm"``.
/// mass, area : str, optional
///     Of a piece on the scales, both or neither: gives the density.
/// square_before, square_after : str, optional
///     Side of a square before it was heated free, and the side that shrank most, both or neither.
/// limp_after : str, optional
///     Time until it was limp under the shop's own gun.
/// lot : str, default ""
///     Lot or delivery.
/// texture : {"none", "one-side", "both-sides"}, default "none"
///     Which side is textured.
/// film : bool, default False
///     Whether a protective film is on it.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Sheet
///     ``material`` with the measured numbers, ``thickness`` and ``notes``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A measurement, or what follows from it, is not possible.
/// UnitError
///     A measurement is not a quantity of its kind.
/// ShapeError
///     One of a pair is missing.
/// UnknownNameError
///     No material, or no texture, has that name.
/// JobError
///     The file has faults.
/// OSError
///     The file cannot be read.
///
/// Examples
/// --------
/// >>> own = mw.measured_sheet("expanded-pvc", name="rack 3", thickness="3 mm",
/// ...                         mass="186 g", area="0.1 m2")
/// >>> round(own.material.density.value), own.material.density.standing
/// (620, 'measured-by-shop')
#[pyfunction]
#[pyo3(signature = (material, *, name, thickness, mass = None, area = None, square_before = None, square_after = None, limp_after = None, lot = "", texture = "none", film = false, file = None))]
#[allow(clippy::too_many_arguments, clippy::fn_params_excessive_bools)] // keywords in Python
pub(super) fn measured_sheet<'py>(
    py: Python<'py>,
    material: &str,
    name: &str,
    thickness: &str,
    mass: Option<&str>,
    area: Option<&str>,
    square_before: Option<&str>,
    square_after: Option<&str>,
    limp_after: Option<&str>,
    lot: &str,
    texture: &str,
    film: bool,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let mass = measure("mass", mass, Dimension::Mass)?;
    let area = measure("area", area, Dimension::Area)?;
    let before = measure("square_before", square_before, Dimension::Length)?;
    let after = measure("square_after", square_after, Dimension::Length)?;
    let sheet = MeasuredSheet {
        name: name.into(),
        lot: lot.into(),
        thickness_m: parse("thickness", thickness, Dimension::Length)?,
        piece: both("mass and area", mass, area)?
            .map(|(mass_kg, area_m2)| Piece { mass_kg, area_m2 }),
        square: both("square_before and square_after", before, after)?
            .map(|(before_m, after_m)| Square { before_m, after_m }),
        limp_after_s: measure("limp_after", limp_after, Dimension::Time)?,
        texture: word::<Texture>("texture", texture, &["none", "one-side", "both-sides"])?,
        film,
    };
    let catalogue = py.detach(|| catalogue(file))?;
    let own = sheet.of(catalogue.get(material)?)?;
    let out = Own {
        material: Out::from(&own.material),
        thickness: &own.thickness,
        notes: &own.notes,
    };
    record::give(py, "Sheet", &out)
}

#[derive(Serialize)]
struct Own<'a> {
    material: Out<'a>,
    thickness: &'a crate::sourced::Sourced,
    notes: &'a [crate::error::Note],
}

fn both<T>(what: &str, a: Option<T>, b: Option<T>) -> Result<Option<(T, T)>> {
    match (a, b) {
        (Some(a), Some(b)) => Ok(Some((a, b))),
        (None, None) => Ok(None),
        _ => Err(Error::Shape {
            what: what.into(),
            given: "one of them".into(),
            allowed: "both or neither".into(),
        }),
    }
}

/// Rank materials for one mount, best first.
///
/// A plan does this for each of its parts with the shop's own sheets, heat, prices and adhesives, and
/// with those of the catalogue that would have to be bought: ``plan.choices``.
///
/// Parameters
/// ----------
/// candidates : sequence of dict
///     One for each material, with the keys ``material``, ``formed`` (bool), ``window_s`` (length of
///     the forming window with your own heat, ``None`` where it never opens), ``softening_k``,
///     ``service_k``, ``margin_k`` (distance that softening must keep above the service
///     temperature), ``modulus_pa`` (at the service temperature), ``bond_fraction`` (0 to 1),
///     ``price`` (``None`` where none is known), ``fumes`` (how many it gives off when overheated),
///     ``dried`` (bool) and, if wanted, ``fails`` (names of checks that fail with it), ``thickness_m``
///     and ``supply`` (where it is to be had).
/// weights : dict, optional
///     How much ``forming``, ``service``, ``stiffness``, ``bond``, ``price`` and ``hazards`` count; all six.
///
/// Returns
/// -------
/// list of Ranked
///     Each with ``score_fraction``, what stands ``against`` it and the ``reasons``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is not possible.
/// KeyError
///     A key is missing.
///
/// Examples
/// --------
/// >>> pc = dict(material="pc", formed=True, window_s=20, softening_k=407, service_k=353,
/// ...           margin_k=25, modulus_pa=1.8e9, bond_fraction=0.7, price=9.0, fumes=2, dried=True)
/// >>> pvc = pc | dict(material="expanded-pvc", softening_k=331, price=3.0, fumes=1, dried=False)
/// >>> [r.material for r in mw.rank_materials([pvc, pc])]
/// ['pc', 'expanded-pvc']
#[pyfunction]
#[pyo3(signature = (candidates, *, weights = None))]
pub(super) fn rank_materials(
    py: Python<'_>,
    candidates: Vec<CandidateIn>,
    weights: Option<WeightsIn>,
) -> PyResult<Vec<Bound<'_, PyAny>>> {
    let candidates: Vec<Candidate> = candidates.into_iter().map(Candidate::from).collect();
    let weights = weights.map_or_else(Weights::default, Weights::from);
    let ranked = py.detach(|| rank(&candidates, &weights))?;
    ranked
        .iter()
        .map(|r| record::give(py, "Ranked", r))
        .collect()
}

/// [`Candidate`] as a dict.
#[derive(FromPyObject)]
#[pyo3(from_item_all)]
pub(super) struct CandidateIn {
    material: String,
    window_s: Option<f64>,
    formed: bool,
    softening_k: f64,
    service_k: f64,
    margin_k: f64,
    modulus_pa: f64,
    bond_fraction: f64,
    price: Option<f64>,
    fumes: usize,
    dried: bool,
    #[pyo3(default)]
    fails: Vec<String>,
    #[pyo3(default)]
    thickness_m: Option<f64>,
    #[pyo3(default)]
    supply: String,
}

impl From<CandidateIn> for Candidate {
    fn from(c: CandidateIn) -> Self {
        Self {
            material: c.material,
            window_s: c.window_s,
            formed: c.formed,
            softening_k: c.softening_k,
            service_k: c.service_k,
            margin_k: c.margin_k,
            modulus_pa: c.modulus_pa,
            bond_fraction: c.bond_fraction,
            price: c.price,
            fumes: c.fumes,
            dried: c.dried,
            fails: c.fails,
            thickness_m: c.thickness_m,
            supply: c.supply,
        }
    }
}

/// [`Weights`] as a dict.
#[derive(FromPyObject)]
#[pyo3(from_item_all)]
pub(super) struct WeightsIn {
    forming: f64,
    service: f64,
    stiffness: f64,
    bond: f64,
    price: f64,
    hazards: f64,
}

impl From<WeightsIn> for Weights {
    fn from(w: WeightsIn) -> Self {
        Self {
            forming: w.forming,
            service: w.service,
            stiffness: w.stiffness,
            bond: w.bond,
            price: w.price,
            hazards: w.hazards,
        }
    }
}
