"""The few figures of a recipe that are read at arm's length: what to see, then seconds from it."""

from __future__ import annotations

from typing import Any

from mountwright.packet.words import by_beat, from_beat, middle, span

Fields = dict[str, Any]


def cues(recipe: Fields) -> list[tuple[str, str, str]]:
    """Give each cue with its figure, the middle of the draws, and what to know of it.

    The stop is told from the moment when the sheet is limp: by the clock, half of all sheets would
    be stopped before they are.

    Parameters
    ----------
    recipe : dict
        A recipe of ``plan.json`` whose window opens.

    Returns
    -------
    list of (str, str, str)
        Name, figure, remark; the remark may be empty.

    Examples
    --------
    >>> band = {"nominal": 52.0, "p10": 44.0, "p50": 58.7, "p90": 84.0}
    >>> told = {"more_s": 5.0, "too_long_s": 10.0, "latest_s": 90.0}
    >>> found = cues({"limp_s": band, "working_time_s": band, "hold_s": band} | told)
    >>> found[0]
    ('Limp at about', '1:00', '0:45 to 1:25')
    >>> found[1]
    ('Then heat on', '5 s', 'too long: 10 s; off by 1:30, limp or not')
    """
    return [
        ("Limp at about", from_beat(middle(recipe["limp_s"])), span(recipe["limp_s"], from_beat)),
        ("Then heat on", more(recipe), _not_longer(recipe)),
        (
            "Shape within",
            by_beat(middle(recipe["working_time_s"])),
            span(recipe["working_time_s"], by_beat),
        ),
        ("Hold, from stop", from_beat(middle(recipe["hold_s"])), _hold(recipe["hold_s"])),
    ]


def more(recipe: Fields) -> str:
    """Say how long heat stays on once the sheet is limp.

    Examples
    --------
    >>> more({"more_s": 10.0}), more({"more_s": 0.0})
    ('10 s', 'no more')
    """
    return f"{recipe['more_s']:.0f} s" if recipe["more_s"] else "no more"


def _not_longer(recipe: Fields) -> str:
    told = []
    if recipe["too_long_s"]:
        told.append(f"too long: {recipe['too_long_s']:.0f} s")
    if recipe["latest_s"]:
        told.append(f"off by {by_beat(recipe['latest_s'])}, limp or not")
    return "; ".join(told)


def _hold(band: Fields) -> str:
    """Say only how much longer it may take: the hand that lets go early has lost the shape."""
    late = band["p90"]
    return "" if late is None else f"up to {from_beat(late)}, until it no longer gives"


def told(recipe: Fields) -> str:
    """Say once what the figures are, and what their ranges cover.

    Examples
    --------
    >>> told({"limp_s": {"p10": None}})
    'Minutes:seconds, at the likeliest inputs.'
    """
    if recipe["limp_s"]["p10"] is None:
        return "Minutes:seconds, at the likeliest inputs."
    return (
        "Minutes:seconds. Figures: the middle of all tries worked through. Ranges: eight tries in "
        "ten. Seconds after limp: do for nine in ten."
    )
