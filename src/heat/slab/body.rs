//! A stack of layers made ready for the solver.

use std::sync::Arc;

use serde::Serialize;

use super::face::{Face, FaceLaw};
use super::kernel::{Kernel, Span};
use super::lanes::Lanes;
use super::material::{Material, Melting};
use super::table::{TEMPERATURE, Table};
use crate::error::{Error, Range, Result, check};

/// Thicknesses of one layer. [m]
pub const THICKNESS: Range = Range::new(1e-5, 1.0, "m");
/// Contact conductances. [W/m²/K]
pub const CONTACT: Range = Range::new(1e-3, 1e9, "W/m2/K");
/// Conductance that stands for perfect contact, as 2 nm of plastic would give. [W/m²/K]
const PERFECT_CONTACT: f64 = 1e8;
/// Most layers of one slab.
const MOST_LAYERS: usize = 50;

/// One layer of a slab, from front to back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layer {
    /// Thickness, 0.01 mm to 1 m. [m]
    pub thickness_m: f64,
    /// Conductivity. [W/m/K]
    pub conductivity_w_m_k: Table,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Heat capacity without what melts. [J/kg/K]
    pub heat_capacity_j_kg_k: Table,
    /// Melting and freezing, where it melts.
    pub melting: Option<Melting>,
    /// Temperature at the start: one value, or several evenly spaced from its front to its back. [K]
    pub start_k: Vec<f64>,
    /// Contact conductance to the next layer; `None` is perfect contact. [W/m²/K]
    pub contact_w_m2_k: Option<f64>,
    /// Number of cells; `None` takes 32, or 48 where it melts.
    pub cells: Option<usize>,
}

/// A layer made ready.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    pub(crate) material: Arc<Material>,
    pub(crate) thickness_m: f64,
    /// Factors on conductivity and heat capacity.
    pub(crate) conductivity_factor: f64,
    pub(crate) capacity_factor: f64,
    pub(crate) contact_w_m2_k: Option<f64>,
    pub(crate) cells: usize,
}

impl Part {
    /// Shares of the thickness where the nodes lie.
    pub(crate) fn places(&self) -> Vec<f64> {
        places(self.cells)
    }

    fn span<const W: usize>(parts: &[&Part; W]) -> Span<W> {
        let lane = |f: fn(&Part) -> f64| Lanes(std::array::from_fn(|w| f(parts[w])));
        Span {
            first: 0,
            last: 0,
            material: std::array::from_fn(|w| Arc::clone(&parts[w].material)),
            stiffness: lane(|p| {
                p.conductivity_factor / (p.capacity_factor * p.thickness_m * p.thickness_m)
            }),
            depth: lane(|p| p.capacity_factor * p.thickness_m),
            contact: lane(|p| p.contact_w_m2_k.unwrap_or(PERFECT_CONTACT)),
        }
    }

    /// Time that heat needs to cross the cell at its face, `dx²/α`. [s]
    pub(crate) fn cell_time_s(&self, temperature_k: f64) -> f64 {
        let places = self.places();
        let dx = (places[1] - places[0]) * self.thickness_m;
        let (heat, molten) = self.material.heat_at(temperature_k);
        let look = self.material.look(heat, molten);
        dx * dx * self.capacity_factor / (look.diffusivity.max(1e-12) * self.conductivity_factor)
    }
}

/// Evenly spaced nodes.
fn places(cells: usize) -> Vec<f64> {
    (0..=cells).map(|i| i as f64 / cells as f64).collect()
}

/// A kernel for one slab.
pub(crate) fn kernel(parts: &[Part], front: &Face, back: &Face) -> Kernel<1> {
    let places: Vec<_> = parts.iter().map(Part::places).collect();
    let spans = parts.iter().map(|p| Part::span(&[p])).collect();
    Kernel::new(
        &places,
        spans,
        (FaceLaw::new(&[*front]), FaceLaw::new(&[*back])),
    )
}

/// Value at share `at` of evenly spaced values.
pub(crate) fn spread(values: &[f64], at: f64) -> f64 {
    let last = values.len() - 1;
    let x = at * last as f64;
    let i = (x.max(0.0) as usize).min(last.saturating_sub(1));
    let next = values[(i + 1).min(last)];
    values[i] + (x - i as f64) * (next - values[i])
}

impl Layer {
    /// Checks the layer and makes it ready; `place` names it.
    pub(crate) fn part(&self, place: &str) -> Result<Part> {
        let at = |name: &str| format!("{place}.{name}");
        check(
            at("thickness_m"),
            self.thickness_m,
            THICKNESS,
            "measure the layer",
        )?;
        if let Some(contact) = self.contact_w_m2_k {
            check(
                at("contact_w_m2_k"),
                contact,
                CONTACT,
                "leave it out for perfect contact",
            )?;
        }
        if self.start_k.is_empty() || self.start_k.len() > 10_000 {
            return Err(Error::Shape {
                what: at("start_k"),
                given: format!("{} values", self.start_k.len()),
                allowed: "1 to 10000 values".into(),
            });
        }
        for &t in &self.start_k {
            check(at("start_k"), t, TEMPERATURE, "use kelvin")?;
        }
        let usual = if self.melting.is_some() { 48 } else { 32 };
        let cells = self.cells.unwrap_or(usual);
        check(
            at("cells"),
            cells as f64,
            Range::new(2.0, 2000.0, ""),
            "take 16 to 200",
        )?;
        Ok(Part {
            material: Arc::new(Material::new(
                &self.conductivity_w_m_k,
                self.density_kg_m3,
                &self.heat_capacity_j_kg_k,
                self.melting.as_ref(),
            )?),
            thickness_m: self.thickness_m,
            conductivity_factor: 1.0,
            capacity_factor: 1.0,
            contact_w_m2_k: self.contact_w_m2_k,
            cells,
        })
    }
}

/// Checks a whole stack and makes it ready.
pub(crate) fn parts(layers: &[Layer]) -> Result<Vec<Part>> {
    if layers.is_empty() || layers.len() > MOST_LAYERS {
        return Err(Error::Shape {
            what: "layers".into(),
            given: format!("{} layers", layers.len()),
            allowed: format!("1 to {MOST_LAYERS} layers"),
        });
    }
    layers
        .iter()
        .enumerate()
        .map(|(i, layer)| layer.part(&format!("layers[{i}]")))
        .collect()
}
