//! What must hold for any mount, and orders of size from the trade.

use mountwright::mount::airbag::{Answer, refuse};
use mountwright::mount::beam::{Held, Tab, Tip, cantilever_root, guided_root, tab_frequency};
use mountwright::mount::fit::{Fit, check_fit, largest_cutout_m, least_web_m, web};
use mountwright::mount::fixing::{
    Screw, edge_distance, engagement, movement, pitch, ring_movement, slot_m,
};
use mountwright::mount::joint::{GluedJoint, glued, strength_share};
use mountwright::mount::place::{
    Climate, Sun, Zone, sun_surface_k, warm_up_share, zone_temperature,
};
use mountwright::mount::service_heat::{Made, Warmth, belongs};
use mountwright::mount::shock::half_sine_peak;
use mountwright::mount::vibration::{Psd, miles_rms, transmissibility_squared};
use mountwright::mount::{
    Check, Family, Material, PanelMount, RingMount, StrapMount, Verdict, check_panel, check_ring,
    check_strap, summary, worst,
};
use proptest::prelude::*;

/// A sheet of the standard catalogue.
fn sheet(family: Family) -> Material {
    let name = match family {
        Family::Abs => "abs",
        Family::Hdpe => "hdpe",
        _ => "expanded-pvc",
    };
    let catalogue = mountwright::material::Catalogue::standard().unwrap();
    Material::of(&catalogue.get(name).unwrap().properties()).unwrap()
}

fn families() -> impl Strategy<Value = Family> {
    prop::sample::select(vec![Family::FoamedPvc, Family::Abs, Family::Hdpe])
}

/// A pod with a 1 in tweeter on two tabs.
fn pod(material: Material, warmth: Warmth) -> StrapMount {
    StrapMount {
        part: "left pod".into(),
        material,
        tab: Tab {
            length_m: 0.025,
            width_m: 0.035,
            thickness_m: 0.003,
        },
        tabs: 2,
        held: Held::BothEnds,
        carried_kg: 0.07,
        made: Made::FormedHot,
        warmth,
        screws_per_tab: 1,
        screw: Screw::pan(0.004),
        edge_m: 0.010,
        slot_m: 0.006,
        from_fixed_m: 0.15,
        sag_limit_m: 1e-3,
        q: 10.0,
        shock: StrapMount::SHOCK,
        fit: None,
        joined_kg: None,
        joint: None,
    }
}

/// A 6.5 in driver of 0.9 kg on a ring of 12.5 mm sheet with four screws.
fn ring(material: Material, warmth: Warmth) -> RingMount {
    RingMount {
        part: "left ring".into(),
        material,
        thickness_m: 0.0125,
        layer_m: 0.0125,
        web_at_screws_m: None,
        room_m: None,
        vehicle_span_m: None,
        web_m: 0.022,
        driver_kg: 0.9,
        warmth,
        vehicle_circle_m: 0.165,
        vehicle_screws: 4,
        vehicle_screw: Screw::pan(0.005),
        driver_screws: 4,
        driver_screw: Screw::pan(0.004),
        driver_offset_m: 0.0647,
        driver_engagement_m: Some(0.0125),
        driver_pilot_m: None,
        driver_insert: None,
        driver_edge_m: 0.010,
        vehicle_edge_m: 0.010,
        pitch_m: Some(0.06),
        front_m: 0.0125,
        vehicle_hole_m: 0.0062,
        sag_limit_m: 1e-3,
        q: 10.0,
        shock: RingMount::SHOCK,
        fit: None,
        joint: None,
        steel: None,
    }
}

fn panel(material: Material, warmth: Warmth) -> PanelMount {
    PanelMount {
        part: "trim panel".into(),
        material,
        sides_m: [0.3, 0.2],
        thickness_m: 0.003,
        centre_kg: 0.0,
        covering_kg_m2: 0.4,
        made: Made::Flat,
        held: Held::ClampedAllRound,
        warmth,
        screw: Screw::pan(0.004),
        edge_m: 0.012,
        pitch_m: 0.2,
        screws: 6,
        slot_m: 0.008,
        from_fixed_m: 0.36,
        sag_limit_m: 2e-3,
        q: 10.0,
        shock: StrapMount::SHOCK,
    }
}

