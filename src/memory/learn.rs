//! What done jobs taught: pace, kinds of work, spoilage, each with what was believed before.

use std::collections::BTreeMap;

use serde::Serialize;

use super::Memory;
use super::constants::{
    HANDS_LEAST, NOISE_ROWS, PACE_OF_DAY, SPOILAGE_HEATS, WORK_NOISE, WORK_SPREAD,
};
use super::update::{Belief, Student};
use crate::error::Result;
use crate::file::Share;
use crate::plan::{PACE, SPOILAGE};
use crate::shop::{Learned, Shop};
use crate::spread::{Chance, Law};
use crate::task::Kind;

/// A number that jobs move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Factor {
    /// `pace`, a kind of work, or `spoilage`.
    pub what: String,
    /// Jobs, or heats for the spoilage, that told of it.
    pub seen: u32,
    /// Before: one in ten is lower, half are, nine in ten are.
    pub before: [f64; 3],
    /// Now.
    pub now: [f64; 3],
}

/// What done jobs taught.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Taught {
    /// Done jobs of which work was timed.
    pub jobs: u32,
    /// The numbers: factors on the time that hands of the trade take, and the share of heats that come out wrong.
    pub factors: Vec<Factor>,
    /// For plans.
    #[serde(skip)]
    pub learned: Option<Learned>,
}

/// Number of unknowns: the pace, then each kind of work.
const UNKNOWNS: usize = 1 + Kind::ALL.len();

fn unit(at: usize) -> [f64; UNKNOWNS] {
    let mut x = [0.0; UNKNOWNS];
    x[at] = 1.0;
    x
}

/// What is believed of the logarithms of the factors before any job is done.
pub(super) fn prior() -> Result<Belief> {
    let law = PACE.sourced().law();
    // The log-normal law with the mean and the variance of the trade's pace.
    let variance = (law.variance() / law.mean().powi(2)).ln_1p();
    let middle = law.mean().ln() - variance / 2.0;
    let noise = WORK_NOISE.value;
    let mut sds = [WORK_SPREAD.value; UNKNOWNS];
    // In the mean, over shops and with the noise, a kind of work takes what the trade says.
    let mut means = [-(WORK_SPREAD.value.powi(2) + noise * noise) / 2.0; UNKNOWNS];
    means[0] = middle;
    sds[0] = (variance * (1.0 - PACE_OF_DAY.value)).sqrt();
    let shared = variance * PACE_OF_DAY.value / (noise * noise);
    Belief::prior(&means, &sds, noise, NOISE_ROWS.value / 2.0, shared)
}

/// Of the pace that a job will have, and of a kind of work beside it. Plans multiply mean times, and the noise of a kind of work in one
/// job is log-normal: its mean lies above its middle by half its variance, which goes with the kind of work.
pub(super) fn told(belief: &Belief, at: usize) -> Result<Student> {
    if at == 0 {
        return belief.of(&unit(at), belief.shared());
    }
    let (shape, rate) = belief.noise()?;
    let factor = belief.of(&unit(at), 0.0)?;
    Ok(Student {
        mean: factor.mean + rate / (shape - 1.0) / 2.0,
        ..factor
    })
}

fn factors(student: &Student) -> Result<[f64; 3]> {
    let at = |p: f64| student.quantile(p).map(f64::exp);
    Ok([at(0.1)?, at(0.5)?, at(0.9)?])
}

fn shares(chance: &Chance) -> Result<[f64; 3]> {
    Ok([
        chance.quantile(0.1)?,
        chance.quantile(0.5)?,
        chance.quantile(0.9)?,
    ])
}

/// Times of one job: kind of work, and the logarithm of actual over usual time of the hands.
type Times = Vec<(Kind, f64)>;

