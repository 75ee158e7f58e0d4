//! The same as last time, on the same side or on the other: a new job's file from a pattern.

use std::fmt::Write;

use toml::{Table, Value};

use super::Memory;
use super::patterns::{LISTS, Pattern, place_of};
use super::words::{civil, named};
use crate::error::{Error, Result};

/// What is made once more.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Again {
    /// The part, as the pattern calls it.
    pub part: String,
    /// The vehicle, where several have a part of that name.
    pub vehicle: Option<String>,
    /// For the other side of the vehicle.
    pub other_side: Option<OtherSide>,
    /// When work can start: `2026-12-01 08:30`.
    pub start: String,
}

/// What is known of the place on the other side.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OtherSide {
    /// Its name; that of the first with left and right changed over where nothing is said.
    pub place: Option<String>,
    /// Whether somebody looked it up: no air bag is there, and nothing stands in the driver's view.
    pub looked: bool,
}

/// The head of a job's file.
pub(super) fn head(name: &str, vehicle: &str, start: &str, remarks: Option<&str>) -> String {
    let mut head = format!("schema = {}\n", crate::file::SCHEMA);
    for (key, text) in [
        ("name", Some(name)),
        ("vehicle", Some(vehicle)),
        ("start", Some(start)),
        ("remarks", remarks),
    ] {
        if let Some(text) = text {
            // Writing into text does not fail.
            let _ = writeln!(head, "{key} = {}", Value::String(text.into()));
        }
    }
    head
}

impl Memory {
    /// The text of a job's file that makes a part once more, as it was with its edits.
    ///
    /// For the other side hand, openings and aim are mirrored, the template is made anew, and the place counts as not looked up
    /// until `looked` says so or the memory has a pattern there: nothing is planned where nobody has looked.
    ///
    /// # Errors
    /// As [`Memory::pattern`]; [`Error::Unit`] for a start that is none, as in a job's file; [`Error::Impossible`] for a traced part on the other side, or a part of neither hand.
    pub fn again(&self, again: &Again) -> Result<String> {
        let start = civil("start", &again.start)?
            .strftime("%Y-%m-%d %H:%M")
            .to_string();
        let pattern = self.pattern(&again.part, again.vehicle.as_deref())?;
        let mut keys: Table = pattern.keys.parse().unwrap_or_default();
        let mut name = pattern.part.clone();
        if let Some(side) = &again.other_side {
            name = over(&pattern.part).unwrap_or_else(|| format!("{}, other side", pattern.part));
            let place = match &side.place {
                Some(place) => named("place", place)?,
                None => over(&pattern.place).ok_or_else(|| Error::Shape {
                    what: "place on the other side".into(),
                    given: "nothing".into(),
                    allowed: format!("its name: that of \"{}\" does not tell it", pattern.place),
                })?,
            };
            let there = place_of(self, &pattern.vehicle, &place)?;
            self::place(&mut keys, &place, there, side.looked);
            part(&mut keys, |list, part| mirror(list, part, &name, &place))?;
        }
        let template = match (&again.other_side, &pattern.hangs) {
            (None, Some(_)) => "on-shelf",
            _ => "make",
        };
        part(&mut keys, |_, part| {
            part.insert("template".into(), Value::String(template.into()));
            Ok(())
        })?;
        let remarks = remarks(&pattern, again.other_side.is_some());
        let head = head(
            &format!("{name}, again"),
            &pattern.vehicle,
            &start,
            Some(&remarks),
        );
        // Plain keys go before tables.
        Ok(format!(
            "{head}{}",
            toml::to_string(&keys).unwrap_or_default()
        ))
    }
}

/// What is printed with the new plan.
fn remarks(pattern: &Pattern, other_side: bool) -> String {
    let mut words = vec![format!(
        "as made for \"{}\" on {}",
        pattern.job, pattern.made_on
    )];
    if let Some(recipe) = &pattern.recipe
        && let Some(stop_s) = recipe.stop_s.nominal
    {
        words.push(format!(
            "then heated {stop_s:.0} s at {:.0} mm with {}, {}",
            recipe.distance_m * 1e3,
            recipe.gun,
            recipe.behind
        ));
    }
    if let Some(edits) = &pattern.edits {
        words.push(format!("edited after the trial fit: {edits}"));
    }
    match &pattern.hangs {
        Some(place) if other_side => {
            words.push(format!("the template of the first side hangs {place}"));
        }
        Some(place) => words.push(format!("its template hangs {place}")),
        None => {}
    }
    if pattern.spares > 0 && !other_side {
        words.push(format!("{} spare lies ready: try it first", pattern.spares));
    }
    if other_side {
        words.push(
            "the sides of a vehicle are rarely alike: measure this one before it is cut".into(),
        );
    }
    words.join("; ").chars().take(400).collect()
}

