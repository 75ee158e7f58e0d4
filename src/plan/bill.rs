//! The bill of one run: sheet by the layouts' money, what is used up, labour by kind of work, rework.

use super::chain::{Through, together};
use super::result::LayoutPlan;
use super::setup::Setup;
use crate::cost::{Bill, Group, Line, labour_lines};
use crate::error::Result;

/// The bill of one run over given layouts.
pub(super) fn bill(setup: &Setup, through: &Through, layouts: &[LayoutPlan]) -> Result<Bill> {
    let mut lines = vec![];
    for plan in layouts {
        let money = &plan.layout.money;
        // What is bought and taken off the shelf, less what goes back onto it.
        let net = (money.bought + money.shelf_taken - money.kept).max(0.0) * through.sheet_price;
        let name = format!(
            "{} {:.1} mm, offcuts counted",
            plan.material,
            plan.thickness_m * 1e3
        );
        lines.push(Line::new(name, Group::Material, 1.0, "job", net)?);
    }
    lines.extend(together(&through.lines)?);
    let tasks = through.task_list();
    let attended: Vec<f64> = through.tasks.iter().map(|t| t.attended_s).collect();
    lines.extend(labour_lines(
        &tasks,
        &attended,
        setup.shop.shop.rates.labour_per_hour,
    )?);
    Ok(Bill {
        lines,
        attended_s: attended.iter().sum(),
        rework: through.rework,
    })
}
