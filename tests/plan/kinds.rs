//! Pods, folded panels and grilles: kinds of parts that the third demo job has.

use super::{SHOP, answers, planned, with};
use mountwright::mount::Verdict;

const DASH: &str = include_str!("../../demo-data/dash-pods.toml");

#[test]
fn pods_folds_and_grilles_are_planned_to_the_end() {
    let plan = planned(DASH, SHOP, 32).unwrap();
    let kinds: Vec<&str> = plan.parts.iter().map(|p| p.kind.as_str()).collect();
    assert_eq!(kinds, ["pressed-pod", "folded-panel", "grille"]);
    assert!(plan.price.is_some() && plan.promise.is_some() && plan.schedule.is_some());
    assert!(plan.layouts.iter().all(|l| l.layout.unplaced.is_empty()));
    for part in &plan.parts {
        assert!(!part.checks.is_empty(), "{}", part.name);
        let fails: Vec<_> = part
            .checks
            .iter()
            .filter(|c| c.verdict == Verdict::Fail)
            .collect();
        assert!(fails.is_empty(), "{fails:#?}");
    }
    let [pod, fold, grille] = plan.parts.as_slice() else {
        panic!()
    };
    for formed in [pod, fold] {
        let recipe = formed.recipe.as_ref().unwrap();
        assert!(recipe.has_window, "{}: {:?}", formed.name, recipe.no_window);
    }
    assert_eq!(pod.recipe.as_ref().unwrap().need, "formable");
    assert_eq!(fold.recipe.as_ref().unwrap().need, "limp");
    assert!(pod.joint.is_some() && grille.joint.is_some() && fold.joint.is_none());
    assert_eq!(grille.quantity, 2);
    let of = |kind: &str| plan.drawings.iter().filter(|d| d.kind == kind).count();
    // A blank each, and the retaining ring; a card for each; for the grille a template of its edges, one of its recess, and a mesh.
    assert_eq!(
        (of("blank"), of("card"), of("template"), of("mesh")),
        (4, 3, 2, 1)
    );
    let svg = |kind: &str, name: &str| {
        let mut of_kind = plan.drawings.iter().filter(|d| d.kind == kind);
        let found = of_kind.find(|d| d.title.starts_with(name));
        &found.unwrap_or_else(|| panic!("{kind} {name}")).svg
    };
    // The recess is routed from behind: what is in front stays whole.
    for kind in ["blank", "card"] {
        let drawn = svg(kind, "door grille");
        assert!(drawn.contains("recess in the back, up to the dotted line"));
        assert!(!drawn.contains("recess in the show face"));
    }
    assert!(!svg("mesh", "door grille").contains("foam"));
}

/// Flat length of a U of three flanges: outside lengths less two setbacks and plus one allowance at each bend.
#[test]
fn a_folded_cover_has_the_length_that_the_handbook_gives() {
    // Bare, so that no finish is taken off at the ends.
    let bare = DASH.replace("finish = \"textured\"", "finish = \"bare\"");
    let plan = planned(&bare, SHOP, 0).unwrap();
    let flat = plan.parts[1].blank.developed_m.unwrap().nominal.unwrap() * 1e3;
    let (r, t, k) = (6.0, 3.0, 0.45);
    let allowance = std::f64::consts::FRAC_PI_2 * (r + k * t);
    let want = 40.0 + 120.0 + 40.0 - 4.0 * (r + t) + 2.0 * allowance;
    assert!((flat - want).abs() < 1e-9, "{flat} {want}");
}

/// Every length of these kinds changes what is cut, what it costs or how it is judged.
#[test]
fn three_millimetres_show_on_pods_folds_and_grilles() {
    let before = answers(&planned(DASH, SHOP, 0).unwrap());
    let mut tried = 0;
    for line in DASH.lines() {
        let Some((key, value)) = line.split_once(" = \"") else {
            continue;
        };
        if !value
            .split_whitespace()
            .nth(1)
            .is_some_and(|unit| unit.starts_with("mm"))
        {
            continue;
        }
        // How often the key stood before this very line.
        let nth = DASH
            .lines()
            .take_while(|l| !std::ptr::eq(*l, line))
            .filter(|l| l.starts_with(&format!("{key} = \"")))
            .count();
        let by = match key {
            "thickness" | "screw_diameter" | "inside_radius" | "retainer_thickness"
            | "mesh_thickness" => 0.1,
            // The body and its foam fill the crown.
            "crown_width" | "body_diameter" | "foam_thickness" => 0.5,
            _ => 3.0,
        };
        let up = planned(&with(DASH, key, nth, |v| v + by).unwrap(), SHOP, 0);
        let plan = up.or_else(|_| planned(&with(DASH, key, nth, |v| v - by).unwrap(), SHOP, 0));
        let after = answers(&plan.unwrap_or_else(|e| panic!("{key} {nth}: {e}")));
        assert!(before != after, "{key}, number {nth}");
        tried += 1;
    }
    assert!(tried > 20, "{tried}");
    let wider = DASH.replace("[\"40 mm ± 0.5 mm\"", "[\"43 mm ± 0.5 mm\"");
    assert_ne!(before.0, answers(&planned(&wider, SHOP, 0).unwrap()).0);
}

