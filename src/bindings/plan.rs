//! The whole plan in Python.

use std::borrow::Cow;

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;

use super::long::long;
use super::whole;
use crate::error::Result;
use crate::file::Names;
use crate::job::JobFile;
use crate::material::Catalogue;
use crate::memory::Memory;
use crate::plan::{Options, Way, compare_with as side_by_side, names_with, plan_with, try_parts};
use crate::shop::ShopFile;

/// File, title, part, kind, SVG, DXF, PDF.
type Drawn = (String, String, String, String, String, String, Vec<u8>);

/// A plan as text: `plan.json` and its drawings.
#[pyclass(frozen, get_all, module = "mountwright._core")]
pub(super) struct PlanResult {
    /// The text of `plan.json`.
    json: String,
    /// Drawings: file, title, part, kind, SVG, DXF, PDF.
    drawings: Vec<Drawn>,
}

/// The standard catalogue, with a user's file over it where one is given as text and path.
pub(super) fn overlaid(own: Option<&(String, String)>) -> Result<Cow<'static, Catalogue>> {
    let standard = Catalogue::standard()?;
    Ok(match own {
        Some((text, path)) => Cow::Owned(standard.overlaid_with(text, path)?),
        None => Cow::Borrowed(standard),
    })
}

/// The shop's file, with what its memory knows where there is one already.
fn shop_with(path: &str, text: &str, names: &Names, memory: Option<&String>) -> Result<ShopFile> {
    let shop = ShopFile::parse(path, text, names)?;
    match memory
        .map(|file| Memory::existing(file))
        .transpose()?
        .flatten()
    {
        Some(memory) => {
            memory.check_trials(&shop.shop, names)?;
            memory.with(&shop)
        }
        None => Ok(shop),
    }
}

/// Plan a job in a shop.
///
/// Parameters
/// ----------
/// job_text, shop_text : str
///     What the two files say.
/// job_path, shop_path : str
///     Where they stand, for messages.
/// materials : tuple of str, optional
///     Text and path of a materials file of your own.
/// memory : str, optional
///     The shop's memory; a file that is not there yet counts as empty.
/// draws : int, default 256
///     Draws behind the ranges, 0 to 100000; 0 gives the likeliest figures alone.
/// seed : int, default 1
///     The same seed gives the same plan.
///
/// Returns
/// -------
/// PlanResult
///     The text of ``plan.json`` and the drawings.
///
/// Raises
/// ------
/// JobError
///     A file has faults, or a part cannot be made as measured.
/// MemoryFileError
///     The memory cannot be read.
/// ImpossibleError
///     No order of work keeps its waits, or most draws cannot be made.
///
/// Examples
/// --------
/// >>> from mountwright import _core
/// >>> job, shop = "demo-data/door-rings.toml", "demo-data/shop.toml"
/// >>> done = _core.plan(_core.text_of(job), job, _core.text_of(shop), shop, draws=0)
/// >>> done.drawings[0][3]
/// 'layout'
#[pyfunction]
#[pyo3(signature = (job_text, job_path, shop_text, shop_path, *, materials=None, memory=None, draws=256, seed=1))]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn plan(
    py: Python<'_>,
    job_text: String,
    job_path: String,
    shop_text: String,
    shop_path: String,
    materials: Option<(String, String)>,
    memory: Option<String>,
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<PlanResult> {
    let done = long(py, None, move |watch| {
        let catalogue = &overlaid(materials.as_ref())?;
        let names = names_with(catalogue)?;
        let job = JobFile::parse_or_rest(&job_path, &job_text, &names);
        let shop = shop_with(&shop_path, &shop_text, &names, memory.as_ref());
        match (job, shop) {
            (Ok(job), shop) => plan_with(&job, &shop?, catalogue, Options { draws, seed }, watch),
            (Err(faulty), Ok(shop)) => {
                Err(faulty.error_with(|rest| try_parts(rest, &shop, catalogue)))
            }
            (Err(faulty), Err(_)) => Err(faulty.error()),
        }
    })?;
    let json =
        serde_json::to_string_pretty(&done).map_err(|e| PyValueError::new_err(e.to_string()))?;
    let drawings = done
        .drawings
        .into_iter()
        .map(|d| (d.file, d.title, d.part, d.kind, d.svg, d.dxf, d.pdf))
        .collect();
    Ok(PlanResult { json, drawings })
}

/// Plan a job in several ways, side by side.
///
/// Parameters
/// ----------
/// job_text, shop_text : str
///     What the two files say.
/// job_path, shop_path : str
///     Where they stand, for messages.
/// ways : sequence of tuple of str
///     Name of each way, and what it changes as TOML.
/// materials : tuple of str, optional
///     Text and path of a materials file of your own.
/// memory : str, optional
///     The shop's memory; a file that is not there yet counts as empty.
/// draws : int, default 256
///     Draws behind the ranges.
/// seed : int, default 1
///     The same seed gives the same answer.
///
/// Returns
/// -------
/// str
///     The alternatives as JSON.
///
/// Raises
/// ------
/// JobError
///     A file or a way has faults.
/// MemoryFileError
///     The memory cannot be read.
/// ShapeError
///     A way changes nothing.
/// UnknownNameError
///     A way names a part that is not there.
///
/// Examples
/// --------
/// >>> from mountwright import _core
/// >>> job, shop = "demo-data/door-rings.toml", "demo-data/shop.toml"
/// >>> texts = (_core.text_of(job), job, _core.text_of(shop), shop)
/// >>> found = _core.compare(*texts, [("bare", 'finish = "bare"')], draws=0)
/// >>> '"name":"bare"' in found
/// True
#[pyfunction]
#[pyo3(signature = (job_text, job_path, shop_text, shop_path, ways, *, materials=None, memory=None, draws=256, seed=1))]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn compare(
    py: Python<'_>,
    job_text: String,
    job_path: String,
    shop_text: String,
    shop_path: String,
    ways: Vec<(String, String)>,
    materials: Option<(String, String)>,
    memory: Option<String>,
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<String> {
    let found = long(py, None, move |watch| {
        let catalogue = &overlaid(materials.as_ref())?;
        let names = names_with(catalogue)?;
        let job = JobFile::parse(&job_path, &job_text, &names);
        let shop = shop_with(&shop_path, &shop_text, &names, memory.as_ref());
        let ways = ways
            .into_iter()
            .map(|(name, text)| {
                let way = Way::read(&name, &text)?;
                Ok((name, way))
            })
            .collect::<Result<Vec<_>>>()?;
        let options = Options { draws, seed };
        side_by_side(&job?, &shop?, catalogue, &ways, options, watch)
    })?;
    serde_json::to_string(&found).map_err(|e| PyValueError::new_err(e.to_string()))
}
