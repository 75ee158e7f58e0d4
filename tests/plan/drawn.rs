//! What is drawn is what is checked, in the shop's own units.

use super::{PODS, RINGS, SHOP, planned};
use mountwright::mount::{Check, Verdict};
use mountwright::plan::Plan;

const DASH: &str = include_str!("../../demo-data/dash-pods.toml");

fn check<'p>(plan: &'p Plan, part: usize, name: &str) -> &'p Check {
    let found = plan.parts[part].checks.iter().find(|c| c.name == name);
    found.unwrap()
}

fn svg(plan: &Plan, file: &str) -> String {
    let found = plan.drawings.iter().find(|d| d.file.contains(file));
    found.unwrap().svg.clone()
}

#[test]
fn what_the_trial_fit_cuts_off_a_tab_is_missing_beside_its_screw() {
    let edge = |cut: &str| {
        let job = PODS.replacen(
            "need = \"limp\"",
            &format!("front_cut = \"{cut}\"\nneed = \"limp\""),
            1,
        );
        planned(&job, SHOP, 0).map(|plan| check(&plan, 0, "screw edge distance").clone())
    };
    let (whole, cut) = (edge("0 mm").unwrap(), edge("4 mm").unwrap());
    // The tab is 22 mm long, its screw in the middle; a wrap of vinyl takes the rest.
    assert!((whole.figure - cut.figure - 0.004).abs() < 1e-9 && whole.figure < 0.011);
    assert_eq!(
        (whole.verdict, cut.verdict),
        (Verdict::Pass, Verdict::Marginal)
    );
    // The hole itself is never cut into; the message says how much may go.
    let message = edge("10 mm").unwrap_err().to_string();
    assert!(
        message.contains("front_cut") || message.contains("cut_m"),
        "{message}"
    );
}

#[test]
fn a_folded_panel_is_slotted_as_its_check_counts_on() {
    let plan = planned(DASH, SHOP, 0).unwrap();
    let movement = check(&plan, 1, "room for thermal movement");
    assert_eq!(movement.verdict, Verdict::Pass);
    let drawn = svg(&plan, "blank-amplifier-cover");
    assert!(drawn.contains("screw, fixed") && drawn.contains("slot 4.5 x "));
    // A pod grows from its middle: its holes are round, and the check takes them so.
    assert!((check(&plan, 0, "room for thermal movement").figure - 0.0045).abs() < 1e-12);
}

#[test]
fn a_cutout_opened_at_the_trial_fit_is_what_the_flange_must_cover() {
    let opened = RINGS.replace(
        "driver_bolts = 4",
        "cutout_cut = \"2 mm\"\ndriver_bolts = 4",
    );
    let cover = |job: &str| check(&planned(job, SHOP, 0).unwrap(), 0, "flange cover").figure;
    assert!((cover(RINGS) - cover(&opened) - 0.002).abs() < 1e-9);
    // Of an oval opening the short side counts.
    let oval = RINGS.replace("cutout_width", "cutout_height = \"120 mm\"\ncutout_width");
    assert!((cover(&oval) - (0.165 - 0.120) / 2.0).abs() < 1e-9);
}

#[test]
fn inserts_are_judged_as_inserts() {
    let job = RINGS
        .replace(
            "driver_fixing = \"nuts\"",
            "insert_diameter = \"6 mm\"\ninsert_length = \"8 mm\"",
        )
        .replace("material = \"expanded-pvc\"", "material = \"abs\"")
        .replace("depth = \"26 mm\"", "depth = \"24 mm\"")
        .replace("width = \"186 mm\"", "width = \"200 mm\"");
    let sheet = SHOP.replace("[cutting]", "[[sheets]]\nname = \"ABS 12 mm\"\nmaterial = \"abs\"\nthickness = \"12 mm\"\nwidth = \"500 mm\"\nheight = \"1000 mm\"\nprice = 60.0\non_hand = 1\ndays_to_arrive = 1\n\n[cutting]");
    let plan = planned(&job, &sheet, 0).unwrap();
    let names: Vec<&str> = plan.parts[0].checks.iter().map(|c| c.name).collect();
    assert!(names.contains(&"insert pull-out, hot"), "{names:?}");
    assert!(!names.contains(&"screw pull-out, hot") && !names.contains(&"pilot hole"));
}

#[test]
fn a_narrow_web_of_a_panel_fails_with_what_would_pass() {
    let near = RINGS.replace("right = \"85 mm\"", "right = \"30 mm\"");
    let plan = planned(&near, SHOP, 0).unwrap();
    let web = check(&plan, 1, "web");
    assert_eq!(web.verdict, Verdict::Fail);
    assert!(web.mend.as_ref().unwrap().contains("smaller by"));
    assert_eq!(
        check(&planned(RINGS, SHOP, 0).unwrap(), 1, "web").verdict,
        Verdict::Pass
    );
}

#[test]
fn a_wedge_has_both_its_drawings() {
    let lifted = PODS.replacen("need = \"limp\"", "lift = \"12°\"\nneed = \"limp\"", 1);
    let plan = planned(&lifted, SHOP, 0).unwrap();
    let wedges: Vec<&str> = plan
        .drawings
        .iter()
        .filter(|d| d.kind == "wedge")
        .map(|d| d.title.as_str())
        .collect();
    assert_eq!(wedges, ["left pod wedge", "left pod wedge side"]);
}

#[test]
fn templates_follow_the_shops_bushing() {
    let wide = |shop: &str| {
        let drawn = svg(
            &planned(RINGS, shop, 0).unwrap(),
            "template-front-door-ring",
        );
        let at = drawn.find("Ø ").unwrap() + "Ø ".len();
        drawn[at..at + 5].parse::<f64>().unwrap()
    };
    let bushed = SHOP.replace(
        "kerf = \"6.35 mm\"",
        "kerf = \"6.35 mm\"\nbushing = \"16 mm\"",
    );
    // T = hole + B - d (router forums and workshop threads): 16 - 6.35 = 9.65 mm wider.
    assert!(
        (wide(&bushed) - wide(SHOP) - 9.65).abs() < 0.11,
        "{} {}",
        wide(&bushed),
        wide(SHOP)
    );
}

#[test]
fn an_inch_job_is_drawn_in_inches() {
    let inch = RINGS.replace("units = \"metric\"", "units = \"inch\"");
    let (metric, inch) = (
        planned(RINGS, SHOP, 0).unwrap(),
        planned(&inch, SHOP, 0).unwrap(),
    );
    let (mm, inches) = (
        svg(&metric, "blank-front-door-ring"),
        svg(&inch, "blank-front-door-ring"),
    );
    // 186 mm less the paint, 13.1 mm thick: the drawing of each says so in its own unit.
    let wide = metric.parts[0].blank.width_m;
    assert!(mm.contains(&format!(">{:.1}<", wide * 1e3)) && mm.contains("Holes (mm"));
    assert!(inches.contains(&format!(">{:.3}<", wide / 0.0254)) && inches.contains("Holes (in"));
    assert!(inches.contains("1 : 1, in") && !inches.contains(" mm outside the line"));
    // A machine gets the same millimetres.
    let dxf = |plan: &Plan| {
        plan.drawings[0]
            .dxf
            .split("HOLE-CENTRES")
            .last()
            .unwrap()
            .to_string()
    };
    assert_eq!(dxf(&metric), dxf(&inch));
}
