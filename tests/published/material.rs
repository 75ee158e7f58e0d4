//! The catalogue against second tables and measurements. None of the numbers checked here names them as its source.

use mountwright::material::{Catalogue, Properties, Property, modulus_at_deflection};
use mountwright::quantity::to_si;

/// The page of the documentation that shows the agreement; its head names every table.
const PAGE: &str = include_str!("../../src/material/agreement.md");

/// A printed figure or range with its unit, and half of its last digit, SI.
fn printed(text: &str, property: Property) -> (f64, f64, f64) {
    // The unit stands behind the last number.
    let from = text.find(" to ").map_or(0, |i| i + 4);
    let gap = from + text[from..].find(' ').unwrap();
    let (numbers, unit) = (&text[..gap], &text[gap + 1..]);
    let numbers: Vec<&str> = numbers.split(" to ").collect();
    let si = |x: f64| to_si("printed", x, unit, property.dimension()).unwrap();
    let values: Vec<f64> = numbers.iter().map(|n| si(n.parse().unwrap())).collect();
    let last = numbers[numbers.len() - 1];
    let mantissa = last.split('e').next().unwrap();
    let exponent: i32 = last.split('e').nth(1).map_or(0, |e| e.parse().unwrap());
    let decimals = mantissa.split('.').nth(1).map_or(0, str::len);
    let digit = 10_f64.powi(exponent - i32::try_from(decimals).unwrap());
    (
        values[0],
        values[values.len() - 1],
        (si(digit) - si(0.0)) / 2.0,
    )
}

#[test]
fn second_tables_agree_as_the_documentation_shows() {
    let catalogue = Catalogue::standard().unwrap();
    let (mut rows, mut wrong, mut apart) = (0, vec![], 0);
    for line in PAGE
        .lines()
        .filter(|l| l.starts_with("| ") && !l.starts_with("| material"))
    {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        let property = Property::named(cells[1]).unwrap();
        let ours = catalogue.get(cells[0]).unwrap().sourced(property).unwrap();
        let (low, high, half) = printed(cells[3], property);
        let verdict = if ours.low - half <= low && high <= ours.high + half {
            "inside"
        } else if ours.low - half <= high && low <= ours.high + half {
            "overlaps"
        } else {
            "apart"
        };
        let shown = property.show_range(ours);
        let reason = cells[5]
            .strip_prefix("apart: ")
            .filter(|_| verdict == "apart");
        apart += usize::from(verdict == "apart");
        if cells[2] != shown || (cells[5] != verdict && reason.is_none_or(str::is_empty)) {
            wrong.push(format!(
                "| {} | {} | {shown} | {} | {} | {verdict} |",
                cells[0], cells[1], cells[3], cells[4]
            ));
        }
        rows += 1;
    }
    assert!(
        wrong.is_empty(),
        "the page should say:\n{}",
        wrong.join("\n")
    );
    assert!(rows >= 80, "{rows}");
    // Few enough that each has its own reason.
    assert!(apart <= 5, "{apart}");
}

#[test]
fn every_sheet_and_gasket_has_a_second_table() {
    use mountwright::material::Role;
    for material in Catalogue::standard().unwrap().materials() {
        let row = format!("| {} |", material.name);
        // Boards behind a sheet are sources of heat loss only.
        let bodies = material.role == Role::Body;
        assert!(
            bodies || PAGE.lines().any(|l| l.starts_with(&row)),
            "{}",
            material.name
        );
    }
}

#[test]
fn foamed_pvc_conducts_between_insulation_foam_and_solid() {
    use mountwright::material::foamed_pvc_conductivity_w_m_k;
    let k = Catalogue::standard().unwrap().get("expanded-pvc").unwrap();
    let k = k.sourced(Property::Conductivity).unwrap();
    // A text on insulation (mantolamanedir.org): 0.051 W/m/K at 130 kg/m³; CIBSE Guide A, table 3.36: solid 0.16 at 1380.
    let line = 0.051 + (550.0 - 130.0) / (1380.0 - 130.0) * (0.16 - 0.051);
    assert!(k.low < line && line < k.high, "{line}");
    // Conduction alone cannot exceed the printed value at the same density, which holds radiation too.
    let conduction = foamed_pvc_conductivity_w_m_k(130.0).unwrap();
    assert!(conduction < 0.051 && conduction > 0.026, "{conduction}");
}

