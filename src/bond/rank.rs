//! Which adhesives suit a joint, best first, and why the others do not.

use serde::Serialize;

use super::catalogue::{Adhesive, Catalogue, Role};
use super::closing::Window;
use super::cure::Ready;
use super::schedule::{Seam, WIDE_OVERLAP};
use super::strength::Load;
use crate::climate::{Air, Climate, HUMIDITIES, TEMPERATURES_K};
use crate::error::{Error, Range, Result, check};

/// What a joint is made in and has to stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Conditions {
    /// Thickness of the bond line; `None` for the adhesive's usual one. [m]
    pub gap_m: Option<f64>,
    /// Narrowest width of the overlap. [m]
    pub overlap_m: f64,
    /// Area of one joint, for the time to close it. [m²]
    pub area_m2: f64,
    /// Time to lay the adhesive and close one joint; `None` for [`Adhesive::closing_s`]. [s]
    pub closing_s: Option<f64>,
    /// Hottest that the joint gets in service. [K]
    pub service_k: f64,
    /// Air of the shop.
    pub shop: Air,
    /// What it has to carry.
    pub load: Load,
}

impl Default for Conditions {
    /// A close joint of 75 cm², 10 mm wide, made at 23 °C and 50 % humidity, used at 60 °C, under a load that stays.
    fn default() -> Self {
        Self {
            gap_m: None,
            overlap_m: 0.01,
            area_m2: 0.0075,
            closing_s: None,
            service_k: 333.15,
            shop: Air {
                temperature_k: 296.15,
                humidity: 0.5,
            },
            load: Load::Sustained,
        }
    }
}

/// An adhesive that suits, with its score.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ranked {
    /// Its name in the catalogue.
    pub adhesive: String,
    /// 3 is a first choice, above 0 is possible.
    pub score: f64,
    /// Why, face by face and condition by condition.
    pub reasons: Vec<String>,
    /// Time to handling strength in the shop's air; `None` for never. [s]
    pub handling_s: Option<f64>,
}

/// An adhesive that does not suit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refused {
    /// Its name in the catalogue.
    pub adhesive: String,
    /// Why not.
    pub reasons: Vec<String>,
}

/// The answer of [`rank`].
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Ranking {
    /// Best first; at equal score the sooner handled first.
    pub ranked: Vec<Ranked>,
    /// By name.
    pub refused: Vec<Refused>,
}

impl Conditions {
    /// The conditions themselves, where they are possible.
    pub(crate) fn checked(&self) -> Result<&Self> {
        self.seam([]).checked()?;
        let area = Range::new(1e-7, 100.0, "m2");
        check(
            "area_m2",
            self.area_m2,
            area,
            "give the overlap of one joint",
        )?;
        if let Some(closing_s) = self.closing_s {
            let range = Range::new(1.0, 86_400.0, "s");
            check("closing_s", closing_s, range, "time one joint")?;
        }
        let service = Range::new(250.0, 500.0, "K");
        check(
            "service_k",
            self.service_k,
            service,
            "the hottest place in a parked car is about 370 K",
        )?;
        let remedy = "measure the shop's air";
        check(
            "shop.temperature_k",
            self.shop.temperature_k,
            TEMPERATURES_K,
            remedy,
        )?;
        check(
            "shop.humidity",
            self.shop.humidity,
            HUMIDITIES,
            "0.5 is 50 %",
        )?;
        Ok(self)
    }

    /// Time to close one joint with an adhesive. [s]
    pub(crate) fn closing_s(&self, adhesive: &Adhesive) -> f64 {
        self.closing_s
            .unwrap_or_else(|| adhesive.closing_s(self.area_m2))
    }

    /// The seam of these conditions.
    pub(crate) fn seam<const N: usize>(&self, faces: [&str; N]) -> Seam {
        Seam {
            gap_m: self.gap_m,
            overlap_m: self.overlap_m,
            substrates: faces.iter().map(ToString::to_string).collect(),
        }
    }
}

impl Ranking {
    fn add(&mut self, name: &str, judged: Judged, ready: Ready) {
        let mut reasons = judged.reasons;
        let never = ready.never.is_some();
        reasons.extend(ready.never);
        if never || judged.score <= 0.0 {
            self.refused.push(Refused {
                adhesive: name.into(),
                reasons,
            });
        } else {
            self.ranked.push(Ranked {
                adhesive: name.into(),
                score: judged.score,
                reasons,
                handling_s: ready.handling_s,
            });
        }
    }

    fn sort(&mut self) {
        self.ranked.sort_by(|x, y| {
            let time = |r: &Ranked| r.handling_s.unwrap_or(f64::INFINITY);
            y.score
                .total_cmp(&x.score)
                .then(time(x).total_cmp(&time(y)))
                .then(x.adhesive.cmp(&y.adhesive))
        });
    }
}

