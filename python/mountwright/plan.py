"""Jobs, shops and plans."""

from __future__ import annotations

import html
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, ClassVar, Literal, NamedTuple, Self, cast

from mountwright import _core, kinds
from mountwright.errors import ImpossibleError, ShapeError
from mountwright.memory import Memory
from mountwright.records import Choice, Provenance, Record

__all__ = ["Job", "Plan", "Shop", "plan", "schema"]

StrPath = str | os.PathLike[str]


class Drawn(NamedTuple):
    """A drawing of a blank or a layout.

    One of a plan's ``drawings``; :meth:`Plan.write_packet` writes them all.

    Examples
    --------
    >>> plan = mw.plan("demo-data/door-rings.toml", shop="demo-data/shop.toml", draws=0)
    >>> plan.drawings[0].file.endswith(".svg")
    True
    """

    file: str
    """Name of its file in the packet."""
    title: str
    """What it shows."""
    part: str
    """The part that it belongs to; empty for a layout."""
    kind: str
    """``"blank"``, at true size; ``"face"``, its one view for the bench card; ``"layout"``; beside
    the blank ``"card"`` and router ``"template"``, ``"foam"``, ``"gasket"`` and ``"wedge"``."""
    svg: str
    """The drawing."""
    dxf: str = ""
    """The same as DXF in layers; empty where it is not at true size."""
    pdf: bytes = b""
    """The same as PDF on the job's paper, tiled where larger; empty where not at true size."""


class _Source(Record):
    """A file that was read: its text, and where it came from for messages."""

    path: str
    text: str
    _file: ClassVar[Literal["job", "shop"]]

    @classmethod
    def from_text(cls, text: str, *, path: str = "text") -> Self:
        """Take the text of a file.

        Parameters
        ----------
        text : str
            TOML.
        path : str, default "text"
            What to call it in messages.

        Returns
        -------
        Job or Shop
            Of the class that it is called on; faults are found when it is planned.
        """
        return cls({"path": path, "text": text})

    @classmethod
    def read(cls, path: StrPath) -> Self:
        """Read a file.

        Parameters
        ----------
        path : path-like
            A TOML file, or a workbook (``.xlsx``) in which it is typed.

        Returns
        -------
        Job or Shop
            Of the class that it is called on.

        Raises
        ------
        OSError
            It cannot be read.
        JobError
            It is not text.
        WorkbookError
            A workbook has faults.
        """
        text, name = cls._text_of(path)
        return cls.from_text(text, path=name)

    @classmethod
    def _text_of(cls, path: StrPath) -> tuple[str, str]:
        name = kinds.path("path", path)
        if name.lower().endswith(".xlsx"):
            # Loaded here: it needs the extra.
            from mountwright import workbook

            return workbook.text_of(name, cls._file)
        return _core.text_of(name), name

    @classmethod
    def of(cls, given: Self | StrPath) -> Self:
        """Take what was read already, or read the file at a path.

        Parameters
        ----------
        given : Job, Shop or path-like
            Of the class that it is called on, or a TOML file.

        Returns
        -------
        Job or Shop
            Of the class that it is called on.

        Raises
        ------
        OSError
            The file cannot be read.
        JobError
            It is not text.
        """
        return given if isinstance(given, cls) else cls.read(cast("StrPath", given))

    def __repr__(self) -> str:
        return f"{type(self).__name__}.read({self.path!r})"


class Job(_Source):
    """A job: what is to be made for one vehicle.

    Examples
    --------
    >>> mw.Job.read("demo-data/pillar-pods.toml")
    Job.read('demo-data/pillar-pods.toml')
    """

    _file = "job"


class Shop(_Source):
    """A shop: its rack, prices, tools, rates, hours and climate, and what it remembers.

    Examples
    --------
    >>> mw.Shop.read("demo-data/shop.toml")
    Shop.read('demo-data/shop.toml')
    """

    _file = "shop"
    memory_file: str | None
    """The file of its memory; ``None`` where it has none."""

    @classmethod
    def from_text(cls, text: str, *, path: str = "text", memory: StrPath | None = None) -> Self:
        """Take the text of a file.

        Parameters
        ----------
        text : str
            TOML.
        path : str, default "text"
            What to call it in messages.
        memory : path-like, optional
            The file of the shop's memory; that of the key ``memory``, from the folder of the shop's
            file, if left out. It need not be there yet.

        Returns
        -------
        Shop
            Faults are found when something is planned.
        """
        file = kinds.path("memory", memory) if memory is not None else _memory_file(text, path)
        return cls({"path": path, "text": text, "memory_file": file})

    @classmethod
    def read(cls, path: StrPath, *, memory: StrPath | None = None) -> Self:
        """Read a file.

        Parameters
        ----------
        path : path-like
            A TOML file, or a workbook (``.xlsx``) in which it is typed.
        memory : path-like, optional
            The file of the shop's memory; that of the key ``memory``, from the folder of the shop's
            file, if left out. It need not be there yet.

        Returns
        -------
        Shop
            Faults are found when something is planned.

        Raises
        ------
        OSError
            It cannot be read.
        JobError
            It is not text.
        WorkbookError
            A workbook has faults.
        """
        text, name = cls._text_of(path)
        return cls.from_text(text, path=name, memory=memory)

    @property
    def memory(self) -> Memory:
        """What the shop remembers: rack, patterns, trials, jobs.

        Raises
        ------
        ImpossibleError
            The shop has no memory: neither its file nor :meth:`read` names one.
        """
        if self.memory_file is None:
            what, why = "asking the shop's memory", "the shop has none"
            remedy = (
                'write memory = "shop.db" at the top of its file, or shop.db beside memory '
                "on the sheet Workshop of its workbook"
            )
            raise ImpossibleError(f"{what} is not possible: {why}; {remedy}", what, why, remedy)
        return Memory(self.memory_file, self)


