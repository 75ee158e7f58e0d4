//! One joint: its adhesive, how much of it, when it is ready, how strong it is, what it costs.

use serde::Serialize;

use super::amount::{Amount, Laid, Pack, amount};
use super::catalogue::{Adhesive, Catalogue};
use super::closing::Window;
use super::cure::{Cure, ReadyBand};
use super::primed::Primed;
use super::quicker::{Quicker, quicker};
use super::rank::{Conditions, judge, spoken};
use super::strength::Strength;
use crate::climate::Climate;
use crate::error::{Error, Note, Result};

/// What is asked about a joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointAsk {
    /// Name of the adhesive in the catalogue; `None` for the best.
    pub adhesive: Option<String>,
    /// The two faces, by their names in the catalogue.
    pub substrates: [String; 2],
    /// How the adhesive lies in one joint.
    pub laid: Laid,
    /// How many joints alike.
    pub count: u32,
    /// What it is made in and has to stand; its area is taken from `laid`.
    pub conditions: Conditions,
    /// The shop's pack, for packs and cost.
    pub pack: Option<Pack>,
}

impl JointAsk {
    /// One film joint between two faces in the default conditions.
    pub fn film(a: impl Into<String>, b: impl Into<String>, area_m2: f64) -> Self {
        Self {
            adhesive: None,
            substrates: [a.into(), b.into()],
            laid: Laid::Film { area_m2 },
            count: 1,
            conditions: Conditions::default(),
            pack: None,
        }
    }
}

/// The answer about a joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Joint {
    /// Name of the adhesive in the catalogue.
    pub adhesive: String,
    /// Its name for people.
    pub name: String,
    /// 3 is a first choice; 0 means that it was asked for and should not be used.
    pub score: f64,
    /// Why that score.
    pub why: Vec<String>,
    /// How much.
    pub amount: Amount,
    /// Its cure, to be asked when it is ready.
    pub cure: Cure,
    /// Time to lay the adhesive and close one joint. [s]
    pub closing_s: f64,
    /// Open time in the shop's air. [s]
    pub open_s: f64,
    /// Time to handling strength in the shop's air; `None` for never. [s]
    pub handling_s: Option<f64>,
    /// Time to full cure in the shop's air; `None` for never. [s]
    pub full_s: Option<f64>,
    /// The same instants over the range of grades and batches.
    pub ready: ReadyBand,
    /// Why it is never handled or cured.
    pub never: Option<String>,
    /// Strength at the service temperature, fully cured.
    pub strength: Strength,
    /// Coldest that it usually stands in service; more brittle below. [K]
    pub cold_limit_k: f64,
    /// Hottest that it usually stands in service. [K]
    pub service_limit_k: f64,
    /// Greatest shear load of one joint at the service temperature; `None` for a bead or fillet, which is not counted on. [N]
    pub allowable_n: Option<f64>,
    /// Faces that take a primer before the adhesive.
    pub primed: Vec<Primed>,
    /// What is done to the faces.
    pub preparation: Vec<String>,
    /// What can hurt, and what can go wrong.
    pub cautions: Vec<String>,
    /// What speeds it up safely.
    pub speed_up: Vec<String>,
    /// How much sooner that makes it.
    pub quicker: Vec<Quicker>,
    /// Where a law was used outside its range.
    pub notes: Vec<Note>,
    /// Sources of the numbers used, in words.
    pub sources: Vec<String>,
}

/// The adhesive for a joint, from the standard catalogue.
///
/// # Errors
/// [`Error::Unknown`] for a face or an adhesive; [`Error::OutOfRange`] for an impossible size, gap or climate;
/// [`Error::Impossible`] where no adhesive is named and none suits.
///
/// ```
/// use mountwright::bond::{joint, JointAsk};
/// let answer = joint(&JointAsk::film("expanded-pvc", "expanded-pvc", 0.0075))?;
/// assert!(answer.amount.volume_m3 > answer.amount.net_m3);
/// assert!(answer.strength.allowable_pa < answer.strength.value_pa);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn joint(ask: &JointAsk) -> Result<Joint> {
    Catalogue::standard()?.joint(ask)
}

