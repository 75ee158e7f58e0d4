"""The shop's memory: its rack, patterns, trials and jobs, in one file."""

from __future__ import annotations

import datetime
import json
import math
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from mountwright import _core, kinds
from mountwright.errors import (
    KindError,
    MountwrightError,
    OutOfRangeError,
    ShapeError,
    UnitError,
    UnknownNameError,
)
from mountwright.kinds import mapping, plain, text
from mountwright.records import Record, _aligned, _frames, _html_table

if TYPE_CHECKING:
    from mountwright.plan import Job, Plan, Shop

__all__ = ["Accepted", "Covered", "Memory", "Table"]

_SEASONS = ("spring", "summer", "autumn", "winter")
_STATES = ("quoted", "accepted", "done")

StrPath = str | os.PathLike[str]
Day = str | datetime.date


class Table(Record):
    """Rows under named columns; prints as a table.

    Iterates over its rows, each a :class:`Record`. Units stand in the columns' names.

    Examples
    --------
    >>> old = mw.Table({"title": "Rack", "columns": ["name"], "rows": [{"name": "A-1"}]})
    >>> [row.name for row in old], len(old)
    (['A-1'], 1)
    """

    title: str
    """What it tells."""
    columns: tuple[str, ...]
    """Names of the columns that it prints; a row may have more."""
    rows: tuple[Record, ...]
    """The rows."""

    def __len__(self) -> int:
        return len(self._fields["rows"])

    def __iter__(self) -> Iterator[Record]:
        return map(Record, self._fields["rows"])

    def __getitem__(self, at: int) -> Record:
        return Record(self._fields["rows"][at])

    def _rows(self) -> list[tuple[str, ...]]:
        columns = self._fields["columns"]
        head = tuple(name.replace("_", " ") for name in columns)
        return [
            head,
            *(
                tuple(_cell(row.get(name), name) for name in columns)
                for row in self._fields["rows"]
            ),
        ]

    def __str__(self) -> str:
        if not len(self):
            return f"{self._fields['title']}: none"
        note = self._fields.get("note")
        table = [self._fields["title"], *_aligned(self._rows())]
        return "\n".join([*table, *([f"({note})"] if note else [])])

    def _repr_html_(self) -> str:
        return _html_table(self._rows(), caption=self._fields["title"])

    def to_columns(self) -> dict[str, list[Any]]:
        """Give the rows as columns that any data-frame library takes.

        Returns
        -------
        dict of str to list
            ``None`` where a row has no value.

        Examples
        --------
        >>> mw.Table({"title": "", "columns": ["a"], "rows": [{"a": 1}, {"a": None}]}).to_columns()
        {'a': [1, None]}
        """
        rows = self._fields["rows"]
        return {name: [row.get(name) for row in rows] for name in self._fields["columns"]}

    def to_frame(self, library: Literal["pandas", "polars"] | None = None) -> Any:
        """Give the rows as a data frame.

        Parameters
        ----------
        library : {"pandas", "polars"}, optional
            Which to use; the first of the two that is installed if left out.

        Returns
        -------
        pandas.DataFrame or polars.DataFrame
            With the columns of the table.

        Raises
        ------
        ImportError
            It is not installed: ``pip install 'mountwright[frames]'``.

        Examples
        --------
        >>> mw.Table({"title": "", "columns": ["a"], "rows": [{"a": 1}]}).to_frame("polars").shape
        (1, 1)
        """
        return _frames(library)[1].DataFrame(self.to_columns())


MONEY = re.compile(r"(?:^|_)(?:net|gross|tax|cost|price|left_over)(?:_|$)")
"""Columns of money, of which cents are kept."""


def _cell(value: Any, column: str = "") -> str:
    match value:
        case float() if MONEY.search(column):
            return f"{value:.2f}"
        case None:
            return "–"
        case float():
            return f"{value:.4g}" if abs(value) < 1000 else f"{value:.1f}"
        case list() if value and all(isinstance(v, float) for v in value):
            low, middle, high = (f"{v:.2f}" for v in value)
            return f"{middle} ({low} to {high})"
        case _:
            return str(value)


