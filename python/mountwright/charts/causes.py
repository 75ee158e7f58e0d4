"""What a range comes from: shares of its variance."""

from __future__ import annotations

from mountwright.charts.style import (
    COOL,
    COOL_WASH,
    WARM,
    WARM_WASH,
    Chart,
    chart,
    sheet_sources,
    standings,
    style,
)
from mountwright.errors import ShapeError
from mountwright.heat_records import Recipe
from mountwright.plan import Plan


def causes(found: Plan | Recipe, *, most: int = 8) -> Chart:
    """Draw which unknowns the range of a plan or a recipe comes from, largest first.

    What is longest is worth measuring first.

    Parameters
    ----------
    found : Plan or Recipe
        Made with draws. A plan shows shares of the spread of cost and of the time until it is
        ready; a recipe, of the time at which its window opens.
    most : int, default 8
        How many causes to show.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        There are no causes: no draws were made, or too few to tell causes from chance.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> asked = {"thickness": "3 mm", "heat": heat, "back": "turned every 8 s"}
    >>> mw.charts.causes(mw.recipe("abs", draws=64, **asked), most=3).alt
    'What the range comes from: effectiveness of the jet ...'
    """
    rows: list[tuple[str, list[float]]]
    series: tuple[str, ...]
    if isinstance(found, Plan):
        series = ("cost", "time until it is ready")
        rows = [(c.input, [c.share_of_cost_spread, c.share_of_time_spread]) for c in found.causes]
        foot = standings(found)
        below = found.job.name
    else:
        series = ("time at which the window opens",)
        rows = [(_words(c.name), [c.first_order]) for c in found.causes]
        foot = sheet_sources(found.material, ("conductivity", "heat_capacity", "limp"))
        below = f"{found.material}, {found.source}"
    rows = sorted(rows, key=lambda row: -max(row[1]))[:most]
    if not rows:
        allowed = "an answer with draws enough to tell causes apart"
        raise ShapeError(
            f"causes is empty, allowed is {allowed}: ask for 256 draws or more",
            "causes",
            "empty",
            allowed,
        )
    told = "; ".join(
        f"{name} "
        + " and ".join(
            f"{share:.0%} of {what}"
            for share, what in zip(shares, series, strict=True)
            if share >= 0.005
        )
        for name, shares in rows
        if max(shares) >= 0.005
    )
    with style():
        made = chart(
            "What the range comes from",
            below,
            alt=f"What the range comes from: {told}.",
            caption=[
                "Share of the variance that goes when an input becomes known; what is missing "
                "to 100 % is small causes and causes together.",
                foot,
            ],
            height=(1.95 if len(series) > 1 else 1.7) + (0.26 * len(series) + 0.14) * len(rows),
        )
        ax = made.add_subplot()
        wide = 0.76 / len(series)
        looks = ((COOL_WASH, COOL, ""), (WARM_WASH, WARM, "////"))
        for i, what in enumerate(series):
            at = [row + wide * (i + 0.5) - 0.38 for row in range(len(rows))]
            fill, edge, hatch = looks[i]
            shares = [100 * row[1][i] for row in rows]
            bars = ax.barh(
                at, shares, wide, color=fill, edgecolor=edge, hatch=hatch, lw=0.8, label=what
            )
            ax.bar_label(
                bars, [f" {share:.0f}" if share >= 0.5 else "" for share in shares], size=8
            )
        ax.set_yticks(range(len(rows)), [name for name, _ in rows])
        ax.set_ylim(len(rows) - 0.5, -0.5)
        ax.set_xlim(0, 1.1 * max(100 * max(shares) for _, shares in rows))
        ax.grid(visible=False, axis="y")
        ax.tick_params(axis="y", length=0)
        ax.set_xlabel("share of the variance, %")
        if len(series) > 1:
            ax.legend(loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, borderaxespad=0.2)
        else:
            ax.set_xlabel(f"share of the variance of the {series[0]}, %")
    return made


INPUTS = {
    "gun.effectiveness_shift": "effectiveness of the jet",
    "gun.film_factor": "film of the jet",
    "gun.setpoint_k": "air at the nozzle",
    "gun.airflow_m3_s": "air flow of the gun",
}


def _words(name: str) -> str:
    found = INPUTS.get(name)
    if found:
        return found
    place, _, key = name.rpartition(".")
    for unit in ("_m_k", "_w_m2_k", "_j_kg_k", "_kg_m3", "_m3_s", "_k", "_m", "_s"):
        key = key.removesuffix(unit)
    return f"{key.replace('_', ' ')}{f' of the {place}' if place else ''}"
