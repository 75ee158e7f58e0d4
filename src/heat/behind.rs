//! Heat into the part behind the foam, and the foam that keeps it cool enough.

use serde::Serialize;

use super::recipe::{Ask, Behind, Body, Hold, recipe};
use crate::error::{Error, Range, Result, check};

/// How warm a part behind foam becomes when the hot sheet is pressed on it.
///
/// The sheet starts with the profile in which its heat ended. A contact conductance at hand pressure is known to a factor
/// of two.
///
/// # Errors
/// As [`recipe`]; [`Error::Impossible`] where the sheet has no forming window, so that nothing is pressed, or where `ask.hold`
/// is not against metal behind foam.
pub fn behind(ask: &Ask) -> Result<Behind> {
    let answer = recipe(ask)?;
    answer.behind.ok_or_else(|| Error::Impossible {
        what: "the temperature behind the foam".into(),
        why: answer.why_no_window.map_or_else(
            || "the sheet is not held against metal behind foam".into(),
            |w| w.why,
        ),
        remedy: "choose a heat with a forming window, and a hold against metal behind foam".into(),
    })
}

/// Foam that keeps a part cool.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Foam {
    /// Thickness of the foam as it is pressed. [m]
    pub thickness_m: f64,
    /// What it leads to.
    pub behind: Behind,
}

/// The thinnest foam that keeps the face of the metal below `limit_k`; to 1 % of its thickness.
///
/// # Errors
/// As [`behind`]; [`Error::Impossible`] where 50 mm do not do it.
pub fn foam_for(ask: &Ask, limit_k: f64) -> Result<Foam> {
    check(
        "limit_k",
        limit_k,
        Range::new(ask.air_k.max(200.0), 1000.0, "K"),
        "the limit must lie above the air",
    )?;
    let Hold::AgainstMetalBehindFoam {
        foam,
        metal,
        transfer_s,
    } = ask.hold
    else {
        return behind(ask).map(|behind| Foam {
            thickness_m: 0.0,
            behind,
        });
    };
    // The heat is the same whatever the foam: only the cooling is run again.
    let stop_s = recipe(ask)?.stop_s;
    let with = |thickness_m: f64| {
        let foam = Body {
            thickness_m,
            ..foam
        };
        behind(&Ask {
            hold: Hold::AgainstMetalBehindFoam {
                foam,
                metal,
                transfer_s,
            },
            stop_s,
            history: false,
            ..ask.clone()
        })
    };
    let (mut thin, mut thick) = (THINNEST_M, THICKEST_M);
    let mut best = with(thick)?;
    if best.face_k > limit_k {
        return Err(Error::Impossible {
            what: format!("keeping the part below {:.0} °C", limit_k - 273.15),
            why: format!(
                "behind 50 mm of foam it still reaches {:.0} °C",
                best.face_k - 273.15
            ),
            remedy: "form on a plug instead of the real part".into(),
        });
    }
    let least = with(thin)?;
    if least.face_k <= limit_k {
        return Ok(Foam {
            thickness_m: thin,
            behind: least,
        });
    }
    while thick / thin > 1.01 {
        let middle = (thin * thick).sqrt();
        let found = with(middle)?;
        if found.face_k <= limit_k {
            (thick, best) = (middle, found);
        } else {
            thin = middle;
        }
    }
    Ok(Foam {
        thickness_m: thick,
        behind: best,
    })
}

/// Thinnest foam looked at. [m]
const THINNEST_M: f64 = 0.5e-3;
/// Thickest foam looked at. [m]
const THICKEST_M: f64 = 50e-3;