class Accepted(Record):
    """What accepting a plan did.

    From :meth:`Memory.accept`; :class:`Memory` shows one.
    """

    job: str
    """The job."""
    offcuts_taken: tuple[str, ...]
    """Offcuts taken from the rack."""
    sheets_taken: tuple[tuple[str, int], ...]
    """Whole sheets taken from the rack, and how many."""
    order: tuple[Record, ...]
    """Sheet that must be ordered: ``name``, ``count``, ``merchant``, ``days_to_arrive``."""
    ordered_before: tuple[tuple[str, str], ...]
    """Sheets to be ordered that an accepted job orders already, each with that job."""
    kept: tuple[Record, ...]
    """Offcuts that the job leaves, as they go into the rack: ``name``, ``material`` and more."""

    def __str__(self) -> str:
        lines = [f"accepted  {self.job}"]
        lines += [f"{'take':<10}{count} × {name}" for name, count in self.sheets_taken]
        lines += [f"{'take':<10}offcut {name}" for name in self.offcuts_taken]
        for sheet in self.order:
            days = (
                f"{sheet.days_to_arrive:.0f} working days"
                if sheet.days_to_arrive
                else "the same day"
            )
            source = f" from {sheet.merchant}" if sheet.merchant else ""
            words = f"{sheet.count} × {sheet.name}{source}, {days}"
            lines.append(f"{'order':<10}{words}")
        for ordered, made_for in self.ordered_before:
            words = (
                f"{ordered} is on order for {made_for} already: what that leaves may do, plan later"
            )
            lines.append(f"{'look':<10}{words}")
        for piece in self.kept:
            form = _form(piece.width_m, piece.height_m, piece.area_m2)
            size = f"{piece.width_m * 1e3:.0f} x {piece.height_m * 1e3:.0f} mm"
            if form == "disc":
                size = f"disc of {piece.width_m * 1e3:.0f} mm"
            lines.append(f"{'keep':<10}{piece.name}: {piece.material}, {size}")
        return "\n".join(lines)


class Covered(Record):
    """Which tasks of a job the minutes of a name were noted for.

    Examples
    --------
    >>> tasks, rest = ["left pod / cut"], ["set up: cutting"]
    >>> print(mw.Covered({"work": "cut", "tasks": tasks, "left_out": rest}))
    cut: left pod / cut; without set up: cutting
    >>> print(mw.Covered({"work": "cutting", "tasks": tasks + rest, "left_out": []}))
    cutting: all of it, 2 tasks
    """

    work: str
    """The name, as it was given."""
    tasks: tuple[str, ...]
    """Its tasks."""
    left_out: tuple[str, ...]
    """Tasks of the same kind of work that it leaves out."""

    def __str__(self) -> str:
        if self.left_out:
            return f"{self.work}: {', '.join(self.tasks)}; without {', '.join(self.left_out)}"
        count = len(self.tasks)
        return f"{self.work}: all of it, {count} {'task' if count == 1 else 'tasks'}"


_QUESTIONS: dict[str, str] = {
    "cost": "cost",
    "underestimated": "underestimated",
    "old offcuts": "old-offcuts",
    "comebacks": "comebacks",
    "used": "used",
}
_LIMITS = {"cost": ("kind", "since", "until"), "old offcuts": ("before",)}


