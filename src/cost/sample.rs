//! The cost of a job drawn many times.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::Rng;
use rayon::prelude::*;
use serde::Serialize;

use super::{PricedOn, Terms};
use crate::error::{Error, Range, Result, Watch, check};
use crate::money::Money;
use crate::spread::{Band, Law, Quantile, covering, percentiles, stream};

/// A line of a bill whose cost is not known exactly.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UncertainLine {
    /// Name, unique in the job; it keys the line's draws.
    pub name: String,
    /// Its cost, where every cause is 1.
    pub law: Law,
    /// Causes (by position) that multiply it: the pace of the fabricator, the price of sheet.
    pub causes: Vec<usize>,
}

/// Draws the total of uncertain lines: cost of a line times its causes, summed.
///
/// Draws come in blocks of 1024, each a Latin hypercube of its own, so that the error of a percentile is seen from groups of blocks.
///
/// ```
/// use mountwright::cost::{Sampler, UncertainLine};
/// use mountwright::spread::Law;
/// let pace = ("pace".to_string(), Law::Pert { low: 0.8, likely: 1.0, high: 1.5 });
/// let line = |name: &str, law| UncertainLine { name: name.into(), law, causes: vec![0] };
/// let sampler = Sampler::new(
///     &[
///         line("forming", Law::Triangular { low: 30.0, likely: 40.0, high: 70.0 }),
///         line("finishing", Law::Pert { low: 50.0, likely: 60.0, high: 140.0 }),
///     ],
///     &[pace],
/// )?;
/// let band = sampler.band(20_000, 1)?;
/// assert!(band.p10 < band.p50 && band.p50 < band.p90);
/// assert!(band.error < 0.5);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Sampler {
    causes: Vec<(String, Quantile)>,
    lines: Vec<(String, Quantile, Vec<usize>)>,
}

/// One of many quotes priced from the same draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Repriced {
    /// Range of its cost.
    pub cost: Band,
    /// Net price.
    pub net: Money,
}

/// Quotes between two looks at whether to go on.
const CHUNK: usize = 256;
/// Draws in a block: its columns stay in the first-level cache.
const BLOCK: usize = 1024;
/// Groups of blocks from which the error is taken.
const GROUPS: usize = 16;
/// Most draws at once: 0.8 GB.
const MOST: f64 = 1e8;

impl Sampler {
    /// Makes ready to draw.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a law that cannot be; [`Error::Shape`] for a cause that is not there, or two of one name.
    pub fn new(lines: &[UncertainLine], causes: &[(String, Law)]) -> Result<Self> {
        let mut names = std::collections::BTreeSet::new();
        let all = lines
            .iter()
            .map(|line| &line.name)
            .chain(causes.iter().map(|cause| &cause.0));
        for name in all {
            if !names.insert(name) {
                return Err(Error::Shape {
                    what: "name of a line or cause".into(),
                    given: format!("\"{name}\" twice"),
                    allowed: "a name of its own for each".into(),
                });
            }
        }
        let ready = |name: &String, law: Law| Ok((name.clone(), Quantile::of(law.check(name)?)?));
        let made = causes
            .iter()
            .map(|(name, law)| ready(name, *law))
            .collect::<Result<Vec<_>>>()?;
        let lines = lines
            .iter()
            .map(|line| {
                if let Some(cause) = line.causes.iter().find(|&&at| at >= causes.len()) {
                    return Err(Error::Shape {
                        what: format!("cause of \"{}\"", line.name),
                        given: format!("number {cause}"),
                        allowed: format!("a number below {}", causes.len()),
                    });
                }
                let (name, quantile) = ready(&line.name, line.law)?;
                Ok((name, quantile, line.causes.clone()))
            })
            .collect::<Result<_>>()?;
        Ok(Self {
            causes: made,
            lines,
        })
    }

    /// `n` draws of the total; the same for a seed on any number of cores.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for no draws or more than 10⁸.
    pub fn costs(&self, n: usize, seed: u64) -> Result<Vec<f64>> {
        self.costs_with(&vec![1.0; self.lines.len()], n, seed)
    }

