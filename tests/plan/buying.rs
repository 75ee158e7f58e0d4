//! What is bought, who brings it, and what of the rack is used: by the keys of the shop's file.

use super::*;

/// The demo shop without the sheets and offcuts that the rack has, and with a merchant for foam board.
fn bare(more: &str) -> String {
    let head = SHOP.split("[[sheets]]").next().unwrap();
    let tail = &SHOP[SHOP.find("[cutting]").unwrap()..];
    format!("{head}{more}\n{tail}")
}

/// A sheet of foam board of 3 mm, and one of 13 mm, as a merchant has them.
fn boards(days: u32) -> String {
    let sheet = |mm: u32, price: f64| {
        format!(
            "[[sheets]]\nname = \"board {mm} mm\"\nmaterial = \"expanded-pvc\"\nthickness = \"{mm} mm\"\nwidth = \"1220 mm\"\nheight = \"2440 mm\"\nprice = {price:.1}\nmerchant = \"the sheet yard\"\ndays_to_arrive = {days}\n"
        )
    };
    let abs = "[[sheets]]\nname = \"ABS 3 mm\"\nmaterial = \"abs\"\nthickness = \"3 mm\"\nwidth = \"1000 mm\"\nheight = \"2000 mm\"\nprice = 58.0\nmerchant = \"the sheet yard\"\n";
    format!(
        "{}{}{abs}days_to_arrive = {days}\n",
        sheet(3, 42.0),
        sheet(13, 138.0)
    )
}

fn line(plan: &Plan, name: &str) -> f64 {
    let lines = &plan.estimate.as_ref().unwrap().lines;
    lines
        .iter()
        .filter(|l| l.name == name)
        .map(|l| l.cost)
        .sum()
}

#[test]
fn one_delivery_brings_the_sheets_of_all_layouts() {
    let plan = planned(RINGS, &bare(&boards(2)), 0).unwrap();
    let bought: Vec<_> = plan.layouts.iter().flat_map(|l| &l.layout.buy).collect();
    assert!(bought.len() >= 2, "{bought:?}");
    assert!(bought.iter().all(|b| b.merchant == "the sheet yard"));
    let [brought] = plan.deliveries.as_slice() else {
        panic!("{:?}", plan.deliveries);
    };
    // The merchant's own words: 12.00 a delivery.
    assert!((brought.price - 12.0).abs() < 1e-12);
    let once = line(&plan, "delivery of sheet, the sheet yard");
    assert!((once - brought.total()).abs() < 1e-9, "{once}");
    // Only the first of the layouts pays for it.
    let freight: f64 = plan.layouts.iter().map(|l| l.layout.money.freight).sum();
    assert!((freight - 12.0).abs() < 1e-9);
    // A cut piece is cheaper than the sheet that it is cut from, and than half of it.
    assert!(
        bought
            .iter()
            .all(|b| b.name.contains("cut to size") || b.name.starts_with("half"))
    );
}

#[test]
fn long_and_heavy_sheets_cost_more_to_bring() {
    let whole = SHOP
        .replace("half_fee = 3.0", "")
        .replace("to_size_fee = 6.0", "");
    let head = whole.split("[[sheets]]").next().unwrap();
    let tail = &whole[whole.find("[cutting]").unwrap()..];
    let light = planned(RINGS, &format!("{head}{}\n{tail}", boards(2)), 0).unwrap();
    let [brought] = light.deliveries.as_slice() else {
        panic!("{:?}", light.deliveries);
    };
    // 2440 mm is longer than the 2 m of the file. Foam board of 13 mm: 2.98 m2 of some 0.5 to 0.8 g/cm3, and the ABS
    // sheet of 3 mm 6 kg, weigh from 25 to 45 kg: the fee goes by the 30 kg of the file.
    assert!((brought.oversize_fee - 9.0).abs() < 1e-12);
    assert!(
        brought.mass_kg > 20.0 && brought.mass_kg < 50.0,
        "{}",
        brought.mass_kg
    );
    let heavy = if brought.mass_kg > 30.0 { 15.0 } else { 0.0 };
    assert!((brought.overweight_fee - heavy).abs() < 1e-12);
    let visit = light.layouts[0].second_visit.as_ref().unwrap();
    assert!(visit.brought >= 12.0 && visit.price > 0.0 && visit.wasted >= 0.0);
}

