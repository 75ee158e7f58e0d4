"""The page for the customer: what is done, what it costs, when; nothing of the shop's own sums."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from mountwright.packet.words import dated, day, moment, sentence

if TYPE_CHECKING:
    from jinja2 import Template

Fields = dict[str, Any]


def quote_page(plan: Fields) -> str:
    """Write the quote.

    Parameters
    ----------
    plan : dict
        What ``plan.json`` holds, with a quote.

    Returns
    -------
    str
        HTML that asks for nothing from outside.
    """
    quote = plan["quote"]
    promise = plan["promise"] or {"visits": []}
    return template("quote.html").render(
        quote=quote,
        kind="Quote" if quote["binding"] == "fixed" else "Estimate",
        program=plan["program"],
        invented=plan["job"]["invented"] or plan["shop"]["invented"],
        style=read("page.css"),
        date=date(quote["date"]),
        valid_until=date(quote["valid_until"]),
        ready_by=day(quote["ready_by"]) if quote["ready_by"] else "",
        starts=day(plan["job"]["start"]),
        visits=[
            {"what": visit["what"], "span": f"{day(visit['from'])} to {day(visit['to'])}"}
            for visit in promise["visits"]
        ],
    )


def date(stamp: str) -> str:
    """Write a date as people say it.

    Examples
    --------
    >>> date("2026-12-09")
    '9 December 2026'
    """
    at = moment(stamp)
    return f"{at.day} {at:%B} {at.year}"


@cache
def template(name: str) -> Template:
    """Give a template of this folder, with the filters that all of them use."""
    # Loaded here: the import of the package must stay light.
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {"sentence": sentence, "dated": dated}
    return environment.from_string(read(name))


@cache
def read(name: str) -> str:
    """Give the text of a file of this folder."""
    return files("mountwright.packet").joinpath(name).read_text(encoding="utf-8")
