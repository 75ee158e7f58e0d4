"""Flat parts: blanks that can be drawn, and what is known of each kind of part."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, ClassVar, Literal

from mountwright import _core
from mountwright.errors import ShapeError
from mountwright.records import Record

__all__ = [
    "AdapterRing",
    "Aim",
    "Blank",
    "FoldedPanel",
    "Grille",
    "MeasureSheet",
    "Panel",
    "PressedPod",
    "Routing",
    "Seals",
    "Strap",
    "TemplateSizes",
    "Traced",
    "TracedPart",
    "Wedge",
]


class _Holder(Record):
    """A record some of whose fields are records of a class of their own."""

    _HELD: ClassVar[Mapping[str, type[Record]]] = {}

    def __getattr__(self, name: str) -> Any:
        kind = type(self)._HELD.get(name)
        if kind is None or name not in self._fields:
            return super().__getattr__(name)
        value = self._fields[name]
        if value is None:
            return None
        return tuple(map(kind, value)) if isinstance(value, list) else kind(value)


class Blank(Record):
    """One flat piece to be cut, seen from the show face, with its marks, bends and heated zones.

    Examples
    --------
    >>> blank = mw.panel("trim", mw.Form.circle("300 mm"), thickness="3 mm").blank
    >>> blank.name, round(blank.cut_length_m, 3)
    ('trim', 0.942)
    """

    name: str
    """Name, unique in the job."""
    outline: Record
    """Its edges and the holes that are cut in the flat: chains of lines and arcs. [m]"""
    thickness_m: float
    """Sheet thickness."""
    hand: str
    """``"left"``, ``"right"`` or ``"either"``."""
    marks: tuple[Record, ...]
    """Centre lines, holes, trim lines, recesses, chamfers."""
    bends: tuple[Record, ...]
    """Bends in the order in which they are made."""
    heated: tuple[Record, ...]
    """Zones that are heated."""
    faces: str
    """``"alike"`` or ``"one-sided"``: a one-sided blank may be turned, never flipped."""
    grain: str
    """``"free"``, ``"along-x"`` or ``"along-y"``."""
    developed_length_m: float | None
    """Length of the finished part along the neutral axis."""
    thinning_fraction: float
    """Greatest thinning."""
    least_radius_m: float | None
    """Tightest inside radius."""
    trim_m: float
    """Extra length at each end."""
    cut_length_m: float
    """Way of the saw or router, without drilled holes."""
    notes: tuple[Record, ...]
    """Remarks."""

    def drawing(
        self,
        *,
        job: str = "",
        material: str = "",
        remark: str = "",
        units: Literal["metric", "inch"] = "metric",
    ) -> _core.Drawing:
        """Draw the blank at true size, from the show face, and mirrored unless that is the same.

        Parameters
        ----------
        job, material, remark : str, optional
            For the title block.
        units : {"metric", "inch"}, default "metric"
            Units of dimensions, tables and notes.

        Returns
        -------
        Drawing
            To be written as SVG, DXF or PDF.

        Raises
        ------
        ShapeError
            It is larger than 5 m.
        UnknownNameError
            No system of units has that name.

        Examples
        --------
        >>> blank = mw.panel("trim", mw.Form.circle("300 mm"), thickness="3 mm").blank
        >>> blank.drawing().dxf().startswith("0")
        True
        """
        return _core._blank_drawing(self, job, material, remark, units)

    def mirrored(self) -> Blank:
        """Mirror the blank: as its back shows it, or the geometry of the other side's part.

        Returns
        -------
        Blank
            Mirrored in its y axis.
        """
        mirrored: Blank = _core._blank_mirrored(self)
        return mirrored


class Strap(_Holder):
    """A strap, developed.

    From :func:`strap`; lengths in metres, the flat by the neutral line.

    Examples
    --------
    >>> leg = mw.Leg(screw="57 mm", height="27 mm")
    >>> pod = mw.strap("pod", thickness="3 mm", body="47 mm", left=leg, right=leg)
    >>> pod.developed_length_m > 2 * 0.057
    True
    """

    _HELD = {"blank": Blank, "foam": Blank}  # noqa: RUF012 (typed in the parent)

    blank: Blank
    """The strap itself."""
    foam: Blank | None
    """The foam between body and strap."""
    liner_area_m2: float
    """Area that the foam or the body touches."""
    left: Record
    """The leg at the left: lengths along the neutral axis from the centre mark."""
    right: Record
    """The leg at the right."""
    developed_length_m: float
    """From tab end to tab end at the neutral axis."""
    blank_length_m: float
    """Developed, plus what shrinks, plus trim."""
    screw_spacing_m: float
    """Between the screws, along the plane."""
    height_m: float
    """Of the finished top over the higher tab."""
    outer_strain: float
    """Strain of the outer fibre at the tightest bend."""
    removal: str
    """How the body comes out: ``"down"`` or ``"along-its-axis"``."""
    notes: tuple[Record, ...]
    """Remarks."""


class Panel(_Holder):
    """A flat part with the distances that decide whether it holds.

    From :func:`panel`; lengths in metres.

    Examples
    --------
    >>> mw.panel("panel", mw.Form.circle("200 mm"), thickness="3 mm").blank.thickness_m
    0.003
    """

    _HELD = {"blank": Blank}  # noqa: RUF012 (typed in the parent)

    blank: Blank
    """What is cut."""
    web_m: float | None
    """Narrowest place between a cutout and the outside or another cutout."""
    edge_m: float | None
    """Least distance from a hole's centre to an edge."""
    edge_over_diameter: float | None
    """Least of that distance over the hole's own diameter."""
    pitch_m: float | None
    """Least distance between two hole centres."""