def _memory_file(text: str, path: str) -> str | None:
    """Find the file of a shop's memory in its text; faults of the text are told when it is used."""
    if "memory" not in text:
        return None
    # Loaded here: the import of the package must stay light.
    import tomllib

    try:
        name = tomllib.loads(text).get("memory")
    except tomllib.TOMLDecodeError:
        return None
    return os.path.join(os.path.dirname(path), name) if isinstance(name, str) else None  # noqa: PTH118, PTH120


def schema(kind: Literal["job", "shop"]) -> dict[str, Any]:
    """Give the JSON schema of a job or shop file, from the types that read it.

    With it an editor completes the keys and their words, shows what each means, and marks what is
    wrong while you type. ``mountwright schema`` writes it into a file.

    Parameters
    ----------
    kind : str
        ``"job"`` or ``"shop"``.

    Returns
    -------
    dict
        JSON schema, draft 2020-12. Quantities are text with a unit; their ranges stand in the
        descriptions and as ``least`` and ``most``. Names of the catalogues are offered, others
        allowed: a materials file of your own may add some.

    Raises
    ------
    UnknownNameError
        There is no such kind of file.

    Examples
    --------
    >>> keys = mw.schema("job")["properties"]
    >>> keys["start"]["description"]
    'When work can start, as "2026-12-01 08:30".'
    """
    found: dict[str, Any] = json.loads(_core.schema_of(kind))
    return found


