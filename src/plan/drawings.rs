//! Drawings of the blanks: at true size for sheet, card and router, and one view alone for the bench card.

use super::chain::Through;
use super::part::PartRun;
use super::result::Drawing;
use super::setup::Setup;
use crate::error::Result;
use crate::quantity::System;
use crate::shape::Blank;
use crate::shape::drawing::{Page, Title, drawing, face};

/// Drawings of each blank and of what stands beside it, in the order of the parts.
pub(super) fn blanks(setup: &Setup, nominal: &Through) -> Result<Vec<Drawing>> {
    let job = &setup.job.job;
    let units = job.units.unwrap_or_default();
    let page = job.paper.unwrap_or(match units {
        System::Inch => Page::Letter,
        System::Metric => Page::A4,
    });
    let mut all = vec![];
    for run in &nominal.parts {
        for cut in &run.cuts {
            let title = title(setup, &setup.materials.get(&cut.material)?.about);
            let count = cut.copies + cut.spares;
            let times = if count > 1 {
                format!(", {count} times")
            } else {
                String::new()
            };
            all.push(true_size(run, &cut.blank, "blank", &times, &title, page)?);
            all.push(Drawing {
                file: format!("face-{}.svg", file_name(&cut.blank.name)),
                title: format!("{}{times}", cut.blank.name),
                part: run.name.clone(),
                kind: "face".into(),
                svg: face(&cut.blank, units)?.svg(),
                dxf: String::new(),
                pdf: vec![],
            });
        }
        for beside in &run.beside {
            let stuff = match beside.kind {
                "card" => "card",
                "template" => "board or plywood",
                "wedge" => "sheet or block",
                "mesh" => "mesh",
                _ => "closed-cell foam",
            };
            let title = title(setup, stuff);
            all.push(true_size(
                run,
                &beside.blank,
                beside.kind,
                "",
                &title,
                page,
            )?);
        }
    }
    Ok(all)
}

fn title(setup: &Setup, material: &str) -> Title {
    let job = &setup.job.job;
    let invented = job.invented || setup.shop.shop.invented;
    Title {
        job: format!("{}, {}", job.name, job.vehicle),
        material: material.into(),
        remark: if invented {
            "invented demo data".into()
        } else {
            String::new()
        },
        units: job.units.unwrap_or_default(),
    }
}

fn true_size(
    run: &PartRun,
    blank: &Blank,
    kind: &str,
    times: &str,
    title: &Title,
    page: Page,
) -> Result<Drawing> {
    let made = drawing(blank, title)?;
    // Its kind stands before the name already.
    let name = blank.name.trim_end_matches(" card template");
    let name = name.trim_end_matches(" router template");
    Ok(Drawing {
        file: format!("{kind}-{}.svg", file_name(name)),
        title: format!("{}{times}", blank.name),
        part: run.name.clone(),
        kind: kind.into(),
        svg: made.svg(),
        dxf: made.dxf(),
        pdf: made.pdf(page),
    })
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
