//! Layouts in Python.

use std::time::{Duration, Instant};

use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::Serialize;

use super::long::long;
use super::{kind, record, whole};
use crate::error::{Error, Range, Result, Watch, check};
use crate::job::text_of;
use crate::outline::{Chain, Circle, Outline, Point, Unit, read_dxf, read_svg};
use crate::quantity::{Dimension, System, parse};
use crate::stock::{
    Area, Ask, Layout, Method, Offcut, Part, SheetKind, Sold, Surcharge, Turns, drawings, dxf,
    lay_out as lay, lay_out_again as lay_again,
};

const SHAPE: [&str; 7] = [
    "width",
    "height",
    "diameter",
    "hole",
    "outline_m",
    "holes_m",
    "drawing",
];
const BLANK: [&str; 4] = ["name", "quantity", "turns", "may_flip"];
const STOCK: [&str; 17] = [
    "name",
    "price",
    "shelf_value",
    "in_stock",
    "cut_fee",
    "merchant",
    "freight",
    "oversize",
    "overweight",
    "mass",
    "days_to_arrive",
    "sold",
    "bad_areas",
    "half_fee",
    "quarter_fee",
    "to_size_fee",
    "by_length_fee",
];

/// One mapping of the caller with its place, for messages.
struct Entry<'a, 'py> {
    at: String,
    dict: &'a Bound<'py, PyDict>,
}

impl<'a, 'py> Entry<'a, 'py> {
    /// Refuses keys that nobody reads: a slip must not be dropped in silence.
    fn new(at: String, dict: &'a Bound<'py, PyDict>, keys: &[&[&str]]) -> PyResult<Self> {
        let known = || keys.iter().flat_map(|k| k.iter().copied());
        for key in dict.keys() {
            let key: String = key.extract()?;
            if !known().any(|k| k == key) {
                return Err(Error::unknown(format!("key of {at}"), key, known()).into());
            }
        }
        Ok(Self { at, dict })
    }

    fn get<T>(&self, key: &str) -> PyResult<Option<T>>
    where
        T: for<'b> FromPyObject<'b, 'py>,
        for<'b> <T as FromPyObject<'b, 'py>>::Error: Into<PyErr>,
    {
        match self.dict.get_item(key)? {
            Some(value) if !value.is_none() => match value.extract::<T>() {
                Ok(read) => Ok(Some(read)),
                Err(error) => {
                    let what = format!("{}.{key}", self.at);
                    Err(kind::fault(&what, &value, &error.into()))
                }
            },
            _ => Ok(None),
        }
    }

    fn length(&self, key: &str) -> PyResult<Option<f64>> {
        let text: Option<String> = self.get(key)?;
        let what = format!("{}.{key}", self.at);
        Ok(text
            .map(|t| Ok::<_, Error>(parse(&what, &t, Dimension::Length)?.value))
            .transpose()?)
    }

    fn name(&self) -> PyResult<String> {
        Ok(self
            .get("name")?
            .ok_or_else(|| self.fault("name", "nothing", "a name"))?)
    }

    fn fault(&self, key: &str, given: &str, allowed: &str) -> Error {
        Error::Shape {
            what: format!("{}.{key}", self.at),
            given: given.into(),
            allowed: allowed.into(),
        }
    }

    fn outline(&self) -> PyResult<Outline> {
        let sides = (self.length("width")?, self.length("height")?);
        let round = (self.length("diameter")?, self.length("hole")?);
        let points: Option<Vec<(f64, f64)>> = self.get("outline_m")?;
        let holes: Option<Vec<Vec<(f64, f64)>>> = self.get("holes_m")?;
        let file: Option<String> = self.get("drawing")?;
        let disc = |diameter_m: f64| {
            Chain::circle(Circle {
                centre: Point::new(0.0, 0.0),
                radius_m: diameter_m / 2.0,
            })
        };
        let polygon = |points: Vec<(f64, f64)>| {
            let points: Vec<Point> = points.into_iter().map(|(x, y)| Point::new(x, y)).collect();
            Chain::polygon(&points)
        };
        match (sides, round, points, holes, file) {
            ((Some(w), Some(h)), (None, None), None, None, None) => {
                Ok(Part::rectangle("", w, h, 1, Turns::Any).outline)
            }
            ((None, None), (Some(d), hole), None, None, None) => {
                Ok(Outline::new(disc(d), hole.map(disc).into_iter().collect()))
            }
            ((None, None), (None, None), Some(points), holes, None) => {
                let holes = holes.unwrap_or_default().into_iter().map(polygon);
                Ok(Outline::new(polygon(points), holes.collect()))
            }
            ((None, None), (None, None), None, None, Some(file)) => Ok(self.drawn(&file)?),
            _ => Err(self
                .fault(
                    "outline",
                    "not one shape",
                    "width and height, diameter with or without hole, outline_m with or without holes_m, or drawing",
                )
                .into()),
        }
    }

