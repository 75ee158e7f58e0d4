//! The finish of one part: steps with their hours and waits, materials, thickness, limits and cautions.

use serde::Serialize;

use super::catalogue::{Catalogue, Kind, Measure, Recipe, RecipeStep, Shade};
use crate::bond;
use crate::bond::Cure;
use crate::climate::{Air, Climate};
use crate::error::{Note, Range, Result, check};
use crate::sourced::Sourced;
use crate::spread::Law;
use crate::task::{self, Unattended};

/// What is asked about the finish of one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FinishAsk {
    /// What it is covered with.
    pub kind: Kind,
    /// Area that is finished. [m²]
    pub face_area_m2: f64,
    /// Length of its edges, cutouts included. [m]
    pub edge_length_m: f64,
    /// The sheet beneath, by its name in the material room.
    pub substrate: String,
    /// How light or dark it is.
    pub shade: Shade,
    /// Air of the shop, for the waits quoted beside the steps.
    pub air: Air,
}

impl FinishAsk {
    /// A dark finish in a shop of 21 °C and 50 % humidity.
    pub fn new(
        kind: Kind,
        face_area_m2: f64,
        edge_length_m: f64,
        substrate: impl Into<String>,
    ) -> Self {
        Self {
            kind,
            face_area_m2,
            edge_length_m,
            substrate: substrate.into(),
            shade: Shade::Dark,
            air: Air {
                temperature_k: 294.15,
                humidity: 0.5,
            },
        }
    }
}

/// What a step uses.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Used {
    /// Name; an adhesive goes by its name in the bond room's catalogue.
    pub name: String,
    /// What the amount is counted in: `m3` or `m2`.
    pub unit: &'static str,
    /// Amount for this part. [m³ or m²]
    pub amount: Law,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// What is done.
    pub name: String,
    /// What kind of work it is.
    pub kind: task::Kind,
    /// Hands-on time. [s]
    pub attended: Law,
    /// What runs on alone after it.
    pub wait: Unattended,
    /// The wait in steady air of the shop asked about; `None` where it never dries in it. [s]
    pub wait_s: Option<f64>,
    /// Longest wait before it. [s]
    pub max_wait_s: Option<f64>,
    /// Whether it is done once for the batch.
    pub once: bool,
    /// Whether it may be stopped at closing time.
    pub may_split: bool,
    /// What it uses.
    pub uses: Vec<Used>,
}

/// The answer of [`finish`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finish {
    /// What it is covered with.
    pub kind: Kind,
    /// Its name for people.
    pub name: String,
    /// Its steps, in order; each waits for the one before.
    pub steps: Vec<Step>,
    /// Thickness that a face gains. [m]
    pub adds_face_m: Sourced,
    /// Thickness that each edge gains; a cutout shrinks by twice that across. [m]
    pub adds_edge_m: Sourced,
    /// Temperature that the finish stands; `None` where the sheet itself decides. [K]
    pub limit_k: Option<Sourced>,
    /// Share of sunlight that it takes up.
    pub absorptance: Sourced,
    /// Usual hands-on time of all steps. [s]
    pub attended_s: f64,
    /// The same for a quick hand: one in ten is quicker. [s]
    pub attended_p10_s: f64,
    /// The same in the middle of its range. [s]
    pub attended_p50_s: f64,
    /// The same for a slow hand: nine in ten are quicker. [s]
    pub attended_p90_s: f64,
    /// All waits in steady air of the shop asked about; `None` where something never dries. [s]
    pub waiting_s: Option<f64>,
    /// What can hurt, and what it does to the sheet beneath.
    pub cautions: Vec<String>,
    /// What else is to be known.
    pub notes: Vec<Note>,
}

