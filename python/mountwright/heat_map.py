"""Working-range maps: where a sheet is too cold, workable, fuming or overheated."""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, Unpack

from mountwright import _core
from mountwright._core import HotAirGun
from mountwright.errors import KindError, ShapeError, UnitError
from mountwright.heat import Asked, _text, question
from mountwright.kinds import text
from mountwright.packet.words import sheet_name

if TYPE_CHECKING:
    import os

    import numpy as np
    from numpy.typing import NDArray

__all__ = ["WorkingRange", "distance_time_map", "setting_distance_map"]

Kind = Literal["distance-time", "setting-distance"]
Axis = str | Sequence[str]

KINDS: tuple[Kind, ...] = ("distance-time", "setting-distance")
MOST_POINTS = 2000

ZONES = ("too cold", "workable", "fumes", "overheated")


class WorkingRange:
    """A map of the working range of a sheet: arrays, and a picture of its own.

    Two maps are equal when their zones, axes and titles are.

    Parameters
    ----------
    kind : {"distance-time", "setting-distance"}
        What runs down and along.
    title : str
        What is heated, and how.
    rows, columns : array_like of float
        Distances [m] and times [s], or settings [K] and distances [m].
    zone : array_like of int, shape (rows, columns)
        0 too cold, 1 workable, 2 workable but a face gives off fumes, 3 overheated.
    notes : sequence of str
        What is to be known.

    Raises
    ------
    UnknownNameError
        No kind of map has that name.
    ShapeError
        Axes that are not rows of numbers, a zone of another shape or of other numbers.

    Examples
    --------
    >>> gun = mw.HotAirGun.two_setting("I")
    >>> m = mw.distance_time_map(
    ...     "expanded-pvc", thickness="3 mm", gun=gun, back="turned every 8 s", points=(20, 30)
    ... )
    >>> m.zone.shape, m.zones[m.zone[-1, 0]]
    ((20, 30), 'too cold')
    """

    __slots__ = ("_columns", "_rows", "_zone", "kind", "notes", "title")

    zones = ZONES
    """The zones in words, by their number."""

    kind: Kind
    title: str
    notes: tuple[str, ...]
    _rows: NDArray[np.float64]
    _columns: NDArray[np.float64]
    _zone: NDArray[np.uint8]

    def __init__(
        self,
        kind: Kind,
        title: str,
        rows: Any,
        columns: Any,
        zone: Any,
        notes: Sequence[str] = (),
    ) -> None:
        import numpy as np

        from mountwright.tables import unknown

        if text("kind", kind) not in KINDS:
            raise unknown("kind of map", kind, KINDS)
        down, along, found = _numbers("rows", rows), _numbers("columns", columns), np.asarray(zone)
        if found.shape != (down.size, along.size):
            raise _no_map("zone", f"of shape {found.shape}", f"shape {(down.size, along.size)}")
        if not np.isin(found, range(len(ZONES))).all():
            raise _no_map("zone", "of other numbers", f"0 to {len(ZONES) - 1}")
        fields = {
            "kind": kind,
            "title": text("title", title),
            "notes": tuple(text("a note", note) for note in notes),
            "_rows": down,
            "_columns": along,
            "_zone": found.astype(np.uint8),
        }
        for name, value in fields.items():
            if isinstance(value, np.ndarray):
                value.setflags(write=False)
            object.__setattr__(self, name, value)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("WorkingRange is frozen", name=name, obj=self)

    @property
    def zone(self) -> NDArray[np.uint8]:
        """Zone of each point, shape (rows, columns); ``zones`` has the words."""
        return self._zone

    @property
    def distance_m(self) -> NDArray[np.float64]:
        """Distances of the nozzle: the rows, or the columns of a map over settings, in metres."""
        return self._rows if self.kind == "distance-time" else self._columns

    @property
    def time_s(self) -> NDArray[np.float64] | None:
        """Times from the start of heat: the columns; None for a map over settings, in seconds."""
        return self._columns if self.kind == "distance-time" else None

    @property
    def setting_k(self) -> NDArray[np.float64] | None:
        """Settings of the gun: the rows; None for a map over times, in kelvin."""
        return None if self.kind == "distance-time" else self._rows

    def share(self) -> dict[str, float]:
        """Give the share of the map that each zone fills.

        Returns
        -------
        dict of str to float
            By the words of ``zones``.
        """
        return {word: float((self._zone == i).mean()) for i, word in enumerate(ZONES)}

    def to_dict(self) -> dict[str, Any]:
        """Copy the map into plain dicts, lists, strings and numbers.

        Returns
        -------
        dict
            Axes by their names, ``zone`` as lists, ``zones`` in words.
        """
        axes = {"distance_m": self.distance_m, "time_s": self.time_s, "setting_k": self.setting_k}
        return {
            "kind": self.kind,
            "title": self.title,
            **{name: axis.tolist() for name, axis in axes.items() if axis is not None},
            "zone": self._zone.tolist(),
            "zones": list(ZONES),
            "notes": list(self.notes),
        }

    def svg(self, *, units: Literal["metric", "inch"] = "metric") -> str:
        """Draw the map: colours that every kind of colour vision tells apart, and hatching.

        Parameters
        ----------
        units : {"metric", "inch"}, default "metric"
            Of the axes.

        Returns
        -------
        str
            An SVG document.
        """
        from mountwright.heat_draw import draw

        return draw(self, units)

    def write(
        self, path: str | os.PathLike[str], *, units: Literal["metric", "inch"] = "metric"
    ) -> Path:
        """Write the picture.

        Parameters
        ----------
        path : path-like
            An SVG file; one that is there is replaced.
        units : {"metric", "inch"}, default "metric"
            Of the axes.

        Returns
        -------
        Path
            The file.

        Raises
        ------
        OSError
            It cannot be written.
        """
        at = Path(path)
        at.write_text(self.svg(units=units), encoding="utf-8")
        return at

    def _repr_html_(self) -> str:
        return f"<div style='max-width:44em'>{self.svg()}</div>"

    def __repr__(self) -> str:
        parts = ", ".join(f"{word} {share:.0%}" for word, share in self.share().items() if share)
        return f"WorkingRange({self.title}; {parts})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, WorkingRange):
            return NotImplemented
        return self.to_dict() == other.to_dict()

    def __hash__(self) -> int:
        return hash((self.kind, self.title, self._zone.tobytes()))

    def __reduce__(self) -> tuple[Any, ...]:
        return WorkingRange, (
            self.kind,
            self.title,
            self._rows,
            self._columns,
            self._zone,
            self.notes,
        )


