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
            &format!("rear_cut = \"{cut}\"\nneed = \"limp\""),
            1,
        );
        planned(&job, SHOP, 0).map(|plan| check(&plan, 0, "screw edge distance").clone())
    };
    let (whole, cut) = (edge("0 mm").unwrap(), edge("2.5 mm").unwrap());
    // The tab is 22 mm long, its slot in the middle; a wrap of vinyl and the slot's play take the rest.
    assert!((whole.figure - cut.figure - 0.0025).abs() < 1e-9 && whole.figure < 0.011);
    assert_eq!(
        (whole.verdict, cut.verdict),
        (Verdict::Pass, Verdict::Marginal)
    );
    // The hole itself is never cut into; the message says how much may go.
    let message = edge("10 mm").unwrap_err().to_string();
    assert!(message.contains("rear_cut"), "{message}");
}

/// The door ring by hand: outside 186 mm, cutout 139 mm, and 0.15 mm of paint that the blank leaves free on every edge;
/// the driver's screws of 3.5 mm on 155 mm, the vehicle's of 5 mm, countersunk to 10 mm, on 169 mm.
#[test]
fn each_screw_of_a_ring_is_held_to_its_own_edge_distance() {
    let judged = |job: &str| {
        let plan = planned(job, SHOP, 0).unwrap();
        ["driver's", "vehicle's"]
            .map(|whose| check(&plan, 0, &format!("edge distance, {whose} screws")).clone())
    };
    let is = |found: &Check, mm: [f64; 2]| {
        let have = [found.figure * 1e3, found.limit * 1e3];
        let same = have.iter().zip(mm).all(|(a, b)| (a - b).abs() < 1e-6);
        assert!(same, "{found}");
    };
    let [driver, vehicle] = judged(RINGS);
    // To the cutout: 77.5 - 69.5 - 0.15; one and a half threads at least, two pass.
    is(&driver, [7.85, 5.25]);
    assert_eq!(driver.verdict, Verdict::Pass);
    // To the outside: 93 - 84.5 - 0.15; half a thread of wall beside the cone at least, a whole one passes.
    is(&vehicle, [8.35, 7.5]);
    assert_eq!(vehicle.verdict, Verdict::Marginal);
    let mend = vehicle.mend.unwrap();
    assert!(
        mend.starts_with("move the vehicle's holes to 10.0 mm"),
        "{mend}"
    );
    // A wider ring helps the vehicle's holes alone: 99 - 84.5 - 0.15.
    let [driver, vehicle] = judged(&RINGS.replacen("width = \"186 mm\"", "width = \"198 mm\"", 1));
    is(&driver, [7.85, 5.25]);
    is(&vehicle, [14.35, 7.5]);
    assert_eq!(vehicle.verdict, Verdict::Pass);
}

