//! Whether the driver fits: depth, glass, magnet, terminals, grille, flange, opening, web.

use serde::Serialize;

use super::beam::positive;
use super::check::{Check, MarginKind, Rule, Sense, mm_up};
use super::sheet::Family;
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// Measures of a driver in its place. What was not measured is left out, and is not checked.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Fit {
    /// Depth of the driver behind its flange. [m]
    pub driver_depth_m: f64,
    /// From the mounting face to the first thing behind it (glass fully down, and fully up: the lesser). [m]
    pub depth_behind_face_m: f64,
    /// Height of the ring or strap between mounting face and flange. [m]
    pub spacer_m: f64,
    /// How deep the flange is let into the spacer. [m]
    pub flange_recess_m: f64,
    /// Least gap from the magnet to wiring. [m]
    pub magnet_to_wiring_m: Option<f64>,
    /// Least gap from the magnet to steel. [m]
    pub magnet_to_steel_m: Option<f64>,
    /// Least gap round the terminals with their connectors on. [m]
    pub terminal_gap_m: Option<f64>,
    /// Travel of the cone and its surround above the flange. [m]
    pub cone_travel_m: Option<f64>,
    /// From the flange to the grille or trim. [m]
    pub grille_gap_m: Option<f64>,
    /// Flange outside diameter, or its short side. [m]
    pub flange_m: Option<f64>,
    /// Diameter of the basket just behind the flange, or its short side. [m]
    pub basket_m: Option<f64>,
    /// Cutout, or its short side. [m]
    pub cutout_m: Option<f64>,
}

const CLEAR: Rule = Rule {
    name: "",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};
/// Air behind the driver.
const BEHIND_M: f64 = 0.003;
/// Gap of a cone or surround to the grille at full travel.
const GRILLE_M: f64 = 0.003;
const MAGNET_WIRING_M: f64 = 0.010;
const MAGNET_STEEL_M: f64 = 0.005;
const TERMINAL_M: f64 = 0.005;
/// Flange over the cutout, each side.
const COVER_M: f64 = 0.003;
/// Play of the basket in the cutout, each side.
const PLAY_M: f64 = 0.0005;
/// A fit measured by hand is sure to about this.
const MEASURED_M: f64 = 0.001;

/// Every fit check that its measures allow.
///
/// Free depth is the depth behind the mounting face and the spacer, less the flange's recess; the driver's depth and
/// 3 mm have to go in.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a measure that is negative, not a number or above 2 m.
///
/// ```
/// use mountwright::mount::fit::{check_fit, Fit};
/// use mountwright::mount::Verdict;
/// let shallow = Fit { driver_depth_m: 0.058, depth_behind_face_m: 0.050, ..Fit::default() };
/// assert_eq!(check_fit("left ring", &shallow)?[0].verdict, Verdict::Fail);
/// let raised = Fit { spacer_m: 0.013, ..shallow };
/// assert_eq!(check_fit("left ring", &raised)?[0].verdict, Verdict::Pass);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn check_fit(part: &str, fit: &Fit) -> Result<Vec<Check>> {
    fit.validate()?;
    let mut gaps = vec![depth(fit)];
    gaps.extend(around(fit));
    gaps.extend(grille(fit));
    gaps.extend(flange(fit));
    gaps.extend(basket(fit));
    Ok(gaps.into_iter().map(|gap| gap.judge(part)).collect())
}

/// One distance that has to be there.
struct Gap {
    name: &'static str,
    have_m: f64,
    need_m: f64,
    /// What more than the need makes it sure.
    reserve_m: f64,
    why: String,
    mend: String,
}

impl Gap {
    fn judge(self, part: &str) -> Check {
        let rule = Rule {
            name: self.name,
            reserve: self.reserve_m,
            ..CLEAR
        };
        rule.judge(part, self.have_m, self.need_m, self.why, || self.mend)
    }
}

fn mm(m: f64) -> f64 {
    m * 1e3
}

fn depth(fit: &Fit) -> Gap {
    let free = fit.depth_behind_face_m + fit.spacer_m - fit.flange_recess_m;
    let need = fit.driver_depth_m + BEHIND_M;
    let spacer = (fit.spacer_m + need - free + MEASURED_M).max(0.0);
    let shallow = (free - BEHIND_M - MEASURED_M).max(0.0);
    Gap {
        name: "depth",
        have_m: free,
        need_m: need,
        reserve_m: MEASURED_M,
        why: format!(
            "{:.1} mm free with glass fully down and up, {:.1} mm of driver and {:.0} mm of air",
            mm(free),
            mm(fit.driver_depth_m),
            mm(BEHIND_M)
        ),
        mend: format!(
            "a spacer of {:.1} mm, or a driver of {:.1} mm depth at most",
            mm_up(spacer, 0.5),
            (mm(shallow) * 2.0).floor() / 2.0
        ),
    }
}

