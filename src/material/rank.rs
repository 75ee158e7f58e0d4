//! Choosing a material for a mount: gates first, then points with a reason beside each.

use serde::Serialize;

use super::stock::THICKNESS;
use super::weights::{DRIED, EASY_MARGIN, EASY_WINDOW, Weights, checked_weights};
use crate::error::{Range, Result, check};

/// What is known of one material for one mount, in plain numbers. The caller computes them with its own tools, zone and prices.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// Canonical name of the material.
    pub material: String,
    /// Length of the forming window with the shop's own heat; `None` where it never opens. 0 for a part that is only cut, with `formed` false. [s]
    pub window_s: Option<f64>,
    /// Whether the part is formed hot: it then wants to go flat again.
    pub formed: bool,
    /// Where the material softens. [K]
    pub softening_k: f64,
    /// Lasting temperature of the place. [K]
    pub service_k: f64,
    /// Distance that softening must keep above it, greater for a part that was formed hot. [K]
    pub margin_k: f64,
    /// Young's modulus at the service temperature. [Pa]
    pub modulus_pa: f64,
    /// How well the shop's adhesives hold on it, 0 to 1.
    pub bond_fraction: f64,
    /// Price of material for one mount, in the shop's currency; `None` where none is known.
    pub price: Option<f64>,
    /// Count of the fumes that it gives off when overheated.
    pub fumes: usize,
    /// Whether it must be dried before forming.
    pub dried: bool,
    /// Checks of the finished mount that fail with it; empty where none does or none was made.
    pub fails: Vec<String>,
    /// Thickness of the sheet, where several are compared. [m]
    pub thickness_m: Option<f64>,
    /// Where it is to be had: "in the rack"; may be empty.
    pub supply: String,
}

/// A material in its place in the ranking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ranked {
    /// Canonical name.
    pub material: String,
    /// Thickness of the sheet, where several are compared. [m]
    pub thickness_m: Option<f64>,
    /// Where it is to be had; may be empty.
    pub supply: String,
    /// 0 to 1; 0 where a gate is shut.
    pub score_fraction: f64,
    /// Why it cannot be used; empty where it can.
    pub against: Vec<String>,
    /// What counts for and against it, with the points from 0 to 1.
    pub reasons: Vec<Reason>,
}

/// One point of a ranking.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reason {
    /// What is judged: `forming`, `service`, `stiffness`, `bond`, `price`, `hazards`.
    pub of: &'static str,
    /// 0 to 1.
    pub points_fraction: f64,
    /// In words.
    pub text: String,
}

/// Ranks materials for one mount, best first.
///
/// A window that never opens, softening too near the service temperature, or a check that fails shuts a material out: it stands below all
/// others, with the reason. The rest is the weighted mean of points from 0 to 1: window against half a minute, distance
/// beyond the margin against 25 K, stiffness and price against the best of the candidates, adhesion as given, fumes. A
/// sheet without a price counts as the dearest of the others. Equal scores stand in the order of names and thicknesses.
///
/// # Errors
/// [`crate::Error::OutOfRange`] where a number is not possible.
pub fn rank(candidates: &[Candidate], weights: &Weights) -> Result<Vec<Ranked>> {
    let w = checked_weights(weights)?;
    for (i, c) in candidates.iter().enumerate() {
        checked(i, c)?;
    }
    let stiffest = candidates.iter().map(|c| c.modulus_pa).fold(0.0, f64::max);
    let prices = || candidates.iter().filter_map(|c| c.price);
    let range = Prices {
        cheapest: prices().fold(f64::INFINITY, f64::min),
        dearest: prices().fold(0.0, f64::max),
    };
    let mut ranked: Vec<Ranked> = candidates
        .iter()
        .map(|c| judged(c, &w, stiffest, range))
        .collect();
    ranked.sort_by(|a, b| {
        (!a.against.is_empty())
            .cmp(&!b.against.is_empty())
            .then(b.score_fraction.total_cmp(&a.score_fraction))
            .then(a.material.cmp(&b.material))
            .then(
                a.thickness_m
                    .unwrap_or(0.0)
                    .total_cmp(&b.thickness_m.unwrap_or(0.0)),
            )
    });
    Ok(ranked)
}

/// The prices that are known.
#[derive(Clone, Copy)]
struct Prices {
    cheapest: f64,
    dearest: f64,
}

impl Prices {
    /// Points from 0 to 1; what has no price counts as the dearest.
    fn points(self, price: Option<f64>) -> f64 {
        let price = price.unwrap_or(self.dearest);
        if price > 0.0 {
            self.cheapest / price
        } else {
            1.0
        }
    }
}

