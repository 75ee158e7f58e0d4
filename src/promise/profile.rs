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

    /// End of the first run of steps between `from` and `to` that have too little left for `demand`; `None` where it fits.
    pub(super) fn blocked_until(&self, from: f64, to: f64, demand: &[u32]) -> Option<f64> {
        let width = self.capacity.len();
        let blocks = |step: usize| {
            let row = &self.used[step * width..(step + 1) * width];
            row.iter()
                .zip(demand)
                .zip(self.capacity)
                .any(|((used, d), cap)| used + d > *cap)
        };
        let first = self
            .times
            .partition_point(|&t| t <= from + SAME_S)
            .saturating_sub(1);
        let step = (first..self.times.len())
            .take_while(|&step| self.times[step] < to - SAME_S)
            .find(|&step| blocks(step))?;
        // The last step uses nothing, so every run that blocks has an end.
        let end = (step + 1..self.times.len()).find(|&step| !blocks(step))?;
        Some(self.times[end])
    }

    /// Takes `demand` from `from` to `to`.
    pub(super) fn take(&mut self, from: f64, to: f64, demand: &[u32]) {
        let first = self.step_at(from);
        let last = self.step_at(to);
        let width = self.capacity.len();
        for row in self.used[first * width..last * width].chunks_exact_mut(width) {
            for (used, d) in row.iter_mut().zip(demand) {
                *used += d;
            }
        }
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