fn at(zone: Zone, climate: Climate) -> Warmth {
    Warmth::of(&zone_temperature(zone, climate))
}

fn verdict(checks: &[Check], name: &str) -> Verdict {
    checks
        .iter()
        .find(|c| c.name == name)
        .unwrap_or_else(|| panic!("no check {name}"))
        .verdict
}

/// Common practice, no source: rings of expanded PVC are in service in doors. A rule on the deflection temperature alone
/// would fail them: 58 °C less 10 K is under the 55 °C of a hot door.
#[test]
fn a_foamed_ring_in_a_door_does_not_fail_although_its_deflection_temperature_is_low() {
    for climate in [Climate::Mild, Climate::Hot] {
        let checks = check_ring(&ring(sheet(Family::FoamedPvc), at(Zone::Door, climate))).unwrap();
        assert_eq!(verdict(&checks, "softening in the sun"), Verdict::Pass);
        assert!(worst(&checks) < Verdict::Fail, "{}", summary(&checks));
    }
}

/// Rigid and foamed PVC fail a dash and are at best marginal on a pillar in a hot summer; ABS holds on the pillar (common
/// practice, no source).
#[test]
fn foamed_pvc_does_not_belong_on_a_dash_and_abs_does_on_a_pillar() {
    let foam = sheet(Family::FoamedPvc);
    let formed = |m: &Material, zone, climate| {
        belongs(m, zone, climate, Held::BothEnds, Made::FormedHot).unwrap()
    };
    for climate in [Climate::Mild, Climate::Hot, Climate::Extreme] {
        let dash = formed(&foam, Zone::DashTop, climate);
        assert_eq!(dash.verdict, Verdict::Fail);
        assert!(dash.mend.unwrap().contains("commonly"));
    }
    assert!(formed(&foam, Zone::UpperPillar, Climate::Hot).verdict > Verdict::Pass);
    assert_eq!(
        formed(&sheet(Family::Abs), Zone::UpperPillar, Climate::Hot).verdict,
        Verdict::Pass
    );
    let pod = check_strap(&pod(
        sheet(Family::Abs),
        at(Zone::UpperPillar, Climate::Hot),
    ))
    .unwrap();
    // 70 ± 6 °C against the maker's steady 75 °C: marginal at the hot end, and nothing else is.
    let short: Vec<_> = pod
        .iter()
        .filter(|c| c.verdict != Verdict::Pass)
        .map(|c| c.name)
        .collect();
    assert_eq!(short, ["maker's steady service limit"], "{pod:#?}");
}

#[test]
fn a_hot_formed_part_with_a_free_end_is_warned_about_hardest() {
    let foam = sheet(Family::FoamedPvc);
    let place = (Zone::UpperPillar, Climate::Mild);
    let held = |held| belongs(&foam, place.0, place.1, held, Made::FormedHot).unwrap();
    let free = held(Held::Cantilever);
    assert!(free.limit < held(Held::BothEnds).limit);
    assert!(free.why.starts_with("WARNING"));
    assert!(free.verdict >= held(Held::BothEnds).verdict);
}

/// Maker's steady limits in print (ABS 60 to 80 °C, expanded PVC 55 to 60 °C) lie below where these rules stop a
/// hot-formed part, by no more than 20 K.
#[test]
fn the_recovery_limit_lies_a_little_above_the_makers_steady_limit() {
    for family in [Family::FoamedPvc, Family::Abs] {
        let m = sheet(family);
        let found = belongs(
            &m,
            Zone::Door,
            Climate::Mild,
            Held::Cantilever,
            Made::FormedHot,
        )
        .unwrap();
        let above = found.limit - m.max_service_k;
        assert!((0.0..20.0).contains(&above), "{above}");
    }
}