class AdapterRing(_Holder):
    """A ring, layer by layer.

    From :func:`adapter_ring`; lengths in metres.

    Examples
    --------
    >>> ring = mw.adapter_ring(
    ...     "ring",
    ...     mw.Form.circle("186 mm"),
    ...     mw.Form.circle("142 mm"),
    ...     depth="12 mm",
    ...     stock=[("12 mm", 9.0)],
    ... )
    >>> len(ring.blanks)
    1
    """

    _HELD = {"blanks": Blank}  # noqa: RUF012 (typed in the parent)

    blanks: tuple[Blank, ...]
    """One for each layer, from the driver's face to the vehicle's."""
    stack: Record
    """``layers`` (indices into the stock), ``depth_m``, ``price``."""
    glue_area_m2: float
    """Of all joints between layers."""
    web_m: float
    """Narrowest place between cutout and outside, where a chamfer widens it."""
    edge_m: float | None
    """Least distance from a screw's centre to an edge."""
    driver_edge_m: float | None
    """That of the driver's screws alone."""
    vehicle_edge_m: float | None
    """That of the vehicle's screws alone."""
    edge_over_diameter: float | None
    """Least of that distance over the hole's diameter."""
    pitch_m: float | None
    """Least distance between two screws."""
    notes: tuple[Record, ...]
    """Remarks."""


class PressedPod(_Holder):
    """A pod drawn over a plug.

    From :func:`pressed_pod`; lengths in metres, areas in square metres.

    Examples
    --------
    >>> pod = mw.pressed_pod(
    ...     "dome", "cylinder", {"diameter": "80 mm", "depth": "30 mm"}, thickness="3 mm"
    ... )
    >>> pod.thinnest_m <= pod.mean_m < 0.003
    True
    """

    _HELD = {"blank": Blank}  # noqa: RUF012 (typed in the parent)

    blank: Blank
    """The blank."""
    draw_ratio: float
    """Area of the solid over the area of its rim."""
    depth_ratio: float
    """Depth over the smaller width."""
    walls: tuple[Record, ...]
    """``name``, ``area_m2``, ``thickness_m``; their volume is that of the sheet inside the rim."""
    mean_m: float
    """Mean thickness."""
    thinnest_m: float
    """Thinnest place; of a clamped box estimated only."""
    estimated: bool
    """Whether no published law gives the thinnest place."""
    thick_enough: bool
    """Whether the thinnest place keeps half of the sheet and 1.5 mm."""
    notes: tuple[Record, ...]
    """Remarks."""


class FoldedPanel(_Holder):
    """A folded panel laid flat.

    From :func:`folded_panel`; lengths in metres, the flat by the neutral line of each fold.

    Examples
    --------
    >>> cover = mw.folded_panel(
    ...     "cover",
    ...     ["80 mm", "40 mm"],
    ...     [("90°", "3 mm", "show")],
    ...     thickness="3 mm",
    ...     width="200 mm",
    ... )
    >>> cover.flat_length_m < 0.080 + 0.040
    True
    """

    _HELD = {"blank": Blank}  # noqa: RUF012 (typed in the parent)

    blank: Blank
    """The blank; its bends stand in the order in which they are made."""
    flat_length_m: float
    """Across the bends."""
    deductions_m: tuple[float, ...]
    """What each fold takes off the sum of the outside lengths."""
    press_to_rad: tuple[float, ...]
    """Angle to press each fold to, with its springback."""
    notes: tuple[Record, ...]
    """Remarks."""


