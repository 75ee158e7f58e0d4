"""A workbook before it is opened: whether it is one, whether it is safe, what a writer would drop.

An ``.xlsx`` file is a zip archive of XML parts (ECMA-376). Sizes stand in its directory and may
lie, so every part is unpacked here once, up to a bound, before a library sees it.
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Collection, Iterator
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

from mountwright.errors import WorkbookError

LARGEST_FILE = 64 << 20
LARGEST_PART = 256 << 20
LARGEST_WHOLE = 512 << 20
MOST_PARTS = 5_000
MOST_CELLS = 2_000_000
"""Bounds far beyond any shop's workbook, and short of what would hang this machine."""

_OLD = b"\xd0\xcf\x11\xe0"
_WORKBOOK = "xl/workbook.xml"
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_PACKAGE = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"

_CELL = re.compile(rb"<(?:\w+:)?c[\s>/]")
_REACH = re.compile(rb"<(?:\w+:)?(?:mergeCell|hyperlink)\s[^>]*?\bref\s*=\s*[\"']([^\"']*)[\"']")
_CORNERS = re.compile(r"\$?([A-Z]{1,3})\$?(\d{1,7}):\$?([A-Z]{1,3})\$?(\d{1,7})$")

# Parts that the writer keeps, or that hold nothing a person made.
_KEPT = re.compile(
    r"\[Content_Types\]\.xml|(.*/)?_rels/[^/]*\.rels|docProps/(core|app|custom)\.xml"
    r"|docProps/thumbnail\.\w+|xl/(workbook|styles|sharedStrings|calcChain)\.xml|xl/theme/[^/]*\.xml"
    r"|xl/worksheets/[^/]*\.xml|xl/tables/[^/]*\.xml|xl/printerSettings/[^/]*\.bin"
    r"|xl/(comments/)?comments?\d*\.xml|(xl/)?(drawings/)?(vmlDrawing|commentsDrawing)\d*\.vml"
    r"|xl/drawings/[^/]*\.vml"
)

_NAMES = {
    "media": "pictures",
    "drawings": "pictures or shapes",
    "charts": "charts",
    "chartsheets": "charts",
    "ctrlProps": "controls",
    "activeX": "controls",
    "embeddings": "embedded files",
    "vbaProject.bin": "macros",
    "vbaData.xml": "macros",
    "macrosheets": "macros",
    "externalLinks": "links to other workbooks",
    "pivotTables": "pivot tables",
    "pivotCache": "pivot tables",
    "slicers": "slicers",
    "threadedComments": "threaded comments",
    "persons": "threaded comments",
    "metadata.xml": "formulas that spill",
    "richData": "pictures in cells",
    "_xmlsignatures": "a signature",
    "queryTables": "queries",
    "connections.xml": "queries",
    "customXml": "custom data",
    "diagrams": "diagrams",
}
# Within a sheet: what the writer does not know.
_IN_SHEET = {
    b"extLst": "newer kinds of formatting or lists",
    b"controls": "controls",
    b"oleObjects": "embedded files",
    b"legacyDrawingHF": "pictures in headers or footers",
    b"picture": "a background picture",
    b"customSheetViews": "custom views",
    b"webPublishItems": "web pages",
}
_NOTE = re.compile(rb"<x:ClientData\s[^>]*ObjectType\s*=\s*[\"'](\w+)", re.I)


class Sheet(NamedTuple):
    """A sheet of a workbook, as its directory lists it."""

    title: str
    part: str
    """The part of the archive that holds it."""


class Package(NamedTuple):
    """A workbook that was looked over."""

    sheets: tuple[Sheet, ...]
    drops: dict[str, str]
    """Part of the archive to what is in it that a writer would drop."""
    owners: dict[str, str]
    """Part to the sheet whose drawing, picture or chart it is."""

    def dropped(self, ours: Collection[str]) -> list[str]:
        """Name what a writer would drop, but for what stands on sheets of ours."""
        lost = {what for part, what in self.drops.items() if self.owners.get(part) not in ours}
        return sorted(lost)


def look_over(path: Path) -> Package:
    """Look a workbook over.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Package
        Its sheets, and what in it a writer would drop.

    Raises
    ------
    OSError
        It cannot be read.
    WorkbookError
        It is no workbook, or one made to do harm.
    """
    with path.open("rb") as file:
        head = file.read(4)
    if head == _OLD:
        raise _refused(
            path, "is an old or a password-protected workbook: save it as .xlsx without a password"
        )
    if path.stat().st_size > LARGEST_FILE:
        raise _refused(path, f"is larger than {LARGEST_FILE >> 20} MB: is it the right file?")
    try:
        with zipfile.ZipFile(path) as archive:
            return _look_over(path, archive)
    except WorkbookError:
        raise
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, NotImplementedError) as error:
        raise _refused(path, f"is not a workbook (.xlsx): {_lower(error)}") from error
    except (ElementTree.ParseError, ValueError, LookupError, RuntimeError) as error:
        raise _refused(path, f"is a broken workbook: {_lower(error)}") from error
    except Exception as error:
        # zlib and its kin; their errors have no common parent but this.
        if type(error).__module__ in {"zlib", "lzma", "_lzma", "bz2"}:
            raise _refused(path, f"is a broken workbook: {_lower(error)}") from error
        raise


