"""Files into a folder, all of them or none."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath

CONTENTS = "contents.txt"


def write(folder: Path, files: Mapping[str, tuple[str, str | bytes]]) -> None:
    """Write a packet so that no half of one is ever seen.

    All files are written into a hidden folder first: a full disk or a missing right shows there,
    before anything that was there is touched. Then they are moved into place; if a move fails,
    those before it are taken back. Files of an earlier packet that this one no longer has are
    removed: its ``contents.txt`` names them. Anything else in the folder stays as it is.

    Parameters
    ----------
    folder : Path
        Made with its parents where it is missing.
    files : mapping of str to (str, str or bytes)
        For each file, by its path in the folder, what it is and its text or bytes.

    Raises
    ------
    OSError
        The folder cannot be made or written; it is as it was before.
    """
    listing = "".join(f"{name}\t{title}\n" for name, (title, _) in files.items())
    texts = {name: text for name, (_, text) in files.items()} | {CONTENTS: listing}
    made = _make(folder)
    try:
        hidden = Path(tempfile.mkdtemp(prefix=".packet-", dir=folder))
        try:
            new, old = hidden / "new", hidden / "old"
            for name, text in texts.items():
                path = new / name
                path.parent.mkdir(parents=True, exist_ok=True)
                if isinstance(text, bytes):
                    path.write_bytes(text)
                else:
                    path.write_text(text, encoding="utf-8", newline="\n")
            _swap(folder, new, old, sorted(texts), _listed(folder))
        finally:
            shutil.rmtree(hidden, ignore_errors=True)
    except BaseException:
        for path in reversed(made):
            # Only folders that were made here, and only while they are empty.
            with suppress(OSError):
                path.rmdir()
        raise


def _make(folder: Path) -> list[Path]:
    missing = []
    path = folder
    while not path.exists():
        missing.append(path)
        path = path.parent
    made = []
    for path in reversed(missing):
        path.mkdir()
        made.append(path)
    if not folder.is_dir():
        raise NotADirectoryError(20, "a file stands where the folder should be", str(folder))
    return made


def _listed(folder: Path) -> list[str]:
    """Name the files of the packet that is there, and nothing outside the folder."""
    try:
        lines = (folder / CONTENTS).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return []
    names = [PurePosixPath(line.partition("\t")[0]) for line in lines]
    return [
        str(name)
        for name in names
        if not name.is_absolute()
        and ".." not in name.parts
        and name.suffix in {".html", ".json", ".svg", ".dxf", ".pdf"}
        and (folder / name).is_file()
    ]


def _swap(folder: Path, new: Path, old: Path, names: list[str], listed: list[str]) -> None:
    moves: list[tuple[Path, Path]] = []

    def move(source: Path, target: Path) -> None:
        target.parent.mkdir(parents=True, exist_ok=True)
        source.replace(target)
        moves.append((source, target))

    for name in names:
        if (folder / name).is_dir():
            at = str(folder / name)
            raise IsADirectoryError(21, "a folder stands where a file of the packet should be", at)
    try:
        for name in sorted({*names, *listed}):
            if (folder / name).exists():
                move(folder / name, old / name)
        for name in names:
            move(new / name, folder / name)
    except BaseException:
        for source, target in reversed(moves):
            with suppress(OSError):
                target.replace(source)
        raise
    for parent in {(folder / name).parent for name in listed} - {folder}:
        # A folder that the new packet no longer fills.
        with suppress(OSError):
            parent.rmdir()
