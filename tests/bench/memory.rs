//! How long the memory takes with 10,000 jobs and 50,000 offcuts in it (targets: opening under 50 ms, accepting a plan under
//! 20 ms, any question under 200 ms).

// A bench that cannot make its own file has nothing to measure.
#![allow(clippy::unwrap_used)]

#[path = "../memory/plans.rs"]
mod plans;

use std::hint::black_box;
use std::time::Duration;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use mountwright::memory::{Memory, Planned, Question};
use plans::{DAY, plan_text, shop};
use rusqlite::{Connection, params};

const JOBS: u32 = 10_000;
const OFFCUTS: u32 = 50_000;
/// One offcut in so many still stands in the rack.
const IN_RACK: u32 = 50;

/// A made-up history of twenty years.
fn fill(path: &str) {
    let mut memory = Memory::open(path).unwrap();
    let first = Planned::read(&plan_text("first", None)).unwrap();
    memory.accept(&first, &shop(), DAY).unwrap();
    drop(memory);
    let mut db = Connection::open(path).unwrap();
    let tx = db.transaction().unwrap();
    let plan: String = tx
        .query_row("SELECT plan FROM job", [], |row| row.get(0))
        .unwrap();
    // A plan as long as a real one: the job's file, its tasks, outlines.
    let plan = plan.replace(
        "schema = 1",
        &format!("schema = 1\\n{}", "# as measured\\n".repeat(400)),
    );
    let outline: String = tx
        .query_row("SELECT outline FROM offcut LIMIT 1", [], |row| row.get(0))
        .unwrap();
    let kinds = ["strap", "ring", "panel", "panel, ring", "strap, panel"];
    for number in 0..JOBS {
        let day = format!(
            "20{:02}-{:02}-{:02}",
            6 + number / 500,
            1 + number % 12,
            1 + number % 28
        );
        let kind = kinds[number as usize % kinds.len()];
        tx.execute(
            "INSERT INTO job (name, vehicle, start, state, quoted_on, accepted_on, done_on, kinds, currency, net_price, cost, \
             hours, hour_cost, formed, glue_m3, heats, spoiled, plan) VALUES (?1, 'the grey estate', ?2, 'done', ?2, ?2, ?2, \
             ?3, 'XTS', 200.0, 120.0, 3.0, 50.0, 2, 1e-5, 3, 1, ?4)",
            params![format!("job {number}"), day, kind, plan],
        )
        .unwrap();
        let job = tx.last_insert_rowid();
        for (at, work) in ["measure", "cut", "form", "bond", "finish", "fit"]
            .iter()
            .enumerate()
        {
            let actual = 600.0 * (1.0 + 0.1 * f64::from((number + u32::try_from(at).unwrap()) % 7));
            tx.execute(
                "INSERT INTO timed (job, work, kind, planned_s, usual_s, actual_s) VALUES (?1, ?2, ?2, 640.0, 660.0, ?3)",
                params![job, work, actual],
            )
            .unwrap();
        }
    }
    for number in 0..OFFCUTS {
        let used = (number % IN_RACK != 0).then_some(2 + number % JOBS);
        let state = if used.is_some() { "used" } else { "rack" };
        let day = format!("20{:02}-06-01", 6 + number % 20);
        tx.execute(
            "INSERT INTO offcut (name, material, thickness_m, outline, bad_areas, area_m2, since, state, made_by, used_by) \
             VALUES (?1, 'abs', 0.003, ?2, '[]', 0.03, ?3, ?4, ?5, ?6)",
            params![format!("B-{number}"), outline, day, state, 2 + number % JOBS, used],
        )
        .unwrap();
    }
    tx.commit().unwrap();
}

fn bench(c: &mut Criterion) {
    let folder = std::env::temp_dir().join(format!("mountwright-bench-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("shop.db").to_string_lossy().into_owned();
    fill(&path);
    let shop = shop();
    let mut group = c.benchmark_group("memory of 10,000 jobs and 50,000 offcuts");
    group
        .sample_size(20)
        .measurement_time(Duration::from_secs(5));
    group.bench_function("open", |b| {
        b.iter(|| Memory::open(black_box(&path)).unwrap());
    });
    let mut memory = Memory::open(&path).unwrap();
    let planned = Planned::read(&plan_text("another", memory.rack().unwrap().first())).unwrap();
    group.bench_function("accept", |b| {
        let mut taken = Memory::open(&path).unwrap();
        let mut accepted = false;
        b.iter_batched(
            || {
                if accepted {
                    taken.undo("another", None).unwrap();
                }
                accepted = true;
            },
            |()| memory.accept(black_box(&planned), &shop, DAY).unwrap(),
            BatchSize::PerIteration,
        );
        taken.undo("another", None).unwrap();
    });
    let memory = Memory::open(&path).unwrap();
    let cost = Question::Cost {
        kind: Some("pods".into()),
        from: Some("2025-01-01".into()),
        to: Some("2025-12-31".into()),
    };
    let ever = Question::Cost {
        kind: None,
        from: None,
        to: None,
    };
    let old = Question::OldOffcuts {
        before: "2025-11-26".into(),
    };
    for (title, question) in [
        ("ask: cost of pods last year", cost),
        ("ask: cost of all jobs", ever),
        ("ask: underestimated", Question::Underestimated),
        ("ask: old offcuts", old),
        ("ask: comebacks", Question::Comebacks),
        ("ask: used", Question::Used),
    ] {
        group.bench_function(title, |b| {
            b.iter(|| memory.ask(black_box(&question)).unwrap());
        });
    }
    group.bench_function("the rack", |b| {
        b.iter(|| memory.rack().unwrap());
    });
    group.bench_function("what jobs taught", |b| {
        b.iter(|| memory.taught(&shop.shop).unwrap());
    });
    group.bench_function("the shop as plans see it", |b| {
        b.iter(|| memory.with(&shop).unwrap());
    });
    group.finish();
    let _ = std::fs::remove_dir_all(&folder);
}

criterion_group!(benches, bench);
criterion_main!(benches);