/// A sheet in the rack is taken before one that is cheaper but has to be brought.
#[test]
fn the_rack_is_used_before_a_delivery() {
    let rack = boards(2).replacen("days_to_arrive = 2", "days_to_arrive = 2\non_hand = 1", 1);
    let rack = rack.replacen(
        "price = 138.0\nmerchant = \"the sheet yard\"\ndays_to_arrive = 2",
        "price = 138.0\nmerchant = \"the sheet yard\"\ndays_to_arrive = 2\non_hand = 1",
        1,
    );
    let rack = rack.replacen("price = 58.0", "price = 58.0\non_hand = 1", 1);
    // Two days of waiting cost more than what a piece cut to size saves.
    let shop = bare(&rack).replace("minimum = 90.0", "waiting_per_day = 40.0\nminimum = 90.0");
    let plan = planned(RINGS, &shop, 0).unwrap();
    assert!(
        plan.layouts.iter().all(|l| l.layout.buy.is_empty()),
        "{:?}",
        plan.layouts[0].layout.buy
    );
    assert!(plan.deliveries.is_empty());
    assert!(line(&plan, "delivery of sheet, the sheet yard").abs() < 1e-12);
}

#[test]
fn odd_offcuts_with_a_hole_are_used_and_drawn() {
    let l = "[[offcuts]]\nname = \"L\"\nmaterial = \"expanded-pvc\"\nthickness = \"13 mm\"\nworth = 0.5\ncorners = [{ x = \"0 mm\", y = \"0 mm\" }, { x = \"900 mm\", y = \"0 mm\" }, { x = \"900 mm\", y = \"300 mm\" }, { x = \"400 mm\", y = \"300 mm\" }, { x = \"400 mm\", y = \"900 mm\" }, { x = \"0 mm\", y = \"900 mm\" }]\nbad_areas = [{ x = \"20 mm\", y = \"20 mm\", width = \"30 mm\", height = \"30 mm\" }]\n";
    let plan = planned(RINGS, &bare(&format!("{}{l}", boards(2))), 0).unwrap();
    let used = plan.layouts.iter().flat_map(|p| &p.layout.sheets_used);
    assert!(used.clone().any(|u| u.stock == "L"));
    for drawing in plan.drawings.iter().filter(|d| d.kind == "layout") {
        assert!(drawing.dxf.contains("LWPOLYLINE") && drawing.svg.contains("</svg>"));
    }
}

/// What is cut from the rack does not wait for what is on order for another part.
#[test]
fn only_what_lies_on_an_ordered_sheet_waits_for_it() {
    let job = include_str!("../../demo-data/dash-pods.toml");
    let plan = planned(job, SHOP, 0).unwrap();
    let layouts = plan.layouts.iter();
    let on_order = layouts.flat_map(|l| {
        let bought = |stock: &String| l.layout.buy.iter().any(|b| b.name == *stock);
        let sheets = l.layout.sheets_used.iter();
        sheets.filter(move |used| bought(&used.stock))
    });
    let waiting: Vec<String> = on_order
        .flat_map(|used| used.placements.iter().map(|p| p.part.clone()))
        .collect();
    let cuts = plan.tasks.iter().filter(|t| t.id.ends_with(" / cut"));
    let mut from_the_rack = 0;
    for cut in cuts {
        let part = cut.part.clone().unwrap();
        let waits = cut.after.iter().any(|id| id.starts_with("delivery: "));
        let lies_there = waiting.iter().any(|blank| blank.starts_with(&part));
        assert_eq!(waits, lies_there, "{part}");
        from_the_rack += usize::from(!waits);
    }
    assert!(from_the_rack > 0 && !waiting.is_empty());
}

