//! What must hold between the numbers of one material: what a role needs, and the orders that physics demands.

use super::material::{Material, Role, Structure};
#[allow(clippy::enum_glob_use)] // the tables below read as sentences
use super::property::Property::{self, *};

/// What every material needs for heat to run through it.
const EVERY: [Property; 4] = [Density, Conductivity, HeatCapacity, Emissivity];

/// What a sheet needs besides, to be formed.
const SHEET: [Property; 7] = [
    Set,
    Limp,
    Formable,
    Upper,
    Degradation,
    DoseEnergy,
    DoseTime,
];

/// Pairs of which the first must not exceed the second, where a material has both.
const RISING: [(Property, Property); 18] = [
    (Set, Limp),
    (Limp, Formable),
    (Formable, Normal),
    (Formable, Upper),
    (Normal, Upper),
    (Upper, Degradation),
    (Degradation, Carbonisation),
    (Limp, FumeOnset),
    (Hdt1820, Hdt455),
    (Hdt455, Limp),
    (MaxService, Limp),
    (MeltingStart, MeltingPeak),
    (MeltingPeak, MeltingEnd),
    (MeltingStart, MeltingEnd),
    (FreezingEnd, FreezingStart),
    (FreezingStart, MeltingEnd),
    (CompressionStress25, CompressionStress50),
    (YieldStrength, YoungsModulus),
];

/// The faults of a material, each with the property that it stands at.
pub(super) fn faults(material: &Material) -> Vec<(Option<Property>, String)> {
    let value = |p: Property| material.entry(p).map(|e| e.sourced.value);
    let mut found = vec![];
    let sheet = material.role == Role::Sheet;
    let needed = EVERY
        .iter()
        .chain(if sheet { SHEET.iter() } else { [].iter() });
    let missing: Vec<&str> = needed
        .filter(|p| value(**p).is_none())
        .map(|p| p.key())
        .collect();
    if !missing.is_empty() {
        found.push((None, format!("has no {}", missing.join(", "))));
    }
    if sheet && material.hazards.is_none() {
        found.push((
            None,
            "a sheet that is heated needs its hazards and cautions".into(),
        ));
    }
    for (low, high) in RISING {
        if let (Some(a), Some(b)) = (value(low), value(high))
            && a > b
        {
            let message = format!("{} is above {}", low.key(), high.key());
            found.push((Some(low), message));
        }
    }
    if let (Some(set), Some(limp)) = (material.entry(Set), material.entry(Limp))
        && set.sourced.high >= limp.sourced.low
    {
        found.push((
            Some(Set),
            "its highest reaches the lowest limp: nothing would ever set".into(),
        ));
    }
    if material.structure == Structure::Amorphous
        && let (Some(glass), Some(limp)) = (value(GlassTransition), value(Limp))
        && glass > limp
    {
        found.push((
            Some(GlassTransition),
            "a glassy sheet is not limp below it".into(),
        ));
    }
    if material.structure == Structure::Semicrystalline && sheet {
        let missing = [MeltingStart, MeltingEnd, MeltingEnthalpy]
            .into_iter()
            .find(|p| value(*p).is_none());
        if let Some(p) = missing {
            found.push((None, format!("a sheet that melts needs {}", p.key())));
        }
    }
    if material.entry(ConductivitySlope).is_some() && material.curves.contains_key(&Conductivity) {
        found.push((
            Some(ConductivitySlope),
            "give the curve or the slope, not both".into(),
        ));
    }
    found
}