    /// `n` draws of the total with a factor on each line: other quantities or rates, the same laws.
    ///
    /// # Errors
    /// As [`Sampler::costs`], and [`Error::Shape`] unless there is one factor for each line, [`Error::OutOfRange`] for one that is negative or not finite.
    pub fn costs_with(&self, factors: &[f64], n: usize, seed: u64) -> Result<Vec<f64>> {
        check_count(n, MOST)?;
        self.check_factors("factors", factors)?;
        let mut totals = vec![0.0; n];
        totals
            .par_chunks_mut(BLOCK)
            .enumerate()
            .for_each(|(block, totals)| self.block(factors, block as u64, seed, totals));
        Ok(totals)
    }

    /// Cost and price of many quotes that differ in quantities and rates: a factor on each line for each quote.
    ///
    /// All quotes see the same draws, so that they differ by what they ask for and not by luck. The lines hold the full cost, overhead too;
    /// of the terms, earning, fees, minimum, discount and rounding are used.
    ///
    /// # Errors
    /// As [`Sampler::costs_with`] and [`Terms::check`]; [`Error::OutOfRange`] where the draws would not fit memory, [`Error::Stopped`] when `watch` says so.
    pub fn reprice(
        &self,
        quotes: &[Vec<f64>],
        terms: &Terms,
        n: usize,
        seed: u64,
        watch: &dyn Watch,
    ) -> Result<Vec<Repriced>> {
        terms.check()?;
        check_count(n, MOST / self.lines.len().max(1) as f64)?;
        for (at, factors) in quotes.iter().enumerate() {
            self.check_factors(&format!("quotes[{at}]"), factors)?;
        }
        let columns = self.columns(n, seed);
        let mut repriced = Vec::with_capacity(quotes.len());
        for chunk in quotes.chunks(CHUNK) {
            if !watch.go_on(repriced.len() as f64 / quotes.len() as f64) {
                return Err(Error::Stopped);
            }
            let some: Vec<Repriced> = chunk
                .par_iter()
                .map(|factors| {
                    let mut costs = vec![0.0; n];
                    for (column, factor) in columns.iter().zip(factors) {
                        for (cost, x) in costs.iter_mut().zip(column) {
                            *cost += factor * x;
                        }
                    }
                    let cost = percentiles(&costs)?;
                    let basis = match terms.priced_on {
                        PricedOn::Bill | PricedOn::Mean => cost.mean,
                        PricedOn::Percentile { share } => covering(&costs, share)?,
                    };
                    let net = terms.asked(basis).net_price;
                    let net = Money::rounded(net, terms.currency, terms.rounding)?;
                    Ok(Repriced { cost, net })
                })
                .collect::<Result<_>>()?;
            repriced.extend(some);
        }
        Ok(repriced)
    }

    /// Draws of each line with its causes.
    fn columns(&self, n: usize, seed: u64) -> Vec<Vec<f64>> {
        let mut places = [0_u32; BLOCK];
        let mut columns = vec![vec![0.0; n]; self.lines.len()];
        for (block, from) in (0_u64..).zip((0..n).step_by(BLOCK)) {
            let to = (from + BLOCK).min(n);
            let places = &mut places[..to - from];
            let mut causes = vec![vec![0.0; to - from]; self.causes.len()];
            for ((name, quantile), cause) in self.causes.iter().zip(&mut causes) {
                draw(name, quantile, block, seed, places, cause);
            }
            for ((name, quantile, own), column) in self.lines.iter().zip(&mut columns) {
                let column = &mut column[from..to];
                draw(name, quantile, block, seed, places, column);
                for &cause in own {
                    column
                        .iter_mut()
                        .zip(&causes[cause])
                        .for_each(|(x, c)| *x *= c);
                }
            }
        }
        columns
    }

    fn check_factors(&self, what: &str, factors: &[f64]) -> Result<()> {
        if factors.len() != self.lines.len() {
            return Err(Error::Shape {
                what: what.into(),
                given: format!("{} numbers", factors.len()),
                allowed: format!("one for each of {} lines", self.lines.len()),
            });
        }
        let range = Range::new(0.0, 1e12, "");
        if let Some(at) = factors.iter().position(|factor| !range.holds(*factor)) {
            let remedy = "a factor is zero or more";
            check(format!("{what}[{at}]"), factors[at], range, remedy)?;
        }
        Ok(())
    }