fn around(fit: &Fit) -> impl Iterator<Item = Gap> {
    [
        (
            "magnet to wiring",
            fit.magnet_to_wiring_m,
            MAGNET_WIRING_M,
            "wiring",
        ),
        (
            "magnet to steel",
            fit.magnet_to_steel_m,
            MAGNET_STEEL_M,
            "steel",
        ),
        (
            "terminals",
            fit.terminal_gap_m,
            TERMINAL_M,
            "anything, connectors on",
        ),
    ]
    .into_iter()
    .filter_map(|(name, have, need_m, from)| {
        have.map(|have_m| Gap {
            name,
            have_m,
            need_m,
            reserve_m: MEASURED_M,
            why: format!(
                "{:.1} mm to {from}, {:.0} mm needed",
                mm(have_m),
                mm(need_m)
            ),
            mend: format!(
                "turn or move the driver until {:.0} mm are free, or tie back what is near",
                mm(need_m + MEASURED_M)
            ),
        })
    })
}

fn grille(fit: &Fit) -> Option<Gap> {
    let (have_m, travel) = (fit.grille_gap_m?, fit.cone_travel_m?);
    let need_m = travel + GRILLE_M;
    Some(Gap {
        name: "grille gap",
        have_m,
        need_m,
        reserve_m: MEASURED_M,
        why: format!(
            "{:.1} mm to the grille, cone travels {:.1} mm",
            mm(have_m),
            mm(travel)
        ),
        mend: format!(
            "{:.1} mm from flange to grille: a lower ring or a raised grille",
            mm_up(need_m + MEASURED_M, 0.1)
        ),
    })
}

fn flange(fit: &Fit) -> Option<Gap> {
    let (flange, cutout) = (fit.flange_m?, fit.cutout_m?);
    let have_m = (flange - cutout) / 2.0;
    Some(Gap {
        name: "flange cover",
        have_m,
        need_m: COVER_M,
        reserve_m: MEASURED_M,
        why: format!(
            "flange reaches {:.1} mm beyond the cutout on each side",
            mm(have_m)
        ),
        mend: format!(
            "a cutout of {:.1} mm at most",
            (mm((flange - 2.0 * (COVER_M + MEASURED_M)).max(0.0)) * 10.0 + 1e-6).floor() / 10.0
        ),
    })
}

fn basket(fit: &Fit) -> Option<Gap> {
    let (basket, cutout) = (fit.basket_m?, fit.cutout_m?);
    let have_m = (cutout - basket) / 2.0;
    Some(Gap {
        name: "basket in its cutout",
        have_m,
        need_m: PLAY_M,
        reserve_m: PLAY_M,
        why: format!("{:.1} mm of play on each side of the basket", mm(have_m)),
        mend: format!("a cutout of {:.1} mm", mm_up(basket + 4.0 * PLAY_M, 0.1)),
    })
}

impl Fit {
    fn validate(&self) -> Result<()> {
        let size = Range::new(0.0, 2.0, "m");
        let sure = [
            ("fit.driver_depth_m", self.driver_depth_m),
            ("fit.depth_behind_face_m", self.depth_behind_face_m),
            ("fit.spacer_m", self.spacer_m),
            ("fit.flange_recess_m", self.flange_recess_m),
        ];
        let maybe = [
            ("fit.magnet_to_wiring_m", self.magnet_to_wiring_m),
            ("fit.magnet_to_steel_m", self.magnet_to_steel_m),
            ("fit.terminal_gap_m", self.terminal_gap_m),
            ("fit.cone_travel_m", self.cone_travel_m),
            ("fit.grille_gap_m", self.grille_gap_m),
            ("fit.flange_m", self.flange_m),
            ("fit.basket_m", self.basket_m),
            ("fit.cutout_m", self.cutout_m),
        ];
        let all = sure.into_iter().chain(
            maybe
                .into_iter()
                .filter_map(|(what, m)| m.map(|m| (what, m))),
        );
        for (what, m) in all {
            check(
                what,
                m,
                size,
                "measure it; a negative gap means that it does not fit: give 0",
            )?;
        }
        Ok(())
    }
}

/// Least web between a cutout and the outer edge: 8 mm or 1.5 thicknesses, 2 thicknesses in solid acrylic. [m]
pub fn least_web_m(family: Family, thickness_m: f64) -> f64 {
    let times = if family == Family::Acrylic { 2.0 } else { 1.5 };
    (times * thickness_m).max(0.008)
}

const WEB: Rule = Rule {
    name: "web",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "cutout to edge: 8 mm and 1.5 thicknesses, 2 in solid acrylic; common practice",
    standing: Standing::CommonPractice,
};
const WEB_AT_SCREW: Rule = Rule {
    name: "web at the screws",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "cutout to edge where a screw stands: 6 mm and half a head; common practice",
    standing: Standing::CommonPractice,
};

