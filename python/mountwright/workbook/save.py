"""A workbook written so that no half of it is ever seen and no stored result is lost."""

from __future__ import annotations

import io
import os
import re
import secrets
import shutil
import zipfile
from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.utils.datetime import to_excel

from mountwright.errors import WorkbookError

Stored = Mapping[tuple[str, str], tuple[str, Any]]
"""Sheet and cell to the type and value of its formula's result."""

_FORMULA = re.compile(
    r'<c r="(?P<cell>[A-Z]+\d+)"(?P<rest>[^>]*)>(?P<formula><f[ />].*?)<v ?/?>(?:</v>)?</c>', re.S
)
_APPLICATION = re.compile(r"<Application>[^<]*</Application>")


def stamp(path: Path) -> tuple[int, int, int]:
    """Tell one state of a file from another."""
    found = path.stat()
    return found.st_ino, found.st_size, found.st_mtime_ns


def in_use(path: Path) -> bool:
    """Say whether an office program has left its mark that it holds the file open."""
    marks = (f".~lock.{path.name}#", f"~${path.name}")
    return any((path.parent / mark).exists() for mark in marks)


def save(
    wb: Workbook, path: Path, *, stored: Stored, expected: tuple[int, int, int] | None
) -> None:
    """Write a workbook beside its place and move it there.

    The library writes formulas without results. Those that were stored before are put back, so
    that the file can be read again before an office program has opened it; the file asks every
    such program to calculate anew.

    Parameters
    ----------
    wb : Workbook
        What to write.
    path : Path
        Where; its folder is made where it is missing.
    stored : mapping
        Results of formulas.
    expected : tuple, optional
        The state in which the file was read; ``None`` where there must be none yet.

    Raises
    ------
    OSError
        It cannot be written; what was there is still there.
    WorkbookError
        Somebody changed it meanwhile, or holds it open.
    """
    path = path.resolve()
    if in_use(path):
        raise WorkbookError(
            f"{path} is open in an office program: save and close it there first, "
            "or have the results written to another file",
            str(path),
            (),
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    wb.calculation.fullCalcOnLoad = True
    plain = io.BytesIO()
    wb.save(plain)
    beside = path.with_name(f".{path.stem}-{secrets.token_hex(4)}.xlsx")
    try:
        with beside.open("x+b") as file:
            _finish(plain, file, {ws.title: ws.path.lstrip("/") for ws in wb.worksheets}, stored)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, beside)
        _still(path, expected)
        beside.replace(path)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise


def _still(path: Path, expected: tuple[int, int, int] | None) -> None:
    if (stamp(path) if path.exists() else None) != expected:
        raise WorkbookError(f"{path} was changed while it was planned: plan again", str(path), ())


def _finish(plain: io.BytesIO, file: Any, parts: Mapping[str, str], stored: Stored) -> None:
    titles = {part: title for title, part in parts.items()}
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename in titles:
                data = _with_results(data, titles[info.filename], stored)
            elif info.filename == "docProps/app.xml":
                # An office program that does not know who wrote a file calculates it anew.
                name = b"<Application>mountwright</Application>"
                data = re.sub(_APPLICATION.pattern.encode(), name, data)
            new.writestr(info.filename, data)


def _with_results(data: bytes, title: str, stored: Stored) -> bytes:
    def put_back(found: re.Match[str]) -> str:
        kind, value = stored.get((title, found["cell"]), ("", None))
        if not kind:
            return found[0]
        if isinstance(value, datetime):
            kind, value = "n", to_excel(value)  # type: ignore[no-untyped-call]
        elif isinstance(value, bool):
            kind, value = "b", int(value)
        elif isinstance(value, (int, float)):
            kind = "n"
        elif isinstance(value, str) and kind != "e":
            kind = "str"
        elif value is None and kind != "str":
            return found[0]
        text = "" if value is None else escape(str(value))
        return (
            f'<c r="{found["cell"]}"{found["rest"]} t="{kind}">{found["formula"]}<v>{text}</v></c>'
        )

    return _FORMULA.sub(put_back, data.decode("utf-8")).encode("utf-8")