#[test]
fn five_properties_stand_in_two_tables_at_least() {
    for key in [
        "density",
        "conductivity",
        "heat_capacity",
        "expansion",
        "hdt_455",
        "hdt_1820",
    ] {
        let mut tables: Vec<&str> = PAGE
            .lines()
            .filter(|l| l.contains(&format!("| {key} |")))
            .map(|l| {
                l.trim_matches('|')
                    .split('|')
                    .map(str::trim)
                    .nth(4)
                    .unwrap()
            })
            .collect();
        tables.sort_unstable();
        tables.dedup();
        assert!(tables.len() >= 2, "{key}: {tables:?}");
    }
}

#[test]
fn rigid_pvc_warms_as_adiabatic_calorimetry_has_it() {
    // Chang, J. Res. Nat. Bur. Stand. 82 (1977) 9: annealed PVC, (10 + 0.166 T) J/K/mol to 1 % from 80 to 340 K; 62.498 g/mol.
    let c = Catalogue::standard()
        .unwrap()
        .get("rigid-pvc")
        .unwrap()
        .properties()
        .heat_capacity();
    for t in [296.15, 310.0, 325.0, 340.0] {
        let chang = (10.0 + 0.166 * t) / 0.062_498;
        // Sheet holds stabiliser and filler; the catalogue states its curve to 10 %.
        assert!(
            (c.at(t) / chang - 1.0).abs() < 0.1,
            "{t} K: {} against {chang}",
            c.at(t)
        );
    }
    // The step at the glass transition: 0.2 to 0.45 kJ/kg/K over 10 to 15 K for amorphous polymers (common knowledge of calorimetry, no source).
    let step = c.at(95.0 + 273.15) - c.at(70.0 + 273.15);
    assert!((200.0..450.0).contains(&step), "{step}");
}

#[test]
fn polypropylene_softens_as_the_plastics_encyclopedia_prints() {
    // Modern Plastics Encyclopedia 99, flexural modulus of PP homopolymer at 200 °F and 250 °F: 50 and 35 kpsi,
    // 345 and 241 MPa. The catalogue holds them as a curve scaled to its own value at 23 °C.
    let pp = Catalogue::standard()
        .unwrap()
        .get("pp")
        .unwrap()
        .properties();
    let soft = pp.softening().unwrap();
    let ratio = |c: f64| soft.modulus_pa(c + 273.15) / soft.modulus_pa(296.15);
    assert!((ratio(93.0) / (345.0 / 1450.0) - 1.0).abs() < 1e-9);
    // The rule by deflection temperatures, without the curve, comes 23 % low: on the safe side, and inside the factor of
    // two that it claims above the deflection temperature under 1.82 MPa.
    let (hot, warm) = (
        modulus_at_deflection(1.82e6, 1.35e9),
        modulus_at_deflection(0.455e6, 1.35e9),
    );
    let at = |t: f64| (hot.ln() + (warm / hot).ln() * (t - 60.0) / (105.0 - 60.0)).exp();
    assert!(at(93.0) < 345e6 && at(93.0) > 0.5 * 345e6);
}

#[test]
fn glassy_sheets_have_the_modulus_of_their_deflection_test() {
    // Takemori, Polymer Engineering and Science 19 (1979) 1104 (from memory): at the deflection temperature the modulus
    // of glassy polymers is about 0.75 GPa under 1.82 MPa and 0.20 GPa under 0.455 MPa.
    let catalogue = Catalogue::standard().unwrap();
    for name in [
        "abs",
        "pc",
        "pmma-cast",
        "pmma-extruded",
        "rigid-pvc",
        "petg",
    ] {
        let p: Properties = catalogue.get(name).unwrap().properties();
        let soft = p.softening().unwrap();
        let at = |property| soft.modulus_pa(p.need(property).unwrap());
        // The formula depends on the room modulus, 2.1 to 3.1 GPa here: up to 15 %.
        assert!(
            (at(Property::Hdt1820) / 0.75e9 - 1.0).abs() < 0.15,
            "{name}"
        );
        assert!((at(Property::Hdt455) / 0.20e9 - 1.0).abs() < 0.15, "{name}");
    }
}
