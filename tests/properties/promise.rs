//! Schedules keep precedence, hands and hours, and small ones are the best there are.

use jiff::civil::date;
use mountwright::bond::Cure;
use mountwright::climate::Climate;
use mountwright::promise::{Bench, Calendar, Schedule, Times, Window, order, promise_from, replay};
use mountwright::spread::Law;
use mountwright::task::{Kind, Task, Unattended};
use proptest::prelude::*;

/// Two positions at most this far apart are one instant. [s]
const SAME_S: f64 = 1e-3;

/// Minutes of hands, minutes of wait, forerunners, whether it may be split.
type Plain = (u32, u32, Vec<usize>, bool);

fn task(at: usize, (hands, wait, after, may_split): &Plain) -> Task {
    let minutes = |m: u32| Law::Fixed {
        value: f64::from(m) * 60.0,
    };
    Task {
        id: format!("t{at}"),
        part: None,
        kind: Kind::Cut,
        attended: minutes(*hands),
        unattended: if *wait > 0 {
            Unattended::Fixed(minutes(*wait))
        } else {
            Unattended::None
        },
        after: after.iter().map(|b| format!("t{b}")).collect(),
        may_split: *may_split,
        max_wait_s: None,
        once: false,
    }
}

fn tasks(plain: &[Plain]) -> Vec<Task> {
    plain
        .iter()
        .enumerate()
        .map(|(at, p)| task(at, p))
        .collect()
}

/// Up to `n` tasks, each after some of those before it.
fn some_tasks(n: std::ops::Range<usize>, split: bool) -> impl Strategy<Value = Vec<Plain>> {
    let one = (0_u32..120, 0_u32..200, any::<u32>(), any::<bool>());
    prop::collection::vec(one, n).prop_map(move |list| {
        list.into_iter()
            .enumerate()
            .map(|(at, (hands, wait, arrows, may_split))| {
                let after = (0..at)
                    .filter(|b| (arrows >> (2 * b % 32)) % 4 == 0)
                    .collect();
                (
                    hands,
                    if wait < 80 { 0 } else { wait },
                    after,
                    may_split && split,
                )
            })
            .collect()
    })
}

/// Monday to Friday, 8 to 12 and 13 to 17, one Wednesday closed.
fn working_days() -> Calendar {
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
    Calendar::new(date(2026, 3, 2), &week, &[date(2026, 3, 4)], 900.0).unwrap()
}

fn air() -> Climate {
    Climate::constant(293.15, 0.5).unwrap()
}

fn bench<'a>(calendar: &'a Calendar, climate: &'a Climate, fabricators: u32) -> Bench<'a> {
    Bench {
        calendar,
        climate,
        fabricators,
    }
}

/// Everything that must hold of any schedule.
fn check(
    schedule: &Schedule,
    tasks: &[Task],
    times: &Times,
    bench: &Bench,
) -> Result<(), TestCaseError> {
    let of = |at: usize| {
        schedule
            .entries
            .iter()
            .find(|entry| entry.task == at)
            .unwrap()
    };
    prop_assert_eq!(schedule.entries.len(), tasks.len());
    let mut edges: Vec<(f64, i32)> = Vec::new();
    for (at, task) in tasks.iter().enumerate() {
        let entry = of(at);
        prop_assert!(entry.start_s >= schedule.start_s - SAME_S);
        for id in &task.after {
            let before = of(tasks.iter().position(|other| other.id == *id).unwrap());
            prop_assert!(before.done_s <= entry.start_s + SAME_S);
        }
        let worked: f64 = entry.pieces.iter().map(|piece| piece.1 - piece.0).sum();
        prop_assert!((worked - times.attended_s[at]).abs() < SAME_S);
        prop_assert!(task.may_split || entry.pieces.len() <= 1);
        for &(from, to) in &entry.pieces {
            let open = bench.calendar.spans(from + SAME_S, to - SAME_S);
            prop_assert!(to - from < SAME_S || open.len() == 1);
            prop_assert!(
                open.iter()
                    .all(|span| span.0 <= from + SAME_S && to <= span.1 + SAME_S)
            );
            edges.extend([(from + SAME_S, 1), (to - SAME_S, -1)]);
        }
        prop_assert!(entry.done_s >= entry.hands_off_s);
        prop_assert!(entry.hands < bench.fabricators);
    }
    edges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut busy = 0;
    for (_, change) in edges {
        busy += change;
        prop_assert!(busy <= i32::try_from(bench.fabricators).unwrap());
    }
    let last = schedule
        .entries
        .iter()
        .map(|entry| entry.done_s)
        .fold(schedule.start_s, f64::max);
    prop_assert!((schedule.ready_s - last).abs() < SAME_S);
    prop_assert!(schedule.hand_back_s >= schedule.ready_s);
    prop_assert!(schedule.bound_s <= schedule.ready_s + SAME_S);
    Ok(())
}

