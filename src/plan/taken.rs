//! What the plan took because the files of job and shop say nothing of it.

use serde_json::Value;

use super::chain::Kept;
use super::practice;
use super::result::Taken;
use super::setup::Setup;
use crate::file::schema;
use crate::job::Job;
use crate::provenance::shown;
use crate::sourced::{Constant, Sourced};

/// Ends the words of a key that has a usual value; what goes before it is that value.
const MARK: &str = "where nothing is said";

/// Keys whose usual value takes nothing: any sheet, any direction.
const FREE: [&str; 3] = ["sheet", "faces", "grain"];

const PRACTICE: &str = "common practice, no source";

/// Everything that was taken: of each part, then of the shop.
pub(super) fn taken(setup: &Setup, kept: &Kept) -> Vec<Taken> {
    let mut all = vec![];
    let job: toml::Table = setup.job.source.text().parse().unwrap_or_default();
    let about = schema::<Job>().to_value();
    for (at, part) in &kept.parts {
        let (list, number) = at
            .trim_end_matches(']')
            .split_once('[')
            .unwrap_or((at, "0"));
        let given = (job.get(list).and_then(toml::Value::as_array))
            .and_then(|all| all.get(number.parse::<usize>().unwrap_or(0)))
            .and_then(toml::Value::as_table);
        let keys = about.pointer(&format!("/properties/{list}/items/properties"));
        for (key, value) in keys.and_then(Value::as_object).into_iter().flatten() {
            let left_out = given.is_some_and(|given| !given.contains_key(key));
            if let Some(usual) = usual(value).filter(|_| left_out && !FREE.contains(&key.as_str()))
            {
                all.push(Taken {
                    part: part.name().into(),
                    what: key.replace('_', " "),
                    value: usual,
                    why: PRACTICE.into(),
                });
            }
        }
    }
    all.extend(of_shop(setup, kept));
    all
}

/// The usual value in the words of a key: `dark` of "How dark the finish is; dark where nothing is said."
fn usual(key: &Value) -> Option<String> {
    let about = key.get("description")?.as_str()?;
    let (before, _) = about.split_once(MARK)?;
    let value = before.rsplit("; ").next()?.trim_end_matches([' ', ',']);
    (value != "nothing").then(|| value.into())
}

/// What the shop's file and memory do not say.
fn of_shop(setup: &Setup, kept: &Kept) -> Vec<Taken> {
    let shop = &setup.shop.shop;
    let mut all = vec![];
    let mut take = |what: &str, value: String, why: &str| {
        all.push(Taken {
            part: String::new(),
            what: what.into(),
            value,
            why: why.into(),
        });
    };
    let usual = |constant: &Constant| shown(&constant.sourced());
    if kept.heats() {
        if setup.trials.is_none() {
            let [low, value, high] = setup.gun.film_factor;
            let range = Sourced {
                low,
                value,
                high,
                unit: "1".into(),
                ..practice::PACE.sourced()
            };
            take(
                "how strongly the gun heats",
                shown(&range),
                "derived: the gun was never tried; two timed trials narrow it",
            );
        }
        if shop.gun.nozzle.is_none() {
            take("gun: nozzle", usual(&practice::NOZZLE), PRACTICE);
        }
    }
    let learned = setup.shop.learned();
    if learned.is_none_or(|l| l.pace.is_none()) {
        take(practice::PACE.name, usual(&practice::PACE), PRACTICE);
    }
    if kept.heats() && shop.spoilage.is_none() && learned.is_none_or(|l| l.spoilage.is_none()) {
        take(
            practice::SPOILAGE.name,
            usual(&practice::SPOILAGE),
            PRACTICE,
        );
    }
    if setup.sets > 1 && shop.rates.learning.is_none() {
        take(
            practice::LEARNING.name,
            usual(&practice::LEARNING),
            PRACTICE,
        );
    }
    for (constant, own) in practice::own_times(&shop.times) {
        let heats_only = [practice::HEAT_SET_UP.name, practice::FORM.name];
        if own.is_none() && (kept.heats() || !heats_only.contains(&constant.name)) {
            take(constant.name, usual(constant), PRACTICE);
        }
    }
    all
}
