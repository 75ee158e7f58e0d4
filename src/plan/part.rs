//! What one part hands on in one run of the chain, and the work that every kind of part has in common.

use std::collections::BTreeMap;

use super::practice::{self, time_law};
use super::setup::{Setup, Stuff};
use super::values::Values;
use crate::bond::{Joint, JointAsk, Load, Pack};
use crate::climate::{Air, Climate};
use crate::cost::{Curve, Group, Line};
use crate::error::{Note, Result};
use crate::finish::{self, Finish, FinishAsk, Kind as Coat, Shade};
use crate::heat::{Exposure, Limits, Recipe};
use crate::mount::Check;
use crate::mount::service_heat::Warmth;
use crate::promise::Times;
use crate::shape::Blank;
use crate::shop::ThreePoint;
use crate::sourced::Constant;
use crate::task::{Kind, Task, Unattended};

/// A task with its times in this run.
#[derive(Clone)]
pub(super) struct Planned {
    pub(super) task: Task,
    /// Hands-on. [s]
    pub(super) attended_s: f64,
    /// Hands-on at pace 1, without what done jobs taught. [s]
    pub(super) usual_s: f64,
    /// What sheet and machine take of both, whoever works. [s]
    pub(super) fixed_s: f64,
    /// Times that it is expected to be done over, where this run counts it once; 0 where tries are drawn.
    pub(super) again: f64,
    /// A wait of known length. [s]
    pub(super) wait_s: f64,
    /// Factor on the times of a cure.
    pub(super) cure_factor: f64,
}

/// Blanks of one form, `copies` for the whole job and `spares` for those that come out wrong.
pub(super) struct Cut {
    pub(super) blank: Blank,
    pub(super) copies: u32,
    pub(super) spares: u32,
    pub(super) material: String,
    pub(super) thickness_m: f64,
    /// Name or lot of the sheet, where the job names one.
    pub(super) sheet: Option<String>,
}

impl Cut {
    /// What it is cut from.
    pub(super) fn stuff(&self) -> Stuff<'_> {
        Stuff::of(&self.material, self.thickness_m, self.sheet.as_ref())
    }
}

/// Something to print beside the blank itself: a template, a gasket, a wedge; it takes no sheet of the layout.
pub(super) struct Beside {
    /// `card`, `template`, `foam`, `gasket`, `wedge`, `mesh`.
    pub(super) kind: &'static str,
    pub(super) blank: Blank,
}

/// A glued joint with its area and what it joins.
pub(super) struct Glued {
    pub(super) joint: Joint,
    pub(super) substrates: [String; 2],
    pub(super) area_m2: f64,
    /// Factor on its times in this run.
    pub(super) factor: f64,
}

/// One part after shape, heat, bond, finish and mount.
pub(super) struct PartRun {
    pub(super) name: String,
    pub(super) cuts: Vec<Cut>,
    pub(super) beside: Vec<Beside>,
    pub(super) developed_m: Option<f64>,
    pub(super) recipe: Option<Recipe>,
    /// How it is folded, in order.
    /// The plug of a strap and what it is bent to.
    pub(super) bends: Vec<String>,
    pub(super) bench: Vec<String>,
    /// What is put together once it is drilled.
    pub(super) last: Vec<String>,
    pub(super) limits: Option<Limits>,
    pub(super) exposure: Option<Exposure>,
    pub(super) glued: Option<Glued>,
    pub(super) finish: Finish,
    pub(super) adds_face_m: f64,
    pub(super) checks: Vec<Check>,
    /// How warm it gets in service.
    pub(super) warmth: Warmth,
    /// Expected cost of parts that come out wrong; only lost blanks where tries are drawn.
    pub(super) rework: f64,
    pub(super) notes: Vec<Note>,
}

/// One run of the chain: where its numbers come from, and the work and the lines so far.
pub(super) struct Run<'s, 'v> {
    pub(super) setup: &'s Setup<'s>,
    pub(super) values: Values<'v>,
    /// Factor on every attended time.
    pub(super) pace: f64,
    /// The shop against its usual temperature. [K]
    pub(super) rise_k: f64,
    pub(super) climate: Climate,
    pub(super) learning: Curve,
    /// Share of formed parts that come out wrong at a try.
    pub(super) spoilage: f64,
    pub(super) tasks: Vec<Planned>,
    pub(super) lines: Vec<Line>,
    /// The adhesive of each part, once it is chosen.
    pub(super) adhesives: BTreeMap<String, String>,
    /// Steps of finishes that are done once for the batch, and the task that does them.
    pub(super) batch_steps: BTreeMap<String, String>,
}

