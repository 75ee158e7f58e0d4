//! Networks and orders of work against textbooks and open instances.

use jiff::civil::date;
use mountwright::promise::{Activity, Calendar, Project, ProjectJob, critical_path, pert};

fn activity(name: &str, length: f64, after: &[usize]) -> Activity {
    Activity {
        name: name.into(),
        length,
        after: after.iter().map(|&at| (at, 0.0)).collect(),
    }
}

/// Around the clock from a Monday on.
fn always() -> Calendar {
    Calendar::always(date(2026, 3, 2), 60.0).unwrap()
}

/// A single machine or a project from its lengths, waits and arrows, in seconds.
fn one_pair_of_hands(
    lengths: &[f64],
    waits: &[f64],
    after: &[&[usize]],
    demand: &[u32],
) -> Project {
    let jobs = (0..lengths.len())
        .map(|at| ProjectJob {
            name: format!("job {at}"),
            length_s: lengths[at],
            demand: vec![demand[at]],
            wait_s: waits[at],
            after: after[at].to_vec(),
        })
        .collect();
    Project {
        jobs,
        capacity: vec![1],
    }
}

#[test]
fn textbook_network_has_the_printed_times() {
    // Taylor, Introduction to Management Science, chapter 8, solutions, first network (activities on arrows 1-2 .. 5-6).
    // Arc, length, ES, EF, LS, LF, float.
    let table = [
        ("1-2", 7., 0., 7., 2., 9., 2.),
        ("1-3", 10., 0., 10., 0., 10., 0.),
        ("2-4", 6., 7., 13., 9., 15., 2.),
        ("3-4", 5., 10., 15., 10., 15., 0.),
        ("3-5", 4., 10., 14., 14., 18., 4.),
        ("4-5", 3., 15., 18., 15., 18., 0.),
        ("5-6", 2., 18., 20., 18., 20., 0.),
    ];
    let activities: Vec<Activity> = table
        .iter()
        .map(|&(arc, length, ..)| {
            let from = &arc[..1];
            let before: Vec<usize> = (0..table.len())
                .filter(|&at| &table[at].0[2..] == from)
                .collect();
            activity(arc, length, &before)
        })
        .collect();
    let path = critical_path(&activities).unwrap();
    assert!((path.end - 20.0).abs() < 1e-12);
    let critical: Vec<&str> = path.critical.iter().map(|&at| table[at].0).collect();
    assert_eq!(critical, ["1-3", "3-4", "4-5", "5-6"]);
    for (row, found) in table.iter().zip(&path.activities) {
        let found = [
            found.earliest_start,
            found.earliest_finish,
            found.latest_start,
            found.latest_finish,
            found.total_float,
        ];
        for (found, printed) in found.into_iter().zip([row.2, row.3, row.4, row.5, row.6]) {
            // Whole numbers: exact but for rounding.
            assert!((found - printed).abs() < 1e-12, "{}", row.0);
        }
    }
}

#[test]
fn pert_chain_has_the_printed_chance() {
    // Taylor, chapter 8: mean 24, variance 5, P(<= 28) = .9633 from tables; 0.963181 without rounding the argument.
    let chain: Vec<Activity> = (0..4)
        .map(|at| activity(&format!("{at}"), 0.0, &(0..at).collect::<Vec<_>>()))
        .collect();
    let points = [(5., 8., 17.), (3., 5., 7.), (4., 6., 8.), (3., 4., 5.)];
    let found = pert(&chain, &points).unwrap();
    assert!((found.path.end - 24.0).abs() < 1e-12);
    assert!((found.variance - 5.0).abs() < 1e-12);
    assert!((found.chance_by(28.0) - 0.963_181).abs() < 5e-7);
    // The table's argument is rounded to 1.79.
    assert!((found.chance_by(28.0) - 0.9633).abs() < 2e-4);
}

