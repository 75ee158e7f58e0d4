//! Calendars and tasks that cannot be: each a typed error that says what to do.

use jiff::civil::date;
use mountwright::Error;
use mountwright::bond::Cure;
use mountwright::climate::Climate;
use mountwright::promise::{
    Activity, Bench, Calendar, Project, ProjectJob, Times, Window, critical_path, order,
    order_and_promise, pert, promise, promise_from, replay,
};
use mountwright::spread::Law;
use mountwright::task::{Kind, Task, Unattended};

const HOURS: fn(u8, u8) -> Window = Window::hours;

fn task(id: &str, minutes: f64, after: &[&str]) -> Task {
    Task {
        id: id.into(),
        part: None,
        kind: Kind::Cut,
        attended: Law::Fixed {
            value: minutes * 60.0,
        },
        unattended: Unattended::None,
        after: after.iter().map(ToString::to_string).collect(),
        may_split: false,
        max_wait_s: None,
        once: false,
    }
}

fn week(day: &[Window]) -> [Vec<Window>; 7] {
    std::array::from_fn(|_| day.to_vec())
}

fn ordered(tasks: &[Task], times: &Times, fabricators: u32, start_s: f64) -> Result<f64, Error> {
    let calendar = Calendar::new(date(2026, 3, 2), &week(&[HOURS(8, 12)]), &[], 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators,
    };
    order(tasks, times, &bench, start_s).map(|schedule| schedule.ready_s)
}

fn likely(tasks: &[Task]) -> Result<f64, Error> {
    ordered(tasks, &Times::likely(tasks), 1, 0.0)
}

#[test]
fn a_shop_that_never_opens_is_refused() {
    let never = Calendar::new(date(2026, 3, 2), &week(&[]), &[], 900.0);
    assert!(matches!(never, Err(Error::Impossible { .. })));
}

#[test]
fn windows_that_cannot_be_are_refused() {
    let bad = [
        vec![Window {
            from_s: -1.0,
            to_s: 3600.0,
        }],
        vec![HOURS(12, 8)],
        vec![HOURS(8, 12), HOURS(11, 17)],
        vec![HOURS(13, 17), HOURS(8, 12)],
        vec![HOURS(8, 25)],
        vec![Window {
            from_s: f64::NAN,
            to_s: 3600.0,
        }],
        vec![Window {
            from_s: 0.0,
            to_s: f64::INFINITY,
        }],
    ];
    for day in bad {
        let made = Calendar::new(date(2026, 3, 2), &week(&day), &[], 900.0);
        assert!(matches!(made, Err(Error::OutOfRange { .. })), "{day:?}");
    }
    for slot_s in [0.0, -900.0, f64::NAN, f64::INFINITY, 1e9] {
        let made = Calendar::new(date(2026, 3, 2), &week(&[HOURS(8, 12)]), &[], slot_s);
        assert!(matches!(made, Err(Error::OutOfRange { .. })), "{slot_s}");
    }
    // The last days that the calendar of the world has are no place for a plan.
    assert!(Calendar::new(date(9999, 12, 30), &week(&[HOURS(8, 12)]), &[], 900.0).is_err());
}

#[test]
fn tasks_that_wait_for_each_other_are_named_in_order() {
    let tasks = [
        task("measure", 10.0, &[]),
        task("cut", 10.0, &["measure", "fit"]),
        task("form", 10.0, &["cut"]),
        task("fit", 10.0, &["form"]),
        task("hand back", 10.0, &["fit"]),
    ];
    let Err(Error::Impossible { why, .. }) = likely(&tasks) else {
        panic!("no error")
    };
    assert!(why.contains("cut → form → fit → cut"), "{why}");
    let Err(Error::Impossible { why, .. }) = likely(&[task("cut", 10.0, &["cut"])]) else {
        panic!("no error")
    };
    assert!(why.contains("cut → cut"), "{why}");
}

#[test]
fn forerunners_and_names_must_be_clear() {
    let Err(Error::Unknown { near, .. }) =
        likely(&[task("cut", 1.0, &[]), task("form", 1.0, &["cutt"])])
    else {
        panic!("no error")
    };
    assert_eq!(near, ["cut"]);
    assert!(matches!(
        likely(&[task("cut", 1.0, &[]), task("cut", 1.0, &[])]),
        Err(Error::Shape { .. })
    ));
}

