//! What the solver needs of a material: temperature and conduction potential as functions of stored heat.
//!
//! The unknown is the volumetric enthalpy `U` [J/m³]. Temperature `T(U)` and the Kirchhoff potential
//! `Θ(U) = ∫ k dT` [W/m] are tabulated over `U` in equal steps, so a melting range is as well
//! resolved as the rest, heat is conserved exactly, and one look-up serves both.

use serde::Serialize;

use super::table::{TEMPERATURE, Table};
use crate::error::{Error, Range, Result, check};

/// Melting and freezing of a semicrystalline polymer; it may freeze along another branch than it melts.
///
/// The molten share follows the play rule: on heating it rises along `molten_on_heating`, on cooling it
/// falls along `molten_on_cooling`, and between the two it stays as it is (supercooling).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Melting {
    /// Heat of melting of the sheet as it is, not of a full crystal. [J/kg]
    pub latent_j_kg: f64,
    /// Molten share while heating: rises from 0 to 1.
    pub molten_on_heating: Table,
    /// Molten share while cooling: rises from 0 to 1 with temperature, nowhere below `molten_on_heating`.
    pub molten_on_cooling: Table,
}

impl Melting {
    /// A melting range `start..end` with its peak, and a freezing range below it.
    ///
    /// Calorimetry peaks are taken as triangles, so the molten share is an S of two parabolas,
    /// tabulated at 33 points.
    ///
    /// # Errors
    /// [`Error::Shape`] where a range does not rise; what [`Table::new`] refuses.
    pub fn between(
        latent_j_kg: f64,
        melts_k: (f64, f64, f64),
        freezes_k: (f64, f64, f64),
    ) -> Result<Self> {
        Ok(Self {
            latent_j_kg,
            molten_on_heating: peak("melting range", melts_k)?,
            molten_on_cooling: peak("freezing range", freezes_k)?,
        })
    }
}

/// Share passed of a triangular peak.
fn peak(what: &str, (start, top, end): (f64, f64, f64)) -> Result<Table> {
    if !(start < top && top < end) {
        return Err(Error::Shape {
            what: what.into(),
            given: format!("{start}, {top}, {end} K"),
            allowed: "start below peak below end".into(),
        });
    }
    let (left, right) = (top - start, end - top);
    let mut t = Vec::new();
    let mut share = Vec::new();
    for i in 0..=32 {
        let x = f64::from(i) / 32.0;
        let at = start + x * (end - start);
        t.push(at);
        share.push(if at <= top {
            (at - start).powi(2) / (left * (end - start))
        } else {
            1.0 - (end - at).powi(2) / (right * (end - start))
        });
    }
    Table::new(t, share)
}

/// `T` and `Θ` over one piece of the stored heat, as straight lines: value at `U = 0` and slope.
#[derive(Debug, Clone, Copy)]
struct Piece {
    temperature: f64,
    per_heat: f64,
    potential: f64,
    diffusivity: f64,
}

/// One branch `T(U)`, in equal pieces of `U`.
#[derive(Debug, Clone)]
pub(crate) struct Branch {
    step: f64,
    per_step: f64,
    last: f64,
    pieces: Vec<Piece>,
}

/// State of one node.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Temperature. [K]
    pub(crate) temperature: f64,
    /// `dT/dU`. [K m³/J]
    pub(crate) per_heat: f64,
    /// Kirchhoff potential. [W/m]
    pub(crate) potential: f64,
    /// `dΘ/dU`, the diffusivity. [m²/s]
    pub(crate) diffusivity: f64,
}

impl Branch {
    #[inline(always)]
    pub(crate) fn look(&self, heat: f64) -> Look {
        // The cast saturates, and a NaN becomes 0: the step that made it is refused afterwards. To 32 bits it takes a fraction
        // of the instructions.
        let place = (heat * self.per_step).max(0.0).min(self.last) as u32 as usize;
        let p = self.pieces[place];
        Look {
            temperature: p.temperature + p.per_heat * heat,
            per_heat: p.per_heat,
            potential: p.potential + p.diffusivity * heat,
            diffusivity: p.diffusivity,
        }
    }