/// The finish of one part, from the standard catalogue.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for an impossible area, length or air; [`crate::Error::Unknown`] for a sheet that the bond room does not know.
///
/// ```
/// use mountwright::finish::{finish, FinishAsk, Kind};
/// let wrap = finish(&FinishAsk::new(Kind::VinylWrap, 0.02, 0.5, "expanded-pvc"))?;
/// assert!(wrap.adds_face_m.low >= 0.5e-3 && wrap.adds_face_m.high <= 1.5e-3);
/// assert!(wrap.steps.iter().any(|s| s.uses.iter().any(|u| u.name == "vinyl film")));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn finish(ask: &FinishAsk) -> Result<Finish> {
    let catalogue = Catalogue::standard()?;
    let recipe = catalogue.recipe(ask.kind)?;
    let bonds = bond::Catalogue::standard()?;
    bonds.substrate(&ask.substrate)?;
    let sheet = bonds.kin(&ask.substrate);
    check(
        "face_area_m2",
        ask.face_area_m2,
        Range::new(0.0, 100.0, "m2"),
        "give the area that is finished",
    )?;
    check(
        "edge_length_m",
        ask.edge_length_m,
        Range::new(0.0, 1000.0, "m"),
        "give the length of outline and cutouts",
    )?;
    let shop = Climate::constant(ask.air.temperature_k, ask.air.humidity)?;
    let mut steps = Vec::new();
    let mut cautions = recipe.cautions.clone();
    let mut said = notes(recipe);
    let mut limit = recipe.limit.clone();
    let mut opens = Opens::default();
    for step in &recipe.steps {
        let fitted = fit_for(step, catalogue, sheet)?;
        for step in fitted.under.iter().chain([&fitted.step]) {
            let made = one(step, ask, &shop, opens)?;
            opens = made.opens;
            said.extend(made.notes);
            steps.push(made.step);
        }
        let new = |text: &String| !cautions.contains(text);
        cautions.extend(fitted.caution.filter(new));
        // What lies beneath the paint has to stand the sun as well.
        if let Some(filler) = fitted.filler
            && limit
                .as_ref()
                .is_none_or(|l| filler.service_temperature.value < l.value)
        {
            limit = Some(filler.service_temperature.clone());
        }
    }
    for effect in &catalogue.effects {
        let meant =
            effect.finishes.contains(&ask.kind) && effect.substrates.iter().any(|s| s == sheet);
        if meant {
            cautions.push(format!("{}: {}", ask.substrate, effect.text));
        }
    }
    if ask.kind != Kind::Bare {
        cautions.push(
            "the data sheets of paint, filler, film and glue come first; local rules apply; try a scrap".into(),
        );
    }
    Ok(Finish {
        kind: ask.kind,
        name: recipe.name.clone(),
        attended_s: steps.iter().map(|s| s.attended.likely()).sum(),
        attended_p10_s: paced(&steps, 0.1)?,
        attended_p50_s: paced(&steps, 0.5)?,
        attended_p90_s: paced(&steps, 0.9)?,
        waiting_s: steps.iter().map(|s| s.wait_s).sum(),
        steps,
        adds_face_m: recipe.adds_face.clone(),
        adds_edge_m: recipe.adds_edge.clone(),
        limit_k: limit,
        absorptance: catalogue.absorptance(ask.shade).clone(),
        cautions,
        notes: said,
    })
}

/// Hands-on time of all steps at one pace. [s]
fn paced(steps: &[Step], p: f64) -> Result<f64> {
    steps.iter().map(|s| s.attended.quantile(p)).sum()
}

fn notes(recipe: &Recipe) -> Vec<Note> {
    let note = |text: &String| Note::new(recipe.name.clone(), text.clone());
    recipe.notes.iter().map(note).collect()
}

/// A step as the sheet beneath wants it.
struct Fitted<'a> {
    step: RecipeStep,
    /// A primer that comes before it.
    under: Option<RecipeStep>,
    /// The filler that it lays on.
    filler: Option<&'a bond::Adhesive>,
    caution: Option<String>,
}

/// The step with another filler where the sheet does not stand its own, with the primer that one needs, and what is to be
/// said of that.
fn fit_for<'a>(step: &RecipeStep, catalogue: &Catalogue, sheet: &str) -> Result<Fitted<'a>> {
    let bonds = bond::Catalogue::standard()?;
    let mut fitted = Fitted {
        step: step.clone(),
        under: None,
        filler: None,
        caution: None,
    };
    let Some(named) = &step.coating else {
        return Ok(fitted);
    };
    let coat = bonds.adhesive(named)?;
    if coat.role != bond::Role::Filler {
        return Ok(fitted);
    }
    fitted.filler = Some(coat);
    let Some(unfit) = coat.suits.get(sheet).filter(|s| s.score == 0) else {
        return Ok(fitted);
    };
    let fits = |other: &bond::Adhesive| {
        let suits = other.suits.get(sheet).map_or(0, |s| s.score);
        (suits > 0 && other.role == coat.role).then_some(suits)
    };
    let others = bonds.adhesive.iter();
    let best = others
        .filter_map(|(name, other)| Some((fits(other)?, name, other)))
        .max_by_key(|(score, name, _)| (*score, std::cmp::Reverse(*name)));
    let refused = format!("{sheet}: no {}: {}", coat.name, unfit.why);
    let Some((_, name, other)) = best else {
        fitted.caution = Some(refused);
        return Ok(fitted);
    };
    for used in &mut fitted.step.materials {
        used.name.clone_from(&other.name);
    }
    fitted.step.coating = Some(name.clone());
    fitted.filler = Some(other);
    let mut over = String::new();
    if let Some(primer) = other.primer.get(sheet) {
        over = format!(" over {}", bonds.adhesive(primer)?.name);
        // As any finish lays it on.
        let mut known = catalogue.finish.values().flat_map(|recipe| &recipe.steps);
        fitted.under = known
            .find(|s| s.coating.as_ref() == Some(primer))
            .map(|primed| RecipeStep {
                name: format!("{}, before: {}", primed.name, step.name),
                ..primed.clone()
            });
    }
    fitted.caution = Some(format!("{refused}; {}{over} instead", other.name));
    Ok(fitted)
}

/// Sizes times figures per unit, added up low with low and high with high: one pace sets them all.
fn sum(parts: &[(f64, Option<&Sourced>)]) -> Law {
    let total = |of: fn(&Sourced) -> f64| {
        parts
            .iter()
            .filter_map(|(times, s)| s.map(|s| times * of(s)))
            .sum::<f64>()
    };
    let (low, likely, high) = (total(|s| s.low), total(|s| s.value), total(|s| s.high));
    if high > low {
        Law::Triangular { low, likely, high }
    } else {
        Law::Fixed { value: likely }
    }
}