    /// The one part of a drawing.
    fn drawn(&self, file: &str) -> Result<Outline> {
        let text = text_of(file)?;
        let traced = if text.trim_start().starts_with('<') {
            read_svg(file, &text)?
        } else {
            read_dxf(file, &text, Unit::Stated)?
        };
        let count = traced.parts.len();
        let mut parts = traced.parts.into_iter();
        match (parts.next(), count) {
            (Some(part), 1) => Ok(part),
            _ => Err(self.fault(
                "drawing",
                &format!("a drawing of {count} parts"),
                "a drawing of one part",
            )),
        }
    }

    fn areas(&self) -> PyResult<Vec<Area>> {
        let texts: Option<Vec<(String, String, String, String)>> = self.get("bad_areas")?;
        let what = format!("{}.bad_areas", self.at);
        let length = |text: &str| Ok::<_, Error>(parse(&what, text, Dimension::Length)?.value);
        Ok(texts
            .unwrap_or_default()
            .iter()
            .map(|(x, y, width, height)| {
                Ok(Area {
                    x_m: length(x)?,
                    y_m: length(y)?,
                    width_m: length(width)?,
                    height_m: length(height)?,
                })
            })
            .collect::<Result<_>>()?)
    }
}

impl Entry<'_, '_> {
    /// Fees for what is long or heavy, and the mass by which that is told.
    fn surcharge(&self, area_m2: f64) -> PyResult<Surcharge> {
        let given = |key: &str, dimension| -> PyResult<Option<(f64, f64)>> {
            let pair: Option<(String, f64)> = self.get(key)?;
            let what = format!("{}.{key}", self.at);
            Ok(pair
                .map(|(limit, fee)| Ok::<_, Error>((parse(&what, &limit, dimension)?.value, fee)))
                .transpose()?)
        };
        let (long, heavy) = (
            given("oversize", Dimension::Length)?,
            given("overweight", Dimension::Mass)?,
        );
        let mass: Option<String> = self.get("mass")?;
        let mass_kg = match &mass {
            Some(text) => parse(&format!("{}.mass", self.at), text, Dimension::Mass)?.value,
            None if heavy.is_some() => {
                let allowed = "the mass of a whole sheet beside overweight";
                return Err(self.fault("mass", "nothing", allowed).into());
            }
            None => 0.0,
        };
        Ok(Surcharge {
            longest_m: long.map(|l| l.0),
            oversize_fee: long.map_or(0.0, |l| l.1),
            heaviest_kg: heavy.map(|h| h.0),
            overweight_fee: heavy.map_or(0.0, |h| h.1),
            mass_kg_m2: if area_m2 > 0.0 {
                mass_kg / area_m2
            } else {
                0.0
            },
        })
    }
}

/// One of some names.
fn named<T: Copy>(kind: &str, name: &str, known: &[(&str, T)]) -> Result<T> {
    let found = known.iter().find(|k| k.0 == name);
    found
        .map(|k| k.1)
        .ok_or_else(|| Error::unknown(kind, name, known.iter().map(|k| k.0)))
}