/// A merchant's days are those on which the shop is open, and all that he brings is there at once, as the shop opens.
#[test]
fn a_delivery_comes_on_one_open_day() {
    // Ordered on Thursday 24 December; 25 and 26 are closed, 27 is a Sunday: two open days on is Tuesday 29, opening at 08:30.
    let job = RINGS.replace("2026-12-02 08:30", "2026-12-24 08:30");
    let slow = boards(1).replacen(
        "price = 138.0\nmerchant = \"the sheet yard\"\ndays_to_arrive = 1",
        "price = 138.0\nmerchant = \"the sheet yard\"\ndays_to_arrive = 2",
        1,
    );
    let plan = planned(&job, &bare(&slow), 0).unwrap();
    let [delivery] = plan.deliveries.as_slice() else {
        panic!()
    };
    assert_eq!(delivery.arrives, "2026-12-29 08:30");
    let entries = plan.schedule.unwrap().entries;
    let there = entries
        .iter()
        .filter(|e| e.task.starts_with("delivery: "))
        .map(|e| e.done.as_str());
    assert_eq!(there.collect::<Vec<_>>(), ["2026-12-29 08:30"]);
    let mut bought = plan.layouts.iter().flat_map(|l| &l.layout.buy);
    assert!(bought.all(|b| (b.days_to_arrive - 2.0).abs() < 1e-12));
}

/// A sheet that stays in the rack while another is bought is told with what both count.
#[test]
fn a_sheet_left_in_the_rack_is_told() {
    let job = include_str!("../../demo-data/kick-panels.toml");
    let plan = planned(job, SHOP, 0).unwrap();
    let [layout] = plan.layouts.as_slice() else {
        panic!()
    };
    assert!(layout.from_rack.is_empty() && !layout.layout.buy.is_empty());
    let notes = &layout.layout.notes;
    let told = notes.iter().find(|n| n.about == "the rack").unwrap();
    let (name, price) = ("ABS 3 mm, in the rack is left there", "counts 58.00");
    assert!(
        told.text.contains(name) && told.text.contains(price),
        "{}",
        told.text
    );
    // From the rack alone nothing is bought, and nothing is told.
    let rack = planned(RINGS, SHOP, 0).unwrap();
    for layout in rack.layouts.iter().filter(|l| l.layout.buy.is_empty()) {
        assert!(layout.layout.notes.iter().all(|n| n.about != "the rack"));
    }
}

/// An eighth of an inch is cut from an offcut of 3 mm: the card and the sheet say so.
#[test]
fn stock_that_is_not_quite_as_thick_is_told() {
    let told = |job: &str| {
        let plan = planned(job, SHOP, 0).unwrap();
        let notes = plan.layouts.into_iter().flat_map(|l| l.layout.notes);
        let about = notes.filter(|n| n.about == "thickness");
        about.map(|n| n.text).collect::<Vec<_>>()
    };
    assert!(told(PODS).is_empty());
    let eighth = told(&PODS.replace("thickness = \"3 mm", "thickness = \"3.175 mm"));
    assert!(!eighth.is_empty());
    assert!(
        eighth
            .iter()
            .all(|text| text.contains(" is 3.00 mm by its entry"))
    );
}

/// The bench is set up on the day of the first cut, not days before while all sheet is on its way.
#[test]
fn set_up_stands_on_the_day_of_its_work() {
    let jobs = [
        RINGS,
        PODS,
        include_str!("../../demo-data/dash-pods.toml"),
        include_str!("../../demo-data/kick-panels.toml"),
    ];
    for shop in [SHOP.to_string(), bare(&boards(2))] {
        for job in jobs {
            let Ok(plan) = planned(job, &shop, 0) else {
                continue; // the bare shop does not have every sheet
            };
            let entries = plan.schedule.unwrap().entries;
            for set_up in plan.tasks.iter().filter(|t| t.id.starts_with("set up")) {
                let needs = |task: &str| {
                    let mut tasks = plan.tasks.iter().filter(|t| t.id == task);
                    tasks.any(|t| t.after.contains(&set_up.id))
                };
                let of = |e: &&mountwright::plan::EntryPlan| e.task == set_up.id;
                let set_up = entries.iter().find(of).unwrap();
                let work = entries.iter().find(|e| needs(&e.task)).unwrap();
                assert_eq!(set_up.start[..10], work.start[..10], "{}", plan.job.name);
            }
        }
    }
}
