//! The bill of one run: sheet by the layouts' money, what is used up, labour by kind of work, rework.

use super::buying::deliveries;
use super::chain::{Through, together};
use super::result::LayoutPlan;
use super::setup::Setup;
use crate::cost::{Bill, Group, Line, labour_lines};
use crate::error::Result;

/// The bill of one run over given layouts.
pub(super) fn bill(setup: &Setup, through: &Through, layouts: &[LayoutPlan]) -> Result<Bill> {
    let rates = &setup.shop.shop.rates;
    let mut lines = vec![];
    for plan in layouts {
        lines.extend(sheet_lines(plan, through.sheet_price)?);
    }
    for brought in deliveries(setup, layouts)? {
        if brought.total() > 0.0 {
            let from = if brought.merchant.is_empty() {
                ""
            } else {
                ", "
            };
            let name = format!("delivery of sheet{from}{}", brought.merchant);
            lines.push(Line::new(
                name,
                Group::Outside,
                1.0,
                "delivery",
                brought.total(),
            )?);
        }
    }
    lines.extend(together(&through.lines)?);
    let tasks = through.task_list();
    let attended: Vec<f64> = through.tasks.iter().map(|t| t.attended_s).collect();
    lines.extend(labour_lines(&tasks, &attended, rates.labour_per_hour)?);
    Ok(Bill {
        lines,
        attended_s: attended.iter().sum(),
        rework: through.rework,
    })
}

/// What is bought and taken off the shelf, and what goes back onto it; `factor` moves all prices of sheet.
fn sheet_lines(plan: &LayoutPlan, factor: f64) -> Result<Vec<Line>> {
    let money = &plan.layout.money;
    let sheet = format!("{} {:.1} mm", plan.material, plan.thickness_m * 1e3);
    let mut lines = vec![];
    for bought in plan.from_rack.iter().chain(&plan.layout.buy) {
        let count = f64::from(bought.count.max(1));
        let rate = bought.price / count * factor;
        lines.push(Line::new(
            &bought.name,
            Group::Material,
            count,
            "sheet",
            rate,
        )?);
    }
    if money.shelf_taken > 0.0 {
        let name = format!("{sheet}, offcuts taken");
        lines.push(Line::new(
            name,
            Group::Material,
            1.0,
            "job",
            money.shelf_taken * factor,
        )?);
    }
    // No layout is paid for what it leaves.
    let kept = money.kept.min(money.bought + money.shelf_taken);
    if kept > 0.0 {
        let name = format!("{sheet}, offcuts kept");
        lines.push(Line::credit(
            name,
            Group::Material,
            1.0,
            "job",
            kept * factor,
        )?);
    }
    Ok(lines)
}
