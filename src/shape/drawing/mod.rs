//! True-size drawings of blanks: one sheet of paper in metres, written as SVG, PDF or DXF.
//!
//! [`drawing`] lays a blank out on paper once; the writers only translate. Every view says which
//! face it shows; a blank for one side of the vehicle is drawn from its back too. [`face`] is one view alone.

mod content;
mod dxf;
mod figure;
mod form;
mod page;
mod pdf;
mod sheet;
mod svg;
mod view;

pub(super) use form::measure_sheet;
pub use page::Page;
pub use sheet::{Anchor, Band, Drawing, Ink, Item, Shows, Title, drawing, face};