#[test]
fn times_that_cannot_be_are_refused() {
    let tasks = [task("cut", 10.0, &[])];
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        let times = Times {
            attended_s: vec![bad],
            ..Times::likely(&tasks)
        };
        assert!(
            matches!(
                ordered(&tasks, &times, 1, 0.0),
                Err(Error::OutOfRange { .. })
            ),
            "{bad}"
        );
        assert!(
            matches!(
                ordered(&tasks, &Times::likely(&tasks), 1, bad),
                Err(Error::OutOfRange { .. })
            ),
            "{bad}"
        );
    }
    let times = Times {
        attended_s: vec![],
        ..Times::likely(&tasks)
    };
    assert!(matches!(
        ordered(&tasks, &times, 1, 0.0),
        Err(Error::Shape { .. })
    ));
    for fabricators in [0, 101] {
        assert!(matches!(
            ordered(&tasks, &Times::likely(&tasks), fabricators, 0.0),
            Err(Error::OutOfRange { .. })
        ));
    }
    let mut hurried = tasks.clone();
    hurried[0].max_wait_s = Some(f64::NAN);
    assert!(matches!(likely(&hurried), Err(Error::OutOfRange { .. })));
}

#[test]
fn a_task_longer_than_any_opening_is_named() {
    let Err(Error::Impossible { what, .. }) = likely(&[task("wrap", 300.0, &[])]) else {
        panic!("no error")
    };
    assert!(what.contains("wrap"));
    // Split, it takes two mornings.
    let mut wrap = task("wrap", 300.0, &[]);
    wrap.may_split = true;
    assert!((likely(&[wrap]).unwrap() - (24.0 + 9.0) * 3600.0).abs() < 1e-3);
    // Years of it do not fit the calendar, and that is said too.
    let mut endless = task("sand", 1e6, &[]);
    endless.may_split = true;
    assert!(matches!(likely(&[endless]), Err(Error::Impossible { .. })));
}

#[test]
fn a_cure_that_never_ends_names_its_task() {
    let mut glue = task("glue left pod", 10.0, &[]);
    let cure = Cure::shifted("epoxy", 1500.0, 3.0 * 3600.0, 86_400.0, 296.15, 60_000.0).unwrap();
    glue.unattended = Unattended::Cure(Box::new(cure.with_minimum(295.0).unwrap()));
    let Err(Error::Impossible { what, .. }) = likely(&[glue]) else {
        panic!("no error")
    };
    assert!(what.contains("glue left pod"), "{what}");
}

#[test]
fn a_longest_wait_that_cannot_be_kept_is_named() {
    // Two tasks that each must start at once after the same one, with one pair of hands.
    let mut left = task("press left", 10.0, &["heat both"]);
    let mut right = task("press right", 10.0, &["heat both"]);
    left.max_wait_s = Some(30.0);
    right.max_wait_s = Some(30.0);
    let tasks = [task("heat both", 2.0, &[]), left, right];
    let Err(Error::Impossible { what, .. }) = likely(&tasks) else {
        panic!("no error")
    };
    assert!(what.contains("press"), "{what}");
    // Two pairs of hands can.
    assert!(ordered(&tasks, &Times::likely(&tasks), 2, 0.0).is_ok());
}

