//! A job file read: its text, its faults with their lines, its drawings.

use std::collections::BTreeMap;
use std::path::Path;

use super::Job;
use super::faults::faults;
use super::rest::{self, Faulty};
use super::traces::{self, Drawings};
use crate::error::{Error, Note, Problem, Result};
use crate::file::{self, Names, Source};
use crate::outline::Outline;

/// A job with the place of each of its keys, for messages.
#[derive(Debug, Clone)]
pub struct JobFile {
    /// What it says.
    pub job: Job,
    /// Where it says it.
    pub source: Source,
    /// Traced outlines by the name of their part, about their centre.
    pub traced: BTreeMap<String, Outline>,
    /// Traced cutouts by the name of their ring, about their centre.
    pub traced_cutouts: BTreeMap<String, Outline>,
    /// What was left out of their drawings or bridged in them, by the name of the part.
    pub drawing_notes: BTreeMap<String, Vec<Note>>,
}

impl JobFile {
    /// Reads the text of a job file; `path` is for messages, `names` are the materials and foams that may be named.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault of the file and its line.
    pub fn parse(path: &str, text: &str, names: &Names) -> Result<Self> {
        Self::parse_or_rest(path, text, names).map_err(|faulty| faulty.error())
    }

    /// As [`JobFile::parse`], but what stands of a job with faults is kept, so that its parts may be planned for their faults.
    ///
    /// # Errors
    /// [`Faulty`] with every fault of the file and what stands of it.
    pub fn parse_or_rest(
        path: &str,
        text: &str,
        names: &Names,
    ) -> std::result::Result<Self, Box<Faulty>> {
        Self::once(path, text, names).map_err(|first| rest::look_on(path, text, names, first))
    }

    /// One reading, which stops where the faults so far hide others.
    pub(super) fn once(path: &str, text: &str, names: &Names) -> Result<Self> {
        let (job, source) = file::read::<Job>(path, text, names, &[("place", "places")])?;
        let mut problems = faults(&job, &source);
        let mut drawings = Drawings::default();
        if problems.is_empty() {
            let folder = Path::new(path).parent().unwrap_or(Path::new(""));
            drawings = traces::traces(&job, &source, folder, &mut problems);
        }
        if problems.is_empty() {
            Ok(Self {
                job,
                source,
                traced: drawings.outlines,
                traced_cutouts: drawings.cutouts,
                drawing_notes: drawings.notes,
            })
        } else {
            Err(source.fault(problems))
        }
    }

    /// Reads a job file.
    ///
    /// # Errors
    /// [`Error::Io`] where it cannot be read, [`Error::Job`] with every fault and its line.
    pub fn read(path: &str, names: &Names) -> Result<Self> {
        Self::parse(path, &text_of(path)?, names)
    }
}

/// The text of a file.
///
/// # Errors
/// [`Error::Io`] where it cannot be read or is not text.
pub fn text_of(path: &str) -> Result<String> {
    let bytes = std::fs::read(path).map_err(|e| Error::io(path, &e))?;
    String::from_utf8(bytes).map_err(|e| Error::Job {
        path: path.to_string(),
        problems: vec![Problem {
            line: None,
            field: String::new(),
            message: format!("not text: {e}; is it the right file?"),
        }],
    })
}
