//! The catalogue of adhesives, fillers and primers in Python, and resins whose kinetics are known.

use numpy::{AllowTypeChange, PyArrayLike1};
use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::{arrays, record};
use crate::bond::exotherm::pot_life as pot;
use crate::bond::{Adhesive, Catalogue, Conditions, Resin, Role};
use crate::climate::{Air, Climate};
use crate::error::{Error, Result};
use crate::quantity::{Dimension, parse};

fn si(what: &str, text: &str, dimension: Dimension) -> Result<f64> {
    Ok(parse(what, text, dimension)?.value)
}

/// Look up an adhesive, filler or primer with all its numbers and their sources.
///
/// Parameters
/// ----------
/// name : str
///     Its name in the catalogue: ``"epoxy-30min"``; :func:`adhesives` lists them.
///
/// Returns
/// -------
/// Adhesive
///     Each number with ``value``, ``low``, ``high``, ``unit``, ``source`` and ``standing``.
///
/// Raises
/// ------
/// UnknownNameError
///     No adhesive has that name; ``near`` holds the nearest.
///
/// Examples
/// --------
/// >>> tape = mw.adhesive("foam-tape")
/// >>> tape.static_stress.value, tape.static_stress.standing
/// (1723.7, 'published')
/// >>> tape.suits.to_dict()["painted-steel"]
/// {'score': 3, 'why': 'made for it'}
#[pyfunction]
pub(super) fn adhesive<'py>(py: Python<'py>, name: &str) -> PyResult<Bound<'py, PyAny>> {
    record::give(py, "Adhesive", Catalogue::standard()?.adhesive(name)?)
}

/// List the adhesives, fillers and primers of the catalogue.
///
/// Parameters
/// ----------
/// role : str, optional
///     Only those that do this: ``"structural"``, ``"general"``, ``"surface"``, ``"flexible"``,
///     ``"filler"`` or ``"primer"``.
///
/// Returns
/// -------
/// list of str
///     Their names, sorted.
///
/// Raises
/// ------
/// UnknownNameError
///     No role has that name.
///
/// Examples
/// --------
/// >>> mw.adhesives("filler")
/// ['filler-flexible', 'filler-polyester']
#[pyfunction]
#[pyo3(signature = (role = None))]
pub(super) fn adhesives(role: Option<&str>) -> PyResult<Vec<String>> {
    let role = role.map(named).transpose()?;
    let all = Catalogue::standard()?.adhesive.iter();
    let meant = all.filter(|(_, a)| role.is_none_or(|r| a.role == r));
    Ok(meant.map(|(name, _)| name.clone()).collect())
}

fn named(role: &str) -> Result<Role> {
    let known = Role::ALL.map(Role::key);
    Role::ALL
        .into_iter()
        .find(|r| r.key() == role)
        .ok_or_else(|| Error::unknown("role", role, known))
}

/// List the faces that the catalogue speaks of: sheets, foams, metals, paint, films, cloth, board.
///
/// Parameters
/// ----------
/// adhesive : str, optional
///     Only those that this adhesive, filler or primer suits, by itself or as a makeshift.
///
/// Returns
/// -------
/// list of str
///     Their names, sorted.
///
/// Raises
/// ------
/// UnknownNameError
///     No adhesive has that name.
///
/// Examples
/// --------
/// >>> "painted-steel" in mw.faces()
/// True
/// >>> mw.faces("primer-polyolefin")
/// ['hdpe', 'pe-foam', 'pp']
#[pyfunction]
#[pyo3(signature = (adhesive = None))]
pub(super) fn faces(adhesive: Option<&str>) -> PyResult<Vec<String>> {
    let catalogue = Catalogue::standard()?;
    let glue = adhesive.map(|name| catalogue.adhesive(name)).transpose()?;
    let suits = |face: &str| {
        let on = |g: &Adhesive| {
            g.suits
                .get(catalogue.kin(face))
                .is_some_and(|s| s.score > 0)
        };
        glue.is_none_or(on)
    };
    let all = catalogue.substrate.keys();
    Ok(all.filter(|face| suits(face)).cloned().collect())
}

/// Rank fillers or primers for one face.
///
/// Parameters
/// ----------
/// face : str
///     What is filled or primed: ``"abs"``.
/// role : {"filler", "primer"}
///     What is looked for.
/// service : str, default "60 degC"
///     Hottest that it gets.
/// shop : str, default "23 degC"
///     Air of the shop.
/// humidity : str, default "50 %"
///     Relative humidity of the shop.
///
/// Returns
/// -------
/// AdhesiveRanking
///     ``ranked``, best first, and ``refused``, each with ``adhesive`` and ``reasons``.
///
/// Raises
/// ------
/// UnknownNameError
///     No face, or no role, has that name.
/// ImpossibleError
///     A role that joins two faces.
/// OutOfRangeError
///     Impossible conditions.
/// UnitError
///     A text is no such quantity.
///
/// Examples
/// --------
/// Styrene in polyester filler dissolves high-impact polystyrene:
///
/// >>> answer = mw.rank_coats("hips", "filler")
/// >>> answer.ranked[0].adhesive, answer.refused[0].reasons
/// ('filler-flexible', ('hips: styrene dissolves it',))
#[pyfunction]
#[pyo3(signature = (face, role, *, service = "60 degC", shop = "23 degC", humidity = "50 %"))]
pub(super) fn rank_coats<'py>(
    py: Python<'py>,
    face: &str,
    role: &str,
    service: &str,
    shop: &str,
    humidity: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let role = named(role)?;
    let conditions = Conditions {
        service_k: si("service", service, Dimension::Temperature)?,
        shop: Air {
            temperature_k: si("shop", shop, Dimension::Temperature)?,
            humidity: si("humidity", humidity, Dimension::Fraction)?,
        },
        ..Conditions::default()
    };
    let answer = Catalogue::standard()?.coats(face, role, &conditions)?;
    record::give(py, "AdhesiveRanking", &answer)
}