fn blank(entry: &Entry<'_, '_>) -> PyResult<Part> {
    let turns: Option<String> = entry.get("turns")?;
    let turns = turns.as_deref().unwrap_or("quarter");
    let known = [
        ("none", Turns::None),
        ("half", Turns::Half),
        ("quarter", Turns::Quarter),
        ("any", Turns::Any),
    ];
    Ok(Part {
        may_flip: entry.get("may_flip")?.unwrap_or(false),
        ..Part::shape(
            entry.name()?,
            entry.outline()?,
            entry.get("quantity")?.unwrap_or(1),
            named("turns", turns, &known)?,
        )
    })
}

/// Sheets on sale, each with the cuts that the merchant offers, and offcuts.
fn stock(entry: &Entry<'_, '_>, ask: &mut Ask) -> PyResult<()> {
    let outline = entry.outline()?;
    let (price, shelf_value) = (entry.get("price")?, entry.get("shelf_value")?);
    let (None, Some(price)) = (shelf_value, price) else {
        let Some(shelf_value) = shelf_value.filter(|_| price.is_none()) else {
            let given = "both or neither of price and shelf_value";
            let allowed = "a price for a sheet on sale, a shelf_value for an offcut";
            return Err(entry.fault("price", given, allowed).into());
        };
        ask.offcuts.push(Offcut {
            bad_areas: entry.areas()?,
            ..Offcut::shape(entry.name()?, outline, shelf_value)
        });
        return Ok(());
    };
    if entry.dict.get_item("width")?.is_none() {
        let allowed = "a rectangle; only an offcut has another outline";
        return Err(entry.fault("outline", "no rectangle", allowed).into());
    }
    let (width_m, height_m) = outline.size_m();
    let sold: Option<String> = entry.get("sold")?;
    let known = [
        ("whole", Sold::Whole),
        ("by-length", Sold::ByLength),
        ("to-size", Sold::ToSize),
    ];
    let sheet = SheetKind {
        in_stock: entry.get("in_stock")?,
        cut_fee: entry.get("cut_fee")?.unwrap_or(0.0),
        merchant: entry.get("merchant")?.unwrap_or_default(),
        freight: entry.get("freight")?.unwrap_or(0.0),
        surcharge: entry.surcharge(width_m * height_m)?,
        days_to_arrive: entry.get("days_to_arrive")?.unwrap_or(0.0),
        sold: named("sold", sold.as_deref().unwrap_or("whole"), &known)?,
        bad_areas: entry.areas()?,
        ..SheetKind::new(entry.name()?, width_m, height_m, price)
    };
    let whole = SheetKind {
        bad_areas: vec![],
        ..sheet.clone()
    };
    ask.sheets.push(sheet);
    if let Some(fee) = entry.get("half_fee")? {
        ask.sheets.push(whole.halved(fee));
    }
    if let Some(fee) = entry.get("quarter_fee")? {
        ask.sheets.push(whole.quartered(fee));
    }
    if let Some(fee) = entry.get("to_size_fee")? {
        ask.sheets.push(whole.cut_to_size(fee));
    }
    if let Some(fee) = entry.get("by_length_fee")? {
        ask.sheets.push(whole.cut_to_length(fee));
    }
    Ok(())
}

/// Stops at an instant, once there is a layout.
struct Until<'a> {
    inner: &'a dyn Watch,
    at: Option<Instant>,
}

impl Watch for Until<'_> {
    #[allow(clippy::disallowed_methods)] // the clock that the caller asked for, outside the core
    fn go_on(&self, done_fraction: f64) -> bool {
        let in_time = done_fraction <= 0.0 || self.at.is_none_or(|at| Instant::now() < at);
        self.inner.go_on(done_fraction) && in_time
    }
}

/// A layout with its drawings.
#[derive(Serialize)]
struct Answer<'a> {
    #[serde(flatten)]
    layout: &'a Layout,
    drawings: Vec<String>,
    dxf: Vec<String>,
}