    /// Stored heat at a temperature.
    fn heat(&self, temperature_k: f64) -> f64 {
        let start = |j: usize| {
            let p = self.pieces[j];
            p.temperature + p.per_heat * (j as f64 * self.step)
        };
        let (mut low, mut high) = (0, self.pieces.len());
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            if start(middle) <= temperature_k {
                low = middle;
            } else {
                high = middle;
            }
        }
        let p = self.pieces[low];
        (temperature_k - p.temperature) / p.per_heat
    }

    /// Tabulates the branch whose heat is `∫ capacity dT + latent · share`.
    fn new(nodes: &[f64], k: &Table, capacity: &Table, melting: Option<(&Table, f64)>) -> Self {
        let potential = k.integral_over(nodes);
        // Heat at the nodes; between two nodes the apparent capacity runs straight from `left` to `right`.
        let (mut heat, mut left, mut right) = (vec![0.0], Vec::new(), Vec::new());
        for w in nodes.windows(2) {
            let width = w[1] - w[0];
            let latent = melting.map_or(0.0, |(share, latent)| {
                latent * (share.at(w[1]) - share.at(w[0])) / width
            });
            left.push(capacity.at(w[0]) + latent);
            right.push(capacity.at(w[1]) + latent);
            let mean = f64::midpoint(capacity.at(w[0]), capacity.at(w[1])) + latent;
            heat.push(heat[heat.len() - 1] + width * mean);
        }
        let total = heat[heat.len() - 1];
        let least = capacity
            .values()
            .iter()
            .copied()
            .fold(f64::INFINITY, f64::min);
        let straight = k.is_constant() && capacity.is_constant() && melting.is_none();
        let count = if straight {
            1
        } else {
            (total / (least * RESOLUTION_K))
                .ceil()
                .clamp(1.0, MOST_PIECES) as usize
        };
        let step = total / count as f64;
        let mut segment = 0;
        let mut at = |u: f64| {
            while segment + 2 < heat.len() && heat[segment + 1] < u {
                segment += 1;
            }
            let i = segment;
            let slope = (right[i] - left[i]) / (nodes[i + 1] - nodes[i]);
            let rest = u - heat[i];
            // The root of `left rise + slope rise²/2 = rest` that does not cancel.
            let root = (left[i] * left[i] + 2.0 * slope * rest).max(0.0).sqrt();
            let t = nodes[i] + 2.0 * rest / (left[i] + root);
            let mean_k = f64::midpoint(k.at(nodes[i]), k.at(t));
            (t, potential[i] + (t - nodes[i]) * mean_k)
        };
        let mut pieces = Vec::with_capacity(count);
        let (mut t0, mut potential0) = at(0.0);
        for j in 0..count {
            let u0 = j as f64 * step;
            let (t1, potential1) = at(u0 + step);
            let (per_heat, diffusivity) = ((t1 - t0) / step, (potential1 - potential0) / step);
            pieces.push(Piece {
                temperature: t0 - per_heat * u0,
                per_heat,
                potential: potential0 - diffusivity * u0,
                diffusivity,
            });
            (t0, potential0) = (t1, potential1);
        }
        Self {
            step,
            per_step: 1.0 / step,
            last: (count - 1) as f64,
            pieces,
        }
    }
}

/// Widest piece of a branch, where nothing melts: the chord error of `T(U)` stays below a millikelvin. [K]
const RESOLUTION_K: f64 = 0.5;
/// Most pieces of one branch.
const MOST_PIECES: f64 = 4096.0;
/// Straight run kept beyond the outermost points, so that what lies outside them is continued straight. [K]
const MARGIN_K: f64 = 5.0;

/// Conductivities that are accepted, from still gas to copper. [W/m/K]
pub const CONDUCTIVITY: Range = Range::new(1e-3, 2e3, "W/m/K");
/// Heat capacities that are accepted. [J/kg/K]
pub(crate) const HEAT_CAPACITY: Range = Range::new(50.0, 2e4, "J/kg/K");
/// Densities that are accepted. [kg/m³]
pub(crate) const DENSITY: Range = Range::new(1.0, 3e4, "kg/m3");
/// Heats of melting that are accepted. [J/kg]
pub(crate) const LATENT: Range = Range::new(0.0, 1e6, "J/kg");