/// Estimate how long a mixed mass of epoxy can be spread before it stiffens in the cup.
///
/// Parameters
/// ----------
/// adhesive : str
///     Its name in the catalogue: ``"epoxy-slow"``.
/// mass : str
///     Mass mixed at once: ``"50 g"``.
/// shop : str, default "23 degC"
///     Air of the shop, and the mix at the start.
///
/// Returns
/// -------
/// PotLife
///     ``pot_life_s`` in the cup, ``thin_s`` spread out thin, ``peak_k`` if it is left in the cup.
///
/// Raises
/// ------
/// UnknownNameError
///     No adhesive has that name.
/// ImpossibleError
///     Its pot life by mass is not known.
/// OutOfRangeError
///     A mass outside 0.1 g to 100 kg, air outside 250 to 400 K.
/// UnitError
///     A text is no such quantity.
///
/// Examples
/// --------
/// The slow epoxy's sheet states 2 h for 136 g at 25 °C; less mass stays open longer:
///
/// >>> round(mw.pot_life("epoxy-slow", mass="136 g", shop="25 °C").pot_life_s / 60)
/// 120
/// >>> mw.pot_life("epoxy-slow", mass="20 g", shop="25 °C").pot_life_s > 7200
/// True
#[pyfunction]
#[pyo3(signature = (adhesive, *, mass, shop = "23 degC"))]
pub(super) fn pot_life<'py>(
    py: Python<'py>,
    adhesive: &str,
    mass: &str,
    shop: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let mass_kg = si("mass", mass, Dimension::Mass)?;
    let air_k = si("shop", shop, Dimension::Temperature)?;
    let answer = py.detach(|| pot(adhesive, mass_kg, air_k))?;
    record::give(py, "PotLife", &answer)
}

/// Follow a resin of the literature through a temperature history: conversion, glass transition, gel.
///
/// Parameters
/// ----------
/// times_s : array_like of float
///     Rising instants. [s]
/// temperature_k : array_like of float
///     Temperature at each, straight between them. [K]
/// resin : {"karkanas-1998", "pantelelis-2005", "hein-2018", "room-temperature"}
///     The first three are sets for a hot-cure resin; the last is derived, for illustration.
/// start : float, default 0.0
///     Conversion at the first instant, 0 to 1.
/// cap : float, optional
///     The cure ends where the glass transition is this much over the temperature; 20 is usual. [K]
///
/// Returns
/// -------
/// dict
///     Arrays ``conversion`` and ``glass_k`` (empty where it is not known), instants ``gel_s`` and
///     ``vitrifies_s`` (None where they are not reached), and ``source``.
///
/// Raises
/// ------
/// UnknownNameError
///     No resin has that name.
/// ImpossibleError
///     A cap for a resin whose glass transition is not known.
/// OutOfRangeError
///     A temperature outside 200 to 500 K, a conversion outside 0 to 1.
/// ShapeError
///     Lists of different lengths, or instants that do not rise.
///
/// Examples
/// --------
/// Hein (2018) at 120 °C gels after 239 minutes:
///
/// >>> path = mw.resin_path([0, 20_000], [393.15, 393.15], resin="hein-2018")
/// >>> round(path["gel_s"] / 60, 2)
/// 239.07
#[pyfunction]
#[pyo3(signature = (times_s, temperature_k, *, resin, start = 0.0, cap = None))]
pub(super) fn resin_path<'py>(
    py: Python<'py>,
    times_s: PyArrayLike1<'py, f64, AllowTypeChange>,
    temperature_k: PyArrayLike1<'py, f64, AllowTypeChange>,
    resin: &str,
    start: f64,
    cap: Option<f64>,
) -> PyResult<Bound<'py, PyDict>> {
    let times_s = times_s.as_array().to_vec();
    let temperature_k = temperature_k.as_array().to_vec();
    let resin = Resin::published(resin)?;
    let resin = cap.map_or(Ok(resin), |above_k| resin.capped(above_k))?;
    let path = py.detach(move || {
        let air = Climate::from_history(&times_s, &temperature_k, &vec![0.5; times_s.len()])?;
        resin.path(start, &times_s, &air)
    })?;
    let out = PyDict::new(py);
    out.set_item("conversion", arrays::give(py, path.conversion))?;
    out.set_item("glass_k", arrays::give(py, path.glass_k))?;
    out.set_item("gel_s", path.gel_s)?;
    out.set_item("vitrifies_s", path.vitrifies_s)?;
    out.set_item("source", resin.source)?;
    Ok(out)
}
