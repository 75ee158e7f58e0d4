//! Job and shop files: TOML in shop units, checked against the schema of their own Rust types, all faults of a file reported together.
//!
//! The structs in [`crate::job`] and [`crate::shop`] are the only description of the files: their
//! documentation, the JSON schema that editors complete from, and the checks made here come from the
//! same lines. A key may carry bounds (`least`, `most`, in shop units) and a kind of name (`format`)
//! in its schema.

mod editor;

use std::collections::BTreeMap;
use std::ops::Range;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{DeserializeOwned, Error as _};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::error::{Error, Problem, Result, nearest_names};
use crate::quantity::{Dimension, Measure, parse};

pub use editor::editor_schema;

/// Largest file that is read. [bytes]
pub const LARGEST_FILE: usize = 4 << 20;

/// Longest text of a key. [characters]
const LONGEST_TEXT: usize = 400;

/// The schema version that this library writes and reads.
pub const SCHEMA: u32 = 1;

macro_rules! quantity_text {
    ($($name:ident, $dimension:ident, $format:literal, $example:literal;)*) => {$(
        #[doc = concat!("A quantity written as text, such as `\"", $example, "\"`, read to SI; `± …` gives its uncertainty.")]
        #[derive(Debug, Clone, Copy, PartialEq, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub Measure);

        impl $name {
            /// The value, SI.
            pub fn si(self) -> f64 {
                self.0.value
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(de: D) -> std::result::Result<Self, D::Error> {
                let text = String::deserialize(de)?;
                parse("value", &text, Dimension::$dimension).map($name).map_err(D::Error::custom)
            }
        }

        impl JsonSchema for $name {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({"type": "string", "format": $format, "examples": [$example]})
            }
        }
    )*
        fn dimension_of(format: &str) -> Option<Dimension> {
            match format {
                $($format => Some(Dimension::$dimension),)*
                _ => None,
            }
        }
    };
}

quantity_text! {
    Length, Length, "length", "3 mm";
    Area, Area, "area", "0.1 m2";
    Volume, Volume, "volume", "50 mL";
    Angle, Angle, "angle", "30°";
    Time, Time, "time", "15 min";
    Temperature, Temperature, "temperature", "20 °C";
    Mass, Mass, "mass", "30 g";
    VolumeFlow, VolumeFlow, "volume-flow", "300 L/min";
    Power, Power, "power", "2 kW";
    Speed, Speed, "speed", "1.5 m/min";
    Share, Fraction, "share", "15 %";
}

/// Formats of days and times: name, form (0 for any digit), example.
const DAYS: [(&str, &str, &str); 2] = [
    ("date", "0000-00-00", "2026-11-25"),
    ("moment", "0000-00-00 00:00", "2026-11-25 08:30"),
];

fn is_of_form(text: &str, form: &str) -> bool {
    let fits = |(t, f): (u8, u8)| {
        if f == b'0' {
            t.is_ascii_digit()
        } else {
            t == f
        }
    };
    text.len() == form.len() && text.bytes().zip(form.bytes()).all(fits)
}

/// A value as it stands in the file, for messages.
fn shown(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(s) => format!("\"{}\"", s.chars().take(60).collect::<String>()),
        DeValue::Integer(i) => i.as_str().to_string(),
        DeValue::Float(f) => f.as_str().to_string(),
        DeValue::Boolean(b) => b.to_string(),
        DeValue::Datetime(d) => d.to_string(),
        DeValue::Array(_) => "a list".into(),
        DeValue::Table(_) => "a table".into(),
    }
}

/// The text of a file with the place of each of its keys.
#[derive(Debug, Clone, Default)]
pub struct Source {
    path: String,
    text: String,
    /// Byte at which each line starts.
    lines: Vec<usize>,
    /// Byte at which each key's value starts, by path: `straps[1].thickness`.
    places: BTreeMap<String, usize>,
    /// Every number of the file, in its order.
    numbers: Vec<Given>,
}

