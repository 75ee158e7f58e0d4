"""Files made to do harm, files that hold more than a writer keeps: none is ever hurt."""

import contextlib
import io
import os
import shutil
import struct
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import openpyxl
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import mountwright as mw
from mountwright import workbook
from mountwright.workbook.reader import read
from mountwright.workbook.safe import look_over

Parts = dict[str, bytes]


@pytest.fixture(scope="session")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return workbook.new(tmp_path_factory.mktemp("good") / "shop.xlsx")


def parts(path: Path) -> Parts:
    with zipfile.ZipFile(path) as archive:
        return {info.filename: archive.read(info) for info in archive.infolist()}


def packed(path: Path, parts: Mapping[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return path


@pytest.fixture
def book(good: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(good, tmp_path / "shop.xlsx"))


def refused(path: Path, told: str) -> None:
    before = path.read_bytes()
    with pytest.raises(mw.WorkbookError, match=told):
        workbook.plan(path, draws=0)
    assert path.read_bytes() == before
    assert [p for p in path.parent.iterdir() if p.name.startswith(".")] == []


# Not workbooks


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "not a workbook"),
        (b"name,width\npanel,310\n", "not a workbook"),
        (b"PK\x03\x04", "not a workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "password-protected"),
        (os.urandom(4096), "not a workbook"),
    ],
)
def test_what_is_no_workbook_is_said_to_be_none(data: bytes, told: str, tmp_path: Path) -> None:
    path = tmp_path / "shop.xlsx"
    path.write_bytes(data)
    refused(path, told)


def test_a_missing_file_and_a_folder_are_errors_of_the_system(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        workbook.plan(tmp_path / "absent.xlsx")
    with pytest.raises(OSError, match="directory"):
        workbook.plan(tmp_path)


def test_another_archive_and_another_workbook_are_told_apart(tmp_path: Path) -> None:
    refused(packed(tmp_path / "a.xlsx", {"hello.txt": b"hello"}), "not a workbook")
    refused(packed(tmp_path / "b.xlsx", {"content.xml": b"<a/>"}), "OpenDocument")
    openpyxl.Workbook().save(tmp_path / "c.xlsx")
    refused(tmp_path / "c.xlsx", "make one with mountwright workbook new")


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9, 0.999])
def test_half_a_file_is_refused(book: Path, share: float) -> None:
    data = book.read_bytes()
    book.write_bytes(data[: int(len(data) * share)])
    refused(book, "not a workbook|broken workbook")


# Bombs


def test_a_bomb_is_not_unpacked(book: Path) -> None:
    found = parts(book)
    found["xl/media/a.bin"] = bytes(300 << 20)
    assert packed(book, found).stat().st_size < 2 << 20
    refused(book, "more than is safe")


def test_many_small_bombs_are_not_unpacked(book: Path) -> None:
    found = parts(book)
    found |= {f"xl/media/{n}.bin": bytes(120 << 20) for n in range(5)}
    refused(packed(book, found), "more than is safe")


def test_a_size_that_lies_is_found_out(book: Path) -> None:
    """The directory says that a large part is small."""
    found = parts(book)
    found["xl/media/a.bin"] = bytes(20 << 20)
    packed(book, found)
    data = bytearray(book.read_bytes())
    true = struct.pack("<I", 20 << 20)
    at = data.find(true)
    while at >= 0:
        data[at : at + 4] = struct.pack("<I", 10)
        at = data.find(true, at + 4)
    book.write_bytes(data)
    refused(book, "broken workbook|not a workbook|more than is safe")


def test_entities_are_not_expanded(book: Path) -> None:
    found = parts(book)
    bomb = b'<?xml version="1.0"?><!DOCTYPE a [<!ENTITY b "bbbb">]>'
    found["xl/workbook.xml"] = bomb + found["xl/workbook.xml"]
    refused(packed(book, found), "declares entities")


def test_another_encoding_does_not_hide_anything(book: Path) -> None:
    found = parts(book)
    found["xl/workbook.xml"] = found["xl/workbook.xml"].decode().encode("utf-16")
    refused(packed(book, found), "not in UTF-8")


