//! The one door for long work: releases the interpreter, listens for Ctrl-C, reports progress.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use pyo3::prelude::*;

use crate::error::{Result, Watch};

/// How long Ctrl-C may wait. [ms]
const LISTEN_MS: u64 = 50;

/// What the working thread sees.
struct Switch {
    on: AtomicBool,
    done_bits: AtomicU64,
}

impl Watch for Switch {
    fn go_on(&self, done_fraction: f64) -> bool {
        self.done_bits
            .fetch_max(done_fraction.max(0.0).to_bits(), Ordering::Relaxed);
        self.on.load(Ordering::Relaxed)
    }
}

/// Runs `work` on a thread of its own while the caller waits for it, detached.
///
/// Between waits the caller attaches, lets Python handle its signals and calls `progress` with the
/// fraction done. An exception of either (a `KeyboardInterrupt`) stops the work and is raised.
/// Costs about 40 us: for work of a few milliseconds or more. `work` must ask `watch` now and then.
pub(super) fn long<T: Send>(
    py: Python<'_>,
    progress: Option<&Bound<'_, PyAny>>,
    work: impl FnOnce(&dyn Watch) -> Result<T> + Send,
) -> PyResult<T> {
    let switch = Switch {
        on: AtomicBool::new(true),
        done_bits: AtomicU64::new(0),
    };
    let progress = progress.map(|p| p.clone().unbind());
    py.detach(|| {
        thread::scope(|scope| {
            let (sender, receiver) = channel();
            let watch = &switch;
            scope.spawn(move || {
                // Nobody listens after an interrupt; the answer is dropped then.
                let _ = sender.send(work(watch));
            });
            loop {
                match receiver.recv_timeout(Duration::from_millis(LISTEN_MS)) {
                    Ok(answer) => return Ok(answer?),
                    Err(RecvTimeoutError::Timeout) => {
                        let done = f64::from_bits(switch.done_bits.load(Ordering::Relaxed));
                        Python::attach(|py| {
                            py.check_signals()?;
                            progress
                                .as_ref()
                                .map_or(Ok(()), |p| p.call1(py, (done,)).map(drop))
                        })
                        .inspect_err(|_| switch.on.store(false, Ordering::Relaxed))?;
                    }
                    // The thread panicked: leaving the scope joins it and hands the panic on.
                    Err(RecvTimeoutError::Disconnected) => {
                        return Err(crate::Error::Stopped.into());
                    }
                }
            }
        })
    })
}
