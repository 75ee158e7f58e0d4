"""What a job costs: by group, with the range of the whole and the price above it."""

from __future__ import annotations

from typing import Any

from mountwright.charts.style import (
    COOL,
    COOL_WASH,
    INK,
    SOFT,
    WARM,
    Chart,
    chart,
    standings,
    style,
)
from mountwright.errors import ShapeError
from mountwright.plan import Plan
from mountwright.records import Estimate

WORDS = {"material": "material", "consumable": "consumables", "labour": "labour"}


def cost_band(job: Plan | Estimate) -> Chart:
    """Draw what a job costs by group of lines, the range of the whole, and the net price.

    Parameters
    ----------
    job : Plan or Estimate
        A plan that has a price, or what :func:`mountwright.estimate` gives.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        The plan has no estimate: nothing could be planned.

    Examples
    --------
    >>> lines = [("bending", "labour", 1.5, "h", 34.0), ("sheet", "material", 1, "job", 12.0)]
    >>> job = mw.estimate(
    ...     lines, attended="1.5 h", currency="XTS", margin="40 %", draws=[55, 60, 66, 74, 90.0]
    ... )
    >>> mw.charts.cost_band(job).alt
    'Cost: labour 51.00, material 12.00, together 63.00 XTS; with its range 57.00 to 83.60, ...'
    """
    lines, band, whole, price, currency, loss = _figures(job)
    groups: dict[str, float] = {}
    for line in lines:
        groups[line.group] = groups.get(line.group, 0.0) + line.cost
    shown = sorted(groups.items(), key=lambda pair: -pair[1])
    told = ", ".join(f"{WORDS.get(name, name)} {cost:.2f}" for name, cost in shown)
    alt = f"Cost: {told}, together {whole:.2f} {currency}"
    if band is not None:
        low, half, high = (f"{cost:.2f}" for cost in band)
        alt += f"; with its range {low} to {high}, half of the draws above {half}"
    alt += f"; net price {price:.2f}."
    foot = (
        [standings(job)] if isinstance(job, Plan) else ["Sources: lines, rates and draws as given."]
    )
    if band is not None:
        foot.insert(
            0,
            "Whole cost: bar from the 10th to the 90th percentile of the draws, stroke at the "
            "median, diamond at the likeliest inputs.",
        )
    with style():
        made = chart(
            "Cost and price",
            _below(job, loss),
            alt=alt,
            caption=foot,
            height=1.9 + 0.34 * len(shown),
        )
        ax = made.add_subplot()
        names = [WORDS.get(name, name) for name, _ in shown]
        rows = list(range(len(shown) + 1))
        costs = [cost for _, cost in shown]
        bars = ax.barh(rows[1:], costs, 0.62, color=COOL_WASH, edgecolor=COOL, lw=0.8)
        ax.bar_label(bars, [f" {cost:.2f}" for cost in costs], size=8.5)
        if band is not None:
            ax.barh(0, band[2] - band[0], 0.62, left=band[0], color=SOFT, alpha=0.45, lw=0)
            ax.plot([band[1]] * 2, [-0.31, 0.31], color=INK, lw=2)
        ax.plot(whole, 0, "D", color=INK, ms=5)
        ax.axvline(price, color=WARM, lw=2, ls=(0, (5, 2)))
        ax.annotate(
            f"net price {price:.2f} ",
            (price, len(shown)),
            ha="right",
            va="center",
            size=9,
            color=WARM,
            weight="bold",
        )
        if band is not None:
            ax.annotate(
                f"{band[0]:.0f} to {band[2]:.0f}",
                (max(band[2], whole), 0),
                (7, 0),
                va="center",
                textcoords="offset points",
                size=8.5,
            )
        else:
            ax.annotate(
                f"{whole:.2f}",
                (whole, 0),
                (7, 0),
                va="center",
                textcoords="offset points",
                size=8.5,
            )
        ax.set_yticks(rows, ["whole cost", *names])
        ax.set_ylim(len(shown) + 0.55, -0.6)
        ax.set_xlim(
            min(0.0, 1.15 * min(costs, default=0.0)),
            1.06 * max(price, whole, *costs, band[2] if band else 0),
        )
        ax.grid(visible=False, axis="y")
        ax.tick_params(axis="y", length=0)
        ax.set_xlabel(f"net of tax, {currency}")
    return made


def _figures(job: Any) -> tuple[Any, tuple[float, float, float] | None, float, float, str, Any]:
    """Give lines, range, whole cost, net price, currency and the chance of a loss."""
    if isinstance(job, Plan):
        if job.estimate is None or job.price is None:
            raise ShapeError(
                "plan is without an estimate, allowed is one in which something is planned",
                "plan",
                "without an estimate",
                "one in which something is planned",
            )
        cost = job.estimate.cost
        band = None if cost.p50 is None else (cost.p10, cost.p50, cost.p90)
        price = float(job.price.net)
        return (
            job.estimate.lines,
            band,
            cost.nominal,
            price,
            job.price.currency,
            job.price.chance_of_loss,
        )
    found = job.cost_band
    band = None if found is None else (found.p10, found.p50, found.p90)
    # Minor units: as many digits as the currency has in the words of a quote.
    price = job.asked.net_price
    return job.lines, band, job.full_cost, price, job.price_net.currency, job.chance_of_loss


def _below(job: Any, loss: float | None) -> str:
    named = f"{job.job.name}. " if isinstance(job, Plan) else ""
    if loss is None:
        return named.strip()
    share = f"{100 * loss:.0f} %" if loss else "none"
    return f"{named}Draws in which the cost exceeds the price: {share}."