/// A number as it stands in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// Where: `straps[1].thickness`.
    pub field: String,
    /// As it is written: `3 mm ± 0.1 mm`.
    pub text: String,
    /// SI.
    pub measure: Measure,
    /// SI unit; `1` for a number without one.
    pub unit: &'static str,
}

impl Source {
    /// The file's path as it was given.
    pub fn path(&self) -> &str {
        &self.path
    }

    /// The file's text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Every number of the file, in its order.
    pub fn numbers(&self) -> &[Given] {
        &self.numbers
    }

    /// The line of a key, or of the nearest table around it.
    pub fn line(&self, field: &str) -> Option<usize> {
        let mut field = field;
        loop {
            if let Some(&byte) = self.places.get(field) {
                return Some(self.line_of(byte));
            }
            field = field.rfind(['.', '[']).and_then(|cut| field.get(..cut))?;
        }
    }

    fn line_of(&self, byte: usize) -> usize {
        self.lines.partition_point(|&start| start <= byte)
    }

    /// A fault at a key.
    pub fn problem(&self, field: impl Into<String>, message: impl Into<String>) -> Problem {
        let field = field.into();
        Problem {
            line: self.line(&field),
            message: message.into(),
            field,
        }
    }

    /// The error that holds `problems`, in the order of the file.
    pub fn fault(&self, mut problems: Vec<Problem>) -> Error {
        problems.sort_by_key(|p| p.line.unwrap_or(0));
        Error::Job {
            path: self.path.clone(),
            problems,
        }
    }
}

/// Names that a file may use, by the `format` of the key: `material` to the names in the catalogue.
pub type Names = BTreeMap<&'static str, Vec<String>>;

