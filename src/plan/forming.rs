//! What every part that is formed hot goes through: recipe, drying, tries, energy, and blanks that are lost.

use super::part::{Run, Stage, with_template};
use super::practice;
use super::rack::InRack;
use super::setup::Stuff;
use crate::cost;
use crate::error::{Note, Result};
use crate::file::Length;
use crate::heat::{self, Back, Body as Mass, Hold, Recipe};
use crate::job::{Behind, FormedOn, Heat, Need, Template};
use crate::material::{Material as Sheet, Need as Dried, Properties, Use};
use crate::shape::Blank;
use crate::spread::Law;
use crate::task::{Kind, Unattended};

/// A draw that decides how often a part comes out wrong.
const LUCK: Law = Law::Uniform {
    low: 0.0,
    high: 1.0,
};

/// A part to be formed.
pub(super) struct Forming<'a> {
    pub(super) name: &'a str,
    pub(super) heat: &'a Heat,
    pub(super) template: Template,
    pub(super) blank: &'a Blank,
    pub(super) material: &'a Sheet,
    pub(super) properties: &'a Properties,
    /// The part's number among its kind.
    pub(super) unit: u32,
    /// How often it is heated and pressed: once, or once for each line.
    pub(super) times: u32,
}

/// A part that was formed.
pub(super) struct Formed {
    pub(super) recipe: Recipe,
    pub(super) limits: heat::Limits,
    pub(super) exposure: heat::Exposure,
    /// The last task.
    pub(super) last: String,
    /// Blanks lost by tries that failed, over all copies.
    pub(super) lost: u32,
    /// Tries that one blank stands.
    stands: u32,
    /// Hands-on time of one try. [h]
    a_try_h: f64,
}

impl Run<'_, '_> {
    /// Plans the forming of all copies of a part, from the measuring on.
    pub(super) fn form(&mut self, part: &Forming) -> Result<Formed> {
        let ask = ask(self, part)?;
        let recipe = heat::recipe(&ask)?;
        let stands = 1 + recipe.reheats.map_or(0, |r| r.left);
        let (tries, lost) = self.tries(part.name, stands)?;
        let last = stages(self, part, &recipe, (tries, lost))?;
        let a_try_h =
            self.tasks.last().map_or(0.0, |t| t.attended_s) / f64::from(tries.max(1)) / 3600.0;
        let watts = self.setup.shop.shop.gun.power;
        let watts = watts.map_or(practice::GUN_POWER.value, super::super::file::Power::si);
        let heated_s = recipe.stop_s.unwrap_or(0.0) * f64::from(tries * part.times);
        self.energy(watts, heated_s)?;
        Ok(Formed {
            recipe,
            limits: ask.limits,
            exposure: ask.exposure,
            last,
            lost,
            stands,
            a_try_h,
        })
    }

    /// Tries over all copies and blanks that are lost by them; one luck for each copy, and the first keeps the name that it has in a job of one set.
    fn tries(&mut self, name: &str, stands: u32) -> Result<(u32, u32)> {
        let (mut tries, mut lost) = (0, 0);
        for copy in 1..=self.setup.sets {
            let luck = match copy {
                1 => format!("{name}: luck at forming"),
                _ => format!("{name}: luck at forming, copy {copy}"),
            };
            let luck = self.values.take(&luck, LUCK)?;
            let own = if self.values.is_nominal() {
                1
            } else {
                cost::tries_drawn(self.spoilage, luck)?
            };
            tries += own;
            lost += own.saturating_sub(1) / stands;
        }
        Ok((tries, lost))
    }

    /// Cost of what comes out wrong, and the blanks that are cut besides for it.
    pub(super) fn rework(
        &self,
        formed: &Formed,
        stuff: Stuff,
        blank: &Blank,
        trial_again: f64,
    ) -> Result<(f64, u32)> {
        let setup = self.setup;
        let per_m2 = setup.price_per_m2(stuff).unwrap_or(0.0);
        let blank_cost = per_m2 * blank.area_m2();
        let rework = if self.values.is_nominal() {
            let a_try = formed.a_try_h * setup.an_hour();
            let one = cost::bounded(self.spoilage, formed.stands, blank_cost, a_try)?;
            one.rework * f64::from(setup.sets) + trial_again
        } else {
            f64::from(formed.lost) * blank_cost
        };
        let tries = i32::try_from(formed.stands).unwrap_or(i32::MAX);
        let lost_share = self.spoilage.powi(tries);
        let enough = cost::spares(setup.sets, lost_share, practice::ENOUGH_BLANKS.value)?;
        Ok((rework, enough - setup.sets))
    }
}

