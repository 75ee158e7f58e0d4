//! From a materials file: what is sold, how true its thickness is, how it is dried.

use super::load::Load;
use super::raw::{RawDrying, RawStock, RawTolerance};
use super::stock::{Drying, Stock, Tolerance};
use crate::file::{Length, Share, Temperature};
use crate::quantity::{Dimension, parse};

impl Load {
    pub(super) fn stock(&mut self, at: &str, raw: &RawStock) -> Stock {
        let source = self.keys(&format!("{at}.source"), &raw.source, raw.standing);
        let thicknesses_m: Vec<f64> = raw.thicknesses.iter().map(|t| t.si()).collect();
        if !thicknesses_m.windows(2).all(|w| w[0] < w[1]) || thicknesses_m.iter().any(|t| *t <= 0.0)
        {
            self.say(format!("{at}.thicknesses"), "must be positive and rise");
        }
        let mut sheets_m = vec![];
        for (i, text) in raw.sheets.iter().enumerate() {
            match size(text) {
                Some(size) => sheets_m.push(size),
                None => self.say(
                    format!("{at}.sheets[{i}]"),
                    format!("is \"{text}\", expected a size such as \"1220 x 2440 mm\""),
                ),
            }
        }
        let tolerance = raw
            .tolerance
            .as_ref()
            .map(|t| self.tolerance(&format!("{at}.tolerance"), t));
        Stock {
            thicknesses_m,
            sheets_m,
            tolerance,
            source,
            standing: raw.standing,
        }
    }

    fn tolerance(&mut self, at: &str, raw: &RawTolerance) -> Tolerance {
        let share_fraction = raw.share.si();
        Tolerance {
            rule: raw.rule,
            fixed_m: raw.fixed.si(),
            share_fraction,
            thin_below_m: raw.thin_below.map_or(0.0, Length::si),
            thin_share_fraction: raw.thin_share.map_or(share_fraction, Share::si),
            source: self.keys(&format!("{at}.source"), &raw.source, raw.standing),
            standing: raw.standing,
            note: raw.note.clone(),
        }
    }

    pub(super) fn drying(&mut self, at: &str, raw: &RawDrying) -> Drying {
        let times: Vec<(f64, f64)> = raw
            .times
            .iter()
            .map(|t| (t.thickness.si(), t.time.si()))
            .collect();
        if !times.windows(2).all(|w| w[0].0 < w[1].0) {
            self.say(format!("{at}.times"), "thicknesses must rise");
        }
        Drying {
            needed: raw.needed,
            temperature_k: raw.temperature.map(Temperature::si),
            times,
            source: self.keys(&format!("{at}.source"), &raw.source, raw.standing),
            standing: raw.standing,
            note: raw.note.clone(),
        }
    }
}

/// `1220 x 2440 mm` as two lengths, short side first. [m]
fn size(text: &str) -> Option<(f64, f64)> {
    let (a, b) = text.split_once(['x', '×'])?;
    let long = parse("sheet", b, Dimension::Length).ok()?.value;
    let own = parse("sheet", a, Dimension::Length);
    let unit = b.trim_start_matches(|c: char| !c.is_alphabetic());
    let short = own
        .or_else(|_| parse("sheet", &format!("{a} {unit}"), Dimension::Length))
        .ok()?
        .value;
    (short > 0.0 && long > 0.0).then(|| (short.min(long), short.max(long)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_in_either_unit() {
        assert_eq!(size("1220 x 2440 mm"), Some((1.22, 2.44)));
        let (a, b) = size("4 ft × 8 ft").unwrap();
        assert!((a - 1.2192).abs() < 1e-12 && (b - 2.4384).abs() < 1e-12);
        for bad in ["1220 mm", "x", "0 x 3 mm", "3 x 4"] {
            assert_eq!(size(bad), None, "{bad}");
        }
    }
}
