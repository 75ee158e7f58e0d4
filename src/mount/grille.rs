//! All checks of a grille: its ring, its mesh and the glue that holds it, the room for the cone.

use serde::Serialize;

use super::beam::{Held, positive};
use super::check::{Check, MarginKind, Rule, Sense, mm_up};
use super::joint::{self, GluedJoint};
use super::service_heat::{self, Warmth};
use super::sheet::Material;
use super::shock::DOOR_SLAM;
use crate::error::{Range, Result, check};
use crate::physics::GRAVITY;
use crate::shape::grille::CONE_ROOM_M;
use crate::sourced::Standing;

/// A grille, held all round, its mesh held by a ring that is glued in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GrilleMount {
    /// Name of the part.
    pub part: String,
    /// Its sheet.
    pub material: Material,
    /// Thickness of the trim ring. [m]
    pub thickness_m: f64,
    /// From the recess to the outside, at its narrowest. [m]
    pub web_m: f64,
    /// What is left of the trim ring in front of the recess. [m]
    pub left_m: f64,
    /// Room between the cone at its greatest travel and the mesh, where it was measured. [m]
    pub cone_room_m: Option<f64>,
    /// Mass of mesh and retaining ring, which the glue holds. [kg]
    pub held_kg: f64,
    /// Temperature in service.
    pub warmth: Warmth,
    /// The glue under the retaining ring.
    pub joint: GluedJoint,
}

const WEB: Rule = Rule {
    name: "web",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.001,
    source: "recess to edge: 3 mm and one thickness; common practice, no source",
    standing: Standing::CommonPractice,
};
const LEAST_WEB_M: f64 = 0.003;

const LEFT: Rule = Rule {
    name: "sheet left in front of the recess",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0005,
    source: "1 mm, so that the edge does not break when the mesh is pressed in; common practice, no source",
    standing: Standing::CommonPractice,
};
const LEAST_LEFT_M: f64 = 0.001;

const CONE: Rule = Rule {
    name: "room for the cone",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.001,
    source: "3 mm in front of the cone's greatest travel; common practice, no source",
    standing: Standing::CommonPractice,
};

/// Every check of a grille.
///
/// It is screwed or clipped all round and carries next to nothing, so the shock reaches its mesh as it comes: the door's slam at its peak.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size, mass or temperature that a grille cannot have.
pub fn check_grille(mount: &GrilleMount) -> Result<Vec<Check>> {
    let m = mount;
    m.material.validate()?;
    let part = m.part.as_str();
    let size = Range::new(0.0, 1.0, "m");
    let thickness = positive("thickness_m", m.thickness_m, 1e-3, 0.06, "m")?;
    let held_kg = positive("held_kg", m.held_kg, 1e-4, 10.0, "kg")?;
    let web = check("web_m", m.web_m, size, "measure recess to edge")?;
    let left = check("left_m", m.left_m, size, "sheet less recess")?;
    let mut found = vec![];
    let need = LEAST_WEB_M.max(thickness);
    let why = format!(
        "{:.1} mm beside the recess, {:.1} mm needed",
        web * 1e3,
        need * 1e3
    );
    found.push(WEB.judge(part, web, need, why, || {
        format!(
            "{:.1} mm less lap, or an outside wider by twice that",
            mm_up(need + WEB.reserve - web, 0.5)
        )
    }));
    let why = format!(
        "{:.1} mm of {:.1} mm stay in front of mesh and ring",
        left * 1e3,
        thickness * 1e3
    );
    found.push(LEFT.judge(part, left, LEAST_LEFT_M, why, || {
        format!(
            "sheet of {:.1} mm, or a thinner retaining ring",
            mm_up(thickness + LEAST_LEFT_M + LEFT.reserve - left, 0.5)
        )
    }));
    if let Some(room) = m.cone_room_m {
        let room = check(
            "cone_room_m",
            room,
            Range::new(-0.1, 1.0, "m"),
            "measure it",
        )?;
        let need = CONE_ROOM_M.value;
        let why = format!(
            "{:.1} mm left in front of the cone, {:.1} mm needed",
            room * 1e3,
            need * 1e3
        );
        found.push(CONE.judge(part, room, need, why, || {
            format!(
                "the grille {:.1} mm further out",
                mm_up(need + CONE.reserve - room, 0.5)
            )
        }));
    }
    found.push(service_heat::softening(
        part,
        &m.material,
        m.warmth,
        Held::ClampedAllRound,
        0.0,
    )?);
    found.push(service_heat::steady_service(part, &m.material, m.warmth)?);
    let (weight_n, slam_n) = (held_kg * GRAVITY.value, held_kg * DOOR_SLAM.peak_m_s2);
    found.extend(joint::glued(part, &m.joint, m.warmth, weight_n, slam_n)?);
    Ok(found)
}
