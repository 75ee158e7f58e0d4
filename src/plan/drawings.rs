//! Drawings of the blanks: at true size for the sheet, and one view alone for the bench card.

use super::chain::Through;
use super::result::Drawing;
use super::setup::Setup;
use crate::error::Result;
use crate::shape::drawing::{Title, drawing, face};

/// Two drawings of each blank, in the order of the parts.
pub(super) fn blanks(setup: &Setup, nominal: &Through) -> Result<Vec<Drawing>> {
    let job = &setup.job.job;
    let invented = job.invented || setup.shop.shop.invented;
    let mut all = vec![];
    for run in &nominal.parts {
        for cut in &run.cuts {
            let title = Title {
                job: format!("{}, {}", job.name, job.vehicle),
                material: setup.materials.get(&cut.material)?.about.clone(),
                remark: if invented {
                    "invented demo data".into()
                } else {
                    String::new()
                },
            };
            let count = cut.copies + cut.spares;
            let times = if count > 1 {
                format!(", {count} times")
            } else {
                String::new()
            };
            let name = file_name(&cut.blank.name);
            let mut add = |kind: &str, svg: String| {
                all.push(Drawing {
                    file: format!("{kind}-{name}.svg"),
                    title: format!("{}{times}", cut.blank.name),
                    part: run.name.clone(),
                    kind: kind.into(),
                    svg,
                });
            };
            add("blank", drawing(&cut.blank, &title)?.svg());
            add("face", face(&cut.blank)?.svg());
        }
    }
    Ok(all)
}

/// A part's name as a name of a file: letters, digits and hyphens.
fn file_name(name: &str) -> String {
    let mut out = String::new();
    for c in name.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_matches('-').to_string()
}