class Memory:
    """The memory of a shop: one file that is made when it is first written.

    ``shop.memory`` gives it. It remembers sheets and offcuts, what was made for which vehicle,
    trials of the gun, and jobs; plans made with its shop see all of it. Every change is whole or
    not there, also where two programs use it at once or one is killed. To back it up, copy the
    file. It holds no personal data and needs none.

    Parameters
    ----------
    path : path-like
        The file.
    shop : Shop
        Whose memory it is.

    Examples
    --------
    >>> import tempfile
    >>> file = tempfile.mkdtemp() + "/shop.db"
    >>> shop = mw.Shop.read("demo-data/shop.toml", memory=file)
    >>> plan = mw.plan(mw.Job.read("demo-data/pillar-pods.toml"), shop=shop, draws=0)
    >>> memory = shop.memory
    >>> memory.quote(plan, on="2026-11-25")
    >>> done = memory.accept(plan, on="2026-11-26")
    >>> memory.jobs()[0].state, done.offcuts_taken, [piece.name for piece in done.kept]
    ('accepted', ('A-17',), ['K-001'])

    The offcut that was kept has a label to print, and the next plan may take it. Once the job is
    done, what it took moves the next estimate, and its parts are patterns:

    >>> label, job = memory.labels().pdf(), memory.jobs()[0].name
    >>> minutes = {work: 1.2 * planned for work, planned in memory.planned_minutes(job).items()}
    >>> noted = memory.close(
    ...     job, minutes=minutes, heats=2, spoiled=0, hangs={"left pod": "nail 3"}, on="2026-12-03"
    ... )
    >>> other = memory.again("left pod", start="2026-12-10 08:30", other_side=True)
    >>> [pattern.part for pattern in memory.patterns()]
    ['left pod', 'right pod']
    >>> memory.came_back(job, "rattles", "left pillar", on="2027-01-10")
    >>> memory.ask("comebacks")[0].season
    'winter'

    All of it as plain files, and back into an empty memory:

    >>> folder = tempfile.mkdtemp()
    >>> files = memory.export(folder)
    >>> copy = mw.Shop.read("demo-data/shop.toml", memory=file + "-copy")
    >>> copy.memory.load(folder)
    >>> copy.memory.jobs() == memory.jobs()
    True
    """

    __slots__ = ("path", "shop")
    path: str
    """The file."""
    shop: Shop
    """Whose memory it is."""

    def __init__(self, path: StrPath, shop: Shop) -> None:
        self.path = kinds.path("path", path)
        self.shop = shop

    def __repr__(self) -> str:
        return f"Memory({self.path!r}, {self.shop!r})"

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return (self.path, self.shop) == (other.path, other.shop)

    def __hash__(self) -> int:
        return hash((self.path, self.shop))

    def _ask(self, do: str, /, **more: Any) -> Any:
        request = json.dumps({"do": do} | {name: plain(name, one) for name, one in more.items()})
        try:
            answer = _core._memory(self.path, self.shop.text, self.shop.path, request)
        except MountwrightError:
            raise
        except ValueError as unread:
            # The request's own reader knows the kinds, and not the argument's name.
            raise _unread(more, str(unread)) from None
        return json.loads(answer)

    def quote(self, plan: Plan, *, on: Day | None = None) -> None:
        """Remember that a plan was quoted; the customer has not said yes.

        Parameters
        ----------
        plan : Plan
            As it was made.
        on : str or date, optional
            The day; today if left out.

        Raises
        ------
        MemoryFileError
            The job was accepted already, or the file cannot be written.
        """
        self._ask("quote", plan=_plan(plan), on=_day(on))

    def accept(self, plan: Plan, *, on: Day | None = None) -> Accepted:
        """Accept a plan: its stock leaves the rack, the offcuts that it keeps go in.

        Parameters
        ----------
        plan : Plan
            As it was made.
        on : str or date, optional
            The day; today if left out.

        Returns
        -------
        Accepted
            What was taken, and what is kept under which name; see :meth:`labels`.

        Raises
        ------
        MemoryFileError
            The job was accepted already, stock that it takes is no longer in the rack or is another
            than was planned, or the file cannot be written; nothing is changed then.
        ImpossibleError
            A part is not to be made as it is planned: it fails a check, or has no forming window.
            Mend the job and plan it once more; nothing is changed.
        """
        return Accepted(self._ask("accept", plan=_plan(plan), on=_day(on)))

    def undo(self, job: str, *, start: str | None = None) -> None:
        """Take the acceptance of a job back, as if it had never been.

        Parameters
        ----------
        job : str
            Its name.
        start : str, optional
            When it starts, where several have that name.

        Raises
        ------
        ImpossibleError
            It is done, or was never accepted.
        MemoryFileError
            Another job uses what it left.
        UnknownNameError
            There is no such job.
        """
        self._ask("undo", job=job, start=start)

    def planned_minutes(self, job: str, *, start: str | None = None) -> dict[str, float]:
        """Tell the planned minutes of a job by kind of work: what :meth:`close` asks for.

        They are means, which the price rests on: times are rather exceeded than undercut, and what
        comes out wrong is done over.

        Parameters
        ----------
        job : str
            Its name.
        start : str, optional
            When it starts, where several have that name.

        Returns
        -------
        dict of str to float
            In the order of the work.

        Raises
        ------
        UnknownNameError
            There is no such job.
        """
        return dict(self._ask("planned-minutes", job=job, start=start))

    def close(
        self,
        job: str,
        *,
        start: str | None = None,
        minutes: Mapping[str, float] | None = None,
        heats: int | None = None,
        spoiled: int | None = None,
        glue: str | None = None,
        more_cost: float | None = None,
        remarks: str | None = None,
        edits: Mapping[str, Mapping[str, str]] | None = None,
        hangs: Mapping[str, str] | None = None,
        spares: Mapping[str, int] | None = None,
        on: Day | None = None,
    ) -> tuple[Covered, ...]:
        """Close a job: what it took moves the next estimate, what was made becomes a pattern.

        What was not counted is left out. Closing it once more replaces only what is given then:
        what was noted before and is left out stays.

        Parameters
        ----------
        job : str
            Its name.
        start : str, optional
            When it starts, where several have that name.
        minutes : mapping of str to float, optional
            Attended minutes by kind of work (``"cutting"``), by a piece of it over all parts
            (``"lay the film"``) or by task (``"left pod / cut"``). A kind of work goes before tasks
            of that name. Given again, they replace those of the same tasks.
        heats, spoiled : int, optional
            Times that a part was heated to be formed, and how many of those came out wrong: at
            least one that came out right for each formed part, at most 20 for each. With
            ``spoiled`` alone each formed part counts as heated once, each spoiled one once more.
        glue : str, optional
            Glue used: ``"12 mL"``.
        more_cost : float, optional
            What it cost beyond the plan, beside hours, in the shop's currency. The planned cost
            holds the blanks that are usually lost: of sheet bought once more, what goes beyond.
        remarks : str, optional
            Anything else.
        edits : mapping of str to mapping, optional
            What the trial fit showed, by part: ``{"left pod": {"front_cut": "3 mm"}}``.
        hangs : mapping of str to str, optional
            Where the template of a part hangs.
        spares : mapping of str to int, optional
            Spares made for next time, by part.
        on : str or date, optional
            The day on which it was done; that of the first closing if left out.

        Returns
        -------
        tuple of Covered
            Which tasks the minutes of each name were noted for.

        Raises
        ------
        UnknownNameError
            There is no such job, work or part.
        OutOfRangeError
            Counts that cannot be.
        ShapeError
            Work is noted twice, or is a piece of work that was noted as a whole; heats of a job of
            which nothing is formed hot; a day before it was accepted; what is no number.
        JobError
            A part does not take an edit.
        ImpossibleError
            The job was not accepted.
        MemoryFileError
            The file cannot be written.
        """
        closing = {
            "minutes": [
                [name, _number(f"minutes of {name}", m, 0.1, 1e4, "min")]
                for name, m in mapping("minutes", minutes).items()
            ],
            "heats": _whole("heats", heats, 1000),
            "spoiled": _whole("spoiled", spoiled, 1000),
            "more_cost": _number("more_cost", more_cost, -1e9, 1e9),
            "remarks": _text("remarks", remarks),
            "edits": [
                [part, key, _text(f"edit of {part}, {key}", value)]
                for part, keys in mapping("edits", edits).items()
                for key, value in mapping(f"edits of {part}", keys).items()
            ],
            "hangs": [
                [part, _text(f"where {part} hangs", where)]
                for part, where in mapping("hangs", hangs).items()
            ],
            "spares": [
                [part, _whole(f"spares of {part}", count, 1000)]
                for part, count in mapping("spares", spares).items()
            ],
            "done_on": _day(on) if on is not None else None,
        }
        glue = _text("glue", glue)
        noted = self._ask("close", job=job, start=start, closing=closing, glue=glue, on=_day(None))
        return tuple(map(Covered, noted))

    def came_back(
        self,
        job: str,
        what: str,
        where: str,
        *,
        start: str | None = None,
        season: Literal["spring", "summer", "autumn", "winter"] | None = None,
        remarks: str | None = None,
        on: Day | None = None,
    ) -> None:
        """Remember that a done job came back.

        Parameters
        ----------
        job : str
            Its name.
        what, where : str
            What failed, and where: ``"glue let go"``, ``"left pillar"``.
        start : str, optional
            When it started, where several have that name.
        season : {"spring", "summer", "autumn", "winter"}, optional
            That of the day, north of the equator, if left out.
        remarks : str, optional
            Anything else.
        on : str or date, optional
            The day; today if left out.

        Raises
        ------
        ImpossibleError
            The job is not done.
        ShapeError
            A day before the job was done.
        UnknownNameError
            There is no such job or season.
        """
        known = None if season is None else _one_of("season", season, _SEASONS)
        self._ask(
            "came-back",
            job=job,
            start=start,
            on=_day(on),
            season=known,
            what=what,
            place=where,
            remarks=remarks,
        )

    def forget_comeback(self, job: str, *, start: str | None = None) -> None:
        """Forget the comeback of a job that was noted last: it was noted by mistake.

        Parameters
        ----------
        job : str
            Its name.
        start : str, optional
            When it started, where several have that name.

        Raises
        ------
        ImpossibleError
            None is noted.
        UnknownNameError
            There is no such job.
        """
        self._ask("forget-comeback", job=job, start=start)

    def jobs(self, state: Literal["quoted", "accepted", "done"] | None = None) -> Table:
        """List the jobs, the latest first.

        Parameters
        ----------
        state : {"quoted", "accepted", "done"}, optional
            Only those.

        Returns
        -------
        Table
            ``name``, ``vehicle``, ``start``, ``state``, ``kinds``, ``net_price``, ``currency``,
            ``on``.

        Raises
        ------
        UnknownNameError
            There is no such state.
        """
        known = None if state is None else _one_of("state of a job", state, _STATES)
        columns = ["name", "vehicle", "start", "state", "kinds", "net_price", "currency", "on"]
        return _table("Jobs", columns, self._ask("jobs", state=known))

    def rack(self) -> Table:
        """List the offcuts in the rack: the memory's, and those of the shop's file not yet seen.

        Returns
        -------
        Table
            Columns ``name``, ``material``, ``thickness_mm``, ``width_mm``, ``height_mm``, ``form``
            (``rectangle``, ``disc`` or ``other``), ``lot``, ``place``, ``since``, ``from_job``;
            each row also has the sizes in SI, ``area_m2``, ``sheet``, ``photo``, ``worth`` and
            ``outline``. ``since`` is ``None`` where only the shop's file tells of it.
        """
        columns = [
            "name",
            "material",
            "thickness_mm",
            "width_mm",
            "height_mm",
            "form",
            "lot",
            "place",
            "since",
            "from_job",
        ]
        rows = self._ask("rack")
        for row in rows:
            _in_mm(row, "thickness", "width", "height")
            row["form"] = _form(row["width_m"], row["height_m"], row["area_m2"])
        return _table("Offcuts in the rack", columns, rows)

    def sheets(self) -> Table:
        """List the whole sheets in the rack: counted, or as the shop's file has them.

        Returns
        -------
        Table
            ``name``, ``on_hand``, ``lot``, ``thickness_mm`` (measured), ``place``, ``photo``,
            ``since``.
        """
        columns = ["name", "on_hand", "lot", "thickness_mm", "place", "photo", "since"]
        rows = self._ask("sheets")
        for row in rows:
            _in_mm(row, "thickness")
        return _table("Whole sheets in the rack", columns, rows)

    def put(
        self,
        material: str,
        thickness: str,
        width: str | None = None,
        height: str | None = None,
        *,
        name: str | None = None,
        outline_file: StrPath | None = None,
        lot: str | None = None,
        sheet: str | None = None,
        place: str | None = None,
        photo: str | None = None,
        on: Day | None = None,
    ) -> str:
        """Put an offcut into the rack.

        Parameters
        ----------
        material : str
            By the catalogue's name, or as the shop's file calls a sheet of its own.
        thickness : str
            Measured: ``"3.1 mm"``.
        width, height : str, optional
            Of a rectangle.
        name : str, optional
            What is written on it; the next free name if left out.
        outline_file : path-like, optional
            A drawing of another outline, .dxf or .svg.
        lot, sheet : str, optional
            Lot and name of the sheet that it was cut from.
        place, photo : str, optional
            Where it stands, and a photo of it.
        on : str or date, optional
            The day; today if left out.

        Returns
        -------
        str
            Its name.

        Raises
        ------
        ShapeError
            A faulty outline, or a name that was given before.
        UnknownNameError
            A material that neither the catalogue has nor a sheet of the shop bears.
        OutOfRangeError, UnitError
            A size or a thickness that cannot be.
        """
        piece = {
            "name": name,
            "material": _text("material", material),
            "thickness": _text("thickness", thickness),
            "width": _text("width", width),
            "height": _text("height", height),
            "outline_file": os.fspath(outline_file) if outline_file else None,
            "lot": _text("lot", lot),
            "sheet": sheet,
            "place": place,
            "photo": photo,
        }
        given: str = self._ask("put", piece=piece, on=_day(on))
        return given

    def scrap(self, name: str) -> None:
        """Take an offcut out of the rack that is broken, lost or thrown away.

        Parameters
        ----------
        name : str
            What is written on it.

        Raises
        ------
        UnknownNameError
            None of that name is in the rack.
        """
        self._ask("scrap", name=name, on=_day(None))

    def stand(self, name: str, *, place: str | None = None, photo: str | None = None) -> None:
        """Say where an offcut stands and which photo shows it.

        Parameters
        ----------
        name : str
            What is written on it.
        place, photo : str, optional
            What is left out stays.

        Raises
        ------
        UnknownNameError
            None of that name is in the rack.
        """
        self._ask("stand", name=name, place=place, photo=photo, on=_day(None))

    def count(
        self,
        sheet: str,
        on_hand: int,
        *,
        lot: str | None = None,
        thickness: str | None = None,
        place: str | None = None,
        photo: str | None = None,
        on: Day | None = None,
    ) -> None:
        """Say how many whole sheets of a name stand in the rack.

        Parameters
        ----------
        sheet : str
            Its name in the shop's file.
        on_hand : int
            How many.
        lot, thickness, place, photo : str, optional
            What is known of them; what is left out stays.
        on : str or date, optional
            The day; today if left out.

        Raises
        ------
        UnknownNameError
            The shop's file has no sheet of that name.
        OutOfRangeError, UnitError
            A count or a thickness that cannot be.
        """
        self._ask(
            "count",
            name=sheet,
            on_hand=_whole("on_hand", on_hand, 10_000),
            lot=_text("lot", lot),
            thickness=_text("thickness", thickness),
            place=place,
            photo=photo,
            on=_day(on),
        )

    def labels(self, names: Iterable[str] = ()) -> _core.Drawing:
        """Draw the labels of offcuts, to print, cut apart and stick on.

        Parameters
        ----------
        names : iterable of str, optional
            Those; all that :meth:`rack` lists if left out.

        Returns
        -------
        Drawing
            ``.pdf(page="a4")`` gives it for the printer.

        Raises
        ------
        UnknownNameError
            None of a name is in the rack.
        """
        if not isinstance(names, Iterable):
            raise KindError.of("names", names, "a name, or a list of names")
        wanted = [names] if isinstance(names, str) else list(names)
        return _core._labels(self.path, self.shop.text, self.shop.path, wanted)

    def patterns(self, vehicle: str | None = None) -> Table:
        """List what was made and worked.

        Parameters
        ----------
        vehicle : str, optional
            Only for this vehicle, in the shop's own words.

        Returns
        -------
        Table
            Each row has ``vehicle``, ``part``, ``place``, ``hand``, ``kind``, ``made_on``,
            ``hangs``, ``spares``, ``edits``, and ``keys``, ``outline`` and ``recipe``.
        """
        columns = ["vehicle", "part", "place", "hand", "made_on", "hangs", "spares", "edits"]
        return _table("Patterns", columns, self._ask("patterns", vehicle=vehicle))

    def tend(
        self,
        part: str,
        *,
        vehicle: str | None = None,
        hangs: str | None = None,
        spares: int | None = None,
    ) -> None:
        """Say where a template hangs now, and how many spares lie ready.

        Parameters
        ----------
        part : str
            As the pattern calls it.
        vehicle : str, optional
            Where several have a part of that name.
        hangs : str, optional
            Empty where it is lost; what is left out stays.
        spares : int, optional
            What is left out stays.

        Raises
        ------
        UnknownNameError
            There is no such pattern.
        """
        count = _whole("spares", spares, 1000)
        hangs = _text("hangs", hangs)
        self._ask("tend", part=part, vehicle=vehicle, hangs=hangs, spares=count)

    def again(
        self,
        part: str,
        *,
        start: str,
        vehicle: str | None = None,
        other_side: bool = False,
        place: str | None = None,
        looked: bool = False,
    ) -> Job:
        """Make a part once more: the same as last time, or its mirror for the other side.

        Parameters
        ----------
        part : str
            As the pattern calls it.
        start : str
            When work can start: ``"2026-12-01 08:30"``.
        vehicle : str, optional
            Where several have a part of that name.
        other_side : bool, default False
            For the other side of the vehicle. Sides are rarely alike: measure it.
        place : str, optional
            The place there; that of the first with left and right changed over if left out.
        looked : bool, default False
            Somebody has looked there: no air bag, nothing in the driver's view. Where nobody has,
            nothing is planned.

        Returns
        -------
        Job
            To be planned; its ``text`` is a job file.

        Raises
        ------
        UnknownNameError
            There is no such pattern.
        ImpossibleError
            The part is traced, or of neither hand.
        ShapeError
            A place, or that somebody has looked, but not the other side: on its own side the part
            goes where it was.
        """
        from mountwright.plan import Job

        text = self._ask(
            "again",
            part=part,
            vehicle=vehicle,
            other_side=other_side,
            place=place,
            looked=looked,
            start=start,
        )
        return Job.from_text(text, path=f"{part}, again")

    def tried(
        self,
        material: str,
        thickness: str,
        distance: str,
        limp_after: str,
        *,
        turn_every: str | None = None,
        width: str | None = None,
        length: str | None = None,
        air: str | None = None,
        gun: str | None = None,
        on: Day | None = None,
    ) -> None:
        """Remember a timed trial of the gun; plans with that gun use it.

        Parameters
        ----------
        material : str
            Of the piece, by the catalogue's name, or as the shop's file calls a sheet of its own.
        thickness, distance : str
            Its thickness, and from the nozzle to it.
        limp_after : str
            From the start of heat until it bent under its own weight: ``"92 s"``.
        turn_every : str, optional
            How often it was turned over; heated from one face only if left out.
        width, length : str, optional
            Of the heated patch; 50 mm by 100 mm if left out.
        air : str, optional
            Of the shop.
        gun : str, optional
            That of the shop's file if left out.
        on : str or date, optional
            The day; today if left out.

        Raises
        ------
        OutOfRangeError, UnitError
            Sizes and times that cannot be, also for a gun such as the shop's.
        ImpossibleError
            Such a gun never softens the piece.
        UnknownNameError
            A material that neither the catalogue has nor a sheet of the shop bears.
        """
        trial = {
            "gun": gun,
            "material": _text("material", material),
            "thickness": _text("thickness", thickness),
            "width": _text("width", width),
            "length": _text("length", length),
            "distance": _text("distance", distance),
            "turn_every": _text("turn_every", turn_every),
            "limp_after": _text("limp_after", limp_after),
            "air": _text("air", air),
        }
        self._ask("tried", trial=trial, on=_day(on))

    def forget_trial(self, number: int) -> None:
        """Forget a trial that was entered by mistake.

        Parameters
        ----------
        number : int
            As :meth:`trials` has it.

        Raises
        ------
        UnknownNameError
            There is none of that number.
        """
        self._ask("forget-trial", number=_whole("number", number, 2**53))

    def trials(self, gun: str | None = None) -> Table:
        """List the trials of one gun or of all.

        Parameters
        ----------
        gun : str, optional
            Its name.

        Returns
        -------
        Table
            ``number``, ``gun``, ``on``, ``material``, ``thickness_mm``, ``width_mm``,
            ``length_mm``, ``turn_every_s`` (none where one face was heated), ``distance_mm``,
            ``limp_after_s``; each row also has what else was told, in SI.
        """
        columns = ["number", "gun", "on", "material", "thickness_mm", "width_mm", "length_mm"]
        columns += ["turn_every_s", "distance_mm", "limp_after_s"]
        rows = self._ask("trials", gun=gun)
        for row in rows:
            _in_mm(row, "thickness", "width", "length", "distance")
        table = _table("Trials", columns, rows)
        note = (
            "a piece without a size is 50 mm by 100 mm; without turns it was heated from one face"
        )
        return Table(table.to_dict() | {"note": note})

    def taught(self) -> Table:
        """Tell what done jobs taught, beside what was believed before.

        Returns
        -------
        Table
            ``what``: the pace and each kind of work that was timed, as factors on the usual time,
            and the share of heats that come out wrong; ``before`` and ``now``: one in ten is lower,
            half are, nine in ten are; ``seen``: jobs, or heats. How much days differ is not
            learned, and a machine that is slower than planned counts as slower hands.
        """
        taught = self._ask("taught")
        jobs = "1 done job" if taught["jobs"] == 1 else f"{taught['jobs']} done jobs"
        title = f"What {jobs} taught: middle (one in ten lower, one in ten higher)"
        return _table(title, ["what", "seen", "before", "now"], taught["factors"])

    def ask(
        self,
        question: Literal["cost", "underestimated", "old offcuts", "comebacks", "used"],
        *,
        kind: str | None = None,
        since: Day | None = None,
        until: Day | None = None,
        before: Day | None = None,
    ) -> Table:
        """Ask what a shop wants to know.

        Parameters
        ----------
        question : {"cost", "underestimated", "old offcuts", "comebacks", "used"}
            What jobs cost against what was quoted; which work takes longer than planned; which
            offcuts stand for long; what came back; heats and glue.
        kind : str, optional
            Of cost: only jobs with such a part: ``"pods"``, ``"rings"``.
        since, until : str or date, optional
            Of cost: first and last day.
        before : str or date, optional
            Of old offcuts: in the rack since before it; a year ago if left out.

        Returns
        -------
        Table
            Its ``to_frame`` gives a data frame.

        Raises
        ------
        UnknownNameError
            No such question, or no such kind of part.
        UnitError
            A day that is none.
        ShapeError
            A last day before the first; a limit that the question does not know.

        Examples
        --------
        >>> import tempfile
        >>> file = tempfile.mkdtemp() + "/shop.db"
        >>> shop = mw.Shop.read("demo-data/shop.toml", memory=file)
        >>> print(shop.memory.ask("underestimated"))
        Work against its plan: none
        """
        _one_of("question", question, _QUESTIONS)
        given = {"kind": kind, "since": since, "until": until, "before": before}
        for what, value in given.items():
            own = _LIMITS.get(question, ())
            if value is not None and what not in own:
                allowed = " and ".join(own) or "no limit"
                message = f"{what} of the question {question!r} is {value}, allowed is {allowed}"
                raise ShapeError(message, what, str(value), allowed)
        more: dict[str, Any] = {}
        if question == "cost":
            more = {
                "kind": kind,
                "from": _day(since) if since else None,
                "to": _day(until) if until else None,
            }
        elif question == "old offcuts":
            a_year = datetime.timedelta(days=365)
            more = {"before": _day(before or datetime.date.today() - a_year)}
        return Table(self._ask(_QUESTIONS[question], **more))

    def export(self, folder: StrPath) -> list[Path]:
        """Write all of it as plain files: a CSV for each table.

        Parameters
        ----------
        folder : path-like
            New or empty.

        Returns
        -------
        list of Path
            The files.

        Raises
        ------
        OSError
            There is no memory, something is in the folder, or it cannot be written.
        """
        return [Path(file) for file in self._ask("export", folder=kinds.path("folder", folder))]

    def load(self, folder: StrPath) -> None:
        """Read what :meth:`export` wrote into this memory, which must be empty.

        Parameters
        ----------
        folder : path-like
            Of the files.

        Raises
        ------
        ImpossibleError
            Something is remembered here already.
        JobError
            A cell cannot be; nothing is read then.
        """
        self._ask("load", folder=kinds.path("folder", folder))


