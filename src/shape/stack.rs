//! Layers of stocked thicknesses that make a depth at least cost.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::error::{Error, Range, Result, check};

/// A thickness that can be had, and its price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stocked {
    /// Name of the sheet.
    pub name: String,
    /// Thickness; 0.3 mm to 60 mm. [m]
    pub thickness_m: f64,
    /// Price of the sheet in the shop's currency; 0 for an offcut on the shelf. [1/m²]
    pub price_per_m2: f64,
}

/// Layers that make a depth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stack {
    /// Index into the list of stocked thicknesses for each layer, thickest first: it takes the driver's screws.
    pub layers: Vec<usize>,
    /// Their thickness together. [m]
    pub depth_m: f64,
    /// Price of the sheet in all layers and of the glue lines, in the shop's currency.
    pub price: f64,
}

/// Most layers in a stack: more glue lines than this are no longer a ring.
const MOST_LAYERS: u32 = 8;

/// The cheapest layers whose thickness together lies from `depth_m` to `depth_m + over_m`.
///
/// Least price first (sheet of `area_m2` for each layer, `joint_price` for each glue line), then fewest layers, then
/// least depth. Exact: a shortest way through all depths that can be made, in steps of a micrometre.
///
/// # Errors
/// [`Error::OutOfRange`] for sizes and prices that cannot be; [`Error::Impossible`] where no stack of at most 8 layers
/// makes the depth, with the depths that come nearest.
///
/// ```
/// use mountwright::shape::stack::{Stocked, stack};
/// let stock = |mm: f64, price| Stocked { name: format!("{mm} mm"), thickness_m: mm * 1e-3, price_per_m2: price };
/// let made = stack(0.0245, 0.001, &[stock(12.5, 40.0), stock(6.0, 15.0), stock(19.0, 90.0)], 0.02, 0.5)?;
/// assert_eq!(made.layers, [0, 0]);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn stack(
    depth_m: f64,
    over_m: f64,
    stocked: &[Stocked],
    area_m2: f64,
    joint_price: f64,
) -> Result<Stack> {
    check(
        "depth_m",
        depth_m,
        Range::new(5e-4, 0.2, "m"),
        "measure the depth that is needed",
    )?;
    check(
        "over_m",
        over_m,
        Range::new(0.0, 0.02, "m"),
        "say how much deeper it may become",
    )?;
    check(
        "area_m2",
        area_m2,
        Range::new(0.0, 25.0, "m²"),
        "give the ring's size",
    )?;
    let price = Range::new(0.0, 1e9, "1/m²");
    check(
        "joint_price",
        joint_price,
        price,
        "give the price of one glue line",
    )?;
    for (i, s) in stocked.iter().enumerate() {
        check(
            format!("stocked[{i}].thickness_m"),
            s.thickness_m,
            Range::new(3e-4, 0.06, "m"),
            "measure the sheet",
        )?;
        check(
            format!("stocked[{i}].price_per_m2"),
            s.price_per_m2,
            price,
            "give its price",
        )?;
    }
    let made = ways(depth_m + over_m, stocked, area_m2, joint_price);
    let (low, high) = (micrometres(depth_m), micrometres(depth_m + over_m));
    let best =
        made.range((low, 0)..=(high, MOST_LAYERS))
            .min_by(|((d, layers), a), ((e, others), b)| {
                // The rounding of sums must not part what costs the same.
                let price = |way: &Way| (way.price * 1e9).round();
                price(a)
                    .total_cmp(&price(b))
                    .then(layers.cmp(others))
                    .then(d.cmp(e))
            });
    let Some((&end, way)) = best else {
        return Err(no_stack(depth_m, over_m, stocked, area_m2, joint_price));
    };
    let price = way.price;
    let mut layers = vec![];
    let mut at = end;
    while let Some(last) = made.get(&at).and_then(|way| way.last) {
        layers.push(last);
        let thick = stocked
            .get(last)
            .map_or(at.0, |s| micrometres(s.thickness_m));
        at = (at.0 - thick, at.1 - 1);
    }
    let thickness = |i: &usize| stocked.get(*i).map_or(0.0, |s| s.thickness_m);
    layers.sort_by(|a, b| thickness(b).total_cmp(&thickness(a)).then(a.cmp(b)));
    Ok(Stack {
        depth_m: layers.iter().map(thickness).sum(),
        price,
        layers,
    })
}

/// The cheapest way to one depth with one number of layers.
#[derive(Debug, Clone, Copy)]
struct Way {
    price: f64,
    last: Option<usize>,
}

/// Ways by depth in micrometres and number of layers: a cheap way of many thin layers must not hide one of few.
type Ways = BTreeMap<(i64, u32), Way>;

