"""A packet is written whole or not at all, and nobody else's files are touched."""

import errno
from pathlib import Path

import pytest

from mountwright.packet.write import CONTENTS, write


def packet(**texts: str) -> dict[str, tuple[str, str]]:
    return {name.replace("__", "/").replace("_", "."): ("title", t) for name, t in texts.items()}


def tree(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): path.read_text()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_parents_are_made(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    write(folder, packet(packet_html="page", drawings__x_svg="<svg/>"))
    found = tree(folder)
    assert found.pop(CONTENTS) == "packet.html\ttitle\ndrawings/x.svg\ttitle\n"
    assert found == {"packet.html": "page", "drawings/x.svg": "<svg/>"}


def test_a_new_packet_replaces_the_old_and_leaves_the_rest(tmp_path: Path) -> None:
    write(tmp_path, packet(packet_html="old", drawings__gone_svg="old", charts__c_svg="old"))
    (tmp_path / "job.xlsx").write_text("mine")
    (tmp_path / "drawings" / "mine.svg").write_text("mine")
    write(tmp_path, packet(packet_html="new", drawings__x_svg="new"))
    found = tree(tmp_path)
    found.pop(CONTENTS)
    assert found == {
        "packet.html": "new",
        "drawings/x.svg": "new",
        "drawings/mine.svg": "mine",
        "job.xlsx": "mine",
    }
    assert not (tmp_path / "charts").exists()


@pytest.mark.parametrize("at", range(6))
def test_a_fault_at_any_move_leaves_the_old_packet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    write(tmp_path, packet(packet_html="old", drawings__x_svg="old"))
    before = tree(tmp_path)
    moves = 0
    replace = Path.replace

    def stumble(self: Path, target: Path) -> Path:
        nonlocal moves
        moves += 1
        if moves == at + 1:
            raise OSError(errno.EIO, "the disk is gone", str(target))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", stumble)
    with pytest.raises(OSError, match="the disk is gone"):
        write(tmp_path, packet(packet_html="new", drawings__x_svg="new", drawings__y_svg="new"))
    monkeypatch.undo()
    assert tree(tmp_path) == before


def test_a_full_disk_leaves_no_trace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, *args: object, **kwargs: object) -> int:
        raise OSError(errno.ENOSPC, "no space left", str(self))

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(OSError, match="no space left"):
        write(tmp_path / "new" / "out", packet(packet_html="page"))
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_way_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    for folder in (tmp_path / "out", tmp_path / "out" / "deeper"):
        with pytest.raises(NotADirectoryError):
            write(folder, packet(packet_html="page"))
    assert tree(tmp_path) == {"out": "a file"}


def test_a_folder_where_a_file_should_be_is_an_error_and_stays(tmp_path: Path) -> None:
    (tmp_path / "packet.html" / "inside").mkdir(parents=True)
    write(tmp_path / "other", packet(packet_html="page"))
    with pytest.raises(OSError, match="folder"):
        write(tmp_path, packet(packet_html="page"))
    assert (tmp_path / "packet.html" / "inside").is_dir()


def test_a_listing_cannot_name_files_outside(tmp_path: Path) -> None:
    victim = tmp_path / "victim.svg"
    victim.write_text("safe")
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / CONTENTS).write_text(f"../victim.svg\tx\n{victim}\tx\n\0\tx\nnotes.txt\tx\n")
    (folder / "notes.txt").write_text("mine")
    write(folder, packet(packet_html="page"))
    assert victim.read_text() == "safe"
    assert (folder / "notes.txt").read_text() == "mine"