class AtOnce(Memory):
    """Collects changes of a memory; ``make`` makes all of them or none, and gives their answers."""

    __slots__ = ("requests",)

    def __init__(self, memory: Memory) -> None:
        super().__init__(memory.path, memory.shop)
        self.requests: list[dict[str, Any]] = []

    def _ask(self, do: str, /, **more: Any) -> Any:
        self.requests.append({"do": do} | more)

    def make(self) -> list[Any]:
        return list(super()._ask("at-once", requests=self.requests))


def _day(day: Day | None) -> str:
    """Write a day; the core has no clock."""
    if day is not None and not isinstance(day, str | datetime.date):
        raise KindError.of("the day", day, 'a date, or a text such as "2026-11-27"')
    return str(day or datetime.date.today())


def _plan(plan: Plan) -> str:
    if not isinstance(plan, Record):
        raise KindError.of("plan", plan, "a plan, as mountwright.plan gives it")
    return plan.to_json()


def _unread(asked: Mapping[str, Any], said: str) -> KindError:
    """Find the arguments whose kind the core did not take."""
    kind, _, taken = said.removeprefix("invalid type: ").partition(", expected ")
    types = {"null": type(None), "boolean": bool, "integer": int, "string": str, "map": dict}
    wrong = types.get(kind.split(" ")[0], list | float)
    found = {name: value for name, value in asked.items() if type(value) is wrong}
    name, given = " or ".join(found), next(iter(found.values()), None)
    return KindError.of(name or "an argument", given, taken.partition(" at line")[0])


