"""Answers: frozen records with the fields that the core wrote, units in the names."""

from __future__ import annotations

import html
import importlib
import json
import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, ClassVar, Literal, Self

from mountwright.errors import KindError
from mountwright.kinds import flag, text

__all__ = [
    "Adhesive",
    "AdhesiveRanking",
    "Band",
    "Check",
    "Checks",
    "Choice",
    "Comparison",
    "Estimate",
    "Finish",
    "Joint",
    "Layout",
    "Material",
    "MaterialAt",
    "Materials",
    "Measure",
    "Openings",
    "PlaceAnswer",
    "PotLife",
    "PriceBreak",
    "Provenance",
    "Quote",
    "Ranked",
    "Ready",
    "ReadyBand",
    "Record",
    "ScrewHoles",
    "Sheet",
    "Sourced",
    "WorkPlan",
]


class Record:
    """A frozen answer with named fields.

    Nested answers are records too, lists are tuples. Two records of a class are equal when their
    fields are. A child lists its fields as annotations, for readers and type checkers; the values
    come from the core.

    Parameters
    ----------
    fields : mapping of str to object
        Plain values as JSON has them.

    Examples
    --------
    >>> m = mw.Measure({"value": 0.047, "plus_minus": 0.001})
    >>> m.value, m.to_dict()
    (0.047, {'value': 0.047, 'plus_minus': 0.001})
    """

    __slots__ = ("_fields",)
    _fields: dict[str, Any]

    def __init__(self, fields: Mapping[str, Any]) -> None:
        try:
            object.__setattr__(self, "_fields", dict(fields))
        except (TypeError, ValueError):
            raise KindError.of("fields", fields, "a mapping of names to values") from None

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Read a record back from :meth:`to_json`.

        Parameters
        ----------
        text : str
            A JSON object.

        Returns
        -------
        Record
            Of the class that it is called on.

        Examples
        --------
        >>> mw.Measure.from_json('{"value": 1.0, "plus_minus": 0.0}')
        Measure(value=1.0, plus_minus=0.0)
        """
        try:
            return cls(json.loads(text))
        except (TypeError, ValueError):
            raise KindError.of("text", text, "a JSON object") from None

    def to_json(self, *, indent: int | None = None) -> str:
        """Write the record as JSON.

        Parameters
        ----------
        indent : int, optional
            Spaces for each level; one line if left out.

        Returns
        -------
        str
            A JSON object.

        Examples
        --------
        >>> mw.quantity("3 mm", "length").to_json()
        '{"value": 0.003, "plus_minus": 0.0}'
        """
        return json.dumps(self._fields, ensure_ascii=False, indent=indent)

    def to_dict(self) -> dict[str, Any]:
        """Copy the record into plain dicts, lists, strings and numbers.

        Returns
        -------
        dict
            Free to be changed.

        Examples
        --------
        >>> mw.quantity("3 mm", "length").to_dict()
        {'value': 0.003, 'plus_minus': 0.0}
        """
        copy: dict[str, Any] = json.loads(self.to_json())
        return copy

    def __getattr__(self, name: str) -> Any:
        # The field itself is asked for here only while a copy is being built.
        if name == "_fields" or name not in self._fields:
            raise AttributeError(
                f"{type(self).__name__} has no field {name!r}", name=name, obj=self
            )
        return _wrap(self._fields[name])

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{type(self).__name__} is frozen", name=name, obj=self)

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"{type(self).__name__} is frozen", name=name, obj=self)

    def __dir__(self) -> Iterator[str]:
        yield from super().__dir__()
        yield from self._fields

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self._fields == other._fields

    def __hash__(self) -> int:
        return hash(_hashable(self._fields))

    def __reduce__(self) -> tuple[type[Self], tuple[dict[str, Any]]]:
        return type(self), (self._fields,)

    def __repr__(self) -> str:
        inside = ", ".join(f"{name}={_short(value)}" for name, value in self._fields.items())
        return f"{type(self).__name__}({inside})"

    def _repr_html_(self) -> str:
        return table(self)


def table(answer: Any) -> str:
    """Tell the fields of an answer, or of what is asked with, as a table for a notebook."""
    rows = "".join(
        f"<tr><th scope='row'>{html.escape(name.replace('_', ' '))}</th>"
        f"<td>{html.escape(value if isinstance(value, str) else _short(value))}</td></tr>"
        for name, value in answer.to_dict().items()
    )
    return f"<table><caption>{type(answer).__name__}</caption>{rows}</table>"


class Adhesive(Record):
    """An adhesive, filler or primer; each number with value, range, unit, source and standing.

    From :func:`adhesive`. Values are in SI, with the bounds of the grades on sale.

    Examples
    --------
    >>> glue = mw.adhesive("epoxy-30min")
    >>> glue.gap.low <= glue.gap.value <= glue.gap.high
    True
    """

    name: str
    """Its name for people."""
    family: str
    """Its chemistry."""
    role: str
    """``structural``, ``general``, ``surface``, ``flexible``, ``filler`` or ``primer``."""
    density: Sourced
    """As applied. [kg/m³]"""
    gap: Sourced
    """Bond line or layer: usual, least and greatest. [m]"""
    minimum_temperature: Sourced
    """Below it, it does not cure. [K]"""
    service_temperature: Sourced
    """Hottest in service. [K]"""
    cold_limit: Sourced
    """Coldest in service. [K]"""
    strength: Sourced
    """Lap shear at 23 °C where nothing better is known. [Pa]"""
    strength_on: Record
    """The same by face. [Pa]"""
    suits: Record
    """By face: ``score`` from 3, first choice, to 0, do not use, and ``why``."""
    preparation: str
    """What is done to the faces."""
    cautions: tuple[str, ...]
    """What can hurt."""
    speed_up: tuple[str, ...]
    """What speeds it up safely."""


class AdhesiveRanking(Record):
    """Which adhesives suit a pair of faces, and why the others do not.

    From :func:`rank_adhesives`: what the shop can use on two faces, and why the rest is left.

    Examples
    --------
    >>> found = mw.rank_adhesives("abs", "abs")
    >>> found.ranked[0].score >= found.ranked[-1].score
    True
    """

    ranked: tuple[Record, ...]
    """Best first: ``adhesive``, ``score`` (3 is a first choice), ``reasons``, ``handling_s``."""
    refused: tuple[Record, ...]
    """``adhesive`` and ``reasons``."""


class Band(Record):
    """The range of a result over its draws.

    From :func:`band` and every answer with draws; in the unit of the result itself.

    Examples
    --------
    >>> told = mw.band([1.0, 2.0, 3.0, 4.0])
    >>> told.p10 < told.p50 < told.p90, told.mean
    (True, 2.5)
    """

    p10: float
    """One draw in ten is lower."""
    p50: float
    """Half of the draws are lower."""
    p90: float
    """Nine draws in ten are lower."""
    mean: float
    """Mean of the draws."""
    error: float | None
    """Standard error of the least certain of the three percentiles; ``None`` of a single draw."""


class Check(Record):
    """One check of a finished mount: a figure against a limit.

    One of :class:`Checks`; figure, limit and margin are in its ``unit``.

    Examples
    --------
    >>> one = mw.check_fit({"driver_depth": "58 mm", "depth_behind_face": "70 mm"})["depth"]
    >>> one.verdict, one.unit, one.sense
    ('pass', 'm', 'at-least')
    """

    name: str
    """What was checked."""
    part: str
    """The part."""
    figure: float
    """The figure found, in ``unit``."""
    limit: float
    """What it is held against, in ``unit``."""
    unit: str
    """SI unit, ``"1"`` for a pure number."""
    sense: str
    """``"at-most"`` or ``"at-least"``: on which side of the limit the figure has to be."""
    margin: float
    """Distance from the limit, positive on the good side."""
    margin_is: str
    """``"fraction"`` of the limit or ``"difference"`` in ``unit``."""
    verdict: str
    """``"pass"``, ``"marginal"`` or ``"fail"``; a pass is no approval."""
    why: str
    """How the figure came about and what the limit means."""
    mend: str | None
    """What would pass, with numbers; None for a pass."""
    source: str
    """Where the limit comes from."""
    standing: str
    """Standing of the weakest number in the rule."""

    def __str__(self) -> str:
        f = self._fields
        verdict = "FAIL" if f["verdict"] == "fail" else f["verdict"]
        mend = f"; mend: {f['mend']}" if f["mend"] else ""
        return f"{verdict}: {f['part']}, {f['name']}: {f['why']}{mend}"


class Checks(Record):
    """Checks of one mount, a sequence; ``checks["sag in the heat"]`` finds one by its name.

    Examples
    --------
    >>> found = mw.check_fit({"driver_depth": "58 mm", "depth_behind_face": "70 mm"})
    >>> len(found), found.worst
    (1, 'pass')
    >>> print(found)
    pass  depth  70.0 mm free with glass fully down and up, 58.0 mm of driver and 3 mm of air
    no fault found by these checks; the vehicle maker's instructions and licensed practice decide
    """

    worst: str
    """The gravest verdict: ``"pass"``, ``"marginal"`` or ``"fail"``."""
    summary: str
    """One line for people; it never calls a mount approved."""
    checks: tuple[Check, ...]
    """The checks."""

    def __getattr__(self, name: str) -> Any:
        return tuple(self) if name == "checks" else super().__getattr__(name)

    def __len__(self) -> int:
        return len(self._fields["checks"])

    def __iter__(self) -> Iterator[Check]:
        return map(Check, self._fields["checks"])

    def __getitem__(self, which: int | str) -> Check:
        if isinstance(which, str):
            for fields in self._fields["checks"]:
                if fields["name"] == which:
                    return Check(fields)
            raise KeyError(which)
        return Check(self._fields["checks"][which])

    def _rows(self) -> list[tuple[str, ...]]:
        rows: list[tuple[str, ...]] = []
        for f in self._fields["checks"]:
            mend = f"; mend: {f['mend']}" if f["mend"] else ""
            verdict = "FAIL" if f["verdict"] == "fail" else f["verdict"]
            rows.append((verdict, f["name"], f["why"] + mend))
        return rows

    def __str__(self) -> str:
        return "\n".join([*(_aligned(self._rows()) if len(self) else ()), self._fields["summary"]])

    def _repr_html_(self) -> str:
        rows = [("verdict", "check", "why"), *self._rows()]
        return _html_table(rows, caption=self._fields["summary"])


class Estimate(Record):
    """What a job costs, in units of the currency, and what it is sold for, in minor units.

    From :func:`estimate`; amounts are of the shop's own rates, none of them from elsewhere.

    Examples
    --------
    >>> line = ("bending", "labour", 2.0, "h", 35.0)
    >>> found = mw.estimate([line], attended="2 h", currency="XTS", margin="30 %")
    >>> found.net_cost, found.full_cost >= found.net_cost
    (70.0, True)
    """

    lines: tuple[Record, ...]
    """The bill: ``name``, ``group``, ``amount``, ``unit``, ``rate``, ``cost``."""
    net_cost: float
    """Sum of the lines."""
    overhead: float
    """Overhead."""
    rework: float
    """Expected rework."""
    full_cost: float
    """Lines, overhead and rework."""
    allowance: float
    """What the cost that the price is made of is above the full cost."""
    asked: Record
    """The price before it was rounded: ``earning_price``, ``list_price``, ``net_price``."""
    price_net: Record
    """Net price: ``minor`` units and ``currency``."""
    tax: Record
    """Tax."""
    price_gross: Record
    """Price with tax."""
    price_lines: tuple[Record, ...]
    """Net price and tax by group; they add up exactly."""
    hours_attended: float
    """Attended hours."""
    margin_left: float | None
    """Share of the net price left after fees and cost; None where nothing is charged."""
    cost_band: Record | None
    """Range of the full cost, where there are draws."""
    price_needed: Record | None
    """Range of the net price that each draw by itself would need."""
    chance_of_loss: float | None
    """Chance that cost and fees exceed the net price."""


class Finish(Record):
    """What the finish of one part takes, uses, adds and stands.

    From :func:`finish`; thicknesses in metres, times in seconds, temperatures in kelvin.

    Examples
    --------
    >>> found = mw.finish("textured", material="abs", area="200 cm2")
    >>> found.attended_p10_s < found.attended_p50_s < found.attended_p90_s
    True
    """

    kind: str
    """What it is covered with."""
    name: str
    """Its name for people."""
    steps: tuple[Record, ...]
    """In order: ``name``, ``attended`` (a law, s), ``wait``, ``wait_s``, ``max_wait_s``, ``once``,
    ``may_split``, ``uses``."""
    adds_face_m: Sourced
    """Thickness that a face gains. [m]"""
    adds_edge_m: Sourced
    """Thickness that each edge gains; a cutout shrinks by twice that. [m]"""
    limit_k: Sourced | None
    """Temperature that the finish stands; None where the sheet decides. [K]"""
    absorptance: Sourced
    """Share of sunlight that it takes up."""
    attended_s: float
    """Usual hands-on time of all steps. [s]"""
    attended_p10_s: float
    """The same for a quick hand: one in ten is quicker. [s]"""
    attended_p50_s: float
    """The same in the middle of its range. [s]"""
    attended_p90_s: float
    """The same for a slow hand: nine in ten are quicker. [s]"""
    waiting_s: float | None
    """All waits in the shop's air; None where something never dries. [s]"""
    cautions: tuple[str, ...]
    """What can hurt, and what it does to the sheet beneath."""
    notes: tuple[Record, ...]
    """What else is to be known."""


