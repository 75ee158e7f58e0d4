//! One error type for the whole library: what was wrong, the value given, what is allowed, what to do.
//!
//! An impossible input is an [`Error`]; an input outside the range in which a correlation was
//! published is answered, and the answer carries a [`Note`].

use std::fmt;

use serde::{Deserialize, Serialize};

/// Result of this library.
pub type Result<T> = std::result::Result<T, Error>;

/// A closed range of allowed values with its unit; prints as `0.0001 to 0.1 m`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Range {
    /// Least value allowed.
    pub low: f64,
    /// Greatest value allowed.
    pub high: f64,
    /// SI unit, `""` for a pure number.
    pub unit: &'static str,
}

impl Range {
    /// A closed range.
    pub const fn new(low: f64, high: f64, unit: &'static str) -> Self {
        Self { low, high, unit }
    }

    /// Whether `value` is inside; NaN is outside every range.
    ///
    /// ```
    /// use mountwright::error::Range;
    /// assert!(Range::new(0.0, 1.0, "m").holds(1.0));
    /// assert!(!Range::new(0.0, 1.0, "m").holds(f64::NAN));
    /// ```
    pub fn holds(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// A closed range whose bounds were computed: a hair wider, so that the rounding of a sum keeps nothing out that is just right.
    ///
    /// ```
    /// use mountwright::error::Range;
    /// // Three diameters of 9.5 mm are 28.5 mm, whatever the rounding says.
    /// assert!(Range::computed(0.0, 3.0 * 9.5e-3, "m").holds(0.0285));
    /// ```
    pub fn computed(low: f64, high: f64, unit: &'static str) -> Self {
        let hair = |bound: f64| {
            if bound.is_finite() {
                1e-12 * bound.abs()
            } else {
                0.0
            }
        };
        Self::new(low - hair(low), high + hair(high), unit)
    }
}

/// A number for people: twelve digits hide the noise of a computed bound, and no number fills a line with zeros.
pub(crate) fn plain(value: f64) -> String {
    let rounded: f64 = format!("{value:.11e}").parse().unwrap_or(value);
    let size = rounded.abs();
    if rounded.is_finite() && size > 0.0 && !(1e-6..1e15).contains(&size) {
        format!("{rounded:e}")
    } else {
        rounded.to_string()
    }
}

impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (low, high) = (plain(self.low), plain(self.high));
        match (self.low.is_finite(), self.high.is_finite()) {
            (true, true) => write!(f, "{low} to {high}")?,
            (true, false) => write!(f, "{low} or more")?,
            (false, true) => write!(f, "{high} or less")?,
            (false, false) => write!(f, "any number")?,
        }
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        Ok(())
    }
}

/// One fault of a file: where it stands and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// Line in the file, counted from 1; `None` where it has no line (a key that is missing from the whole file).
    pub line: Option<usize>,
    /// The key, as a path: `straps[1].thickness`.
    pub field: String,
    /// What is wrong, what is allowed and what to do.
    pub message: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}: ")?;
        }
        if !self.field.is_empty() {
            write!(f, "{}: ", self.field)?;
        }
        f.write_str(&self.message)
    }
}

/// Everything that can go wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A number outside what is possible; NaN is outside every range.
    #[error("{what} is {}, allowed is {allowed}: {remedy}", plain(*.given))]
    OutOfRange {
        /// The quantity, with its place where it has one (`layers[1].thickness_m`).
        what: String,
        /// The value given.
        given: f64,
        /// The range allowed.
        allowed: Range,
        /// What to do.
        remedy: String,
    },
    /// Text that is not a quantity of the dimension asked for.
    #[error("{what} is \"{given}\", expected {expected}: {remedy}")]
    Unit {
        /// The quantity.
        what: String,
        /// The text given.
        given: String,
        /// The dimension expected, with an example.
        expected: String,
        /// What to do.
        remedy: String,
    },
    /// A name that is not in a catalogue.
    #[error("no {kind} is called \"{given}\"{}", nearest(.near))]
    Unknown {
        /// What was looked for: `material`, `adhesive`, `key`.
        kind: String,
        /// The name given.
        given: String,
        /// The nearest names known, best first.
        near: Vec<String>,
    },
    /// A shape, size or structure that cannot be: array lengths, self-crossing outlines, a hole outside its part.
    #[error("{what} is {given}, allowed is {allowed}")]
    Shape {
        /// The feature.
        what: String,
        /// What was given.
        given: String,
        /// What would be allowed.
        allowed: String,
    },
    /// All the faults of one file, together.
    #[error("{path}: {} fault{}\n{}", .problems.len(), if .problems.len() == 1 { "" } else { "s" }, lines(.problems))]
    Job {
        /// The file.
        path: String,
        /// Every fault found, in the order of the file.
        problems: Vec<Problem>,
    },
    /// A question that is well put and has no answer.
    #[error("{what} is not possible: {why}; {remedy}")]
    Impossible {
        /// What was asked for.
        what: String,
        /// Why there is none.
        why: String,
        /// What would help.
        remedy: String,
    },
    /// A file that cannot be read or written.
    #[error("{path}: {text}")]
    Io {
        /// The kind that the system gave.
        kind: std::io::ErrorKind,
        /// The system's number of the fault, where it has one.
        errno: Option<i32>,
        /// The file or folder.
        path: String,
        /// The system's words.
        text: String,
    },
    /// The shop's memory cannot do what was asked; the file is as it was.
    #[error("{path}: {what}; {remedy}")]
    Memory {
        /// What kind of fault.
        fault: MemoryFault,
        /// The file.
        path: String,
        /// What is wrong.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// The caller asked to stop.
    #[error("stopped before it was done")]
    Stopped,
}

