//! The order that finishes earliest: priority rules, seeded moves, and branch and bound where the case is small.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;

use super::place::{Placed, Problem, end_s};
use super::profile::Profile;
use super::relax;
use crate::error::Result;
use crate::spread::below;

/// An end this close to the bound is taken as the optimum: the bound is found to half a second. [s]
const CLOSED_S: f64 = 1.0;
/// Placed jobs that the moves may cost: lists of 60 jobs are tried two hundred times.
const MOVE_EFFORT: usize = 12_000;
/// Jobs with hands on them up to which branch and bound is tried.
const SMALL: usize = 12;
/// Nodes that branch and bound may open.
const NODES: usize = 20_000;
/// Lists at random that are tried where no rule keeps the longest waits, and of a small case also where one does.
const RANDOM_LISTS: usize = 500;
/// The moves are the same every time.
const SEED: u64 = 0x6d6f_7665;

/// What a search found.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) list: Vec<usize>,
    pub(super) placed: Vec<Placed>,
    pub(super) end_s: f64,
    pub(super) bound_s: f64,
    pub(super) proved: bool,
}

/// Finds a list whose schedule ends early, and a bound below every schedule.
pub(super) fn search(problem: &Problem) -> Result<Found> {
    let mut best = first(problem)?;
    let heads = problem.heads()?;
    best.bound_s = relax::bound_s(problem, &heads, best.end_s)?;
    best.proved = best.end_s - best.bound_s <= CLOSED_S;
    if !best.proved {
        best = improved(problem, best, &heads)?;
    }
    let hands = problem.jobs.iter().filter(|job| job.hands_s > 0.0).count();
    if !best.proved && hands <= SMALL && problem.waits_limited {
        // With a longest wait a delay can help, and the lists no longer reach every schedule worth having: no proof.
        best = at_random(problem, best);
    } else if !best.proved && hands <= SMALL {
        let mut tree = Tree {
            problem,
            best,
            nodes: 0,
            heads: &heads,
            latest: None,
        };
        tree.renew()?;
        let root = Node::root(problem);
        tree.open(&root)?;
        best = tree.best;
        if tree.nodes < NODES {
            best.proved = true;
            best.bound_s = best.end_s;
        }
    }
    Ok(best)
}

fn generated(problem: &Problem, list: Vec<usize>) -> Result<Found> {
    let placed = problem.generate(&list)?;
    let end_s = end_s(&placed, problem.start_s);
    Ok(Found {
        list,
        placed,
        end_s,
        bound_s: problem.start_s,
        proved: false,
    })
}

/// The best list of the rules; where each of them breaks a longest wait for good, the first of many at random that does not.
fn first(problem: &Problem) -> Result<Found> {
    let mut best: Option<Found> = None;
    let mut refused = None;
    for list in rule_lists(problem) {
        match generated(problem, list) {
            Ok(new) if best.as_ref().is_some_and(|old| new.end_s >= old.end_s) => {}
            Ok(new) => best = Some(new),
            Err(why) => refused = refused.or(Some(why)),
        }
    }
    let (None, Some(why)) = (&best, refused) else {
        // No jobs: nothing to wait for.
        return best.map_or_else(|| generated(problem, Vec::new()), Ok);
    };
    if problem.waits_limited
        && let Some(found) = random_lists(problem).find_map(|list| generated(problem, list).ok())
    {
        return Ok(found);
    }
    Err(why)
}

/// Lists at random, the same every time.
fn random_lists(problem: &Problem) -> impl Iterator<Item = Vec<usize>> {
    let mut stream = ChaCha8Rng::seed_from_u64(SEED);
    (0..RANDOM_LISTS).map(move |_| {
        let ranks: Vec<f64> = (0..problem.jobs.len())
            .map(|_| below(&mut stream, 1 << 20) as f64)
            .collect();
        listed(problem, &|job| ranks[job])
    })
}

/// The best of many lists at random, for a small case with longest waits, in which a move that helps may need another one first.
fn at_random(problem: &Problem, mut best: Found) -> Found {
    for list in random_lists(problem) {
        let Ok(found) = generated(problem, list) else {
            continue;
        };
        if found.end_s < best.end_s {
            best = Found {
                bound_s: best.bound_s,
                ..found
            };
            if best.end_s - best.bound_s <= CLOSED_S {
                best.proved = true;
                break;
            }
        }
    }
    best
}