impl Catalogue {
    /// As [`joint`], from this catalogue.
    ///
    /// # Errors
    /// As for [`joint`].
    pub fn joint(&self, ask: &JointAsk) -> Result<Joint> {
        let [a, b] = [ask.substrates[0].as_str(), ask.substrates[1].as_str()];
        let (face_a, face_b) = (self.substrate(a)?, self.substrate(b)?);
        let conditions = &Conditions {
            area_m2: ask.laid.checked()?.area_m2(),
            ..ask.conditions.clone()
        };
        conditions.checked()?;
        let key = match &ask.adhesive {
            Some(name) => name.clone(),
            None => self.best(a, b, conditions)?,
        };
        let glue = self.adhesive(&key)?;
        let kin = [self.kin(a), self.kin(b)];
        let cure = glue.cure(&conditions.seam(kin))?;
        let shop = Climate::constant(conditions.shop.temperature_k, conditions.shop.humidity)?;
        let judged = judge(glue, kin, conditions, Window::of(&cure, &shop)?);
        let ready = cure.ready_at(0.0, &shop)?;
        let band = cure.ready_band_at(0.0, &shop)?;
        let closing_s = conditions.closing_s(glue);
        let amount = amount(glue, ask, ready.open_s, closing_s)?;
        let strength = self.strength(&key, [a, b], conditions.service_k, conditions.load)?;
        let allowable_n = match ask.laid {
            Laid::Film { area_m2 } => Some(strength.allowable_pa * area_m2),
            Laid::Bead { .. } | Laid::Fillet { .. } => None,
        };
        let mut cautions = glue.cautions.clone();
        let mut preparation = vec![glue.preparation.clone()];
        for (name, face) in [(a, face_a), (b, face_b)] {
            let line = format!("{name}: {}", face.preparation);
            if !preparation.contains(&line) {
                preparation.push(line);
            }
            let line = format!("{name}: {}", face.caution);
            if !face.caution.is_empty() && !cautions.contains(&line) {
                cautions.push(line);
            }
        }
        let primed = self.primed(glue, [a, b], conditions, ask.count)?;
        for first in &primed {
            let wait = first
                .wait_s
                .map_or("it never dries in this air".into(), |s| {
                    format!("let it flash off for {}", spoken(s))
                });
            preparation.push(format!(
                "{}: {} first, {wait}, bond within {}",
                first.face,
                first.name,
                spoken(first.within_s)
            ));
            let of_primer = self.adhesive(&first.primer)?;
            cautions.extend((of_primer.cautions.iter()).map(|c| format!("{}: {c}", first.name)));
        }
        if judged.score <= 0.0 {
            cautions.push(format!(
                "{} should not be used here: {}",
                glue.name,
                judged.reasons.join("; ")
            ));
        }
        cautions.push(
            "the data sheet and the safety data sheet come first; ventilate; local rules apply; try a coupon".into(),
        );
        let mut notes = ready.notes;
        notes.extend(
            glue.notes
                .iter()
                .map(|n| Note::new(glue.name.clone(), n.clone())),
        );
        Ok(Joint {
            name: glue.name.clone(),
            score: judged.score,
            why: judged.reasons,
            amount,
            closing_s,
            open_s: ready.open_s,
            handling_s: ready.handling_s,
            full_s: ready.full_s,
            ready: band,
            never: ready.never,
            sources: self.sources_of(glue, &strength),
            strength,
            allowable_n,
            primed,
            preparation,
            cautions,
            quicker: quicker(glue, &cure, conditions.shop)?,
            speed_up: glue.speed_up.clone(),
            cold_limit_k: glue.cold_limit.value,
            service_limit_k: glue.service_temperature.value,
            notes,
            cure,
            adhesive: key,
        })
    }

    fn best(&self, a: &str, b: &str, conditions: &Conditions) -> Result<String> {
        let ranking = self.rank(a, b, conditions)?;
        if let Some(first) = ranking.ranked.first() {
            return Ok(first.adhesive.clone());
        }
        let why: Vec<String> = ranking
            .refused
            .iter()
            .map(|r| {
                format!(
                    "{} ({})",
                    r.adhesive,
                    r.reasons.last().map_or("", String::as_str)
                )
            })
            .collect();
        Err(Error::Impossible {
            what: format!("bonding {a} to {b}"),
            why: why.join(", "),
            remedy: "screw or rivet it, change the gap, the load or the material, or warm the shop"
                .into(),
        })
    }

    fn sources_of(&self, glue: &Adhesive, strength: &Strength) -> Vec<String> {
        let keys = [
            &glue.open.source,
            &glue.handling.source,
            &glue.full.source,
            &glue.density.source,
            &glue.gap.source,
            &strength.source,
        ];
        let mut found: Vec<String> = Vec::new();
        for text in keys
            .into_iter()
            .flat_map(|k| k.split(", "))
            .filter_map(|key| self.sources.get(key))
        {
            if !found.contains(text) {
                found.push(text.clone());
            }
        }
        found
    }
}
