"""Commands of the shop's memory: what was accepted, what stands in the rack, what jobs took."""

from __future__ import annotations

import datetime
import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

import mountwright as mw
from mountwright.cli_options import json_option, memory_option, shop_option, told
from mountwright.memory import AtOnce
from mountwright.shapes import form_of, save

QUESTIONS = (
    "cost",
    "underestimated",
    "old-offcuts",
    "comebacks",
    "used",
    "jobs",
    "patterns",
    "trials",
    "taught",
)


def _memory(shop: Path, memory: Path | None) -> mw.Memory:
    return mw.Shop.read(shop, memory=memory).memory


def shop_asked(shop: Path, memory: Path | None) -> mw.Shop:
    """Read the shop whose memory is asked; where there is none, its name may be wrong.

    A name that was given is refused, that of the shop's file may wait for what is remembered first.
    """
    found = mw.Shop.read(shop, memory=memory)
    if found.memory_file is None:
        return found
    file = Path(found.memory_file)
    why = "" if file.exists() else "there is no such file"
    if not why and file.is_file() and file.stat().st_size == 0:
        why = "the file is empty"
    if why and memory is not None:
        words = (
            f"{why}: {file}; mend its name, or leave --memory out until accept, coupon, rack or "
            "load has made it"
        )
        raise click.BadParameter(words, param_hint="--memory")
    if why:
        # After the answer: before the first job is accepted this is as it should be.
        words = f"(no memory yet, {why}: {file}; accept makes it)"
        click.get_current_context().call_on_close(lambda: click.echo(words, err=True))
    return found


def _to_ask(shop: Path, memory: Path | None) -> mw.Memory:
    """Open the memory for a question."""
    return shop_asked(shop, memory).memory


def _to_make(shop: Path, memory: Path | None, *, as_json: bool) -> mw.Memory:
    """Open the memory to remember something; where it is made by that, that is said at the end."""
    kept = _memory(shop, memory)
    if not Path(kept.path).exists():

        def tell() -> None:
            if Path(kept.path).exists():
                click.echo(f"{'made':<10}{kept.path}: a new memory", err=as_json)

        click.get_current_context().call_on_close(tell)
    return kept


def _to_change(shop: Path, memory: Path | None) -> mw.Memory:
    """Open the memory to change what is remembered already."""
    return _to_ask(shop, memory) if memory is not None else _memory(shop, memory)


def _pair(text: str, option: str) -> tuple[str, str]:
    """Read ``NAME: VALUE``; a name may hold colons, so the last one counts."""
    name, colon, value = text.rpartition(":")
    if not colon or not name.strip():
        raise click.BadParameter(f"{text!r}: write 'NAME: VALUE'", param_hint=option)
    return name.strip(), value.strip()


