//! One recipe with its ranges: the uncertain inputs drawn together, the times of each draw, their percentiles, and which input
//! matters most.

use rayon::prelude::*;
use serde::Serialize;

use super::recipe::{Ask, Recipe, recipe, recipes_abreast, wrap_of};
use super::rows::Vary;
use crate::error::Result;
use crate::sourced::Constant;
use crate::spread::{Band, Inputs, Law, Share, percentiles, shares};

/// A recipe with the ranges of its times.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ranged {
    /// The recipe at the likeliest values.
    pub likely: Recipe,
    /// Share of the draws that have a window.
    pub window_share: f64,
    /// Over the draws that have a window. [s]
    pub opens_s: Option<Band>,
    /// Over the draws whose window closes. [s]
    pub closes_s: Option<Band>,
    /// From the opening to the end of heat: at the bench the stop is counted from what is seen. [s]
    pub past_opening_s: Option<Band>,
    /// [s]
    pub working_time_s: Option<Band>,
    /// [s]
    pub hold_s: Option<Band>,
    /// [s]
    pub touch_s: Option<Band>,
    /// [K]
    pub peak_face_k: Option<Band>,
    /// What of the spread of the opening goes when an input becomes known, largest first; no window counts as later than any.
    pub causes: Vec<Share>,
}

/// How well a shop knows its sheet where nothing better is said.
///
/// Common practice and the accuracy of property data: thickness ±7 %, conductivity and heat capacity ±10 %, air ±3 K, limp
/// ±6 K (not beyond formable), the air that goes round the edges from none to twice its likeliest share.
pub fn usual_spread(ask: &Ask) -> Vec<(Vary, Law)> {
    let law = |low: f64, likely: f64, high: f64| {
        if low < high {
            Law::Triangular { low, likely, high }
        } else {
            Law::Fixed { value: likely }
        }
    };
    let about = |value: f64, share: f64| law(value * (1.0 - share), value, value * (1.0 + share));
    let (sheet, limits) = (&ask.sheet, &ask.limits);
    let wrap = ask.wrap.unwrap_or_else(|| wrap_of(ask.width_m));
    let limp_low =
        (limits.limp_k - LIMP_SPREAD.value).max(f64::midpoint(limits.set_k, limits.limp_k));
    let limp_high = (limits.limp_k + LIMP_SPREAD.value).min(limits.formable_k);
    vec![
        (Vary::Thickness, about(sheet.thickness_m, 0.07)),
        (
            Vary::ConductivityFactor,
            about(sheet.conductivity_factor, 0.10),
        ),
        (
            Vary::HeatCapacityFactor,
            about(sheet.heat_capacity_factor, 0.10),
        ),
        (Vary::Air, law(ask.air_k - 3.0, ask.air_k, ask.air_k + 3.0)),
        (Vary::Limp, law(limp_low, limits.limp_k, limp_high)),
        (Vary::Wrap, law(0.0, wrap, (2.0 * wrap).min(1.0))),
    ]
}

/// Draws that one core works out at a time.
const CHUNK: usize = 16;
/// How far the temperature at which sheets of one name are limp lies apart.
pub(super) const LIMP_SPREAD: Constant = Constant::practice("limp.spread", [3.0, 6.0, 10.0], "K");

/// The recipe at the likeliest values, and `draws` more with the factors of the exposure and `laws` drawn together.
///
/// The same seed gives the same answer on any number of cores.
///
/// # Errors
/// As [`recipe`]; [`crate::Error::OutOfRange`] for no draws or a law that is none.
///
/// ```
/// use mountwright::heat::{Ask, Back, HotAirGun, Limits, Sheet, Table, Wear, ranges, usual_spread};
/// let sheet = Sheet::new(3e-3, 550.0, Table::constant(0.072), Table::constant(1250.0), None, 0.9)?;
/// let limits = Limits { limp_k: 388.0, formable_k: 400.0, upper_k: 433.0, set_k: 339.0,
///     fume_onset_k: None, dose: None, wear: Wear::USUAL };
/// let gun = HotAirGun::two_setting("I")?.at(0.12, (0.05, 0.20))?;
/// let ask = Ask::new(sheet, limits, gun, 293.15, Back::Turned { every_s: 8.0 });
/// let known = ranges(&ask, &usual_spread(&ask), 64, 1)?;
/// assert!(known.opens_s.is_some_and(|band| band.p10 < band.p90));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn ranges(ask: &Ask, laws: &[(Vary, Law)], draws: usize, seed: u64) -> Result<Ranged> {
    let likely = recipe(ask)?;
    let mut inputs = Inputs::default();
    let factors = ask
        .exposure
        .factors
        .iter()
        .map(|f| inputs.register(f.name, f.sourced().law()))
        .collect::<Result<Vec<_>>>()?;
    let varied = laws
        .iter()
        .map(|&(vary, law)| Ok((vary, inputs.register(vary.name(), law)?)))
        .collect::<Result<Vec<_>>>()?;
    let matrix = inputs.draw(draws, seed)?;
    let mut plain = ask.clone();
    plain.exposure.notes.clear();
    plain.history = false;
    let asks = (0..draws)
        .map(|row| {
            let values: Vec<f64> = factors.iter().map(|&id| matrix.value(id, row)).collect();
            let mut drawn = plain.clone();
            drawn.exposure = plain.exposure.with(&values)?;
            for &(vary, id) in &varied {
                vary.set(&mut drawn, matrix.value(id, row));
            }
            Ok(drawn)
        })
        .collect::<Result<Vec<_>>>()?;
    let rows = asks
        .par_chunks(CHUNK)
        .flat_map_iter(recipes_abreast)
        .collect::<Result<Vec<_>>>()?;
    let band = |value: fn(&Recipe) -> Option<f64>| {
        let values: Vec<f64> = rows.iter().filter_map(value).collect();
        if values.is_empty() {
            Ok(None)
        } else {
            percentiles(&values).map(Some)
        }
    };
    let latest = rows.iter().filter_map(|r| r.opens_s).fold(0.0, f64::max);
    let opens: Vec<f64> = rows
        .iter()
        .map(|r| r.opens_s.unwrap_or(2.0 * latest + 1.0))
        .collect();
    let columns: Vec<(&str, &[f64])> = inputs
        .iter()
        .map(|(id, name, _)| (name, matrix.column(id)))
        .collect();
    Ok(Ranged {
        window_share: rows.iter().filter(|r| r.opens_s.is_some()).count() as f64 / draws as f64,
        opens_s: band(|r| r.opens_s)?,
        closes_s: band(|r| r.opens_s.and(r.closes_s))?,
        past_opening_s: band(|r| Some(r.stop_s? - r.opens_s?))?,
        working_time_s: band(|r| r.working_time_s)?,
        hold_s: band(|r| r.hold_s)?,
        touch_s: band(|r| r.touch_s)?,
        peak_face_k: band(|r| r.opens_s.map(|_| r.peak_face_k))?,
        causes: shares(&columns, &opens)?,
        likely,
    })
}
