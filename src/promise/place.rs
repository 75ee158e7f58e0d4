//! Jobs on the calendar: serial generation of a schedule from a list.

use std::borrow::Cow;
use std::cell::RefCell;

use super::calendar::{Calendar, SAME_S};
use super::network::{LENGTHS_S, precedence_order};
use super::profile::Profile;
use super::relax::heads;
use crate::bond::cure::Cure;
use crate::climate::Climate;
use crate::error::{Error, Result, check};

/// Most delays of a forerunner for the sake of a `max_wait` before a list is given up.
const MOST_DELAYS: usize = 100;

/// What runs on alone after the hands leave a job.
#[derive(Debug, Clone)]
pub(super) enum Tail<'a> {
    /// A wait of known length. [s]
    Fixed(f64),
    /// A cure in a climate.
    Cure(Box<Cow<'a, Cure>>, &'a Climate),
}

/// One piece of work with numbers in place of laws.
#[derive(Debug, Clone)]
pub(super) struct Job<'a> {
    pub(super) name: &'a str,
    pub(super) hands_s: f64,
    /// What it takes of each capacity while hands are on it.
    pub(super) demand: &'a [u32],
    pub(super) tail: Tail<'a>,
    pub(super) after: Vec<usize>,
    pub(super) may_split: bool,
    pub(super) max_wait_s: Option<f64>,
}

/// Jobs, capacities and the calendar, checked.
#[derive(Debug, Clone)]
pub(super) struct Problem<'a> {
    pub(super) jobs: Vec<Job<'a>>,
    pub(super) capacity: &'a [u32],
    pub(super) calendar: &'a Calendar,
    pub(super) start_s: f64,
    /// Jobs that wait for each.
    pub(super) next: Vec<Vec<usize>>,
    /// Positions in an order of precedence.
    pub(super) precedence: Vec<usize>,
    /// Whether any job has a longest wait, so that delay may help.
    pub(super) waits_limited: bool,
    /// Ends of cures that were asked before.
    cured: RefCell<Cured>,
}

/// A table of (job, instant that hands leave it, instant that it is cured): a cure takes far longer to ask than a table, and a search asks for the same starts again and again.
type Cured = Vec<(usize, u64, f64)>;

/// Places of the table, as a power of two.
const CURED_BITS: u32 = 12;

/// Where one job stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Placed {
    pub(super) start_s: f64,
    pub(super) hands_off_s: f64,
    pub(super) done_s: f64,
    /// Spans in which hands are on it. [s]
    pub(super) pieces: Vec<(f64, f64)>,
}

impl<'a> Problem<'a> {
    pub(super) fn new(
        jobs: Vec<Job<'a>>,
        capacity: &'a [u32],
        calendar: &'a Calendar,
        start_s: f64,
    ) -> Result<Self> {
        check(
            "start_s",
            start_s,
            LENGTHS_S,
            "count seconds from the first midnight",
        )?;
        let longest_s = calendar.longest_s();
        for job in &jobs {
            let what = |part: &str| format!("\"{}\".{part}", job.name);
            check(
                what("attended_s"),
                job.hands_s,
                LENGTHS_S,
                "a time is zero or more",
            )?;
            if let Tail::Fixed(wait_s) = job.tail {
                check(what("wait_s"), wait_s, LENGTHS_S, "a time is zero or more")?;
            }
            if let Some(wait_s) = job.max_wait_s {
                check(
                    what("max_wait_s"),
                    wait_s,
                    LENGTHS_S,
                    "a time is zero or more",
                )?;
            }
            if !job.may_split && job.hands_s > longest_s + SAME_S {
                return Err(Error::Impossible {
                    what: format!("a start for \"{}\"", job.name),
                    why: format!(
                        "it takes {:.0} min without a stop and the longest opening is {:.0} min",
                        job.hands_s / 60.0,
                        longest_s / 60.0
                    ),
                    remedy: "let it be split, divide it in two tasks, or open longer".into(),
                });
            }
            if let Some((at, (need, have))) = job
                .demand
                .iter()
                .zip(capacity)
                .enumerate()
                .find(|(_, (need, have))| need > have)
            {
                return Err(Error::Impossible {
                    what: format!("a start for \"{}\"", job.name),
                    why: format!("it needs {need} of capacity {at} and the shop has {have}"),
                    remedy: "add capacity or ask for less".into(),
                });
            }
        }
        let names: Vec<&str> = jobs.iter().map(|job| job.name).collect();
        let after: Vec<Vec<usize>> = jobs.iter().map(|job| job.after.clone()).collect();
        let precedence = precedence_order(&names, &after)?;
        let mut next = vec![Vec::new(); jobs.len()];
        for (at, before) in after.iter().enumerate() {
            for &b in before {
                next[b].push(at);
            }
        }
        let waits_limited = jobs.iter().any(|job| job.max_wait_s.is_some());
        let any_cure = jobs.iter().any(|job| matches!(job.tail, Tail::Cure(..)));
        let places = if any_cure { 1 << CURED_BITS } else { 0 };
        let cured = RefCell::new(vec![(usize::MAX, 0, 0.0); places]);
        Ok(Self {
            jobs,
            capacity,
            calendar,
            start_s,
            next,
            precedence,
            waits_limited,
            cured,
        })
    }