/// A material made ready for the solver. Making it costs some tens of microseconds; keep it for many runs.
#[derive(Debug, Clone)]
pub struct Material {
    /// Heating branch with what melts; the only one where nothing melts.
    heating: Branch,
    melting: Option<Hysteresis>,
}

#[derive(Debug, Clone)]
struct Hysteresis {
    sensible: Branch,
    cooling: Branch,
    latent_j_m3: f64,
}

impl Hysteresis {
    /// What the stored heat leaves over at a temperature, as a molten share.
    fn share(&self, heat: f64, temperature_k: f64) -> f64 {
        ((heat - self.sensible.heat(temperature_k)) / self.latent_j_m3).clamp(0.0, 1.0)
    }
}

impl Material {
    /// Makes a material ready.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a conductivity outside 0.001 to 2000 W/m/K, a density outside 1 to 30 000 kg/m³, a heat
    /// capacity outside 50 to 20 000 J/kg/K or a heat of melting outside 0 to 1e6 J/kg; [`Error::Shape`] for a
    /// molten share that falls with temperature, does not run from 0 to 1, or freezes above where it melts.
    pub fn new(
        conductivity: &Table,
        density_kg_m3: f64,
        heat_capacity: &Table,
        melting: Option<&Melting>,
    ) -> Result<Self> {
        conductivity.check("conductivity_w_m_k", CONDUCTIVITY)?;
        heat_capacity.check("heat_capacity_j_kg_k", HEAT_CAPACITY)?;
        check(
            "density_kg_m3",
            density_kg_m3,
            DENSITY,
            "weigh a piece of the sheet",
        )?;
        let capacity = heat_capacity.scaled(density_kg_m3);
        let mut nodes: Vec<f64> = [conductivity, heat_capacity]
            .into_iter()
            .filter(|t| !t.is_constant())
            .flat_map(|t| t.temperatures_k().iter().copied())
            .collect();
        if let Some(m) = melting {
            check(
                "latent_j_kg",
                m.latent_j_kg,
                LATENT,
                "use J/kg of the sheet",
            )?;
            check_shares(m)?;
            nodes.extend(m.molten_on_heating.temperatures_k());
            nodes.extend(m.molten_on_cooling.temperatures_k());
        }
        if nodes.is_empty() {
            nodes = vec![273.15, 373.15];
        }
        nodes.sort_by(f64::total_cmp);
        nodes.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        nodes.insert(0, nodes[0] - MARGIN_K);
        nodes.push(nodes[nodes.len() - 1] + MARGIN_K);
        let melting = melting.filter(|m| m.latent_j_kg > 0.0);
        let branch = |share: Option<&Table>| {
            let latent = melting.map_or(0.0, |m| m.latent_j_kg * density_kg_m3);
            Branch::new(&nodes, conductivity, &capacity, share.map(|s| (s, latent)))
        };
        Ok(Self {
            heating: branch(melting.map(|m| &m.molten_on_heating)),
            melting: melting.map(|m| Hysteresis {
                sensible: branch(None),
                cooling: branch(Some(&m.molten_on_cooling)),
                latent_j_m3: m.latent_j_kg * density_kg_m3,
            }),
        })
    }

    /// Whether it melts.
    pub(crate) fn melts(&self) -> bool {
        self.melting.is_some()
    }

    /// Its only branch, where nothing melts.
    #[inline(always)]
    pub(crate) fn plain(&self) -> Option<&Branch> {
        self.melting.is_none().then_some(&self.heating)
    }

    /// Stored heat and molten share of a material that was brought to `temperature_k` from below.
    pub(crate) fn heat_at(&self, temperature_k: f64) -> (f64, f64) {
        let heat = self.heating.heat(temperature_k);
        (heat, self.molten_after(heat, 0.0, -1.0))
    }

    /// State at a stored heat, with the molten share that the step began with.
    #[inline(always)]
    pub(crate) fn look(&self, heat: f64, molten: f64) -> Look {
        match &self.melting {
            None => self.heating.look(heat),
            Some(m) => self.look_melting(m, heat, molten),
        }
    }