def _number(text: str, option: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise click.BadParameter(f"{text!r} is no number", param_hint=option) from None


def _count(text: str, option: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise click.BadParameter(f"{text!r} is no whole number", param_hint=option) from None


def _minutes(pairs: Iterable[str]) -> dict[str, float]:
    found = {}
    for text in pairs:
        work, equals, minutes = text.rpartition("=")
        if not equals:
            raise click.BadParameter(f"{text!r}: write 'WORK=MINUTES'", param_hint="--minutes")
        if work.strip() in found:
            raise click.BadParameter(f"{work.strip()!r} is given twice", param_hint="--minutes")
        found[work.strip()] = _number(minutes, "--minutes")
    return found


@click.command("accept", short_help="Accept a plan: take its sheet out of the rack.")
@click.argument("packet", type=click.Path(path_type=Path))
@shop_option
@memory_option
@click.option("--quoted", is_flag=True, help="The price was given; the customer has not said yes.")
@click.option("--undo", is_flag=True, help="Take the acceptance back.")
@click.option("--on", help="The day: '2026-11-26'; today if left out.")
@click.option(
    "--labels", type=click.Path(path_type=Path), help="File for the labels: .pdf or .svg."
)
@json_option
@told
def accept(
    packet: Path,
    shop: Path,
    memory: Path | None,
    labels: Path | None,
    on: str | None,
    *,
    quoted: bool,
    undo: bool,
    as_json: bool,
) -> None:
    """Accept the plan in PACKET: its sheet leaves the rack, what it keeps goes in.

    PACKET is the folder that `plan --out` wrote, or its plan.json. Labels for the kept offcuts go
    to labels.pdf in that folder, or to --labels. A second acceptance is refused, and so is a plan
    whose offcuts another job has taken meanwhile, or one of whose parts is not to be made as it is
    planned (it fails a check, or has no forming window): nothing is changed then. Mend the job,
    plan it once more, and accept that.

    \b
    Examples:
      mountwright accept out/pods --shop shop.toml
      mountwright accept out/pods --shop shop.toml --on 2026-11-24
      mountwright accept out/pods --shop shop.toml --undo
    """
    if undo and (on or quoted or labels):
        raise click.UsageError("--undo goes without --on, --quoted and --labels")
    if quoted and labels:
        raise click.UsageError("--quoted goes without --labels: nothing is kept yet")
    plan = mw.Plan.read(packet)
    file = labels or (packet if packet.is_dir() else packet.parent) / "labels.pdf"
    # Before anything is accepted: a file that cannot be is named first.
    form_of(file)
    kept = _to_change(shop, memory) if undo else _to_make(shop, memory, as_json=as_json)
    if undo or quoted:
        if undo:
            kept.undo(plan.job.name, start=plan.job.start)
        else:
            kept.quote(plan, on=on)
        state = {"job": plan.job.name, "state": "quoted"}
        words = f"{'taken back' if undo else 'quoted'}  {plan.job.name}"
        click.echo(json.dumps(state, ensure_ascii=False) if as_json else words)
        return
    done = kept.accept(plan, on=on)
    # Said before the labels are written: it is accepted, whether they can be or not.
    click.echo(done.to_json(indent=1) if as_json else done)
    if done.kept:
        save(kept.labels(piece.name for piece in done.kept), file, page="a4")
        if not as_json:
            click.echo(f"{'labels':<10}{file}")


@click.command("close", short_help="Close a job: note what it took.")
@click.argument("job")
@shop_option
@memory_option
@click.option("--start", help="When the job starts, where several have that name.")
@click.option(
    "--minutes",
    multiple=True,
    help="Attended minutes: 'cutting=35', 'lay the film=20' or 'left pod / cut=12'. Several times.",
)
@click.option("--heats", type=int, help="Times that a part was heated to be formed.")
@click.option("--spoiled", type=int, help="How many of those came out wrong.")
@click.option("--glue", help="Glue used: '12 mL'.")
@click.option(
    "--more-cost",
    type=float,
    help="What it cost beyond the plan, beside hours. The plan holds the blanks that are usually "
    "lost: of sheet bought once more, note what it cost beyond those.",
)
@click.option("--remarks", help="Anything else.")
@click.option("--on", help="The day on which it was done: '2026-11-26'; today if left out.")
@click.option(
    "--edit", multiple=True, help="What the trial fit showed: 'left pod: front_cut=3 mm'."
)
@click.option("--hangs", multiple=True, help="Where a template hangs: 'left pod: by the door'.")
@click.option("--spare", multiple=True, help="Spares made for next time: 'left pod: 1'.")
@json_option
@told
def close(
    job: str,
    shop: Path,
    memory: Path | None,
    start: str | None,
    minutes: tuple[str, ...],
    edit: tuple[str, ...],
    hangs: tuple[str, ...],
    spare: tuple[str, ...],
    *,
    as_json: bool,
    **counts: Any,
) -> None:
    """Close JOB: what it took moves the next estimate, what was made is remembered.

    At a terminal, without --minutes, it asks for each kind of work with the planned minutes (the
    mean, which the price rests on) beside it; Enter leaves one out. Closing once more replaces
    only what is given.

    \b
    Examples:
      mountwright close 'Tweeter pods, both pillars' --shop shop.toml
      mountwright close 'Tweeter pods, both pillars' --shop shop.toml \\
        --minutes cutting=25 --minutes finishing=140 --heats 3 --spoiled 1 \\
        --edit 'left pod: front_cut=3 mm' --hangs 'left pod: nail by the door'
    """
    kept = _to_change(shop, memory)
    times = _minutes(minutes)
    if not minutes and not as_json and sys.stdin.isatty():
        times = _asked(kept.planned_minutes(job, start=start))
        for what in ("heats", "spoiled"):
            if counts[what] is None:
                counts[what] = _whole(click.prompt(f"{what:<28}", default="", show_default=False))
    edits: dict[str, dict[str, str]] = {}
    for text in edit:
        part, change = _pair(text, "--edit")
        key, equals, value = change.partition("=")
        if not equals:
            raise click.BadParameter(f"{text!r}: write 'PART: key=value'", param_hint="--edit")
        edits.setdefault(part, {})[key.strip()] = value.strip()
    noted = kept.close(
        job,
        start=start,
        minutes=times,
        edits=edits,
        hangs=dict(_pair(text, "--hangs") for text in hangs),
        spares={
            part: _count(count, "--spare")
            for part, count in (_pair(text, "--spare") for text in spare)
        },
        **counts,
    )
    taught = kept.taught()
    if as_json:
        click.echo(taught.to_json(indent=1))
        return
    click.echo("\n".join([f"done  {job}", *(f"noted {work}" for work in noted), str(taught)]))


def _asked(planned: dict[str, float]) -> dict[str, float]:
    click.echo("minutes at work, beside the mean that was planned (Enter leaves one out)")
    times = {}
    for work, minutes in planned.items():
        given = click.prompt(
            f"{work:<16}planned {minutes:4.0f}",
            default="",
            show_default=False,
            # A slip is asked again, and costs nothing that was typed before.
            value_proc=lambda text: float(text) if text else None,
        )
        if given is not None:
            times[work] = given
    return times


def _whole(text: str) -> int | None:
    return _count(text, "count") if text else None


@click.command("rack", short_help="Show the rack, put offcuts in and take them out.")
@shop_option
@memory_option
@click.option("--put", multiple=True, help="Put an offcut in: 'abs, 3 mm, 420 mm x 310 mm'.")
@click.option("--gone", multiple=True, help="Take out an offcut that is broken or lost: its name.")
@click.option("--place", multiple=True, help="Where an offcut stands: 'K-012: left bay'.")
@click.option("--photo", multiple=True, help="File of a photo of it: 'K-012: photos/k12.jpg'.")
@click.option("--count", multiple=True, help="Whole sheets that stand there: 'ABS 3 mm: 2'.")
@click.option(
    "--labels", type=click.Path(path_type=Path), help="File for labels of all: .pdf, .svg."
)
@json_option
@told
def rack(
    shop: Path,
    memory: Path | None,
    put: tuple[str, ...],
    gone: tuple[str, ...],
    place: tuple[str, ...],
    photo: tuple[str, ...],
    count: tuple[str, ...],
    labels: Path | None,
    *,
    as_json: bool,
) -> None:
    """Show the rack, put offcuts in and take them out.

    Offcuts and counts of the shop's file stand there too until a plan takes them or they are
    counted; from then on the memory knows better. All that one command says is done, or nothing.

    \b
    Examples:
      mountwright rack --shop shop.toml
      mountwright rack --shop shop.toml --put 'abs, 3 mm, 420 mm x 310 mm' --labels labels.pdf
      mountwright rack --shop shop.toml --count 'ABS 3 mm: 2' --gone K-004
    """
    if labels:
        form_of(labels)
    changed = put or gone or place or photo or count
    kept = _to_make(shop, memory, as_json=as_json) if changed else _to_ask(shop, memory)
    changes = AtOnce(kept)
    for text in put:
        material, thickness, size = ([*text.split(","), "", ""])[:3]
        width, cross, height = size.replace("×", "x").partition("x")
        if not cross:
            raise click.BadParameter(
                f"{text!r}: write 'abs, 3 mm, 420 mm x 310 mm'", param_hint="--put"
            )
        changes.put(material.strip(), thickness, width, height)
    for name in gone:
        changes.scrap(name)
    for name, where in (_pair(text, "--place") for text in place):
        changes.stand(name, place=where)
    for name, file in (_pair(text, "--photo") for text in photo):
        changes.stand(name, photo=file)
    for name, number in (_pair(text, "--count") for text in count):
        changes.count(name, _count(number, "--count"))
    if changed:
        for name in changes.make()[: len(put)]:
            click.echo(f"in    {name}", err=as_json)
    if labels:
        save(kept.labels(), labels, page="a4")
    if as_json:
        tables = {"sheets": kept.sheets().to_dict(), "offcuts": kept.rack().to_dict()}
        click.echo(json.dumps(tables, indent=1, ensure_ascii=False))
        return
    click.echo(f"{kept.sheets()}\n\n{kept.rack()}")
    if labels:
        click.echo(f"{'labels':<10}{labels}")


@click.command("again", short_help="Make a part the same as last time.")
@click.argument("part")
@shop_option
@memory_option
@click.option("--start", required=True, help="When work can start: '2026-12-01 08:30'.")
@click.option("--vehicle", help="The vehicle, where several have a part of that name.")
@click.option("--other-side", is_flag=True, help="For the other side of the vehicle.")
@click.option("--place", help="The place there, where its name does not follow from the first.")
@click.option(
    "--looked",
    is_flag=True,
    help="Somebody has looked there: no air bag, nothing in the driver's view.",
)
@click.option("--out", type=click.Path(path_type=Path), help="File for the job.")
@json_option
@told
def again(
    part: str,
    shop: Path,
    memory: Path | None,
    out: Path | None,
    *,
    as_json: bool,
    **more: Any,
) -> None:
    """Write a job that makes PART the same as last time, with its edits.

    For the other side it is mirrored; measure that side, they are rarely alike. Nothing is planned
    for a place where nobody has looked for an air bag.

    \b
    Examples:
      mountwright again 'left pod' --shop shop.toml --start '2026-12-01 08:30' --out job.toml
      mountwright again 'left pod' --shop shop.toml --start '2026-12-01 08:30' \\
        --other-side --looked --out job.toml
    """
    job = _to_ask(shop, memory).again(part, **more)
    if out:
        try:
            with out.open("x", encoding="utf-8", newline="\n") as file:
                file.write(job.text)
        except FileExistsError:
            words = f"{out} is there already and stays as it is: name another file"
            raise click.BadParameter(words, param_hint="--out") from None
    if as_json:
        click.echo(job.to_json(indent=1))
        return
    click.echo(f"{'job':<10}{out}" if out else job.text)


@click.command("coupon", short_help="Note a timed trial of the gun.")
@click.argument("material", required=False)
@click.argument("thickness", required=False)
@click.argument("distance", required=False)
@click.argument("limp_after", required=False)
@shop_option
@memory_option
@click.option(
    "--turn-every",
    help="How often it was turned over: '8 s'; heated from one face only if left out.",
)
@click.option("--air", help="Air of the shop: '19 °C'.")
@click.option("--forget", type=int, help="Forget the trial of that number, entered by mistake.")
@click.option("--width", help="Width of the piece; 50 mm if left out.")
@click.option("--length", help="Length of the piece; 100 mm if left out.")
@click.option("--gun", help="The gun; that of the shop's file if left out.")
@click.option("--on", help="The day of the trial: '2026-11-26'; today if left out.")
@json_option
@told
def coupon(
    material: str | None,
    thickness: str | None,
    distance: str | None,
    limp_after: str | None,
    shop: Path,
    memory: Path | None,
    *,
    forget: int | None,
    as_json: bool,
    **more: Any,
) -> None:
    """Remember a timed trial of the gun: a piece of MATERIAL went limp.

    Told are its THICKNESS, the DISTANCE of the nozzle and the time after which it was limp
    (LIMP_AFTER). A piece of 50 mm by 100 mm is meant where no size is given. Two trials are enough
    to narrow every heating time of the plans to come.

    \b
    Examples:
      mountwright coupon abs '3 mm' '100 mm' '55 s' --turn-every '8 s' --shop shop.toml
      mountwright coupon --forget 3 --shop shop.toml
    """
    note = forget is None
    kept = _to_make(shop, memory, as_json=as_json) if note else _to_change(shop, memory)
    if forget is not None:
        kept.forget_trial(forget)
    elif material and thickness and distance and limp_after:
        kept.tried(material, thickness, distance, limp_after, **more)
    else:
        raise click.UsageError("say MATERIAL THICKNESS DISTANCE LIMP_AFTER, or --forget NUMBER")
    trials = kept.trials()
    click.echo(trials.to_json(indent=1) if as_json else trials)


@click.command("comeback", short_help="Note that a job came back.")
@click.argument("job")
@shop_option
@memory_option
@click.option("--what", help="What failed: 'glue let go'.")
@click.option("--where", help="Where: 'left pillar'.")
@click.option("--undo", is_flag=True, help="Forget the last comeback of JOB, noted by mistake.")
@click.option(
    "--season",
    type=click.Choice(["spring", "summer", "autumn", "winter"]),
    help="That of the day, north of the equator, if left out.",
)
@click.option("--start", help="When the job started, where several have that name.")
@click.option("--on", help="The day on which it came back: '2027-07-02'; today if left out.")
@click.option("--remarks", help="Anything else.")
@json_option
@told
def comeback(
    job: str,
    shop: Path,
    memory: Path | None,
    what: str | None,
    where: str | None,
    start: str | None,
    *,
    undo: bool,
    as_json: bool,
    **more: Any,
) -> None:
    """Remember that JOB came back.

    \b
    Example:
      mountwright comeback 'Tweeter pods, both pillars' --shop shop.toml \\
        --what 'glue let go' --where 'left pillar'
    """
    kept = _to_change(shop, memory)
    if undo:
        kept.forget_comeback(job, start=start)
    elif what and where:
        kept.came_back(job, what, where, start=start, **more)
    else:
        raise click.UsageError("say --what and --where, or --undo")
    table = kept.ask("comebacks")
    click.echo(table.to_json(indent=1) if as_json else table)


@click.command("ask", short_help="Ask what the shop has learned.")
@click.argument("question", type=click.Choice(QUESTIONS))
@shop_option
@memory_option
@click.option("--kind", help="Of cost: only jobs with such a part: pods, rings, panels, grilles.")
@click.option("--year", type=click.IntRange(2000, 2100), help="Of cost: jobs done in that year.")
@click.option("--before", help="Of old-offcuts: in the rack since before that day; a year ago.")
@json_option
@told
def ask(
    question: str,
    shop: Path,
    memory: Path | None,
    kind: str | None,
    year: int | None,
    before: str | None,
    *,
    as_json: bool,
) -> None:
    """Ask the shop's memory.

    \b
    cost            what done jobs cost against what was quoted
    underestimated  which work takes longer than planned, by the mean of the plan
    old-offcuts     which offcuts are older than a year
    comebacks       what failed, where, in which season
    used            heats and glue against the plan
    jobs            quoted, accepted and done
    patterns        what was made for which vehicle
    trials          of the gun
    taught          what done jobs taught, beside what was believed before

    \b
    Examples:
      mountwright ask cost --kind pods --year 2025 --shop shop.toml
      mountwright ask underestimated --shop shop.toml --json
    """
    for option, value, own in (
        ("--kind", kind, "cost"),
        ("--year", year, "cost"),
        ("--before", before, "old-offcuts"),
    ):
        if value is not None and question != own:
            raise click.UsageError(f"{option} goes with the question {own}, not with {question}")
    kept = _to_ask(shop, memory)
    match question:
        case "jobs":
            table = kept.jobs()
        case "patterns":
            table = kept.patterns()
        case "trials":
            table = kept.trials()
        case "taught":
            table = kept.taught()
        case "cost":
            days = (
                (datetime.date(year, 1, 1), datetime.date(year, 12, 31)) if year else (None, None)
            )
            table = kept.ask("cost", kind=kind, since=days[0], until=days[1])
        case "old-offcuts":
            table = kept.ask("old offcuts", before=before)
        case "underestimated" | "comebacks" | "used":
            table = kept.ask(question)
        case _:
            raise AssertionError(question)
    click.echo(table.to_json(indent=1) if as_json else table)


@click.command("export", short_help="Write the shop's memory as plain files.")
@click.argument("folder", type=click.Path(path_type=Path))
@shop_option
@memory_option
@json_option
@told
def export(folder: Path, shop: Path, memory: Path | None, *, as_json: bool) -> None:
    """Write the shop's memory as plain files (CSV) into FOLDER, new or empty.

    To keep the memory safe it is enough to copy its one file while nobody writes.

    \b
    Example:
      mountwright export plain/ --shop shop.toml
    """
    files = [str(file) for file in _to_change(shop, memory).export(folder)]
    click.echo(json.dumps({"files": files}) if as_json else "\n".join(files))


@click.command("load", short_help="Read exported files into a new memory.")
@click.argument("folder", type=click.Path(path_type=Path))
@shop_option
@memory_option
@json_option
@told
def load(folder: Path, shop: Path, memory: Path | None, *, as_json: bool) -> None:
    """Read what `export` wrote in FOLDER into a memory that is new.

    \b
    Example:
      mountwright load plain/ --shop shop.toml --memory new.db
    """
    kept = _to_make(shop, memory, as_json=as_json)
    kept.load(folder)
    click.echo(json.dumps({"memory": kept.path}) if as_json else f"{'memory':<10}{kept.path}")


COMMANDS = (accept, close, rack, again, coupon, comeback, ask, export, load)