/// Adhesives of the standard catalogue for a pair of faces, best first.
///
/// The score starts at the lower of the two faces' and loses for what the conditions take from it.
///
/// # Errors
/// [`crate::Error::Unknown`] for a face that is not in the catalogue; [`crate::Error::OutOfRange`] for impossible conditions.
///
/// ```
/// use mountwright::bond::{rank, Conditions};
/// let answer = rank("abs", "abs", &Conditions::default())?;
/// assert!(answer.ranked[0].score > 2.0);
/// assert!(answer.refused.iter().any(|r| r.adhesive == "hot-melt-eva"));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn rank(a: &str, b: &str, conditions: &Conditions) -> Result<Ranking> {
    Catalogue::standard()?.rank(a, b, conditions)
}

impl Catalogue {
    /// As [`rank`], from this catalogue.
    ///
    /// # Errors
    /// As for [`rank`].
    pub fn rank(&self, a: &str, b: &str, conditions: &Conditions) -> Result<Ranking> {
        conditions.checked()?;
        self.substrate(a)?;
        self.substrate(b)?;
        let [a, b] = [self.kin(a), self.kin(b)];
        let shop = Climate::constant(conditions.shop.temperature_k, conditions.shop.humidity)?;
        let mut ranking = Ranking::default();
        for (name, adhesive) in self.adhesive.iter().filter(|(_, a)| !a.role.coats()) {
            let cure = adhesive.cure(&conditions.seam([a, b]))?;
            let window = Window::of(&cure, &shop)?;
            let judged = judge(adhesive, [a, b], conditions, window);
            let ready = cure.ready_at(0.0, &shop)?;
            ranking.add(name, judged, ready);
        }
        ranking.sort();
        Ok(ranking)
    }
}

/// A time in words: to the second below two minutes, to the minute below three hours, to the hour above.
pub(super) fn spoken(time_s: f64) -> String {
    if time_s < 120.0 {
        format!("{time_s:.0} s")
    } else if time_s < 10_800.0 {
        format!("{:.0} min", time_s / 60.0)
    } else {
        format!("{:.0} h", time_s / 3600.0)
    }
}

/// Fillers or primers of the standard catalogue for one face, best first; heat and the shop's air count as for [`rank`].
///
/// # Errors
/// As for [`rank`]; [`crate::Error::Impossible`] for a role that joins.
///
/// ```
/// use mountwright::bond::{Conditions, Role, coats};
/// // Styrene in polyester filler dissolves high-impact polystyrene; the flexible filler has none.
/// let answer = coats("hips", Role::Filler, &Conditions::default())?;
/// assert_eq!(answer.ranked[0].adhesive, "filler-flexible");
/// assert_eq!(answer.refused[0].adhesive, "filler-polyester");
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn coats(face: &str, role: Role, conditions: &Conditions) -> Result<Ranking> {
    Catalogue::standard()?.coats(face, role, conditions)
}

impl Catalogue {
    /// As [`coats`], from this catalogue.
    ///
    /// # Errors
    /// As for [`coats`].
    pub fn coats(&self, face: &str, role: Role, conditions: &Conditions) -> Result<Ranking> {
        if !role.coats() {
            return Err(Error::Impossible {
                what: "ranking on one face".into(),
                why: "an adhesive joins two".into(),
                remedy: "ask for fillers or primers, or rank a pair".into(),
            });
        }
        conditions.checked()?;
        self.substrate(face)?;
        let face = self.kin(face);
        let shop = Climate::constant(conditions.shop.temperature_k, conditions.shop.humidity)?;
        let mut ranking = Ranking::default();
        for (name, coat) in self.adhesive.iter().filter(|(_, a)| a.role == role) {
            let mut judged = suited(coat, [face, face]);
            if judged.score > 0.0 {
                judged.heat(coat, conditions.service_k);
                judged.shop(coat, conditions);
            }
            let ready = coat.cure(&conditions.seam([face]))?.ready_at(0.0, &shop)?;
            ranking.add(name, judged, ready);
        }
        ranking.sort();
        Ok(ranking)
    }
}

/// Points that refuse, whatever the score.
const REFUSE: f64 = 9.0;

/// A score with its reasons.
pub(crate) struct Judged {
    pub(crate) score: f64,
    pub(crate) reasons: Vec<String>,
}

/// The score of one adhesive; 0 where it is refused.
pub(crate) fn judge(
    adhesive: &Adhesive,
    faces: [&str; 2],
    conditions: &Conditions,
    window: Window,
) -> Judged {
    let mut judged = suited(adhesive, faces);
    if judged.score > 0.0 {
        judged.heat(adhesive, conditions.service_k);
        judged.gap(adhesive, conditions.gap_m);
        judged.load(adhesive, conditions.load);
        judged.window(adhesive, conditions, window);
        judged.shop(adhesive, conditions);
    }
    judged
}

