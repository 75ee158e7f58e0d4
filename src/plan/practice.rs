//! Times and shares of the trade that a shop has not given: common practice, no source.

use crate::shop::{ThreePoint, Times};
use crate::sourced::{Constant, Standing};
use crate::spread::Law;

const fn practice(
    name: &'static str,
    low: f64,
    value: f64,
    high: f64,
    unit: &'static str,
) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit,
        source: "common practice, no source",
        standing: Standing::CommonPractice,
    }
}

/// The fabricator's pace: one draw multiplies every attended time of a plan.
pub(crate) const PACE: Constant = practice("pace of the fabricator", 0.85, 1.0, 1.3, "1");
/// The day: one draw warms or cools the shop over the whole plan.
pub(super) const SHOP_AIR: Constant = practice(
    "shop air against its usual temperature",
    -2.0,
    0.0,
    2.0,
    "K",
);
/// Sheet prices move between quote and purchase; one draw moves them all.
pub(super) const SHEET_PRICE: Constant =
    practice("sheet price against the list", 0.97, 1.0, 1.08, "1");
/// Share of formed parts that come out wrong at a first try.
pub(crate) const SPOILAGE: Constant = practice(
    "share of formed parts that come out wrong",
    0.04,
    0.1,
    0.25,
    "1",
);
/// Learning slope of hand work, unit model.
pub(super) const LEARNING: Constant = practice("learning slope, unit model", 0.8, 0.88, 0.97, "1");
/// Share of trial fits after which something is corrected and tried again.
pub(super) const TRIAL_AGAIN: Constant = practice(
    "share of trial fits that ask for a correction",
    0.05,
    0.2,
    0.4,
    "1",
);
/// Share of old trim clips that break when the trim is taken off.
pub(super) const CLIPS_BREAK: Constant = practice(
    "share of trim clips that break when the trim is taken off",
    0.02,
    0.1,
    0.3,
    "1",
);
/// Confidence with which enough blanks are cut at once.
pub(super) const ENOUGH_BLANKS: Constant =
    practice("confidence in enough blanks", 0.9, 0.95, 0.99, "1");
/// A check that fails in more draws than this is no pass, whatever it says at the likeliest inputs.
pub(super) const UNLUCKY: Constant = practice(
    "share of draws in which a check may fail",
    0.05,
    0.1,
    0.2,
    "1",
);
/// Nozzle of a gun about which nothing is said.
pub(super) const NOZZLE: Constant = practice("gun: nozzle", 0.030, 0.034, 0.040, "m");
/// Air at a trial about which nothing is said.
pub(super) const TRIAL_AIR: Constant = practice("gun: air at a trial", 288.15, 293.15, 298.15, "K");
/// How often a sheet of the rack is turned over in its trial.
pub(super) const TRIAL_TURN: Constant = practice("gun: turns in a trial", 4.0, 8.0, 12.0, "s");
/// Standard uncertainty of a time taken by eye and watch.
pub(super) const BY_EYE: Constant =
    practice("gun: uncertainty of a time by eye", 0.05, 0.10, 0.20, "1");
/// A task shorter than this is not broken off at closing time.
pub(super) const SHORT: Constant =
    practice("task that is not broken off", 1800.0, 3600.0, 7200.0, "s");
/// Sheet from which a part is sawn and trimmed rather than plunged by hand.
pub(super) const THICK: Constant =
    practice("sheet that is sawn, then trimmed", 5e-3, 6e-3, 8e-3, "m");
/// Time of one stroke of the gun along a strap.
pub(super) const STROKE: Constant = practice("gun: one stroke along a strap", 1.5, 2.0, 3.0, "s");
/// How long heat goes on after the sheet went limp, over the time to it.
pub(super) const PAST_LIMP: Constant = practice(
    "gun: heat past limp, over the time to it",
    0.15,
    0.25,
    0.40,
    "1",
);
/// Power of a gun about which nothing is said.
pub(super) const GUN_POWER: Constant = practice("gun: power", 1500.0, 2000.0, 2300.0, "W");
/// Input of a hand router or jigsaw at work.
pub(super) const CUTTER_POWER: Constant =
    practice("router or saw: power", 500.0, 1000.0, 1800.0, "W");
