//! The same job made in several ways, side by side.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::assemble::{job_short, shop_short};
use super::result::{Band, JobShort, ShopShort};
use super::{Options, Plan, plan_with};
use crate::error::{Error, Result, Watch};
use crate::file::{self, Length};
use crate::finish::Kind as Finish;
use crate::job::{Job, JobFile, Template};
use crate::material::Catalogue;
use crate::money::{Currency, Money};
use crate::mount::Verdict;
use crate::shop::{CutBy, ShopFile};

/// What is different in one way of making a job.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// The part that is changed; all of them where none is named.
    pub part: Option<String>,
    /// Another sheet.
    pub material: Option<String>,
    /// Another thickness of straps and panels.
    #[schemars(extend("least" = "0.5 mm", "most" = "25 mm"))]
    pub thickness: Option<Length>,
    /// Another finish.
    pub finish: Option<Finish>,
    /// Another tool to cut with.
    pub cut_by: Option<CutBy>,
    /// Where the template is.
    pub template: Option<Template>,
    /// Another number of vehicles alike.
    #[schemars(range(min = 1, max = 100))]
    pub sets: Option<u32>,
}

/// One way with what comes of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WayPlan {
    /// Its name.
    pub name: String,
    /// Why it cannot be made so; nothing else is known then.
    pub problem: Option<String>,
    /// Price with tax.
    pub gross: Option<String>,
    /// What it is more than the cheapest.
    pub more_gross: Option<String>,
    /// What it costs the shop.
    pub cost: Option<Band>,
    /// Attended hours.
    pub hours: Option<Band>,
    /// From the first start to the hand-back. [s]
    pub elapsed_s: Option<Band>,
    /// Ready by then in nine jobs of ten; at the likeliest times where there are no draws.
    pub ready: Option<String>,
    /// Share of the draws in which it loses money.
    pub chance_of_loss: Option<f64>,
    /// What has to be bought.
    pub buy: Vec<String>,
    /// Checks of the finished mounts that pass.
    pub passes: usize,
    /// Those that nearly fail, each with its part.
    pub marginal: Vec<String>,
    /// Those that fail, and parts whose forming window never opens.
    pub fails: Vec<String>,
}

/// A job made in several ways.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Alternatives {
    /// The program and its version.
    pub program: String,
    /// Draws behind the ranges.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// The job in short.
    pub job: JobShort,
    /// The shop in short.
    pub shop: ShopShort,
    /// The ways in the order given; the first is the job as it stands.
    pub ways: Vec<WayPlan>,
}

/// Plans a job as it stands and in other ways, each with the same draws of what they share.
///
/// A way that cannot be made is listed with its problem.
///
/// # Errors
/// As [`plan()`](super::plan()) for the job as it stands; [`Error::Unknown`] for a way that names a part that is not there,
/// [`Error::Shape`] for one that changes nothing; [`Error::Stopped`] when `watch` says so.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::job::JobFile;
/// use mountwright::plan::{Options, Way, compare, names};
/// use mountwright::shop::ShopFile;
/// let names = names()?;
/// let job = JobFile::parse("job", include_str!("../../demo-data/door-rings.toml"), &names)?;
/// let shop = ShopFile::parse("shop", include_str!("../../demo-data/shop.toml"), &names)?;
/// let hdpe = Way { part: Some("front door ring".into()), material: Some("hdpe".into()), ..Way::default() };
/// let options = Options { draws: 0, seed: 1 };
/// let both = compare(&job, &shop, &[("rings from HDPE".into(), hdpe)], options, &Unwatched)?;
/// assert_eq!(both.ways.len(), 2);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn compare(
    job: &JobFile,
    shop: &ShopFile,
    ways: &[(String, Way)],
    options: Options,
    watch: &dyn Watch,
) -> Result<Alternatives> {
    compare_with(job, shop, Catalogue::standard()?, ways, options, watch)
}

/// As [`compare()`], with materials of the user's own, as [`plan_with`](super::plan_with) takes them.
///
/// # Errors
/// As [`compare()`].
pub fn compare_with(
    job: &JobFile,
    shop: &ShopFile,
    materials: &Catalogue,
    ways: &[(String, Way)],
    options: Options,
    watch: &dyn Watch,
) -> Result<Alternatives> {
    let plan = |job: &JobFile, shop: &ShopFile| plan_with(job, shop, materials, options, watch);
    let mut planned = vec![way_plan("as it stands", Ok(plan(job, shop)?))];
    for (name, way) in ways {
        let (mut job, mut shop) = (job.clone(), shop.clone());
        way.change(name, &mut job.job, &mut shop)?;
        let made = match plan(&job, &shop) {
            Err(Error::Stopped) => return Err(Error::Stopped),
            made => made,
        };
        planned.push(way_plan(name, made));
    }
    let mut ways: Vec<WayPlan> = vec![];
    let currency = Currency::named(&shop.shop.currency)?;
    let least = planned.iter().filter_map(|(_, gross)| *gross).min();
    for (mut way, gross) in planned {
        if let (Some(gross), Some(least)) = (gross, least) {
            let money = |minor| Money::from_minor(minor, currency);
            way.more_gross = Some(super::price::number(money(gross).minus(money(least))?));
        }
        ways.push(way);
    }
    Ok(Alternatives {
        program: format!("mountwright {}", env!("CARGO_PKG_VERSION")),
        draws: options.draws,
        seed: options.seed,
        job: job_short(job),
        shop: shop_short(&shop.shop),
        ways,
    })
}