/// How the part is heated, formed and held: its first zone counts, the larger or the first of several alike.
fn ask(run: &mut Run, part: &Forming) -> Result<heat::Ask> {
    let p = part.properties;
    let sheet = heat::Sheet::of(p, part.blank.thickness_m)?;
    let limits = heat::Limits::of(p)?;
    let (width_m, length_m) = match part.blank.heated.first() {
        Some(zone) => (zone.width_m, zone.length_m),
        None => part.blank.outline.size_m(),
    };
    let (width_m, length_m) = (width_m.min(length_m), width_m.max(length_m));
    let air_k = run.air().temperature_k;
    let (patch_m, distance_m) = ((width_m, length_m), part.heat.gun_distance.si());
    let exposure = super::gun::exposure(run.setup, distance_m, patch_m, air_k, &mut run.values)?;
    let back = match (part.heat.turn_every, part.heat.behind) {
        (_, Behind::SameHeat) => Back::SameHeat,
        (Some(every), _) => Back::Turned {
            every_s: every.si(),
        },
        (None, Behind::Board) => Back::Board(Mass::BOARD),
        (None, Behind::OpenAir) => Back::Open,
    };
    let hold = match part.heat.formed_on {
        FormedOn::Plug => Hold::OnForm {
            form: Mass::PLUG,
            transfer_s: practice::TRANSFER.value,
        },
        FormedOn::RealPart => Hold::AgainstMetalBehindFoam {
            foam: Mass {
                thickness_m: part
                    .heat
                    .foam_thickness
                    .map_or(practice::FOAM_THICK.value, Length::si),
                ..Mass::FOAM
            },
            metal: Mass::DRIVER,
            transfer_s: practice::TRANSFER.value,
        },
        FormedOn::Hands => Hold::InHand,
    };
    let need = match part.heat.need {
        Need::Formable => heat::Need::Formable,
        Need::Limp => heat::Need::Limp,
    };
    let history = run.values.is_nominal();
    Ok(heat::Ask {
        need,
        hold,
        width_m,
        history,
        // The hand waits for the limp sheet: where draws differ in how far off the scorch is, they do not differ in that.
        past_opening: practice::PAST_LIMP.value,
        ..heat::Ask::new(sheet, limits, exposure, air_k, back)
    })
}

/// From the measuring to the formed part; gives the last task's name.
fn stages(
    run: &mut Run,
    part: &Forming,
    recipe: &Recipe,
    (tries, lost): (u32, u32),
) -> Result<String> {
    let (name, blank) = (part.name, part.blank);
    let times = run.setup.shop.shop.times;
    let sets = run.setup.sets;
    let again = if run.values.is_nominal() {
        cost::unbounded(run.spoilage, 0.0, 1.0)?.0
    } else {
        0.0
    };
    let cut_s = run.cutting_s(blank.cut_length_m, blank.thickness_m) * f64::from(sets + lost);
    // A pattern is measured and its template made once for the batch.
    let (pattern, batch) = ((part.unit, part.unit), run.batch(part.unit));
    let stage = |name, kind, time, paced_s, set_up| Stage {
        name,
        kind,
        time,
        units: match kind {
            Kind::Measure | Kind::Template => pattern,
            _ => batch,
        },
        paced_s,
        set_up,
    };
    let measure = (times.measure, &practice::MEASURE);
    let template = (times.template, &practice::TEMPLATE);
    let cut = (times.cut_handling, &practice::CUT_HANDLING);
    let before = [
        stage("measure", Kind::Measure, measure, 0.0, None),
        stage("card template", Kind::Template, template, 0.0, None),
        stage("cut", Kind::Cut, cut, cut_s, Some(super::CUT_SET_UP)),
    ];
    let on_shelf = part.template == Template::OnShelf;
    let mut last = run.stages(name, None, &with_template(before.into(), on_shelf))?;
    if let Some(drying) = &part.material.drying
        && drying.needed == Dried::Yes
        && let Some(seconds) = drying.time_s(blank.thickness_m)?
    {
        let time = (None, &practice::DRY);
        let dry = stage("dry the blank", Kind::Dry, time, 0.0, None);
        last = run.stages(name, Some(last), &[dry])?;
        if let Some(task) = run.tasks.last_mut() {
            task.wait_s = seconds;
            task.task.unattended = Unattended::Fixed(Law::Fixed { value: seconds });
        }
    }
    let time = (times.form, &practice::FORM);
    let set_up = Some(super::HEAT_SET_UP);
    let form = stage("heat and form", Kind::Form, time, 0.0, set_up);
    let last = run.stages(name, Some(last), &[form])?;
    // Heating, pressing and holding cannot be parted: one piece of work, as often as it takes.
    if let Some(task) = run.tasks.last_mut() {
        let (stop_s, hold_s) = (recipe.stop_s.unwrap_or(0.0), recipe.hold_s.unwrap_or(0.0));
        let all = |hands_s: f64| {
            (hands_s / f64::from(sets) + stop_s + hold_s) * f64::from(tries * part.times)
        };
        task.attended_s = all(task.attended_s);
        task.usual_s = all(task.usual_s);
        task.fixed_s = all(0.0);
        task.again = again;
        task.wait_s = (recipe.touch_s.unwrap_or(0.0) - hold_s).max(0.0);
        task.task.unattended = Unattended::Fixed(Law::Fixed { value: task.wait_s });
    }
    Ok(last)
}

/// What is to be known of a formed part's sheet and foam, and how the shop's own trial compares.
pub(super) fn notes(
    material: &Sheet,
    foam: Option<&Sheet>,
    rack: Option<&InRack>,
    (name, thickness_m): (&str, f64),
    recipe: &heat::Recipe,
) -> Result<Vec<Note>> {
    let used = Use {
        measured: rack.is_some(),
        ..Use::FORMED
    };
    let mut all = material.notes_of_sheet(thickness_m, used)?;
    all.extend(foam.into_iter().flat_map(|f| f.notes_for(true)));
    let Some(own) = rack else { return Ok(all) };
    all.extend(own.notes(name));
    if let (Some((seconds, distance_m)), Some(opens_s)) = (own.limp, recipe.opens_s) {
        let text = format!(
            "in the shop's own trial the sheet was limp after {seconds:.0} s at {:.0} mm; this recipe has it limp after {opens_s:.0} s",
            distance_m * 1e3
        );
        all.push(Note::new(name, text));
    }
    Ok(all)
}