/// Deepest draw over width where the material says nothing.
pub(super) const DRAW_DEPTH: Constant =
    practice("pod: deepest draw over width", 0.3, 0.5, 1.0, "1");
/// Play round mesh and retaining ring where nothing is said.
pub(super) const PLAY: Constant = practice("grille: play round its mesh", 3e-4, 5e-4, 1e-3, "m");
/// Largest hole of a drawing that is taken for a screw's.
pub(super) const SCREW_HOLE: Constant =
    practice("drawing: largest hole of a screw", 0.01, 0.015, 0.02, "m");
/// How far a drawn hole may lie off the circle that was measured.
pub(super) const OFF_CIRCLE: Constant = practice(
    "drawing: hole off the circle measured",
    1e-3,
    2e-3,
    3e-3,
    "m",
);
/// Thermal expansion of a sheet about which the catalogue says nothing.
pub(super) const EXPANSION: Constant =
    practice("thermal expansion of a plastic", 5e-5, 1e-4, 2e-4, "1/K");
/// Less lift than this nobody hears.
pub(super) const LEAST_LIFT: Constant =
    practice("strap: least lift of a wedge", 1.0, 2.0, 5.0, "°");
/// More lift no wedge gives.
pub(super) const MOST_LIFT: Constant =
    practice("strap: greatest lift of a wedge", 30.0, 45.0, 45.0, "°");

const MINUTE: f64 = 60.0;

/// Measuring one place.
pub(super) const MEASURE: Constant = practice(
    "time: measure",
    6.0 * MINUTE,
    10.0 * MINUTE,
    18.0 * MINUTE,
    "s",
);
/// A card template of one pattern.
pub(super) const TEMPLATE: Constant = practice(
    "time: template",
    8.0 * MINUTE,
    14.0 * MINUTE,
    28.0 * MINUTE,
    "s",
);
/// Setting router or saw up, once a job.
pub(super) const CUT_SET_UP: Constant = practice(
    "time: cut set-up",
    5.0 * MINUTE,
    8.0 * MINUTE,
    15.0 * MINUTE,
    "s",
);
/// Marking out, clamping and cleaning one blank, without the cut.
pub(super) const CUT_HANDLING: Constant = practice(
    "time: cut handling",
    3.0 * MINUTE,
    5.0 * MINUTE,
    10.0 * MINUTE,
    "s",
);
/// Setting the hot-air station up, once a job.
pub(super) const HEAT_SET_UP: Constant = practice(
    "time: heat set-up",
    4.0 * MINUTE,
    6.0 * MINUTE,
    10.0 * MINUTE,
    "s",
);
/// Pressing, aligning and letting go, without the hold.
pub(super) const FORM: Constant = practice("time: form", MINUTE, 2.0 * MINUTE, 4.0 * MINUTE, "s");
/// Trying one part on the vehicle, marking, trimming, drilling.
pub(super) const TRIAL_FIT: Constant = practice(
    "time: trial fit",
    8.0 * MINUTE,
    12.0 * MINUTE,
    25.0 * MINUTE,
    "s",
);
/// Preparing, gluing and clamping one joint.
pub(super) const BOND: Constant =
    practice("time: bond", 5.0 * MINUTE, 8.0 * MINUTE, 15.0 * MINUTE, "s");
/// Fitting one part to the vehicle.
pub(super) const FIT: Constant =
    practice("time: fit", 6.0 * MINUTE, 10.0 * MINUTE, 20.0 * MINUTE, "s");