impl Memory {
    /// What done jobs taught, with what was believed before; `shop` says its usual spoilage.
    ///
    /// # Errors
    /// [`crate::Error::Memory`] for a damaged file.
    pub fn taught(&self, shop: &Shop) -> Result<Taught> {
        let before = prior()?;
        let mut belief = before.clone();
        let mut seen: BTreeMap<Kind, u32> = BTreeMap::new();
        let jobs = self.times()?;
        for times in jobs.values() {
            let rows: Vec<([usize; 2], f64)> = times
                .iter()
                .map(|(kind, y)| ([0, 1 + place(*kind)], *y))
                .collect();
            let group: Vec<(&[usize], f64)> = rows.iter().map(|(x, y)| (&x[..], *y)).collect();
            belief = belief.seen(&group);
            for (kind, _) in times {
                *seen.entry(*kind).or_insert(0) += 1;
            }
        }
        let count = u32::try_from(jobs.len()).unwrap_or(u32::MAX);
        let pace = told(&belief, 0)?;
        let mut list = vec![Factor {
            what: "pace".into(),
            seen: count,
            before: factors(&told(&before, 0)?)?,
            now: factors(&pace)?,
        }];
        let mut work = BTreeMap::new();
        for (kind, jobs) in seen {
            let at = 1 + place(kind);
            let now = told(&belief, at)?;
            list.push(Factor {
                what: kind.name().into(),
                seen: jobs,
                before: factors(&told(&before, at)?)?,
                now: factors(&now)?,
            });
            work.insert(kind, log_normal(&now));
        }
        let usual = shop
            .spoilage
            .map_or(SPOILAGE.value, Share::si)
            .clamp(1e-3, 0.9);
        let usual = Chance::prior(usual, SPOILAGE_HEATS.value)?;
        let (heats, spoiled) = self.heats()?;
        let spoilage = usual.seen(heats, spoiled);
        list.push(Factor {
            what: "spoilage".into(),
            seen: heats,
            before: shares(&usual)?,
            now: shares(&spoilage)?,
        });
        let learned = (count > 0 || heats > 0).then(|| Learned {
            jobs: count,
            pace: (count > 0).then(|| log_normal(&pace)),
            work,
            spoilage: (heats > 0).then_some(spoilage),
        });
        Ok(Taught {
            jobs: count,
            factors: list,
            learned,
        })
    }

    /// Times of each done job that was timed.
    fn times(&self) -> Result<BTreeMap<i64, Times>> {
        let rows = self.all(
            "SELECT job, kind, sum(usual_s), sum(actual_s), sum(fixed_s) FROM timed GROUP BY job, kind ORDER BY job, kind",
            [],
            |row| {
                let kind: String = row.get(1)?;
                Ok((row.get(0)?, kind, [row.get(2)?, row.get(3)?, row.get(4)?]))
            },
        )?;
        let mut jobs: BTreeMap<i64, Times> = BTreeMap::new();
        for (job, key, [usual_s, actual_s, fixed_s]) in rows {
            let kind = Kind::ALL.into_iter().find(|k| k.key() == key);
            if let Some((kind, y)) = kind.zip(pace(usual_s, actual_s, fixed_s)) {
                jobs.entry(job).or_default().push((kind, y));
            }
        }
        Ok(jobs)
    }

    /// Heats of all done jobs, and how many came out wrong.
    fn heats(&self) -> Result<(u32, u32)> {
        let sums = self.all(
            "SELECT coalesce(sum(heats), 0), coalesce(sum(spoiled), 0) FROM job WHERE state = 'done' AND heats > 0",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        Ok(sums.first().copied().unwrap_or((0, 0)))
    }
}

/// Logarithm of actual over usual time of the hands: what the machine takes goes off both. `None` where hands have no part in it.
fn pace(usual_s: f64, actual_s: f64, fixed_s: f64) -> Option<f64> {
    let usual_s = usual_s - fixed_s;
    // A machine that was quicker than planned leaves the hands no time below zero.
    let hands_s = (actual_s - fixed_s).max(HANDS_LEAST.value * usual_s);
    (usual_s > 0.0).then(|| (hands_s / usual_s).ln())
}

fn place(kind: Kind) -> usize {
    Kind::ALL.iter().position(|k| *k == kind).unwrap_or(0)
}

/// The law that plans draw from: log-normal with the middle and the standard deviation of the Student law.
pub(super) fn log_normal(student: &Student) -> Law {
    Law::LogNormal {
        median: student.mean.exp(),
        log_sd: student.sd(),
    }
}
