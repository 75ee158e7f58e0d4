//! The primer that an adhesive needs on a face, as a step before the bond.

use serde::Serialize;

use super::catalogue::{Adhesive, Catalogue};
use super::rank::Conditions;
use crate::climate::Climate;
use crate::error::Result;

/// A face that is primed before it is bonded.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Primed {
    /// The face, by its name in the catalogue.
    pub face: String,
    /// The primer, by its name in the catalogue.
    pub primer: String,
    /// Its name for people.
    pub name: String,
    /// With what is wasted, on all joints. [m³]
    pub volume_m3: f64,
    /// Until the adhesive may follow, in the shop's air; `None` for never. [s]
    pub wait_s: Option<f64>,
    /// Until the adhesive must have followed, in the shop's air. [s]
    pub within_s: f64,
}

impl Catalogue {
    /// The primers of `glue` on two faces, each face once.
    pub(crate) fn primed(
        &self,
        glue: &Adhesive,
        faces: [&str; 2],
        conditions: &Conditions,
        count: u32,
    ) -> Result<Vec<Primed>> {
        let shop = Climate::constant(conditions.shop.temperature_k, conditions.shop.humidity)?;
        let mut found: Vec<Primed> = Vec::new();
        for face in faces {
            let Some(key) = glue.primer.get(self.kin(face)) else {
                continue;
            };
            let primer = self.adhesive(key)?;
            let area_m2 = conditions.area_m2 * f64::from(count);
            let volume_m3 = area_m2 * primer.gap.value * (1.0 + primer.waste.value);
            if let Some(same) = found.iter_mut().find(|p| p.face == face) {
                same.volume_m3 += volume_m3;
                continue;
            }
            let ready = primer
                .cure(&conditions.seam([face]))?
                .ready_at(0.0, &shop)?;
            found.push(Primed {
                face: face.into(),
                primer: key.clone(),
                name: primer.name.clone(),
                volume_m3,
                wait_s: ready.handling_s,
                within_s: ready.open_s,
            });
        }
        Ok(found)
    }
}