#[test]
fn an_order_must_hold_every_task_once() {
    let tasks = [task("cut", 10.0, &[]), task("form", 10.0, &["cut"])];
    let calendar = Calendar::always(date(2026, 3, 2), 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    for bad in [
        vec![],
        vec![0],
        vec![0, 0],
        vec![1, 0],
        vec![0, 2],
        vec![0, 1, 1],
    ] {
        let made = replay(&bad, &tasks, &Times::likely(&tasks), &bench, 0.0);
        assert!(matches!(made, Err(Error::Shape { .. })), "{bad:?}");
    }
}

#[test]
fn no_tasks_take_no_time() {
    assert!(likely(&[]).unwrap().abs() < 1e-12);
}

#[test]
fn promises_need_finite_draws_inside_the_calendar() {
    let calendar = Calendar::always(date(2026, 3, 2), 900.0).unwrap();
    assert!(matches!(
        promise_from(&[], &calendar),
        Err(Error::Shape { .. })
    ));
    for bad in [f64::NAN, f64::INFINITY, -1e9] {
        assert!(promise_from(&[bad], &calendar).is_err(), "{bad}");
    }
    // Three years are 9.47e7 s.
    assert!(promise_from(&[9.4e7], &calendar).is_ok());
    assert!(matches!(
        promise_from(&[9.5e7], &calendar),
        Err(Error::Impossible { .. })
    ));
}

#[test]
fn projects_and_networks_refuse_what_cannot_be() {
    let job = |demand: Vec<u32>, after: Vec<usize>| ProjectJob {
        name: "job".into(),
        length_s: 60.0,
        demand,
        wait_s: 0.0,
        after,
    };
    let calendar = Calendar::always(date(2026, 3, 2), 900.0).unwrap();
    let order = |jobs, capacity| Project { jobs, capacity }.order(&calendar, 0.0);
    assert!(matches!(
        order(vec![job(vec![2], vec![])], vec![1]),
        Err(Error::Impossible { .. })
    ));
    assert!(matches!(
        order(vec![job(vec![1, 1], vec![])], vec![1]),
        Err(Error::Shape { .. })
    ));
    assert!(matches!(
        order(vec![job(vec![1], vec![7])], vec![1]),
        Err(Error::Shape { .. })
    ));
    assert!(matches!(
        order(vec![job(vec![1], vec![0])], vec![1]),
        Err(Error::Impossible { .. })
    ));
    assert!(matches!(
        order(vec![job(vec![0], vec![])], vec![0]),
        Err(Error::OutOfRange { .. })
    ));

    let activity = |length, after| Activity {
        name: "a".into(),
        length,
        after,
    };
    for bad in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(matches!(
            critical_path(&[activity(bad, vec![])]),
            Err(Error::OutOfRange { .. })
        ));
        let lagged = [activity(1.0, vec![]), activity(1.0, vec![(0, bad)])];
        assert!(matches!(
            critical_path(&lagged),
            Err(Error::OutOfRange { .. })
        ));
    }
    assert!(critical_path(&[]).unwrap().end.abs() < 1e-12);
    assert!(pert(&[activity(1.0, vec![])], &[(3.0, 2.0, 1.0)]).is_err());
    assert!(matches!(
        pert(&[activity(1.0, vec![])], &[]),
        Err(Error::Shape { .. })
    ));
}

