"""What is looked at with the part in hand; common practice, no source."""

from __future__ import annotations

ON_THE_BENCH = {
    "strap": (
        "Left and right told apart: the hand is written on the inside",
        "Centre marks meet on the body; both tabs lie flat",
        "Trial fit on the vehicle before any hole is drilled",
        "Holes at the marks of the trial fit: one round, one slotted",
        "Keeps its shape when let go, with no hand on it",
        "Foam in place, body goes in without force",
    ),
    "ring": (
        "Cutout tried with the driver, bolt circle tried with both patterns",
        "Layers flush, no gap; edges broken with sandpaper",
        "Ring lies flat on the door; no sharp edge towards a cable",
        "Glass wound fully down and up: it clears the magnet",
    ),
    "pressed-pod": (
        "Frame clamped tight all round before heat: the sheet must not slip",
        "Wall felt for thin places, crown and corners first",
        "Flange trimmed to its line and flat on the vehicle",
        "Trial fit on the vehicle before any hole is drilled",
        "Foam in place, body goes in without force",
    ),
    "folded-panel": (
        "Fold lines drawn on both faces; folds made in the order of the card",
        "Each angle against the gauge once it is cold",
        "Trial fit on the vehicle before any hole is drilled",
        "Edges smooth, no burr, corners round",
    ),
    "grille": (
        "Recess routed from the back, to depth on a piece of scrap first",
        "Wrap round the opening before mesh and ring are glued in",
        "Mesh flat, no rattle under a tapping finger",
        "Cone clears the mesh at full travel",
    ),
    "panel": (
        "Left and right told apart: the hand is written on the back",
        "Card tried on the vehicle before the sheet is cut and drilled",
        "Trial fit before the finish: every screw finds its hole",
        "Edges smooth, no burr, corners round",
        "Clear of pedals, belts, seat travel and every cover of an air bag",
    ),
}

WHILE_AWAY = {
    "Trial fit on the vehicle before any hole is drilled": (
        "Tried on the template; holes are marked and drilled when the vehicle is back"
    ),
    "Flange trimmed to its line and flat on the vehicle": "Flange trimmed to its line and flat",
    "Card tried on the vehicle before the sheet is cut and drilled": (
        "Card held against the measures before the sheet is cut and drilled"
    ),
    "Trial fit before the finish: every screw finds its hole": (
        "Laid on the template before the finish: every hole agrees"
    ),
}
"""What stands in for it while the vehicle is away between measuring and fitting."""


def on_the_bench(kind: str, *, away: bool) -> tuple[str, ...]:
    """Give the boxes to tick of a kind of part.

    Parameters
    ----------
    kind : str
        As in ``plan.json``: ``"strap"``, ``"panel"`` and so on.
    away : bool
        Whether the vehicle is away while the part is made.

    Returns
    -------
    tuple of str
        In the order of the work.

    Examples
    --------
    >>> on_the_bench("panel", away=True)[2]
    'Laid on the template before the finish: every hole agrees'
    """
    boxes = ON_THE_BENCH[kind]
    return tuple(WHILE_AWAY.get(box, box) for box in boxes) if away else boxes


_SEALED = ("ring", "pressed-pod")
_DRIVEN = ("strap", "ring", "pressed-pod")
_CAN_RATTLE = (*_DRIVEN, "grille")

_ON_THE_VEHICLE: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Screws started by hand and drawn snug by hand, crosswise; no power driver", ()),
    ("Seal all round: no light, no air past the edge", _SEALED),
    (
        "Polarity: a short pulse from a 1.5 V cell, its + on the driver's +, moves the cone out; "
        "all cones the same way",
        _DRIVEN,
    ),
    (
        "A tweeter behind a capacitor hardly moves: the wire's colour and the maker's marking "
        "tell its +",
        _DRIVEN,
    ),
    ("Rattle: slow sweep at a fair level, hand laid on and off", _CAN_RATTLE),
    ("No cable under tension, none against an edge", ()),
    (
        "A day set, about a week on, to look again: fit, edges, screws by hand; what has moved is "
        "seen to",
        (),
    ),
)
"""Each with the kinds of part that it is for; for none means for every part."""


def on_the_vehicle(parts: list[tuple[str, str]]) -> list[str]:
    """Give the boxes to tick before a vehicle is handed back.

    Parameters
    ----------
    parts : list of tuple of str
        Kind and name of each.

    Returns
    -------
    list of str
        What is for some of the parts alone names them; what is for none of them is left out.

    Examples
    --------
    >>> found = on_the_vehicle([("ring", "door ring"), ("panel", "kick panel")])
    >>> found[1], len(on_the_vehicle([("panel", "kick panel")]))
    ('Seal all round: no light, no air past the edge (door ring)', 3)
    """
    boxes = []
    for box, kinds in _ON_THE_VEHICLE:
        names = [name for kind, name in parts if not kinds or kind in kinds]
        if names:
            boxes.append(box if len(names) == len(parts) else f"{box} ({', '.join(names)})")
    return boxes
