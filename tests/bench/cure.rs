//! How long one cure takes to evaluate over a day of hourly air.

#![allow(missing_docs, clippy::unwrap_used)] // criterion's macros; a bench may fail loudly

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use mountwright::bond::{Catalogue, Cure, JointAsk, Kinetics, cure_of, joint};
use mountwright::climate::Climate;

/// A shop heated by day: 12 °C at night, 21 °C from 8 to 18 h.
fn shop() -> Climate {
    let mut hours = [0.0; 24];
    for (h, t) in hours.iter_mut().enumerate() {
        let x = (h as f64 - 15.0) / 24.0 * std::f64::consts::TAU;
        *t = 289.65 + 4.5 * x.cos();
    }
    Climate::daily(&hours, &[0.5; 24]).unwrap()
}

fn cures(c: &mut Criterion) {
    let shop = shop();
    // Handling and full cure both about a day away: 24 h of hourly air.
    let day = Cure::shifted("day", 3600.0, 50_000.0, 55_000.0, 296.15, 65_000.0).unwrap();
    c.bench_function("three shifted stages over 24 h of hourly air", |b| {
        b.iter(|| day.ready_at(black_box(8.0 * 3600.0), &shop).unwrap());
    });
    let sheet = cure_of("epoxy-slow").unwrap();
    c.bench_function("epoxy with a four-row schedule", |b| {
        b.iter(|| sheet.ready_at(black_box(8.0 * 3600.0), &shop).unwrap());
    });
    let weeks = cure_of("silicone-neutral").unwrap().scaled(20.0).unwrap();
    c.bench_function("silicone over weeks", |b| {
        b.iter(|| weeks.ready_at(black_box(8.0 * 3600.0), &shop).unwrap());
    });
    let resin = Kinetics::room_temperature_example();
    c.bench_function("kinetics over 24 h of hourly air", |b| {
        b.iter(|| {
            resin
                .conversion(0.0, black_box(8.0 * 3600.0), 86_400.0, &shop)
                .unwrap()
        });
    });
    let hot = Kinetics::new([2.6e4, 5.78e4], [74_690.0, 57_880.0], [0.449, 1.217, 1.786]).unwrap();
    let oven = Climate::constant(413.15, 0.5).unwrap();
    c.bench_function("kinetics with broken orders, 4 h in an oven", |b| {
        b.iter(|| {
            hot.conversion(0.0, black_box(0.0), 14_400.0, &oven)
                .unwrap()
        });
    });
    let ask = JointAsk::film("expanded-pvc", "expanded-pvc", 0.0075);
    Catalogue::standard().unwrap();
    c.bench_function("the best adhesive for a joint", |b| {
        b.iter(|| joint(black_box(&ask)).unwrap());
    });
    c.bench_function("reading the catalogue", |b| {
        let text = include_str!("../../src/bond/catalogue.toml");
        b.iter(|| Catalogue::parse("bench", black_box(text)).unwrap());
    });
}

criterion_group!(benches, cures);
criterion_main!(benches);