#[test]
fn pert_network_has_the_printed_times() {
    // Taylor, chapter 8, network of fourteen activities; printed: A 0 to 5.33, D 5.33 to 13.50 with slack 1.83, B slack 8, E 10.33 to 20 with slack 0.
    // End, variance and chances computed from the same table to more digits.
    let names = [
        "A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N",
    ];
    let points = [
        (5., 5., 7.),
        (1., 2., 5.),
        (5., 5., 5.),
        (4., 8., 13.),
        (1., 10., 17.),
        (1., 5., 7.),
        (2., 6., 9.),
        (4., 4., 6.),
        (2., 7., 10.),
        (2., 4., 7.),
        (6., 10., 13.),
        (2., 6., 6.),
        (2., 2., 3.),
        (7., 7., 12.),
    ];
    let after: [&[usize]; 14] = [
        &[],
        &[],
        &[0],
        &[0],
        &[1, 2],
        &[3],
        &[3],
        &[4, 5],
        &[6, 7],
        &[8],
        &[8],
        &[9],
        &[10],
        &[11, 12],
    ];
    let activities: Vec<Activity> = (0..14)
        .map(|at| activity(names[at], 0.0, after[at]))
        .collect();
    let found = pert(&activities, &points).unwrap();
    let of = |at: usize| found.path.activities[at];
    // Printed to two digits.
    let near = |a: f64, b: f64| (a - b).abs() < 5.1e-3;
    assert!(near(of(0).earliest_finish, 5.33));
    assert!(near(of(3).earliest_start, 5.33) && near(of(3).earliest_finish, 13.50));
    assert!(near(of(3).total_float, 1.83) && near(of(1).total_float, 8.0));
    assert!(near(of(4).earliest_start, 10.33) && near(of(4).earliest_finish, 20.0));
    assert!(near(of(4).total_float, 0.0));
    let critical: String = found.path.critical.iter().map(|&at| names[at]).collect();
    assert_eq!(critical, "ACEHIKMN");
    assert!((found.path.end - 50.8333).abs() < 5e-5);
    assert!((found.variance - 11.1944).abs() < 5e-5);
    assert!((found.chance_by(53.0) - 0.741_37).abs() < 5e-6);
    assert!((found.chance_by(55.0) - 0.893_50).abs() < 5e-6);
}

#[test]
fn one_machine_with_heads_and_tails_is_solved_to_the_optimum() {
    // Carlier, European Journal of Operational Research 11 (1982) 42, example of seven jobs: Schrage's rule gives 53, the optimum is 50 (also by enumeration).
    // Times are taken as minutes. A head is a wait before: a job without hands that waits.
    let heads = [10., 13., 11., 20., 30., 0., 30.];
    let hands = [5., 6., 7., 4., 3., 6., 2.];
    let tails = [7., 26., 24., 21., 8., 17., 0.];
    let after: Vec<Vec<usize>> = (0..14)
        .map(|at| if at < 7 { vec![] } else { vec![at - 7] })
        .collect();
    let after: Vec<&[usize]> = after.iter().map(Vec::as_slice).collect();
    let lengths: Vec<f64> = [[0.0; 7], hands]
        .concat()
        .iter()
        .map(|m| m * 60.0)
        .collect();
    let waits: Vec<f64> = [heads, tails].concat().iter().map(|m| m * 60.0).collect();
    let project = one_pair_of_hands(&lengths, &waits, &after, &[1; 14]);
    let schedule = project.order(&always(), 0.0).unwrap();
    assert!(
        (schedule.ready_s / 60.0 - 50.0).abs() < 1e-6,
        "{}",
        schedule.ready_s / 60.0
    );
    assert!(schedule.proved && schedule.bound_s <= schedule.ready_s);
    // Schrage's order, 6 1 2 3 4 5 7.
    let list: Vec<usize> = (0..7)
        .chain([6, 1, 2, 3, 4, 5, 7].map(|job| job + 6))
        .collect();
    let schrage = project.replay(&list, &always(), 0.0).unwrap();
    assert!((schrage.ready_s / 60.0 - 53.0).abs() < 1e-6);
}

