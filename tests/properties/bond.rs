//! What must hold for any cure, climate and joint.

use mountwright::bond::{
    Catalogue, Conditions, Cure, Diffusion, Glass, JointAsk, Kinetics, Load, Seam, joint,
};
use mountwright::climate::{Air, Climate};
use proptest::prelude::*;

fn day() -> impl Strategy<Value = Climate> {
    (
        proptest::collection::vec(283.0..308.0_f64, 24),
        proptest::collection::vec(0.1..0.95_f64, 24),
    )
        .prop_map(|(t, h)| {
            let t: [f64; 24] = t.try_into().unwrap();
            let h: [f64; 24] = h.try_into().unwrap();
            Climate::daily(&t, &h).unwrap()
        })
}

fn adhesive() -> impl Strategy<Value = String> {
    let names: Vec<String> = Catalogue::standard()
        .unwrap()
        .names()
        .map(String::from)
        .collect();
    proptest::sample::select(names)
}

fn face() -> impl Strategy<Value = String> {
    let names: Vec<String> = Catalogue::standard()
        .unwrap()
        .substrate
        .keys()
        .cloned()
        .collect();
    proptest::sample::select(names)
}

fn cure(name: &str) -> Cure {
    Catalogue::standard()
        .unwrap()
        .adhesive(name)
        .unwrap()
        .cure(&Seam::default())
        .unwrap()
}

/// Every sheet, foam and body that a job may name can be glued and finished by that name.
#[test]
fn every_material_is_a_face() {
    let bonds = Catalogue::standard().unwrap();
    for name in mountwright::material::Catalogue::standard()
        .unwrap()
        .names()
    {
        assert!(bonds.substrate(name).is_ok(), "{name}");
    }
}