@pytest.mark.parametrize(
    "element",
    [
        b'<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>',
        b'<hyperlinks><hyperlink ref="A1:XFD1048576" location="B1"/></hyperlinks>',
    ],
)
def test_an_area_of_all_cells_is_refused(book: Path, element: bytes) -> None:
    found = parts(book)
    name = "xl/worksheets/sheet2.xml"
    found[name] = found[name].replace(b"</sheetData>", b"</sheetData>" + element, 1)
    refused(packed(book, found), "more cells than are read")


def test_too_many_cells_are_refused(book: Path) -> None:
    found = parts(book)
    row = b'<row r="999">' + b'<c r="A999"/>' * 2_000_001 + b"</row>"
    name = "xl/worksheets/sheet2.xml"
    found[name] = found[name].replace(b"</sheetData>", row + b"</sheetData>", 1)
    refused(packed(book, found), "more cells than are read")


def test_one_stray_cell_at_the_far_end_is_no_matter(book: Path) -> None:
    """Whoever walks all cells up to the last one never comes back."""
    wb = openpyxl.load_workbook(book)
    wb["Lists"]["XFD1048576"] = "=1+1"
    wb["Panels"]["XFD1048000"] = "far away"
    wb["Stock"]["XFC9"] = 1
    wb.save(book)
    workbook.plan(book, draws=0)
    assert openpyxl.load_workbook(book)["Panels"]["XFD1048000"].value == "far away"


def test_rows_beyond_those_that_are_read_are_told(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    wb["Stock"]["B7000"] = "one more sheet"
    wb.save(book)
    refused(book, "rows from here on are not read")


# Broken parts


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("xl/workbook.xml", lambda text: text[: len(text) // 2]),
        ("xl/worksheets/sheet3.xml", lambda text: text.replace(b"</row>", b"", 1)),
        ("xl/worksheets/sheet3.xml", lambda text: text.replace(b'r="A4"', b'r="A9999999999"')),
        ("xl/worksheets/sheet3.xml", lambda text: text.replace(b' s="', b' s="99999', 1)),
        ("xl/worksheets/sheet3.xml", lambda _: b""),
        ("xl/_rels/workbook.xml.rels", lambda _: b"<a/>"),
        ("xl/styles.xml", lambda text: text.replace(b"<fonts", b"<founts", 1)),
        ("[Content_Types].xml", lambda _: b"not xml"),
    ],
)
def test_broken_parts_are_typed_errors(
    book: Path, name: str, change: Callable[[bytes], bytes]
) -> None:
    found = parts(book)
    found[name] = change(found[name])
    refused(packed(book, found), "workbook")


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(at=st.floats(0, 1), byte=st.integers(0, 255), name=st.integers(0, 200))
@example(at=0.0, byte=0, name=0)
def test_any_damage_is_read_or_refused(
    good: Path, tmp_path: Path, at: float, byte: int, name: int
) -> None:
    """One byte of one part is another: what can be read is read, anything else is a typed error."""
    found = parts(good)
    chosen = sorted(found)[name % len(found)]
    data = bytearray(found[chosen])
    data[min(int(at * len(data)), len(data) - 1)] = byte
    path = packed(tmp_path / "shop.xlsx", found | {chosen: bytes(data)})
    with contextlib.suppress(mw.WorkbookError):
        read(path)


# More than a writer keeps


def with_part(path: Path, name: str, data: bytes = b"<a/>") -> Path:
    return packed(path, parts(path) | {name: data})


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("xl/media/image1.png", "pictures"),
        ("xl/drawings/drawing9.xml", "pictures or shapes"),
        ("xl/charts/chart1.xml", "charts"),
        ("xl/ctrlProps/ctrlProp1.xml", "controls"),
        ("xl/activeX/activeX1.xml", "controls"),
        ("xl/vbaProject.bin", "macros"),
        ("xl/externalLinks/externalLink1.xml", "links to other workbooks"),
        ("xl/threadedComments/threadedComment1.xml", "threaded comments"),
        ("xl/pivotTables/pivotTable1.xml", "pivot tables"),
        ("xl/embeddings/a.bin", "embedded files"),
        ("customXml/item1.xml", "custom data"),
        ("xl/never/heard/of.xml", "the part xl/never/heard/of.xml"),
    ],
)
def test_what_would_be_dropped_sends_the_results_to_a_second_file(
    book: Path, name: str, what: str
) -> None:
    with_part(book, name)
    before = book.read_bytes()
    assert look_over(book).dropped(()) == [what]
    for _ in range(2):
        plan, written = workbook.plan(book, draws=0)
        assert written == book.with_name("shop results.xlsx")
        assert book.read_bytes() == before
    assert plan.price is not None
    assert openpyxl.load_workbook(written).sheetnames[0] == "Quote"