/// How far from the place's temperature it softens.
fn above(c: &Candidate) -> String {
    let distance = c.softening_k - c.service_k;
    let side = if distance < 0.0 { "below" } else { "above" };
    format!("softens {:.0} K {side} the place", distance.abs())
}

fn judged(c: &Candidate, weights: &[f64; 6], stiffest: f64, prices: Prices) -> Ranked {
    let beyond = c.softening_k - c.service_k - c.margin_k;
    let mut against = vec![];
    if c.formed && c.window_s.is_none() {
        against.push("its forming window never opens with this heat".into());
    }
    if beyond < 0.0 {
        against.push(format!(
            "{}, {:.0} K above it are needed",
            above(c),
            c.margin_k
        ));
    }
    if !c.fails.is_empty() {
        against.push(format!("fails: {}", c.fails.join(", ")));
    }
    let window = c.window_s.unwrap_or(0.0);
    let forming = if c.formed {
        (window / EASY_WINDOW.value).min(1.0)
    } else {
        1.0
    };
    let dried = if c.dried {
        ", after hours of drying"
    } else {
        ""
    };
    let points = [
        (
            "forming",
            if c.dried {
                DRIED.value * forming
            } else {
                forming
            },
            match (c.formed, c.window_s) {
                (false, _) => "cut only".into(),
                (true, None) => "the window never opens".into(),
                (true, Some(s)) => format!("a window of {s:.0} s{dried}"),
            },
        ),
        (
            "service",
            (beyond / EASY_MARGIN.value).clamp(0.0, 1.0),
            above(c),
        ),
        (
            "stiffness",
            if stiffest > 0.0 {
                c.modulus_pa / stiffest
            } else {
                0.0
            },
            format!("{:.1} GPa when hot", c.modulus_pa * 1e-9),
        ),
        (
            "bond",
            c.bond_fraction,
            format!("adhesion {:.0} %", 100.0 * c.bond_fraction),
        ),
        (
            "price",
            prices.points(c.price),
            match c.price {
                Some(price) => format!("{price:.2} of material each"),
                None => "no price in the shop's file: counted as the dearest of the others".into(),
            },
        ),
        (
            "hazards",
            1.0 / (1.0 + c.fumes as f64),
            match c.fumes {
                0 => "no harmful fumes known".into(),
                1 => "one harmful fume when overheated".into(),
                n => format!("{n} harmful fumes when overheated"),
            },
        ),
    ];
    let total: f64 = weights.iter().sum();
    let mean = points
        .iter()
        .zip(weights)
        .map(|(p, w)| p.1 * w)
        .sum::<f64>()
        / total;
    Ranked {
        material: c.material.clone(),
        thickness_m: c.thickness_m,
        supply: c.supply.clone(),
        score_fraction: if against.is_empty() { mean } else { 0.0 },
        against,
        reasons: points
            .into_iter()
            .map(|(of, points_fraction, text)| Reason {
                of,
                points_fraction,
                text,
            })
            .collect(),
    }
}

