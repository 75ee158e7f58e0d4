//! Faults of the stages in the words of the files: their own keys, not the names of the core.

use crate::error::Error;
use crate::job::{Panel, Part, Ring};

/// What a stage calls a measure, and the key that it comes from.
type Keys = &'static [(&'static str, &'static str)];

const STRAP: Keys = &[
    ("bend_radius_m", "foot_radius"),
    ("middle_width_m", "middle_width"),
    ("foam_m", "foam_thickness"),
    ("lift_rad", "lift"),
    ("wire.depth_m", "wire_width"),
    ("wire.width_m", "wire_width"),
    ("wire.along_m", "wire_forward"),
];
const POD: Keys = &[
    ("flange width_m", "flange"),
    ("crown_m", "crown_width"),
    ("corner_m", "corner_radius"),
    ("depth_m", "depth"),
    ("width_m", "width"),
    ("height_m", "height"),
];
const RING: Keys = &[
    ("driver.corner_m", "cutout_corner_radius"),
    ("cutout.corner_m", "cutout_corner_radius"),
    ("outer.corner_m", "corner_radius"),
    ("countersink_m", "vehicle_countersink"),
    ("vehicle_hole_m", "vehicle_hole"),
    ("chamfer.depth_m", "chamfer"),
    ("bevel_m", "bevel"),
    ("trim_gap_m", "steel.collar_to_trim.free"),
    ("flange_m", "driver_flange"),
];
const PANEL: Keys = &[("outer.corner_m", "corner_radius")];
const FOLDED: Keys = &[("width_m", "width")];
const GRILLE: Keys = &[
    ("outer.corner_m", "corner_radius"),
    ("opening.corner_m", "opening_corner_radius"),
    ("mesh_m", "mesh_thickness"),
    ("thickness_m", "thickness"),
    ("lap_m", "lap"),
];
/// Of the shop's file, for parts of any kind.
const SHOP: Keys = &[
    ("bit_m", "cutting.kerf of the shop's file"),
    ("bushing_m", "cutting.bushing of the shop's file"),
];
const ALL: Keys = &[("thickness_m", "thickness")];

/// Where in a part's table a fault stands, as far as its own words tell (`.foot_radius`, else nothing), and the fault by that key.
pub(super) fn by_own_key(part: &Part, fault: Error) -> (String, Error) {
    let (keys, inner): (Keys, _) = match part {
        Part::Strap(_) => (STRAP, None),
        Part::Pod(_) => (POD, None),
        Part::Ring(ring) => (RING, gasket(ring, &fault)),
        Part::Panel(panel) => (PANEL, cutout(panel, &fault)),
        Part::Folded(_) => (FOLDED, fold(&fault)),
        Part::Grille(_) => (GRILLE, None),
    };
    let what = what(&fault);
    if let Some(shop) = known(SHOP, what) {
        return (String::new(), called(fault, shop));
    }
    let own = known(keys, what).or_else(|| known(ALL, what));
    let Some(key) = inner.or_else(|| own.map(String::from)) else {
        let plain = plain(what);
        return (String::new(), called(fault, &plain));
    };
    let name = key.rsplit('.').next().unwrap_or(&key).to_string();
    // A list's entry alone says nothing: the fault's own words do.
    let fault = if name.starts_with("cutouts[") {
        fault
    } else {
        called(fault, &name)
    };
    (format!(".{key}"), fault)
}

fn known(keys: Keys, what: &str) -> Option<&'static str> {
    let is_it = |name: &str| {
        what.strip_suffix(name)
            .is_some_and(|before| before.is_empty() || before.ends_with([' ', '.']))
    };
    keys.iter().find(|(name, _)| is_it(name)).map(|k| k.1)
}

fn what(fault: &Error) -> &str {
    match fault {
        Error::OutOfRange { what, .. } => what,
        _ => "",
    }
}

fn called(mut fault: Error, name: &str) -> Error {
    if let Error::OutOfRange { what, .. } = &mut fault {
        *what = name.into();
    }
    fault
}

/// The gasket whose foam is at fault: both are asked for alike.
fn gasket(ring: &Ring, fault: &Error) -> Option<String> {
    let Error::OutOfRange { what, given, .. } = fault else {
        return None;
    };
    let steel = ring.steel.as_ref().filter(|_| what == "free_m")?;
    let of = |free: f64| (free - given).abs() < 1e-9;
    let strips = [
        ("gasket_to_driver", steel.gasket_to_driver),
        ("gasket_to_steel", steel.gasket_to_steel),
    ];
    let (key, _) =
        (strips.into_iter()).find(|(_, strip)| strip.is_some_and(|s| of(s.free.si())))?;
    Some(format!("steel.{key}.free"))
}