    /// The play rule: the heating branch bounds the temperature from above, the cooling branch from below.
    fn look_melting(&self, m: &Hysteresis, heat: f64, molten: f64) -> Look {
        if molten > 1.0 {
            return self.heating.look(heat);
        }
        if molten < 0.0 {
            return m.cooling.look(heat);
        }
        let still = m.sensible.look(heat - m.latent_j_m3 * molten);
        let (melting, freezing) = (self.heating.look(heat), m.cooling.look(heat));
        if still.temperature > melting.temperature {
            melting
        } else if still.temperature < freezing.temperature {
            freezing
        } else {
            still
        }
    }

    /// Molten share after a step that ended at a stored heat, with its rate, and began with `molten`.
    ///
    /// Near rest a node that melts or freezes stays on its branch through the next step ([`MELTS`], [`FREEZES`]), and leaves it
    /// between two steps: its rate is of either sign there, and a kink at the very state would hold the steps down. Where it
    /// is on a branch its share is what the tables leave over there, so that its temperature does not jump.
    pub(crate) fn molten_after(&self, heat: f64, molten: f64, rate: f64) -> f64 {
        let Some(m) = &self.melting else {
            return 0.0;
        };
        let (melting, freezing) = (self.heating.look(heat), m.cooling.look(heat));
        let at = self.look_melting(m, heat, molten).temperature;
        let melts = molten > 1.0 || at >= melting.temperature - SAME_K;
        let freezes = molten < 0.0 || at <= freezing.temperature + SAME_K;
        let rests = (rate * melting.per_heat.max(freezing.per_heat)).abs() < NEARLY_AT_REST_K_S;
        if rests && melts && rate >= -NO_RATE && !freezes {
            MELTS
        } else if rests && freezes && rate <= NO_RATE && !melts {
            FREEZES
        } else if melts || freezes {
            m.share(heat, at)
        } else {
            molten
        }
    }

    /// The molten share itself, also of a node that is kept on a branch.
    pub(crate) fn share(&self, heat: f64, molten: f64) -> f64 {
        match &self.melting {
            Some(m) if !(0.0..=1.0).contains(&molten) => {
                m.share(heat, self.look_melting(m, heat, molten).temperature)
            }
            _ => molten,
        }
    }
}

/// Slower than this a node is followed on its branch alone. [K/s]
const NEARLY_AT_REST_K_S: f64 = 0.01;
/// Temperatures so near to each other differ by rounding. [K]
const SAME_K: f64 = 1e-9;
/// Rates up to this are rounding, and of no sign: some 1e-8 K/s. [W/m³]
const NO_RATE: f64 = 1e-2;
/// In place of a molten share: it follows the heating branch.
const MELTS: f64 = 2.0;
/// In place of a molten share: it follows the cooling branch.
const FREEZES: f64 = -1.0;

fn check_shares(m: &Melting) -> Result<()> {
    let fault = |given: &str, allowed: &str| Error::Shape {
        what: "molten share".into(),
        given: given.into(),
        allowed: allowed.into(),
    };
    for table in [&m.molten_on_heating, &m.molten_on_cooling] {
        let v = table.values();
        if v.len() < 2 || v[0].abs() > 1e-9 || (v[v.len() - 1] - 1.0).abs() > 1e-9 {
            return Err(fault("a table that does not run from 0 to 1", "0 to 1"));
        }
        if v.windows(2).any(|w| w[1] < w[0]) {
            return Err(fault(
                "a share that falls with temperature",
                "one that rises",
            ));
        }
        for &t in table.temperatures_k() {
            check("molten share, temperature", t, TEMPERATURE, "use kelvin")?;
        }
    }
    let both = m.molten_on_heating.temperatures_k().iter();
    for &t in both.chain(m.molten_on_cooling.temperatures_k()) {
        if m.molten_on_cooling.at(t) < m.molten_on_heating.at(t) - 1e-9 {
            return Err(fault(
                "freezing above the melting range",
                "freezing at or below melting",
            ));
        }
    }
    Ok(())
}