/// Lay blanks of one material and thickness on offcuts and sheets, at the least money.
///
/// The objective is sheets bought + freight + waiting + shelf value of offcuts taken - shelf value
/// of what is kept + cutting; parts left over come before all money. Every layout is checked by
/// code that knows nothing of the search before it comes back.
///
/// Parameters
/// ----------
/// blanks : sequence of dict
///     Parts: ``name``; a shape, which is ``width`` and ``height`` (text with a unit), or ``diameter``
///     and if wanted ``hole``, or ``outline_m`` (corners in metres) and if wanted ``holes_m``, or
///     ``drawing`` (a DXF or SVG file with one part); ``quantity``, 1 if left out; ``turns``: ``"none"``
///     (grain), ``"half"``, ``"quarter"`` (the default) or ``"any"``; ``may_flip``.
/// rack : sequence of dict
///     Stock: ``name`` and a shape, and either ``price`` (a sheet on sale) or ``shelf_value`` (one
///     offcut, of any outline). Sheets may have ``in_stock``, ``cut_fee``, ``merchant``,
///     ``freight`` (once for all from a merchant), ``oversize`` and ``overweight`` (limit as text and what a
///     delivery costs more that exceeds it), ``mass`` of a whole sheet, ``days_to_arrive``, ``sold`` (``"whole"``, ``"by-length"``,
///     ``"to-size"``), and offers of the same sheet cut by the merchant at a fee for each piece:
///     ``half_fee``, ``quarter_fee``, ``to_size_fee``, ``by_length_fee``. ``bad_areas`` of either are
///     (x, y, width, height) as text from the lower left corner.
/// method : {"hand-router", "saw", "cnc"}
///     Decides spacing, order of cutting and how parts are held; a saw cuts from edge to edge.
/// kerf, spacing, trim : str, optional
///     Width of the cut, least distance of parts, strip cut off each edge; the usual ones of the
///     method if left out.
/// keep : tuple of str, default ("100 mm", "300 mm")
///     Least width and length of an offcut worth keeping; common practice, no source.
/// recovery : float, default 0.5
///     What a kept offcut is worth, as a share of the sheet's price for its area.
/// cutting_rate_per_m, waiting_rate_per_day : float, default 0
///     Cost of a metre of cut, and of a day until the last sheet is there.
/// within_days : float, optional
///     Only sheets that arrive by then are bought.
/// earlier : Layout, optional
///     A layout of the same blanks on less stock: it is given back where it is still possible at the same
///     prices and no worse than what is found now, so that more stock is never worse.
/// seed : int, default 1
///     The same seed and effort give the same layout on any machine.
/// effort : int, optional
///     Positions of parts to try; a tenth of a second or so if left out.
/// seconds : float, optional
///     An upper stop; a layout that it cut short says so and need not repeat.
/// progress : callable, optional
///     Called now and then with the share that is done: ``lambda done: bar.update(done - bar.n)``
///     with ``bar = tqdm(total=1)``.
///
/// Returns
/// -------
/// Layout
///     Placements, steps of cutting, what to buy and to keep, money, bound, gap, drawings. Parts
///     without a place are in ``unplaced``, which is no error.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size, price or share that cannot be.
/// ShapeError
///     An outline that crosses itself, a name used twice, a blank without a shape.
/// UnitError
///     A text is not a length.
/// UnknownNameError
///     A method, a kind of turn or a key that is not known.
/// ImpossibleError
///     Not one part fits on any stock.
///
/// Examples
/// --------
/// >>> layout = mw.lay_out(
/// ...     [
/// ...         {"name": "ring", "diameter": "180 mm", "hole": "140 mm", "quantity": 4},
/// ...         {"name": "strap", "width": "420 mm", "height": "60 mm", "quantity": 2},
/// ...     ],
/// ...     [
/// ...         {"name": "sheet", "width": "1220 mm", "height": "2440 mm", "price": 42.0, "half_fee": 2.0},
/// ...         {"name": "A-17", "width": "620 mm", "height": "410 mm", "shelf_value": 2.0},
/// ...     ],
/// ...     method="cnc",
/// ... )
/// >>> [(used.stock, len(used.placements)) for used in layout.sheets_used]
/// [('A-17', 6)]
/// >>> layout.buy, layout.unplaced, layout.cut_short
/// ((), (), False)
#[pyfunction]
#[pyo3(signature = (
    blanks, rack, *, method = "hand-router", kerf = None, spacing = None, trim = None,
    keep = ("100 mm".into(), "300 mm".into()), recovery = 0.5, cutting_rate_per_m = 0.0,
    waiting_rate_per_day = 0.0, within_days = None, earlier = None, seed = 1, effort = None, seconds = None,
    progress = None
), text_signature = "(blanks, rack, *, method='hand-router', kerf=None, spacing=None, trim=None, \
keep=('100 mm', '300 mm'), recovery=0.5, cutting_rate_per_m=0.0, waiting_rate_per_day=0.0, \
within_days=None, earlier=None, seed=1, effort=None, seconds=None, progress=None)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn lay_out<'py>(
    py: Python<'py>,
    blanks: Vec<Bound<'py, PyDict>>,
    rack: Vec<Bound<'py, PyDict>>,
    method: &str,
    kerf: Option<&str>,
    spacing: Option<&str>,
    trim: Option<&str>,
    keep: (String, String),
    recovery: f64,
    cutting_rate_per_m: f64,
    waiting_rate_per_day: f64,
    within_days: Option<f64>,
    earlier: Option<Bound<'py, PyAny>>,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
    #[pyo3(from_py_with = whole::effort)] effort: Option<u64>,
    seconds: Option<f64>,
    progress: Option<Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyAny>> {
    let methods = [
        ("hand-router", Method::HandRouter),
        ("saw", Method::Saw),
        ("cnc", Method::Cnc),
    ];
    let method = named("method", method, &methods)?;
    let mut parts = vec![];
    for (i, dict) in blanks.iter().enumerate() {
        let entry = Entry::new(format!("blanks[{i}]"), dict, &[&BLANK, &SHAPE])?;
        parts.push(blank(&entry)?);
    }
    let mut ask = Ask::new(parts, vec![], method);
    for (i, dict) in rack.iter().enumerate() {
        let entry = Entry::new(format!("rack[{i}]"), dict, &[&STOCK, &SHAPE])?;
        stock(&entry, &mut ask)?;
    }
    let length =
        |what: &str, text: &str| Ok::<_, Error>(parse(what, text, Dimension::Length)?.value);
    for (what, text, field) in [
        ("kerf", kerf, &mut ask.kerf_m),
        ("spacing", spacing, &mut ask.spacing_m),
        ("trim", trim, &mut ask.trim_m),
    ] {
        if let Some(text) = text {
            *field = length(what, text)?;
        }
    }
    ask.keep_least_m = (length("keep[0]", &keep.0)?, length("keep[1]", &keep.1)?);
    ask.recovery_fraction = recovery;
    ask.cutting_rate_per_m = cutting_rate_per_m;
    ask.waiting_rate_per_day = waiting_rate_per_day;
    ask.within_days = within_days;
    ask.seed = seed;
    ask.effort = effort.unwrap_or(ask.effort);
    let until = seconds.map(until).transpose()?;
    let earlier = earlier.as_ref().map(read).transpose()?;
    let (layout, ask) = long(py, progress.as_ref(), move |watch| {
        let watch = Until {
            inner: watch,
            at: until,
        };
        let layout = match &earlier {
            Some(earlier) => lay_again(&ask, earlier, &watch)?,
            None => lay(&ask, &watch)?,
        };
        Ok((layout, ask))
    })?;
    if let Some(progress) = progress {
        progress.call1((1.0,))?;
    }
    let answer = Answer {
        drawings: drawings(&ask, &layout, System::Metric),
        dxf: dxf(&ask, &layout),
        layout: &layout,
    };
    record::give(py, "Layout", &answer)
}

/// A layout that Python holds.
fn read(layout: &Bound<'_, PyAny>) -> PyResult<Layout> {
    let text: String = layout.call_method0("to_json")?.extract()?;
    serde_json::from_str(&text).map_err(|fault| {
        Error::Shape {
            what: "earlier".into(),
            given: fault.to_string(),
            allowed: "a layout, as lay_out gives it".into(),
        }
        .into()
    })
}

#[allow(clippy::disallowed_methods)] // the clock that the caller asked for, outside the core
fn until(seconds: f64) -> Result<Instant> {
    let range = Range::new(0.0, 1e6, "s");
    let seconds = check("seconds", seconds, range, "give the seconds at most")?;
    Ok(Instant::now() + Duration::from_secs_f64(seconds))
}
