//! A plan as it was written (`plan.json`), as far as it is remembered.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};
use crate::outline::Outline;
use crate::stock;

/// Largest plan that is read. [bytes]
const LARGEST: usize = 64 << 20;

/// What is read of `plan.json`.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Planned {
    schema: u32,
    /// The job.
    pub job: PlannedJob,
    pub(super) shop: Currency,
    pub(super) parts: Vec<PlannedPart>,
    pub(super) layouts: Vec<PlannedLayout>,
    #[serde(default)]
    deliveries: Vec<PlannedDelivery>,
    pub(super) tasks: Vec<PlannedTask>,
    estimate: Option<Cost>,
    price: Option<Price>,
}

/// The job of a plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlannedJob {
    /// What the shop calls it.
    pub name: String,
    /// The vehicle in the shop's own words.
    pub vehicle: String,
    /// When work starts, civil time.
    pub start: String,
    /// The text of its file.
    pub file: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct Currency {
    pub(super) currency: String,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct PlannedPart {
    pub(super) name: String,
    pub(super) kind: String,
    pub(super) places: Vec<String>,
    pub(super) hand: String,
    pub(super) quantity: u32,
    pub(super) blank: PlannedBlank,
    pub(super) recipe: Option<Recipe>,
    #[serde(default, skip_serializing)]
    joint: Option<Joint>,
    #[serde(default, skip_serializing)]
    checks: Vec<Checked>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Checked {
    name: String,
    verdict: String,
}

impl PlannedPart {
    /// Why it is not to be made as it is planned; `None` where nothing speaks against it.
    fn unfit(&self) -> Option<String> {
        let failed = self.checks.iter().filter(|c| c.verdict == "fail");
        let failed: Vec<&str> = failed.map(|c| c.name.as_str()).collect();
        let mut why = vec![];
        if !failed.is_empty() {
            let word = if failed.len() == 1 { "check" } else { "checks" };
            why.push(format!(
                "fails {} {word} ({})",
                failed.len(),
                failed.join("; ")
            ));
        }
        let shut = |recipe: &Recipe| recipe.opens_s.nominal.is_none();
        if self.recipe.as_ref().is_some_and(shut) {
            why.push("has no forming window".into());
        }
        (!why.is_empty()).then(|| format!("{} {}", self.name, why.join(" and ")))
    }
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct PlannedBlank {
    pub(super) outline: Option<Outline>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Joint {
    amount_m3: f64,
}

/// A recipe that worked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Recipe {
    /// From the start of heat until the window opens. [s]
    pub opens_s: Nominal,
    /// Until it closes. [s]
    pub closes_s: Nominal,
    /// When heating stops. [s]
    pub stop_s: Nominal,
    /// From the stop until it is set. [s]
    pub hold_s: Nominal,
    /// The source of heat.
    pub gun: String,
    /// Nozzle to sheet. [m]
    pub distance_m: f64,
    /// What lies behind, and how it is turned.
    pub behind: String,
}

/// A figure at the likeliest inputs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Nominal {
    /// The figure; `None` where it never happens.
    pub nominal: Option<f64>,
}

/// All that one merchant brings.
#[derive(Debug, Clone, PartialEq, Deserialize)]
struct PlannedDelivery {
    merchant: String,
    #[serde(default)]
    arrives: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct PlannedLayout {
    pub(super) material: String,
    pub(super) thickness_m: f64,
    pub(super) from_rack: Vec<stock::Purchase>,
    #[serde(default)]
    pub(super) buy: Vec<stock::Purchase>,
    pub(super) sheets_used: Vec<stock::Used>,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct PlannedTask {
    pub(super) id: String,
    pub(super) kind: String,
    pub(super) attended_s: Nominal,
    /// What a plan of before did not tell is taken at its likeliest.
    pub(super) mean_s: Option<f64>,
    pub(super) usual_s: f64,
    #[serde(default)]
    pub(super) fixed_s: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Cost {
    cost: Nominal,
    mean_cost: Option<f64>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
struct Price {
    net: String,
}

/// What a job keeps of its plan until it is done and after.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Kept {
    pub(super) file: String,
    pub(super) parts: Vec<PlannedPart>,
    pub(super) tasks: Vec<PlannedTask>,
    /// Names of the sheets that it orders; a program of before did not tell.
    #[serde(default)]
    pub(super) orders: Vec<String>,
}

impl Planned {
    /// Reads the text of `plan.json`.
    ///
    /// # Errors
    /// [`Error::Shape`] where it is no plan, is of another form, or nothing is planned in it.
    pub fn read(text: &str) -> Result<Self> {
        let fault = |given: String, allowed: &str| Error::Shape {
            what: "plan".into(),
            given,
            allowed: allowed.into(),
        };
        if text.len() > LARGEST {
            let given = format!("a text of {} bytes", text.len());
            return Err(fault(given, "a plan.json"));
        }
        let plan: Self = serde_json::from_str(text).map_err(|e| {
            let allowed = "the plan.json of this version: plan the job once more";
            fault(format!("not readable ({e})"), allowed)
        })?;
        if plan.schema != crate::file::SCHEMA {
            let given = format!("of form {}", plan.schema);
            return Err(fault(given, "form 1: plan the job once more"));
        }
        if plan.parts.is_empty() || plan.estimate.is_none() {
            return Err(fault(
                "one in which nothing is planned".into(),
                "a plan with parts",
            ));
        }
        let numbers = plan.numbers();
        if numbers.iter().any(|n| !n.is_finite() || *n < 0.0) {
            return Err(fault(
                "one with times or costs below zero".into(),
                "a plan as written",
            ));
        }
        Ok(plan)
    }

    /// That its parts may be made as they are planned.
    ///
    /// # Errors
    /// [`Error::Impossible`] where a part fails a check or has no forming window.
    pub(super) fn may_be_made(&self) -> Result<()> {
        let why: Vec<String> = self.parts.iter().filter_map(PlannedPart::unfit).collect();
        if why.is_empty() {
            return Ok(());
        }
        Err(Error::Impossible {
            what: format!("accepting \"{}\"", self.job.name),
            why: format!("not to be made as it is planned: {}", why.join("; ")),
            remedy: "mend the job as its bench card says, plan it once more and accept that plan"
                .into(),
        })
    }

    fn numbers(&self) -> Vec<f64> {
        let tasks = self
            .tasks
            .iter()
            .flat_map(|t| [t.usual_s, t.planned_s(), t.fixed_s]);
        tasks
            .chain([self.cost(), self.hours(), self.net_price()])
            .collect()
    }

    /// Mean cost, which the price rests on. [currency]
    pub(super) fn cost(&self) -> f64 {
        let mean = |e: &Cost| e.mean_cost.or(e.cost.nominal);
        self.estimate.as_ref().and_then(mean).unwrap_or(0.0)
    }

    /// Mean attended hours.
    pub(super) fn hours(&self) -> f64 {
        let tasks = self.tasks.iter().map(PlannedTask::planned_s);
        tasks.sum::<f64>() / 3600.0
    }

    /// Net price. [currency]
    pub(super) fn net_price(&self) -> f64 {
        let net = self.price.as_ref().and_then(|p| p.net.parse().ok());
        net.unwrap_or(0.0)
    }

    /// Glue for all joints. [m³]
    pub(super) fn glue_m3(&self) -> f64 {
        let joints = self.parts.iter().filter_map(|p| p.joint.as_ref());
        joints.map(|j| j.amount_m3).sum()
    }

    /// Parts that are formed hot.
    pub(super) fn formed(&self) -> u32 {
        let formed = self.parts.iter().filter(|p| p.recipe.is_some());
        formed.map(|p| p.quantity).sum()
    }

    /// Kinds of its parts, in order: `ring, strap`.
    pub(super) fn kinds(&self) -> String {
        let kinds: std::collections::BTreeSet<&str> =
            self.parts.iter().map(|p| p.kind.as_str()).collect();
        kinds.into_iter().collect::<Vec<_>>().join(", ")
    }

    /// What the job keeps.
    pub(super) fn kept(&self) -> Kept {
        Kept {
            file: self.job.file.clone(),
            parts: self.parts.clone(),
            tasks: self.tasks.clone(),
            orders: self.orders(),
        }
    }

    /// When the delivery of a merchant is there.
    pub(super) fn arrives(&self, merchant: &str) -> Option<&str> {
        let his = self.deliveries.iter().find(|d| d.merchant == merchant)?;
        Some(his.arrives.as_str())
    }

    /// Names of the sheets that it orders, each once.
    pub(super) fn orders(&self) -> Vec<String> {
        let all = self.layouts.iter().flat_map(|l| &l.buy);
        let names: std::collections::BTreeSet<&String> = all.map(|b| &b.name).collect();
        names.into_iter().cloned().collect()
    }
}

impl PlannedTask {
    /// Mean hands-on time: right-skewed times, and work that is done over, take longer than the likeliest. [s]
    pub(super) fn planned_s(&self) -> f64 {
        self.mean_s.or(self.attended_s.nominal).unwrap_or(0.0)
    }

    /// Its name without its part's.
    pub(super) fn own_name(&self) -> &str {
        self.id
            .rsplit_once(" / ")
            .map_or(self.id.as_str(), |(_, own)| own)
    }
}

/// Planned and usual times of what a shop calls a piece of work: one task, its work over all parts, or a kind of work.
pub(super) struct Work {
    pub(super) kind: String,
    /// Which tasks it covers.
    pub(super) tasks: Vec<usize>,
    /// Whether it is all work of its kind.
    whole: bool,
    pub(super) planned_s: f64,
    pub(super) usual_s: f64,
    /// What sheet and machine take of both.
    pub(super) fixed_s: f64,
}

impl Work {
    /// One name for it, however the shop wrote it.
    pub(super) fn called<'a>(&'a self, name: &'a str) -> &'a str {
        let kind = word(&self.kind).unwrap_or(&self.kind);
        if self.whole { kind } else { name.trim() }
    }
}

impl Kept {
    /// Holds what was written down against what a plan tells.
    ///
    /// # Errors
    /// [`Error::Shape`] where it has no part, or times below zero or without end.
    pub(super) fn checked(self) -> Result<Self> {
        let tasks = self.tasks.iter();
        let times = tasks.flat_map(|t| [t.usual_s, t.planned_s(), t.fixed_s]);
        let fault = if self.parts.is_empty() {
            Some("without parts")
        } else if times.into_iter().any(|s| !(0.0..=1e9).contains(&s)) {
            Some("with times that cannot be")
        } else {
            None
        };
        match fault {
            Some(given) => Err(Error::Shape {
                what: "plan".into(),
                given: given.into(),
                allowed: "parts and tasks as accepted".into(),
            }),
            None => Ok(self),
        }
    }

    /// The work called `name`: `left pod / cut`, `lay the film`, `cutting` or `cut`. A kind of work goes before tasks of that name, so
    /// that a time which was planned for a kind is noted for the same tasks.
    ///
    /// # Errors
    /// [`Error::Unknown`] where no task of the job goes by it.
    pub(super) fn work(&self, name: &str) -> Result<Work> {
        let name = name.trim();
        let matching = |of: &dyn Fn(&PlannedTask) -> bool| -> Vec<usize> {
            let tasks = self.tasks.iter().enumerate();
            tasks
                .filter(|(_, t)| of(t) && t.usual_s > 0.0)
                .map(|(i, _)| i)
                .collect()
        };
        let ways: [&dyn Fn(&PlannedTask) -> bool; 4] = [
            &|t| word(&t.kind).unwrap_or(&t.kind) == name,
            &|t| t.id == name,
            &|t| t.own_name() == name,
            &|t| t.kind == name,
        ];
        let mut found = ways.iter().map(|way| matching(way)).enumerate();
        let Some((way, tasks)) = found.find(|(_, tasks)| !tasks.is_empty()) else {
            let mut known: Vec<&str> = vec![];
            for task in self.tasks.iter().filter(|t| t.usual_s > 0.0) {
                known.extend([word(&task.kind).unwrap_or(&task.kind), task.own_name()]);
            }
            known.sort_unstable();
            known.dedup();
            return Err(Error::unknown("work of this job", name, known));
        };
        let sum = |of: &dyn Fn(&PlannedTask) -> f64| -> f64 {
            tasks
                .iter()
                .filter_map(|&i| self.tasks.get(i))
                .map(of)
                .sum()
        };
        let first = tasks.first().and_then(|&i| self.tasks.get(i));
        Ok(Work {
            kind: first.map_or_else(String::new, |t| t.kind.clone()),
            planned_s: sum(&PlannedTask::planned_s),
            usual_s: sum(&|t| t.usual_s),
            fixed_s: sum(&|t| t.fixed_s),
            whole: way == 0 || way == 3,
            tasks,
        })
    }

    /// Planned (mean) hands-on time by kind of work, in the order of the work. [s]
    pub(super) fn by_kind(&self) -> Vec<(String, f64)> {
        let mut order: Vec<String> = vec![];
        let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
        for task in self.tasks.iter().filter(|t| t.usual_s > 0.0) {
            if !order.contains(&task.kind) {
                order.push(task.kind.clone());
            }
            *sums.entry(&task.kind).or_insert(0.0) += task.planned_s();
        }
        let sum = |kind: &String| sums.get(kind.as_str()).copied().unwrap_or(0.0);
        order.iter().map(|kind| (kind.clone(), sum(kind))).collect()
    }
}

/// A kind of work in the words of the estimate; `None` for a name that is none.
pub(super) fn word(kind: &str) -> Option<&'static str> {
    crate::task::Kind::ALL
        .into_iter()
        .find(|k| k.key() == kind)
        .map(crate::task::Kind::name)
}
