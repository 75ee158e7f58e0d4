//! Several slabs through time side by side, each at its own pace, in the lanes of one kernel.
//!
//! A step waits for chains of operations, each for the one before it; with several slabs abreast the processor has other chains
//! to go on with. Each lane does what it would do alone, to the bit.

use super::drive::{Run, Stretch};
use super::kernel::Kernel;
use super::lanes::Lanes;
use super::track::Track;
use crate::error::Result;

/// `W` slabs of one build.
#[derive(Debug)]
pub(crate) struct Abreast<const W: usize> {
    kernel: Kernel<W>,
    seconds: Lanes<W>,
}

impl<const W: usize> Abreast<W> {
    /// Room for these runs; `None` where their layers or nodes differ, or there are none.
    pub(crate) fn of(runs: [Option<&Run>; W]) -> Option<Self> {
        Some(Self {
            kernel: Kernel::abreast(runs.map(|run| run.map(|r| &r.kernel)))?,
            // A lane that has nothing to do repeats its last step, and nothing is made of it.
            seconds: Lanes::all(1e-3),
        })
    }

    /// Runs each slab to the end of its stretch, or until `stop` says so of its lane; says whether it did.
    pub(crate) fn advance(
        &mut self,
        mut lanes: [Option<(&mut Run, Stretch)>; W],
        mut stop: impl FnMut(usize, &Track) -> bool,
    ) -> [Result<bool>; W] {
        let kernel = &mut self.kernel;
        for (w, lane) in lanes.iter().enumerate() {
            if let Some((run, stretch)) = lane {
                kernel.load(w, &run.kernel);
                kernel.face(w, &stretch.faces);
            }
        }
        kernel.settle();
        let mut ends: [Result<bool>; W] = std::array::from_fn(|_| Ok(false));
        let mut going = [false; W];
        for (w, lane) in lanes.iter_mut().enumerate() {
            if let Some((run, stretch)) = lane {
                run.walk.begin(kernel, w, stretch.end_s);
                going[w] = !run.walk.arrived();
            }
        }
        while going.contains(&true) {
            for (w, lane) in lanes.iter_mut().enumerate() {
                if let (true, Some((run, _))) = (going[w], lane) {
                    self.seconds.0[w] = run.walk.propose();
                }
            }
            let error_k = kernel.attempt(self.seconds);
            for (w, lane) in lanes.iter_mut().enumerate() {
                if let (true, Some((run, _))) = (going[w], lane) {
                    ends[w] = run
                        .walk
                        .judge(kernel, w, error_k.0[w])
                        .map(|taken| taken && stop(w, &run.walk.track));
                    going[w] = matches!(ends[w], Ok(false)) && !run.walk.arrived();
                }
            }
        }
        for (w, lane) in lanes.iter_mut().enumerate() {
            if let Some((run, _)) = lane {
                kernel.store(w, &mut run.kernel);
            }
        }
        ends
    }
}