class Joint(Record):
    """The adhesive of a joint: how much, when it is ready, how strong, what it costs.

    From :func:`joint`, for one pair of faces in the shop's air.

    Examples
    --------
    >>> found = mw.joint("abs", "abs", area="20 cm2")
    >>> found.open_s < found.handling_s < found.full_s
    True
    """

    adhesive: str
    """Its name in the catalogue."""
    name: str
    """Its name for people."""
    score: float
    """3 is a first choice; 0 means that it was asked for and should not be used."""
    why: tuple[str, ...]
    """Why that score."""
    amount: Record
    """``net_m3``, ``low_m3``, ``volume_m3``, ``high_m3``, ``p10_m3``, ``p50_m3``, ``p90_m3``,
    ``mass_kg``, ``batches``, ``batch_kg``, ``nozzles``, ``packs``, ``cost_each``,
    ``cost_bought``."""
    cure: Record
    """The cure's numbers; :func:`cure` gives one that can be asked."""
    closing_s: float
    """Time to lay the adhesive and close one joint. [s]"""
    open_s: float
    """Open time in the shop's air. [s]"""
    handling_s: float | None
    """Time to handling strength in the shop's air; None for never. [s]"""
    full_s: float | None
    """Time to full cure in the shop's air; None for never. [s]"""
    ready: ReadyBand
    """The same over the range of grades and batches."""
    never: str | None
    """Why a stage is never reached."""
    strength: Record
    """At the service temperature: ``low_pa``, ``value_pa``, ``high_pa``, ``p10_pa``, ``p50_pa``,
    ``p90_pa``, ``allowable_pa``, ``factor``, ``limited_by``, ``source``, ``standing``."""
    allowable_n: float | None
    """Greatest shear load of one joint. [N]"""
    primed: tuple[Record, ...]
    """Faces that take a primer first: ``face``, ``primer``, ``name``, ``volume_m3``, ``wait_s``,
    ``within_s``."""
    preparation: tuple[str, ...]
    """What is done to the faces."""
    cautions: tuple[str, ...]
    """What can hurt, and what can go wrong."""
    speed_up: tuple[str, ...]
    """What speeds it up safely."""
    quicker: tuple[Record, ...]
    """How much sooner: ``what``, ``temperature_k``, ``humidity``, ``handling_s``, ``full_s``."""
    service_limit_k: float
    """Hottest that it usually stands. [K]"""
    cold_limit_k: float
    """Coldest that it usually stands. [K]"""
    notes: tuple[Record, ...]
    """Where a law was used outside its range."""
    sources: tuple[str, ...]
    """Sources of the numbers used."""


