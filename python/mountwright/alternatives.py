"""One job made in several ways, side by side on one page."""

from __future__ import annotations

import html
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from mountwright import _core
from mountwright.kinds import mapping, plain
from mountwright.plan import Job, Shop, own_materials
from mountwright.records import Record
from mountwright.workbook.toml import toml

__all__ = ["Alternatives", "compare"]


class Alternatives(Record):
    """A job made in several ways; prints as a table.

    Each of ``ways`` has ``name``, ``problem`` (why it cannot be made so, else ``None``), ``gross``,
    ``more_gross`` (than the cheapest), ``cost``, ``hours`` and ``elapsed_s`` with their ranges,
    ``ready``, ``chance_of_loss``, ``buy``, ``passes``, ``marginal`` and ``fails``.
    """

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
    ways: tuple[Record, ...]
    """The ways in the order given; the first is the job as it stands."""

    def write_page(self, path: str | os.PathLike[str]) -> Path:
        """Write all ways on one page.

        Parameters
        ----------
        path : path-like
            Of the page; its folder must be there.

        Returns
        -------
        Path
            The page.

        Raises
        ------
        OSError
            It cannot be written.
        """
        # Loaded here: the import of the package must stay light.
        from mountwright.packet.alternatives import alternatives_page

        at = Path(path)
        at.write_text(alternatives_page(self.to_dict()), encoding="utf-8", newline="\n")
        return at

    def __str__(self) -> str:
        from mountwright.packet.alternatives import problems, table

        found = self.to_dict()
        rows = table(found)
        widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
        lines = [
            "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in rows
        ]
        return "\n".join([*lines, *problems(found)])

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(str(self))}</pre>"


def compare(
    job: Job | str | os.PathLike[str],
    *,
    shop: Shop | str | os.PathLike[str],
    ways: Mapping[str, Mapping[str, Any]],
    materials: str | os.PathLike[str] | None = None,
    draws: int = 256,
    seed: int = 1,
) -> Alternatives:
    """Plan a job as it stands and in other ways, side by side.

    Parameters
    ----------
    job : Job or path-like
        What is to be made, or its file.
    shop : Shop or path-like
        Who makes it, or its file.
    ways : dict of str to dict
        Name of each way and what it changes: ``material``, ``thickness`` (of straps and panels),
        ``finish``, ``cut_by`` (``"hand-router"``, ``"saw"``, ``"cnc"``), ``template`` (``"make"``,
        ``"on-shelf"``, ``"lost"``), ``sets`` (vehicles alike); with ``part`` only that part.
    materials : path-like, optional
        A materials file of your own, laid over the standard catalogue.
    draws : int, default 256
        Draws behind the ranges, the same for all ways in what they share; 0 for none.
    seed : int, default 1
        The same seed gives the same answer.

    Returns
    -------
    Alternatives
        The job as it stands first. A way that cannot be made is listed with its problem.

    Raises
    ------
    JobError
        A file or a way has faults, or the job as it stands cannot be made.
    ShapeError
        A way changes nothing.
    UnknownNameError
        A way names a part that is not there.

    Examples
    --------
    >>> found = mw.compare(
    ...     mw.Job.read("demo-data/door-rings.toml"),
    ...     shop=mw.Shop.read("demo-data/shop.toml"),
    ...     ways={
    ...         "panel from PC": {"part": "kick panel", "material": "pc"},
    ...         "all bare": {"finish": "bare"},
    ...     },
    ...     draws=0,
    ... )
    >>> [way.name for way in found.ways]
    ['as it stands', 'panel from PC', 'all bare']
    """
    changes = [
        (name, toml(plain(name, mapping(name, way))).text)
        for name, way in mapping("ways", ways).items()
    ]
    job, shop = Job.of(job), Shop.of(shop)
    texts = (job.text, job.path, shop.text, shop.path)
    own = own_materials(materials)
    found = _core.compare(
        *texts,
        changes,
        materials=own,
        memory=shop.memory_file,
        draws=draws,
        seed=seed,
    )
    return Alternatives.from_json(found)