/// Reads a file of type `T`: every unknown key, wrong type, wrong unit, value out of bounds and unknown name at once.
///
/// `listed` names the lists of the file itself that keys may refer to: `("place", "places")` lets a key of
/// format `place` hold the name of one of `[[places]]`.
///
/// # Errors
/// [`Error::Job`] with every fault and its line.
pub fn read<T: JsonSchema + DeserializeOwned>(
    path: &str,
    text: &str,
    names: &Names,
    listed: &[(&'static str, &str)],
) -> Result<(T, Source)> {
    let (mut source, problems) = walked::<T>(path, text, names, listed)?;
    if !problems.is_empty() {
        return Err(source.fault(problems));
    }
    match toml::from_str::<T>(text) {
        Ok(value) => {
            source.text = text.into();
            Ok((value, source))
        }
        Err(e) => {
            let line = e.span().map(|s| source.line_of(s.start));
            let message = e.message().to_string();
            Err(source.fault(vec![Problem {
                line,
                field: String::new(),
                message,
            }]))
        }
    }
}

/// Where the keys of a file stand, whatever its faults; the nearest table where it can be read at all.
pub(crate) fn places<T: JsonSchema>(path: &str, text: &str) -> Source {
    walked::<T>(path, text, &Names::new(), &[]).map_or_else(
        |_| Source {
            path: path.to_string(),
            ..Source::default()
        },
        |(source, _)| source,
    )
}

/// The keys of a file with their places, and what is wrong with them; [`Error::Job`] where the file cannot be read at all.
fn walked<T: JsonSchema>(
    path: &str,
    text: &str,
    names: &Names,
    listed: &[(&'static str, &str)],
) -> Result<(Source, Vec<Problem>)> {
    let mut lines = vec![0];
    lines.extend(
        text.bytes()
            .enumerate()
            .filter(|(_, b)| *b == b'\n')
            .map(|(i, _)| i + 1),
    );
    let mut source = Source {
        path: path.to_string(),
        text: String::new(),
        lines,
        places: BTreeMap::new(),
        numbers: vec![],
    };
    if text.len() > LARGEST_FILE {
        let message = format!(
            "the file has {} bytes, allowed are {LARGEST_FILE}: is it the right file?",
            text.len()
        );
        return Err(source.fault(vec![Problem {
            line: None,
            field: String::new(),
            message,
        }]));
    }
    let (document, errors) = DeTable::parse_recoverable(text);
    let mut problems: Vec<Problem> = errors
        .iter()
        .take(20)
        .map(|e| Problem {
            line: e.span().map(|s: Range<usize>| source.line_of(s.start)),
            field: String::new(),
            message: format!("not TOML: {}", e.message()),
        })
        .collect();
    if !problems.is_empty() {
        return Err(source.fault(problems));
    }
    let mut names = names.clone();
    for (format, list) in listed {
        names.insert(format, names_in(document.get_ref(), list));
    }
    let schema = schema::<T>();
    let mut walk = Walk {
        names: &names,
        source: &mut source,
        problems: &mut problems,
    };
    if let Some(version) = document
        .get_ref()
        .get("schema")
        .and_then(|v| v.get_ref().as_integer())
    {
        let version: u32 = version.as_str().parse().unwrap_or(0);
        if version != SCHEMA {
            let remedy = if version > SCHEMA {
                "the file is from a newer mountwright: update the program"
            } else {
                "write schema = 1"
            };
            walk.say(
                "schema",
                format!("schema is {version}, this program reads {SCHEMA}: {remedy}"),
            );
        }
    }
    walk.table(
        schema.as_value(),
        document.get_ref(),
        "",
        document.span().start,
    );
    Ok((source, problems))
}

/// The JSON schema of a file, with every description, for editors and for the checks here.
pub fn schema<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .with(|s| s.inline_subschemas = true)
        .for_deserialize()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// The names of a list, each once.
fn names_in(table: &DeTable<'_>, list: &str) -> Vec<String> {
    let Some(items) = table.get(list).and_then(|v| v.get_ref().as_array()) else {
        return vec![];
    };
    let mut names: Vec<String> = vec![];
    for item in items {
        let name = || item.get_ref().as_table()?.get("name")?.get_ref().as_str();
        if let Some(name) = name()
            && !names.iter().any(|known| known == name)
        {
            names.push(name.into());
        }
    }
    names
}

struct Walk<'a> {
    names: &'a Names,
    source: &'a mut Source,
    problems: &'a mut Vec<Problem>,
}

impl Walk<'_> {
    fn say(&mut self, field: &str, message: String) {
        let problem = self.source.problem(field, message);
        self.problems.push(problem);
    }

    fn table(&mut self, schema: &Value, table: &DeTable<'_>, path: &str, start: usize) {
        let none = serde_json::Map::new();
        let properties = schema
            .get("properties")
            .and_then(Value::as_object)
            .unwrap_or(&none);
        self.source.places.insert(path.to_string(), start);
        let at = |key: &str| {
            if path.is_empty() {
                key.to_string()
            } else {
                format!("{path}.{key}")
            }
        };
        let open = schema
            .get("additionalProperties")
            .is_some_and(Value::is_object);
        for (key, value) in table {
            let name: &str = key.get_ref();
            let field = at(name);
            self.source.places.insert(field.clone(), key.span().start);
            match properties.get(name) {
                Some(inner) => self.value(inner, value, &field),
                None if open => {
                    if let Some(inner) = schema.get("additionalProperties") {
                        self.value(inner, value, &field);
                    }
                }
                None => {
                    let known: Vec<&str> = properties.keys().map(String::as_str).collect();
                    let near = nearest_names(name, known.iter().copied());
                    let hint = if near.is_empty() {
                        known
                    } else {
                        near.iter().map(String::as_str).collect()
                    };
                    self.say(
                        &field,
                        format!("unknown key; nearest known: {}", hint.join(", ")),
                    );
                }
            }
        }
        let required = schema.get("required").and_then(Value::as_array);
        for key in required.into_iter().flatten().filter_map(Value::as_str) {
            if !table.contains_key(key) {
                let about = properties
                    .get(key)
                    .and_then(|p| p.get("description"))
                    .and_then(Value::as_str)
                    .and_then(|d| d.lines().next())
                    .unwrap_or("");
                self.say(&at(key), format!("missing; {about}"));
            }
        }
    }

    fn value(&mut self, schema: &Value, value: &Spanned<DeValue<'_>>, field: &str) {
        // Option<T>: the alternative that is not null.
        if let Some(choices) = schema.get("anyOf").and_then(Value::as_array) {
            let is_null = |c: &Value| c.get("type").and_then(Value::as_str) == Some("null");
            if let Some(inner) = choices.iter().find(|c| !is_null(c)) {
                return self.value(inner, value, field);
            }
        }
        if let Some(allowed) = words(schema) {
            let given = value.get_ref().as_str();
            if !given.is_some_and(|g| allowed.contains(&g)) {
                let given = shown(value.get_ref());
                self.say(
                    field,
                    format!("is {given}, allowed are: {}", allowed.join(", ")),
                );
            }
            return;
        }
        match value.get_ref() {
            DeValue::Table(inner) if has_type(schema, "object") => {
                self.table(schema, inner, field, value.span().start);
            }
            DeValue::Array(items) if has_type(schema, "array") => {
                let bound = |key: &str| schema.get(key).and_then(Value::as_f64);
                let low = bound("minItems").unwrap_or(0.0);
                let range = crate::error::Range::new(low, bound("maxItems").unwrap_or(1e4), "");
                if !range.holds(items.len() as f64) {
                    self.say(
                        field,
                        format!("has {} entries, allowed are {range}", items.len()),
                    );
                    return;
                }
                let none = Value::Null;
                let inner = schema.get("items").unwrap_or(&none);
                for (i, item) in items.iter().enumerate() {
                    self.value(inner, item, &format!("{field}[{i}]"));
                }
            }
            DeValue::String(text) if has_type(schema, "string") => self.text(schema, text, field),
            DeValue::Boolean(_) if has_type(schema, "boolean") => {}
            DeValue::Integer(i) if has_type(schema, "integer") || has_type(schema, "number") => {
                self.number(schema, i.as_str().parse().unwrap_or(f64::NAN), field);
            }
            DeValue::Float(f) if has_type(schema, "number") => {
                self.number(schema, f.as_str().parse().unwrap_or(f64::NAN), field);
            }
            other => {
                let expected = expected(schema);
                self.say(field, format!("is {}, expected {expected}", shown(other)));
            }
        }
    }

    fn given(&mut self, field: &str, text: &str, measure: Measure, unit: &'static str) {
        self.source.numbers.push(Given {
            field: field.into(),
            text: text.trim().into(),
            measure,
            unit,
        });
    }

    fn number(&mut self, schema: &Value, given: f64, field: &str) {
        let bound = |key: &str| schema.get(key).and_then(Value::as_f64);
        let low = bound("minimum").unwrap_or(f64::NEG_INFINITY);
        let high = bound("maximum").unwrap_or(f64::INFINITY);
        let range = crate::error::Range::new(low, high, "");
        let measure = Measure {
            value: given,
            plus_minus: 0.0,
        };
        self.given(field, &given.to_string(), measure, "1");
        if !given.is_finite() || !range.holds(given) {
            self.say(field, format!("is {given}, allowed is {range}"));
        }
    }

    fn text(&mut self, schema: &Value, text: &str, field: &str) {
        let format = schema.get("format").and_then(Value::as_str).unwrap_or("");
        if let Some(dimension) = dimension_of(format) {
            return match parse(field, text, dimension) {
                Err(Error::Unit {
                    given,
                    expected,
                    remedy,
                    ..
                }) => {
                    self.say(
                        field,
                        format!("is \"{given}\", expected {expected}: {remedy}"),
                    );
                }
                Err(other) => self.say(field, other.to_string()),
                Ok(measure) => {
                    self.given(field, text, measure, dimension.si_unit());
                    self.bounds(schema, text, measure, dimension, field);
                }
            };
        }
        if let Some((_, form, example)) = DAYS.iter().find(|(name, ..)| *name == format) {
            if !is_of_form(text, form) {
                let given: String = text.chars().take(60).collect();
                self.say(field, format!("is \"{given}\", expected \"{example}\""));
            }
        } else if let Some(known) = self.names.get(format) {
            if !known.iter().any(|k| k == text) {
                let near = nearest_names(text, known.iter().map(String::as_str));
                let hint = if near.is_empty() {
                    format!("known are: {}", known.join(", "))
                } else {
                    format!("nearest: {}", near.join(", "))
                };
                let given: String = text.chars().take(60).collect();
                self.say(field, format!("no {format} is called \"{given}\"; {hint}"));
            }
        } else if text.trim().is_empty() {
            self.say(field, "is empty".into());
        } else if text.chars().count() > LONGEST_TEXT
            || text.chars().any(|c| c.is_control() && c != '\n')
        {
            self.say(
                field,
                format!("is longer than {LONGEST_TEXT} characters or holds control characters"),
            );
        }
    }

    fn bounds(&mut self, schema: &Value, text: &str, given: Measure, dim: Dimension, field: &str) {
        let bound = |key: &str| {
            let bound = schema.get(key).and_then(Value::as_str)?;
            Some((bound, parse(key, bound, dim).ok()?.value))
        };
        let (least, most) = (bound("least"), bound("most"));
        let low = least.map_or(f64::NEG_INFINITY, |b| b.1);
        let high = most.map_or(f64::INFINITY, |b| b.1);
        let slack = 1e-12 * (low.abs().min(high.abs()));
        if given.value - given.plus_minus < low - slack
            || given.value + given.plus_minus > high + slack
        {
            let allowed = match (least, most) {
                (Some((a, _)), Some((b, _))) => format!("{a} to {b}"),
                (Some((a, _)), None) => format!("{a} or more"),
                (None, Some((b, _))) => format!("{b} or less"),
                (None, None) => String::new(),
            };
            let given: String = text.chars().take(60).collect();
            self.say(field, format!("is \"{given}\", allowed is {allowed}"));
        }
    }
}

fn has_type(schema: &Value, name: &str) -> bool {
    match schema.get("type") {
        Some(Value::String(t)) => t == name,
        Some(Value::Array(types)) => types.iter().any(|t| t.as_str() == Some(name)),
        _ => false,
    }
}

/// The words that an enumeration allows.
fn words(schema: &Value) -> Option<Vec<&str>> {
    if let Some(list) = schema.get("enum").and_then(Value::as_array) {
        return Some(list.iter().filter_map(Value::as_str).collect());
    }
    let choices = schema.get("oneOf").and_then(Value::as_array)?;
    let mut all = vec![];
    for choice in choices {
        match (choice.get("const").and_then(Value::as_str), words(choice)) {
            (Some(word), _) => all.push(word),
            (None, Some(more)) => all.extend(more),
            (None, None) => return None,
        }
    }
    Some(all)
}

fn expected(schema: &Value) -> String {
    let format = schema.get("format").and_then(Value::as_str).unwrap_or("");
    if let Some(dimension) = dimension_of(format) {
        return format!("text: {}", dimension.example());
    }
    for (name, words) in [
        ("object", "a table"),
        ("array", "a list"),
        ("string", "text"),
        ("boolean", "true or false"),
        ("integer", "a whole number"),
        ("number", "a number"),
    ] {
        if has_type(schema, name) {
            return words.into();
        }
    }
    "something else".into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// How a part is laid.
    #[derive(Debug, Deserialize, JsonSchema, PartialEq)]
    #[serde(rename_all = "kebab-case")]
    enum Way {
        /// Flat.
        Flat,
        /// On edge.
        OnEdge,
    }

    #[derive(Debug, Deserialize, JsonSchema)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct Part {
        /// Its name.
        name: String,
        /// Its thickness.
        #[schemars(extend("least" = "0.5 mm", "most" = "25 mm"))]
        thickness: Length,
        way: Option<Way>,
        #[schemars(extend("format" = "part"))]
        beside: Option<String>,
        #[schemars(range(min = 1, max = 9))]
        quantity: Option<u32>,
        #[schemars(length(max = 2))]
        words: Option<Vec<String>>,
    }

    #[derive(Debug, Deserialize, JsonSchema)]
    #[serde(deny_unknown_fields)]
    #[allow(dead_code)]
    struct File {
        schema: u32,
        #[serde(default)]
        parts: Vec<Part>,
    }

    fn problems(text: &str) -> Vec<Problem> {
        match read::<File>("x.toml", text, &Names::new(), &[("part", "parts")]) {
            Err(Error::Job { problems, .. }) => problems,
            Ok(_) => vec![],
            Err(other) => panic!("{other}"),
        }
    }

    #[test]
    fn a_good_file_is_read_to_si() {
        let text = "schema = 1\n[[parts]]\nname = \"a\"\nthickness = \"1/8 in ± 0.1 mm\"\nway = \"on-edge\"\nbeside = \"a\"\nquantity = 2\n";
        let (file, source) =
            read::<File>("x.toml", text, &Names::new(), &[("part", "parts")]).unwrap();
        assert!((file.parts[0].thickness.si() - 3.175e-3).abs() < 1e-12);
        assert_eq!(file.parts[0].way, Some(Way::OnEdge));
        assert_eq!(source.line("parts[0].thickness"), Some(4));
        assert_eq!(source.line("parts[0].unheard"), Some(2));
    }

    #[test]
    fn all_faults_come_at_once_with_line_and_key() {
        let found = problems(
            "schema = 1\n[[parts]]\nname = \"a\"\nthicknes = \"3 mm\"\nthickness = \"3 °C\"\nway = \"up\"\n\
             [[parts]]\nthickness = \"30 mm\"\nbeside = \"b\"\nquantity = 0\n\
             words = [\"a\", \"b\", \"c\"]\n",
        );
        let texts: Vec<String> = found.iter().map(ToString::to_string).collect();
        let all = texts.join("\n");
        for part in [
            "line 4: parts[0].thicknes: unknown key; nearest known: thickness",
            "line 5: parts[0].thickness: is \"3 °C\", expected a length",
            "line 6: parts[0].way: is \"up\", allowed are: flat, on-edge",
            "line 7: parts[1].name: missing; Its name.",
            "line 8: parts[1].thickness: is \"30 mm\", allowed is 0.5 mm to 25 mm",
            "line 9: parts[1].beside: no part is called \"b\"",
            "line 10: parts[1].quantity: is 0, allowed is 1 to 9",
            "line 11: parts[1].words: has 3 entries, allowed are 0 to 2",
        ] {
            assert!(all.contains(part), "{part}\n--- in ---\n{all}");
        }
        assert_eq!(found.len(), 8, "{all}");
    }

    #[test]
    fn a_name_that_stands_twice_is_told_once() {
        let part = "[[parts]]\nname = \"qq\"\nthickness = \"3 mm\"\n";
        let found = problems(&format!("schema = 1\n{part}{part}beside = \"zz\"\n"));
        assert!(found[0].message.ends_with("known are: qq"), "{found:?}");
    }

    #[test]
    fn other_versions_and_other_languages_are_refused() {
        assert!(problems("schema = 2\n")[0].message.contains("newer"));
        assert!(problems("schema = 0\n")[0].message.contains("schema = 1"));
        assert!(problems("{\"schema\": 1}")[0].message.contains("not TOML"));
        assert!(
            problems("parts = 3\nschema = 1")[0]
                .message
                .contains("expected a list")
        );
        let deep = format!(
            "schema = 1\nx = {}1{}",
            "[".repeat(100_000),
            "]".repeat(100_000)
        );
        assert!(!problems(&deep).is_empty());
    }

    proptest! {
        #[test]
        fn any_bytes_are_read_or_refused(text in "\\PC{0,200}", body in "(schema = 1\n)?(\\[\\[parts\\]\\]\n)?[a-z]{1,9} = [\"0-9a-z\\[\\]{}. ]{0,20}\n") {
            let _ = problems(&text);
            let _ = problems(&body);
        }
    }
}