class Plan(Record):
    """A plan: everything from the blank to the promise, each number with its range and its source.

    The fields are those of ``plan.json``, in SI with the unit in the name. A figure with a range
    has ``nominal``, ``p10``, ``p50`` and ``p90``.

    Examples
    --------
    >>> shop = mw.Shop.read("demo-data/shop.toml")
    >>> plan = mw.plan(mw.Job.read("demo-data/pillar-pods.toml"), shop=shop, draws=0)
    >>> plan.price.currency, plan.parts[0].name
    ('XTS', 'left pod')
    """

    schema: int
    """Version of the form of ``plan.json``."""
    program: str
    """Name and version of what made it."""
    draws: int
    """Draws behind the ranges."""
    seed: int
    """Seed of the draws."""
    job: Record
    """The job in short."""
    shop: Record
    """The shop in short."""
    refused: tuple[Record, ...]
    """Places for which nothing is planned, why, and what to find out."""
    parts: tuple[Record, ...]
    """Each part with its blank, recipe, joint, finish and checks."""
    layouts: tuple[Record, ...]
    """Sheets: what to buy, where each blank lies, what to keep, what a second visit would cost."""
    deliveries: tuple[Record, ...]
    """What each merchant brings: ``price``, surcharges, ``mass_kg``, and when: ``arrives``."""
    tasks: tuple[Record, ...]
    """Work, hands-on and alone."""
    schedule: Record | None
    """Work on the calendar; ``None`` where nothing is planned."""
    promise: Record | None
    """When the vehicle can be promised."""
    estimate: Record | None
    """What the job costs the shop."""
    price: Record | None
    """What the customer pays."""
    quote: Record | None
    """What the customer sees: ``quote.html`` of the packet."""
    causes: tuple[Record, ...]
    """What the ranges come from, by shares of variance, most first."""
    changes: tuple[Record, ...]
    """What the plan changed by itself, and why."""
    choices: tuple[Choice, ...]
    """Sheets for each part, ranked with the shop's own heat, prices and adhesives: the shop's, and
    those of the catalogue that would have to be bought. Each prints as a table."""
    provenance: Provenance
    """Every number that was used, with its source and standing; prints as a report."""
    cautions: tuple[str, ...]
    """What can hurt."""
    notes: tuple[Record, ...]
    """Remarks."""

    _drawings: tuple[Drawn, ...]

    def __init__(
        self,
        fields: Mapping[str, Any],
        *,
        drawings: Iterable[tuple[str, str, str, str, str, str, bytes]] = (),
    ) -> None:
        super().__init__(fields)
        object.__setattr__(self, "_drawings", tuple(Drawn(*drawing) for drawing in drawings))

    def __getattr__(self, name: str) -> Any:
        if name == "provenance":
            return Provenance(self._fields[name])
        if name == "choices":
            return tuple(map(Choice, self._fields[name]))
        return super().__getattr__(name)

    @classmethod
    def read(cls, path: StrPath) -> Self:
        """Read a plan back from the ``plan.json`` of a packet; its drawings stay in the packet.

        Parameters
        ----------
        path : path-like
            The file, or the folder of the packet.

        Returns
        -------
        Plan
            Without drawings.

        Raises
        ------
        OSError
            It cannot be read.
        JobError
            It is not text.
        ShapeError
            It is no plan.
        """
        at = Path(path)
        at = at / "plan.json" if at.is_dir() else at
        text = _core.text_of(kinds.path("at", at))
        try:
            fields = json.loads(text)
        except ValueError:
            fields = None
        if not isinstance(fields, dict) or "layouts" not in fields or "job" not in fields:
            what, allowed = os.fspath(at), "the plan.json of a packet"
            raise ShapeError(f"{what} is no plan, allowed is {allowed}", what, "no plan", allowed)
        return cls(fields)

    @property
    def drawings(self) -> tuple[Drawn, ...]:
        """Drawings of blanks and layouts."""
        return self._drawings

    def write_packet(self, folder: StrPath) -> Path:
        """Write the packet: page, drawings, charts and ``plan.json``; all of it or nothing.

        Parameters
        ----------
        folder : path-like
            Made where it is missing. Files of an earlier packet are replaced, others left alone.

        Returns
        -------
        Path
            The page.

        Raises
        ------
        OSError
            The folder cannot be written; what was there before is still there.
        """
        # Loaded here: the import of the package must stay light.
        from mountwright.packet import write_packet

        at = Path(folder)
        write_packet(at, self.to_json(indent=1) + "\n", self.to_dict(), list(self._drawings))
        return at / "packet.html"

    def write_workbook(self, path: StrPath) -> Path:
        """Write the plan into a workbook: quote, cut list, layout, recipes, day, costs, sources.

        Parameters
        ----------
        path : path-like
            An ``.xlsx`` file, made where it is missing. In one that is there, the sheets of an
            earlier plan are replaced and everything else stays; where it holds what could not be
            kept (pictures, controls, charts, macros), a second one is written beside it.

        Returns
        -------
        Path
            The workbook that was written.

        Raises
        ------
        OSError
            It cannot be written; what was there before is still there.
        WorkbookError
            What is there is no workbook, or is open in an office program.
        ImportError
            It is not installed: ``pip install 'mountwright[workbook]'``.
        """
        from mountwright.workbook import write

        return write(path, self)

    def __reduce__(self) -> tuple[Any, ...]:
        return _rebuild, (self._fields, self._drawings)

    def __str__(self) -> str:
        from mountwright.packet.summary import summary

        return summary(self.to_dict())

    def __repr__(self) -> str:
        price = self._fields.get("price")
        gross = f"{price['gross']} {price['currency']}" if price else None
        parts = [part["name"] for part in self._fields["parts"]]
        return f"Plan(job={self._fields['job']['name']!r}, parts={parts}, price={gross!r})"

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(str(self))}</pre>"


def _rebuild(fields: Mapping[str, Any], drawings: Sequence[Drawn]) -> Plan:
    return Plan(fields, drawings=drawings)


def own_materials(path: StrPath | None) -> tuple[str, str] | None:
    """Give text and path of a materials file of the user's own."""
    if path is None:
        return None
    name = kinds.path("path", path)
    return _core.text_of(name), name


def plan(
    job: Job | StrPath,
    *,
    shop: Shop | StrPath,
    materials: StrPath | None = None,
    draws: int = 256,
    seed: int = 1,
) -> Plan:
    """Plan a job in a shop.

    Parameters
    ----------
    job : Job or path-like
        What is to be made, or its file.
    shop : Shop or path-like
        Who makes it, or its file; the plan sees what its memory knows: the rack as it is, the gun
        as it was tried, work as long as it took.
    materials : path-like, optional
        A materials file of your own, laid over the standard catalogue; the plan's report says
        which numbers came from it.
    draws : int, default 256
        Draws behind the ranges; 0 gives nominal figures only.
    seed : int, default 1
        The same seed gives the same plan, on any number of cores.

    Returns
    -------
    Plan
        From the blank to the promise.

    Raises
    ------
    JobError
        A file has faults; all of them are listed with their lines.
    MemoryFileError
        The shop's memory cannot be read.
    OutOfRangeError
        The number of draws or the seed cannot be.

    Examples
    --------
    >>> plan = mw.plan("demo-data/door-rings.toml", shop="demo-data/shop.toml", draws=0)
    >>> [part.name for part in plan.parts]
    ['front door ring', 'kick panel']
    """
    job, shop = Job.of(job), Shop.of(shop)
    done = _core.plan(
        job.text,
        job.path,
        shop.text,
        shop.path,
        materials=own_materials(materials),
        memory=shop.memory_file,
        draws=draws,
        seed=seed,
    )
    return Plan(json.loads(done.json), drawings=done.drawings)
