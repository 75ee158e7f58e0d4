//! The schema as editors want it: names to complete, allowed ranges in words, nothing about null, which TOML lacks.

use schemars::JsonSchema;
use serde_json::{Map, Value, json};

use super::{DAYS, LONGEST_TEXT, Names, dimension_of, schema};

/// The JSON schema of a file of type `T` for editors; `names` are the catalogues' names by the `format` of the key.
///
/// It allows what [`super::read`] allows, as far as JSON schema can say it: ranges of quantities, which are text with a
/// unit, stand in the descriptions, and names of a catalogue are offered, not demanded, because a shop may add its own.
pub fn editor_schema<T: JsonSchema>(names: &Names) -> Value {
    let mut schema = schema::<T>().to_value();
    tidy(&mut schema, names);
    schema
}

fn tidy(schema: &mut Value, names: &Names) {
    match schema {
        Value::Array(items) => items.iter_mut().for_each(|item| tidy(item, names)),
        Value::Object(object) => {
            never_null(object);
            tell_range(object);
            offer_names(object, names);
            tell_form(object);
            object.values_mut().for_each(|value| tidy(value, names));
        }
        _ => {}
    }
}

fn is_null(schema: &Value) -> bool {
    schema.get("type").and_then(Value::as_str) == Some("null")
}

fn never_null(object: &mut Map<String, Value>) {
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|t| t.as_str() != Some("null"));
        if let [only] = types.as_slice() {
            let only = only.clone();
            object.insert("type".into(), only);
        }
    }
    if object.get("default").is_some_and(Value::is_null) {
        object.remove("default");
    }
    let Some(Value::Array(mut choices)) = object.remove("anyOf") else {
        return;
    };
    choices.retain(|choice| !is_null(choice));
    if let [Value::Object(only)] = choices.as_slice() {
        for (key, value) in only {
            // What the key says of itself goes before what its type says.
            object.entry(key).or_insert_with(|| value.clone());
        }
    } else {
        object.insert("anyOf".into(), Value::Array(choices));
    }
}

fn tell_range(object: &mut Map<String, Value>) {
    let bound = |key: &str| object.get(key).and_then(Value::as_str);
    let allowed = match (bound("least"), bound("most")) {
        (Some(least), Some(most)) => format!("Allowed: {least} to {most}."),
        (Some(least), None) => format!("Allowed: {least} or more."),
        (None, Some(most)) => format!("Allowed: {most} or less."),
        (None, None) => return,
    };
    let about = object.get("description").and_then(Value::as_str);
    let text = about.map_or(allowed.clone(), |about| format!("{about} {allowed}"));
    object.insert("description".into(), text.into());
}

fn offer_names(object: &mut Map<String, Value>, names: &Names) {
    let format = object.get("format").and_then(Value::as_str);
    if let Some(known) = format.and_then(|f| names.get(f)) {
        let offered = json!([{ "enum": known }, { "type": "string" }]);
        object.insert("anyOf".into(), offered);
    }
}

/// The form of a text, as far as [`super::read`] demands one.
fn tell_form(object: &mut Map<String, Value>) {
    let is_text = object.get("type").and_then(Value::as_str) == Some("string");
    let is_word = ["enum", "const", "pattern"]
        .iter()
        .any(|key| object.contains_key(*key));
    if !is_text || is_word {
        return;
    }
    let format = object.get("format").and_then(Value::as_str).unwrap_or("");
    let pattern = if let Some((_, form, _)) = DAYS.iter().find(|(name, ..)| *name == format) {
        format!("^{}$", form.replace('0', "[0-9]"))
    } else if dimension_of(format).is_some() {
        // A number with its unit; some are written with a fraction sign.
        String::from("\\S")
    } else {
        if format.is_empty() {
            object.insert("maxLength".into(), LONGEST_TEXT.into());
        }
        format!(r"^(?=[\s\S]*\S){PRINTED}*$")
    };
    object.insert("pattern".into(), pattern.into());
}

/// Characters that a text may hold: no control characters but ends of lines.
const PRINTED: &str = r"[^\u0000-\u0009\u000b-\u001f\u007f-\u009f]";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Job;
    use crate::shop::Shop;

    fn walk(value: &Value, say: &mut impl FnMut(&Map<String, Value>)) {
        match value {
            Value::Array(items) => items.iter().for_each(|item| walk(item, say)),
            Value::Object(object) => {
                say(object);
                object.values().for_each(|inner| walk(inner, say));
            }
            _ => {}
        }
    }

    #[test]
    fn nothing_is_null_every_key_is_described_and_names_are_offered() {
        let names = Names::from([("material", vec!["abs".to_string()])]);
        for schema in [editor_schema::<Job>(&names), editor_schema::<Shop>(&names)] {
            let mut offered = 0;
            walk(&schema, &mut |object| {
                assert!(!object.values().any(|v| v == &json!("null")), "{object:?}");
                if object.get("format") == Some(&json!("material")) {
                    // Known names are offered; one of the shop's own is text like any other.
                    assert_eq!(object["anyOf"][0], json!({ "enum": ["abs"] }));
                    assert_eq!(object["anyOf"][1]["type"], "string");
                    offered += 1;
                }
                // A rule between keys names them without describing them again.
                let described = object.get("type") == Some(&json!("object"));
                for (key, inner) in object
                    .get("properties")
                    .and_then(Value::as_object)
                    .into_iter()
                    .flatten()
                {
                    let words = inner.get("description").is_some();
                    assert!(words || !described, "{key} has no words");
                }
            });
            assert!(offered > 0);
        }
    }

    #[test]
    fn ranges_stand_in_the_words() {
        let schema = editor_schema::<Job>(&Names::new());
        let thickness =
            &schema["properties"]["straps"]["items"]["properties"]["thickness"]["description"];
        let text = thickness.as_str().unwrap();
        assert!(text.ends_with("Allowed: 0.5 mm to 12 mm."), "{text}");
    }
}