/// What the trial fit showed is typed in, and the pattern keeps it.
#[test]
fn what_the_trial_fit_cut_off_stays_cut_off() {
    let sizes = |job: &str| -> Vec<(f64, f64)> {
        let plan = planned(job, SHOP, 0).unwrap();
        plan.parts
            .iter()
            .map(|p| (p.blank.length_m * 1e3, p.blank.width_m * 1e3))
            .collect()
    };
    let before = sizes(DASH);
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let cut = DASH.replace(
        "screws = 2  ",
        "last_cut = \"2 mm\"\nwidth_cut = \"1 mm\"\nscrews = 2  ",
    );
    let after = sizes(&cut);
    // The cover is longer along its bend lines than across them.
    assert!(
        near(before[1].0 - after[1].0, 1.0) && near(before[1].1 - after[1].1, 2.0),
        "{before:?} {after:?}"
    );
    let cut = DASH.replace("clips = 4", "edge_cut = \"1.5 mm\"\nclips = 4");
    assert!(near(before[2].0 - sizes(&cut)[2].0, 3.0));
    // A pod's blank is the clamped sheet: its flange and its depth change inside it.
    let drawn = |job: &str| answers(&planned(job, SHOP, 0).unwrap());
    for edit in ["flange_cut = \"1 mm\"", "depth_cut = \"1 mm\""] {
        let cut = DASH.replace("held = \"clamped\"", edit);
        assert_ne!(drawn(DASH), drawn(&cut), "{edit}");
    }
}

#[test]
fn keys_that_do_not_belong_are_named() {
    let says = |job: &str, what: &str| {
        let message = planned(job, SHOP, 0).unwrap_err().to_string();
        assert!(
            message.contains(what) && message.contains("line "),
            "{what}: {message}"
        );
    };
    says(
        &DASH.replace("plug = \"frustum\"", "plug = \"dome\""),
        "pods[0].crown_width: only a frustum has one",
    );
    says(
        &DASH.replace("plug = \"frustum\"", "plug = \"box\""),
        "pods[0].corner_radius: missing; a box has one",
    );
    says(
        &DASH.replace("flange = \"14 mm\"", "flange = \"40 mm\""),
        "pods[0].flange",
    );
    says(
        &DASH.replace(", \"40 mm ± 0.5 mm\"]", "]"),
        "folded[0].folds: 2 flanges and 2 folds",
    );
    says(
        &DASH.replace(
            "outline = \"circle\"\nwidth",
            "outline = \"polygon\"\nwidth",
        ),
        "grilles[0].outline",
    );
    says(
        &DASH.replace("inside_radius = \"6 mm\"", "inside_radius = \"2 mm\""),
        "folded[0]",
    );
    says(
        &DASH.replace("depth = \"10 mm", "depth = \"160 mm"),
        "pods[0]",
    );
    says(
        &DASH.replace("body_diameter = \"76 mm", "body_diameter = \"80 mm"),
        "pods[0].body_diameter: 92.0 mm across with its foam does not go into the 88.0 mm inside: give body_diameter at most 76.0 mm, foam_thickness at most 4.0 mm, or crown_width at least 92.0 mm",
    );
    says(
        &DASH.replace("body_diameter = \"76 mm", "body_diameter = \"47 mm"),
        "pods[0].foam_thickness: the wall stands 20.5 mm off the body",
    );
    says(
        &DASH.replace("body_length = \"9 mm", "body_length = \"30 mm"),
        "pods[0].body_length: 30.0 mm long in a pod that is 10.0 mm deep for a body so wide: give body_length at most 10.0 mm, or depth at least 30.0 mm",
    );
    says(
        &DASH.replace("lap = \"9 mm\"", "lap = \"22 mm\""),
        "grilles[0]",
    );
    says(
        &DASH.replace("screw_edge = \"12 mm\"", "screw_edge = \"38 mm\""),
        "flange",
    );
}

const RINGS: &str = include_str!("../../demo-data/door-rings.toml");
const PODS: &str = include_str!("../../demo-data/pillar-pods.toml");

#[test]
fn a_ring_on_steel_has_its_gaskets_and_nuts_in_the_work_and_in_the_price() {
    let plan = planned(RINGS, SHOP, 0).unwrap();
    let named = |end: &str| plan.tasks.iter().filter(|t| t.id.ends_with(end)).count();
    assert_eq!(
        (named("/ gaskets and collar"), named("/ nuts in the steel")),
        (1, 1)
    );
    let line = |name: &str| {
        let lines = &plan.estimate.as_ref().unwrap().lines;
        let found = lines.iter().filter(|l| l.name.contains(name));
        found.map(|l| l.amount).sum::<f64>()
    };
    assert!(line("foam") > 0.0);
    // Two rings: four driver screws with their nuts, three vehicle screws with theirs.
    assert!(line("screws and clips") >= 2.0 * (8.0 + 6.0));
    let bench = plan.parts[0].bench.join("\n");
    assert!(bench.contains("layer 1 lies towards the driver"));
    assert!(bench.contains("drill through the first layer once they are glued"));
}

#[test]
fn the_feet_of_a_strap_are_called_by_their_tabs() {
    let plan = planned(PODS, SHOP, 0).unwrap();
    for part in plan.parts.iter().filter(|p| p.kind == "strap") {
        let [plug, crown, one, two] = part.bends.as_slice() else {
            panic!("{:?}", part.bends)
        };
        assert!(plug.contains("plug 51 mm") && crown.starts_with("crown"));
        // Seen from the cabin, the windscreen is to the right of a left pillar and to the left of a right one.
        let front = [one, two]
            .into_iter()
            .find(|l| l.starts_with("FRONT"))
            .unwrap();
        let side = if part.name.contains("left") {
            "right"
        } else {
            "left"
        };
        assert_eq!(front.matches(side).count(), 2, "{front}");
    }
}