class Layout(Record):
    """Blanks laid on offcuts and sheets, checked, with cost and bound.

    In a notebook it shows the sheets to scale.

    Examples
    --------
    >>> layout = mw.lay_out(
    ...     [{"name": "panel", "width": "400 mm", "height": "300 mm", "quantity": 2}],
    ...     [{"name": "board", "width": "1 m", "height": "1 m", "price": 20.0}],
    ...     method="saw",
    ... )
    >>> print(layout)
    buy 1 board for 20.00
    board: 2 parts, yield 24 %, keep 990 x 687 mm, 184 x 300 mm
    objective 12.65, bound 12.63, gap 0.2 %
    """

    sheets_used: tuple[Record, ...]
    """Offcuts first: ``stock``, ``kind``, ``width_m``, ``height_m``, ``cost``, ``placements``
    (``part``, ``copy``, ``placement``, ``flipped``, ``bounds``, ``hold``), ``steps`` in the order
    of cutting, ``kept`` (``area``, ``diameter_m``, ``value``), ``yield_fraction``."""
    buy: tuple[Record, ...]
    """``name``, ``count``, ``price``, ``merchant``, ``days_to_arrive``."""
    unplaced: tuple[Record, ...]
    """Copies without a place: ``part``, ``copies``, ``reason``."""
    yield_fraction: float
    """Area of parts over area of stock used."""
    yield_with_kept_fraction: float
    """The same with what is kept counted as yield."""
    yield_by_money_fraction: float
    """Share of the money for material that is in parts."""
    money: Record
    """``bought``, ``freight``, ``waiting``, ``shelf_taken``, ``kept``, ``cutting``, and
    ``objective``, which is made as small as can be."""
    bound: float
    """No layout of these parts on this stock has a lower objective."""
    gap_fraction: float | None
    """(objective - bound) / bound; None where the bound is zero or parts are left over."""
    proved: bool
    """Whether there is no better layout."""
    shares: tuple[Record, ...]
    """Share of each part in the cost of material: ``part``, ``material_cost``."""
    cut_length_m: float
    """Length of all cuts. [m]"""
    loss: Record
    """Where the area goes: ``parts_m2``, ``kept_m2``, ``kerf_m2``, ``trim_m2``, ``scrap_m2``."""
    effort_used: int
    """Positions tried."""
    seed: int
    """Seed of the search."""
    cut_short: bool
    """Whether a stop in seconds ended the search; such a layout need not repeat."""
    notes: tuple[Record, ...]
    """What else is to be known."""
    drawings: tuple[str, ...]
    """One SVG for each sheet used, a millimetre on the sheet to a unit."""
    dxf: tuple[str, ...]
    """One DXF for each sheet used, in millimetres."""

    def __str__(self) -> str:
        told = [f"buy {b.count} {b.name} for {b.price:.2f}" for b in self.buy]
        for used in self.sheets_used:
            kept = [
                f"{k.area.width_m * 1e3:.0f} x {k.area.height_m * 1e3:.0f} mm"
                if k.diameter_m is None
                else f"disc {k.diameter_m * 1e3:.0f} mm"
                for k in used.kept
            ]
            keep = f", keep {', '.join(kept)}" if kept else ""
            told.append(
                f"{used.stock}: {len(used.placements)} parts, "
                f"yield {used.yield_fraction:.0%}".replace("%", " %")
                + keep
            )
        told += [f"no place for {u.copies} {u.part}: {u.reason}" for u in self.unplaced]
        gap = "" if self.gap_fraction is None else f", gap {100 * self.gap_fraction:.1f} %"
        proof = ", proved" if self.proved else gap
        told.append(f"objective {self.money.objective:.2f}, bound {self.bound:.2f}{proof}")
        return "\n".join(told)

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(str(self))}</pre>" + "".join(
            f"<div style='max-width:48em'>{svg}</div>" for svg in self.drawings
        )


