//! Sampled estimates and plans of work. `tests/bench/estimate.py` runs the same sampling beside a vectorised one.

#![allow(clippy::unwrap_used)] // a bench that fails has nothing to measure

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use jiff::civil::date;
use mountwright::bond::Cure;
use mountwright::climate::Climate;
use mountwright::cost::{Earning, Sampler, Terms, UncertainLine};
use mountwright::error::Unwatched;
use mountwright::money::Currency;
use mountwright::promise::{Bench, Calendar, Times, Window, order, replay};
use mountwright::spread::Law;
use mountwright::task::{Kind, Task, Unattended};

/// Thirty lines: ten triangular, ten PERT, five log-normal, five fixed; two shared causes.
fn thirty_lines() -> Sampler {
    let lines: Vec<UncertainLine> = (0..30_u32)
        .map(|i| {
            let x = 10.0 + f64::from(i);
            let (low, likely, high) = (x, x * 1.2, x * 2.0);
            let (law, causes) = match i {
                0..10 => (Law::Triangular { low, likely, high }, vec![0]),
                10..20 => (Law::Pert { low, likely, high }, vec![0]),
                20..25 => (
                    Law::LogNormal {
                        median: x,
                        log_sd: 0.2,
                    },
                    vec![1],
                ),
                _ => (Law::Fixed { value: x }, vec![1]),
            };
            UncertainLine {
                name: format!("line {i}"),
                law,
                causes,
            }
        })
        .collect();
    let causes = [
        (
            "pace".to_string(),
            Law::Pert {
                low: 0.8,
                likely: 1.0,
                high: 1.5,
            },
        ),
        (
            "sheet price".to_string(),
            Law::Triangular {
                low: 0.9,
                likely: 1.0,
                high: 1.2,
            },
        ),
    ];
    Sampler::new(&lines, &causes).unwrap()
}

/// Sixty tasks: ten parts, each cut, heated, pressed at once, glued (cure), sanded and wrapped; one fabricator, cold nights.
fn sixty_tasks() -> Vec<Task> {
    let cure = Cure::shifted("epoxy", 1500.0, 3.0 * 3600.0, 86_400.0, 296.15, 60_000.0).unwrap();
    let mut tasks = Vec::new();
    for part in 0..10 {
        let length = 1.0 + 0.13 * f64::from(part);
        let steps = [
            (Kind::Cut, 20.0, Unattended::None, false),
            (Kind::Heat, 4.0, Unattended::None, false),
            (
                Kind::Form,
                6.0,
                Unattended::Fixed(Law::Fixed { value: 900.0 }),
                false,
            ),
            (
                Kind::Bond,
                15.0,
                Unattended::Cure(Box::new(cure.clone())),
                false,
            ),
            (
                Kind::Finish,
                30.0,
                Unattended::Fixed(Law::Fixed { value: 3600.0 }),
                true,
            ),
            (Kind::Fit, 25.0, Unattended::None, true),
        ];
        for (at, (kind, minutes, unattended, may_split)) in steps.into_iter().enumerate() {
            tasks.push(Task {
                id: format!("part {part} step {at}"),
                part: Some(format!("part {part}")),
                kind,
                attended: Law::Fixed {
                    value: minutes * 60.0 * length,
                },
                unattended,
                after: if at == 0 {
                    vec![]
                } else {
                    vec![format!("part {part} step {}", at - 1)]
                },
                may_split,
                max_wait_s: (kind == Kind::Form).then_some(60.0),
                once: false,
            });
        }
    }
    tasks
}

fn estimates(c: &mut Criterion) {
    let mut group = c.benchmark_group("estimate");
    group.sample_size(10);
    let sampler = thirty_lines();
    group.bench_function("a million draws of thirty lines", |b| {
        b.iter(|| black_box(thirty_lines().band(1_000_000, 1).unwrap()));
    });
    let terms = Terms::plain(
        Currency::named("XTS").unwrap(),
        Earning::Margin { share: 0.35 },
    );
    // To take under 10 s.
    let quotes: Vec<Vec<f64>> = (0..10_000_u32)
        .map(|quote| {
            (0..30_u32)
                .map(|line| 0.5 + f64::from((quote * 31 + line * 17) % 100) / 100.0)
                .collect()
        })
        .collect();
    group.bench_function("ten thousand quotes of a thousand draws", |b| {
        b.iter(|| {
            black_box(
                sampler
                    .reprice(&quotes, &terms, 1000, 1, &Unwatched)
                    .unwrap(),
            )
        });
    });
    group.finish();
}

fn plans_of_work(c: &mut Criterion) {
    let tasks = sixty_tasks();
    let day = vec![Window::hours(8, 12), Window::hours(13, 17)];
    let week = [
        day.clone(),
        day.clone(),
        day.clone(),
        day.clone(),
        day,
        vec![],
        vec![],
    ];
    let calendar = Calendar::new(date(2026, 3, 2), &week, &[], 900.0).unwrap();
    let mut hours = [292.15; 24];
    hours[..8].fill(283.15);
    hours[18..].fill(283.15);
    let climate = Climate::daily(&hours, &[0.5; 24]).unwrap();
    let times = Times::likely(&tasks);
    let mut group = c.benchmark_group("promise");
    group.sample_size(10);
    for fabricators in [1, 2] {
        let bench = Bench {
            calendar: &calendar,
            climate: &climate,
            fabricators,
        };
        let found = order(&tasks, &times, &bench, 8.0 * 3600.0).unwrap();
        eprintln!(
            "sixty tasks, {fabricators} at work: {:.2} h elapsed, bound {:.2} h, {:.2} % above it, proved: {}",
            found.elapsed_s / 3600.0,
            (found.bound_s - found.start_s) / 3600.0,
            100.0 * ((found.ready_s - found.start_s) / (found.bound_s - found.start_s) - 1.0),
            found.proved,
        );
        group.bench_function(
            format!("order of sixty tasks, {fabricators} at work"),
            |b| {
                b.iter(|| black_box(order(&tasks, &times, &bench, 8.0 * 3600.0).unwrap()));
            },
        );
        group.bench_function(
            format!("replay of sixty tasks, {fabricators} at work"),
            |b| {
                b.iter(|| {
                    black_box(replay(&found.order, &tasks, &times, &bench, 8.0 * 3600.0).unwrap())
                });
            },
        );
    }
    group.finish();
}

criterion_group!(benches, estimates, plans_of_work);
criterion_main!(benches);
