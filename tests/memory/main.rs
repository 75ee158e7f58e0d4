//! The memory under hard treatment: programs killed in the middle, two at once.
#![allow(clippy::unwrap_used, clippy::panic)] // helpers of tests may panic: that is how a test fails

mod plans;

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use mountwright::memory::{Memory, Planned};
use plans::{DAY, KEPT, SHEETS, plan_text, shop};
use rusqlite::Connection;

/// Says to a program that runs the test below which file it works on, and what its jobs are called.
const FILE: &str = "MOUNTWRIGHT_TEST_FILE";
const NAME: &str = "MOUNTWRIGHT_TEST_NAME";

struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("mountwright-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A shop that accepts jobs, and takes every fourth back, and says what it has done once it is done.
#[test]
#[ignore = "a program of its own that the tests below start"]
fn accept_until_killed() {
    let Ok(file) = std::env::var(FILE) else {
        return;
    };
    let name = std::env::var(NAME).unwrap();
    let shop = shop();
    let mut memory = Memory::open(&file).unwrap();
    let mut out = std::io::stdout();
    writeln!(out, "ready").unwrap();
    let most: u32 = std::env::var("MOUNTWRIGHT_TEST_JOBS").map_or(u32::MAX, |n| n.parse().unwrap());
    for number in 0..most {
        let job = format!("{name} {number}");
        // One of the pieces that earlier jobs left, another one than the program beside takes.
        let rack = memory.rack().unwrap();
        let mine = rack
            .iter()
            .find(|o| o.from_job.as_deref().is_some_and(|j| j.starts_with(&name)));
        let planned = Planned::read(&plan_text(&job, mine)).unwrap();
        memory.accept(&planned, &shop, DAY).unwrap();
        writeln!(out, "accepted {job}").unwrap();
        out.flush().unwrap();
        if number % 4 == 3 {
            memory.undo(&job, None).unwrap();
            writeln!(out, "undone {job}").unwrap();
            out.flush().unwrap();
        }
    }
    writeln!(out, "done").unwrap();
}

fn start(file: &Path, name: &str, jobs: Option<u32>) -> Child {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command
        .args([
            "--exact",
            "accept_until_killed",
            "--ignored",
            "--nocapture",
            "--test-threads=1",
        ])
        .env(FILE, file)
        .env(NAME, name)
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    if let Some(jobs) = jobs {
        command.env("MOUNTWRIGHT_TEST_JOBS", jobs.to_string());
    }
    command.spawn().unwrap()
}

/// What must hold whenever a file is opened: every job whole or not there at all, no sheet lost, none gained.
fn whole(file: &Path) {
    let db = Connection::open(file).unwrap();
    let text = |sql: &str| {
        db.query_row(sql, [], |row| row.get::<_, String>(0))
            .unwrap()
    };
    let number = |sql: &str| db.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!(text("PRAGMA integrity_check"), "ok");
    assert_eq!(number("SELECT count(*) FROM pragma_foreign_key_check"), 0);
    let kept = "(SELECT count(*) FROM offcut WHERE made_by = job.id)";
    let half = format!(
        "SELECT count(*) FROM job WHERE {kept} <> CASE state WHEN 'accepted' THEN {KEPT} ELSE 0 END"
    );
    assert_eq!(number(&half), 0, "half done");
    let sheets = "SELECT (SELECT coalesce(sum(count), 0) FROM taken) - count(*) FROM job WHERE state = 'accepted'";
    assert_eq!(number(sheets), 0);
    let left = number(&format!(
        "SELECT coalesce((SELECT on_hand FROM sheet), {SHEETS}) + (SELECT coalesce(sum(count), 0) FROM taken)"
    ));
    assert_eq!(left, i64::from(SHEETS));
    // A job's own piece is used, and by no other.
    let used = "SELECT count(*) FROM (SELECT used_by FROM offcut WHERE used_by IS NOT NULL GROUP BY used_by HAVING count(*) > 1)";
    assert_eq!(number(used), 0);
    let orphans =
        "SELECT count(*) FROM offcut JOIN job ON job.id = used_by WHERE job.state <> 'accepted'";
    assert_eq!(number(orphans), 0);
}

fn states(file: &Path) -> (BTreeSet<String>, BTreeSet<String>) {
    let jobs = Memory::open(&file.to_string_lossy())
        .unwrap()
        .jobs(None)
        .unwrap();
    let of = |state: &str| {
        let all = jobs.iter().filter(|j| j.state == state);
        all.map(|j| j.name.clone()).collect()
    };
    (of("accepted"), of("quoted"))
}

/// Kills a shop at random points, over and over: what it said is there, and nothing is half done.
fn killed(times: u32) {
    let folder = Folder::new(&format!("killed-{times}"));
    // A fixed order of delays, so that a failure comes again.
    let mut random = 20_261_126_u64;
    for round in 0..times {
        // A file of its own every so often: opening it for the first time is killed, too.
        let file = folder.0.join(format!("shop-{}.db", round / 50));
        let mut child = start(&file, &format!("r{round}"), None);
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        random = random
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        let delay = Duration::from_micros((random >> 33) % 40_000);
        // The harness of the test speaks first; wait for the shop but in the rounds that kill the opening.
        if round % 50 != 0 {
            while lines
                .next()
                .is_some_and(|line| !line.unwrap().ends_with("ready"))
            {}
        }
        std::thread::sleep(delay);
        child.kill().unwrap();
        let said: Vec<String> = lines.map_while(Result::ok).collect();
        child.wait().unwrap();
        if !file.exists() {
            continue;
        }
        // Opened by the library first, which rolls back what was going on.
        let (accepted, taken_back) = states(&file);
        whole(&file);
        let last = said.last().cloned().unwrap_or_default();
        for line in &said {
            if let Some(job) = line.strip_prefix("undone ") {
                assert!(taken_back.contains(job), "{line} is lost");
            }
            let Some(job) = line.strip_prefix("accepted ") else {
                continue;
            };
            let undone = said.contains(&format!("undone {job}"));
            // What was said last may be taken back already, which could not be said any more.
            let perhaps = *line == last && taken_back.contains(job);
            assert!(
                undone || perhaps || accepted.contains(job),
                "{line} is lost"
            );
        }
    }
}

#[test]
fn nothing_is_lost_or_half_done_when_it_is_killed_a_hundred_times() {
    killed(100);
}

#[test]
#[ignore = "some minutes: run by hand, `cargo test --test memory -- --ignored thousand`"]
fn nothing_is_lost_or_half_done_when_it_is_killed_a_thousand_times() {
    killed(1000);
}

#[test]
fn two_programs_at_once_both_get_their_work_done() {
    let folder = Folder::new("two");
    let file = folder.0.join("shop.db");
    let children = ["one", "two"].map(|name| start(&file, name, Some(40)));
    for mut child in children {
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let said: Vec<String> = lines.map_while(Result::ok).collect();
        assert!(child.wait().unwrap().success(), "{said:?}");
    }
    whole(&file);
    let (accepted, taken_back) = states(&file);
    assert_eq!((accepted.len(), taken_back.len()), (60, 20));
}
