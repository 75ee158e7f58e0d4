//! The whole job, end to end, on the demo data.

use mountwright::error::Unwatched;
use mountwright::job::JobFile;
use mountwright::plan::{Options, Plan, names, plan};
use mountwright::shop::ShopFile;

const PODS: &str = include_str!("../../demo-data/pillar-pods.toml");
const RINGS: &str = include_str!("../../demo-data/door-rings.toml");
const SHOP: &str = include_str!("../../demo-data/shop.toml");

fn planned(job: &str, shop: &str, draws: usize) -> mountwright::Result<Plan> {
    let names = names()?;
    let job = JobFile::parse("job.toml", job, &names)?;
    let shop = ShopFile::parse("shop.toml", shop, &names)?;
    plan(&job, &shop, Options { draws, seed: 1 }, &Unwatched)
}

#[test]
fn both_demo_jobs_are_planned_to_the_end() {
    for (job, parts) in [(PODS, 2), (RINGS, 2)] {
        let plan = planned(job, SHOP, 32).unwrap();
        assert_eq!(plan.parts.len(), parts);
        assert!(plan.price.is_some() && plan.promise.is_some() && plan.schedule.is_some());
        assert!(plan.parts.iter().all(|p| !p.checks.is_empty()));
        assert!(plan.layouts.iter().all(|l| l.layout.unplaced.is_empty()));
    }
}

#[test]
fn a_seed_repeats_to_the_last_digit() {
    let text = |seed| {
        let names = names().unwrap();
        let job = JobFile::parse("job.toml", PODS, &names).unwrap();
        let shop = ShopFile::parse("shop.toml", SHOP, &names).unwrap();
        let done = plan(&job, &shop, Options { draws: 24, seed }, &Unwatched).unwrap();
        serde_json::to_string(&done).unwrap()
    };
    assert_eq!(text(7), text(7));
    assert_ne!(text(7), text(8));
}