/// A panel's cutouts are called by their number: `cutout 2.corner_m`, or `cutout "cutout 2"` in a sentence.
fn cutout(panel: &Panel, fault: &Error) -> Option<String> {
    let text = fault.to_string();
    let (_, rest) = (text.split_once("cutout \"cutout ")).or_else(|| text.split_once("cutout "))?;
    let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
    let at = digits.parse::<usize>().ok()?.checked_sub(1)?;
    let cutout = panel.cutouts.get(at)?;
    let beside = cutout.right.si().abs() + cutout.width.si() / 2.0 > panel.width.si() / 2.0;
    let key = if what(fault).ends_with(".corner_m") {
        ".corner_radius"
    } else if text.starts_with("height") && cutout.height.is_some() {
        ".height"
    } else if text.starts_with("width") || text.starts_with("height") {
        // A round opening has no height of its own.
        ".width"
    } else if text.contains("not inside the part") {
        if beside { ".right" } else { ".up" }
    } else {
        ""
    };
    Some(format!("cutouts[{at}]{key}"))
}

/// Flanges and folds are called by their place in the file already.
fn fold(fault: &Error) -> Option<String> {
    let key = what(fault).replace("flanges_m[", "flanges[");
    let key = key
        .strip_suffix("_m")
        .or_else(|| key.strip_suffix("_rad"))
        .unwrap_or(&key);
    (key.starts_with("flanges[") || key.starts_with("folds[")).then(|| key.into())
}

/// A name of the core in plain words: without its unit, with spaces.
fn plain(what: &str) -> String {
    let word = |word: &str| {
        let units = [
            "_m",
            "_m2",
            "_m3",
            "_k",
            "_s",
            "_kg",
            "_n",
            "_pa",
            "_rad",
            "_fraction",
        ];
        let bare = units.iter().find_map(|unit| word.strip_suffix(unit));
        bare.map_or_else(|| word.to_string(), |bare| bare.replace(['_', '.'], " "))
    };
    what.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::super::{Options, names, plan};
    use super::*;
    use crate::error::Unwatched;
    use crate::file::schema;
    use crate::job::{Job, JobFile};
    use crate::shop::ShopFile;

    /// Every key that a fault is told by is one of the file's.
    #[test]
    fn the_keys_are_keys_of_the_file() {
        let about = schema::<Job>().to_value();
        let lists = [
            ("straps", STRAP),
            ("pods", POD),
            ("rings", RING),
            ("panels", PANEL),
            ("folded", FOLDED),
            ("grilles", GRILLE),
        ];
        for (list, keys) in lists {
            for (_, key) in keys {
                let first = key.split('.').next().unwrap();
                let at = format!("/properties/{list}/items/properties/{first}");
                assert!(about.pointer(&at).is_some(), "{list}.{key}");
            }
        }
    }

    #[test]
    fn faults_of_a_part_name_the_key_of_the_file() {
        const PODS: &str = include_str!("../../demo-data/pillar-pods.toml");
        const RINGS: &str = include_str!("../../demo-data/door-rings.toml");
        const DASH: &str = include_str!("../../demo-data/dash-pods.toml");
        let names = names().unwrap();
        let shop = include_str!("../../demo-data/shop.toml");
        let shop = ShopFile::parse("shop.toml", shop, &names).unwrap();
        for (job, key, value, told) in [
            (
                PODS,
                "foot_radius",
                "0.5 mm",
                "straps[0].foot_radius: foot_radius is 0.5 mm",
            ),
            (
                RINGS,
                "vehicle_countersink",
                "3 mm",
                "rings[0].vehicle_countersink: vehicle_countersink is 3 mm",
            ),
            (
                RINGS,
                "gasket_to_driver",
                "",
                "rings[0].steel.gasket_to_driver.free: free is 0.5 mm",
            ),
            (DASH, "lap", "2 mm", "grilles[0].lap: lap is 2 mm"),
            (
                DASH,
                "inside_radius",
                "0.5 mm",
                "folded[0].folds[0].inside_radius: inside_radius is 0.5 mm",
            ),
        ] {
            let line = |l: &str| {
                if !l.starts_with(&format!("{key} = ")) {
                    l.to_string()
                } else if value.is_empty() {
                    format!("{key} = {{ free = \"0.5 mm\", pressed = \"0.3 mm\" }}")
                } else {
                    format!("{key} = \"{value}\"")
                }
            };
            let text = job.lines().map(line).collect::<Vec<_>>().join("\n");
            let job = JobFile::parse("job.toml", &text, &names).unwrap();
            let fault = plan(&job, &shop, Options { draws: 0, seed: 1 }, &Unwatched);
            let fault = fault.unwrap_err().to_string();
            assert!(fault.contains(told), "{told}\n{fault}");
        }
    }
}