class PriceBreak(Record):
    """The price of a number of pieces.

    One of :func:`price_breaks`; more pieces share the set-up.

    Examples
    --------
    >>> one, ten = mw.price_breaks(
    ...     [("sheet", "material", 0.2, "m²", 20.0)],
    ...     quantities=[1, 10],
    ...     first="1 h",
    ...     set_up="1 h",
    ...     labour_per_hour=30,
    ...     currency="XTS",
    ...     margin="30 %",
    ... )
    >>> ten.each_net.minor < one.each_net.minor
    True
    """

    quantity: int
    """Pieces."""
    total_net: Record
    """Net price of all: ``minor`` units and ``currency``."""
    each_net: Record
    """Net price of one, rounded; the total is what counts."""
    hours_attended: float
    """Attended hours of all."""


class Quote(Record):
    """A quote for the customer: neither cost nor margin, neither rates nor the chance of rework.

    From :func:`quote`, for an estimate; amounts in minor units of the currency.

    Examples
    --------
    >>> line = ("bending", "labour", 2.0, "h", 35.0)
    >>> found = mw.estimate([line], attended="2 h", currency="XTS", margin="30 %")
    >>> told = mw.quote(found, work=["one pod"], date="2026-11-25")
    >>> told.net.minor + told.tax.minor == told.gross.minor
    True
    """

    terms: Record
    """Its words: ``number``, ``customer``, ``vehicle``, ``work``, ``date``, ``assumptions`` ..."""
    lines: tuple[Record, ...]
    """Parts and work apart, each with ``name``, ``net`` and ``tax``; they add up exactly."""
    net: Record
    """Net price: ``minor`` units and ``currency``."""
    tax: Record
    """Tax."""
    gross: Record
    """Price with tax."""
    range: tuple[Record, Record] | None
    """From and to, with tax, where the price is an estimate."""
    deposit: Record
    """Paid when the work is ordered."""
    valid_until: str
    """Last day on which it can be accepted."""
    ready_by: str | None
    """Handed back by then in nine jobs of ten."""


class Measure(Record):
    """A measured quantity in SI with the uncertainty that was written beside it.

    From :func:`quantity`; ``plus_minus`` is 0 where none was written.

    Examples
    --------
    >>> mw.quantity("47 mm ± 1 mm", "length")
    Measure(value=0.047, plus_minus=0.001)
    """

    value: float
    """Value. [SI]"""
    plus_minus: float
    """Half-width of its range; 0 where none was written. [SI]"""