    /// When the tail of `job` ends if hands leave it at `hands_off_s`.
    pub(super) fn done_s(&self, job: usize, hands_off_s: f64) -> Result<f64> {
        match &self.jobs[job].tail {
            Tail::Fixed(wait_s) => Ok(hands_off_s + wait_s),
            Tail::Cure(cure, climate) => {
                let bits = hands_off_s.to_bits();
                // Multiplicative hashing: the high bits of the product are well mixed.
                let mixed = (bits ^ ((job as u64) << 48)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
                // The top bits number a place of the table.
                #[allow(clippy::cast_possible_truncation)]
                let place = (mixed >> (u64::BITS - CURED_BITS)) as usize;
                let known = self.cured.borrow()[place];
                if (known.0, known.1) == (job, bits) {
                    return Ok(known.2);
                }
                let done_s = cured_s(self.jobs[job].name, cure, climate, hands_off_s)?;
                self.cured.borrow_mut()[place] = (job, bits, done_s);
                Ok(done_s)
            }
        }
    }

    /// Earliest place for `job` from `ready_s` on, beside what `profile` holds; `None` ignores capacity.
    pub(super) fn place(
        &self,
        job: usize,
        ready_s: f64,
        profile: Option<&Profile>,
    ) -> Result<Placed> {
        let Job {
            hands_s, may_split, ..
        } = self.jobs[job];
        let pieces = if hands_s <= 0.0 {
            vec![]
        } else if may_split {
            self.split(job, ready_s, profile)?
        } else {
            vec![self.whole(job, ready_s, profile)?]
        };
        let start_s = pieces.first().map_or(ready_s, |piece| piece.0);
        let hands_off_s = pieces.last().map_or(ready_s, |piece| piece.1);
        let done_s = self.done_s(job, hands_off_s)?;
        Ok(Placed {
            start_s,
            hands_off_s,
            done_s,
            pieces,
        })
    }

    /// Earliest span in one opening.
    fn whole(&self, job: usize, ready_s: f64, profile: Option<&Profile>) -> Result<(f64, f64)> {
        let Job {
            hands_s, demand, ..
        } = self.jobs[job];
        let mut t = ready_s;
        loop {
            let (mut at, (mut from, mut to)) = self.calendar.span_from(t)?;
            t = t.max(from);
            if let Some(profile) = profile {
                t = profile.free_from(t, hands_s, demand);
                while to <= t + SAME_S {
                    at += 1;
                    (from, to) = self.calendar.span(at)?;
                }
            }
            if t >= from - SAME_S && t + hands_s <= to + SAME_S {
                return Ok((t, t + hands_s));
            }
            // Before an opening, or too near to its end.
            t = if t < from { from } else { to };
        }
    }

    /// Earliest spans, stopped at closing time only.
    fn split(
        &self,
        job: usize,
        ready_s: f64,
        profile: Option<&Profile>,
    ) -> Result<Vec<(f64, f64)>> {
        let Job {
            hands_s, demand, ..
        } = self.jobs[job];
        let mut pieces = Vec::new();
        let mut t = ready_s;
        loop {
            pieces.clear();
            let (mut at, (mut from, mut to)) = self.calendar.span_from(t)?;
            from = from.max(t);
            let mut left_s = hands_s;
            let busy = loop {
                let end = if left_s <= to - from + SAME_S {
                    from + left_s
                } else {
                    to
                };
                if let Some(until) = profile.and_then(|p| p.blocked_until(from, end, demand)) {
                    break Some(until);
                }
                pieces.push((from, end));
                left_s -= end - from;
                if left_s <= SAME_S {
                    break None;
                }
                at += 1;
                (from, to) = self.calendar.span(at)?;
            };
            match busy {
                Some(until) => t = until,
                None => return Ok(pieces),
            }
        }
    }

    /// Every job at its earliest with capacity for all at once.
    pub(super) fn heads(&self) -> Result<Vec<Placed>> {
        let n = self.jobs.len();
        heads(self, &vec![Placed::default(); n], &vec![false; n])
    }

    /// When the last forerunner of `job` is done, and which it is.
    pub(super) fn ready_s(&self, job: usize, placed: &[Placed]) -> (f64, Option<usize>) {
        self.jobs[job]
            .after
            .iter()
            .fold((self.start_s, None), |(latest, which), &before| {
                let done_s = placed[before].done_s;
                if done_s > latest || which.is_none() && done_s >= latest {
                    (done_s, Some(before))
                } else {
                    (latest, which)
                }
            })
    }

    /// Serial generation: each job of `list` as early as forerunners, capacity and calendar allow, gaps between earlier ones included.
    ///
    /// Where a job would wait longer than its `max_wait`, a forerunner is held back, and what was placed since is placed again: the
    /// one that is done last, or the one that stands last in the list, whichever ends sooner.
    pub(super) fn generate(&self, list: &[usize]) -> Result<Vec<Placed>> {
        // Without latest times a list is never given up.
        self.generate_by(list, None).map(Option::unwrap_or_default)
    }

    /// The same; `None` as soon as hands leave a job later than its `latest` time.
    pub(super) fn generate_by(
        &self,
        list: &[usize],
        latest: Option<&[f64]>,
    ) -> Result<Option<Vec<Placed>>> {
        let done_last = self.held(list, latest, Hold::DoneLast);
        if let Ok((made, 0)) = done_last {
            return Ok(made);
        }
        let end_s = |made: &Option<Vec<Placed>>| {
            made.as_ref()
                .map_or(f64::INFINITY, |placed| end_s(placed, self.start_s))
        };
        match (done_last, self.held(list, latest, Hold::LastInList)) {
            (Ok((a, _)), Ok((b, _))) => Ok(if end_s(&b) < end_s(&a) { b } else { a }),
            (Ok((made, _)), Err(_)) | (Err(_), Ok((made, _))) => Ok(made),
            (Err(why), Err(_)) => Err(why),
        }
    }

    /// Earliest start with which hands can leave a job `over_s` later than they do.
    fn later(&self, job: usize, placed: &Placed, over_s: f64) -> f64 {
        let Job {
            hands_s, may_split, ..
        } = self.jobs[job];
        let shifted_s = if may_split {
            // One that stops for the night ends later by more than it starts later.
            let by_s = placed.hands_off_s + over_s;
            self.calendar
                .latest_start(by_s, hands_s, true)
                .unwrap_or(placed.start_s)
        } else {
            placed.start_s + over_s
        };
        shifted_s.max(placed.start_s + 1.0)
    }

    /// One way of holding back, and how often it was needed.
    fn held(
        &self,
        list: &[usize],
        latest: Option<&[f64]>,
        hold: Hold,
    ) -> Result<(Option<Vec<Placed>>, usize)> {
        let mut not_before = vec![self.start_s; self.jobs.len()];
        let mut profile = Profile::new(self.capacity);
        let mut placed = vec![Placed::default(); self.jobs.len()];
        let mut delays = 0;
        let mut at = 0;
        while let Some(&job) = list.get(at) {
            let Job {
                demand,
                max_wait_s,
                ref after,
                ..
            } = self.jobs[job];
            let (ready_s, last) = self.ready_s(job, &placed);
            let place = self.place(job, ready_s.max(not_before[job]), Some(&profile))?;
            if latest.is_some_and(|latest| place.hands_off_s > latest[job] + 1e-3) {
                return Ok((None, delays));
            }
            let last = match hold {
                Hold::DoneLast => last,
                Hold::LastInList => list[..at].iter().rfind(|j| after.contains(j)).copied(),
            };
            if let (Some(max_wait_s), Some(last)) = (max_wait_s, last) {
                let over_s = place.start_s - ready_s - max_wait_s;
                if over_s > SAME_S {
                    delays += 1;
                    if delays > MOST_DELAYS {
                        return Err(too_tight(self.jobs[job].name));
                    }
                    // Hold the forerunner back, at least a second so that it ends, and take up what was placed since.
                    not_before[last] = self.later(last, &placed[last], over_s);
                    while at > 0 && list[at] != last {
                        at -= 1;
                        for (from, to) in std::mem::take(&mut placed[list[at]].pieces) {
                            profile.give_back(from, to, self.jobs[list[at]].demand);
                        }
                    }
                    continue;
                }
            }
            for &(from, to) in &place.pieces {
                profile.take(from, to, demand);
            }
            placed[job] = place;
            at += 1;
        }
        Ok((Some(placed), delays))
    }
}

/// Which forerunner is held back for the sake of a `max_wait`.
#[derive(Debug, Clone, Copy)]
enum Hold {
    DoneLast,
    LastInList,
}

/// A longest wait that no delay keeps.
fn too_tight(task: &str) -> Error {
    Error::Impossible {
        what: format!("a start for \"{task}\""),
        why: "no delay of the task before it keeps the longest wait between the two".into(),
        remedy: "allow a longer wait, or join the two tasks into one".into(),
    }
}

/// When a cure that starts at `start_s` can be handled.
fn cured_s(task: &str, cure: &Cure, climate: &Climate, start_s: f64) -> Result<f64> {
    let ready = cure.ready_at(start_s, climate)?;
    ready.handling_s.ok_or_else(|| Error::Impossible {
        what: format!("the end of \"{task}\""),
        why: ready
            .never
            .unwrap_or_else(|| format!("{} never cures", cure.name)),
        remedy: "warm the shop, or choose an adhesive or coating that cures in it".into(),
    })
}

/// When everything is done.
pub(super) fn end_s(placed: &[Placed], start_s: f64) -> f64 {
    placed.iter().map(|p| p.done_s).fold(start_s, f64::max)
}
