//! From a materials file to checked materials: units, ranges, sources, the orders that physics demands.

use std::collections::{BTreeMap, BTreeSet};

use super::catalogue::{Catalogue, Source, canonical};
use super::material::{Curve, Entry, Hazards, Material, Remark, Role, Structure};
use super::order;
use super::property::Property;
use super::raw::{Known, RawCurve, RawFile, RawKeys, RawMaterial, RawNumber, RawSource};
use super::table::Table;
use crate::error::{Error, Range, nearest_names};
use crate::quantity::{Dimension, to_si};
use crate::sourced::{Sourced, Standing};

/// A fault: the key and what is wrong with it.
pub(super) type Fault = (String, String);

/// Lays a file over a catalogue.
pub(super) fn laid_over(
    base: &Catalogue,
    raw: &RawFile,
    origin: &str,
) -> Result<Catalogue, Vec<Fault>> {
    let mut load = Load {
        catalogue: base.clone(),
        origin: origin.into(),
        cited: BTreeSet::new(),
        faults: vec![],
    };
    for (key, source) in &raw.sources {
        load.source(key, source);
    }
    for (key, number) in &raw.defaults {
        if let Some((property, entry)) =
            load.number(&format!("defaults.{key}"), key, number, Role::Sheet)
        {
            load.catalogue.defaults.insert(property, entry);
        }
    }
    for (name, material) in &raw.materials {
        load.material(name, material);
    }
    for key in raw.sources.keys().filter(|key| !load.cited.contains(*key)) {
        load.faults.push((
            format!("sources.{key}"),
            "no number names it: take it out".into(),
        ));
    }
    load.names();
    if load.faults.is_empty() {
        Ok(load.catalogue)
    } else {
        Err(load.faults)
    }
}

pub(super) struct Load {
    catalogue: Catalogue,
    origin: String,
    cited: BTreeSet<String>,
    faults: Vec<Fault>,
}

impl Load {
    pub(super) fn say(&mut self, field: impl Into<String>, message: impl Into<String>) {
        self.faults.push((field.into(), message.into()));
    }

    fn source(&mut self, key: &str, raw: &RawSource) {
        if self.catalogue.sources.contains_key(key) {
            let owner = "a source of the catalogue below has this key: choose another";
            return self.say(format!("sources.{key}"), owner);
        }
        let source = Source {
            key: key.into(),
            author: raw.author.clone(),
            title: raw.title.clone(),
            year: raw.year.clone(),
            place: raw.place.clone(),
            address: raw.address.clone(),
            how: raw.how,
            note: raw.note.clone(),
            origin: self.origin.clone(),
        };
        self.catalogue.sources.insert(key.into(), source);
    }

    /// The keys joined, after a look that each resolves and that `published` cites what was read.
    pub(super) fn keys(&mut self, field: &str, keys: &RawKeys, standing: Standing) -> String {
        let mut read = false;
        for key in keys.list() {
            self.cited.insert(key.clone());
            if let Some(source) = self.catalogue.sources.get(key) {
                read |= matches!(source.how, Known::Read | Known::Package);
            } else {
                let known = self.catalogue.sources.keys().map(String::as_str);
                let near = nearest_names(key, known).join(", ");
                self.say(
                    field,
                    format!("no source has the key \"{key}\"; nearest: {near}"),
                );
                read = true;
            }
        }
        if keys.list().is_empty() {
            self.say(field, "names no source: no number without one");
        } else if standing == Standing::Published && !read {
            self.say(
                field,
                "is published, but none of its sources was read: cite it or change the standing",
            );
        }
        keys.list().join(", ")
    }

