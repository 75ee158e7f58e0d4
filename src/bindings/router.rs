//! Card and router templates, and how a blank is cut, in Python.

use pyo3::prelude::*;
use serde::Serialize;

use super::drawing::{SHAPES, blank_of};
use super::record;
use super::shape_parts::{length, maybe, word};
use super::whole;
use crate::error::{Error, Range, check};
use crate::quantity::{Dimension, parse};
use crate::shape::router::{
    self, Cutter, Method, hole_of_template_m, pattern_for_part_m, plug_m, template_for_hole_m,
    template_offset_m, trammel_for_disc_m, trammel_for_hole_m,
};
use crate::shape::template::{self, Guide};

/// Make the card template of a blank, to be tried on the vehicle before sheet is cut.
///
/// Parameters
/// ----------
/// blank : Blank
///     The flat part.
///
/// Returns
/// -------
/// Blank
///     The same flat shape in card, with its bend and trim lines.
///
/// Raises
/// ------
/// ShapeError
///     It is no blank.
///
/// Examples
/// --------
/// >>> trim = mw.panel("trim", mw.Form.circle("300 mm"), thickness="3 mm")
/// >>> mw.card_template(trim.blank).name
/// 'trim card template'
#[pyfunction]
pub(super) fn card_template<'py>(
    py: Python<'py>,
    blank: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    record::give_from(py, SHAPES, "Blank", &template::card(&blank_of(blank)?))
}

/// Make the router template of a blank.
///
/// Parameters
/// ----------
/// blank : Blank
///     The part to be cut.
/// bit : str
///     Diameter of the bit.
/// bushing : str, optional
///     Outside diameter of the guide bushing; without it the bit has a bearing of its own size.
///
/// Returns
/// -------
/// Blank
///     Its edges and cutouts moved by half of the difference, hole centres marked.
///
/// Raises
/// ------
/// OutOfRangeError
///     A tool cannot be.
/// ShapeError
///     A feature is too small for the offset.
/// UnitError
///     A text is no length.
///
/// Examples
/// --------
/// >>> ring = mw.panel("ring", mw.Form.circle("176 mm"), thickness="12.5 mm",
/// ...     cutouts=[mw.Cutout("driver", mw.Form.circle("142 mm"))])
/// >>> mw.router_template(ring.blank, bit="6.35 mm", bushing="16 mm").name
/// 'ring router template'
#[pyfunction]
#[pyo3(signature = (blank, *, bit, bushing = None))]
pub(super) fn router_template<'py>(
    py: Python<'py>,
    blank: &Bound<'py, PyAny>,
    bit: &str,
    bushing: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let blank = blank_of(blank)?;
    let bit_m = length("bit", bit)?;
    let guide = match maybe("bushing", bushing)? {
        None => Guide::Bearing { bit_m },
        Some(bushing_m) => Guide::Bushing { bushing_m, bit_m },
    };
    let made = py.detach(|| template::router(&blank, guide))?;
    record::give_from(py, SHAPES, "Blank", &made)
}

// The names are those of the Python record: a unit in each.
#[allow(clippy::struct_field_names)]
#[derive(Serialize)]
struct TemplateSizes {
    offset_m: f64,
    template_m: Option<f64>,
    hole_m: Option<f64>,
    plug_m: Option<f64>,
    pattern_m: Option<f64>,
    part_m: Option<f64>,
    hole_trammel_m: Option<f64>,
    part_trammel_m: Option<f64>,
}

