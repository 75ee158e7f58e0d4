//! How much of each capacity is taken, over time.

use super::calendar::SAME_S;

/// Usage of every capacity as a step function of time; nothing is used before the first step or after the last.
#[derive(Debug, Clone)]
pub(super) struct Profile<'a> {
    capacity: &'a [u32],
    /// Beginnings of the steps, rising. [s]
    times: Vec<f64>,
    /// Usage of each capacity from each beginning on, row by row.
    used: Vec<u32>,
}

impl<'a> Profile<'a> {
    pub(super) fn new(capacity: &'a [u32]) -> Self {
        Self {
            capacity,
            times: Vec::new(),
            used: Vec::new(),
        }
    }

    /// First instant from `from` on from which `demand` is free for `length`.
    pub(super) fn free_from(&self, from: f64, length: f64, demand: &[u32]) -> f64 {
        let mut start = from;
        let first = self.step_before(from);
        for step in first..self.times.len() {
            let end = self.times.get(step + 1).copied().unwrap_or(f64::INFINITY);
            if self.blocks(step, demand) {
                // The last step uses nothing, so every step that blocks has an end.
                start = start.max(end);
            } else if end >= start + length - SAME_S {
                break;
            }
        }
        start
    }

    /// End of the first step between `from` and `to` that has too little left for `demand`; `None` where it fits.
    pub(super) fn blocked_until(&self, from: f64, to: f64, demand: &[u32]) -> Option<f64> {
        (self.step_before(from)..self.times.len())
            .take_while(|&step| self.times[step] < to - SAME_S)
            .find(|&step| self.blocks(step, demand))
            .and_then(|step| self.times.get(step + 1).copied())
    }

    /// The step in which `t` lies; the first one for an earlier `t`.
    fn step_before(&self, t: f64) -> usize {
        self.times
            .partition_point(|&known| known <= t + SAME_S)
            .saturating_sub(1)
    }

    fn blocks(&self, step: usize, demand: &[u32]) -> bool {
        let width = self.capacity.len();
        let row = &self.used[step * width..(step + 1) * width];
        row.iter()
            .zip(demand)
            .zip(self.capacity)
            .any(|((used, d), cap)| used + d > *cap)
    }

    /// Takes `demand` from `from` to `to`.
    pub(super) fn take(&mut self, from: f64, to: f64, demand: &[u32]) {
        for (used, d) in self.rows(from, to).zip(demand.iter().cycle()) {
            *used += d;
        }
    }

    /// Gives back what was taken so.
    pub(super) fn give_back(&mut self, from: f64, to: f64, demand: &[u32]) {
        for (used, d) in self.rows(from, to).zip(demand.iter().cycle()) {
            // Instants that are one to the clock may have met another step since.
            *used = used.saturating_sub(*d);
        }
    }

    /// Usage of all capacities in the steps from `from` to `to`, row by row.
    fn rows(&mut self, from: f64, to: f64) -> impl Iterator<Item = &mut u32> {
        let first = self.step_at(from);
        let last = self.step_at(to);
        let width = self.capacity.len();
        self.used[first * width..last * width].iter_mut()
    }

    /// Number of the step that begins at `t`, made where there is none.
    fn step_at(&mut self, t: f64) -> usize {
        let width = self.capacity.len();
        let at = self.times.partition_point(|&known| known < t - SAME_S);
        if self.times.get(at).is_some_and(|&known| known <= t + SAME_S) {
            return at;
        }
        let before: Vec<u32> = match at {
            0 => vec![0; width],
            _ => self.used[(at - 1) * width..at * width].to_vec(),
        };
        self.times.insert(at, t);
        self.used.splice(at * width..at * width, before);
        at
    }
}