/// Left and right changed over; `None` where the text has neither.
fn over(text: &str) -> Option<String> {
    let mut found = false;
    let words: Vec<&str> = text
        .split(' ')
        .map(|word| {
            let other = match word {
                "left" => "right",
                "right" => "left",
                "Left" => "Right",
                "Right" => "Left",
                _ => return word,
            };
            found = true;
            other
        })
        .collect();
    found.then(|| words.join(" "))
}

/// The place of the other side: as the memory has it, else as the first with what has to be looked up.
fn place(keys: &mut Table, name: &str, known: Option<Table>, looked: bool) {
    let first = keys
        .get("places")
        .and_then(Value::as_array)
        .and_then(|p| p.first());
    let mut place = known
        .or_else(|| {
            first.and_then(Value::as_table).map(|first| {
                let mut place = first.clone();
                for key in ["airbag", "driver_view"] {
                    let answer = if looked { "no" } else { "unknown" };
                    place.insert(key.into(), Value::String(answer.into()));
                }
                place
            })
        })
        .unwrap_or_default();
    place.insert("name".into(), Value::String(name.into()));
    keys.insert("places".into(), Value::Array(vec![Value::Table(place)]));
}

/// The one part of a pattern.
fn part(keys: &mut Table, change: impl FnOnce(&str, &mut Table) -> Result<()>) -> Result<()> {
    let list = LISTS
        .into_iter()
        .find(|list| keys.contains_key(*list))
        .unwrap_or("");
    let parts = keys.get_mut(list).and_then(Value::as_array_mut);
    match parts
        .and_then(|p| p.first_mut())
        .and_then(Value::as_table_mut)
    {
        Some(part) => change(list, part),
        None => Err(Error::Shape {
            what: "pattern".into(),
            given: "without its part".into(),
            allowed: "a pattern as it was remembered".into(),
        }),
    }
}

/// The part as a mirror has it. Measures along the vehicle, upwards and outwards stay; those to the left and right of the show
/// face change over.
fn mirror(list: &str, part: &mut Table, name: &str, place: &str) -> Result<()> {
    let no = |why: &str, remedy: &str| {
        Err(Error::Impossible {
            what: "the same on the other side".into(),
            why: why.into(),
            remedy: remedy.into(),
        })
    };
    if ["outline_file", "cutout_file", "body_file"]
        .iter()
        .any(|key| part.contains_key(*key))
    {
        return no(
            "its outline is traced",
            "trace the other side, and plan it with that drawing",
        );
    }
    let other = match part.get("hand").and_then(Value::as_str) {
        Some("left") => "right",
        Some("right") => "left",
        _ => {
            return no(
                "it is of neither hand: it serves on both sides",
                "make it again as it is",
            );
        }
    };
    part.insert("hand".into(), Value::String(other.into()));
    part.insert("name".into(), Value::String(name.into()));
    if part.contains_key("places") {
        part.insert(
            "places".into(),
            Value::Array(vec![Value::String(place.into())]),
        );
    } else {
        part.insert("place".into(), Value::String(place.into()));
    }
    match list {
        "straps" => {
            if let Some(aim) = part.get_mut("aim").and_then(Value::as_table_mut) {
                for key in ["dome", "listener", "surface", "along"] {
                    // Forward, to the left, up.
                    let left = aim
                        .get_mut(key)
                        .and_then(Value::as_array_mut)
                        .and_then(|v| v.get_mut(1));
                    left.into_iter().for_each(negate);
                }
            }
        }
        "rings" => part.get_mut("vehicle_turn").into_iter().for_each(negate),
        "panels" => {
            let cutouts = part.get_mut("cutouts").and_then(Value::as_array_mut);
            for cutout in cutouts
                .into_iter()
                .flatten()
                .filter_map(Value::as_table_mut)
            {
                cutout.get_mut("right").into_iter().for_each(negate);
            }
            change_over(part, "left_cut", "right_cut");
        }
        "folded" => {
            for key in ["flanges", "folds"] {
                if let Some(list) = part.get_mut(key).and_then(Value::as_array_mut) {
                    list.reverse();
                }
            }
            change_over(part, "first_cut", "last_cut");
        }
        _ => {}
    }
    Ok(())
}

fn negate(value: &mut Value) {
    match value {
        Value::Integer(i) => *i = -*i,
        Value::Float(f) => *f = -*f,
        Value::String(text) => {
            *text = match text.trim().strip_prefix(['-', '\u{2212}']) {
                Some(rest) => rest.trim().into(),
                None => format!("-{}", text.trim().trim_start_matches('+')),
            };
        }
        _ => {}
    }
}

fn change_over(part: &mut Table, one: &str, other: &str) {
    let (a, b) = (part.remove(one), part.remove(other));
    for (key, value) in [(one, b), (other, a)] {
        if let Some(value) = value {
            part.insert(key.into(), value);
        }
    }
}