/// A step of hands-on work.
pub(super) struct Step<'a> {
    /// Name in the plan: `left pod / cut`.
    pub(super) id: String,
    pub(super) part: Option<&'a str>,
    pub(super) kind: Kind,
    /// Time of the shop, and of the trade where the shop gave none.
    pub(super) time: (Option<ThreePoint>, &'static Constant),
    /// First and last unit of its kind, for learning.
    pub(super) units: (u32, u32),
    /// What sheet or machine add. [s]
    pub(super) paced_s: f64,
    pub(super) after: Vec<String>,
}

/// A step in a row of steps of one part.
pub(super) struct Stage {
    /// Its name without the part's.
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    pub(super) time: (Option<ThreePoint>, &'static Constant),
    pub(super) units: (u32, u32),
    /// What sheet or machine add. [s]
    pub(super) paced_s: f64,
    /// A task of the whole job that comes before it.
    pub(super) set_up: Option<&'static str>,
}

/// A joint to be glued.
pub(super) struct Seam<'a> {
    /// The two faces, by the catalogue's names.
    pub(super) faces: [&'a str; 2],
    /// Area of one joint. [m²]
    pub(super) area_m2: f64,
    /// Narrowest overlap. [m]
    pub(super) overlap_m: f64,
    /// How warm it gets in service.
    pub(super) warmth: Warmth,
    /// What it has to carry.
    pub(super) load: Load,
}

impl Run<'_, '_> {
    /// Steps of one part, each after the one before; gives the last one's name.
    pub(super) fn stages(
        &mut self,
        part: &str,
        first_after: Option<String>,
        stages: &[Stage],
    ) -> Result<String> {
        let mut before = first_after;
        for stage in stages {
            let id = format!("{part} / {}", stage.name);
            let after = before
                .into_iter()
                .chain(stage.set_up.map(str::to_string))
                .collect();
            self.step(Step {
                id: id.clone(),
                part: Some(part),
                kind: stage.kind,
                time: stage.time,
                units: stage.units,
                paced_s: stage.paced_s,
                after,
            })?;
            before = Some(id);
        }
        Ok(before.unwrap_or_default())
    }

    /// The air of the shop while it is open.
    pub(super) fn air(&self) -> Air {
        let climate = &self.setup.shop.shop.climate;
        Air {
            temperature_k: climate.day.si() + self.rise_k,
            humidity: climate.humidity.si(),
        }
    }

    /// Adds a step of work.
    pub(super) fn step(&mut self, step: Step) -> Result<&mut Planned> {
        let law = time_law(step.time.0, step.time.1);
        let each = self.values.take(&format!("time: {}", step.id), law)?;
        let (first, last) = step.units;
        let lot = if step.kind.learns() && step.part.is_some() {
            self.learning.from_first(each)?.lot(first, last)?
        } else {
            each * f64::from(last + 1 - first)
        };
        let attended_s = lot * self.pace + step.paced_s;
        let planned = Planned {
            attended_s,
            usual_s: lot + step.paced_s,
            fixed_s: step.paced_s,
            again: 0.0,
            wait_s: 0.0,
            cure_factor: 1.0,
            task: Task {
                id: step.id,
                part: step.part.map(Into::into),
                kind: step.kind,
                attended: law,
                unattended: Unattended::None,
                after: step.after,
                may_split: !matches!(step.kind, Kind::Heat | Kind::Form | Kind::Bond)
                    && attended_s > practice::SHORT.value,
                max_wait_s: None,
                once: step.part.is_none(),
            },
        };
        self.push(planned)
    }

    fn push(&mut self, planned: Planned) -> Result<&mut Planned> {
        self.tasks.push(planned);
        let count = self.tasks.len();
        self.tasks.get_mut(count - 1).ok_or(crate::Error::Stopped)
    }

    /// A line of consumables.
    pub(super) fn consumes(
        &mut self,
        name: &str,
        amount: f64,
        unit: &str,
        rate: f64,
    ) -> Result<()> {
        self.lines
            .push(Line::new(name, Group::Consumable, amount, unit, rate)?);
        Ok(())
    }

    /// What a tool of a power takes from the mains in its time.
    pub(super) fn energy(&mut self, watts: f64, seconds: f64) -> Result<()> {
        let price = self.setup.shop.shop.consumables.energy_per_kwh;
        self.consumes("energy", watts * seconds / 3.6e6, "kWh", price)
    }