def distance_time_map(
    material: str,
    *,
    gun: HotAirGun,
    patch: str = "60 mm x 200 mm",
    distances: Axis = "30 mm to 300 mm",
    times: Axis = "0 s to 5 min",
    points: int | tuple[int, int] = 200,
    progress: Callable[[float], object] | None = None,
    **asked: Unpack[Asked],
) -> WorkingRange:
    """Map what a sheet is over distance and time of heat.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    gun : HotAirGun
        What heats it.
    patch : str, default "60 mm x 200 mm"
        Width and length of what is heated.
    distances : str or sequence of str, default "30 mm to 300 mm"
        From nozzle to sheet: a range, or each by itself.
    times : str or sequence of str, default "0 s to 5 min"
        From the start of heat.
    points : int or tuple of two ints, default 200
        Distances and times of a range, up to 2000 each.
    progress : callable, optional
        Called now and then, so that a notebook shows that it is alive.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    WorkingRange
        Distances down, times along.

    Raises
    ------
    UnitError
        A range is none.
    ShapeError
        None or more than 2000 points along a side.
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> gun = mw.HotAirGun("300 °C", "300 L/min")
    >>> m = mw.distance_time_map(
    ...     "abs", thickness="3 mm", gun=gun, back="turned every 8 s", points=(10, 40)
    ... )
    >>> bool((m.zone[:, 0] == 0).all())  # cold at the start
    True
    """
    down, along = _points(points)
    rows = _axis("distances", distances, "length", down)
    columns = _axis("times", times, "time", along)
    return _map("distance-time", material, gun, patch, rows, columns, progress, asked)