proptest! {
    #[test]
    fn stages_come_in_order_after_the_start(name in adhesive(), climate in day(), start in -1e5..1e6_f64) {
        let ready = cure(&name).ready_at(start, &climate).unwrap();
        prop_assert!(ready.open_s >= start);
        if let Some(handling) = ready.handling_s {
            prop_assert!(handling >= start);
            if let Some(full) = ready.full_s {
                prop_assert!(full >= handling);
            }
        }
        prop_assert_eq!(ready.never.is_some(), ready.full_s.is_none() || ready.joinable_s.is_none());
    }

    /// Adhesives that react or dry are sooner ready in warmer air (hot melt, which cools, is not among them).
    #[test]
    fn warmer_is_sooner(name in adhesive(), t in 286.0..300.0_f64, rise in 0.5..8.0_f64, h in 0.25..0.6_f64) {
        prop_assume!(name != "hot-melt-eva" && name != "acrylic-cement" && name != "acrylic-solvent");
        let cure = cure(&name);
        let at = |t: f64| cure.ready_at(0.0, &Climate::constant(t, h).unwrap()).unwrap().handling_s;
        if let Some(cold) = at(t) {
            prop_assert!(at(t + rise).unwrap() <= cold * (1.0 + 1e-12));
        }
    }

    /// The instant is where the shares add up to one: checked with a midpoint sum of 20 000 parts on the steady-air times.
    #[test]
    fn shares_of_time_add_up_to_one(climate in day(), start in 0.0..86_400.0_f64, hours in 1.0..40.0_f64, e in 30e3..90e3_f64) {
        let cure = Cure::shifted("x", 60.0, hours * 3600.0, hours * 3600.0, 296.15, e).unwrap();
        let end = cure.ready_at(start, &climate).unwrap().handling_s.unwrap();
        let n = 20_000;
        let h = (end - start) / f64::from(n);
        let sum: f64 = (0..n)
            .map(|i| {
                let t = climate.temperature_k(start + (f64::from(i) + 0.5) * h);
                let steady = hours * 3600.0 * (e / 8.314_462_618 * (1.0 / t - 1.0 / 296.15)).exp();
                h / steady
            })
            .sum();
        // The midpoint sum misses by its own steps over the kinks: about 1e-6.
        prop_assert!((sum - 1.0).abs() < 5e-6, "{}", sum);
    }

    /// A day that repeats and the same days written out as a history give the same instants.
    #[test]
    fn a_repeated_day_is_its_history(name in adhesive(), climate in day(), start in 0.0..86_400.0_f64) {
        let hours: Vec<f64> = (0..24 * 12).map(|h| f64::from(h) * 3600.0).collect();
        let t: Vec<f64> = hours.iter().map(|s| climate.temperature_k(*s)).collect();
        let h: Vec<f64> = hours.iter().map(|s| climate.humidity(*s)).collect();
        let history = Climate::from_history(&hours, &t, &h).unwrap();
        let cure = cure(&name);
        let (a, b) = (cure.ready_at(start, &climate).unwrap(), cure.ready_at(start, &history).unwrap());
        for (a, b) in [(a.handling_s, b.handling_s), (a.full_s, b.full_s)] {
            if let (Some(a), Some(b)) = (a, b)
                && a < hours[hours.len() - 1]
            {
                // Both to 1e-8 of an hour-long piece; days are summed in another order.
                prop_assert!((a - b).abs() < 1e-3, "{} {}", a, b);
            }
        }
    }

    /// A factor on the times moves every instant the same way, and in steady air in proportion.
    #[test]
    fn a_slow_batch_is_later(name in adhesive(), factor in 1.0..3.0_f64, t in 292.0..303.0_f64) {
        let cure = cure(&name);
        let air = Climate::constant(t, 0.5).unwrap();
        let (one, slow) = (cure.ready_at(0.0, &air).unwrap(), cure.scaled(factor).unwrap().ready_at(0.0, &air).unwrap());
        if let (Some(one), Some(slow)) = (one.handling_s, slow.handling_s) {
            prop_assert!((slow / one / factor - 1.0).abs() < 1e-9);
        }
        prop_assert!(slow.open_s >= one.open_s);
    }

    /// Conversion only grows, stays within 0 to 1, and grows faster in warmer air.
    #[test]
    fn conversion_grows_and_is_bounded(
        n in (0.4..2.5_f64, 0.3..2.0_f64, 0.5..2.5_f64),
        e in (40e3..90e3_f64, 40e3..90e3_f64),
        k in (-12.0..-7.0_f64, -10.0..-6.0_f64),
        climate in day(),
    ) {
        // Rates that finish in hours to weeks: exp(k) at 296 K.
        let factor = |k: f64, e: f64| (k + e / (8.314_462_618 * 296.15)).exp();
        let resin = Kinetics::new([factor(k.0, e.0), factor(k.1, e.1)], [e.0, e.1], [n.0, n.1, n.2]).unwrap();
        let mut last = 0.0;
        for i in 1..6 {
            let a = resin.conversion(0.0, 0.0, f64::from(i) * 9000.0, &climate).unwrap();
            prop_assert!((0.0..=1.0).contains(&a));
            prop_assert!(a >= last - 1e-8);
            last = a;
        }
        let steady = |t| resin.conversion(0.0, 0.0, 20_000.0, &Climate::constant(t, 0.5).unwrap()).unwrap();
        prop_assert!(steady(300.0) >= steady(290.0) - 1e-8);
    }

    /// Going on from a conversion is the same as not having stopped.
    #[test]
    fn a_cure_can_be_cut_in_two(climate in day(), cut in 0.1..0.9_f64) {
        let resin = Kinetics::room_temperature_example();
        let whole = resin.conversion(0.0, 0.0, 40_000.0, &climate).unwrap();
        let first = resin.conversion(0.0, 0.0, 40_000.0 * cut, &climate).unwrap();
        let both = resin.conversion(first, 40_000.0 * cut, 40_000.0 * (1.0 - cut), &climate).unwrap();
        prop_assert!((whole - both).abs() < 1e-6);
    }

    /// A stiff network never lets the conversion past its cap, whatever the day does.
    #[test]
    fn a_cap_holds(climate in day()) {
        let glass = Glass::new(253.15, 392.15, 0.4).unwrap();
        let resin = Kinetics::room_temperature_example().with_diffusion(Diffusion::Cap { glass, above_k: 20.0 });
        let a = resin.conversion(0.0, 0.0, 20.0 * 86_400.0, &climate).unwrap();
        let (_, hottest) = climate.extremes_k();
        prop_assert!(a <= glass.conversion(hottest + 20.0) + 1e-6);
    }

    /// Any pair has an answer or a reason; amounts grow with area; a hotter joint is no stronger; allowable stays under strength.
    #[test]
    fn joints_are_answered(a in face(), b in face(), area in 1e-5..0.1_f64, t in 285.0..303.0_f64, service in 300.0..370.0_f64, light in any::<bool>()) {
        let mut ask = JointAsk::film(a, b, area);
        ask.conditions = Conditions {
            service_k: service,
            shop: Air { temperature_k: t, humidity: 0.5 },
            load: if light { Load::Light } else { Load::Sustained },
            ..Conditions::default()
        };
        match joint(&ask) {
            Err(mountwright::Error::Impossible { .. }) => (),
            Err(other) => prop_assert!(false, "{}", other),
            Ok(one) => {
                prop_assert!(one.score > 0.0 && one.handling_s.is_some());
                prop_assert!(one.amount.low_m3 <= one.amount.volume_m3 && one.amount.volume_m3 <= one.amount.high_m3);
                prop_assert!(one.amount.net_m3 <= one.amount.low_m3);
                prop_assert!(one.strength.allowable_pa <= one.strength.value_pa);
                prop_assert!(one.ready.p10.handling_s <= one.ready.p50.handling_s && one.ready.p50.handling_s <= one.ready.p90.handling_s);
                ask.adhesive = Some(one.adhesive.clone());
                if let mountwright::bond::Laid::Film { area_m2 } = &mut ask.laid {
                    *area_m2 *= 2.0;
                }
                ask.conditions.service_k += 10.0;
                let two = joint(&ask).unwrap();
                prop_assert!(two.amount.net_m3 >= one.amount.net_m3);
                prop_assert!(two.strength.value_pa <= one.strength.value_pa + 1e-6);
            }
        }
    }
}
