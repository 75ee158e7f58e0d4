//! The inverse question: what would open a window of the seconds that are asked for.

use serde::Serialize;

use super::exposure::Exposure;
use super::recipe::{Ask, Back, Body, Pulse, Window, window};
use super::tools::oven::Oven;
use crate::error::{Range, Result, check};

/// One way to a window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Way {
    /// What to do.
    pub what: String,
    /// The window that it opens.
    pub window: Window,
    /// Film coefficient of the heat. [W/m²/K]
    pub film_w_m2_k: f64,
    /// Gas temperature of the heat. [K]
    pub gas_k: f64,
}

/// Turns that a hand can keep up. [s]
const TURNS_S: [f64; 4] = [10.0, 8.0, 6.0, 4.0];
/// Steps further away, as factors on the distance.
const FURTHER: [f64; 6] = [1.15, 1.3, 1.5, 1.75, 2.0, 2.5];
/// Bursts and rests. [s]
const PULSES_S: [(f64, f64); 3] = [(5.0, 5.0), (4.0, 8.0), (3.0, 12.0)];

/// The ways to a window of `seconds` or more, quickest first; each is worked out, none is guessed.
///
/// Looked at: a board behind, turning over, the same heat on both faces, each of these from further away; bursts with rests; an
/// oven between what the shape needs and what the sheet stands.
///
/// # Errors
/// As [`recipe`](super::recipe); [`crate::Error::OutOfRange`] for seconds outside 0 to 3600.
pub fn ways_to_a_window(ask: &Ask, seconds: f64) -> Result<Vec<Way>> {
    check(
        "seconds",
        seconds,
        Range::new(0.0, 3600.0, "s"),
        "20 s is comfortable",
    )?;
    ask.check()?;
    let mut ways = Vec::new();
    let mut look = |what: String, changed: &Ask| -> Result<()> {
        let found = window(changed)?;
        if found.seconds() >= seconds && found.seconds() > 0.0 {
            ways.push(Way {
                what,
                window: found,
                film_w_m2_k: changed.exposure.film_w_m2_k,
                gas_k: changed.exposure.gas_k,
            });
        }
        Ok(())
    };
    let mut backs = vec![
        (String::new(), ask.back),
        ("lay it on a board".into(), Back::Board(Body::BOARD)),
        ("give both faces the same heat".into(), Back::SameHeat),
    ];
    backs.extend(TURNS_S.map(|every_s| {
        (
            format!("turn it over every {every_s:.0} s"),
            Back::Turned { every_s },
        )
    }));
    for (what, back) in &backs {
        let turned = Ask {
            back: *back,
            ..ask.clone()
        };
        if !what.is_empty() && *back != ask.back {
            look(what.clone(), &turned)?;
        }
        for factor in FURTHER {
            if let Some((distance_m, exposure)) = ask.exposure.further(factor)? {
                let and = if what.is_empty() {
                    String::new()
                } else {
                    format!(", and {what}")
                };
                look(
                    format!("hold the gun {:.0} mm away{and}", distance_m * 1e3),
                    &Ask {
                        exposure,
                        ..turned.clone()
                    },
                )?;
            }
        }
        for (on_s, off_s) in PULSES_S {
            if matches!(back, Back::Turned { .. }) {
                continue;
            }
            let and = if what.is_empty() {
                String::new()
            } else {
                format!(", and {what}")
            };
            let pulse = Some(Pulse {
                on_s,
                off_s,
                strength: 1.0,
            });
            look(
                format!("heat for {on_s:.0} s, rest for {off_s:.0} s{and}"),
                &Ask {
                    pulse,
                    ..turned.clone()
                },
            )?;
        }
    }
    let (need, upper) = (ask.need_k(), ask.limits.upper_k);
    for share in [0.3, 0.6, 0.9] {
        let air_k = need + share * (upper - need);
        if let Ok(exposure) = (Oven {
            air_k,
            fan: true,
            length_m: 0.3,
        })
        .exposure()
        {
            look(
                format!("use a fan oven at {:.0} °C", air_k - 273.15),
                &Ask {
                    exposure,
                    back: Back::SameHeat,
                    ..ask.clone()
                },
            )?;
        }
    }
    ways.sort_by(|a, b| {
        let warm = |w: &Way| w.window.warm_s.unwrap_or(f64::INFINITY);
        warm(a).total_cmp(&warm(b))
    });
    Ok(ways)
}

impl Exposure {
    /// The gun further away by a factor: its distance and its nominal exposure; `None` for other sources.
    fn further(&self, factor: f64) -> Result<Option<(f64, Self)>> {
        self.aim.as_ref().map(|aim| aim.further(factor)).transpose()
    }
}