class Seals(_Holder):
    """Gaskets and collar of a ring.

    From :func:`seals`.

    Examples
    --------
    >>> ring = mw.adapter_ring(
    ...     "ring",
    ...     mw.Form.circle("186 mm"),
    ...     mw.Form.circle("142 mm"),
    ...     depth="12 mm",
    ...     stock=[("12 mm", 9.0)],
    ... )
    >>> mw.seals(ring, flange="165 mm").pressed_m > 0
    True
    """

    _HELD = {"driver": Blank, "vehicle": Blank, "collar": Blank}  # noqa: RUF012 (typed in the parent)

    driver: Blank
    """Between the driver's flange and the ring."""
    vehicle: Blank
    """Between the ring and the vehicle."""
    collar: Blank | None
    """From the driver to the trim."""
    pressed_m: float
    """Thickness of a gasket once it is pressed."""
    strip_m: float
    """Length of a strip that would serve both gaskets instead."""
    notes: tuple[Record, ...]
    """What water and steel need."""


class Grille(_Holder):
    """A grille as parts.

    From :func:`grille`.

    Examples
    --------
    >>> found = mw.grille(
    ...     "grille",
    ...     mw.Form.circle("200 mm"),
    ...     mw.Form.circle("170 mm"),
    ...     thickness="6 mm",
    ...     retainer="3 mm",
    ...     mesh="1 mm",
    ... )
    >>> found.frame.thickness_m
    0.006
    """

    _HELD = {"frame": Blank, "mesh": Blank, "retainer": Blank}  # noqa: RUF012 (typed in the parent)

    frame: Blank
    """The visible ring, its recess marked."""
    mesh: Blank
    """The mesh."""
    retainer: Blank
    """The ring that holds the mesh."""
    recess_m: float
    """Depth of the recess."""
    left_m: float
    """What is left of the trim ring in front of it."""
    cone_room_m: float | None
    """Room between the cone at its greatest travel and the mesh."""
    notes: tuple[Record, ...]
    """Remarks."""


class Wedge(_Holder):
    """A wedge under a tab.

    From :func:`wedge`; lengths in metres.

    Examples
    --------
    >>> mw.wedge("wedge", lift="5°").thick_m > 0
    True
    """

    _HELD = {"blank": Blank}  # noqa: RUF012 (typed in the parent)

    blank: Blank
    """Its sloping face, with the screw's hole."""
    side: Record
    """Its profile: the shape to saw."""
    thick_m: float
    """At the thick edge."""
    longer_screw_m: float
    """How much longer the screw must be."""
    notes: tuple[Record, ...]
    """Remarks."""


class Aim(Record):
    """How a pod is set so that it looks at its listener.

    From :func:`aim`; angles in radians.

    Examples
    --------
    >>> told = mw.aim([0, 0, 0], [1, 0.4, 0.2], normal=[0, 0, 1], along=[1, 0, 0])
    >>> round(told.distance_m**2, 9)
    1.2
    """

    distance_m: float
    """Distance to the listener."""
    turn_rad: float
    """Turn of the body's axis on the surface, counter-clockwise for one who looks at it."""
    lift_rad: float
    """Lift of the axis off the surface: the wedge's angle."""


class Routing(Record):
    """What it takes to cut one part.

    From :func:`routing`; times in seconds.

    Examples
    --------
    >>> flat = mw.panel("panel", mw.Form.circle("200 mm"), thickness="3 mm")
    >>> found = mw.routing(flat.blank, method="hand-plunge")
    >>> found.passes * found.pass_m >= 0.003 - 1e-12
    True
    """

    passes: int
    """Passes."""
    pass_m: float
    """Depth of one."""
    chip_m: float
    """Chip per tooth."""
    feed_m_s: float
    """Feed."""
    path_m: float
    """Way of the cutter's centre in one pass."""
    length_m: float
    """Way in all passes."""
    time_s: float
    """Time at the feed, with a plunge for each pass of each contour."""
    spacing_m: float
    """Clear distance that a layout keeps between parts."""
    notes: tuple[Record, ...]
    """Cautions and limits."""


class TemplateSizes(Record):
    """A template, or what it makes; ``None`` where nothing was asked.

    From :func:`template_sizes`; all in metres.

    Examples
    --------
    >>> sizes = mw.template_sizes(bushing="16 mm", bit="6.35 mm", hole="142 mm")
    >>> round(sizes.hole_trammel_m * 1e3, 3)
    67.825
    """

    offset_m: float
    """Half of bushing less bit."""
    template_m: float | None
    """Inside diameter of a template."""
    hole_m: float | None
    """The hole that it makes."""
    plug_m: float | None
    """The plug that falls out."""
    pattern_m: float | None
    """Outside of a pattern."""
    part_m: float | None
    """The disc that it makes."""
    hole_trammel_m: float | None
    """From a trammel's pivot to the bit's centre for that hole: half of it less half the bit."""
    part_trammel_m: float | None
    """The same for the disc, half of it and half the bit."""