    /// P10, P50, P90 and mean of `n` draws; the error is that of independent groups of draws, the largest of the three percentiles.
    ///
    /// # Errors
    /// As [`Sampler::costs`].
    pub fn band(&self, n: usize, seed: u64) -> Result<Band> {
        let costs = self.costs(n, seed)?;
        let group = (n / GROUPS).next_multiple_of(BLOCK);
        let groups = n / group.max(1);
        if groups < 4 {
            // Too few blocks to see their scatter: the bound of independent draws.
            return percentiles(&costs);
        }
        let (whole, bands) = rayon::join(
            || percentiles(&costs),
            || {
                costs
                    .par_chunks_exact(group)
                    .map(percentiles)
                    .collect::<Result<Vec<Band>>>()
            },
        );
        let (whole, bands) = (whole?, bands?);
        let scatter = |of: fn(&Band) -> f64| {
            let count = bands.len() as f64;
            let mean = bands.iter().map(of).sum::<f64>() / count;
            let squares: f64 = bands.iter().map(|band| (of(band) - mean).powi(2)).sum();
            (squares / (count - 1.0) / count).sqrt()
        };
        let error = scatter(|b| b.p10)
            .max(scatter(|b| b.p50))
            .max(scatter(|b| b.p90));
        Ok(Band { error, ..whole })
    }

    /// One block: a Latin hypercube of its own.
    fn block(&self, factors: &[f64], block: u64, seed: u64, totals: &mut [f64]) {
        let n = totals.len();
        let mut places = [0_u32; BLOCK];
        let places = &mut places[..n];
        let mut column = [0.0; BLOCK];
        let column = &mut column[..n];
        let causes: Vec<Vec<f64>> = self
            .causes
            .iter()
            .map(|(name, quantile)| {
                draw(name, quantile, block, seed, places, column);
                column.to_vec()
            })
            .collect();
        for ((name, quantile, own), &factor) in self.lines.iter().zip(factors) {
            draw(name, quantile, block, seed, places, column);
            for &cause in own {
                column
                    .iter_mut()
                    .zip(&causes[cause])
                    .for_each(|(x, c)| *x *= c);
            }
            totals
                .iter_mut()
                .zip(&*column)
                .for_each(|(total, x)| *total += factor * x);
        }
    }
}

fn check_count(n: usize, most: f64) -> Result<()> {
    let remedy = "a million draws give four digits";
    check(
        "number of draws",
        n as f64,
        Range::new(1.0, most, ""),
        remedy,
    )?;
    Ok(())
}

/// One column of a block.
fn draw(
    name: &str,
    quantile: &Quantile,
    block: u64,
    seed: u64,
    places: &mut [u32],
    column: &mut [f64],
) {
    if let Law::Fixed { value } = quantile.law() {
        column.fill(value);
        return;
    }
    let n = column.len();
    let mut stream: ChaCha8Rng = stream(name, seed);
    stream.set_stream(block);
    for (at, place) in (0..).zip(places.iter_mut()) {
        *place = at;
    }
    let mut levels = [0.0; BLOCK];
    let levels = &mut levels[..n];
    let share = 1.0 / n as f64;
    // From the last stratum down each takes one of the places that are left; the low half of a word chooses, the high half says
    // where in the stratum.
    for last in (0..n).rev() {
        let word = stream.next_u64();
        let choice = ((word & 0xffff_ffff) * (last as u64 + 1)) >> 32;
        // At most `last`.
        #[allow(clippy::cast_possible_truncation)]
        places.swap(last, choice as usize);
        let jitter = ((word >> 32) as f64 + 0.5) / 4_294_967_296.0;
        levels[last] = (last as f64 + jitter) * share;
    }
    // In rising order every branch of the quantiles is taken for long stretches, and their tables are read in order.
    quantile.replace(levels);
    for (place, level) in places.iter().zip(levels) {
        column[*place as usize] = *level;
    }
}