#[test]
fn what_is_advised_for_heads_beside_a_flange_leads_into_no_other_fault() {
    let pan = RINGS.replacen("vehicle_countersink = \"10 mm\"", "", 1);
    let plan = planned(&pan, SHOP, 0).unwrap();
    let heads = check(&plan, 0, "screw heads beside the flange");
    assert_eq!(heads.verdict, Verdict::Fail);
    // The flange of 165 mm, a head of 10 mm, 1 mm of measuring on each side; two threads of edge outside the circle.
    let mend = heads.mend.clone().unwrap();
    assert!(
        mend.contains("a circle of 177 mm (with a ring 198 mm wide"),
        "{mend}"
    );
    // On a wider circle the ring grows more than the usual hole of 5.5 mm lets it.
    assert!(mend.contains("round holes of 6.0 mm"), "{mend}");
    let wider = pan
        .replacen("width = \"186 mm\"", "width = \"198 mm\"", 1)
        .replacen(
            "vehicle_bolt_circle = \"169 mm\"",
            "vehicle_bolt_circle = \"177 mm\"",
            1,
        );
    let narrow = planned(&wider, SHOP, 0).unwrap();
    let movement = check(&narrow, 0, "room for thermal movement");
    assert_eq!(movement.verdict, Verdict::Fail);
    assert!(
        movement
            .mend
            .clone()
            .unwrap()
            .starts_with("round holes of 6.0 mm")
    );
    let as_told = wider.replacen("vehicle_turn", "vehicle_hole = \"6 mm\"\nvehicle_turn", 1);
    let plan = planned(&as_told, SHOP, 0).unwrap();
    for name in [
        "screw heads beside the flange",
        "room for thermal movement",
        "edge distance, driver's screws",
        "edge distance, vehicle's screws",
    ] {
        assert_eq!(check(&plan, 0, name).verdict, Verdict::Pass, "{name}");
    }
    assert!(svg(&plan, "blank-front-door-ring").contains("Ø 6.0"));
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

/// The words of a drawing, in order.
fn words(svg: &str) -> Vec<String> {
    let texts = svg.split("<text").skip(1);
    let texts = texts.filter_map(|t| t.split_once('>')?.1.split_once('<'));
    texts.map(|(word, _)| word.to_owned()).collect()
}

/// The hole table of a drawing: name, centre and length. [mm]
fn holes(svg: &str) -> Vec<(String, [f64; 3])> {
    let words = words(svg);
    let rows = words.windows(4).filter(|w| w[0].starts_with("screw"));
    rows.map(|w| {
        let length = w[3].rsplit(' ').next().unwrap().parse().unwrap();
        let [x, y] = [&w[1], &w[2]].map(|v| v.parse().unwrap());
        (w[0].clone(), [x, y, length])
    })
    .collect()
}

#[test]
fn a_panel_is_judged_by_the_slot_that_is_drawn_furthest_from_its_round_hole() {
    let kick = include_str!("../../demo-data/kick-panels.toml");
    for (job, part, file) in [
        (kick, 0, "blank-left-panel"),
        (DASH, 1, "blank-amplifier-cover"),
    ] {
        let plan = planned(job, SHOP, 0).unwrap();
        let drawn = holes(&svg(&plan, file));
        let [x, y, _] = drawn[0].1;
        assert_eq!(drawn[0].0, "screw, fixed");
        // The slots of a folded cover lie along its bends; those of a flat panel point at the round hole.
        let far = |h: &[f64; 3]| {
            if part == 1 {
                (h[1] - y).abs()
            } else {
                (h[0] - x).hypot(h[1] - y)
            }
        };
        let slots = drawn.iter().skip(1).map(|h| h.1);
        let furthest = slots.max_by(|a, b| far(a).total_cmp(&far(b))).unwrap();
        let movement = check(&plan, part, "room for thermal movement");
        assert!((movement.figure * 1e3 - furthest[2]).abs() < 0.051);
        assert!(
            movement
                .why
                .starts_with(&format!("{:.0} mm from", far(&furthest))),
            "{} {furthest:?}",
            movement.why
        );
    }
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

/// What is drawn is read back as what was drawn, by us as by anyone else: edges only, no dimension, bend, frame or back.
#[test]
fn a_drawing_is_read_back_to_its_outline() {
    use mountwright::outline::{Unit, read_dxf, read_svg};
    let kick = include_str!("../../demo-data/kick-panels.toml");
    for (job, part) in [(kick, 0), (DASH, 1), (DASH, 2), (PODS, 0)] {
        let plan = planned(job, SHOP, 0).unwrap();
        let blank = plan.parts[part].blank.outline.clone().unwrap();
        let name = &plan.parts[part].name;
        let drawn = plan.drawings.iter();
        let drawn = drawn.filter(|d| d.kind == "blank" && &d.part == name);
        let drawn = drawn.into_iter().next().unwrap();
        let dxf = read_dxf("own.dxf", &drawn.dxf, Unit::Stated).unwrap();
        let svg = read_svg("own.svg", &drawn.svg).unwrap();
        for traced in [dxf, svg] {
            assert_eq!(traced.parts.len(), 1, "{name}");
            let read = &traced.parts[0];
            assert_eq!(read.holes.len(), blank.holes.len(), "{name}");
            let (w, h) = blank.size_m();
            let (rw, rh) = read.size_m();
            assert!((w - rw).abs() < 5e-5 && (h - rh).abs() < 5e-5, "{name}");
            // A band of the chord along the edge.
            let band_m2 = 5e-5 * blank.edge_length_m();
            assert!((read.area_m2() - blank.area_m2()).abs() < band_m2, "{name}");
            assert!(
                (read.edge_length_m() / blank.edge_length_m() - 1.0).abs() < 1e-3,
                "{name}"
            );
        }
    }
}

/// Another program's file may call its layers as it likes: no hole is left out for the name of its layer.
#[test]
fn holes_of_a_foreign_drawing_are_read_from_any_layer() {
    use mountwright::outline::{Unit, read_dxf};
    let plate = |holes: &str| {
        let square = "0\nLWPOLYLINE\n8\nCUT\n90\n4\n70\n1\n10\n0\n20\n0\n10\n100\n20\n0\n10\n100\n20\n100\n10\n0\n20\n100\n";
        let hole = format!("0\nCIRCLE\n8\n{holes}\n10\n50\n20\n50\n40\n20\n");
        let head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n";
        format!("{head}0\nSECTION\n2\nENTITIES\n{square}{hole}0\nENDSEC\n0\nEOF\n")
    };
    for layer in ["0", "CUT", "HOLES", "SCREWS", "DRILL", "cutouts"] {
        let read = read_dxf("plate.dxf", &plate(layer), Unit::Stated).unwrap();
        assert_eq!(read.parts[0].holes.len(), 1, "{layer}");
    }
}

#[test]
fn a_legend_is_not_on_a_layer_that_is_cut() {
    let kick = include_str!("../../demo-data/kick-panels.toml");
    let plan = planned(kick, SHOP, 0).unwrap();
    let drawn = plan.drawings.iter().find(|d| d.kind == "blank").unwrap();
    let lines: Vec<&str> = drawn.dxf.lines().map(str::trim).collect();
    let mut kinds = vec![];
    for (i, pair) in lines.windows(2).enumerate() {
        if pair == ["8", "CUT"] {
            let kind = (0..i).rev().find(|&j| lines[j] == "0").unwrap();
            kinds.push(lines[kind + 1]);
        }
    }
    // The outside and the speaker's opening, and nothing else.
    assert_eq!(kinds.len(), 2, "{kinds:?}");
    assert!(!kinds.contains(&"LINE"));
}

#[test]
fn a_speaker_in_a_panel_makes_it_sag_shake_and_pull_at_its_screws() {
    let kick = include_str!("../../demo-data/kick-panels.toml");
    let with = kick.replacen(
        "finish = \"textured\"",
        "carried_mass = \"900 g\"\nfinish = \"textured\"",
        1,
    );
    let (bare, loaded) = (
        planned(kick, SHOP, 0).unwrap(),
        planned(&with, SHOP, 0).unwrap(),
    );
    let mut changed = 0;
    for (a, b) in bare.parts[0].checks.iter().zip(&loaded.parts[0].checks) {
        assert_eq!(a.name, b.name);
        if (a.figure - b.figure).abs() > 1e-12 {
            changed += 1;
            assert!(b.figure > a.figure, "{}", b.name);
        }
    }
    assert!(changed >= 3, "{changed}");
}

#[test]
fn a_strap_says_which_end_is_the_front() {
    let plan = planned(PODS, SHOP, 0).unwrap();
    for (part, file, front_is_right) in [(0, "blank-left", true), (1, "blank-right", false)] {
        let hand = plan.parts[part].hand.clone();
        let text = svg(&plan, file);
        let x = |word: &str| {
            let before = text.split(&format!(">{word}</text>")).next().unwrap();
            let from = before.rfind("<text x=\"").unwrap() + 9;
            let rest = &before[from..];
            rest[..rest.find('"').unwrap()].parse::<f64>().unwrap()
        };
        assert_eq!(x("FRONT") > x("REAR"), front_is_right, "{hand}");
    }
}

#[test]
fn a_bench_card_says_how_folds_and_recesses_are_made() {
    let plan = planned(DASH, SHOP, 0).unwrap();
    let [_, fold, grille] = plan.parts.as_slice() else {
        panic!()
    };
    // Flanges of 40, 120 and 40 mm outside, R 6 t 3: the middle of each bend lies 60 - 9 + 11.54/2 = 56.8 mm off the middle.
    let folds: Vec<&String> = fold
        .bench
        .iter()
        .filter(|l| l.starts_with("fold "))
        .collect();
    assert_eq!(folds.len(), 2);
    assert!(
        folds
            .iter()
            .all(|l| l.contains("56.8 mm") && l.contains("90°") && l.contains("press to "))
    );
    assert!(fold.bench.last().unwrap().contains("trial fit"));
    // An opening of 150 mm and 0.8 mm of wrap each side; 9 mm of lap round the finished opening.
    let all = grille.bench.join("\n");
    assert!(
        all.contains("opening Ø 151.6 mm at the centre mark"),
        "{all}"
    );
    assert!(
        all.contains("recess in the back Ø 168.0 mm, 4.8 mm deep"),
        "{all}"
    );
    // At most 3 mm a pass by hand: 4.8 mm are two.
    let cut = grille.cut.join("\n");
    assert!(cut.contains("2 passes, each 2.4 mm deeper"), "{cut}");
    assert!(cut.contains("start hole"), "{cut}");
    // The recess is cut while the router can stand on the sheet in the opening.
    assert!(cut.find("recess").unwrap() < cut.find("start hole").unwrap());
    // Cut back by the wrap it is 194.4 mm wide, the recess 168 mm: 13.2 mm of sheet are left for the clips.
    assert!(all.contains("4 clips") && all.contains("13.2 mm"), "{all}");
    assert!(svg(&plan, "blank-door-grille.svg").contains("4 clips"));
    let joint = grille.joint.as_ref().unwrap();
    // Mesh and film lie under the ring: its edge meets bare plastic, 167 mm across and 3 mm high.
    let edge_m2 = std::f64::consts::PI * 0.167 * 0.003;
    assert!((joint.area_m2 - edge_m2).abs() < 1e-3 * edge_m2);
    assert!(
        all.contains("glue") && all.contains("3.0 mm of bare wall"),
        "{all}"
    );
    assert!(!svg(&plan, "blank-door-grille.svg").contains("spots of"));
}

/// A frustum of 96 and 88 mm, 10 mm deep, in sheet of 3 mm: the sheet lies on both sides of the plug in the frame.
#[test]
fn a_pod_names_its_plug_and_its_frame() {
    let plan = planned(DASH, SHOP, 0).unwrap();
    let cut = plan.parts[0].cut.join("\n");
    for words in [
        "Ø 96.0 mm at its rim",
        "88.0 mm at its crown",
        "10.0 mm high",
        "opening Ø 102.0 mm",
    ] {
        assert!(cut.contains(words), "{words}: {cut}");
    }
    // 76 mm of body less 3 mm of lap all round; foam of 6 mm is π · 82 mm long at its middle.
    let bench = plan.parts[0].bench.join("\n");
    for words in ["trim the flange", "Ø 70.0 mm in its middle", "258 x 9.0 mm"] {
        assert!(bench.contains(words), "{words}: {bench}");
    }
    let drawn = svg(&plan, "blank-left-dash-pod.svg");
    assert!(drawn.contains("only after forming") && !drawn.contains("ot cut through"));
    let strokes = &plan.parts[0].recipe.as_ref().unwrap().strokes;
    assert!(
        strokes
            .iter()
            .any(|line| line.contains("turn the whole frame"))
    );
    assert!(
        strokes
            .iter()
            .any(|line| line.contains("blisters: 3.0 h at"))
    );
}

/// A wrap is turned onto the strap's bare back before the foam is glued between its edges: film, foam and film fit beside each other.
#[test]
fn a_strap_is_wrapped_before_its_foam_is_glued_between_the_turned_edges() {
    let plan = planned(PODS, SHOP, 0).unwrap();
    let task = |end: &str| {
        let id = format!("left pod / {end}");
        plan.tasks.iter().find(|t| t.id == id).unwrap()
    };
    let (wrapped, glued) = (task("trim, look over"), task("glue"));
    assert!(glued.after.contains(&wrapped.id), "{:?}", glued.after);
    // Tabs of 24 mm: 6 mm from each side leave half of the back bare. The middle, 52 mm less 0.8 mm of film on each
    // edge and what is turned in, is 38.4 mm.
    let part = &plan.parts[0];
    let told = |lines: &[String], words: &str| lines.iter().any(|l| l.contains(words));
    assert!(told(&part.bench, "turn 6.0 mm"), "{:?}", part.bench);
    assert!(told(&part.at_hand, "6 mm to turn round each edge"));
    assert!(
        told(&part.at_hand, "x 38 mm (left pod foam)"),
        "{:?}",
        part.at_hand
    );
}