    fn si(&mut self, field: &str, value: f64, unit: &str, dimension: Dimension) -> Option<f64> {
        match to_si(field, value, unit, dimension) {
            Ok(si) => Some(si),
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
                None
            }
            Err(other) => {
                self.say(field, other.to_string());
                None
            }
        }
    }

    fn property(&mut self, field: &str, key: &str) -> Option<Property> {
        match Property::named(key) {
            Ok(property) => Some(property),
            Err(error) => {
                self.say(field, error.to_string());
                None
            }
        }
    }

    fn plausible(&mut self, field: &str, what: &str, value: f64, allowed: Range) {
        if !allowed.holds(value) {
            let remedy = "look for a slip of unit or decimal point";
            self.say(
                field,
                format!(
                    "{what} is {value} {}, plausible is {allowed}: {remedy}",
                    allowed.unit
                ),
            );
        }
    }

    fn number(
        &mut self,
        field: &str,
        key: &str,
        raw: &RawNumber,
        role: Role,
    ) -> Option<(Property, Entry)> {
        let source = self.keys(field, &raw.source, raw.standing);
        let property = self.property(field, key)?;
        let dimension = property.dimension();
        let mut si = |value| self.si(field, value, &raw.unit, dimension);
        let (value, low, high) = (si(raw.value)?, si(raw.low)?, si(raw.high)?);
        if !(low <= value && value <= high) {
            let found = format!("low {}, value {}, high {}", raw.low, raw.value, raw.high);
            self.say(field, format!("{found}: they must not fall"));
        }
        let allowed = property.plausible(role);
        for (what, x) in [("low", low), ("value", value), ("high", high)] {
            self.plausible(field, what, x, allowed);
        }
        let unit = dimension.si_unit().into();
        let sourced = Sourced {
            value,
            low,
            high,
            unit,
            source,
            standing: raw.standing,
            note: raw.note.clone(),
        };
        Some((
            property,
            Entry {
                sourced,
                origin: self.origin.clone(),
            },
        ))
    }

    fn curve(
        &mut self,
        field: &str,
        key: &str,
        raw: &RawCurve,
        role: Role,
    ) -> Option<(Property, Curve)> {
        let source = self.keys(field, &raw.source, raw.standing);
        let property = self.property(field, key)?;
        if !matches!(
            property,
            Property::Conductivity | Property::HeatCapacity | Property::YoungsModulus
        ) {
            self.say(
                field,
                "curves are read of conductivity, heat_capacity and youngs_modulus only",
            );
            return None;
        }
        let mut si = |list: &[f64], unit: &str, dimension| -> Option<Vec<f64>> {
            list.iter()
                .map(|x| self.si(field, *x, unit, dimension))
                .collect()
        };
        let at = si(&raw.at, &raw.at_unit, Dimension::Temperature)?;
        let value = si(&raw.value, &raw.unit, property.dimension())?;
        for x in &value {
            self.plausible(field, "a value", *x, property.plausible(role));
        }
        match Table::new(at, value) {
            Ok(table) => {
                let (standing, note, origin) =
                    (raw.standing, raw.note.clone(), self.origin.clone());
                Some((
                    property,
                    Curve {
                        table,
                        source,
                        standing,
                        note,
                        origin,
                    },
                ))
            }
            Err(error) => {
                self.say(field, error.to_string());
                None
            }
        }
    }

    fn material(&mut self, name: &str, raw: &RawMaterial) {
        let at = format!("materials.{name}");
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name != canonical(name) || !name.chars().all(plain) || name.len() > 60 {
            let good = canonical(name);
            return self.say(
                at,
                format!("names are small letters, digits and hyphens, such as \"{good}\""),
            );
        }
        let known = self.catalogue.materials.get(name).cloned();
        let is_new = known.is_none();
        let Some(mut material) = known.or_else(|| self.new_material(&at, name, raw)) else {
            return;
        };
        if let Some(about) = &raw.about {
            material.about.clone_from(about);
        }
        if let Some(aliases) = &raw.aliases {
            material.aliases.clone_from(aliases);
        }
        material.role = raw.role.unwrap_or(material.role);
        material.structure = raw.structure.unwrap_or(material.structure);
        material.foamed = raw.foamed.unwrap_or(material.foamed);
        material.contains_pvc = raw.contains_pvc.unwrap_or(material.contains_pvc);
        for (key, number) in &raw.properties {
            let field = format!("{at}.properties.{key}");
            material
                .entries
                .extend(self.number(&field, key, number, material.role));
        }
        for (key, curve) in &raw.curves {
            let field = format!("{at}.curves.{key}");
            material
                .curves
                .extend(self.curve(&field, key, curve, material.role));
        }
        if let Some(raw) = &raw.hazards {
            let source = self.keys(&format!("{at}.hazards.source"), &raw.source, raw.standing);
            let (fumes, cautions) = (raw.fumes.clone(), raw.cautions.clone());
            material.hazards = Some(Hazards {
                fumes,
                cautions,
                source,
                standing: raw.standing,
            });
        }
        if let Some(raw) = &raw.stock {
            material.stock = Some(self.stock(&format!("{at}.stock"), raw));
        }
        if let Some(raw) = &raw.drying {
            material.drying = Some(self.drying(&format!("{at}.drying"), raw));
        }
        material.remarks.extend(raw.notes.iter().map(|r| Remark {
            kind: r.kind,
            about: r.about.clone(),
            text: r.text.clone(),
        }));
        if is_new && material.role == Role::Sheet {
            for (property, entry) in &self.catalogue.defaults {
                material
                    .entries
                    .entry(*property)
                    .or_insert_with(|| entry.clone());
            }
        }
        for (property, message) in order::faults(&material) {
            self.say(
                property.map_or(at.clone(), |p| format!("{at}.properties.{}", p.key())),
                message,
            );
        }
        self.catalogue.materials.insert(name.into(), material);
    }

    fn new_material(&mut self, at: &str, name: &str, raw: &RawMaterial) -> Option<Material> {
        if let Ok(other) = self.catalogue.get(name) {
            let message = format!("is another name of {}: write that name", other.name);
            self.say(at, message);
            return None;
        }
        if raw.role.is_none() || raw.structure.is_none() || raw.about.is_none() {
            let near =
                nearest_names(name, self.catalogue.materials.keys().map(String::as_str)).join(", ");
            self.say(at, format!("a new material needs about, role and structure; or is one of these meant: {near}"));
            return None;
        }
        Some(Material {
            name: name.into(),
            about: String::new(),
            aliases: vec![],
            role: raw.role.unwrap_or(Role::Sheet),
            structure: raw.structure.unwrap_or(Structure::Amorphous),
            foamed: false,
            contains_pvc: false,
            entries: BTreeMap::new(),
            curves: BTreeMap::new(),
            hazards: None,
            stock: None,
            drying: None,
            remarks: vec![],
            origin: self.origin.clone(),
        })
    }

    /// No name or alias may stand for two materials.
    fn names(&mut self) {
        let mut owner: BTreeMap<String, &str> = BTreeMap::new();
        let mut twice = vec![];
        for material in self.catalogue.materials.values() {
            for word in std::iter::once(&material.name).chain(&material.aliases) {
                let before = owner.insert(canonical(word), &material.name);
                if let Some(other) = before.filter(|other| *other != material.name) {
                    let field = format!("materials.{}.aliases", material.name);
                    twice.push((field, format!("\"{word}\" also stands for {other}")));
                }
            }
        }
        self.faults.extend(twice);
    }
}