#[test]
fn air_bags_and_the_view_come_first() {
    let answers = [Answer::Yes, Answer::No, Answer::Unknown];
    for zone in Zone::ALL {
        for bag in answers {
            for view in answers {
                let refused = refuse(zone, bag, view);
                let clear = bag == Answer::No && view == Answer::No;
                assert_eq!(refused.is_none(), clear);
                if let Some(refused) = refused {
                    assert!(!refused.find_out.is_empty() && !refused.consider_instead.is_empty());
                    assert!(refused.why.contains(zone.name()));
                }
            }
        }
    }
}

/// Nothing that the library says about a mount calls it approved or safe.
fn says_no_approval(checks: &[Check]) {
    for text in checks
        .iter()
        .map(ToString::to_string)
        .chain([summary(checks)])
    {
        let text = text.to_lowercase();
        assert!(
            !text.contains("approved") && !text.contains("is safe"),
            "{text}"
        );
    }
}

/// The first number of a text.
fn first_number(text: &str) -> f64 {
    let start = text.find(|c: char| c.is_ascii_digit()).unwrap();
    let rest = &text[start..];
    let end = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    rest[..end].parse().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_verdict_but_a_pass_says_what_would_mend_it(
        family in families(),
        thickness_mm in 1.0..8.0_f64,
        length_mm in 5.0..120.0_f64,
        width_mm in 10.0..80.0_f64,
        carried_g in 5.0..800.0_f64,
        zone in prop::sample::select(Zone::ALL.to_vec()),
        hot in any::<bool>(),
        one_side in any::<bool>(),
        edge_mm in 2.0..15.0_f64,
    ) {
        let climate = if hot { Climate::Extreme } else { Climate::Mild };
        let mount = StrapMount {
            tab: Tab { length_m: length_mm * 1e-3, width_m: width_mm * 1e-3, thickness_m: thickness_mm * 1e-3 },
            carried_kg: carried_g * 1e-3,
            held: if one_side { Held::Cantilever } else { Held::BothEnds },
            edge_m: edge_mm * 1e-3,
            ..pod(sheet(family), at(zone, climate))
        };
        let checks = check_strap(&mount).unwrap();
        says_no_approval(&checks);
        for c in &checks {
            prop_assert_eq!(c.mend.is_none(), c.verdict == Verdict::Pass);
            prop_assert!(c.figure.is_finite() && c.limit.is_finite() && c.margin.is_finite());
            prop_assert!(!c.why.is_empty() && !c.source.is_empty());
            prop_assert_eq!(c.verdict == Verdict::Fail, c.margin < 0.0 && c.name != "maker's steady service limit");
        }
        // Where a thickness is advised, a part of that thickness passes that check.
        for c in &checks {
            let Some(mend) = c.mend.as_ref().filter(|m| m.contains("mm thick instead")) else { continue };
            let thicker = StrapMount {
                tab: Tab { thickness_m: first_number(mend) * 1e-3, ..mount.tab },
                ..mount.clone()
            };
            let again = check_strap(&thicker).unwrap();
            prop_assert_eq!(verdict(&again, c.name), Verdict::Pass, "{}", mend);
        }
    }

    #[test]
    fn rings_and_panels_keep_the_same_promises(
        family in families(),
        thickness_mm in 4.0..26.0_f64,
        web_mm in 6.0..40.0_f64,
        driver_kg in 0.2..3.0_f64,
        screws in 2_u32..9,
        share in 0.0..1.0_f64,
        side_mm in 60.0..600.0_f64,
    ) {
        let warmth = at(Zone::Door, Climate::Hot);
        let span_m = std::f64::consts::PI * 0.165 / f64::from(screws);
        let mount = RingMount {
            thickness_m: thickness_mm * 1e-3,
            layer_m: thickness_mm * 1e-3,
            web_m: web_mm * 1e-3,
            driver_kg,
            vehicle_screws: screws,
            driver_offset_m: share * span_m / 2.0,
            ..ring(sheet(family), warmth)
        };
        let mut checks = check_ring(&mount).unwrap();
        let trim = PanelMount {
            sides_m: [side_mm * 1e-3, 0.2],
            thickness_m: thickness_mm * 0.5e-3,
            ..panel(sheet(family), warmth)
        };
        checks.extend(check_panel(&trim).unwrap());
        says_no_approval(&checks);
        for c in &checks {
            prop_assert_eq!(c.mend.is_none(), c.verdict == Verdict::Pass);
            prop_assert!(c.figure.is_finite() && c.limit.is_finite());
        }
        for c in &checks {
            let Some(mend) = c.mend.as_ref().filter(|m| m.contains("mm thick instead")) else { continue };
            let t = first_number(mend) * 1e-3;
            let again = if c.part == mount.part {
                check_ring(&RingMount { thickness_m: t, ..mount.clone() }).unwrap()
            } else {
                check_panel(&PanelMount { thickness_m: t, ..trim.clone() }).unwrap()
            };
            prop_assert_eq!(verdict(&again, c.name), Verdict::Pass, "{}", mend);
        }
    }

    #[test]
    fn what_is_advised_for_holes_passes(
        d_mm in 2.2..6.0_f64,
        have_mm in 0.0..30.0_f64,
        t_mm in 1.0..20.0_f64,
        from_mm in 0.0..900.0_f64,
        family in prop::sample::select(vec![Family::Abs, Family::Acrylic, Family::FoamedPvc, Family::Pc]),
    ) {
        let screw = Screw::pan(d_mm * 1e-3);
        let have = have_mm * 1e-3;
        let t = t_mm * 1e-3;
        let fixed = |found: Check, again: &dyn Fn(f64) -> Check| {
            if let Some(mend) = &found.mend {
                let metres = first_number(mend) * 1e-3;
                assert_eq!(again(metres).verdict, Verdict::Pass, "{mend}");
            }
        };
        fixed(edge_distance("p", family, screw, have).unwrap(), &|m| edge_distance("p", family, screw, m).unwrap());
        fixed(engagement("p", family, screw, have).unwrap(), &|m| engagement("p", family, screw, m).unwrap());
        fixed(pitch("p", screw, have, t).unwrap(), &|m| pitch("p", screw, m, t).unwrap());
        let abs = sheet(Family::Abs);
        let slotted = |m: f64| movement("p", &abs, screw, m, 50.0, from_mm * 1e-3).unwrap();
        fixed(slotted(screw.diameter_m), &slotted);
        let round = |m: f64| ring_movement("p", &abs, screw, m, 50.0, 2e-3 * from_mm).unwrap();
        fixed(round(screw.diameter_m), &round);
        // Half of the circle is the way from the middle, which nothing moves.
        prop_assert!((round(0.02).limit - slotted(0.02).limit).abs() < 1e-12);
        let shallow = Fit { driver_depth_m: 0.06, depth_behind_face_m: have, ..Fit::default() };
        let depth = |fit: &Fit| check_fit("p", fit).unwrap().remove(0);
        fixed(depth(&shallow), &|m| depth(&Fit { spacer_m: m, ..shallow }));
        let outline = 2.0 * (least_web_m(family, t) + 0.05);
        let largest = largest_cutout_m(family, outline, t).unwrap();
        let left = (outline - largest) / 2.0 + 1e-12;
        prop_assert_eq!(web("p", family, left, t).unwrap().verdict, Verdict::Pass);
    }

    #[test]
    fn more_load_never_passes_what_less_failed(
        family in families(), carried_g in 10.0..400.0_f64, more in 1.0..4.0_f64,
    ) {
        let warmth = at(Zone::UpperPillar, Climate::Mild);
        let light = StrapMount { carried_kg: carried_g * 1e-3, ..pod(sheet(family), warmth) };
        let heavy = StrapMount { carried_kg: carried_g * 1e-3 * more, ..light.clone() };
        let (light, heavy) = (check_strap(&light).unwrap(), check_strap(&heavy).unwrap());
        for name in ["softening in the sun", "sag in the heat"] {
            prop_assert!(verdict(&heavy, name) >= verdict(&light, name));
        }
    }

    #[test]
    fn heat_never_helps(family in families(), celsius in 20.0..110.0_f64, more in 0.0..30.0_f64) {
        let m = sheet(family);
        let (cool, warm) = (celsius + 273.15, celsius + more + 273.15);
        prop_assert!(m.modulus_pa(warm) <= m.modulus_pa(cool) * (1.0 + 1e-12));
        prop_assert!(m.yield_at_pa(warm) <= m.yield_at_pa(cool) * (1.0 + 1e-12));
        prop_assert!(m.creep_modulus_pa(warm) <= m.creep_modulus_pa(cool) * (1.0 + 1e-12));
        let joint = |k: f64| strength_share(k, 353.15);
        prop_assert!(joint(warm) <= joint(cool));
    }

    #[test]
    fn a_higher_stress_deflects_at_a_lower_temperature(
        family in families(), stress in 1e3..5e6_f64, more in 1.0..10.0_f64,
    ) {
        let m = sheet(family);
        let low = m.softening.deflection_temperature_k(stress).unwrap();
        let high = m.softening.deflection_temperature_k(stress * more).unwrap();
        prop_assert!(high <= low + 1e-9 && low <= m.soft_k());
    }

    #[test]
    fn the_road_response_agrees_with_a_fine_sum_and_lies_above_the_rigid_part(
        f in 3.0..1500.0_f64, q in 2.0..40.0_f64,
    ) {
        let body = Psd::body();
        let found = body.response_rms_m_s2(f, q).unwrap().powi(2);
        // Midpoints in ln f, fine against the resonance's width 1/Q: error (h Q)²/24 of the peak, under 1e-4.
        let n = 40_000;
        let span = 100.0_f64.ln();
        let sum: f64 = (0..n)
            .map(|i| {
                let freq = 10.0 * (span * (f64::from(i) + 0.5) / f64::from(n)).exp();
                transmissibility_squared(freq / f, q) * body.at(freq) * freq
            })
            .sum::<f64>()
            * span
            / f64::from(n);
        prop_assert!((found / sum - 1.0).abs() < 1e-4, "{} against {}", found, sum);
        if (10.0..1000.0).contains(&f) {
            // Below its resonance a mode follows or amplifies, so it has at least what lies below.
            prop_assert!(found >= body.mean_square(10.0, f));
            prop_assert!(miles_rms(f, q, body.at(f)).is_finite());
        }
    }

    #[test]
    fn band_mean_squares_add_up(a in 10.0..1000.0_f64) {
        let body = Psd::body();
        let whole = body.rms_m_s2().powi(2);
        let parts = body.mean_square(10.0, a) + body.mean_square(a, 1000.0);
        prop_assert!((parts / whole - 1.0).abs() < 1e-12);
    }

    #[test]
    fn shock_peaks_stay_inside_their_bounds(cycles in 0.001..300.0_f64, q in 0.6..100.0_f64) {
        let peak = half_sine_peak(cycles, q).unwrap();
        // The undamped greatest is 1.77; a foot that is slow against the mode is followed; a short one gives its change of speed.
        prop_assert!(peak > 0.0 && peak < 1.78);
        if cycles > 20.0 && q > 2.0 {
            prop_assert!((peak - 1.0).abs() < 0.06, "{}", peak);
        }
        if cycles < 0.02 && q > 5.0 {
            prop_assert!(peak <= 4.0 * cycles * (1.0 + 1.0 / q));
        }
    }

    #[test]
    fn roots_fall_with_the_mass_at_the_end_and_rise_with_the_mode(mu in 0.0..100.0_f64, more in 0.01..10.0_f64) {
        let root = |mu, mode| cantilever_root(mu, mode).unwrap();
        prop_assert!(root(mu + more, 1) < root(mu, 1));
        prop_assert!(guided_root(mu + more).unwrap() < guided_root(mu).unwrap());
        prop_assert!(guided_root(mu).unwrap() > root(mu, 1));
        for mode in 1..6 {
            prop_assert!(root(mu, mode) < root(mu, mode + 1));
        }
        let tab = Tab { length_m: 0.03, width_m: 0.03, thickness_m: 0.003 };
        let f = |kg| tab_frequency(tab, Tip::Free, 2e9, 1000.0, kg).unwrap();
        prop_assert!(f(0.1 * more) > f(0.1 * more + 0.01));
    }

    #[test]
    fn advised_numbers_of_screws_pass(
        driver_kg in 0.5..6.0_f64, l_mm in 2.0..10.0_f64, t_mm in 1.0..6.0_f64, carried_kg in 0.1..4.0_f64,
        held in prop::sample::select(vec![Held::ClampedAllRound, Held::BothEnds, Held::Cantilever]),
    ) {
        let number = |mend: &str| mend.split(" screws").next().and_then(|n| n.parse::<u32>().ok());
        let advice = |c: &Check| c.mend.clone().filter(|m| m.contains("screws instead of")).and_then(|m| number(&m));
        let warmth = at(Zone::CabinAir, Climate::Hot);
        let mount = RingMount { driver_kg, driver_engagement_m: Some(l_mm * 1e-3), thickness_m: 6e-3, front_m: 6e-3, ..ring(sheet(Family::Abs), warmth) };
        for c in check_ring(&mount).unwrap() {
            let Some(n) = advice(&c) else { continue };
            // Fewer of the vehicle's screws stand further apart, and so do the driver's from them.
            let more = if c.name.contains("through") {
                RingMount { vehicle_screws: n, driver_offset_m: mount.driver_offset_m * 4.0 / f64::from(n), ..mount.clone() }
            } else {
                RingMount { driver_screws: n, ..mount.clone() }
            };
            prop_assert_eq!(verdict(&check_ring(&more).unwrap(), c.name), Verdict::Pass, "{}", c.name);
        }
        let trim = PanelMount { centre_kg: carried_kg, thickness_m: t_mm * 1e-3, screws: 1, held, ..panel(sheet(Family::Abs), warmth) };
        for c in check_panel(&trim).unwrap() {
            let Some(screws) = advice(&c) else { continue };
            let more = PanelMount { screws, ..trim.clone() };
            prop_assert_eq!(verdict(&check_panel(&more).unwrap(), c.name), Verdict::Pass, "{}", c.name);
        }
    }

    #[test]
    fn a_panel_held_less_gives_way_more(a in 0.08..0.5_f64, ratio in 0.3..3.0_f64, kg in 0.0..0.5_f64) {
        let warmth = at(Zone::CabinAir, Climate::Hot);
        let of = |held, centre_kg| {
            let mount = PanelMount { sides_m: [a, a * ratio], held, centre_kg, ..panel(sheet(Family::Abs), warmth) };
            let found = check_panel(&mount).unwrap();
            ["sag in the heat", "pressed with a thumb"].map(|name| found.iter().find(|c| c.name == name).unwrap().figure)
        };
        // A thumb on a strip wider than long bends it as it bends a plate; elsewhere the free edges give way.
        let [round, ends, one] = [Held::ClampedAllRound, Held::BothEnds, Held::Cantilever].map(|held| of(held, kg));
        for i in 0..2 {
            prop_assert!(round[i] < ends[i] && ends[i] < one[i], "{:?} {:?} {:?}", round, ends, one);
        }
        prop_assert!(of(Held::BothEnds, kg + 0.1)[0] > ends[0]);
    }

    #[test]
    fn advised_areas_pass(load in 10.0..1500.0_f64, area_cm2 in 0.5..40.0_f64) {
        let glue = |area_m2| GluedJoint { adhesive: "epoxy".into(), area_m2, strength_pa: 5e6, service_limit_k: 353.15, peels: false };
        let warmth = Warmth { temperature_k: 325.0, plus_minus_k: 6.0 };
        let joint = |area| glued("p", &glue(area), warmth, load / 10.0, load).unwrap().remove(0);
        if let Some(mend) = joint(area_cm2 * 1e-4).mend {
            prop_assert_eq!(joint(first_number(&mend) * 1e-4).verdict, Verdict::Pass);
        }
    }

    #[test]
    fn sun_and_time_only_warm(air in 270.0..350.0_f64, a in 0.0..1.0_f64, t in 0.0..1e5_f64, m in 0.0..3600.0_f64) {
        let lit = sun_surface_k(air, Sun { absorptance: a, ..Sun::default() }).unwrap();
        prop_assert!(lit >= air && lit < air + 40.0);
        prop_assert!(warm_up_share(t + m).unwrap() >= warm_up_share(t).unwrap());
        prop_assert!(slot_m(0.004, 9e-5, t / 1e4, 0.1).unwrap() >= 0.004);
    }
}

