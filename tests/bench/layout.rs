//! Layouts at the bench: the first full plan of 100 rectangles on three kinds of sheet (target: under 2 ms), and a typical shop
//! job of 30 parts with rings, 3 offcuts and 2 sizes of sheet at the usual effort (target: under 0.2 s). Both print their gap.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use mountwright::error::Unwatched;
use mountwright::outline::{Chain, Circle, Outline, Point};
use mountwright::stock::{Ask, Method, Offcut, Part, SheetKind, Turns, lay_out};

/// A hundred rectangles of 60 to 450 mm, made here.
fn hundred() -> Ask {
    let blanks = (0..100_u32)
        .map(|i| {
            let size = |k: u32, n: u32| 0.06 + f64::from(i * k % n) * 0.39 / f64::from(n);
            Part::rectangle(
                format!("part {i}"),
                size(37, 97),
                size(53, 89),
                1,
                Turns::Quarter,
            )
        })
        .collect();
    let sheets = vec![
        SheetKind::new("large", 1.22, 2.44, 42.0),
        SheetKind::new("middle", 1.0, 2.0, 31.0),
        SheetKind::new("small", 1.0, 1.0, 17.0),
    ];
    Ask {
        effort: 1,
        ..Ask::new(blanks, sheets, Method::HandRouter)
    }
}

/// Rings for two doors, spacers that fit into their cutouts, straps and panels.
fn shop_job() -> Ask {
    let disc = |radius_m| {
        Chain::circle(Circle {
            centre: Point::new(0.0, 0.0),
            radius_m,
        })
    };
    let ring = |id: &str, radius_m, inner_m, quantity| {
        Part::shape(
            id,
            Outline::new(disc(radius_m), vec![disc(inner_m)]),
            quantity,
            Turns::Any,
        )
    };
    let blanks = vec![
        ring("woofer ring", 0.1, 0.075, 6),
        ring("coaxial ring", 0.09, 0.068, 4),
        ring("tweeter ring", 0.045, 0.027, 4),
        Part::rectangle("strap", 0.42, 0.06, 6, Turns::Quarter),
        Part::rectangle("amplifier panel", 0.52, 0.34, 2, Turns::Quarter),
        Part::rectangle("spacer", 0.08, 0.03, 8, Turns::Quarter),
    ];
    let sheets = vec![
        SheetKind::new("whole", 1.22, 2.44, 42.0),
        SheetKind::new("half", 1.22, 1.22, 23.0),
    ];
    Ask {
        offcuts: vec![
            Offcut::rectangle("A", 0.62, 0.41, 2.0),
            Offcut::rectangle("B", 0.45, 0.3, 1.2),
            Offcut::rectangle("C", 0.9, 0.25, 2.1),
        ],
        ..Ask::new(blanks, sheets, Method::HandRouter)
    }
}

#[allow(clippy::unwrap_used, clippy::print_stdout)] // a bench without a layout has nothing to measure, and its gap is a figure
fn bench(c: &mut Criterion) {
    let mut group = c.benchmark_group("layout");
    group.sample_size(20);
    for (title, ask) in [
        ("first plan of 100 rectangles", hundred()),
        ("shop job of 30 parts", shop_job()),
    ] {
        let layout = lay_out(&ask, &Unwatched).unwrap();
        let gap = layout.gap_fraction.unwrap_or(f64::NAN);
        println!(
            "{title}: seed {}, gap {:.1} %, {} unplaced",
            ask.seed,
            100.0 * gap,
            layout.unplaced.len()
        );
        group.bench_function(title, |b| {
            b.iter(|| lay_out(black_box(&ask), &Unwatched).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, bench);
criterion_main!(benches);
