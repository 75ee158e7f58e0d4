"""The packet of a plan: a page to pin above the bench, drawings, charts, and the plan as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mountwright.packet.page import charts, page
from mountwright.packet.quote import kind, quote_page
from mountwright.packet.words import unique
from mountwright.packet.write import write
from mountwright.plan import Drawn

__all__ = ["write_packet"]


def write_packet(folder: Path, json_text: str, plan: dict[str, Any], drawings: list[Drawn]) -> None:
    """Write a packet: all of its files, or none.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    json_text : str
        The plan as JSON, written as it is.
    plan : dict
        The same, read.
    drawings : list of Drawn
        Of blanks and layouts.

    Raises
    ------
    OSError
        The folder cannot be written; what was there before is still there.
    """
    drawn = charts(plan)
    files: dict[str, tuple[str, str | bytes]] = {
        "packet.html": ("the page: bench cards, sheets, day, price, checks, sources", ""),
        "plan.json": ("everything that the plan knows, in SI", json_text),
    }
    taken: set[str] = set()
    # The bench card holds its own small views; those at true size are for the sheet.
    for d in drawings:
        if d.kind == "face":
            continue
        stem = "drawings/" + unique(d.file.removesuffix(".svg"), taken)
        files[stem + ".svg"] = (d.title, d.svg)
        if d.dxf:
            files[stem + ".dxf"] = (f"{d.title}, for a machine or a drawing program", d.dxf)
        if d.pdf:
            files[stem + ".pdf"] = (f"{d.title}, to print at 100 %", d.pdf)
    files |= {name: ("chart", svg) for name, svg in drawn.items()}
    files["packet.html"] = (files["packet.html"][0], page(plan, drawings, drawn))
    if plan["quote"]:
        draft = kind(plan) == "Draft"
        quoted = "a draft, not to be handed out" if draft else "the quote for the customer"
        files["quote.html"] = (quoted, quote_page(plan))
    write(folder, files)
