//! What is done more than once: copies of a batch, spares for next time, trial fits until nothing is to be corrected.

use super::part::{Run, Stage, Step};
use super::practice;
use crate::cost;
use crate::error::Result;
use crate::shape::Blank;
use crate::spread::Law;
use crate::task::Kind;

impl Run<'_, '_> {
    /// The units that the `unit`-th part of a set stands for in the whole batch.
    pub(super) fn batch(&self, unit: u32) -> (u32, u32) {
        let sets = self.setup.sets;
        ((unit - 1) * sets + 1, unit * sets)
    }

    /// Blanks of each part that are kept for next time: cut, and nothing more. Gives how many of each layer.
    pub(super) fn cut_spares(&mut self, part: &str, blanks: &[&Blank]) -> Result<u32> {
        let spares = self.setup.job.job.spare_blanks.unwrap_or(0);
        let pieces = u32::try_from(blanks.len()).unwrap_or(u32::MAX) * spares;
        if pieces == 0 {
            return Ok(0);
        }
        let mut paced_s = 0.0;
        for blank in blanks {
            let cut_m = blank.cut_length_m * f64::from(spares);
            paced_s += self.cutting_s(cut_m, blank.thickness_m);
            self.wear(cut_m, blank.thickness_m)?;
        }
        let handling = self.setup.shop.shop.times.cut_handling;
        self.step(Step {
            id: format!("{part} / cut a spare for next time"),
            part: Some(part),
            kind: Kind::Cut,
            time: (handling, &practice::CUT_HANDLING),
            units: (1, pieces),
            paced_s,
            after: vec![format!("{part} / cut")],
        })?;
        Ok(spares)
    }

    /// A trial fit with what it asks for: in a draw it is repeated until nothing has to be corrected. Gives its name and the expected cost of repeats.
    ///
    /// All copies of a part come from one template, so they fit or not together.
    pub(super) fn trial(
        &mut self,
        part: &str,
        name: &'static str,
        units: (u32, u32),
        after: String,
    ) -> Result<(String, f64)> {
        let again = self.values.constant(&practice::TRIAL_AGAIN)?;
        let unit = Law::Uniform {
            low: 0.0,
            high: 1.0,
        };
        let luck = self
            .values
            .take(&format!("{part}: luck at the trial fit"), unit)?;
        let nominal = self.values.is_nominal();
        let own = self.setup.shop.shop.times.trial_fit;
        let stage = Stage {
            name,
            kind: Kind::TrialFit,
            time: (own, &practice::TRIAL_FIT),
            units,
            paced_s: 0.0,
            set_up: None,
        };
        let last = self.stages(part, Some(after), &[stage])?;
        let an_hour = self.setup.an_hour();
        let Some(task) = self.tasks.last_mut() else {
            return Ok((last, 0.0));
        };
        if nominal {
            task.again = cost::unbounded(again, 0.0, 1.0)?.0;
            return Ok((last, task.again * task.attended_s / 3600.0 * an_hour));
        }
        let tries = f64::from(cost::tries_drawn(again, luck)?);
        task.attended_s *= tries;
        task.usual_s *= tries;
        Ok((last, 0.0))
    }
}