fn micrometres(length_m: f64) -> i64 {
    // Lengths were checked to lie far below the range of i64.
    #[allow(clippy::cast_possible_truncation)]
    let um = (length_m * 1e6).round() as i64;
    um
}

/// Every depth up to `most_m` that layers can make, each number of layers with its cheapest way.
fn ways(most_m: f64, stocked: &[Stocked], area_m2: f64, joint_price: f64) -> Ways {
    let most = micrometres(most_m);
    let none = Way {
        price: 0.0,
        last: None,
    };
    let mut made = Ways::from([((0, 0), none)]);
    let mut at = (0, 0);
    // Every layer adds depth, so a depth is final when it is the next in order.
    while let Some((&(depth, count), &way)) = made.range(at..).next() {
        at = (depth, count + 1);
        if count == MOST_LAYERS {
            continue;
        }
        for (i, s) in stocked.iter().enumerate() {
            let deeper = (depth + micrometres(s.thickness_m), count + 1);
            if deeper.0 > most {
                continue;
            }
            let joint = if count > 0 { joint_price } else { 0.0 };
            let next = Way {
                price: way.price + s.price_per_m2 * area_m2 + joint,
                last: Some(i),
            };
            if made.get(&deeper).is_none_or(|old| next.price < old.price) {
                made.insert(deeper, next);
            }
        }
    }
    made
}

fn no_stack(depth_m: f64, over_m: f64, stocked: &[Stocked], area_m2: f64, joint: f64) -> Error {
    let mm = |um: i64| um as f64 / 1e3;
    let made = ways(depth_m + over_m + 0.06, stocked, area_m2, joint);
    let low = micrometres(depth_m);
    let below = made
        .range((1, 0)..(low, 0))
        .next_back()
        .map(|(&(d, _), _)| mm(d));
    let above = made
        .range((micrometres(depth_m + over_m), 0)..)
        .next()
        .map(|(&(d, _), _)| mm(d));
    let remedy = match (below, above) {
        (Some(a), Some(b)) => format!("layers make {a:.2} mm or {b:.2} mm: allow one of them"),
        (Some(a), None) => {
            format!("{MOST_LAYERS} layers make at most {a:.2} mm: stock thicker sheet")
        }
        (None, Some(b)) => {
            format!("the thinnest sheet makes {b:.2} mm: allow it or stock thinner sheet")
        }
        (None, None) => "list at least one thickness in stock".into(),
    };
    Error::Impossible {
        what: format!(
            "a stack of {:.2} to {:.2} mm",
            depth_m * 1e3,
            (depth_m + over_m) * 1e3
        ),
        why: format!("no {MOST_LAYERS} layers of the stocked thicknesses make it"),
        remedy,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stock(mm: f64, price_per_m2: f64) -> Stocked {
        Stocked {
            name: format!("{mm} mm"),
            thickness_m: mm * 1e-3,
            price_per_m2,
        }
    }

    #[test]
    fn what_cannot_be_made_names_what_can() {
        let error = stack(0.02, 1e-3, &[stock(12.0, 1.0)], 0.01, 0.0).unwrap_err();
        assert!(
            error.to_string().contains("12.00 mm or 24.00 mm"),
            "{error}"
        );
        assert!(matches!(
            stack(0.02, 1e-3, &[], 0.01, 0.0),
            Err(Error::Impossible { .. })
        ));
    }

    proptest! {
        #[test]
        fn no_stack_of_up_to_four_is_cheaper(
            sizes in prop::collection::vec((1000..13_000_u32, 0.0..50.0_f64), 1..5), depth in 0.002..0.03_f64, over in 0.0..0.004_f64, joint in 0.0..2.0_f64,
        ) {
            let stocked: Vec<Stocked> = sizes.iter().map(|&(um, p)| stock(f64::from(um) / 1e3, p)).collect();
            let found = stack(depth, over, &stocked, 1.0, joint);
            // Every choice of up to four layers, counted through.
            let n = stocked.len() + 1;
            let mut best = f64::INFINITY;
            for code in 1..n.pow(4) {
                let chosen: Vec<&Stocked> = (0..4_u32).filter_map(|k| stocked.get((code / n.pow(k)) % n)).collect();
                let sum: i64 = chosen.iter().map(|s| micrometres(s.thickness_m)).sum();
                if sum >= micrometres(depth) && sum <= micrometres(depth + over) && !chosen.is_empty() {
                    let price: f64 = chosen.iter().map(|s| s.price_per_m2).sum::<f64>() + joint * (chosen.len() - 1) as f64;
                    best = best.min(price);
                }
            }
            match found {
                Ok(made) => {
                    prop_assert!(made.price <= best + 1e-9);
                    prop_assert!(made.depth_m >= depth - 1e-6 && made.depth_m <= depth + over + 1e-6);
                }
                Err(_) => prop_assert!(best.is_infinite()),
            }
        }
    }
}