def _text(what: str, value: str | None) -> str | None:
    """Take a text in shop units or words as it is; a bare number has no unit."""
    if value is None or isinstance(value, str):
        return value
    given, expected = repr(value), 'a text such as "3 mm" or "left bay"'
    remedy = "write it as text, a quantity with its unit"
    message = f"{what} is {given}, expected {expected}: {remedy}"
    raise UnitError(message, what, given, expected, remedy)


def _number(
    what: str, value: float | None, low: float, high: float, unit: str = ""
) -> float | None:
    if value is None:
        return None
    try:
        number = float(value)
    except (TypeError, ValueError, OverflowError):
        allowed = "a number"
        message = f"{what} is {value!r}, allowed is {allowed}"
        raise ShapeError(message, what, repr(value), allowed) from None
    if low <= number <= high:
        return number
    remedy = "leave out what was not counted"
    span = f"{low:g} to {high:g} {unit}".strip()
    message = f"{what} is {number:g}, allowed is {span}: {remedy}"
    raise OutOfRangeError(message, what, number, (low, high), unit, remedy)


def _whole(what: str, value: int | None, most: int) -> int | None:
    """Take a count: none of its half, none below zero."""
    number = _number(what, value, 0, most)
    if number is None or number.is_integer():
        return None if number is None else int(number)
    allowed = f"a whole number, 0 to {most}"
    raise ShapeError(f"{what} is {number:g}, allowed is {allowed}", what, f"{number:g}", allowed)


def _one_of(kind: str, given: str, known: Iterable[str]) -> str:
    names = list(known)
    if text(kind, given) in names:
        return given
    message = f'no {kind} is called "{given}"; known: {", ".join(names)}'
    raise UnknownNameError(message, kind, str(given), names)


def _in_mm(row: dict[str, Any], *names: str) -> None:
    """Add lengths in shop units, to the tenth of a millimetre."""
    for name in names:
        length_m = row[f"{name}_m"]
        row[f"{name}_mm"] = None if length_m is None else round(length_m * 1e3, 1)


def _form(width_m: float, height_m: float, area_m2: float) -> str:
    """Tell an offcut's form by how much of its rectangle it fills."""
    share = area_m2 / (width_m * height_m)
    if math.isclose(share, 1, rel_tol=1e-6):
        return "rectangle"
    round_ = math.isclose(width_m, height_m, rel_tol=1e-4)
    return "disc" if round_ and math.isclose(share, math.pi / 4, rel_tol=1e-4) else "other"


def _table(title: str, columns: list[str], rows: list[dict[str, Any]]) -> Table:
    return Table({"title": title, "columns": columns, "rows": rows})
