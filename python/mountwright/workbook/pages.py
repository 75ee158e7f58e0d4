"""Which sheet asks for what: their order, titles and hints, and what is usual.

A region that is not named here, such as a new list of the schema, gets a sheet of its own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mountwright.workbook.fields import Region, regions


@dataclass(frozen=True)
class Page:
    """An input sheet."""

    title: str
    hint: str
    regions: tuple[Region, ...]
    part: str = ""
    """The kind of part that it is for: shown where the job has one."""


# Sheet, what it is for, its regions as file:path, and the kind of part.
_PAGES: tuple[tuple[str, str, tuple[str, ...], str], ...] = (
    (
        "Job",
        "What is made, for which vehicle, from when on. Then Places and the sheets of the parts; "
        "Stock, Rates and Workshop are set once.",
        ("job:", "job:quote"),
        "",
    ),
    (
        "Places",
        "Where on the vehicle. Look the air bags up in the vehicle maker's instructions: "
        "nothing is planned where one is, or where nobody has looked.",
        ("job:places",),
        "",
    ),
    (
        "Panels",
        "Flat trim panels. Their openings stand on the sheet Cutouts.",
        ("job:panels",),
        "panels",
    ),
    (
        "Cutouts",
        "Openings of panels, seen from the show face.",
        ("job:panels.cutouts",),
        "panels",
    ),
    ("Rings", "Adapter rings between driver and vehicle.", ("job:rings",), "rings"),
    ("Straps", "Straps pressed hot round a tweeter over foam.", ("job:straps",), "straps"),
    ("Pods", "Pods pressed hot over a plug.", ("job:pods",), "pods"),
    (
        "Folded",
        "Panels folded hot along lines. Their folds stand on the sheet Folds.",
        ("job:folded",),
        "folded",
    ),
    ("Folds", "Folds of folded panels, one after the other.", ("job:folded.folds",), "folded"),
    ("Grilles", "Trim rings with a mesh.", ("job:grilles",), "grilles"),
    ("Stock", "Sheets that can be bought or stand in the rack.", ("shop:sheets",), ""),
    ("Offcuts", "Offcuts in the rack: they are used first.", ("shop:offcuts",), ""),
    (
        "Merchants",
        "Who sells sheet, and what a delivery of his costs.",
        ("shop:merchants",),
        "",
    ),
    (
        "Rates",
        "What an hour costs, and how a price is made of a cost. Set these once.",
        ("shop:rates", "shop:consumables"),
        "",
    ),
    ("Adhesives", "Adhesives on the shelf.", ("shop:adhesives",), ""),
    (
        "Workshop",
        "The shop, its tools, its air and its hours. Set these once.",
        ("shop:", "shop:cutting", "shop:gun", "shop:climate", "shop:hours"),
        "",
    ),
    (
        "Times",
        "What the shop's own work takes; a time that is left empty is common practice.",
        ("shop:times",),
        "",
    ),
    (
        "Trials",
        "Timed trials with the gun: two are enough to narrow every heating time.",
        ("shop:gun.coupons",),
        "seldom",
    ),
    (
        "Sheet faults",
        "Scratches, holes and print on sheets in the rack.",
        ("shop:sheets.bad_areas",),
        "seldom",
    ),
    (
        "Offcut corners",
        "Corners of offcuts that are no rectangles, one after the other.",
        ("shop:offcuts.corners",),
        "seldom",
    ),
    (
        "Offcut faults",
        "Scratches and holes in offcuts.",
        ("shop:offcuts.bad_areas",),
        "seldom",
    ),
)

KINDS = tuple(dict.fromkeys(part for *_, part in _PAGES if part not in {"", "seldom"}))
"""Kinds of part, as the job file calls their lists."""

_ROUND = {"outline": "circle"}
_CUT = {"hand": "either", "material": "abs", "thickness": "3 mm", "finish": "textured"}
_FORMED = {"behind": "open-air", "gun_distance": "100 mm"}
_SCREWS = {"screws": 6, "screw_diameter": "4 mm", "screw_edge": "12 mm"}

USUAL: dict[str, dict[str, Any]] = {
    "places": {"zone": "cabin-air", "driver_view": "no"},
    "panels": _CUT | _SCREWS | {"corner_radius": "12 mm", "template": "make"},
    "panels.cutouts": _ROUND | {"right": "0 mm", "up": "0 mm"},
    "rings": _ROUND
    | {"hand": "either", "material": "expanded-pvc", "finish": "filled-painted"}
    | {"driver_bolts": 4, "driver_screw": "4 mm", "vehicle_bolts": 4, "vehicle_screw": "5 mm"},
    "straps": _CUT
    | _FORMED
    | {"finish": "vinyl-wrap", "foam": "pe-foam", "foam_thickness": "2 mm", "foot_radius": "6 mm"}
    | {"body_mass": "40 g", "middle_width": "52 mm", "end_width": "24 mm", "tab_length": "22 mm"}
    | {"screw_diameter": "4 mm", "turn_every": "8 s"},
    "pods": _CUT
    | _FORMED
    | {"plug": "frustum", "clamp": "24 mm", "flange": "14 mm", "screws": 4}
    | {"screw_diameter": "4 mm", "foam": "pe-foam", "foam_thickness": "3 mm", "turn_every": "8 s"},
    "folded": _CUT | _FORMED | _SCREWS | {"screws": 2, "turn_every": "10 s"},
    "folded.folds": {"angle": "90°", "inside_radius": "6 mm"},
    "grilles": _ROUND
    | _CUT
    | {"thickness": "6 mm", "retainer_thickness": "3 mm", "opening_outline": "circle"}
    | {"mesh_thickness": "1 mm", "lap": "9 mm", "clips": 4},
}
"""What a shop may leave empty, as a start: the workbook shows these values in a row of its own,
where the shop sets its own. Common practice, no source."""

MEASURED = frozenset(
    {
        *("width", "height", "depth", "right", "up", "free_depth", "cone_to_trim", "cone_travel"),
        *("body_diameter", "body_length", "body_height", "body_mass", "axis_height"),
        *("front_screw", "rear_screw", "vehicle_bolt_circle", "vehicle_screw", "vehicle_turn"),
        *("driver_bolt_circle", "driver_screw", "driver_depth", "driver_flange", "driver_mass"),
    }
)
"""Keys of what is measured on the vehicle, or on what the customer brings: all else is the shop's
choice, and none of the customer's business."""


def pages() -> tuple[Page, ...]:
    """List the input sheets in their order.

    Examples
    --------
    >>> [page.title for page in pages()][:4]
    ['Job', 'Places', 'Panels', 'Cutouts']
    """
    left = {f"{r.file}:{r.path}": r for r in regions()}
    found = []
    for title, hint, names, part in _PAGES:
        found.append(Page(title, hint, tuple(left.pop(n) for n in names if n in left), part))
    for region in left.values():
        title = region.path.replace("_", " ").replace(".", " ").capitalize()
        found.append(Page(title[:31], region.about, (region,)))
    return tuple(page for page in found if page.regions)