/// Cutting and sticking on the gaskets and the collar of one ring.
pub(super) const SEALS: Constant = practice(
    "time: gaskets and collar",
    5.0 * MINUTE,
    10.0 * MINUTE,
    20.0 * MINUTE,
    "s",
);
/// Looking behind the steel, drilling, painting the edges and setting the nuts of one ring.
pub(super) const STEEL_NUTS: Constant = practice(
    "time: nuts in the steel",
    6.0 * MINUTE,
    12.0 * MINUTE,
    30.0 * MINUTE,
    "s",
);
/// Polarity, rattle and seal of one part.
pub(super) const CHECK: Constant = practice(
    "time: check",
    3.0 * MINUTE,
    5.0 * MINUTE,
    10.0 * MINUTE,
    "s",
);
/// Bringing the vehicle in a second time and covering it.
pub(super) const SECOND_VISIT: Constant = practice(
    "time: second visit",
    5.0 * MINUTE,
    10.0 * MINUTE,
    20.0 * MINUTE,
    "s",
);
/// Cleaning up and handing back, once a job.
pub(super) const HAND_BACK: Constant = practice(
    "time: hand back",
    5.0 * MINUTE,
    10.0 * MINUTE,
    20.0 * MINUTE,
    "s",
);

/// The law of a time: the shop's own where it gave one, else the trade's.
pub(super) fn time_law(own: Option<ThreePoint>, trade: &Constant) -> Law {
    own.map_or(
        Law::Pert {
            low: trade.low,
            likely: trade.value,
            high: trade.high,
        },
        |t| t.law(),
    )
}

/// Loading sheets into the drying oven and taking them out.
pub(super) const DRY: Constant =
    practice("time: dry", 3.0 * MINUTE, 5.0 * MINUTE, 10.0 * MINUTE, "s");
/// Length at each end of a strap that is cut off after the trial fit.
pub(super) const TRIM: Constant = practice(
    "strap: length trimmed at each end",
    5e-3,
    7.5e-3,
    10e-3,
    "m",
);
/// Place of the neutral axis of a limp strap laid round a body, from its inside, over the thickness.
pub(super) const NEUTRAL: Constant = Constant {
    name: "strap: neutral axis of a limp strap",
    value: 0.5,
    low: 0.4,
    high: 0.5,
    unit: "1",
    source: "the middle, since both faces are hot and neither is held; inferred, no source was found",
    standing: Standing::Derived,
};
/// How far film or fabric is cut wider than the face, to be turned round each edge; the catalogue of finishes counts as much.
pub(super) const TURNED: Constant = practice(
    "finish: film turned round an edge",
    20e-3,
    30e-3,
    50e-3,
    "m",
);
/// What a pod's crown keeps in front of its body, all round the opening for the sound.
pub(super) const SOUND_LAP: Constant = practice(
    "pod: lap of the crown in front of the body",
    2e-3,
    3e-3,
    5e-3,
    "m",
);
/// From the end of heat until the sheet is pressed on.
pub(super) const TRANSFER: Constant = practice("strap: from heat to form", 3.0, 5.0, 10.0, "s");
/// How much deeper than asked a stack may become.
pub(super) const STACK_OVER: Constant =
    practice("ring: stack deeper than asked", 1.0e-3, 1.5e-3, 2.0e-3, "m");
/// Work that one glue line stands for where thicker sheet is weighed against more layers.
pub(super) const GLUE_LINE: Constant = practice(
    "ring: work of one glue line",
    4.0 * MINUTE,
    6.0 * MINUTE,
    10.0 * MINUTE,
    "s",
);

/// Foam bought over foam glued on: what is cut away.
pub(super) const FOAM_WASTE: Constant = practice("foam bought over foam used", 1.1, 1.2, 1.4, "1");
/// Depth of the notch for a wire over its width.
pub(super) const NOTCH: Constant = practice(
    "strap: depth of the wire notch over its width",
    1.0,
    1.2,
    1.5,
    "1",
);
/// Turns of a router's spindle about which nothing is said: 18 000 a minute.
pub(super) const SPINDLE: Constant = practice("router: turns", 160.0, 300.0, 400.0, "1/s");
/// Width of the patch of a coupon about which nothing is said.
pub(super) const PATCH_WIDTH: Constant = practice("gun: width of a coupon", 0.04, 0.05, 0.06, "m");
/// Length of the patch of a coupon about which nothing is said.
pub(super) const PATCH_LENGTH: Constant = practice("gun: length of a coupon", 0.08, 0.1, 0.12, "m");
/// Foam between hot sheet and driver about which nothing is said.
pub(super) const FOAM_THICK: Constant =
    practice("foam under heat: thickness", 1e-3, 2e-3, 3e-3, "m");