class PotLife(Record):
    """How a mixed mass behaves in the cup: a model, good to a factor of two.

    From :func:`pot_life`; times in seconds, temperatures in kelvin.

    Examples
    --------
    >>> mw.pot_life("epoxy-30min", mass="100 g").peak_k > 296
    True
    """

    pot_life_s: float | None
    """Until it can no longer be spread; None where it is not within ten days. [s]"""
    thin_s: float | None
    """The same spread out thin. [s]"""
    peak_k: float
    """Hottest that it gets if left in the cup: an upper bound. [K]"""


class Ready(Record):
    """When the stages of a cure are reached, in seconds since the plan's first midnight.

    From :meth:`Cure.ready_at` and :meth:`Cure.times_at`; ``None`` for a stage that never comes.

    Examples
    --------
    >>> ready = mw.cure("epoxy-30min").times_at("23 °C")
    >>> ready.handling_s < ready.full_s
    True
    """

    joinable_s: float | None
    """From when on the parts can be joined: later than the start for contact cement. [s]"""
    open_s: float
    """Until when the parts can be joined. [s]"""
    handling_s: float | None
    """From when on the joint can be handled; None for never. [s]"""
    full_s: float | None
    """From when on it is fully cured; None for never. [s]"""
    never: str | None
    """Why a stage is never reached."""
    notes: tuple[Record, ...]
    """Where a law was used outside its range."""


class ReadyBand(Record):
    """A quick, a middling and a slow batch of a cure.

    From :meth:`Cure.ready_band_at`: grades and batches of one adhesive differ.

    Examples
    --------
    >>> band = mw.cure("epoxy-30min").ready_band_at(0.0, mw.Climate.steady("23 °C"))
    >>> band.p10.handling_s < band.p90.handling_s
    True
    """

    p10: Record
    """One batch in ten is quicker: a :class:`Ready`."""
    p50: Record
    """Half of the batches are quicker."""
    p90: Record
    """Nine batches in ten are quicker."""


class Sourced(Record):
    """A number with the bounds of the grades that a shop will meet, its source and its standing.

    A field of materials, adhesives and finishes; value and bounds in the field's SI unit.

    Examples
    --------
    >>> limp = mw.material("abs").limp
    >>> limp.low <= limp.value <= limp.high, limp.standing
    (True, 'published')
    """

    value: float
    """Most likely value. [SI]"""
    low: float
    """Least value met. [SI]"""
    high: float
    """Greatest value met. [SI]"""
    unit: str
    """SI unit, ``"1"`` for a pure number."""
    source: str
    """Key of the source, or several separated by commas."""
    standing: str
    """``"published"``, ``"common-practice"``, ``"remembered"``, ``"derived"``,
    ``"measured-by-shop"``, ``"user"`` or ``"invented"``."""
    note: str
    """Conditions, test standard, conflicts; may be empty."""
    origin: str
    """The file that a material's number came from."""


class Material(Record):
    """A material; each of its properties is an attribute, a :class:`Sourced`.

    Examples
    --------
    >>> pc = mw.material("polycarbonate")
    >>> round(pc.hdt_1820.value - 273.15), pc.hdt_1820.unit
    (134, 'K')
    """

    name: str
    """Canonical name."""
    about: str
    """What it is."""
    aliases: tuple[str, ...]
    """Other names of the trade."""
    role: str
    """``"sheet"``, ``"gasket"`` or ``"body"``."""
    structure: str
    """``"amorphous"``, ``"semicrystalline"``, ``"wood"`` or ``"metal"``."""
    foamed: bool
    """Whether it is a foam."""
    contains_pvc: bool
    """Whether it gives off hydrogen chloride when overheated."""
    hazards: Record | None
    """``fumes`` and ``cautions``."""
    stock: Record | None
    """``thicknesses_m``, ``sheets_m`` and ``tolerance``."""
    drying: Record | None
    """Whether and how it is dried before forming."""
    remarks: tuple[Record, ...]
    """Surprises, conflicts of sources and weak data."""
    origin: str
    """The file that it was first named in."""

    def __getattr__(self, name: str) -> Any:
        entries = {} if name == "_fields" else self._fields.get("entries", {})
        return Sourced(entries[name]) if name in entries else super().__getattr__(name)

    def __dir__(self) -> Iterator[str]:
        yield from super().__dir__()
        yield from self._fields["entries"]

    def __str__(self) -> str:
        rows = [
            (row["property"].replace("_", " "), row["shown"], row["standing"])
            for row in self._fields["rows"]
        ]
        hazards = self._fields["hazards"] or {"fumes": [], "cautions": []}
        told = [f"fumes: {', '.join(hazards['fumes'])}"] if hazards["fumes"] else []
        told += [f"caution: {text}" for text in hazards["cautions"]]
        told += [
            f"{remark['kind']}: {remark['about'].replace('_', ' ')}: {remark['text']}"
            for remark in self._fields["remarks"]
        ]
        return "\n".join([f"{self.name}: {self.about}", *_aligned(rows), *told])

    def _repr_html_(self) -> str:
        keys = ("shown", "standing", "source", "note")
        rows = [("property", *keys)] + [
            (row["property"].replace("_", " "), *(row[key] for key in keys))
            for row in self._fields["rows"]
        ]
        return _html_table(rows, caption=self.about)


