//! The Python module `mountwright._core`: conversion in, one call of the core, conversion out; nothing here computes.
//!
//! Only this room names `pyo3` or `numpy`. To give a room its Python face:
//!
//! 1. Add `src/bindings/ROOM.rs` with one `#[pyfunction]` for each entry point. It has three lines of work:
//!    convert the arguments (text through [`crate::quantity::parse`], arrays through `arrays::Column`,
//!    names through the room's own look-up; in a constructor each through `kind::of`), call the core, convert the answer. `?` turns a
//!    [`crate::Error`] into its Python exception (`errors.rs`). A call of a few milliseconds or more goes
//!    through `long::long(py, |watch| ..)`, which releases the interpreter and listens for Ctrl-C; a shorter
//!    one only through `py.detach(move || ..)`.
//! 2. An answer that derives `serde::Serialize` leaves through `record::give(py, "Recipe", &answer)`: it becomes the
//!    class of that name in `python/mountwright/records.py`, which lists the fields with their types and
//!    documents them. Long columns of numbers leave as arrays (`arrays::give`).
//! 3. Write `mod ROOM;` and the `#[pymodule_export]` line below, in alphabetical order; then the signature in
//!    `python/mountwright/_core.pyi` and the name in `python/mountwright/__init__.py`. `test_stubs` and
//!    `test_docs` fail until the stub agrees and the docstring has Parameters, Returns, Raises and an
//!    example that runs. The docstring is numpydoc, written for Python readers.

// Docstrings here are numpydoc for Python's `help`, not Markdown; pyo3 hands arguments over by value.
#![allow(
    clippy::doc_markdown,
    clippy::doc_link_with_quotes,
    clippy::needless_pass_by_value
)]

mod adhesive;
mod arrays;
mod bond;
mod cost;
mod drawing;
mod errors;
mod files;
mod finish;
mod fittings;
mod formed;
mod heat;
mod heat_ask;
mod heat_gun;
mod heat_map;
mod heat_quick;
mod heat_recipe;
mod heat_small;
mod heat_source;
mod kind;
mod laws;
mod long;
mod material;
mod memory;
mod mount;
mod network;
mod plan;
mod promise;
mod quantity;
mod quote;
mod rates;
mod record;
mod router;
mod sample;
mod shape;
mod shape_kept;
mod shape_leg;
mod shape_parts;
mod shape_screws;
mod stock;
mod terms;
mod whole;

/// The compiled core of mountwright.
#[pyo3::pymodule]
mod _core {
    #[pymodule_export]
    use super::adhesive::{adhesive, adhesives, faces, pot_life, rank_coats, resin_path};
    #[pymodule_export]
    use super::bond::{Climate, Cure, conversion, cure, joint, rank_adhesives};
    #[pymodule_export]
    use super::cost::{blanks_to_start, estimate, learning};
    #[pymodule_export]
    use super::drawing::{
        _blank_drawing, _blank_mirrored, _forms, _measure_drawing, Drawing, measure_sheet, trace,
    };
    #[pymodule_export]
    use super::errors::_faults;
    #[pymodule_export]
    use super::files::{check_file, schema_of, text_of};
    #[pymodule_export]
    use super::finish::finish;
    #[pymodule_export]
    use super::fittings::{aim, grille, seals, wedge};
    #[pymodule_export]
    use super::formed::{folded_panel, pressed_pod};
    #[pymodule_export]
    use super::heat::{Face, Layer, Melting, SlabHistory, Step, heat_slab};
    #[pymodule_export]
    use super::heat_gun::{_gun, Coupon, HotAirGun};
    #[pymodule_export]
    use super::heat_map::_working_range;
    #[pymodule_export]
    use super::heat_quick::quick_recipes;
    #[pymodule_export]
    use super::heat_recipe::{_behind, _line_bend, _recipe, _recipe_columns, _recipes, _ways};
    #[pymodule_export]
    use super::heat_small::{
        free_convection_nusselt, jet_nusselt, soft_width, still_air_film, touch_limit,
    };
    #[pymodule_export]
    use super::heat_source::{_heat, Heat};
    #[pymodule_export]
    use super::laws::{band, quantiles, variance_shares};
    #[pymodule_export]
    use super::material::{
        compare_materials, material, material_at, material_notes, material_provenance, materials,
        measured_sheet, rank_materials,
    };
    #[pymodule_export]
    use super::memory::{_labels, _memory};
    #[pymodule_export]
    use super::mount::{
        belongs, cabin_temperature, check_fit, check_panel, check_ring, check_strap, may_plan,
        openings, road_response, screw_holes,
    };
    #[pymodule_export]
    use super::network::{critical_path, critical_path_pert};
    #[pymodule_export]
    use super::plan::{PlanResult, compare, plan};
    #[pymodule_export]
    use super::promise::promise;
    #[pymodule_export]
    use super::quantity::{quantities, quantity, said, show};
    #[pymodule_export]
    use super::quote::{price_breaks, quote};
    #[pymodule_export]
    use super::rates::{
        absorption_rate, capital_recovery, covering_price, cutter_wear, labour_rate, machine_rate,
        rework, standard_time,
    };
    #[pymodule_export]
    use super::router::{card_template, router_template, routing, template_sizes};
    #[pymodule_export]
    use super::sample::{draw_costs, reprice};
    #[pymodule_export]
    use super::shape::{adapter_ring, panel, strap};
    #[pymodule_export]
    use super::shape_kept::_part;
    #[pymodule_export]
    use super::shape_leg::Leg;
    #[pymodule_export]
    use super::shape_parts::{Cutout, Form};
    #[pymodule_export]
    use super::shape_screws::{Hole, Screws};
    #[pymodule_export]
    use super::stock::lay_out;

    #[pymodule_init]
    fn init(module: &pyo3::Bound<'_, pyo3::types::PyModule>) -> pyo3::PyResult<()> {
        super::kind::told(module)
    }
}