/// Screw in a thread that it forms: no deeper than this many of its diameters counts.
pub(super) const ENGAGED: Constant = practice(
    "screw: depth that holds, over its diameter",
    2.0,
    3.0,
    3.0,
    "1",
);
/// Service limit of an adhesive that the catalogue does not know: 80 °C.
pub(super) const USUAL_LIMIT: Constant = practice(
    "service limit of an unknown adhesive",
    333.15,
    353.15,
    373.15,
    "K",
);
/// Sheets whose thickness differs by this share are taken for the same.
pub(super) const SAME_SHARE: Constant = practice(
    "sheet: share of thickness within one size",
    0.05,
    0.07,
    0.1,
    "1",
);
/// Sheets whose thickness differs by this much are taken for the same, however thin.
pub(super) const SAME_BY: Constant =
    practice("sheet: thickness within one size", 2e-4, 3e-4, 5e-4, "m");
/// Thinnest sheet that may stand in for another, over the one asked for: 3 mm may become 2 mm.
pub(super) const NEAR_THIN: Constant = practice(
    "sheet: thinnest that may stand in, over the one asked for",
    0.6,
    0.6,
    0.8,
    "1",
);
/// Thickest sheet that may stand in for another, over the one asked for: 3 mm may become 5 mm.
pub(super) const NEAR_THICK: Constant = practice(
    "sheet: thickest that may stand in, over the one asked for",
    1.3,
    1.7,
    1.7,
    "1",
);

/// Every constant here, for the report of provenance.
pub static ALL: &[&Constant] = &[
    &FOAM_WASTE,
    &NOTCH,
    &SPINDLE,
    &PATCH_WIDTH,
    &PATCH_LENGTH,
    &FOAM_THICK,
    &ENGAGED,
    &USUAL_LIMIT,
    &SAME_SHARE,
    &SAME_BY,
    &NEAR_THIN,
    &NEAR_THICK,
    &ENOUGH_BLANKS,
    &UNLUCKY,
    &NOZZLE,
    &TRIAL_AIR,
    &TRIAL_TURN,
    &BY_EYE,
    &GUN_POWER,
    &CUTTER_POWER,
    &SHORT,
    &THICK,
    &STROKE,
    &PAST_LIMP,
    &DRAW_DEPTH,
    &PLAY,
    &SCREW_HOLE,
    &OFF_CIRCLE,
    &EXPANSION,
    &LEAST_LIFT,
    &MOST_LIFT,
    &PACE,
    &SHOP_AIR,
    &SHEET_PRICE,
    &SPOILAGE,
    &TRIAL_AGAIN,
    &CLIPS_BREAK,
    &SECOND_VISIT,
    &LEARNING,
    &MEASURE,
    &TEMPLATE,
    &CUT_SET_UP,
    &CUT_HANDLING,
    &HEAT_SET_UP,
    &FORM,
    &TRIAL_FIT,
    &BOND,
    &FIT,
    &CHECK,
    &SEALS,
    &STEEL_NUTS,
    &HAND_BACK,
    &DRY,
    &TRIM,
    &NEUTRAL,
    &TURNED,
    &SOUND_LAP,
    &TRANSFER,
    &STACK_OVER,
    &GLUE_LINE,
];

/// The times that a shop gave itself, by the names above.
pub(super) fn own_times(times: &Times) -> [(&'static Constant, Option<ThreePoint>); 11] {
    [
        (&MEASURE, times.measure),
        (&TEMPLATE, times.template),
        (&CUT_SET_UP, times.cut_set_up),
        (&CUT_HANDLING, times.cut_handling),
        (&HEAT_SET_UP, times.heat_set_up),
        (&FORM, times.form),
        (&TRIAL_FIT, times.trial_fit),
        (&BOND, times.bond),
        (&FIT, times.fit),
        (&CHECK, times.check),
        (&HAND_BACK, times.hand_back),
    ]
}