def _refused(path: Path, why: str) -> WorkbookError:
    return WorkbookError(f"{path} {why}", str(path), ())


def _lower(error: Exception) -> str:
    text = " ".join(str(error).split()) or type(error).__name__
    return text[0].lower() + text[1:200]


def _look_over(path: Path, archive: zipfile.ZipFile) -> Package:
    infos = archive.infolist()
    names = [info.filename for info in infos]
    if len(infos) > MOST_PARTS:
        raise _refused(path, f"has {len(infos)} parts: that is no workbook of a shop")
    if len(set(names)) != len(names):
        raise _refused(path, "holds two parts of one name: that is no honest workbook")
    if any(info.flag_bits & 1 for info in infos):
        raise _refused(path, "is protected by a password: save it without")
    if _WORKBOOK not in names:
        kind = "an OpenDocument file" if "content.xml" in names else "not a workbook"
        raise _refused(path, f"is {kind}: save it as .xlsx")
    drops: dict[str, str] = {}
    whole = cells = 0
    texts: dict[str, bytes] = {}
    for info in infos:
        data = _unpacked(path, archive, info)
        whole += len(data)
        if whole > LARGEST_WHOLE:
            raise _refused(path, "unpacks to more than is safe to open")
        name = info.filename
        if name.endswith((".xml", ".rels", ".vml")):
            _check_xml(path, name, data)
        if name.startswith("xl/worksheets/") and name.endswith(".xml"):
            cells += len(_CELL.findall(data)) + _reach(path, name, data)
            if cells > MOST_CELLS:
                raise _refused(path, "has more cells than are read: is it the right file?")
            drops |= {
                f"{name}#{word.decode()}": what
                for word, what in _IN_SHEET.items()
                if re.search(rb"<(?:\w+:)?" + word + rb"[\s>/]", data)
            }
        if name.endswith(".vml") and set(_NOTE.findall(data)) - {b"Note"}:
            drops[name] = "controls"
        if not name.endswith("/") and not _KEPT.fullmatch(name):
            drops[name] = _what(name)
        if name.endswith(".rels") or name == _WORKBOOK:
            texts[name] = data
    return _package(texts, drops)


def _unpacked(path: Path, archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    if info.file_size > LARGEST_PART:
        raise _refused(path, "unpacks to more than is safe to open")
    with archive.open(info) as part:
        data = part.read(LARGEST_PART + 1)
    if len(data) > LARGEST_PART:
        raise _refused(path, "unpacks to more than is safe to open")
    return data


def _check_xml(path: Path, name: str, data: bytes) -> None:
    if b"\0" in data:
        raise _refused(path, f"is a broken workbook: {name} is not in UTF-8")
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        raise _refused(
            path, f"is not opened: {name} declares entities, which no office program does"
        )


def _reach(path: Path, name: str, data: bytes) -> int:
    """Count the cells that merged areas and links reach: a library makes every one of them."""
    total = 0
    for found in _REACH.findall(data):
        corners = _CORNERS.match(found.decode("ascii", "replace").strip().upper())
        if corners:
            first, top, last, bottom = corners.groups()
            across = abs(_column(last) - _column(first)) + 1
            total += across * (abs(int(bottom) - int(top)) + 1)
    return total


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number


def _what(name: str) -> str:
    return next((_NAMES[step] for step in name.split("/") if step in _NAMES), f"the part {name}")


def _package(texts: dict[str, bytes], drops: dict[str, str]) -> Package:
    targets = {
        id_: target for id_, target, _ in _links(texts, _WORKBOOK) if not target.startswith("http")
    }
    sheets = []
    for sheet in ElementTree.fromstring(texts[_WORKBOOK]).iter(f"{_MAIN}sheet"):
        sheets.append(Sheet(sheet.get("name", ""), targets.get(sheet.get(_REL, ""), "")))
    owners: dict[str, str] = {}
    for title, part in sheets:
        owners |= {f"{part}#{word.decode()}": title for word in _IN_SHEET}
        reached = [part]
        while reached:
            for _, target, external in _links(texts, reached.pop()):
                if not external and target not in owners and target.startswith("xl/"):
                    owners[target] = title
                    reached.append(target)
    return Package(tuple(sheets), drops, owners)


def _links(texts: dict[str, bytes], part: str) -> Iterator[tuple[str, str, bool]]:
    folder, name = posixpath.split(part)
    text = texts.get(f"{folder}/_rels/{name}.rels")
    if text is None:
        return
    for link in ElementTree.fromstring(text).iter(_PACKAGE):
        target = link.get("Target", "")
        whole = target.lstrip("/") if target.startswith("/") else posixpath.join(folder, target)
        external = link.get("TargetMode") == "External"
        yield link.get("Id", ""), posixpath.normpath(whole), external