/// What can be wrong with the shop's memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemoryFault {
    /// The file was written by a newer program.
    Newer,
    /// The file is something else.
    NotAMemory,
    /// The file is damaged.
    Damaged,
    /// The file or its disk can only be read.
    ReadOnly,
    /// The disk is full.
    Full,
    /// Another program is writing all the while.
    Busy,
    /// The job was accepted already.
    AcceptedTwice,
    /// A sheet or offcut that the plan takes is no longer in the rack.
    AlreadyUsed,
    /// A row names a material that no catalogue has.
    UnknownMaterial,
}

impl MemoryFault {
    /// Its name, as Python has it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Newer => "newer",
            Self::NotAMemory => "not-a-memory",
            Self::Damaged => "damaged",
            Self::ReadOnly => "read-only",
            Self::Full => "full",
            Self::Busy => "busy",
            Self::AcceptedTwice => "accepted-twice",
            Self::AlreadyUsed => "already-used",
            Self::UnknownMaterial => "unknown-material",
        }
    }
}

fn nearest(near: &[String]) -> String {
    if near.is_empty() {
        String::new()
    } else {
        format!("; nearest: {}", near.join(", "))
    }
}

fn lines(problems: &[Problem]) -> String {
    problems
        .iter()
        .map(|p| format!("  {p}"))
        .collect::<Vec<_>>()
        .join("\n")
}

impl Error {
    /// A system error with the path that it belongs to.
    pub fn io(path: impl Into<String>, error: &std::io::Error) -> Self {
        Self::Io {
            kind: error.kind(),
            errno: error.raw_os_error(),
            path: path.into(),
            text: error.to_string(),
        }
    }

    /// An unknown name with its nearest known names, at most three; where none is alike and there are few, with all of them.
    ///
    /// ```
    /// use mountwright::Error;
    /// let e = Error::unknown("material", "abss", ["abs", "petg"]);
    /// assert_eq!(e.to_string(), "no material is called \"abss\"; nearest: abs");
    /// let e = Error::unknown("setting", "3", ["I", "II"]);
    /// assert_eq!(e.to_string(), "no setting is called \"3\"; nearest: I, II");
    /// ```
    pub fn unknown<'a>(
        kind: impl Into<String>,
        given: impl Into<String>,
        known: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let given = given.into();
        let known: Vec<&str> = known.into_iter().collect();
        let mut near = nearest_names(&given, known.iter().copied());
        if near.is_empty() && known.len() <= FEW {
            near = known.into_iter().map(str::to_string).collect();
        }
        Self::Unknown {
            kind: kind.into(),
            given,
            near,
        }
    }
}

/// So many names are told in full to whoever gives none of them.
const FEW: usize = 4;

/// The names most like `given`, best first, at most three; none where nothing is alike.
pub fn nearest_names<'a>(given: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let given = given.to_lowercase();
    let mut scored: Vec<(f64, &str)> = known
        .into_iter()
        .map(|name| (strsim::jaro_winkler(&given, &name.to_lowercase()), name))
        .filter(|(score, _)| *score > 0.7)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    scored
        .into_iter()
        .take(3)
        .map(|(_, name)| name.to_string())
        .collect()
}

/// Gives `value` back if `range` holds it.
///
/// # Errors
/// [`Error::OutOfRange`] otherwise, also for NaN.
///
/// ```
/// use mountwright::error::{check, Range};
/// let thickness_m = check("thickness_m", 3e-3, Range::new(1e-4, 0.1, "m"), "measure the sheet")?;
/// assert!(check("thickness_m", f64::NAN, Range::new(1e-4, 0.1, "m"), "measure the sheet").is_err());
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn check(
    what: impl Into<String>,
    value: f64,
    range: Range,
    remedy: impl Into<String>,
) -> Result<f64> {
    if range.holds(value) {
        Ok(value)
    } else {
        Err(Error::OutOfRange {
            what: what.into(),
            given: value,
            allowed: range,
            remedy: remedy.into(),
        })
    }
}

/// A remark on an answer: a correlation used outside its published range and its fallback, a conflict of sources, a caution.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Note {
    /// What it is about: `jet correlation`, `expanded PVC`.
    pub about: String,
    /// What is to be known.
    pub text: String,
}

impl Note {
    /// A remark.
    pub fn new(about: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            about: about.into(),
            text: text.into(),
        }
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.about, self.text)
    }
}

/// An answer with its remarks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Noted<T> {
    /// The answer.
    pub value: T,
    /// Its remarks; none where every correlation was used inside its published range.
    pub notes: Vec<Note>,
}

/// Lets a caller follow long work and stop it.
pub trait Watch: Sync {
    /// Called now and then with the fraction done, 0 to 1; `false` stops the work with [`Error::Stopped`].
    fn go_on(&self, done_fraction: f64) -> bool;
}

/// A [`Watch`] that never stops.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn go_on(&self, _done_fraction: f64) -> bool {
        true
    }
}