class TracedPart(Record):
    """A part of a traced drawing.

    One of the parts of :class:`Traced`; lengths in metres, area in square metres.

    Examples
    --------
    >>> part = mw.trace("demo-data/drawings/bracket.dxf").parts[0]
    >>> part.area_m2 <= part.width_m * part.height_m
    True
    """

    area_m2: float
    """Net area."""
    edge_length_m: float
    """Length of all edges."""
    width_m: float
    """Width over all."""
    height_m: float
    """Height over all."""
    outline: Record
    """``outside`` and ``holes``: chains of lines and arcs, where they were drawn."""

    def form(self) -> _core.Form:
        """Give its outside, about its own middle.

        Returns
        -------
        Form
            For a ring, a panel or a cutout.
        """
        return _core._forms(self)[0]

    def holes(self) -> tuple[_core.Form, ...]:
        """Give its openings, about the middle of its outside.

        Returns
        -------
        tuple of Form
            For cutouts.
        """
        return tuple(_core._forms(self)[1:])


class Traced(_Holder):
    """What was read from a traced drawing.

    From :func:`trace`.

    Examples
    --------
    >>> len(mw.trace("demo-data/drawings/bracket.dxf").parts)
    1
    """

    _HELD = {"parts": TracedPart}  # noqa: RUF012 (typed in the parent)

    parts: tuple[TracedPart, ...]
    """Outsides with their holes, largest first."""
    notes: tuple[Record, ...]
    """What was left out or bridged."""


# The list of a job file in which a kind of part stands.
_LISTS = {
    "strap": "straps",
    "ring": "rings",
    "panel": "panels",
    "pressed-pod": "pods",
    "folded-panel": "folded",
    "grille": "grilles",
}
KINDS = tuple(_LISTS)


class MeasureSheet(Record):
    """What to measure for a kind of part; prints as a table.

    From :func:`measure_sheet`; its lines say what to measure, how and why.

    Examples
    --------
    >>> mw.measure_sheet("strap").kind
    'strap'
    """

    kind: str
    """Kind of part."""
    units: str
    """``"metric"`` or ``"inch"``."""
    lines: tuple[Record, ...]
    """``key`` of the job file, ``what``, ``with``, ``spread``, and ``default``, else."""

    def drawing(self) -> _core.Drawing:
        """Give the form to print and fill in.

        Returns
        -------
        Drawing
            Of A4 width.
        """
        return _core._measure_drawing(self.kind, self.units)

    @property
    def to_type(self) -> dict[str, str]:
        """Usual values that a job file does not take by itself: typed in where nobody measured.

        Examples
        --------
        >>> mw.measure_sheet("panel").to_type
        {'screw_diameter': '4 mm', 'screw_edge': '12 mm'}
        """
        listed = json.loads(_core.schema_of("job"))["properties"][_LISTS[self.kind]]["items"]
        return {
            line["key"]: line["default"]
            for line in self._fields["lines"]
            if line["default"] and line["key"] in listed["required"]
        }

    def typed(self) -> str:
        """Say the usual values that have to stand in the job file, as they are written there.

        Returns
        -------
        str
            Lines of TOML below a line that says what they are.
        """
        lines = [f'  {key} = "{value}"' for key, value in self.to_type.items()]
        head = (
            f"What is usual does not come by itself: type into [[{_LISTS[self.kind]}]] of the job"
        )
        return "\n".join([f"{head}, unless measured:", *lines])

    def __str__(self) -> str:
        rows = [("measure", "with", "±", "if not measured")]
        rows += [
            (line["what"], line["with"], line["spread"], line["default"] or "must be measured")
            for line in self._fields["lines"]
        ]
        widths = [max(len(row[i]) for row in rows) for i in range(4)]
        lines = [
            "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in rows
        ]
        return "\n".join([*lines, "", self.typed()])


def save(drawing: _core.Drawing, path: Path, *, page: str) -> None:
    """Write a drawing in the form that its file's name ends in: ``.svg``, ``.dxf`` or ``.pdf``."""
    match form_of(path):
        case ".pdf":
            path.write_bytes(drawing.pdf(page=page))
        case ".dxf":
            path.write_text(drawing.dxf(), encoding="ascii", newline="\n")
        case _:
            path.write_text(drawing.svg(), encoding="utf-8", newline="\n")


def form_of(path: Path) -> str:
    """Tell the form of a drawing by the ending of its file's name; refuse one that is none."""
    form = path.suffix.lower()
    if form in {".svg", ".dxf", ".pdf"}:
        return form
    what, allowed = "file of a drawing", "a name that ends in .svg, .dxf or .pdf"
    message = f"{what} is {str(path)!r}, allowed is {allowed}"
    raise ShapeError(message, what, str(path), allowed)
