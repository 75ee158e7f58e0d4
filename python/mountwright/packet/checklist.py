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
        "Clamp all round tight before heat: it must not slip",
        "Wall felt for thin places, crown and corners first",
        "Flange trimmed to its line and flat on the vehicle",
        "Trial fit on the vehicle before any hole is drilled",
        "Foam in place, body goes in without force",
    ),
    "folded-panel": (
        "Lines marked on the face that is heated; outermost fold first",
        "Each angle against the gauge once it is cold",
        "Trial fit on the vehicle before any hole is drilled",
        "Edges smooth, no burr, corners round",
    ),
    "grille": (
        "Recess routed from the back, to depth on a piece of scrap first",
        "Wrap round the opening before the mesh goes in",
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


ON_THE_VEHICLE = (
    "Screws started by hand and drawn snug by hand, crosswise; no power driver",
    "Seal all round: no light, no air past the edge",
    "Polarity: both cones move outwards on the same pulse",
    "Rattle: slow sweep at a fair level, hand laid on and off",
    "No cable under tension, none against an edge",
)