    /// Foam for a liner of `area_m2`, with what is cut away, in each copy.
    pub(super) fn foam(&mut self, area_m2: f64) -> Result<()> {
        let price = self.setup.shop.shop.consumables.foam_per_m2;
        let amount = practice::FOAM_WASTE.value * area_m2 * f64::from(self.setup.sets);
        self.consumes("foam", amount, "m²", price)
    }

    /// Glues the joints of one part with the best adhesive on the shelf, or the best there is where none of the shelf suits.
    pub(super) fn glue(
        &mut self,
        part: &str,
        seam: &Seam,
        units: (u32, u32),
        after: String,
    ) -> Result<Glued> {
        let shop = &self.setup.shop.shop;
        let [a, b] = seam.faces;
        let area_m2 = seam.area_m2;
        let mut ask = JointAsk::film(a, b, area_m2);
        ask.count = units.1 + 1 - units.0;
        ask.conditions.overlap_m = seam.overlap_m;
        ask.conditions.service_k = seam.warmth.temperature_k;
        ask.conditions.shop = self.air();
        ask.conditions.area_m2 = area_m2;
        ask.conditions.load = seam.load;
        let shelf = |name: &str| shop.adhesives.iter().find(|a| a.family == name);
        // Chosen once, at the likeliest inputs: a draw does not change the glue on the bench.
        let mut chosen = self.adhesives.get(part).cloned();
        if chosen.is_none() {
            let ranking = self.setup.bonds.rank(a, b, &ask.conditions)?;
            let on_shelf = ranking.ranked.iter().find(|r| shelf(&r.adhesive).is_some());
            chosen = on_shelf
                .or(ranking.ranked.first())
                .map(|r| r.adhesive.clone());
        }
        if let Some(chosen) = chosen {
            ask.pack = shelf(&chosen).map(|a| Pack {
                volume_m3: a.pack.si(),
                price: a.price,
                nozzle_price: 0.0,
            });
            self.adhesives.insert(part.into(), chosen.clone());
            ask.adhesive = Some(chosen);
        }
        let joint = self.setup.bonds.joint(&ask)?;
        let rate = ask.pack.map_or(0.0, |p| p.price / (p.volume_m3 * 1e6));
        self.consumes(&joint.name, joint.amount.volume_m3 * 1e6, "mL", rate)?;
        for primed in &joint.primed {
            let pack = shelf(&primed.primer);
            let rate = pack.map_or(0.0, |p| p.price / (p.pack.si() * 1e6));
            self.consumes(&primed.name, primed.volume_m3 * 1e6, "mL", rate)?;
        }
        let factor = self.values.take(
            &format!("{}: time to cure", joint.adhesive),
            joint.cure.time_law(),
        )?;
        let task = self.step(Step {
            id: format!("{part} / glue"),
            part: Some(part),
            kind: Kind::Bond,
            time: (shop.times.bond, &practice::BOND),
            units,
            paced_s: 0.0,
            after: vec![after],
        })?;
        task.task.unattended = Unattended::Cure(Box::new(joint.cure.clone()));
        task.cure_factor = factor;
        Ok(Glued {
            joint,
            substrates: seam.faces.map(str::to_string),
            area_m2,
            factor,
        })
    }

    /// Thickness that a finish adds to a face and to an edge, in this run. [m]
    pub(super) fn coat_m(&mut self, kind: Coat) -> Result<(f64, f64)> {
        let recipe = finish::Catalogue::standard()?.recipe(kind)?;
        let face = self.values.sourced(
            &format!("{}: adds to a face", recipe.name),
            &recipe.adds_face,
        )?;
        let edge = self.values.sourced(
            &format!("{}: adds to an edge", recipe.name),
            &recipe.adds_edge,
        )?;
        Ok((face, edge))
    }