/// Work out a template, or what a template makes, for a bushing and a bit.
///
/// Parameters
/// ----------
/// bushing : str
///     Outside diameter of the guide bushing, as measured.
/// bit : str
///     Diameter of the bit.
/// hole : str, optional
///     A wanted hole: gives the inside diameter of its template, and the plug that falls out.
/// template : str, optional
///     The inside diameter of a template: gives the hole and the plug.
/// part : str, optional
///     A wanted disc: gives the outside of its pattern.
/// pattern : str, optional
///     The outside of a pattern: gives the disc.
///
/// Returns
/// -------
/// TemplateSizes
///     ``offset_m``, ``template_m``, ``hole_m``, ``plug_m``, ``pattern_m``, ``part_m``; and what a
///     trammel is set to for the same hole and disc, ``hole_trammel_m`` and ``part_trammel_m``.
///
/// Raises
/// ------
/// UnitError
///     A text is no length.
/// ShapeError
///     A bushing that is smaller than its bit.
///
/// Examples
/// --------
/// >>> sizes = mw.template_sizes(bushing="16 mm", bit="6.35 mm", hole="142 mm")
/// >>> round(sizes.template_m * 1e3, 2), round(sizes.plug_m * 1e3, 2)
/// (151.65, 129.3)
#[pyfunction]
#[pyo3(signature = (*, bushing, bit, hole = None, template = None, part = None, pattern = None))]
pub(super) fn template_sizes<'py>(
    py: Python<'py>,
    bushing: &str,
    bit: &str,
    hole: Option<&str>,
    template: Option<&str>,
    part: Option<&str>,
    pattern: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let (b, d) = (length("bushing", bushing)?, length("bit", bit)?);
    if !(d > 0.0 && b >= d) {
        return Err(Error::Shape {
            what: "bushing and bit".into(),
            given: format!("{bushing} and {bit}"),
            allowed: "a bit that passes through its bushing".into(),
        }
        .into());
    }
    for (one, other, names) in [
        (hole, template, "a hole and a template"),
        (part, pattern, "a part and a pattern"),
    ] {
        if one.is_some() && other.is_some() {
            return Err(Error::Shape {
                what: "sizes of a template".into(),
                given: names.into(),
                allowed: "one of the two: the other follows".into(),
            }
            .into());
        }
    }
    let hole_m = maybe("hole", hole)?;
    let template_m = maybe("template", template)?.or(hole_m.map(|h| template_for_hole_m(h, b, d)));
    let part_m = maybe("part", part)?;
    let pattern_m = maybe("pattern", pattern)?.or(part_m.map(|p| pattern_for_part_m(p, b, d)));
    let hole_m = hole_m.or(template_m.map(|t| hole_of_template_m(t, b, d)));
    let part_m = part_m.or(pattern_m.map(|p| p + b - d));
    let sizes = TemplateSizes {
        offset_m: template_offset_m(b, d),
        template_m,
        hole_m,
        // A template hardly wider than its bushing leaves no plug.
        plug_m: template_m.map(|t| plug_m(t, b, d)).filter(|p| *p > 0.0),
        pattern_m,
        part_m,
        hole_trammel_m: hole_m.map(|hole| trammel_for_hole_m(hole / 2.0, d)),
        part_trammel_m: part_m.map(|part| trammel_for_disc_m(part / 2.0, d)),
    };
    let fits = |what: &str, size_m: Option<f64>, least_m: f64, remedy: &str| {
        size_m.map_or(Ok(0.0), |m| {
            check(what, m, Range::new(least_m, 3.0, "m"), remedy)
        })
    };
    fits("hole", sizes.hole_m, d, "no hole is smaller than its bit")?;
    fits(
        "template",
        sizes.template_m,
        b,
        "the bushing must go into the template",
    )?;
    fits("part", sizes.part_m, 1e-3, "give the size of the part")?;
    fits(
        "pattern",
        sizes.pattern_m,
        1e-3,
        "take a smaller bushing or a larger bit",
    )?;
    record::give_from(py, SHAPES, "TemplateSizes", &sizes)
}

/// Say how a blank is cut: passes, feed, length, time, and the room that a layout must leave.
///
/// Parameters
/// ----------
/// blank : Blank
///     The part.
/// method : {"sawn-then-trimmed", "hand-plunge", "machine", "saw"}
///     Sawn 2 to 3 mm outside the line and trimmed flush to a template; a hand-held plunge router; a
///     machine; a saw along straight lines.
/// bit : str, default "6.35 mm"
///     Diameter of the bit.
/// flutes : int, default 2
///     Its cutting edges.
/// speed : str, default "18000 rpm"
///     How fast it turns.
/// cuts : {"soft", "hard"}
///     Foamed PVC, ABS, polycarbonate are soft; cast acrylic and polystyrene hard.
/// pass_depth : str, default "3 mm"
///     Deepest pass of a machine.
///
/// Returns
/// -------
/// Routing
///     ``passes``, ``pass_m``, ``chip_m``, ``feed_m_s``, ``path_m``, ``length_m``, ``time_s``,
///     ``spacing_m``, ``notes``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A tool or a pass cannot be.
/// ShapeError
///     The bit does not fit into a cutout; a corner that is tighter comes out round, and a note says so.
/// UnknownNameError
///     No method has that name.
///
/// Examples
/// --------
/// >>> ring = mw.panel("ring", mw.Form.circle("176 mm"), thickness="12.5 mm",
/// ...     cutouts=[mw.Cutout("driver", mw.Form.circle("142 mm"))])
/// >>> mw.routing(ring.blank, method="hand-plunge").passes
/// 5
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (blank, *, method, bit = "6.35 mm", flutes = 2, speed = "18000 rpm", cuts = "soft", pass_depth = "3 mm"))]
pub(super) fn routing<'py>(
    py: Python<'py>,
    blank: &Bound<'py, PyAny>,
    method: &str,
    bit: &str,
    #[pyo3(from_py_with = whole::count)] flutes: u32,
    speed: &str,
    cuts: &str,
    pass_depth: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let blank = blank_of(blank)?;
    let method = match method {
        "sawn-then-trimmed" => Method::SawnThenTrimmed,
        "hand-plunge" => Method::HandPlunge,
        "machine" => Method::Machine {
            pass_m: length("pass_depth", pass_depth)?,
        },
        "saw" => Method::Saw,
        other => {
            let known = ["sawn-then-trimmed", "hand-plunge", "machine", "saw"];
            return Err(Error::unknown("method", other, known).into());
        }
    };
    let cutter = Cutter {
        bit_m: length("bit", bit)?,
        flutes,
        turns_per_s: parse("speed", speed, Dimension::Rotation)?.value,
    };
    let cuts = word("way of cutting", cuts, &["soft", "hard"])?;
    let made =
        py.detach(|| router::cut(&blank.routed(), blank.thickness_m, method, cutter, cuts))?;
    record::give_from(py, SHAPES, "Routing", &made)
}
