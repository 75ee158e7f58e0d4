//! Named inputs of a plan and their one matrix of draws.

use std::collections::BTreeMap;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use rayon::prelude::*;
use serde::Serialize;

use super::{Law, Quantile};
use crate::error::{Error, Range, Result, Unwatched, Watch, check};

/// Most values in one matrix: 2 GB.
const MOST_VALUES: f64 = 2.5e8;

/// Number of an input in its [`Inputs`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct InputId(usize);

/// Every uncertain input of a plan, each registered once under its name.
///
/// ```
/// use mountwright::spread::{Inputs, Law};
/// let mut inputs = Inputs::default();
/// let pace = inputs.register("pace", Law::Triangular { low: 0.8, likely: 1.0, high: 1.4 })?;
/// let sheet = inputs.register("price of the sheet", Law::Uniform { low: 38.0, high: 46.0 })?;
/// assert_eq!(inputs.register("pace", Law::Triangular { low: 0.8, likely: 1.0, high: 1.4 })?, pace);
/// let draws = inputs.draw(256, 1)?;
/// assert_eq!(draws.column(pace).len(), 256);
/// assert!(draws.value(sheet, 17) >= 38.0);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Inputs {
    names: BTreeMap<String, usize>,
    laws: Vec<(String, Law)>,
}

impl Inputs {
    /// Registers an input; the same name with the same law gives the number that it has.
    ///
    /// # Errors
    /// [`Error::Shape`] where the name is known with another law; [`Error::OutOfRange`] for parameters that are no law.
    pub fn register(&mut self, name: impl Into<String>, law: Law) -> Result<InputId> {
        let name = name.into();
        law.check(&name)?;
        if let Some(&at) = self.names.get(&name) {
            let known = self.laws[at].1;
            if known == law {
                return Ok(InputId(at));
            }
            return Err(Error::Shape {
                what: format!("input \"{name}\""),
                given: format!("{law:?}"),
                allowed: format!("the law it was registered with, {known:?}, or another name"),
            });
        }
        let at = self.laws.len();
        self.names.insert(name.clone(), at);
        self.laws.push((name, law));
        Ok(InputId(at))
    }

    /// Number of inputs.
    pub fn len(&self) -> usize {
        self.laws.len()
    }

    /// Whether nothing is registered.
    pub fn is_empty(&self) -> bool {
        self.laws.is_empty()
    }

    /// Names and laws in the order of registration.
    pub fn iter(&self) -> impl Iterator<Item = (InputId, &str, Law)> {
        self.laws
            .iter()
            .enumerate()
            .map(|(at, (name, law))| (InputId(at), name.as_str(), *law))
    }

    /// The number of a name.
    pub fn find(&self, name: &str) -> Option<InputId> {
        self.names.get(name).copied().map(InputId)
    }

    /// Name of an input.
    ///
    /// # Panics
    /// For a number from another registry that this one does not have.
    pub fn name(&self, id: InputId) -> &str {
        &self.laws[id.0].0
    }

    /// Law of an input.
    ///
    /// # Panics
    /// For a number from another registry that this one does not have.
    pub fn law(&self, id: InputId) -> Law {
        self.laws[id.0].1
    }

    /// One Latin hypercube of `n` draws; see the page of the room for how a column is made.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for no draws, or more than memory takes.
    pub fn draw(&self, n: usize, seed: u64) -> Result<Draws> {
        self.draw_watched(n, seed, &Unwatched)
    }

    /// The same, asking `watch` before each column whether to go on.
    ///
    /// # Errors
    /// As [`Inputs::draw`], and [`Error::Stopped`] when `watch` says so.
    pub fn draw_watched(&self, n: usize, seed: u64, watch: &dyn Watch) -> Result<Draws> {
        let most = (MOST_VALUES / self.laws.len().max(1) as f64).floor();
        let remedy = "256 draws serve a plan, 10 000 a percentile to three digits";
        check(
            "number of draws",
            n as f64,
            Range::new(1.0, most, ""),
            remedy,
        )?;
        let columns = self
            .laws
            .par_iter()
            .map(|(name, law)| {
                if watch.go_on(0.0) {
                    column(name, law, n, seed)
                } else {
                    Err(Error::Stopped)
                }
            })
            .collect::<Result<_>>()?;
        Ok(Draws { n, columns })
    }
}

/// Draws from which on a table of quantiles is made sooner than as many quantiles.
const TABLED: usize = 4096;

/// One column: a permutation of the strata with a jitter in each.
fn column(name: &str, law: &Law, n: usize, seed: u64) -> Result<Vec<f64>> {
    if let Law::Fixed { value } = *law {
        return Ok(vec![value; n]);
    }
    let mut stream = stream(name, seed);
    let mut strata: Vec<usize> = (0..n).collect();
    for last in (1..n).rev() {
        strata.swap(last, below(&mut stream, last + 1));
    }
    let mut p = |stratum: usize| (stratum as f64 + open_unit(&mut stream)) / n as f64;
    Ok(if n < TABLED {
        strata.into_iter().map(|at| law.at(p(at))).collect()
    } else {
        let table = Quantile::of(*law)?;
        strata.into_iter().map(|at| table.at(p(at))).collect()
    })
}

/// The stream of a name under a seed.
pub(crate) fn stream(name: &str, seed: u64) -> ChaCha8Rng {
    let mut key = [0; 32];
    key[..8].copy_from_slice(&seed.to_le_bytes());
    key[8..16].copy_from_slice(&fnv(name.bytes()).to_le_bytes());
    // A second hash over the reversed bytes and the length: 128 bits keep two names of one plan apart.
    key[16..24].copy_from_slice(&fnv(name.bytes().rev()).to_le_bytes());
    key[24..32].copy_from_slice(&(name.len() as u64).to_le_bytes());
    ChaCha8Rng::from_seed(key)
}

/// FNV-1a, 64 bits: fixed for ever, unlike the hashes of the standard library.
fn fnv(bytes: impl Iterator<Item = u8>) -> u64 {
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// A whole number below `limit`; the bias of at most `limit / 2^64` is beyond any test.
pub(crate) fn below(stream: &mut ChaCha8Rng, limit: usize) -> usize {
    // The high word of a 64 by 64 bit product with a `usize` fits a `usize` again.
    #[allow(clippy::cast_possible_truncation)]
    let high = ((u128::from(stream.next_u64()) * limit as u128) >> 64) as usize;
    high
}

/// A number above 0 and below 1, on 52 bits.
fn open_unit(stream: &mut ChaCha8Rng) -> f64 {
    ((stream.next_u64() >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
}

/// The draws of all inputs of one registry.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Draws {
    n: usize,
    columns: Vec<Vec<f64>>,
}

impl Draws {
    /// Number of draws.
    pub fn len(&self) -> usize {
        self.n
    }

    /// Whether there are none; never, for draws that [`Inputs::draw`] gave.
    pub fn is_empty(&self) -> bool {
        self.n == 0
    }

    /// All draws of one input.
    ///
    /// # Panics
    /// For a number from another registry that these draws do not have.
    pub fn column(&self, id: InputId) -> &[f64] {
        &self.columns[id.0]
    }

    /// One draw of one input.
    ///
    /// # Panics
    /// For a number from another registry, or a row that is not below [`Draws::len`].
    pub fn value(&self, id: InputId, row: usize) -> f64 {
        self.columns[id.0][row]
    }
}