/// Every sheet that the catalogue calls one is understood, at any draw of its grades; and no sheet of the vinyl family stands a
/// dash in a hot summer, while polycarbonate stands every place (common practice, no source).
#[test]
fn the_catalogue_ranks_as_the_trade_does() {
    use mountwright::material::Catalogue;
    let verdict = |name: &str, zone, climate| {
        let sheet = Material::of(
            &Catalogue::standard()
                .unwrap()
                .get(name)
                .unwrap()
                .properties(),
        );
        belongs(
            &sheet.unwrap(),
            zone,
            climate,
            Held::BothEnds,
            Made::FormedHot,
        )
        .unwrap()
        .verdict
    };
    for vinyl in ["expanded-pvc", "expanded-pvc-dense", "rigid-pvc", "petg"] {
        assert_eq!(
            verdict(vinyl, Zone::DashTop, Climate::Hot),
            Verdict::Fail,
            "{vinyl}"
        );
    }
    for zone in Zone::ALL {
        assert_eq!(verdict("pc", zone, Climate::Extreme), Verdict::Pass);
    }
    assert_eq!(
        verdict("abs", Zone::UpperPillar, Climate::Hot),
        Verdict::Pass
    );
    assert_eq!(verdict("pcl", Zone::Door, Climate::Hot), Verdict::Fail);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_grade_of_every_sheet_is_understood(at in 0.0..1.0_f64, other in 0.0..1.0_f64) {
        use mountwright::material::{Catalogue, Property};
        let warm = Warmth::of(&zone_temperature(Zone::UpperPillar, Climate::Hot));
        for name in ["expanded-pvc", "rigid-pvc", "abs", "hips", "pmma-cast", "pmma-extruded", "petg", "pc", "pp", "hdpe", "pcl", "acrylic-pvc"] {
            let material = Catalogue::standard().unwrap().get(name).unwrap();
            let mut properties = material.properties();
            for (i, (property, _)) in material.uncertain().into_iter().enumerate() {
                let s = material.sourced(property).unwrap();
                let x = if i % 2 == 0 { at } else { other };
                properties.set(property, s.low + x * (s.high - s.low)).unwrap();
            }
            let sheet = Material::of(&properties).unwrap();
            prop_assert!(sheet.soft_k() > properties.need(Property::GlassTransition).unwrap().min(300.0));
            for celsius in [-20.0, 23.0, 60.0, 100.0, 140.0] {
                let k = celsius + 273.15;
                prop_assert!(sheet.creep_modulus_pa(k) > 0.0 && sheet.bending_at_pa(k) > 0.0);
            }
            let found = check_strap(&pod(sheet, warm)).unwrap();
            prop_assert!(!found.is_empty());
        }
    }
}
