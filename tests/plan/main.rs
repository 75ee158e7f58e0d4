//! The whole job, end to end.
use mountwright::error::Unwatched;
use mountwright::job::JobFile;
use mountwright::plan::{Options, Plan, names, plan};
use mountwright::shop::ShopFile;

fn demo(job: &str, draws: usize) -> mountwright::Result<Plan> {
    let names = names()?;
    let job = JobFile::parse("job.toml", job, &names)?;
    let shop = ShopFile::parse(
        "shop.toml",
        include_str!("../../demo-data/shop.toml"),
        &names,
    )?;
    plan(&job, &shop, Options { draws, seed: 1 }, &Unwatched)
}

#[test]
fn pods() {
    for (n, t) in [
        ("pods", include_str!("../../demo-data/pillar-pods.toml")),
        ("rings", include_str!("../../demo-data/door-rings.toml")),
    ] {
        match demo(t, 64) {
            Ok(p) => std::fs::write(
                format!("/tmp/{n}.json"),
                serde_json::to_string_pretty(&p).unwrap(),
            )
            .unwrap(),
            Err(e) => panic!("{e}"),
        }
    }
}