@pytest.mark.parametrize("word", ["extLst", "controls", "oleObjects", "picture", "legacyDrawingHF"])
def test_what_would_be_dropped_within_a_sheet_counts_too(book: Path, word: str) -> None:
    found = parts(book)
    name = "xl/worksheets/sheet2.xml"
    found[name] = found[name].replace(b"</worksheet>", f"<{word}/></worksheet>".encode())
    packed(book, found)
    assert look_over(book).dropped(()) != []


def test_a_picture_of_a_persons_own_is_never_lost(book: Path) -> None:
    """A real one, put there by the library: the same file as an office program writes."""
    from openpyxl.drawing.image import Image
    from PIL import Image as Pillow

    png = io.BytesIO()
    Pillow.new("RGB", (8, 8), "red").save(png, "PNG")
    wb = openpyxl.load_workbook(book)
    wb["Job"].add_image(Image(png), "F2")
    wb.save(book)
    before = book.read_bytes()
    assert workbook.plan(book, draws=0).path.name == "shop results.xlsx"
    assert book.read_bytes() == before


def test_the_pictures_of_an_earlier_plan_are_replaced(book: Path) -> None:
    for _ in range(3):
        assert workbook.plan(book, draws=0).path == book
    wb = openpyxl.load_workbook(book)
    assert len(wb["Cut list"]._images) == 1  # type: ignore[attr-defined]


def test_a_workbook_with_macros_stays_what_it_is(book: Path) -> None:
    path = with_part(book, "xl/vbaProject.bin").rename(book.with_suffix(".xlsm"))
    assert workbook.plan(path, draws=0).path.name == "shop results.xlsx"


def test_links_to_other_workbooks_are_never_followed(book: Path) -> None:
    """A formula that refers outside is read by its stored result, as any other."""
    found = parts(book)
    link = (
        b'<externalLink xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
        b'<externalBook xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/'
        b'relationships" r:id="rId1"/></externalLink>'
    )
    packed(book, found | {"xl/externalLinks/externalLink1.xml": link})
    assert workbook.plan(book, draws=0).path.name == "shop results.xlsx"


# At the same time


@pytest.mark.parametrize("mark", [".~lock.shop.xlsx#", "~$shop.xlsx"])
def test_a_workbook_that_is_open_elsewhere_is_left_alone(book: Path, mark: str) -> None:
    (book.parent / mark).write_text("me")
    before = book.read_bytes()
    with pytest.raises(mw.WorkbookError, match="open in an office program"):
        workbook.plan(book, draws=0)
    assert book.read_bytes() == before
    other = book.with_name("other.xlsx")
    assert workbook.plan(book, out=other, draws=0).path == other


def test_a_workbook_that_changed_meanwhile_is_left_alone(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from mountwright.workbook import writer

    make = mw.plan

    def slowly(*args: object, **words: object) -> mw.Plan:
        book.write_bytes(book.read_bytes() + b" ")
        return make(*args, **words)  # type: ignore[arg-type]

    monkeypatch.setattr(writer, "make_plan", slowly)
    with pytest.raises(mw.WorkbookError, match="was changed while it was planned"):
        workbook.plan(book, draws=0)
    assert book.read_bytes().endswith(b" ")
    assert [p.name for p in book.parent.iterdir()] == ["shop.xlsx"]


def test_a_full_disk_leaves_the_workbook_as_it_was(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "no space left on device")

    before = book.read_bytes()
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space"):
        workbook.plan(book, draws=0)
    assert book.read_bytes() == before
    assert [p.name for p in book.parent.iterdir()] == ["shop.xlsx"]


def test_a_link_to_a_workbook_stays_a_link(book: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "link.xlsx"
    link.symlink_to(book)
    workbook.plan(link, draws=0)
    assert link.is_symlink()
    assert "Quote" in openpyxl.load_workbook(book).sheetnames
