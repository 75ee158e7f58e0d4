//! The sourced numbers in a record of a catalogue, whatever its fields are called.

use serde_json::Value;

use crate::sourced::{Sourced, Standing};

/// Every sourced number below `value`, with its path.
///
/// An object with value, bounds, unit, source and standing is one number; where an object has a source and a standing for
/// several plain numbers (a stage of a cure), each of them is one.
pub(super) fn gather(value: &Value, path: &str, found: &mut Vec<(String, Sourced)>) {
    let below = |key: &str| {
        if path.is_empty() {
            key.to_string()
        } else {
            format!("{path}.{key}")
        }
    };
    match value {
        Value::Object(fields) => {
            if let Ok(sourced) = serde_json::from_value::<Sourced>(value.clone()) {
                found.push((path.to_string(), sourced));
                return;
            }
            let shared = Shared::of(fields);
            for (key, inner) in fields {
                match (&shared, inner) {
                    (Some(shared), Value::Number(_)) => {
                        found.extend(shared.number(below(key), key, inner));
                    }
                    (Some(shared), Value::Array(items)) => {
                        for (i, item) in items.iter().enumerate() {
                            let at = below(&format!("{key} {}", i + 1));
                            found.extend(shared.number(at, key, item));
                        }
                    }
                    _ => gather(inner, &below(key), found),
                }
            }
        }
        Value::Array(items) => {
            for (i, item) in items.iter().enumerate() {
                let name = item.get("name").and_then(Value::as_str);
                let key = name.map_or_else(|| (i + 1).to_string(), ToString::to_string);
                gather(item, &below(&key), found);
            }
        }
        _ => {}
    }
}

/// A source and a standing that several plain numbers share.
struct Shared<'a> {
    source: &'a str,
    standing: Standing,
    note: &'a str,
}

impl<'a> Shared<'a> {
    fn of(fields: &'a serde_json::Map<String, Value>) -> Option<Self> {
        Some(Self {
            source: fields.get("source")?.as_str()?,
            standing: serde_json::from_value(fields.get("standing")?.clone()).ok()?,
            note: fields.get("note").and_then(Value::as_str).unwrap_or(""),
        })
    }

    /// One of them; the unit stands at the end of its field's name.
    fn number(&self, path: String, key: &str, value: &Value) -> Option<(String, Sourced)> {
        let value = value.as_f64()?;
        let unit = [
            ("_root_day", "m/day^0.5"),
            ("_k", "K"),
            ("_s", "s"),
            ("_m", "m"),
        ]
        .into_iter()
        .find_map(|(end, unit)| key.ends_with(end).then_some(unit));
        let sourced = Sourced {
            value,
            low: value,
            high: value,
            unit: unit.unwrap_or("1").into(),
            source: self.source.into(),
            standing: self.standing,
            note: self.note.into(),
        };
        Some((path, sourced))
    }
}
