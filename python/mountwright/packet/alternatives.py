"""Several ways to make one job, side by side on one page."""

from __future__ import annotations

from typing import Any

from mountwright.packet.quote import read, template
from mountwright.packet.words import chance, day, duration, figure, hours, middle, plainly, span

Fields = dict[str, Any]

HEAD = ("way", "price", "more", "hands on", "in all", "ready", "checks", "loses money")


def alternatives_page(found: Fields) -> str:
    """Write the page.

    Parameters
    ----------
    found : dict
        What :class:`mountwright.Alternatives` holds.

    Returns
    -------
    str
        HTML that asks for nothing from outside.
    """
    return template("alternatives.html").render(
        found=found,
        style=read("page.css"),
        starts=day(found["job"]["start"]),
        invented=found["job"]["invented"] or found["shop"]["invented"],
        ways=[_way(way, found["draws"]) for way in found["ways"]],
    )


def table(found: Fields) -> list[tuple[str, ...]]:
    """Give the ways as rows of text, the first being the head."""
    currency = found["shop"]["currency"]
    rows: list[tuple[str, ...]] = [HEAD]
    for way in (_way(one, found["draws"]) for one in found["ways"]):
        if way["problem"]:
            rows.append((way["name"], "none", *[""] * 6))
            continue
        keys = ("more", "hands", "elapsed", "ready", "checks", "loss")
        rows.append((way["name"], f"{way['gross']} {currency}", *(way[key] for key in keys)))
    return rows


def problems(found: Fields) -> list[str]:
    """Tell why ways cannot be made, a line each: too long for a column."""
    return [
        f"{way['name']} cannot be made: {plainly(way['problem'])}"
        for way in found["ways"]
        if way["problem"]
    ]


def _way(way: Fields, draws: int) -> Fields:
    # What fails is not to be made as it stands, however cheap.
    counts = [f"{len(way['fails'])} FAIL"] if way["fails"] else []
    counts += [f"{way['passes']} pass"]
    counts += [f"{len(way['marginal'])} marginal"] if way["marginal"] else []
    loss = way["chance_of_loss"]
    more = way["more_gross"]

    def money(value: float) -> str:
        return figure(value, 4)

    return {
        "name": way["name"],
        "problem": way["problem"] and plainly(way["problem"]),
        "gross": way["gross"],
        "more": "cheapest" if more and float(more) == 0 else f"+{more}",
        "cost": money(middle(way["cost"]) or 0) if way["cost"] else "",
        "cost_span": span(way["cost"], money),
        "hands": hours((middle(way["hours"]) or 0) * 3600) if way["hours"] else "",
        "hands_span": span(way["hours"], lambda value: hours(value * 3600)),
        "elapsed": duration(middle(way["elapsed_s"])) if way["elapsed_s"] else "",
        "elapsed_span": span(way["elapsed_s"], duration),
        "ready": day(way["ready"]) if way["ready"] else "",
        "loss": chance(loss, draws) if loss is not None else "",
        "checks": ", ".join(counts),
        "buy": ", ".join(way["buy"]) or "nothing",
        "fails": way["fails"],
        "marginal": way["marginal"],
    }
