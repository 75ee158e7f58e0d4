//! How long the plan of the demo jobs takes inside the process (target: 256 draws under 0.3 s), and one nominal recipe (under 0.1 ms).

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use mountwright::error::Unwatched;
use mountwright::heat::{Ask, Back, HotAirGun, Limits, Sheet, recipe};
use mountwright::job::JobFile;
use mountwright::material::Catalogue;
use mountwright::plan::{Options, names, plan};
use mountwright::shop::ShopFile;

#[allow(clippy::unwrap_used)] // a bench that cannot read its own demo data has nothing to measure
fn bench(c: &mut Criterion) {
    let mut group = c.benchmark_group("plan");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(8));
    let names = names().unwrap();
    let shop = ShopFile::parse("shop", include_str!("../../demo-data/shop.toml"), &names).unwrap();
    for (title, text) in [
        (
            "pillar pods",
            include_str!("../../demo-data/pillar-pods.toml"),
        ),
        (
            "door rings",
            include_str!("../../demo-data/door-rings.toml"),
        ),
    ] {
        let job = JobFile::parse("job", text, &names).unwrap();
        for draws in [0, 256] {
            group.bench_function(format!("{title}, {draws} draws"), |b| {
                let options = Options { draws, seed: 1 };
                b.iter(|| plan(black_box(&job), black_box(&shop), options, &Unwatched).unwrap());
            });
        }
    }
    group.finish();

    let abs = Catalogue::standard()
        .unwrap()
        .get("abs")
        .unwrap()
        .properties();
    let gun = HotAirGun::two_setting("II")
        .unwrap()
        .at(0.1, (0.04, 0.2))
        .unwrap();
    let sheet = Sheet::of(&abs, 3e-3).unwrap();
    let limits = Limits::of(&abs).unwrap();
    let ask = Ask::new(sheet, limits, gun, 293.15, Back::Turned { every_s: 8.0 });
    c.bench_function(
        "recipe, ABS 3 mm, turned every 8 s, window, working time and hold",
        |b| {
            b.iter(|| recipe(black_box(&ask)).unwrap());
        },
    );
}

criterion_group!(benches, bench);
criterion_main!(benches);
