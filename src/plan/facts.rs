//! What the job says of a part, for the plan's pages.

use super::result::Measured;
use super::setup::{Setup, Stuff};
use crate::file::{Length, Mass};
use crate::job::{self, Part};

/// What was measured for a part; the thickness is that of its sheet where the shop measured that.
pub(super) fn measured(setup: &Setup, part: &Part) -> Vec<Measured> {
    let own = part
        .thickness()
        .and_then(|asked| setup.measured(Stuff::of(part.material(), asked.si(), part.sheet())));
    let shown = |one: &job::Measured| {
        let (what, measure, unit) = match *one {
            job::Measured::Length(what, Length(measure)) => (what, measure, "m"),
            job::Measured::Mass(what, Mass(measure)) => (what, measure, "kg"),
        };
        let (what, value, plus_minus) = match own.filter(|_| what == "thickness") {
            Some(own) => {
                let t = &own.sheet.thickness;
                let what = format!("thickness of sheet {}", own.name);
                (what, t.value, t.high - t.value)
            }
            None => (what.into(), measure.value, measure.plus_minus),
        };
        Measured {
            what,
            value,
            plus_minus,
            unit: unit.into(),
        }
    };
    part.measured().iter().map(shown).collect()
}