#[test]
fn a_task_that_overruns_the_day_goes_on_the_next_morning() {
    // Likely three hours, seven at most, in a shop that opens for four: every draw has an end, and some ends lie on the second morning.
    let calendar = Calendar::new(date(2026, 3, 2), &week(&[HOURS(8, 12)]), &[], 60.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    let mut long = task("form", 0.0, &[]);
    long.attended = Law::Triangular {
        low: 2.0 * 3600.0,
        likely: 3.0 * 3600.0,
        high: 7.0 * 3600.0,
    };
    let usual = Law::Fixed { value: 1.0 };
    let (schedule, promise) =
        order_and_promise(&[long.clone()], usual, &bench, 8.0 * 3600.0, 512, 1).unwrap();
    assert!((schedule.ready_s - 11.0 * 3600.0).abs() < 1e-3);
    // Triangular law: P(x <= 4 h) = 1 - 3²/(5·4) = 0.55, P50 7 - sqrt(0.5·20) = 3.838 h, on the first day; P80 is 7 - sqrt(0.2·20) = 5 h: 09:00 on the second.
    assert!((promise.p50_s - (8.0 + 3.838) * 3600.0).abs() < 120.0);
    assert!(
        (promise.p80_s - (24.0 + 9.0) * 3600.0).abs() <= 900.0,
        "{promise:?}"
    );
    assert!(promise.never_share.abs() < 1e-12);
    // What likely takes longer than any opening is still refused.
    long.attended = Law::Fixed {
        value: 5.0 * 3600.0,
    };
    assert!(matches!(
        order_and_promise(&[long], usual, &bench, 0.0, 16, 1),
        Err(Error::Impossible { .. })
    ));
}

#[test]
fn a_pace_that_may_be_zero_is_refused() {
    let calendar = Calendar::always(date(2026, 3, 2), 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    for value in [0.0, -1.0, 50.0] {
        let made = order_and_promise(
            &[task("cut", 5.0, &[])],
            Law::Fixed { value },
            &bench,
            0.0,
            16,
            1,
        );
        assert!(matches!(made, Err(Error::OutOfRange { .. })), "{value}");
    }
}

#[test]
fn draws_that_never_end_count_as_later_than_all_others() {
    let calendar = Calendar::new(date(2026, 3, 2), &week(&[HOURS(8, 12)]), &[], 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    let tasks = [task("cut", 10.0, &[])];
    for (bad, kept) in [(1, true), (2, false)] {
        let made = promise(&[0], &tasks, &bench, 8.0 * 3600.0, 10, |row| {
            if row < bad {
                return Err(Error::Impossible {
                    what: "the end of \"cut\"".into(),
                    why: "too cold".into(),
                    remedy: "warm the shop".into(),
                });
            }
            Ok((Times::likely(&tasks), climate.clone()))
        });
        assert_eq!(made.is_ok(), kept, "{made:?}");
        if let Ok(made) = made {
            assert!((made.never_share - 0.1).abs() < 1e-12);
        }
    }
}

#[test]
fn a_longest_wait_that_one_order_keeps_is_kept() {
    // By hand: soak 08:00 to 11:25, prime 11:25 to 11:55 dry at 13:25, cut meanwhile at 13:00, coat at 13:25 without any wait, fit from 13:35 to 14:35.
    let day = week(&[HOURS(8, 12), HOURS(13, 17)]);
    let calendar = Calendar::new(date(2026, 3, 2), &day, &[], 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    let waits = |mut one: Task, minutes: f64| {
        one.unattended = Unattended::Fixed(Law::Fixed {
            value: minutes * 60.0,
        });
        one
    };
    let mut coat = task("coat", 10.0, &["cut", "prime"]);
    coat.max_wait_s = Some(0.0);
    let tasks = [
        waits(task("soak", 5.0, &[]), 200.0),
        task("cut", 20.0, &["soak"]),
        waits(task("prime", 30.0, &["soak"]), 90.0),
        coat,
        task("fit", 60.0, &["prime"]),
    ];
    let found = order(&tasks, &Times::likely(&tasks), &bench, 8.0 * 3600.0).unwrap();
    assert!(
        found.ready_s <= (14.0 * 60.0 + 35.0) * 60.0 + 1.0,
        "{found:?}"
    );
    let at = |id: usize| found.entries.iter().find(|e| e.task == id).unwrap();
    assert!((at(3).start_s - at(1).done_s.max(at(2).done_s)).abs() < 1e-3);
}

#[test]
fn a_draw_may_take_another_order_to_keep_its_waits() {
    // Openings of 90 minutes; a task of 90 minutes overruns them where the pace is slow, and then another task must go before it.
    let hours = [(8.0, 9.5), (10.0, 11.5), (14.0, 15.5)].map(|(from, to)| Window {
        from_s: from * 3600.0,
        to_s: to * 3600.0,
    });
    let calendar = Calendar::new(date(2026, 3, 2), &week(&hours), &[], 900.0).unwrap();
    let climate = Climate::constant(288.15, 0.5).unwrap();
    let bench = Bench {
        calendar: &calendar,
        climate: &climate,
        fabricators: 1,
    };
    let mut prime = task("prime", 10.0, &[]);
    prime.unattended = Unattended::Fixed(Law::Fixed { value: 2400.0 });
    let mut small = task("small", 5.0, &["prime"]);
    let mut large = task("large", 90.0, &["prime"]);
    small.max_wait_s = Some(3600.0);
    large.max_wait_s = Some(3600.0);
    let pace = Law::Pert {
        low: 0.85,
        likely: 1.0,
        high: 1.3,
    };
    let (_, promise) =
        order_and_promise(&[prime, small, large], pace, &bench, 8.0 * 3600.0, 128, 1).unwrap();
    assert!(promise.never_share.abs() < 1e-12, "{promise:?}");
}

#[test]
fn what_is_done_at_closing_time_is_handed_back_then() {
    let mut days = week(&[]);
    days[0] = vec![HOURS(8, 10)];
    days[2] = vec![HOURS(8, 10)];
    let calendar = Calendar::new(date(2026, 3, 2), &days, &[], 900.0).unwrap();
    let hour = 3600.0;
    assert!((calendar.open_from(10.0 * hour).unwrap() - 10.0 * hour).abs() < 1e-6);
    assert!((calendar.slot_from(9.9 * hour).unwrap() - 10.0 * hour).abs() < 1e-6);
    assert!((calendar.slot_from(10.0 * hour).unwrap() - 10.0 * hour).abs() < 1e-6);
    // A second later nobody is there before Wednesday.
    assert!((calendar.slot_from(10.0 * hour + 1.0).unwrap() - 56.0 * hour).abs() < 1e-6);
}