def setting_distance_map(
    material: str,
    *,
    gun: HotAirGun,
    patch: str = "60 mm x 200 mm",
    settings: Axis = "150 °C to 550 °C",
    distances: Axis = "30 mm to 300 mm",
    points: int | tuple[int, int] = 200,
    progress: Callable[[float], object] | None = None,
    **asked: Unpack[Asked],
) -> WorkingRange:
    """Map whether a sheet has a forming window over setting of the gun and distance.

    A point is workable where the sheet can be formed before any of it is too hot.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    gun : HotAirGun
        What heats it; its own setting is put aside.
    patch : str, default "60 mm x 200 mm"
        Width and length of what is heated.
    settings : str or sequence of str, default "150 °C to 550 °C"
        Air at the nozzle: a range, or each by itself.
    distances : str or sequence of str, default "30 mm to 300 mm"
        From nozzle to sheet.
    points : int or tuple of two ints, default 200
        Settings and distances of a range, up to 2000 each.
    progress : callable, optional
        Called now and then, so that a notebook shows that it is alive.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    WorkingRange
        Settings down, distances along.

    Raises
    ------
    UnitError
        A range is none.
    ShapeError
        None or more than 2000 points along a side.
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> gun = mw.HotAirGun("300 °C", "300 L/min")
    >>> m = mw.setting_distance_map(
    ...     "abs", thickness="3 mm", gun=gun, back="turned every 8 s", points=(6, 5)
    ... )
    >>> m.setting_k.shape, m.distance_m.shape
    ((6,), (5,))
    """
    down, along = _points(points)
    rows = _axis("settings", settings, "temperature", down)
    columns = _axis("distances", distances, "length", along)
    return _map("setting-distance", material, gun, patch, rows, columns, progress, asked)


def _no_map(what: str, given: str, allowed: str) -> ShapeError:
    return ShapeError(f"{what} is {given}, allowed is {allowed}", what, given, allowed)


def _numbers(what: str, given: Any) -> NDArray[np.float64]:
    import numpy as np

    try:
        row = np.array(given, dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as unread:
        raise KindError.of(what, given, "a row of numbers") from unread
    if row.ndim != 1 or not row.size or not np.isfinite(row).all():
        raise _no_map(what, " ".join(repr(given).split())[:60], "one row of numbers")
    return row


def _points(points: int | tuple[int, int]) -> tuple[int, int]:
    allowed = f"a whole number from 1 to {MOST_POINTS}, or two of them"
    try:
        down, along = (points, points) if isinstance(points, int) else points
        two = operator.index(down), operator.index(along)
    except (TypeError, ValueError):
        raise KindError.of("points", points, allowed) from None
    if not all(1 <= many <= MOST_POINTS for many in two) or isinstance(points, bool):
        raise _no_map("points", repr(points)[:60], allowed)
    return two


def _axis(what: str, given: Axis, dimension: Any, points: int) -> NDArray[np.float64]:
    import numpy as np

    if not isinstance(given, str):
        if not isinstance(given, Sequence) or isinstance(given, bytes):
            raise KindError.of(what, given, 'a range such as "30 mm to 300 mm", or a list of texts')
        return _core.quantities(list(given), dimension, what=what)
    low, to, high = given.partition(" to ")
    if not to:
        expected = 'a range such as "30 mm to 300 mm"'
        raise UnitError(
            f'{what} is "{given}", expected {expected}: write two quantities with " to " between',
            what,
            given,
            expected,
            'write two quantities with " to " between',
        )
    first, last = _core.quantities([low, high], dimension, what=what)
    return np.linspace(first, last, points)


def _map(
    kind: Kind,
    material: str,
    gun: HotAirGun,
    patch: str,
    rows: NDArray[np.float64],
    columns: NDArray[np.float64],
    progress: Callable[[float], object] | None,
    asked: Asked,
) -> WorkingRange:
    words = question(material, **_text(asked))
    zone = _core._working_range(kind, words, gun, patch, rows, columns, progress=progress)
    distances = rows if kind == "distance-time" else columns
    notes: dict[str, None] = {}
    for metres in (distances.min(), distances.max()):
        for note in gun.at(f"{metres} m", patch).notes:
            if note.about != "hot-air gun":
                notes[f"{note.about}: {note.text}"] = None
    told = _core.material_notes(material, thickness=str(words["thickness"]), file=words["file"])
    for note in told:
        notes[f"{note.about}: {note.text}"] = None
    back = {"open": "its back in open air", "board": "on a board", "same heat": "both faces"}
    about = "limp" if words["need"] == "limp" else "formable"
    name = _core.material(material, file=words["file"]).name
    title = (
        f"{words['thickness']} {sheet_name(name)}, {about}, under a hot-air gun, "
        f"{back.get(str(words['back']), words['back'])}"
    )
    return WorkingRange(kind, title, rows, columns, zone, list(notes))