/// For how long what a step laid on takes the next, once its wait is over.
#[derive(Debug, Clone, Copy, Default)]
struct Opens {
    /// Window of a glue, or of a primer under a coat, in the air of the shop. [s]
    window_s: Option<f64>,
    /// How much quicker than on the data sheet it dries: a window that is printed closes as much sooner.
    quicker: Option<f64>,
}

struct Made {
    step: Step,
    opens: Opens,
    notes: Vec<Note>,
}

/// A step after one that left its face open as `before` says.
fn one(step: &RecipeStep, ask: &FinishAsk, shop: &Climate, before: Opens) -> Result<Made> {
    let (area, edge) = (ask.face_area_m2, ask.edge_length_m);
    let mut uses: Vec<Used> = step
        .materials
        .iter()
        .map(|m| Used {
            name: m.name.clone(),
            unit: match m.measure {
                Measure::Volume => "m3",
                Measure::Area => "m2",
            },
            amount: sum(&[(area, Some(&m.per_area)), (edge, m.per_edge.as_ref())]),
        })
        .collect();
    let cure = match (&step.dry, &step.adhesive, &step.coating) {
        (Some(dry), _, _) => Some(drying(step, dry)?),
        (None, _, Some(name)) => Some(
            bond::Catalogue::standard()?
                .adhesive(name)?
                .workable(&step.name)?,
        ),
        (None, Some(name), None) => {
            let glue = bond::Catalogue::standard()?.adhesive(name)?;
            if let Some(coat) = &glue.coat_kg_m2 {
                // Both faces are coated; waste as in the bond room.
                let per = 2.0 * (1.0 + glue.waste.value) / glue.density.value;
                uses.push(Used {
                    name: name.clone(),
                    unit: "m3",
                    amount: sum(&[(area * per, Some(coat))]),
                });
            }
            glue.drying()?
        }
        (None, None, None) => None,
    };
    let mut notes = vec![];
    let (wait, wait_s) = match (cure, &step.wait) {
        (Some(cure), _) => {
            let ready = cure.ready_at(0.0, shop)?;
            notes.extend(ready.never.map(|why| Note::new(step.name.clone(), why)));
            notes.extend(ready.notes);
            (Unattended::Cure(Box::new(cure)), ready.handling_s)
        }
        (None, Some(wait)) => (Unattended::Fixed(wait.law()), Some(wait.value)),
        (None, None) => (Unattended::None, Some(0.0)),
    };
    let parts = [
        (1.0, Some(&step.set_up)),
        (area, step.per_area.as_ref()),
        (edge, step.per_edge.as_ref()),
    ];
    let lays = step.dry.is_some() || step.coating.is_some();
    let printed = step
        .max_wait
        .as_ref()
        .map(|s| s.value / before.quicker.unwrap_or(1.0));
    let window = before.window_s.filter(|_| lays || printed.is_some());
    let max_wait_s = match (printed, window) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    };
    Ok(Made {
        opens: opens(step, shop, wait_s)?,
        notes,
        step: Step {
            name: step.name.clone(),
            kind: task::Kind::Finish,
            attended: sum(&parts),
            // A step that starts a drying or a lay is finished in one go.
            may_split: matches!(wait, Unattended::None) && max_wait_s.is_none(),
            wait,
            wait_s,
            max_wait_s,
            once: step.once,
            uses,
        },
    })
}

/// What a step leaves open behind it.
fn opens(step: &RecipeStep, shop: &Climate, wait_s: Option<f64>) -> Result<Opens> {
    if let (Some(dry), Some(wait_s)) = (&step.dry, wait_s) {
        // A window is not drawn out in the cold: the data sheet's own is the most.
        let quicker = (dry.value / wait_s.max(1.0)).max(1.0);
        return Ok(Opens {
            quicker: Some(quicker),
            window_s: None,
        });
    }
    let bonds = bond::Catalogue::standard()?;
    let named = step.adhesive.as_ref().or(step.coating.as_ref());
    let Some(laid) = named.map(|name| bonds.adhesive(name)).transpose()? else {
        return Ok(Opens::default());
    };
    // Filler and primer that are sanded have their working time for a window, which is over by then.
    let ready = laid.cure(&bond::Seam::default())?.ready_at(0.0, shop)?;
    let left = wait_s.map(|wait_s| ready.open_s - wait_s);
    Ok(Opens {
        window_s: left.filter(|s| *s > 0.0),
        quicker: None,
    })
}

fn drying(step: &RecipeStep, dry: &Sourced) -> Result<Cure> {
    let activation = step.activation.as_ref().map_or(0.0, |s| s.value);
    let mut cure = Cure::drying(step.name.clone(), dry.value / 60.0, activation)?;
    if let Some(minimum) = &step.minimum {
        cure = cure.with_minimum(minimum.value)?;
    }
    Ok(cure.with_time_law(dry.law().scaled(1.0 / dry.value)?))
}