/// Least web of a ring or panel against what its thickness asks for.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a web outside 0 to 2 m or a thickness outside 0.1 to 200 mm.
pub fn web(part: &str, family: Family, web_m: f64, thickness_m: f64) -> Result<Check> {
    let have = check(
        "web_m",
        web_m,
        Range::new(0.0, 2.0, "m"),
        "measure cutout to edge",
    )?;
    let t = positive("thickness_m", thickness_m, 1e-4, 0.2, "m")?;
    let need = least_web_m(family, t);
    let why = format!("{:.1} mm of web, {:.1} mm needed", have * 1e3, need * 1e3);
    Ok(WEB.judge(part, have, need, why, || {
        format!(
            "a cutout smaller by {:.1} mm or an outline wider by that",
            mm_up(2.0 * (need - have), 0.5)
        )
    }))
}

/// Web at the screws against 6 mm and half the head.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a web outside 0 to 2 m or a head outside 1 to 60 mm.
pub fn web_at_screw(part: &str, web_m: f64, head_m: f64) -> Result<Check> {
    let have = check(
        "web_m",
        web_m,
        Range::new(0.0, 2.0, "m"),
        "measure cutout to edge at the screw",
    )?;
    let head = check(
        "head_m",
        head_m,
        Range::new(1e-3, 0.06, "m"),
        "give the head's diameter",
    )?;
    let need = 0.006 + head / 2.0;
    let why = format!(
        "{:.1} mm of web at the screws, {:.1} mm needed under a {:.1} mm head",
        mm(have),
        mm(need),
        mm(head)
    );
    Ok(WEB_AT_SCREW.judge(part, have, need, why, || {
        format!("a web of {:.1} mm at the screws", mm_up(need, 0.5))
    }))
}

const HEADS: Rule = Rule {
    name: "screw heads beside the flange",
    reserve: MEASURED_M,
    source: "a flange seals on a flat face: a raised head under it holds it off; common practice",
    ..CLEAR
};

/// Whether the raised heads of the screws to the vehicle, on a circle about the cutout's centre, stay outside the driver's flange:
/// they go in from the driver's face, through the whole stack, before the driver is set on it.
///
/// `flush` says whether countersunk heads would do instead; `wider` is told the circle that is advised, and says what else it
/// asks for, if anything.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a circle or a flange outside 0 to 2 m or a head outside 1 to 60 mm.
///
/// ```
/// use mountwright::mount::{Verdict, fit::heads_beside_flange};
/// // A head of 10 mm on a circle of 169 mm reaches inwards to 159 mm: under a flange of 165 mm, clear of one of 150 mm.
/// let seat = |flange_m| heads_beside_flange("ring", 0.169, 0.010, flange_m, true, |_| String::new());
/// assert_eq!(seat(0.165)?.verdict, Verdict::Fail);
/// assert_eq!(seat(0.150)?.verdict, Verdict::Pass);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn heads_beside_flange(
    part: &str,
    circle_m: f64,
    head_m: f64,
    flange_m: f64,
    flush: bool,
    wider: impl FnOnce(f64) -> String,
) -> Result<Check> {
    let size = Range::new(0.0, 2.0, "m");
    let circle = check("vehicle_circle_m", circle_m, size, "measure it")?;
    let flange = check("flange_m", flange_m, size, "measure it")?;
    let head = check(
        "head_m",
        head_m,
        Range::new(1e-3, 0.06, "m"),
        "give the head's diameter",
    )?;
    let (have, need) = ((circle - head) / 2.0, flange / 2.0);
    let why = format!(
        "the raised heads of the vehicle's screws, {:.1} mm wide, reach to {:.1} mm from the centre, the flange to {:.1} mm: what lies under it holds the driver off its seat",
        mm(head),
        mm(have),
        mm(need)
    );
    Ok(HEADS.judge(part, have, need, why, || {
        let clear_mm = mm_up(flange + head + 2.0 * MEASURED_M, 1.0);
        let apart = format!(
            "the vehicle's screws on a circle of {clear_mm:.0} mm{}, or a flange of {:.0} mm at most",
            wider(clear_mm / 1e3),
            (mm((circle - head - 2.0 * MEASURED_M).max(0.0)) + 1e-6).floor()
        );
        if flush {
            format!("screws with countersunk heads, flush in the driver's face; {apart}")
        } else {
            apart
        }
    }))
}

/// Largest round cutout in an outline whose least width is `least_width_m`. [m]; 0 where none fits.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a width outside 0 to 5 m or a thickness outside 0.1 to 200 mm.
///
/// ```
/// use mountwright::mount::{fit::largest_cutout_m, Family};
/// let cutout = largest_cutout_m(Family::Abs, 0.180, 0.012)?;
/// assert!((cutout - (0.180 - 2.0 * 0.018)).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn largest_cutout_m(family: Family, least_width_m: f64, thickness_m: f64) -> Result<f64> {
    let w = check(
        "least_width_m",
        least_width_m,
        Range::new(0.0, 5.0, "m"),
        "measure it",
    )?;
    let t = positive("thickness_m", thickness_m, 1e-4, 0.2, "m")?;
    Ok((w - 2.0 * least_web_m(family, t)).max(0.0))
}
