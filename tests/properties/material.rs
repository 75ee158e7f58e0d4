//! Any draw of a material within its ranges is a material that the stages can work with.

use mountwright::material::{Catalogue, Material, Properties, Property, Role};
use mountwright::spread::Law;
use proptest::prelude::*;

/// The material with each uncertain property at a share of its way from least to greatest.
fn drawn(material: &Material, shares: &[f64]) -> Properties {
    let mut p = material.properties();
    for (i, (property, law)) in material.uncertain().into_iter().enumerate() {
        let Law::Triangular { low, likely, high } = law else {
            panic!("every uncertain property is triangular");
        };
        assert!(low <= likely && likely <= high);
        p.set(property, low + shares[i % shares.len()] * (high - low))
            .unwrap();
    }
    p
}

proptest! {
    #[test]
    fn every_draw_keeps_the_orders_of_physics(
        pick in 0_usize..18, shares in proptest::collection::vec(0.0..=1.0_f64, 37),
    ) {
        let catalogue = Catalogue::standard().unwrap();
        let material = catalogue.materials().nth(pick % catalogue.names().len()).unwrap();
        let p = drawn(material, &shares);
        for c in [-40.0, 0.0, 23.0, 80.0, 150.0, 250.0] {
            let t = c + 273.15;
            prop_assert!(p.conductivity().at(t) > 0.0 && p.heat_capacity().at(t) > 0.0);
        }
        prop_assert!(p.density_kg_m3() > 0.0 && (0.0..=1.0).contains(&p.emissivity()));
        if material.role == Role::Sheet {
            let f = p.forming().unwrap();
            prop_assert!(f.set_k < f.limp_k && f.limp_k <= f.formable_k && f.formable_k <= f.upper_k);
            let dose = p.dose().unwrap();
            prop_assert!(dose.reference_time_s > 0.0 && dose.valid_to_k > dose.reference_temperature_k);
            let soft = p.softening().unwrap();
            let mut last = f64::INFINITY;
            for step in 0..60 {
                let e = soft.modulus_pa(273.15 + 5.0 * f64::from(step));
                // Rounding of an exponential.
                prop_assert!(e > 0.0 && e <= last * (1.0 + 1e-12), "{}", material.name);
                last = e;
            }
        }
        if let Some(m) = p.melting() {
            prop_assert!(m.start_k < m.peak_k && m.peak_k < m.end_k);
            prop_assert!(m.freezing_end_k < m.freezing_peak_k && m.freezing_peak_k < m.freezing_start_k);
            prop_assert!(m.freezing_start_k <= m.end_k && m.freezing_end_k <= m.start_k);
        }
    }

    #[test]
    fn the_order_of_drawing_does_not_matter(shares in proptest::collection::vec(0.0..=1.0_f64, 37)) {
        let material = Catalogue::standard().unwrap().get("abs").unwrap();
        let forward = drawn(material, &shares);
        let mut backward = material.properties();
        for (property, _) in material.uncertain().into_iter().rev() {
            backward.set(property, forward.need(property).unwrap()).unwrap();
        }
        prop_assert_eq!(forward, backward);
    }

    #[test]
    fn a_users_file_changes_what_it_names_and_nothing_else(density in 900.0..1200.0_f64) {
        let standard = Catalogue::standard().unwrap();
        let text = format!(
            "schema = 1\n[materials.abs.properties]\ndensity = {{ value = {density}, low = {density}, high = {density}, \
             unit = \"kg/m3\", standing = \"remembered\", source = \"handbooks-remembered\" }}\n"
        );
        let own = standard.overlaid_with(&text, "own.toml").unwrap();
        for (before, after) in standard.materials().zip(own.materials()) {
            for (property, entry) in &before.entries {
                let same = after.entry(*property) == Some(entry);
                prop_assert_eq!(same, before.name != "abs" || *property != Property::Density);
            }
        }
        let entry = own.get("abs").unwrap().entry(Property::Density).unwrap();
        prop_assert_eq!((entry.sourced.value, entry.origin.as_str()), (density, "own.toml"));
    }

    #[test]
    fn any_text_over_the_catalogue_is_read_or_refused(text in "\\PC{0,120}", body in "[a-z.\\[\\]{}=\"0-9\n ]{0,120}") {
        let standard = Catalogue::standard().unwrap();
        let _ = standard.overlaid_with(&text, "x");
        let _ = standard.overlaid_with(&format!("schema = 1\n[materials.abs]\n{body}\n"), "x");
        let _ = standard.get(&text);
    }
}

#[test]
fn beyond_its_readings_a_material_says_so() {
    let abs = Catalogue::standard().unwrap().get("abs").unwrap();
    let p = abs.properties();
    let limp_k = p.get(Property::Limp).unwrap();
    assert!(p.at(340.0).unwrap().held.is_empty());
    let hot = p.at(limp_k + 60.0).unwrap();
    let told = |what: &str| hot.held.iter().any(|n| n.about.contains(what));
    assert!(told("modulus"), "{:?}", hot.held);
}