/// The lower of two faces' scores, with the reasons.
fn suited(adhesive: &Adhesive, faces: [&str; 2]) -> Judged {
    let mut judged = Judged {
        score: 3.0,
        reasons: Vec::new(),
    };
    let mut unsuited = Vec::new();
    let mut seen = "";
    for face in faces {
        let (score, why) = adhesive
            .suits
            .get(face)
            .map_or((0, "nothing is known"), |s| (s.score, s.why.as_str()));
        judged.score = judged.score.min(f64::from(score));
        if face != seen {
            let line = format!("{face}: {why}");
            if score == 0 {
                unsuited.push(line);
            } else {
                judged.reasons.push(line);
            }
        }
        seen = face;
    }
    if judged.score <= 0.0 {
        judged.reasons = unsuited;
    }
    judged
}

impl Judged {
    fn lose(&mut self, points: f64, why: impl Into<String>) {
        self.score = (self.score - points).max(0.0);
        self.reasons.push(why.into());
    }

    fn heat(&mut self, adhesive: &Adhesive, service_k: f64) {
        let limit = &adhesive.service_temperature;
        let [most, usual, asked] = [limit.high, limit.value, service_k].map(|k| k - 273.15);
        if asked > most {
            self.lose(
                REFUSE,
                format!("holds to {most:.0} °C at most, {asked:.0} °C is asked"),
            );
        } else if asked > usual {
            self.lose(
                1.5,
                format!("only its best grades hold at {asked:.0} °C (usually to {usual:.0} °C)"),
            );
        } else if asked > usual - 10.0 {
            self.lose(
                0.5,
                format!("little margin below its usual limit of {usual:.0} °C"),
            );
        }
    }

    fn gap(&mut self, adhesive: &Adhesive, gap_m: Option<f64>) {
        let Some(gap_mm) = gap_m.map(|g| g * 1e3) else {
            return;
        };
        let (least_mm, most_mm) = (adhesive.gap.low * 1e3, adhesive.gap.high * 1e3);
        if gap_mm > most_mm {
            self.lose(
                REFUSE,
                format!("fills {most_mm:.2} mm at most, the gap is {gap_mm:.2} mm"),
            );
        } else if gap_mm < least_mm && !adhesive.tape {
            self.lose(
                0.5,
                format!("wants a bond line of {least_mm:.2} mm or more"),
            );
        }
    }

    /// The parts must be home before the adhesive is no longer open.
    fn window(&mut self, adhesive: &Adhesive, conditions: &Conditions, window: Window) {
        if adhesive.closed_first {
            return;
        }
        let needs_s = conditions.closing_s(adhesive);
        let needs = format!("laying and closing takes {}", spoken(needs_s));
        if window.slow_s < needs_s {
            self.lose(
                REFUSE,
                format!("stays open for {} at most, {needs}", spoken(window.slow_s)),
            );
        } else if window.printed_s < needs_s {
            self.lose(
                1.5,
                format!(
                    "usually stays open for {}, {needs}: join in parts, or with two people",
                    spoken(window.printed_s)
                ),
            );
        } else if window.quick_s < needs_s {
            self.lose(
                0.25,
                format!(
                    "a quick batch stays open for {} only, {needs}",
                    spoken(window.quick_s)
                ),
            );
        }
    }

    fn load(&mut self, adhesive: &Adhesive, load: Load) {
        match (adhesive.role, load) {
            (Role::Surface | Role::Flexible, Load::Sustained) => {
                self.lose(REFUSE, "creeps under a load that stays");
            }
            (Role::Surface | Role::Flexible, Load::Static) => {
                self.lose(1.5, "creeps: only beside screws or clips");
            }
            (Role::Filler | Role::Primer, _) => self.lose(REFUSE, "joins nothing"),
            (Role::General, Load::Sustained) => {
                self.lose(0.5, "brittle in shock and poor in heat and water");
            }
            _ => (),
        }
    }

    fn shop(&mut self, adhesive: &Adhesive, conditions: &Conditions) {
        let minimum = &adhesive.minimum_temperature;
        if conditions.shop.temperature_k < minimum.high {
            self.lose(
                0.5,
                format!("slow or doubtful below {:.0} °C", minimum.high - 273.15),
            );
        }
        if conditions.shop.humidity > DAMP {
            self.lose(
                0.5,
                "air above 85 % humidity: water on the faces; dry the shop first",
            );
        }
        if adhesive.family.contains("solvent") && conditions.overlap_m > WIDE_OVERLAP.value {
            self.lose(
                0.5,
                "a wide overlap holds the solvent back: times are doubled",
            );
        }
        if adhesive.family == "silicone" && conditions.overlap_m > 0.025 {
            self.lose(
                0.5,
                "moisture reaches the middle of a wide overlap only after weeks",
            );
        }
    }
}

/// Humidity above which cold bonding is advised against (a belting supplier's limits).
const DAMP: f64 = 0.85;
