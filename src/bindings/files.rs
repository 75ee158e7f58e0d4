//! Files in Python.

use pyo3::prelude::*;

use super::plan::overlaid;
use crate::error::{Error, Result};
use crate::file::editor_schema;
use crate::job::{Job, JobFile, text_of as read};
use crate::material::Catalogue;
use crate::plan::names_with;
use crate::shop::{Shop, ShopFile};

/// Read the text of a job or shop file.
///
/// Parameters
/// ----------
/// path : str
///     The file.
///
/// Returns
/// -------
/// str
///     Its text.
///
/// Raises
/// ------
/// OSError
///     It cannot be read.
/// JobError
///     It is not text.
///
/// Examples
/// --------
/// >>> from mountwright import _core
/// >>> _core.text_of("demo-data/shop.toml").splitlines()[0]
/// '# An invented shop. Names, prices, hours and offcuts are made up.'
#[pyfunction]
pub(super) fn text_of(py: Python<'_>, path: &str) -> PyResult<String> {
    Ok(py.detach(|| read(path))?)
}

/// The JSON schema of a job or shop file, from the very types that read it.
///
/// Parameters
/// ----------
/// kind : str
///     ``"job"`` or ``"shop"``.
///
/// Returns
/// -------
/// str
///     JSON schema, draft 2020-12. Ranges of quantities stand in the descriptions and as ``least``
///     and ``most``; names of the catalogues are offered.
///
/// Raises
/// ------
/// UnknownNameError
///     There is no such file.
///
/// Examples
/// --------
/// >>> import json
/// >>> from mountwright import _core
/// >>> json.loads(_core.schema_of("job"))["title"]
/// 'mountwright job'
#[pyfunction]
pub(super) fn schema_of(py: Python<'_>, kind: &str) -> PyResult<String> {
    Ok(py.detach(|| -> Result<String> {
        let names = names_with(Catalogue::standard()?)?;
        let schema = match kind {
            "job" => editor_schema::<Job>(&names),
            "shop" => editor_schema::<Shop>(&names),
            other => return Err(Error::unknown("file", other, KINDS)),
        };
        Ok(format!("{schema:#}"))
    })?)
}

/// Find every fault of a job or shop file, without planning anything.
///
/// Parameters
/// ----------
/// kind : str
///     ``"job"`` or ``"shop"``.
/// text, path : str
///     What the file says, and where it stands: drawings are looked for beside it.
/// materials : tuple of str, optional
///     Text and path of a materials file of your own.
///
/// Raises
/// ------
/// JobError
///     The file has faults; all of them are listed.
/// UnknownNameError
///     There is no such kind of file.
///
/// Examples
/// --------
/// >>> from mountwright import _core
/// >>> _core.check_file("shop", _core.text_of("demo-data/shop.toml"), "demo-data/shop.toml")
#[pyfunction]
#[pyo3(signature = (kind, text, path, *, materials=None))]
pub(super) fn check_file(
    py: Python<'_>,
    kind: &str,
    text: &str,
    path: &str,
    materials: Option<(String, String)>,
) -> PyResult<()> {
    Ok(py.detach(|| -> Result<()> {
        let catalogue = overlaid(materials.as_ref())?;
        let names = names_with(&catalogue)?;
        match kind {
            "job" => JobFile::parse(path, text, &names).map(drop),
            "shop" => ShopFile::parse(path, text, &names).map(drop),
            other => Err(Error::unknown("file", other, KINDS)),
        }
    })?)
}

/// The kinds of file that a user writes.
const KINDS: [&str; 2] = ["job", "shop"];
