//! Checks of a strap or pod on its tabs.

use pyo3::prelude::*;

use super::super::material::word;
use super::super::whole;
use super::{HELD, Texts, fit_of, give, joint_of, length, made, mass, sheet, warmth};
use crate::error::Result;
use crate::mount::beam::{Held, Tab};
use crate::mount::fixing::clearance_hole_m;
use crate::mount::{StrapMount, check_strap as strap_checks};

/// Check a strap or pod on its tabs.
///
/// Shape recovery and softening at the real stress, sag, road, shock, screws, room for thermal
/// movement, the driver's fit and a glued joint. Nothing here approves a mount: near an air bag's
/// path or in the driver's view the vehicle maker's instructions and licensed practice decide.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// thickness, tab_length, tab_width : str
///     One tab, from its screw to where the body begins: ``"3 mm"``.
/// carried : str
///     Mass of everything that the tabs carry: ``"70 g"``.
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where it sits in the parked car.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// temperature : str, optional
///     As measured, instead of place and sun: ``"68 °C ± 4 K"``.
/// held : {"both-ends", "cantilever"}, default "both-ends"
///     Tabs on opposite sides of a stiff body, or on one side only.
/// formed : bool, default True
///     Whether it was formed hot.
/// tabs, screws_per_tab : int, default 2, 1
///     How many.
/// screw : str, default "4 mm"
///     Thread of the screws.
/// countersunk : bool, default False
///     Whether their heads are cones.
/// edge : str, optional
///     Hole centre to the nearest edge; half the tab's width if left out.
/// slot : str, optional
///     Clear length of the slotted hole; a round clearance hole if left out.
/// from_fixed : str, optional
///     From the fixed screw to the slotted hole; two tabs and 50 mm if left out.
/// sag_limit : str, default "1 mm"
///     Sag that is seen.
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// shock : {"kerb", "door-slam"}, default "kerb"
///     The shock of its place.
/// fit : dict of str, optional
///     Measures of the driver in its place, as :func:`check_fit` takes them.
/// joint : dict of str, optional
///     A glued joint that carries the driver: ``adhesive``, ``area``, ``strength``,
///     ``service_limit``, ``peels``.
/// part : str, default "strap"
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
///     A size, mass, count or temperature that a mount cannot have.
/// ShapeError
///     Held at both ends by one tab, or a key of ``fit`` or ``joint`` is missing.
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
/// >>> pod = dict(thickness="3 mm", tab_length="25 mm", tab_width="35 mm", carried="70 g",
/// ...            place="upper-pillar", slot="6 mm")
/// >>> [c.name for c in mw.check_strap("abs", **pod) if c.verdict != "pass"]
/// ["maker's steady service limit"]
/// >>> mw.check_strap("expanded-pvc", **pod)["shape recovery"].verdict
/// 'fail'
#[pyfunction]
#[pyo3(signature = (material, *, thickness, tab_length, tab_width, carried, place, sun="hot", temperature=None, held="both-ends", formed=true, tabs=2, screws_per_tab=1, screw="4 mm", countersunk=false, edge=None, slot=None, from_fixed=None, sag_limit="1 mm", q=10.0, shock="kerb", fit=None, joint=None, part="strap", file=None))]
#[allow(clippy::too_many_arguments, clippy::fn_params_excessive_bools)] // keywords in Python
pub(in crate::bindings) fn check_strap<'py>(
    py: Python<'py>,
    material: &str,
    thickness: &str,
    tab_length: &str,
    tab_width: &str,
    carried: &str,
    place: &str,
    sun: &str,
    temperature: Option<&str>,
    held: &str,
    formed: bool,
    #[pyo3(from_py_with = whole::count)] tabs: u32,
    #[pyo3(from_py_with = whole::count)] screws_per_tab: u32,
    screw: &str,
    countersunk: bool,
    edge: Option<&str>,
    slot: Option<&str>,
    from_fixed: Option<&str>,
    sag_limit: &str,
    q: f64,
    shock: &str,
    fit: Option<Texts>,
    joint: Option<Texts>,
    part: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let tab = Tab {
        length_m: length("tab_length", tab_length)?,
        width_m: length("tab_width", tab_width)?,
        thickness_m: length("thickness", thickness)?,
    };
    let screw = super::screw("screw", screw, countersunk)?;
    let or = |what: &str, text: Option<&str>, usual: f64| -> Result<f64> {
        text.map_or(Ok(usual), |text| length(what, text))
    };
    let mount = StrapMount {
        part: part.into(),
        material: sheet(material, file)?,
        tab,
        tabs,
        held: word::<Held>("held", held, &HELD)?,
        carried_kg: mass("carried", carried)?,
        made: made(formed),
        warmth: warmth(place, sun, temperature)?,
        screws_per_tab,
        screw,
        edge_m: or("edge", edge, tab.width_m / 2.0)?,
        slot_m: or("slot", slot, clearance_hole_m(screw.diameter_m))?,
        from_fixed_m: or("from_fixed", from_fixed, 2.0 * tab.length_m + 0.05)?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: super::shock(shock)?,
        fit: fit.as_ref().map(fit_of).transpose()?,
        joint: joint.as_ref().map(joint_of).transpose()?,
        joined_kg: None,
    };
    give(py, py.detach(|| strap_checks(&mount))?)
}