/// The best end over every order of the attended tasks, found without the library: whole minutes, each task at the first minute at which it fits whole.
fn best_end_minutes(plain: &[Plain], start: u32, open: &dyn Fn(u32) -> bool) -> u32 {
    fn extend(
        plain: &[Plain],
        done: &mut Vec<Option<u32>>,
        free: u32,
        start: u32,
        open: &dyn Fn(u32) -> bool,
        best: &mut u32,
    ) {
        if done.iter().all(Option::is_some) {
            *best = (*best).min(done.iter().flatten().copied().max().unwrap_or(start));
            return;
        }
        for at in 0..plain.len() {
            let (hands, wait, after, _) = &plain[at];
            let ready: Option<Vec<u32>> = after.iter().map(|b| done[*b]).collect();
            let (None, Some(ready)) = (done[at], ready) else {
                continue;
            };
            let ready = ready.into_iter().max().unwrap_or(start).max(start);
            let (end, free) = if *hands == 0 {
                (ready, free)
            } else {
                let mut t = ready.max(free);
                while !(t..t + hands).all(open) {
                    t += 1;
                }
                (t + hands, t + hands)
            };
            done[at] = Some(end + wait);
            extend(plain, done, free, start, open, best);
            done[at] = None;
        }
    }
    let mut best = u32::MAX;
    extend(
        plain,
        &mut vec![None; plain.len()],
        start,
        start,
        open,
        &mut best,
    );
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn small_schedules_are_the_best_of_all_orders(plain in some_tasks(1..6, false), start in 0_u32..1500) {
        let (calendar, climate) = (working_days(), air());
        let bench = bench(&calendar, &climate, 1);
        let tasks = tasks(&plain);
        let times = Times::likely(&tasks);
        let found = order(&tasks, &times, &bench, f64::from(start) * 60.0).unwrap();
        check(&found, &tasks, &times, &bench)?;
        // Minutes since Monday's midnight; Wednesday is closed, and nothing here lasts into the weekend.
        let open = |t: u32| {
            let (day, minute) = (t / 1440, t % 1440);
            day >= 7 || day != 2 && day < 5 && ((480..720).contains(&minute) || (780..1020).contains(&minute))
        };
        let best = best_end_minutes(&plain, start, &open);
        prop_assume!(best < 5 * 1440);
        // The optimum is proved to within a second.
        prop_assert!((found.ready_s - f64::from(best) * 60.0).abs() <= 1.0, "{} {best}", found.ready_s / 60.0);
        prop_assert!(found.proved);
    }

    #[test]
    fn any_schedule_keeps_precedence_hands_and_hours(plain in some_tasks(1..24, true), fabricators in 1_u32..4) {
        let (calendar, climate) = (working_days(), air());
        let bench = bench(&calendar, &climate, fabricators);
        let tasks = tasks(&plain);
        let times = Times::likely(&tasks);
        let found = order(&tasks, &times, &bench, 9.5 * 3600.0).unwrap();
        check(&found, &tasks, &times, &bench)?;
        // The same again from its order, and longer times in the same order still keep the rules.
        let again = replay(&found.order, &tasks, &times, &bench, found.start_s).unwrap();
        prop_assert!((again.ready_s - found.ready_s).abs() < SAME_S);
        let longer = Times { attended_s: times.attended_s.iter().map(|s| s * 1.3).collect(), ..times };
        let later = replay(&found.order, &tasks, &longer, &bench, found.start_s).unwrap();
        check(&later, &tasks, &longer, &bench)?;
    }

    #[test]
    fn a_longest_wait_is_kept(plain in some_tasks(2..8, false), wait_s in 0.0..600.0_f64) {
        let (calendar, climate) = (working_days(), air());
        let bench = bench(&calendar, &climate, 1);
        let mut tasks = tasks(&plain);
        // Forming must follow its heating at once: the last two tasks are such a pair.
        let n = tasks.len();
        tasks[n - 2].unattended = Unattended::None;
        tasks[n - 1].after = vec![tasks[n - 2].id.clone()];
        tasks[n - 1].max_wait_s = Some(wait_s);
        let times = Times::likely(&tasks);
        let found = order(&tasks, &times, &bench, 11.0 * 3600.0).unwrap();
        check(&found, &tasks, &times, &bench)?;
        let of = |at: usize| found.entries.iter().find(|entry| entry.task == at).unwrap();
        prop_assert!(of(n - 1).start_s - of(n - 2).done_s <= wait_s + SAME_S);
    }

    #[test]
    fn a_cure_ends_when_its_own_clock_says(start_h in 8.0..16.0_f64, night_c in -5.0..18.0_f64, factor in 0.5..2.0_f64) {
        // A cold night: what is glued late in the day is handled late next day.
        let mut hours = [293.15; 24];
        hours[18..].fill(night_c + 273.15);
        hours[..8].fill(night_c + 273.15);
        let climate = Climate::daily(&hours, &[0.5; 24]).unwrap();
        let calendar = working_days();
        let bench = bench(&calendar, &climate, 1);
        let cure = Cure::shifted("epoxy", 1500.0, 4.0 * 3600.0, 86_400.0, 296.15, 60_000.0).unwrap();
        let mut glue = task(0, &(20, 0, vec![], false));
        glue.unattended = Unattended::Cure(Box::new(cure.clone()));
        let trim = task(1, &(15, 0, vec![0], false));
        let tasks = [glue, trim];
        let mut times = Times::likely(&tasks);
        times.cure_factor[0] = factor;
        let found = order(&tasks, &times, &bench, start_h * 3600.0).unwrap();
        check(&found, &tasks, &times, &bench)?;
        let entry = &found.entries[0];
        let ready = cure.scaled(factor).unwrap().ready_at(entry.hands_off_s, &climate).unwrap();
        prop_assert!((entry.done_s - ready.handling_s.unwrap()).abs() < SAME_S);
        prop_assert!(found.proved);
    }

    #[test]
    fn a_promise_is_open_on_its_slot_and_kept_by_its_share(hand_backs in prop::collection::vec(0.0..1e6_f64, 1..200)) {
        let calendar = working_days();
        let open: Vec<f64> = hand_backs.iter().map(|&s| calendar.open_from(s).unwrap()).collect();
        let found = promise_from(&open, &calendar).unwrap();
        for (at_s, share) in [(found.p50_s, 0.5), (found.p80_s, 0.8), (found.p90_s, 0.9)] {
            let kept = open.iter().filter(|&&s| s <= at_s + SAME_S).count() as f64;
            prop_assert!(kept >= share * open.len() as f64);
            prop_assert!((calendar.open_from(at_s).unwrap() - at_s).abs() < SAME_S);
            prop_assert!((at_s / 900.0 - (at_s / 900.0).round()).abs() < 1e-9);
        }
        prop_assert!(found.p50_s <= found.p80_s && found.p80_s <= found.p90_s);
        prop_assert_eq!(calendar.instant(found.p90).unwrap().to_bits(), found.p90_s.to_bits());
    }
}