impl Way {
    /// Reads a way as a file is read: every key that is not known, every word and every number out of bounds is told at once.
    ///
    /// # Errors
    /// [`Error::Job`] with all of them.
    ///
    /// ```
    /// use mountwright::plan::Way;
    /// assert!(Way::read("two", "sets = 2").is_ok());
    /// let gold = Way::read("gold", "finish = \"gold\"").unwrap_err();
    /// assert!(gold.to_string().contains("allowed are: bare, textured"));
    /// ```
    pub fn read(name: &str, text: &str) -> Result<Self> {
        let path = format!("way \"{name}\"");
        let read = file::read::<Self>(&path, text, &file::Names::new(), &[]);
        read.map(|(way, _)| way).map_err(|error| match error {
            Error::Job { path, mut problems } => {
                // A way is typed as one line: its lines would tell nothing.
                for problem in &mut problems {
                    problem.line = None;
                }
                Error::Job { path, problems }
            }
            other => other,
        })
    }

    /// Changes a job and a shop.
    fn change(&self, name: &str, job: &mut Job, shop: &mut ShopFile) -> Result<()> {
        if let Some(part) = &self.part {
            let names = job.part_names();
            if !names.iter().any(|(_, known)| known == part) {
                let known: Vec<&str> = names.iter().map(|(_, known)| known.as_str()).collect();
                return Err(Error::unknown("part", part.as_str(), known));
            }
        }
        let before = (job.clone(), shop.shop.cutting.by);
        let meant = |part: &str| self.part.as_deref().is_none_or(|only| only == part);
        macro_rules! set {
            ($list:expr, $($field:ident)*) => {
                for part in $list.iter_mut().filter(|part| meant(&part.name)) {
                    $(if let Some(other) = self.$field.clone() {
                        part.$field = other;
                    })*
                }
            };
        }
        set!(job.straps, material thickness finish template);
        set!(job.rings, material finish template);
        set!(job.panels, material thickness finish template);
        set!(job.pods, material thickness finish template);
        set!(job.folded, material thickness finish template);
        set!(job.grilles, material thickness finish template);
        if let Some(by) = self.cut_by {
            shop.shop.cutting.by = by;
        }
        if self.sets.is_some() {
            job.sets = self.sets;
        }
        if before == (job.clone(), shop.shop.cutting.by) {
            return Err(Error::Shape {
                what: format!("way \"{name}\""),
                given: "no change".into(),
                allowed:
                    "another material, thickness, finish, cut_by, template or sets than the job has"
                        .into(),
            });
        }
        Ok(())
    }
}

/// What is shown of a plan, and its price in minor units.
fn way_plan(name: &str, made: Result<Plan>) -> (WayPlan, Option<i64>) {
    let mut way = WayPlan {
        name: name.into(),
        problem: None,
        gross: None,
        more_gross: None,
        cost: None,
        hours: None,
        elapsed_s: None,
        ready: None,
        chance_of_loss: None,
        buy: vec![],
        passes: 0,
        marginal: vec![],
        fails: vec![],
    };
    let plan = match made {
        Ok(plan) => plan,
        Err(error) => {
            way.problem = Some(match error {
                // Without the path and the lines: they are those of the job as it stands.
                Error::Job { problems, .. } => {
                    let words: Vec<String> = problems.into_iter().map(|p| p.message).collect();
                    words.join("; ")
                }
                other => other.to_string(),
            });
            return (way, None);
        }
    };
    if let Some(estimate) = &plan.estimate {
        way.cost = Some(estimate.cost);
        way.hours = Some(estimate.hours);
    } else {
        way.problem = Some("every place of the job is refused".into());
    }
    way.elapsed_s = plan.schedule.as_ref().map(|schedule| schedule.elapsed_s);
    way.ready = plan
        .promise
        .map(|promise| promise.p90.unwrap_or(promise.p50));
    let bought = plan.layouts.iter().flat_map(|layout| &layout.layout.buy);
    way.buy = bought
        .map(|b| format!("{} × {}", b.count, b.name))
        .collect();
    for part in &plan.parts {
        for check in &part.checks {
            let named = || format!("{}: {}", part.name, check.name);
            match check.verdict {
                Verdict::Pass => way.passes += 1,
                Verdict::Marginal => way.marginal.push(named()),
                Verdict::Fail => way.fails.push(named()),
            }
        }
        if part.recipe.as_ref().is_some_and(|r| !r.has_window) {
            way.fails
                .push(format!("{}: no forming window opens", part.name));
        }
    }
    let Some(price) = plan.price else {
        return (way, None);
    };
    way.gross = Some(price.gross);
    way.chance_of_loss = price.chance_of_loss;
    (way, Some(price.gross_minor))
}
