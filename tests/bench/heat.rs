//! How long heat takes: one recipe (target 60 µs; turned 100 µs), one linear recipe by the exact series (5 µs), 100,000 rows of
//! either (2 s and 0.4 s), a working-range map of 200 by 200, a recipe with 256 draws (20 ms).

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use mountwright::error::Unwatched;
use mountwright::heat::map::{distance_time_map, setting_distance_map};
use mountwright::heat::modal::Wall;
use mountwright::heat::{
    Ask, Back, HotAirGun, Limits, Quick, Sheet, Vary, quick, quick_rows, ranges, recipe, recipes,
    usual_spread,
};
use mountwright::material::Catalogue;

/// Rows of a batch that is worked out in one iteration; a hundredth of what the targets speak of.
const ROWS: usize = 1000;
const PATCH_M: (f64, f64) = (0.04, 0.2);

#[allow(clippy::unwrap_used)] // a bench whose input is refused has nothing to measure
fn bench(c: &mut Criterion) {
    let abs = Catalogue::standard()
        .unwrap()
        .get("abs")
        .unwrap()
        .properties();
    let gun = HotAirGun::two_setting("II").unwrap();
    let ask = |back| {
        Ask::new(
            Sheet::of(&abs, 3e-3).unwrap(),
            Limits::of(&abs).unwrap(),
            gun.at(0.1, PATCH_M).unwrap(),
            293.15,
            back,
        )
    };
    let (both, turned) = (ask(Back::SameHeat), ask(Back::Turned { every_s: 8.0 }));
    c.bench_function("recipe, same heat on both faces", |b| {
        b.iter(|| recipe(black_box(&both)).unwrap());
    });
    c.bench_function("recipe, turned every 8 s", |b| {
        b.iter(|| recipe(black_box(&turned)).unwrap());
    });
    let linear = Quick {
        wall: Wall {
            thickness_m: 3e-3,
            conductivity_w_m_k: 0.17,
            capacity_j_m3_k: 1.9e6,
            start_k: 293.15,
        },
        heat: [(50.0, 450.0); 2],
        cool: [(12.0, 293.15); 2],
        need_k: 380.0,
        upper_k: 430.0,
        set_k: 350.0,
        stop_s: None,
    };
    c.bench_function("linear recipe by the exact series", |b| {
        b.iter(|| quick(black_box(&linear)).unwrap());
    });
    let mut group = c.benchmark_group("many");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(5));
    let thickness: Vec<f64> = (0..ROWS).map(|i| 2e-3 + 2e-6 * i as f64).collect();
    group.bench_function("1000 rows of recipes", |b| {
        b.iter(|| {
            recipes(
                black_box(&both),
                &[(Vary::Thickness, &thickness)],
                &Unwatched,
            )
            .unwrap()
        });
    });
    let rows: Vec<Quick> = thickness
        .iter()
        .map(|&thickness_m| Quick {
            wall: Wall {
                thickness_m,
                ..linear.wall
            },
            ..linear
        })
        .collect();
    group.bench_function("1000 rows of linear recipes", |b| {
        b.iter(|| quick_rows(black_box(&rows), &Unwatched).unwrap());
    });
    let spread = usual_spread(&turned);
    group.bench_function("recipe with 256 draws and its causes", |b| {
        b.iter(|| ranges(black_box(&turned), &spread, 256, 1).unwrap());
    });
    let over = |low: f64, high: f64| -> Vec<f64> {
        (0..200)
            .map(|i| low + (high - low) * f64::from(i) / 199.0)
            .collect()
    };
    let (distances, times, settings) = (over(0.05, 0.3), over(0.0, 200.0), over(523.15, 873.15));
    group.bench_function("map of distance and time, 200 by 200", |b| {
        b.iter(|| {
            distance_time_map(
                black_box(&both),
                &gun,
                PATCH_M,
                &distances,
                &times,
                &Unwatched,
            )
            .unwrap()
        });
    });
    group.bench_function("map of setting and distance, 200 by 200", |b| {
        b.iter(|| {
            setting_distance_map(
                black_box(&both),
                &gun,
                PATCH_M,
                &settings,
                &distances,
                &Unwatched,
            )
            .unwrap()
        });
    });
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