/// The project of twelve jobs and two capacities in the examples of the python-mip documentation, which assert 21.
fn twelve_jobs() -> Project {
    let lengths = [0., 3., 2., 5., 4., 2., 3., 4., 2., 4., 6., 0.];
    let demands = [
        (0, 0),
        (5, 1),
        (0, 4),
        (1, 4),
        (1, 3),
        (3, 2),
        (3, 1),
        (2, 4),
        (4, 0),
        (5, 2),
        (2, 5),
        (0, 0),
    ];
    let arrows = [
        (0, 1),
        (0, 2),
        (0, 3),
        (1, 4),
        (1, 5),
        (2, 9),
        (2, 10),
        (3, 8),
        (4, 6),
        (4, 7),
        (5, 9),
        (5, 10),
        (6, 8),
        (6, 9),
        (7, 8),
        (8, 11),
        (9, 11),
        (10, 11),
    ];
    let jobs = (0..12)
        .map(|at| ProjectJob {
            name: format!("job {at}"),
            length_s: lengths[at] * 3600.0,
            demand: vec![demands[at].0, demands[at].1],
            wait_s: 0.0,
            after: arrows
                .iter()
                .filter(|(_, to)| *to == at)
                .map(|(from, _)| *from)
                .collect(),
        })
        .collect();
    Project {
        jobs,
        capacity: vec![6, 8],
    }
}

#[test]
fn project_with_two_capacities_ends_at_the_published_optimum() {
    let hours = |s: f64| s / 3600.0;
    let project = twelve_jobs();
    let schedule = project.order(&always(), 0.0).unwrap();
    assert!((hours(schedule.ready_s) - 21.0).abs() < 1e-6);
    assert!(schedule.proved);
    // Serial generation on two lists, and the longest path alone: computed by enumeration in another language.
    let list: Vec<usize> = (0..12).collect();
    let plain = project.replay(&list, &always(), 0.0).unwrap();
    assert!((hours(plain.ready_s) - 25.0).abs() < 1e-6);
    assert!((hours(plain.bound_s) - 14.0).abs() < 1e-6);
    let list = [0, 1, 4, 2, 5, 6, 3, 7, 8, 9, 10, 11];
    let other = project.replay(&list, &always(), 0.0).unwrap();
    assert!((hours(other.ready_s) - 26.0).abs() < 1e-6);
}

#[test]
fn starting_the_long_cure_first_is_worth_an_hour() {
    // Two parts and a fit, minutes: cut A 20, glue A 10, cure A 90 alone, trim A 25; cut B 15, form B 30, cool B 20 alone, finish B 20; fit 30.
    // Hands-on 150, critical path 175, best 175; the lists below by enumeration in another language.
    let (cut_a, glue_a, trim_a, cut_b, form_b, fin_b, fit) = (0, 1, 2, 3, 4, 5, 6);
    let hands = [20., 10., 25., 15., 30., 20., 30.].map(|m| m * 60.0);
    let waits = [0., 90., 0., 0., 20., 0., 0.].map(|m| m * 60.0);
    let after: [&[usize]; 7] = [
        &[],
        &[cut_a],
        &[glue_a],
        &[],
        &[cut_b],
        &[form_b],
        &[trim_a, fin_b],
    ];
    let project = one_pair_of_hands(&hands, &waits, &after, &[1; 7]);
    let minutes = |list: &[usize]| project.replay(list, &always(), 0.0).unwrap().ready_s / 60.0;
    let first = [cut_a, glue_a, cut_b, form_b, trim_a, fin_b, fit];
    assert!((minutes(&first) - 175.0).abs() < 1e-6);
    assert!((minutes(&[cut_b, form_b, cut_a, glue_a, trim_a, fin_b, fit]) - 220.0).abs() < 1e-6);
    assert!((minutes(&[cut_b, form_b, fin_b, cut_a, glue_a, trim_a, fit]) - 240.0).abs() < 1e-6);
    let best = project.order(&always(), 0.0).unwrap();
    assert!((best.ready_s / 60.0 - 175.0).abs() < 1e-6 && best.proved);
    assert!((best.attended_s / 60.0 - 150.0).abs() < 1e-6);
}