class Materials(Record):
    """Some materials, in the order of their names: a sequence that prints as a table.

    Examples
    --------
    >>> pvc = mw.materials(contains_pvc=True)
    >>> len(pvc), pvc["rigid-pvc"].name
    (4, 'rigid-pvc')
    """

    materials: tuple[Material, ...]
    """The materials."""

    SHOWN: ClassVar = ("limp", "formable", "upper", "max_service", "youngs_modulus", "density")
    """The properties that it prints."""

    def __getattr__(self, name: str) -> Any:
        return tuple(self) if name == "materials" else super().__getattr__(name)

    def __len__(self) -> int:
        return len(self._fields["materials"])

    def __iter__(self) -> Iterator[Material]:
        return map(Material, self._fields["materials"])

    def __getitem__(self, which: int | str) -> Material:
        if isinstance(which, str):
            for fields in self._fields["materials"]:
                if fields["name"] == which:
                    return Material(fields)
            raise KeyError(which)
        return Material(self._fields["materials"][which])

    def _rows(self) -> list[tuple[str, ...]]:
        head = ("material", *(key.replace("_", " ") for key in self.SHOWN))
        body = []
        for fields in self._fields["materials"]:
            shown = {row["property"]: row["shown"] for row in fields["rows"]}
            body.append((fields["name"], *(shown.get(key, "–") for key in self.SHOWN)))
        return [head, *body]

    def __str__(self) -> str:
        return "\n".join(_aligned(self._rows()))

    def _repr_html_(self) -> str:
        return _html_table(self._rows(), caption="Materials")

    def to_columns(self, *, bounds: bool = False) -> dict[str, list[Any]]:
        """Give the numbers as columns that any data-frame library takes.

        Parameters
        ----------
        bounds : bool, default False
            Also ``_low``, ``_high`` and ``_standing`` of each property.

        Returns
        -------
        dict of str to list
            ``material``, then one column for each property with its SI unit in the name; ``None``
            where a material has no value.

        Examples
        --------
        >>> columns = mw.materials(role="sheet").to_columns()
        >>> columns["material"][0], round(columns["density_kg_m3"][0])
        ('abs', 1040)
        """
        materials = self._fields["materials"]
        names = {row["property"]: row["field"] for m in materials for row in m["rows"]}
        parts = {"value": "", "low": "_low", "high": "_high", "standing": "_standing"}
        columns: dict[str, list[Any]] = {"material": [m["name"] for m in materials]}
        for key, field in names.items():
            for part, ending in parts.items():
                if part == "value" or flag("bounds", bounds):
                    found = [m["entries"].get(key, {}).get(part) for m in materials]
                    columns[field + ending] = found
        return columns

    def to_frame(
        self, library: Literal["pandas", "polars"] | None = None, *, bounds: bool = False
    ) -> Any:
        """Give the numbers as a data frame, one row for each material.

        Parameters
        ----------
        library : {"pandas", "polars"}, optional
            Which to use; the first of the two that is installed if left out.
        bounds : bool, default False
            Also ``_low``, ``_high`` and ``_standing`` of each property.

        Returns
        -------
        pandas.DataFrame or polars.DataFrame
            With the names in the column ``material``; pandas has them as its index.

        Raises
        ------
        ImportError
            It is not installed: ``pip install 'mountwright[frames]'``.

        Examples
        --------
        >>> frame = mw.materials(role="sheet").to_frame("polars")
        >>> frame.filter(frame["hdt_1820_k"] > 400)["material"].to_list()
        ['pc']
        """
        name, module = _frames(library)
        columns = self.to_columns(bounds=bounds)
        frame = module.DataFrame(columns)
        return frame.set_index("material") if name == "pandas" else frame


class MaterialAt(Record):
    """A material at one temperature.

    From :func:`material_at`; what the catalogue says, interpolated to the temperature.

    Examples
    --------
    >>> warm = mw.material_at("abs", "80 °C")
    >>> round(warm.temperature_k, 2)
    353.15
    """

    material: str
    """Its name."""
    temperature_k: float
    """The temperature. [K]"""
    conductivity_w_m_k: float
    """Thermal conductivity. [W/m/K]"""
    heat_capacity_j_kg_k: float
    """Specific heat capacity, without any melting peak. [J/kg/K]"""
    modulus_pa: float | None
    """Short-time Young's modulus. [Pa]"""
    yield_strength_pa: float | None
    """Yield strength. [Pa]"""
    creep_modulus_pa: float | None
    """Modulus after 1000 h of creep. [Pa]"""
    notes: tuple[Record, ...]
    """Weak data and conflicts behind these numbers: ``about`` and ``text``."""


class Comparison(Record):
    """Materials side by side, in shop units; prints as a table.

    From :func:`compare_materials`: a row for each material, a column for each property.

    Examples
    --------
    >>> print(mw.compare_materials(["abs", "pc"], ["limp"]))
    material  limp
    abs       127 (127 to 130) °C
    pc        168 (163 to 170) °C
    """

    columns: tuple[str, ...]
    """The properties."""
    rows: tuple[Record, ...]
    """The materials, each with ``material`` and ``cells``."""

    def _rows(self) -> list[tuple[str, ...]]:
        head = ("material", *(key.replace("_", " ") for key in self._fields["columns"]))
        return [head, *((row["material"], *row["cells"]) for row in self._fields["rows"])]

    def __str__(self) -> str:
        return "\n".join(_aligned(self._rows()))

    def _repr_html_(self) -> str:
        return _html_table(self._rows(), caption="Materials")


def standing(name: str) -> str:
    """Tell a standing in words."""
    return "the user's" if name == "user" else name.replace("-", " ")