fn checked(i: usize, c: &Candidate) -> Result<()> {
    let temperature = Range::new(150.0, 2000.0, "K");
    for (what, value, range) in [
        (
            "window_s",
            c.window_s.unwrap_or(0.0),
            Range::new(0.0, 1e6, "s"),
        ),
        ("softening_k", c.softening_k, temperature),
        ("service_k", c.service_k, temperature),
        ("margin_k", c.margin_k, Range::new(0.0, 200.0, "K")),
        ("modulus_pa", c.modulus_pa, Range::new(0.0, 1e12, "Pa")),
        ("bond_fraction", c.bond_fraction, Range::new(0.0, 1.0, "")),
        ("price", c.price.unwrap_or(0.0), Range::new(0.0, 1e12, "")),
        (
            "thickness_m",
            c.thickness_m.unwrap_or(THICKNESS.low),
            THICKNESS,
        ),
    ] {
        check(
            format!("candidates[{i}].{what}"),
            value,
            range,
            "look at what was computed",
        )?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::{Catalogue, Property};
    use proptest::prelude::*;

    fn candidate(name: &str, service_c: f64) -> Candidate {
        let m = Catalogue::standard().unwrap().get(name).unwrap();
        let p = m.properties();
        let service_k = service_c + 273.15;
        Candidate {
            material: name.into(),
            window_s: Some(15.0),
            formed: true,
            softening_k: p.softening_k().unwrap(),
            service_k,
            margin_k: 25.0, // 10 K and 15 K more for a formed part: common practice, no source
            modulus_pa: p.softening().unwrap().modulus_pa(service_k),
            bond_fraction: 0.8,
            price: Some(p.need(Property::Density).unwrap() / 1000.0),
            fumes: m.hazards.as_ref().unwrap().fumes.len(),
            dried: name == "pc",
            fails: vec![],
            thickness_m: None,
            supply: String::new(),
        }
    }

    fn order(names: &[&str], service_c: f64) -> Vec<Ranked> {
        let all: Vec<Candidate> = names.iter().map(|n| candidate(n, service_c)).collect();
        rank(&all, &Weights::default()).unwrap()
    }

    #[test]
    fn a_hot_dash_takes_polycarbonate_or_cast_acrylic() {
        // A dash in hot sun, 80 °C, and 25 K to keep for a formed part that is free to unbend: only sheets that soften above
        // 105 °C are left, and that is polycarbonate and cast acrylic.
        let ranked = order(
            &[
                "expanded-pvc",
                "rigid-pvc",
                "abs",
                "pmma-cast",
                "pc",
                "petg",
            ],
            80.0,
        );
        assert_eq!(ranked[0].material, "pc");
        assert_eq!(ranked[1].material, "pmma-cast");
        assert!(ranked[..2].iter().all(|r| r.against.is_empty()));
        assert!(ranked[2..].iter().all(|r| !r.against.is_empty()));
    }

    #[test]
    fn a_window_that_never_opens_shuts_a_material_out() {
        let mut c = candidate("abs", 50.0);
        c.window_s = None;
        let ranked = rank(&[c, candidate("hips", 50.0)], &Weights::default()).unwrap();
        assert_eq!(ranked[0].material, "hips");
        assert!(ranked[1].against[0].contains("never opens"));
        assert!(ranked.iter().all(|r| r.reasons.len() == 6));
    }

    #[test]
    fn what_has_no_price_counts_as_the_dearest() {
        let dear = Candidate {
            price: Some(20.0),
            ..candidate("abs", 45.0)
        };
        let cheap = Candidate {
            price: Some(5.0),
            ..candidate("hips", 45.0)
        };
        let unknown = Candidate {
            price: None,
            thickness_m: Some(3e-3),
            supply: "to buy".into(),
            ..candidate("petg", 45.0)
        };
        let ranked = rank(&[dear, cheap, unknown], &Weights::default()).unwrap();
        let points = |name: &str| {
            let r = ranked.iter().find(|r| r.material == name).unwrap();
            r.reasons
                .iter()
                .find(|p| p.of == "price")
                .unwrap()
                .points_fraction
        };
        assert!((points("petg") - 0.25).abs() < 1e-12 && (points("abs") - 0.25).abs() < 1e-12);
        assert!((points("hips") - 1.0).abs() < 1e-12);
        let petg = ranked.iter().find(|r| r.material == "petg").unwrap();
        assert_eq!(
            (petg.thickness_m, petg.supply.as_str()),
            (Some(3e-3), "to buy")
        );
    }

    #[test]
    fn impossible_numbers_are_refused() {
        let good = candidate("abs", 50.0);
        for bad in [
            Candidate {
                price: Some(f64::NAN),
                ..good.clone()
            },
            Candidate {
                bond_fraction: 1.5,
                ..good.clone()
            },
            Candidate {
                window_s: Some(-1.0),
                ..good.clone()
            },
            Candidate {
                service_k: f64::INFINITY,
                ..good.clone()
            },
        ] {
            assert!(rank(&[bad], &Weights::default()).is_err());
        }
        let none = Weights {
            forming: 0.0,
            service: 0.0,
            stiffness: 0.0,
            bond: 0.0,
            price: 0.0,
            hazards: 0.0,
        };
        assert!(rank(&[good], &none).is_err());
        assert!(rank(&[], &Weights::default()).unwrap().is_empty());
    }

    proptest! {
        #[test]
        fn a_longer_window_a_higher_softening_or_a_lower_price_never_hurts(
            window in 0.0..60.0_f64, softening in 330.0..420.0_f64, price in 0.1..50.0_f64, more in 0.0..20.0_f64,
        ) {
            let other = candidate("abs", 45.0);
            let base = Candidate { material: "x".into(), window_s: Some(window), softening_k: softening, price: Some(price), ..other.clone() };
            let score = |c: &Candidate| {
                let all = rank(&[c.clone(), other.clone()], &Weights::default()).unwrap();
                all.into_iter().find(|r| r.material == "x").unwrap().score_fraction
            };
            let before = score(&base);
            for better in [
                Candidate { window_s: Some(window + more), ..base.clone() },
                Candidate { softening_k: softening + more, ..base.clone() },
                Candidate { price: Some(price / (1.0 + more)), ..base.clone() },
            ] {
                // Rounding of a sum of six products.
                prop_assert!(score(&better) >= before - 1e-12);
            }
            prop_assert!((0.0..=1.0).contains(&before));
        }
    }
}
