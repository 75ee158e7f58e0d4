//! Batches, templates, visits, quotes and alternatives of whole plans.

use mountwright::error::Unwatched;
use mountwright::job::JobFile;
use mountwright::plan::{Options, Plan, Way, compare, names};
use mountwright::shop::ShopFile;

use super::{PODS, RINGS, SHOP, planned};

const KICK: &str = include_str!("../../demo-data/kick-panels.toml");

/// The text with lines added to its head, before the first table.
fn headed(text: &str, lines: &str) -> String {
    let at = text.find("\n[[").unwrap();
    format!("{}\n{lines}{}", &text[..at], &text[at..])
}

/// The text with a line added after each of those that start so.
fn after(text: &str, start: &str, line: &str) -> String {
    let lines = text.lines().map(|l| {
        if l.starts_with(start) {
            format!("{l}\n{line}")
        } else {
            l.to_string()
        }
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// Minor units of an amount such as `1234.56`.
fn minor(amount: &str) -> i64 {
    let digits: String = amount.chars().filter(|c| *c != '.').collect();
    digits.parse().unwrap()
}

fn net(plan: &Plan) -> i64 {
    minor(&plan.price.as_ref().unwrap().net)
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
fn a_template_on_the_shelf_makes_set_up_nothing_and_a_lost_one_costs_what_the_quote_said() {
    let made = planned(PODS, SHOP, 0).unwrap();
    let shelf = planned(&after(PODS, "finish =", "template = \"on-shelf\""), SHOP, 0).unwrap();
    let lost = planned(&after(PODS, "finish =", "template = \"lost\""), SHOP, 0).unwrap();
    assert!(line(&made, "template") > 0.0);
    assert!(line(&shelf, "template").abs() < 1e-12);
    assert!(!shelf.tasks.iter().any(|t| t.id.contains("template")));
    assert!(net(&shelf) < net(&made));
    assert_eq!(net(&lost), net(&made));
    // The rise that is announced is made of mean times, the plan without draws of the likeliest: they are of one order.
    let rise = shelf.price.as_ref().unwrap().if_template_lost.as_ref();
    let rise = minor(rise.unwrap()) as f64 / (net(&made) - net(&shelf)) as f64;
    assert!((0.9..1.6).contains(&rise), "{rise}");
    let quote = |plan: &Plan| plan.quote.as_ref().unwrap().assumptions.join("; ");
    assert!(quote(&shelf).contains("the net price rises by"));
    assert!(quote(&lost).contains("left pod, right pod is lost and made again"));
}

#[test]
fn a_batch_pays_set_up_once_and_never_costs_less_in_all() {
    for (job, first) in [(PODS, "left pod"), (RINGS, "kick panel")] {
        let plans: Vec<Plan> = (1..=4)
            .map(|sets| planned(&headed(job, &format!("sets = {sets}\n")), SHOP, 0).unwrap())
            .collect();
        for pair in plans.windows(2) {
            assert!(net(&pair[1]) >= net(&pair[0]));
        }
        for (sets, plan) in (1..).zip(&plans) {
            // The template is made once, the cut for each.
            assert!((line(plan, "template") - line(&plans[0], "template")).abs() < 1e-9);
            assert_eq!(plan.parts[0].quantity, plans[0].parts[0].quantity * sets);
            assert!(net(plan) <= net(&plans[0]) * i64::from(sets));
            let fitting = |p: &Plan| line(p, "fitting") / f64::from(sets);
            assert!(fitting(plan) <= line(&plans[0], "fitting") + 1e-9);
        }
        let of = |p: &Plan| {
            let task = p.tasks.iter().find(|t| t.id == format!("{first} / cut"));
            task.unwrap().attended_s.nominal.unwrap()
        };
        // Hands get quicker: less than four times the first.
        assert!(of(&plans[3]) < 4.0 * of(&plans[0]) && of(&plans[3]) > 2.0 * of(&plans[0]));
    }
}

#[test]
fn spares_clips_delivery_and_discount_are_lines() {
    let plain = planned(RINGS, SHOP, 0).unwrap();
    let spare = planned(&headed(RINGS, "spare_blanks = 1\n"), SHOP, 0).unwrap();
    let cut = "kick panel / cut a spare for next time";
    assert!(spare.tasks.iter().any(|t| t.id == cut));
    assert!(net(&spare) > net(&plain));

    let clips = planned(&after(RINGS, "driver_view =", "trim_clips = 10"), SHOP, 0).unwrap();
    // Three places of ten clips, one in ten breaks, at the price of a screw.
    let name = "trim clips that break";
    assert!((line(&clips, name) - 3.0 * 10.0 * 0.1 * 0.15).abs() < 1e-9);
    let exclusions = |plan: &Plan| plan.quote.as_ref().unwrap().exclusions.join("; ");
    assert!(exclusions(&plain).contains("clips") && !exclusions(&clips).contains("clips"));

    let bought = |plan: &Plan| plan.layouts.iter().any(|l| !l.layout.buy.is_empty());
    let shop = SHOP.replace("minimum = 90.0", "delivery = 12.0\nminimum = 90.0");
    let none_left = shop.replace("on_hand = 1", "on_hand = 0");
    let many = headed(RINGS, "sets = 8\n");
    let delivered = planned(&many, &none_left, 0).unwrap();
    assert!(bought(&delivered) && (line(&delivered, "delivery of sheet") - 12.0).abs() < 1e-12);
    if !bought(&plain) {
        let from_rack = planned(RINGS, &shop, 0).unwrap();
        assert!(line(&from_rack, "delivery of sheet").abs() < 1e-12);
    }

    let quote = "[quote]\ndiscount = \"10 %\"\ndeposit = \"30 %\"\n";
    let less = planned(&headed(RINGS, quote), SHOP, 0).unwrap();
    // Nine tenths, each rounded to the minor unit once.
    assert!((net(&less) as f64 - 0.9 * net(&plain) as f64).abs() <= 1.0);
    let deposit = less.quote.as_ref().unwrap().deposit.as_ref().unwrap();
    let gross = minor(&less.quote.as_ref().unwrap().gross) as f64;
    assert!((minor(deposit) as f64 - 0.3 * gross).abs() <= 0.5 + 1e-9);
}

#[test]
fn lines_of_sheet_add_up_to_the_layouts_money() {
    for job in [PODS, RINGS] {
        let plan = planned(job, SHOP, 0).unwrap();
        let lines = &plan.estimate.as_ref().unwrap().lines;
        let of_sheet = lines
            .iter()
            .filter(|l| l.group == "material")
            .map(|l| l.cost);
        let money = plan.layouts.iter().map(|l| &l.layout.money);
        let net: f64 = money.map(|m| m.bought + m.shelf_taken - m.kept).sum();
        assert!((of_sheet.sum::<f64>() - net).abs() < 1e-9);
    }
}

#[test]
fn the_vehicle_comes_in_twice() {
    let once = planned(PODS, SHOP, 32).unwrap();
    let visits = &once.promise.as_ref().unwrap().visits;
    assert_eq!(visits.len(), 1);
    assert_eq!(visits[0].from, "2026-12-01 08:30");

    let job = headed(PODS, "vehicle_back = \"2026-12-04 13:00\"\n");
    let twice = planned(&job, SHOP, 32).unwrap();
    let promise = twice.promise.as_ref().unwrap();
    assert_eq!(promise.visits.len(), 2);
    assert_eq!(promise.visits[0].from, "2026-12-01 08:30");
    // Two places are measured within the first morning.
    assert!(promise.visits[0].to.as_str() < "2026-12-01 10:00");
    assert_eq!(promise.visits[1].from, "2026-12-04 13:00");
    assert!(promise.ready_to_fit_share.unwrap() > 0.9);
    for entry in &twice.schedule.as_ref().unwrap().entries {
        if entry.task.ends_with("fit to the vehicle") {
            assert!(entry.start.as_str() >= "2026-12-04 13:00");
        }
    }
    // Too early: the plan says so.
    let soon = planned(
        &headed(PODS, "vehicle_back = \"2026-12-01 10:00\"\n"),
        SHOP,
        32,
    )
    .unwrap();
    assert!(soon.promise.as_ref().unwrap().ready_to_fit_share.unwrap() < 0.5);
    assert!(
        soon.notes
            .iter()
            .any(|n| n.text.contains("ask for it later"))
    );
}

#[test]
fn the_demo_batch_is_quoted_to_the_end() {
    let plan = planned(KICK, SHOP, 32).unwrap();
    assert!(plan.parts.iter().all(|part| part.quantity == 3));
    let quote = plan.quote.as_ref().unwrap();
    assert_eq!((quote.sets, quote.breaks.len()), (3, 3));
    assert_eq!(quote.breaks[1].net, quote.net);
    // Whoever takes one of the others up is asked the same.
    for one in &quote.breaks {
        let text = KICK.replace("\nsets = 3", &format!("\nsets = {}", one.sets));
        let taken_up = planned(&text, SHOP, 32).unwrap().quote.unwrap();
        assert_eq!((taken_up.sets, &taken_up.net), (one.sets, &one.net));
    }
    assert_eq!(plan.promise.as_ref().unwrap().visits.len(), 2);
    // Six blanks and a spare of each.
    let placed = plan.layouts.iter().flat_map(|l| &l.layout.sheets_used);
    assert_eq!(placed.map(|sheet| sheet.placements.len()).sum::<usize>(), 8);
}

#[test]
fn a_quote_adds_up_and_shows_nothing_of_the_shop() {
    let quote = "[quote]\nnumber = \"41\"\nbinding = \"estimate\"\nvalid_days = 14\ndate = \"2026-11-25\"\nbreaks = [1, 2, 5]\n";
    let plan = planned(&headed(PODS, quote), SHOP, 64).unwrap();
    let quote = plan.quote.as_ref().unwrap();
    let lines: i64 = quote.lines.iter().map(|l| minor(&l.net)).sum();
    assert_eq!(lines, minor(&quote.net));
    assert_eq!(minor(&quote.net) + minor(&quote.tax), minor(&quote.gross));
    assert_eq!(quote.valid_until, "2026-12-09");
    let (low, high) = quote.range.as_ref().unwrap();
    assert!(minor(low) <= minor(&quote.gross) && minor(&quote.gross) <= minor(high));
    assert_eq!(quote.ready_by, plan.promise.as_ref().unwrap().p90);
    // One set costs what the plan says, more cost more in all and less each.
    let totals: Vec<i64> = quote.breaks.iter().map(|b| minor(&b.net)).collect();
    let each: Vec<i64> = quote.breaks.iter().map(|b| minor(&b.each_net)).collect();
    assert_eq!(totals[0], net(&plan));
    assert!(totals.is_sorted() && each.is_sorted_by(|a, b| a >= b));
    let shown = serde_json::to_string(quote).unwrap().to_lowercase();
    for hidden in [
        "margin", "markup", "overhead", "rework", "rate\"", "loss", "p10", "per hour",
    ] {
        assert!(!shown.contains(hidden), "{hidden}");
    }
}

#[test]
fn a_price_covers_the_cost_with_the_chance_that_was_chosen() {
    let mean = planned(PODS, SHOP, 200).unwrap();
    let covering = &mean.price.as_ref().unwrap().covering;
    assert!(covering.is_sorted_by_key(|c| minor(&c.net)));
    let band = mean.estimate.as_ref().unwrap().cost;
    // Without fees the price that covers nine of ten draws is a draw next to the P90 of the cost, which lies between two.
    let apart = minor(&covering[2].net) as f64 / 100.0 - band.p90.unwrap();
    assert!(apart.abs() <= 2.0 * band.error.unwrap());
    assert!(band.error.unwrap() > 0.0);

    let shop = SHOP
        .replace("margin = \"40 %\"", "markup = \"0 %\"\ncover = \"80 %\"")
        .replace("minimum = 90.0\n", "");
    let sure = planned(PODS, &shop, 200).unwrap();
    assert_eq!(sure.price.as_ref().unwrap().net, covering[1].net);
    // One draw in five costs more.
    let loss = sure.price.as_ref().unwrap().chance_of_loss.unwrap();
    assert!((loss - 0.2).abs() <= 0.01, "{loss}");
}

#[test]
fn the_shop_chooses_its_overhead_learning_and_rounding() {
    let plain = planned(RINGS, SHOP, 0).unwrap();
    let shop = SHOP.replace(
        "overhead_per_hour = 16.0",
        "overhead_per_hour = 0\noverhead_on_labour = \"50 %\"\nlearning_model = \"cumulative-average\"",
    );
    let other = planned(RINGS, &shop, 0).unwrap();
    let labour: f64 = {
        let lines = &other.estimate.as_ref().unwrap().lines;
        lines
            .iter()
            .filter(|l| l.group == "labour")
            .map(|l| l.cost)
            .sum()
    };
    assert!((line(&other, "overhead") - labour / 2.0).abs() < 1e-9);
    // With one slope the cumulative-average model is the quicker one.
    assert!(line(&other, "fitting") < line(&plain, "fitting"));
    let shop = SHOP.replace(
        "tax = \"20 %\"",
        "tax = \"20 %\"\ntax_exempt = [\"labour\"]\ntax_by = \"line\"",
    );
    let exempt = planned(RINGS, &shop, 0).unwrap();
    let tax = |p: &Plan| minor(&p.price.as_ref().unwrap().tax);
    assert!(tax(&exempt) < tax(&plain) / 2);
    assert!(
        exempt
            .quote
            .unwrap()
            .words
            .contains("none on work; rounded half up on each line")
    );
}

#[test]
fn what_the_cost_comes_from_is_a_share_of_its_variance() {
    let plan = planned(PODS, SHOP, 256).unwrap();
    let sum: f64 = plan.causes.iter().map(|c| c.share_of_cost_spread).sum();
    assert!(sum > 0.5 && sum <= 1.05, "{sum}");
    assert!(
        plan.causes
            .iter()
            .any(|c| c.input == "pace of the fabricator")
    );
    assert!(
        plan.causes
            .iter()
            .all(|c| (0.0..=1.0).contains(&c.share_of_time_spread))
    );
}

#[test]
fn alternatives_stand_beside_the_job_as_it_is() {
    let names = names().unwrap();
    let job = JobFile::parse("job.toml", RINGS, &names).unwrap();
    let shop = ShopFile::parse("shop.toml", SHOP, &names).unwrap();
    let way = |text: &str| -> Way { serde_json::from_str(text).unwrap() };
    let ways = [
        (
            "HDPE".to_string(),
            way(r#"{"part": "front door ring", "material": "hdpe"}"#),
        ),
        ("bare".to_string(), way(r#"{"finish": "bare"}"#)),
        (
            "no such sheet".to_string(),
            way(r#"{"thickness": "1.5 mm"}"#),
        ),
    ];
    let options = Options { draws: 0, seed: 1 };
    let found = compare(&job, &shop, &ways, options, &Unwatched).unwrap();
    let plain = planned(RINGS, SHOP, 0).unwrap();
    assert_eq!(
        found.ways[0].gross.as_ref(),
        plain.price.as_ref().map(|p| &p.gross)
    );
    let more: Vec<Option<i64>> = found
        .ways
        .iter()
        .map(|w| w.more_gross.as_deref().map(minor))
        .collect();
    assert!(more.contains(&Some(0)));
    // No finish costs less than painting.
    assert!(more[2].unwrap() < more[0].unwrap());
    assert!(found.ways[3].problem.as_ref().unwrap().contains("1.5 mm"));
    assert!(found.ways[3].gross.is_none());

    let none = [(
        "same".to_string(),
        way(r#"{"part": "kick panel", "material": "abs"}"#),
    )];
    let same = compare(&job, &shop, &none, options, &Unwatched).unwrap_err();
    assert!(same.to_string().contains("no change"), "{same}");
    let unknown = [(
        "who".to_string(),
        way(r#"{"part": "kick panle", "material": "abs"}"#),
    )];
    let unknown = compare(&job, &shop, &unknown, options, &Unwatched).unwrap_err();
    assert!(unknown.to_string().contains("kick panel"), "{unknown}");
}

#[test]
fn words_and_rates_that_cannot_be_are_named_with_their_line() {
    let bad_shop = |from: &str, to: &str| planned(RINGS, &SHOP.replace(from, to), 0);
    let bad_job = |line: &str| planned(&headed(RINGS, line), SHOP, 0);
    for (found, wanted) in vec![
        (
            bad_shop("margin = \"40 %\"", "margin = \"100 %\""),
            "rates.margin",
        ),
        (
            bad_shop("labour_per_hour = 34.0", "labour_per_hour = -1"),
            "rates.labour_per_hour",
        ),
        (
            bad_shop("minimum = 90.0", "overhead_on_labour = \"20 %\""),
            "rates.overhead_on_labour",
        ),
        (
            bad_shop("minimum = 90.0", "cover = \"100 %\""),
            "rates.cover",
        ),
        (bad_shop("minimum = 90.0", "rounding = \"up\""), "half-up"),
        (
            bad_shop("currency = \"XTS\"", "currency = \"coins\""),
            "currency",
        ),
        (bad_job("sets = 0\n"), "sets"),
        (bad_job("spare_blanks = -1\n"), "spare_blanks"),
        (
            bad_job("vehicle_back = \"2026-12-01 08:00\"\n"),
            "before work starts",
        ),
        (bad_job("vehicle_back = \"soon\"\n"), "vehicle_back"),
        (bad_job("[quote]\ndate = \"soon\"\n"), "quote.date"),
        (bad_job("[quote]\nbreaks = [0]\n"), "quote.breaks[0]"),
        (bad_job("[quote]\ndeposit = \"110 %\"\n"), "quote.deposit"),
        (bad_job("[quote]\nbinding = \"maybe\"\n"), "fixed"),
    ] {
        let error = found.unwrap_err().to_string();
        assert!(error.contains(wanted), "{wanted}: {error}");
    }
}
