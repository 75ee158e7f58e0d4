"""One job made in several ways: price and range of cost side by side."""

from __future__ import annotations

from typing import Any

from mountwright.alternatives import Alternatives
from mountwright.charts.style import COOL, COOL_WASH, INK, SOFT, WARM, Chart, chart, style
from mountwright.packet.words import day, span


def ways(found: Alternatives) -> Chart:
    """Draw what each way of making a job costs, with its range, and what the customer pays.

    Parameters
    ----------
    found : Alternatives
        From :func:`mountwright.compare`.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    AttributeError
        It is another kind of answer.

    Examples
    --------
    >>> job, shop = mw.Job.read("demo-data/door-rings.toml"), mw.Shop.read("demo-data/shop.toml")
    >>> found = mw.compare(job, shop=shop, ways={"all bare": {"finish": "bare"}}, draws=16)
    >>> len(mw.charts.ways(found).axes)
    1
    """
    makeable = [way for way in found.ways if way.problem is None]
    currency = found.shop.currency
    told = "; ".join(
        f"{way.name}: price {way.gross}, cost {_cost(way.cost)}, ready {day(way.ready)}"
        for way in makeable
    )
    refused = [f"{way.name} cannot be made: {way.problem}" for way in found.ways if way.problem]
    foot = [
        "Cost, net of tax: bar from the 10th to the 90th percentile, stroke at the median, diamond "
        "at the likeliest inputs. Square: price with tax.",
        *refused,
        f"Sources: shop file and job file; {found.draws} draws, seed {found.seed}, the same for "
        "all ways.",
    ]
    with style():
        made = chart(
            "Ways to make it",
            found.job.name,
            alt=f"Ways to make {found.job.name}: {told}.",
            caption=foot,
            height=1.95 + 0.5 * len(makeable),
        )
        ax = made.add_subplot()
        for row, way in enumerate(makeable):
            cost, gross = way.cost, float(way.gross)
            if cost.p50 is not None:
                ax.barh(
                    row,
                    cost.p90 - cost.p10,
                    0.5,
                    left=cost.p10,
                    color=COOL_WASH,
                    edgecolor=COOL,
                    lw=0.8,
                )
                ax.plot([cost.p50] * 2, [row - 0.25, row + 0.25], color=INK, lw=2)
            ax.plot(cost.nominal, row, "D", color=INK, ms=4.5)
            ax.plot([cost.p90 or cost.nominal, gross], [row, row], color=SOFT, lw=0.8, zorder=1)
            ax.plot(gross, row, "s", color=WARM, ms=7)
            ax.annotate(
                f"{way.gross}, ready {day(way.ready)}",
                (gross, row),
                (8, 0),
                va="center",
                textcoords="offset points",
                size=8,
            )
        ax.set_yticks(range(len(makeable)), [way.name for way in makeable])
        ax.set_ylim(len(makeable) - 0.4, -0.75)
        ax.set_xlim(0, 1.55 * max((float(way.gross) for way in makeable), default=1.0))
        ax.grid(visible=False, axis="y")
        ax.tick_params(axis="y", length=0)
        ax.set_xlabel(f"cost and price, {currency}")
    return made


def _cost(band: Any) -> str:
    return span(band.to_dict(), "{:.0f}".format) or f"{band.nominal:.0f}"