/// One list for each rule: longest remaining tail, most followers, longest hands, what must not wait, the order given.
fn rule_lists(problem: &Problem) -> Vec<Vec<usize>> {
    let n = problem.jobs.len();
    let mut tail = vec![0.0_f64; n];
    let mut followers = vec![0.0_f64; n];
    for &job in problem.precedence.iter().rev() {
        // A cure counts as it would run from the start of the plan; only the ranking rests on it.
        let wait = problem
            .done_s(job, problem.start_s)
            .map_or(0.0, |done| done - problem.start_s);
        let behind = problem.next[job]
            .iter()
            .map(|&then| tail[then])
            .fold(0.0, f64::max);
        tail[job] = problem.jobs[job].hands_s + wait + behind;
        followers[job] = problem.next[job]
            .iter()
            .map(|&then| 1.0 + followers[then])
            .sum();
    }
    let after_hands = |job: usize| tail[job] - problem.jobs[job].hands_s;
    let hurried = |job: usize| f64::from(u8::from(problem.jobs[job].max_wait_s.is_some()));
    let rules: [&dyn Fn(usize) -> f64; 6] = [
        &|job| tail[job],
        &after_hands,
        &|job| followers[job],
        &|job| problem.jobs[job].hands_s,
        // What must not wait before what may.
        &hurried,
        &|_| 0.0,
    ];
    rules.iter().map(|rule| listed(problem, rule)).collect()
}

/// The eligible job of the highest rank next, ties by position; a job that must not wait follows its forerunner at once.
fn listed(problem: &Problem, rank: &dyn Fn(usize) -> f64) -> Vec<usize> {
    let n = problem.jobs.len();
    let mut open: Vec<usize> = problem.jobs.iter().map(|job| job.after.len()).collect();
    let mut eligible: Vec<usize> = (0..n).filter(|&job| open[job] == 0).collect();
    let mut list = Vec::with_capacity(n);
    while !eligible.is_empty() {
        let hurried = |job: usize| {
            list.last()
                .is_some_and(|last| problem.jobs[job].after.contains(last))
                && problem.jobs[job].max_wait_s.is_some()
        };
        let mut chosen = 0;
        for at in 1..eligible.len() {
            let (new, old) = (eligible[at], eligible[chosen]);
            let better = hurried(new)
                .cmp(&hurried(old))
                .then(rank(new).total_cmp(&rank(old)))
                .then(old.cmp(&new));
            if better.is_gt() {
                chosen = at;
            }
        }
        let job = eligible.swap_remove(chosen);
        list.push(job);
        for &then in &problem.next[job] {
            open[then] -= 1;
            if open[then] == 0 {
                eligible.push(then);
            }
        }
    }
    list
}

/// Moves one job at a time to another place in the list, and keeps what is not worse.
fn improved(problem: &Problem, mut best: Found, heads: &[Placed]) -> Result<Found> {
    let n = problem.jobs.len();
    let mut stream = ChaCha8Rng::seed_from_u64(SEED);
    let mut latest = relax::latest_hands_off(problem, heads, best.end_s)?;
    for _ in 0..MOVE_EFFORT / n.max(1) {
        let from = below(&mut stream, n);
        let job = best.list[from];
        let lowest = best.list[..from]
            .iter()
            .rposition(|before| problem.jobs[job].after.contains(before))
            .map_or(0, |at| at + 1);
        let highest = best.list[from + 1..]
            .iter()
            .position(|then| problem.next[job].contains(then))
            .map_or(n - 1, |at| from + at);
        let to = lowest + below(&mut stream, highest - lowest + 1);
        if to == from {
            continue;
        }
        let mut list = best.list.clone();
        list.remove(from);
        list.insert(to, job);
        // A list that ends later, or breaks a longest wait for good, is no candidate.
        let Ok(Some(placed)) = problem.generate_by(&list, latest.as_deref()) else {
            continue;
        };
        let end_s = end_s(&placed, problem.start_s);
        if end_s > best.end_s {
            continue;
        }
        let sooner = end_s < best.end_s;
        best = Found {
            list,
            placed,
            end_s,
            ..best
        };
        if best.end_s - best.bound_s <= CLOSED_S {
            best.proved = true;
            break;
        }
        if sooner {
            latest = relax::latest_hands_off(problem, heads, best.end_s)?;
        }
    }
    Ok(best)
}