class Provenance(Record):
    """Where numbers come from: each with its range, source and standing; prints as a report.

    Examples
    --------
    >>> report = mw.material_provenance(["steel"])
    >>> print(str(report).splitlines()[0])
    8 numbers: 8 remembered
    """

    counts: Record
    """How many are ``published``, ``common-practice``, ``remembered``, ``derived``,
    ``measured-by-shop``, ``user`` (stated in the user's own file) and ``invented``."""
    entries: tuple[Record, ...]
    """The numbers: ``of``, ``name``, ``shown`` (for people), ``value``, ``low``, ``high``,
    ``unit``, ``source``, ``standing``, ``note`` and ``origin`` (the file; empty for a constant)."""

    def _counted(self) -> str:
        counts = self._fields["counts"]
        told = ", ".join(f"{n} {standing(name)}" for name, n in counts.items())
        return f"{len(self._fields['entries'])} numbers: {told}"

    def __str__(self) -> str:
        lines = [self._counted()]
        of = None
        for entry in self._fields["entries"]:
            if entry["of"] != of:
                of = entry["of"]
                lines += ["", of]
            name = entry["name"].removeprefix(f"{of}: ")
            lines.append(f"  {name}: {entry['shown']}  [{standing(entry['standing'])}]")
            lines.append(f"    {entry['source']}")
            if entry["note"]:
                lines.append(f"    {entry['note']}")
            if entry["origin"] not in ("", "standard catalogue"):
                lines.append(f"    from {entry['origin']}")
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        rows = [("number", "value and range", "standing", "source", "from")] + [
            (e["name"], e["shown"], standing(e["standing"]), e["source"], e["origin"])
            for e in self._fields["entries"]
        ]
        return _html_table(rows, caption=self._counted())


class Sheet(Record):
    """A sheet with what was measured on it in place of the catalogue's numbers.

    From :func:`measured_sheet`; what was not measured stays the catalogue's.

    Examples
    --------
    >>> sheet = mw.measured_sheet("abs", name="K7", thickness="3.1 mm")
    >>> sheet.thickness.standing
    'measured-by-shop'
    """

    material: Material
    """The material."""
    thickness: Sourced
    """Its thickness. [m]"""
    notes: tuple[Record, ...]
    """What the measurements say besides."""

    def __getattr__(self, name: str) -> Any:
        match name:
            case "material":
                return Material(self._fields["material"])
            case "thickness":
                return Sourced(self._fields["thickness"])
            case _:
                return super().__getattr__(name)


class Ranked(Record):
    """A material in its place in a ranking.

    One of :func:`rank_materials`, best first, with the reasons for its place.
    """

    material: str
    """Its name."""
    thickness_m: float | None
    """Thickness of the sheet, where several are compared. [m]"""
    supply: str
    """``"in the rack"``, ``"to order from the shop's list"``, ``"not in the rack: to buy"``; may be
    empty."""
    score_fraction: float
    """0 to 1; 0 where something stands against it."""
    against: tuple[str, ...]
    """Why it cannot be used; empty where it can."""
    reasons: tuple[Record, ...]
    """What counts for and against it, each with ``of``, ``points_fraction`` and ``text``."""


class Choice(Record):
    """The sheets that may serve for one part, best first; prints as a table.

    Examples
    --------
    >>> job, shop = mw.Job.read("demo-data/pillar-pods.toml"), mw.Shop.read("demo-data/shop.toml")
    >>> choice = mw.plan(job, shop=shop, draws=0).choices[0]
    >>> choice.part, choice.asked, choice.ranked[-1].score_fraction
    ('left pod', 'abs', 0.0)
    """

    part: str
    """The part."""
    asked: str
    """The material that the job asks for."""
    ranked: tuple[Ranked, ...]
    """The sheets, each with its reasons; where something stands against one, last."""

    def __getattr__(self, name: str) -> Any:
        if name == "ranked":
            return tuple(map(Ranked, self._fields[name]))
        return super().__getattr__(name)

    def _rows(self) -> list[tuple[str, ...]]:
        rows: list[tuple[str, ...]] = [("sheet", "thickness", "where", "points", "why")]
        for sheet in self._fields["ranked"]:
            thick = sheet["thickness_m"]
            why = sheet["against"] or [reason["text"] for reason in sheet["reasons"]]
            rows.append(
                (
                    sheet["material"],
                    "stacked" if thick is None else f"{thick * 1e3:.1f} mm",
                    sheet["supply"],
                    "–" if sheet["against"] else f"{100 * sheet['score_fraction']:.0f}",
                    "; ".join(why),
                )
            )
        return rows

    def __str__(self) -> str:
        # The reasons under each sheet: beside it they would not fit a terminal.
        rows = self._rows()
        told = [f"{self.part}: asked for {self.asked}"]
        for line, (*_, why) in zip(_aligned([row[:-1] for row in rows]), rows, strict=True):
            told.append(line)
            if why != "why":
                told += textwrap.wrap(why, 88, initial_indent="    ", subsequent_indent="    ")
        return "\n".join(told)

    def _repr_html_(self) -> str:
        return _html_table(self._rows(), caption=f"{self.part}: asked for {self.asked}")


class Openings(Record):
    """Which drivers fit a ring or panel.

    From :func:`openings`, for a ring or panel of a size; diameters in metres.

    Examples
    --------
    >>> found = mw.openings("expanded-pvc", width="186 mm", thickness="13 mm", screw="3.5 mm")
    >>> found.largest_cutout_m < 0.186
    True
    """

    largest_cutout_m: float
    """Largest round cutout that leaves the least web. [m]"""
    openings: tuple[Record, ...]
    """Round classes of drivers, largest first: ``driver``, ``cutout_m``,
    ``web_left_m``, ``screw_left_m`` and ``fits``."""


