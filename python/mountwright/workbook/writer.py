"""A plan into the workbook it was typed in, or beside it where that would lose something."""

from __future__ import annotations

import os
import tomllib
from collections import Counter
from collections.abc import Collection, Sequence
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from mountwright.errors import JobError, WorkbookError
from mountwright.memory import Table
from mountwright.plan import Job, Plan, Shop
from mountwright.plan import plan as make_plan
from mountwright.workbook import answer_memory, inputs, reader, results
from mountwright.workbook.fields import File
from mountwright.workbook.safe import look_over
from mountwright.workbook.save import save, stamp

OF_SAMPLE = "the sample of a new workbook"
"""Source of what nobody has typed over yet."""


def new(path: Path, job: Job | None, shop: Shop | None, kinds: Collection[str]) -> None:
    """Write a workbook to fill in; see :func:`mountwright.workbook.new`."""
    if path.exists():
        raise FileExistsError(17, "there is a file already: name another", str(path))
    given: dict[File, Job | Shop | None] = {"job": job, "shop": shop}
    data = [tomllib.loads(own.text) if own else reader.sample(name) for name, own in given.items()]
    if job is None and kinds and "panels" not in kinds:
        # The sample's panel would be planned, and charged, beside what is typed.
        kept = ("schema", "start", "sun", "units")
        data[0] = {key: data[0][key] for key in kept} | {"name": "New job"}
    if shop is not None and shop.memory_file:
        # The same file, from the folder of the workbook.
        data[1]["memory"] = os.path.relpath(shop.memory_file, path.parent)
    wb = Workbook()
    for ws in wb.worksheets:
        wb.remove(ws)
    sample = [file for file, own in given.items() if own is None]
    kinds = kinds or ({"panels"} if job is None else ())
    inputs.fill_in(wb, data[0], data[1], kinds=kinds, sample=sample)
    save(wb, path, stored={}, expected=None)


def plan_typed(typed: reader.Typed, *, materials: Path | None, draws: int, seed: int) -> Plan:
    """Plan what was typed; faults and sources name their cells."""
    job, shop = typed.files()
    try:
        plan = make_plan(job, shop=shop, materials=materials, draws=draws, seed=seed)
    except JobError as error:
        for file in typed.texts:
            if error.path == typed.name(file):
                problems = list(reader.located(typed, file, error))
                sheets = [sheet.title for sheet in typed.package.sheets]
                raise reader.faulty(typed.path, problems, sheets) from error
        raise
    fields = plan.to_dict()
    origins = {
        f"{typed.name(file)}, line {line}": (file, key)
        for file, text in typed.texts.items()
        for line, key in text.lines.items()
    }
    for entry in fields["provenance"]["entries"]:
        origin = entry["origin"]
        if key := origins.get(origin):
            at = typed.place(*key)
            entry["origin"] = f"{typed.path.name}, {at.sheet}!{at.cell}"
            if key in typed.sample_keys:
                # Also where the shop has said already that nothing is invented any more.
                entry |= {"source": OF_SAMPLE, "standing": "invented"}
        elif origin in map(typed.name, typed.texts):
            entry["origin"] = typed.path.name
    standings = Counter(entry["standing"] for entry in fields["provenance"]["entries"])
    fields["provenance"]["counts"] = dict(sorted(standings.items()))
    return Plan(fields, drawings=plan.drawings)


def remembered(typed: reader.Typed) -> tuple[Table, ...]:
    """Ask the memory of the shop that was typed."""
    return answer_memory.tables(typed.files()[1])


def put(
    plan: Plan,
    path: Path,
    typed: reader.Typed | None,
    seen: Any,
    remembered: Sequence[Table] = (),
) -> Path:
    """Write the results of a plan into a workbook, or into a second one beside it.

    Parameters
    ----------
    plan : Plan
        What is written.
    path : Path
        A workbook that is there, or is to be made.
    typed : Typed, optional
        What was read from that workbook, if it is the one that the plan was typed in.
    seen : tuple, optional
        The state of the file when it was read.
    remembered : sequence of Table, default ()
        Answers of the shop's memory.

    Returns
    -------
    Path
        The file that was written.
    """
    if not path.exists():
        wb = Workbook()
        first = wb.worksheets[0]
        results.put_results(wb, plan, None, remembered)
        wb.remove(first)
        save(wb, path, stored={}, expected=None)
        return path
    package = typed.package if typed else look_over(path)
    wb = typed.formulas if typed else reader.open_workbook(path, results=False)
    values = typed.results if typed else reader.open_workbook(path, results=True)
    own = {ws.title for ws in results.ours(wb).values()}
    dropped = package.dropped(own)
    if path.suffix.lower() != ".xlsx":
        dropped = dropped or [f"the form {path.suffix}"]
    if dropped:
        return _beside(plan, path, dropped, remembered)
    stored = {
        (ws.title, cell.coordinate): (value.data_type, value.value)
        for ws in wb.worksheets
        if isinstance(ws, Worksheet) and ws.title not in own
        # Not row by row: one stray cell at the far end of a sheet would make billions of them.
        for cell in list(ws._cells.values())
        if cell.data_type == "f"
        for value in [values[ws.title][cell.coordinate]]
    }
    for key, value in results.put_results(wb, plan, typed, remembered).items():
        stored[key] = ("str", value)
    save(wb, path, stored=stored, expected=seen)
    return path


def _beside(plan: Plan, path: Path, dropped: list[str], remembered: Sequence[Table]) -> Path:
    second = path.with_name(f"{path.stem} results.xlsx")
    what = ", ".join(dropped)
    if path.stem.endswith(" results"):
        raise WorkbookError(
            f"{path} holds what would be lost by writing into it ({what}): name another file",
            str(path),
            (),
        )
    return put(plan, second, None, stamp(second) if second.exists() else None, remembered)
