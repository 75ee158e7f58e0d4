//! Checks of a trim panel.

use pyo3::prelude::*;

use super::super::material::word;
use super::{HELD, give, length, made, mass, sheet, warmth};
use crate::mount::beam::Held;
use crate::mount::{PanelMount, check_panel as panel_checks};

/// Check a trim panel.
///
/// Softening at the real stress, sag, road, shock, a thumb on its middle, screws, room for thermal
/// movement. Nothing here approves a mount.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// width, height : str
///     Its two sides between fastenings; held at both ends or at one, ``width`` is the span between them
///     or from there to the free end, ``height`` the breadth.
/// thickness : str
///     Of the sheet.
/// place : {"cabin-air", "door", "parcel-shelf", "dash-top", "upper-pillar"}
///     Where it sits.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// temperature : str, optional
///     As measured, instead of place and sun.
/// centre_mass : str, default "0 g"
///     Fixed at its middle: a driver, a pod.
/// covering : float, default 0
///     Finish spread over it. [kg/m²]
/// formed : bool, default False
///     Whether it was formed hot.
/// held : {"clamped-all-round", "both-ends", "cantilever"}, default "clamped-all-round"
///     How it is held: a supported plate, a strip that may turn at its two ends, or a strip clamped at
///     one end, whose sag is that of the free one.
/// screw : str, default "4 mm"
///     Thread of its screws.
/// countersunk : bool, default False
///     Whether their heads are cones.
/// edge : str, default "12 mm"
///     Hole centre to the nearest edge.
/// pitch : str, default "150 mm"
///     Greatest distance between neighbouring screws.
/// screws : int, default 4
///     How many screws hold it.
/// slot : str, default "6 mm"
///     Clear length of the slot that is furthest from the round hole.
/// from_fixed : str, optional
///     From the round hole to that slot; from corner to corner where nothing is said.
/// sag_limit : str, default "1 mm"
///     Sag that is seen.
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// shock : {"kerb", "door-slam"}, default "kerb"
///     The shock of its place.
/// part : str, default "panel"
///     Its name in the texts.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Checks
///     Each with figure, limit, margin, verdict, source, and what would mend it.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size, mass or temperature that a panel cannot have.
/// UnitError
///     A text is not a quantity of its kind.
/// UnknownNameError
///     No material, place, sun or shock has that name.
/// ImpossibleError
///     The catalogue lacks a number that the checks need.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> panel = mw.check_panel("abs", width="290 mm", height="190 mm", thickness="3 mm",
/// ...                        place="cabin-air")
/// >>> panel["sag in the heat"].verdict
/// 'pass'
#[pyfunction]
#[pyo3(signature = (material, *, width, height, thickness, place, sun="hot", temperature=None, centre_mass="0 g", covering=0.0, formed=false, held="clamped-all-round", screw="4 mm", countersunk=false, edge="12 mm", pitch="150 mm", screws=4, slot="6 mm", from_fixed=None, sag_limit="1 mm", q=10.0, shock="kerb", part="panel", file=None))]
#[allow(clippy::too_many_arguments, clippy::fn_params_excessive_bools)] // keywords in Python
pub(in crate::bindings) fn check_panel<'py>(
    py: Python<'py>,
    material: &str,
    width: &str,
    height: &str,
    thickness: &str,
    place: &str,
    sun: &str,
    temperature: Option<&str>,
    centre_mass: &str,
    covering: f64,
    formed: bool,
    held: &str,
    screw: &str,
    countersunk: bool,
    edge: &str,
    pitch: &str,
    screws: u32,
    slot: &str,
    from_fixed: Option<&str>,
    sag_limit: &str,
    q: f64,
    shock: &str,
    part: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let sides_m = [length("width", width)?, length("height", height)?];
    let mount = PanelMount {
        part: part.into(),
        material: sheet(material, file)?,
        sides_m,
        thickness_m: length("thickness", thickness)?,
        centre_kg: mass("centre_mass", centre_mass)?,
        covering_kg_m2: covering,
        made: made(formed),
        held: word::<Held>("held", held, &HELD)?,
        warmth: warmth(place, sun, temperature)?,
        screw: super::screw("screw", screw, countersunk)?,
        edge_m: length("edge", edge)?,
        pitch_m: length("pitch", pitch)?,
        screws,
        slot_m: length("slot", slot)?,
        from_fixed_m: from_fixed.map_or_else(
            || Ok(sides_m[0].hypot(sides_m[1])),
            |text| length("from_fixed", text),
        )?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: super::shock(shock)?,
    };
    give(py, py.detach(|| panel_checks(&mount))?)
}