class PlaceAnswer(Record):
    """Whether anything may be planned for a place.

    From :func:`may_plan`; nothing is planned where an air bag is, or where nobody has looked.

    Examples
    --------
    >>> mw.may_plan("door", airbag="yes", driver_view="no").refused
    True
    """

    refused: bool
    """Whether nothing may be planned; False is no approval."""
    why: str
    """Why."""
    find_out: tuple[str, ...]
    """What to find out, and where."""
    consider_instead: tuple[str, ...]
    """Places to consider."""
    leave_as_it_is: tuple[str, ...]
    """What a mount in a door must leave as it is, and what to do with water."""


class ScrewHoles(Record):
    """Holes that a screw asks for in a sheet.

    From :func:`screw_holes`, for a screw in a sheet.

    Examples
    --------
    >>> holes = mw.screw_holes("abs", "4 mm")
    >>> holes.pilot_m < 0.004 < holes.clearance_m
    True
    """

    pilot_m: float
    """Pilot hole. [m]"""
    boss_m: float
    """Outside diameter of a boss round it. [m]"""
    engagement_m: float
    """Length of thread in plastic. [m]"""
    clearance_m: float
    """Clearance hole. [m]"""
    edge_m: float
    """Hole centre to the nearest edge, as a rule. [m]"""
    pitch_m: float
    """Hole to hole. [m]"""
    thread: str
    """What thread suits the sheet."""
    standing: str
    """Standing of the pilot's row."""


def _frames(library: str | None) -> tuple[str, Any]:
    """Import a data-frame library: the one named, or the first that is installed."""
    known = ("pandas", "polars")
    if library is not None and text("library", library) not in known:
        from mountwright.tables import unknown

        raise unknown("library of data frames", library, known)
    for name in [library] if library else known:
        try:
            return name, importlib.import_module(name)
        except ImportError:
            continue
    raise ImportError(
        f"a data frame needs {library or 'pandas or polars'}: pip install 'mountwright[frames]'"
    )


def _aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _html_table(rows: Sequence[Sequence[str]], *, caption: str) -> str:
    def line(row: Sequence[str], tag: str) -> str:
        cells = "".join(f"<{tag}>{html.escape(cell)}</{tag}>" for cell in row)
        return f"<tr>{cells}</tr>"

    body = "".join(line(row, "td") for row in rows[1:])
    return (
        f"<table><caption>{html.escape(caption)}</caption>"
        f"<thead>{line(rows[0], 'th')}</thead><tbody>{body}</tbody></table>"
    )


class WorkPlan(Record):
    """Tasks by the clock, and the time that can be promised.

    From :func:`promise`; clock times are ISO texts, spans seconds.

    Examples
    --------
    >>> work = mw.promise(
    ...     [{"name": "cut", "attended": "20 min"}],
    ...     hours={"monday": ["08:00-17:00"]},
    ...     start="2026-03-02T08:00",
    ... )
    >>> work.attended_s, work.ready
    (1200.0, '2026-03-02T08:20:00')
    """

    steps: tuple[Record, ...]
    """By start: ``name``, ``start``, ``hands_off``, ``done``, ``hands`` (which pair, if any),
    ``start_s`` and ``pieces_s`` (stretches of work, from the first midnight)."""
    ready: str
    """Everything is done."""
    hand_back: str
    """First open time from then on."""
    attended_s: float
    """Attended time of all tasks. [s]"""
    elapsed_s: float
    """From the start until everything is done. [s]"""
    bound: str
    """No order is done before this."""
    proved: bool
    """Whether no order is done earlier by more than a second."""
    promise: Record
    """``p50``, ``p80``, ``p90``: handed back by then in five, eight, nine jobs of ten;
    ``never_share``: share of the draws that never end."""
    fabricators: int
    """Pairs of hands in the shop."""
    open_s: tuple[tuple[float, float], ...]
    """Opening hours from the start to the hand-back, from the first midnight. [s]"""

    def draw(self) -> str:
        """Draw the days: a lane for each pair of hands, and below them what runs on alone.

        Returns
        -------
        str
            An SVG document; blocks bear the number of the step.

        Examples
        --------
        >>> day = {"monday": ["08:00-17:00"]}
        >>> cut = {"name": "cut", "attended": "20 min"}
        >>> mw.promise([cut], hours=day, start="2026-03-02T08:00").draw()[:4]
        '<svg'
        """
        # Loaded here: the import of the package must stay light.
        from mountwright.packet.lanes import lanes

        return lanes("work", self.to_dict() | {"entries": self.to_dict()["steps"]})

    def _repr_html_(self) -> str:
        return self.draw()


def _wrap(value: Any) -> Any:
    match value:
        case dict():
            return Record(value)
        case list():
            return tuple(_wrap(item) for item in value)
        case _:
            return value


def _hashable(value: Any) -> Any:
    """Give a stand-in that hashes alike for fields that are equal: 1 and 1.0, 0.0 and -0.0."""
    match value:
        case dict():
            return frozenset((name, _hashable(item)) for name, item in value.items())
        case list() | tuple():
            return tuple(_hashable(item) for item in value)
        case _:
            return value


def _short(value: Any) -> str:
    match value:
        case dict():
            return "{" + ", ".join(value) + "}"
        case list() if len(value) > 4 or any(_long(item) for item in value):
            return f"[{len(value)} items]"
        case str() if _long(value):
            return repr(value[:158] + "…")
        case float():
            return repr(float(f"{value:.6g}"))
        case _:
            return repr(value)


def _long(value: Any) -> bool:
    return isinstance(value, (dict, list)) or (isinstance(value, str) and len(value) > 160)
