"""The page for the customer: what is done, what it costs, when; nothing of the shop's own sums."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from mountwright.packet.loading import for_the_customer
from mountwright.packet.words import (
    NO_SPREAD,
    dated,
    day,
    moment,
    promised,
    sentence,
    stopped,
)

if TYPE_CHECKING:
    from jinja2 import Template

Fields = dict[str, Any]

ASK_FIRST = "Ask first: nothing is done beyond this total before you have said yes to it."
FORMED_HOT = (
    "Plastic that was formed hot can move in a parked car in the sun. Look at the mount after the "
    "first hot days, and have it seen to if it has moved."
)
THE_REST = "the rest when the vehicle is handed back"


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
        kind=kind(plan),
        stopped=stopped(plan),
        formed_hot=any(part["recipe"] for part in plan["parts"]),
        ask_first=ASK_FIRST,
        formed_hot_words=FORMED_HOT,
        the_rest=THE_REST,
        price_words=price_words(plan),
        program=plan["program"],
        invented=plan["job"]["invented"] or plan["shop"]["invented"],
        style=read("page.css"),
        date=date(quote["date"]),
        valid_until=date(quote["valid_until"]),
        ready=promised(plan["promise"]) if plan["promise"] else None,
        starts=day(plan["job"]["start"]),
        unloaded=for_the_customer(plan),
        visits=[
            {"what": visit["what"], "span": f"{day(visit['from'])} to {day(visit['to'])}"}
            for visit in promise["visits"]
        ],
    )


def kind(plan: Fields) -> str:
    """Name what is handed to the customer.

    What has no spread behind it, or a part that is not to be made, is not to be handed on.

    Examples
    --------
    >>> kind({"draws": 256, "parts": [], "quote": {"binding": "fixed"}})
    'Quote'
    """
    if not plan["draws"] or stopped(plan):
        return "Draft"
    return "Quote" if plan["quote"]["binding"] == "fixed" else "Estimate"


def price_words(plan: Fields) -> str:
    """Say what the customer may rely on: one of a fixed price, a range, or neither yet.

    Examples
    --------
    >>> quoted = {"binding": "fixed", "range": None, "currency": "XTS"}
    >>> price_words({"draws": 256, "parts": [], "quote": quoted})
    'The price is fixed once this quote is accepted, as long as what it rests on is so.'
    """
    quote = plan["quote"]
    if why := stopped(plan):
        return f"Not an offer, not to be handed out: {' '.join(map(sentence, why))}"
    if not plan["draws"]:
        return f"Not an offer. {NO_SPREAD}"
    if quote["range"] is None:
        return "The price is fixed once this quote is accepted, as long as what it rests on is so."
    low, high = (f"{end} {quote['currency']}" for end in quote["range"])
    if low == high:
        # Draws differ in cost: what they have in common is the floor of the price.
        return f"The price is {low} with tax: fixed by the shop's least price."
    return (
        f"The price can end between {low} and {high} with tax: eight jobs in "
        "ten do. It moves with the hours that the work takes and with the price of sheet on the "
        "day."
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


def running(words: str, most: int = 70) -> str:
    r"""Write the rule that sets words and the page's number below every printed page.

    Letters and digits stand for themselves, all else as its number (CSS Syntax 3, section 4.3.7),
    so that no name can end the string or the style sheet.

    Examples
    --------
    >>> running("</style>")
    '@page { @bottom-left { content: "\\00003c\\00002fstyle\\00003e"; } }'
    """
    words = words if len(words) <= most else f"{words[: most - 1].rstrip()}…"
    text = "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):06x}" for c in words)
    return f'@page {{ @bottom-left {{ content: "{text}"; }} }}'


@cache
def template(name: str) -> Template:
    """Give a template of this folder, with the filters that all of them use."""
    # Loaded here: the import of the package must stay light.
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters |= {"sentence": sentence, "dated": dated, "running": running}
    return environment.from_string(read(name))


@cache
def read(name: str) -> str:
    """Give the text of a file of this folder."""
    return files("mountwright.packet").joinpath(name).read_text(encoding="utf-8")