    /// Finishes `units` of one part; gives the last task's name.
    pub(super) fn coat(
        &mut self,
        part: &str,
        (kind, shade): (Coat, Shade),
        (face_m2, edge_m): (f64, f64),
        substrate: &str,
        units: (u32, u32),
        after: String,
    ) -> Result<(Finish, String)> {
        let count = f64::from(units.1 + 1 - units.0);
        let air = self.air();
        let ask = FinishAsk {
            shade,
            air,
            ..FinishAsk::new(kind, face_m2, edge_m, substrate)
        };
        let finish = finish::finish(&ask)?;
        let prices = &self.setup.shop.shop.consumables;
        let mut last = vec![after];
        for step in &finish.steps {
            let id = format!("{part} / {}", step.name);
            if step.once {
                // Another colour is another pot.
                let pot = format!("{} {shade:?}", step.name);
                if let Some(done) = self.batch_steps.get(&pot) {
                    last.push(done.clone());
                    continue;
                }
                self.batch_steps.insert(pot, id.clone());
            }
            let each = self.values.take(&format!("time: {id}"), step.attended)?;
            let units = if step.once { (1, 1) } else { units };
            let usual_s = self.learning.from_first(each)?.lot(units.0, units.1)?;
            let (wait_s, cure_factor) = match &step.wait {
                Unattended::None => (0.0, 1.0),
                Unattended::Fixed(law) => (self.values.take(&format!("wait: {id}"), *law)?, 1.0),
                Unattended::Cure(cure) => (
                    0.0,
                    self.values
                        .take(&format!("{}: time to dry", step.name), cure.time_law())?,
                ),
            };
            for used in &step.uses {
                let amount = self.values.take(
                    &format!("{part} / {}: {}", step.name, used.name),
                    used.amount,
                )? * count;
                let (amount, unit, rate) = match used.unit {
                    "m2" if used.name.contains("fabric") => (amount, "m²", prices.fabric_per_m2),
                    "m2" => (amount, "m²", prices.vinyl_per_m2),
                    // A wrap glue that the shop has on its shelf at its own price, else as a coating.
                    _ => {
                        let shelf = &self.setup.shop.shop.adhesives;
                        let own = shelf.iter().find(|a| a.family == used.name);
                        let rate = own.map_or(prices.coating_per_litre / 1e3, |a| {
                            a.price / (a.pack.si() * 1e6)
                        });
                        (amount * 1e6, "mL", rate)
                    }
                };
                self.consumes(&used.name, amount, unit, rate)?;
            }
            let task = Task {
                id: id.clone(),
                part: Some(part.into()),
                kind: step.kind,
                attended: step.attended,
                unattended: step.wait.clone(),
                after: last,
                may_split: step.may_split,
                max_wait_s: step.max_wait_s,
                once: step.once,
            };
            self.push(Planned {
                task,
                attended_s: usual_s * self.pace,
                usual_s,
                fixed_s: 0.0,
                again: 0.0,
                wait_s,
                cure_factor,
            })?;
            last = vec![id];
        }
        // A finish ends with a step of its own part.
        Ok((finish, last.into_iter().next().unwrap_or_default()))
    }

    /// Lines a part with its foam and finishes it; gives the last task's name.
    ///
    /// A wrap comes first: its edges are turned onto the bare back, and the foam is glued between them.
    pub(super) fn line_and_coat(
        &mut self,
        part: &str,
        seam: &Seam,
        coat: (Coat, Shade),
        sizes: (f64, f64),
        units: (u32, u32),
        after: String,
    ) -> Result<(Glued, Finish, String)> {
        let sheet = seam.faces[1];
        let glue_id = format!("{part} / glue");
        if coat.0.wraps() {
            let (finish, wrapped) = self.coat(part, coat, sizes, sheet, units, after)?;
            let glued = self.glue(part, seam, units, wrapped)?;
            return Ok((glued, finish, glue_id));
        }
        let glued = self.glue(part, seam, units, after)?;
        let (finish, last) = self.coat(part, coat, sizes, sheet, units, glue_id)?;
        Ok((glued, finish, last))
    }

    /// Fitting to the vehicle and trying out, the end of every part.
    pub(super) fn fit(
        &mut self,
        part: &str,
        units: (u32, u32),
        fasteners: u32,
        after: String,
    ) -> Result<()> {
        let times = self.setup.shop.shop.times;
        let stage = |name, kind, time| Stage {
            name,
            kind,
            time,
            units,
            paced_s: 0.0,
            set_up: None,
        };
        let stages = [
            stage("fit to the vehicle", Kind::Fit, (times.fit, &practice::FIT)),
            stage(
                "polarity, rattle, seal",
                Kind::HandBack,
                (times.check, &practice::CHECK),
            ),
        ];
        self.stages(part, Some(after), &stages)?;
        let price = self.setup.shop.shop.consumables.fastener;
        self.consumes("screws and clips", f64::from(fasteners), "pieces", price)
    }
}

/// The stages of a part, without the making of a template that is on the shelf.
pub(super) fn with_template(mut stages: Vec<Stage>, on_shelf: bool) -> Vec<Stage> {
    if on_shelf {
        stages.retain(|stage| stage.kind != Kind::Template);
    }
    stages
}

/// Times of all tasks for `promise`.
pub(super) fn times(tasks: &[Planned]) -> Times {
    Times {
        attended_s: tasks.iter().map(|t| t.attended_s).collect(),
        wait_s: tasks.iter().map(|t| t.wait_s).collect(),
        cure_factor: tasks.iter().map(|t| t.cure_factor).collect(),
    }
}