/// Branch and bound over lists in which starts do not go back; every schedule worth having has such a list.
struct Tree<'p, 'a> {
    problem: &'p Problem<'a>,
    best: Found,
    nodes: usize,
    heads: &'p [Placed],
    /// Latest ends of the attended parts for an end better than the best; `None` where there is no such end.
    latest: Option<Vec<f64>>,
}

#[derive(Clone)]
struct Node<'a> {
    list: Vec<usize>,
    placed: Vec<Placed>,
    stands: Vec<bool>,
    profile: Profile<'a>,
    last_start_s: f64,
}

impl<'a> Node<'a> {
    fn root(problem: &Problem<'a>) -> Self {
        let n = problem.jobs.len();
        Self {
            list: Vec::with_capacity(n),
            placed: vec![Placed::default(); n],
            stands: vec![false; n],
            profile: Profile::new(problem.capacity),
            last_start_s: problem.start_s,
        }
    }

    fn eligible(&self, problem: &Problem, job: usize) -> bool {
        !self.stands[job]
            && problem.jobs[job]
                .after
                .iter()
                .all(|&before| self.stands[before])
    }

    fn put(&mut self, problem: &Problem, job: usize, place: Placed) {
        for &(from, to) in &place.pieces {
            self.profile.take(from, to, problem.jobs[job].demand);
        }
        self.list.push(job);
        self.placed[job] = place;
        self.stands[job] = true;
    }
}

impl<'a> Tree<'_, 'a> {
    /// Recomputes the latest times after a better end was found.
    fn renew(&mut self) -> Result<()> {
        let by_s = self.best.end_s - CLOSED_S;
        self.latest = relax::latest_hands_off(self.problem, self.heads, by_s)?;
        Ok(())
    }

    fn open(&mut self, node: &Node<'a>) -> Result<()> {
        self.nodes += 1;
        if self.nodes >= NODES {
            return Ok(());
        }
        let problem = self.problem;
        let mut node = node.clone();
        // What needs no hands stands as soon as it can.
        while let Some(job) = (0..problem.jobs.len())
            .find(|&job| problem.jobs[job].hands_s <= 0.0 && node.eligible(problem, job))
        {
            let place = problem.place(job, problem.ready_s(job, &node.placed).0, None)?;
            node.put(problem, job, place);
        }
        if node.list.len() == problem.jobs.len() {
            let end_s = end_s(&node.placed, problem.start_s);
            if end_s < self.best.end_s {
                let (list, placed) = (node.list, node.placed);
                self.best = Found {
                    list,
                    placed,
                    end_s,
                    bound_s: self.best.bound_s,
                    proved: false,
                };
                self.renew()?;
            }
            return Ok(());
        }
        let Some(latest) = &self.latest else {
            return Ok(());
        };
        let heads = relax::heads(problem, &node.placed, &node.stands)?;
        let in_time = |job: usize| heads[job].hands_off_s <= latest[job] + 1e-3;
        if !(0..problem.jobs.len()).all(in_time)
            || !relax::fits(problem, &heads, latest, &node.stands, node.last_start_s)
        {
            return Ok(());
        }
        let mut children: Vec<(f64, usize, Placed)> = Vec::new();
        for job in (0..problem.jobs.len()).filter(|&job| node.eligible(problem, job)) {
            let ready_s = problem.ready_s(job, &node.placed).0;
            let place = problem.place(job, ready_s, Some(&node.profile))?;
            if place.start_s >= node.last_start_s {
                children.push((latest[job], job, place));
            }
        }
        children.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        for (_, job, place) in children {
            let mut child = node.clone();
            child.last_start_s = place.start_s;
            child.put(problem, job, place);
            self.open(&child)?;
        }
        Ok(())
    }
}
