"""The command line: ``mountwright plan JOB --shop SHOP --out DIR`` and what goes with it."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Literal

import click

import mountwright as mw
from mountwright.cli_memory import COMMANDS
from mountwright.cli_memory import shop_asked as _asked
from mountwright.cli_options import complete_materials as _completed
from mountwright.cli_options import memory_option as _remembers
from mountwright.cli_options import reader_gone
from mountwright.cli_options import shop_option as _shop
from mountwright.cli_options import told as _told
from mountwright.shapes import KINDS, save

INTERRUPTED = 130


def _say_version(context: click.Context, _option: object, asked: bool) -> None:  # noqa: FBT001
    if not asked or context.resilient_parsing:
        return
    from importlib import metadata

    try:
        said = metadata.version("mountwright")
    except metadata.PackageNotFoundError:
        said = "is not installed: it runs from a source tree, whose Cargo.toml has the version"
    click.echo(f"mountwright {said}")
    context.exit()


_CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 96}


@click.group(context_settings=_CONTEXT)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_say_version,
    help="Show the version and exit.",
)
def _commands() -> None:
    """Plan plastic mounts that are heat-formed and routed at the bench.

    \b
    Exit status:
      0    done
      1    a fault of the program itself, with its traceback: please report it
      2    bad input: a file with faults, an unknown name, a folder that cannot be written
      130  interrupted
      141  the reader of the output has gone, as `head` does

    \b
    Completion in the shell, for bash; zsh and fish alike:
      eval "$(_MOUNTWRIGHT_COMPLETE=bash_source mountwright)"
    """


# Options that several commands share.
_materials = click.option(
    "--materials",
    type=click.Path(path_type=Path),
    help="A materials file of your own, laid over the standard catalogue.",
)
_draws = click.option(
    "--draws",
    default=256,
    show_default=True,
    type=click.IntRange(min=0),
    help="Draws behind the ranges; 0 for none.",
)
_seed = click.option(
    "--seed", default=1, show_default=True, type=click.IntRange(min=0), help="Seed of the draws."
)


@_commands.command("plan", short_help="Plan a job, from the sheet to the promise.")
@click.argument("job", type=click.Path(path_type=Path))
@_shop
@_remembers
@_materials
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the packet.")
@_draws
@_seed
@click.option("--json", "as_json", is_flag=True, help="Print the whole plan as JSON.")
@_told
def _plan(
    job: Path,
    shop: Path,
    memory: Path | None,
    materials: Path | None,
    out: Path | None,
    draws: int,
    seed: int,
    *,
    as_json: bool,
) -> None:
    """Plan JOB: what to buy, how to cut, heat and bond it, what it costs, when it is ready.

    \b
    Examples:
      mountwright plan demo-data/pillar-pods.toml --shop demo-data/shop.toml --out out/pods
      mountwright plan demo-data/door-rings.toml --shop demo-data/shop.toml --json
    """
    plan = mw.plan(
        mw.Job.read(job),
        shop=_asked(shop, memory),
        materials=materials,
        draws=draws,
        seed=seed,
    )
    page = plan.write_packet(out) if out else None
    if as_json:
        click.echo(plan.to_json(indent=1))
        return
    click.echo(plan)
    if page:
        click.echo(f"{'packet':<14}{page}")


@_commands.command("measure", short_help="Print what to measure before a part is planned.")
@click.argument("kind", metavar="KIND", type=click.Choice(KINDS, case_sensitive=False))
@click.option("--out", type=click.Path(path_type=Path), help="File to write: .pdf, .svg or .dxf.")
@click.option(
    "--paper",
    default="a4",
    show_default=True,
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    help="Paper of a PDF.",
)
@click.option(
    "--units",
    default="metric",
    show_default=True,
    type=click.Choice(["metric", "inch"]),
    help="Units of the sheet.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the sheet as JSON.")
@_told
def _measure(
    kind: str,
    out: Path | None,
    paper: str,
    units: Literal["metric", "inch"],
    *,
    as_json: bool,
) -> None:
    """Print what to measure before a part is planned.

    KIND is strap, ring, panel, pressed-pod, folded-panel or grille. Below the sheet stand the
    usual values that have to be typed into the job where nobody measured.

    \b
    Examples:
      mountwright measure strap
      mountwright measure ring --out ring.pdf --paper letter --units inch
    """
    sheet = mw.measure_sheet(kind, units=units)
    if out:
        save(sheet.drawing(), out, page=paper)
    if as_json:
        click.echo(sheet.to_json(indent=1))
        return
    click.echo(f"{'sheet':<14}{out}\n\n{sheet.typed()}" if out else sheet)


@_commands.command("compare", short_help="Plan a job in several ways, side by side.")
@click.argument("job", type=click.Path(path_type=Path))
@_shop
@click.option(
    "--way",
    "ways",
    required=True,
    multiple=True,
    help="Name and changes: 'PC: material=pc, thickness=3 mm'. May be given several times.",
)
@_materials
@click.option("--out", type=click.Path(path_type=Path), help="File for the page.")
@_draws
@_seed
@click.option("--json", "as_json", is_flag=True, help="Print the alternatives as JSON.")
@_told
def _compare(
    job: Path,
    shop: Path,
    ways: tuple[str, ...],
    materials: Path | None,
    out: Path | None,
    draws: int,
    seed: int,
    *,
    as_json: bool,
) -> None:
    """Plan JOB as it stands and in other ways, side by side.

    A way changes material, thickness (of straps and panels), finish, cut_by (hand-router, saw,
    cnc), template (make, on-shelf, lost) or sets (vehicles alike); with part=NAME only that part.

    \b
    Example:
      mountwright compare demo-data/door-rings.toml --shop demo-data/shop.toml \\
        --way 'PC: part=kick panel, material=pc' --way 'bare: finish=bare'
    """
    found = mw.compare(
        mw.Job.read(job),
        shop=mw.Shop.read(shop),
        ways=dict(map(_way, ways)),
        materials=materials,
        draws=draws,
        seed=seed,
    )
    page = found.write_page(out) if out else None
    click.echo(found.to_json(indent=1) if as_json else found)
    if page and not as_json:
        click.echo(f"page  {page}")


def _way(text: str) -> tuple[str, dict[str, str | int]]:
    """Read ``NAME: key=value, key=value``."""
    name, _, changes = text.partition(":")
    way: dict[str, str | int] = {}
    for change in changes.split(","):
        key, equals, value = (part.strip() for part in change.partition("="))
        if not equals:
            raise click.BadParameter(
                f"{text!r}: write 'NAME: key=value, key=value'", param_hint="--way"
            )
        way[key] = int(value) if key == "sets" and value.isdecimal() else value
    return name.strip(), way


@_commands.command("sources", short_help="Tell where the numbers of a plan come from.")
@click.argument("job", type=click.Path(path_type=Path))
@_shop
@_remembers
@_materials
@click.option("--json", "as_json", is_flag=True, help="Print the report as JSON.")
@_told
def _sources(
    job: Path,
    shop: Path,
    memory: Path | None,
    materials: Path | None,
    *,
    as_json: bool,
) -> None:
    """Tell where the numbers of the plan of JOB come from.

    Every property and constant with its value, range, source and standing, and how many are
    published, common practice, remembered, derived, the shop's own or invented.

    \b
    Examples:
      mountwright sources demo-data/pillar-pods.toml --shop demo-data/shop.toml
    """
    plan = mw.plan(mw.Job.read(job), shop=_asked(shop, memory), materials=materials, draws=0)
    click.echo(plan.provenance.to_json(indent=1) if as_json else plan.provenance)


@_commands.command("choose", short_help="Rank the sheets that may serve for each part.")
@click.argument("job", type=click.Path(path_type=Path))
@_shop
@_materials
@click.option("--json", "as_json", is_flag=True, help="Print the ranking as JSON.")
@_told
def _choose(job: Path, shop: Path, materials: Path | None, *, as_json: bool) -> None:
    """Rank the sheets that may serve for each part of JOB, with reasons.

    Those of the shop, as thick as the job asks and near it, and those of the catalogue that would
    have to be bought: by forming with the shop's own heat, temperature of the place, stiffness,
    adhesion, price and fumes.

    \b
    Example:
      mountwright choose demo-data/pillar-pods.toml --shop demo-data/shop.toml
    """
    plan = mw.plan(mw.Job.read(job), shop=mw.Shop.read(shop), materials=materials, draws=0)
    if as_json:
        click.echo(json.dumps([choice.to_dict() for choice in plan.choices], indent=1))
        return
    click.echo("\n\n".join(map(str, plan.choices)))


@_commands.command("materials", short_help="Show materials, or those that do what is wanted.")
@click.argument("names", nargs=-1, shell_complete=_completed)
@_materials
@click.option(
    "--role", type=click.Choice(["sheet", "gasket", "body"]), help="Only what serves for this."
)
@click.option("--limp-at", help="Limp at this temperature or below: '120 °C'.")
@click.option("--formable-at", help="Drawing at this temperature or below.")
@click.option("--survives", help="Standing this temperature for long, with 10 K to spare.")
@click.option("--stocked", help="Stocked in this thickness: '3 mm'.")
@click.option("--pvc/--no-pvc", "contains_pvc", default=None, help="With or without PVC.")
@click.option(
    "--property",
    "properties",
    multiple=True,
    help="A column for the materials that are named: 'limp'. May be given several times.",
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@_told
def _catalogue(
    names: tuple[str, ...],
    materials: Path | None,
    properties: tuple[str, ...],
    *,
    as_json: bool,
    **wanted: Any,
) -> None:
    """Show materials: all, those that do what is wanted, or NAMES.

    One name shows all that is known of it, several stand side by side. Names and aliases of the
    trade; case and hyphens do not matter.

    \b
    Examples:
      mountwright materials --role sheet --survives '95 °C' --stocked '3 mm'
      mountwright materials 'foamed PVC'
      mountwright materials abs pc --property limp --property hdt_1820
    """
    file = str(materials) if materials else None
    found: mw.Material | mw.Materials | mw.Comparison
    if not names:
        found = mw.materials(file=file, **wanted)
    elif len(names) == 1 and not properties:
        found = mw.material(names[0], file=file)
    else:
        columns = properties or mw.Materials.SHOWN
        found = mw.compare_materials(names, columns, file=file)
    click.echo(found.to_json(indent=1) if as_json else found)


@_commands.group("workbook", short_help="Plan a job typed into a spreadsheet.")
def _workbook() -> None:
    """Type a job and a shop into a spreadsheet, and have the plan added to it."""


@_workbook.command("new", short_help="Write a workbook to fill in.")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--job", type=click.Path(path_type=Path), help="A job file to fill in.")
@click.option("--shop", type=click.Path(path_type=Path), help="A shop file to fill in.")
@click.option(
    "--part",
    "kinds",
    multiple=True,
    type=click.Choice(["panels", "rings", "straps", "pods", "folded", "grilles"]),
    help="Show the sheet of this kind of part too, empty where the job has none. May be given "
    "several times.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was written as JSON.")
@_told
def _workbook_new(
    file: Path,
    job: Path | None,
    shop: Path | None,
    kinds: tuple[str, ...],
    *,
    as_json: bool,
) -> None:
    """Write a workbook FILE (.xlsx) to fill in: job, parts, stock, rates.

    Without --job it holds a sample, a kick panel, and without --shop a sample shop, both marked as
    invented: type over them.

    \b
    Examples:
      mountwright workbook new shop.xlsx
      mountwright workbook new pods.xlsx --job demo-data/pillar-pods.toml --shop demo-data/shop.toml
      mountwright workbook new ring.xlsx --part rings
    """
    from mountwright import workbook

    workbook.new(
        file,
        job=mw.Job.read(job) if job else None,
        shop=mw.Shop.read(shop) if shop else None,
        kinds=kinds,
    )
    click.echo(json.dumps({"workbook": str(file)}) if as_json else f"{'workbook':<14}{file}")


@_workbook.command("plan", short_help="Plan a workbook, and add the results.")
@click.argument("file", type=click.Path(path_type=Path))
@_materials
@click.option("--out", type=click.Path(path_type=Path), help="Another workbook for the results.")
@click.option("--packet", type=click.Path(path_type=Path), help="Folder for the packet too.")
@_draws
@_seed
@click.option("--json", "as_json", is_flag=True, help="Print the whole plan as JSON.")
@_told
def _workbook_plan(
    file: Path,
    materials: Path | None,
    out: Path | None,
    packet: Path | None,
    draws: int,
    seed: int,
    *,
    as_json: bool,
) -> None:
    """Plan what stands in the workbook FILE, and add sheets with the answer to it.

    What you typed stays as it is: values, formulas, notes, sheets of your own. Where FILE holds
    pictures, charts, controls or macros it is left alone, and the results go into a second
    workbook beside it. Save and close FILE in your office program first.

    \b
    Examples:
      mountwright workbook plan shop.xlsx
      mountwright workbook plan shop.xlsx --packet out/panel
    """
    from mountwright import workbook

    plan, written = workbook.plan(file, out=out, materials=materials, draws=draws, seed=seed)
    page = plan.write_packet(packet) if packet else None
    if as_json:
        click.echo(plan.to_json(indent=1))
        return
    click.echo(plan)
    click.echo(f"{'workbook':<14}{written}")
    if page:
        click.echo(f"{'packet':<14}{page}")


@_commands.command("schema", short_help="Help an editor to complete job and shop files.")
@click.argument("kind", type=click.Choice(["job", "shop"]))
@click.option("--out", type=click.Path(path_type=Path), help="File to write.")
@click.option("--json", "as_json", is_flag=True, help="Say as JSON what was written.")
@_told
def _schema(kind: Literal["job", "shop"], out: Path | None, *, as_json: bool) -> None:
    """Write the JSON schema of job or shop files, so that an editor completes them.

    Many editors read it from a line at the top of the TOML file: #:schema job.schema.json

    \b
    Examples:
      mountwright schema job
      mountwright schema shop --out shop.schema.json
    """
    text = json.dumps(mw.schema(kind), indent=1, ensure_ascii=False)
    if out:
        out.write_text(text + "\n", encoding="utf-8", newline="\n")
    if out and as_json:
        click.echo(json.dumps({"schema": str(out)}))
        return
    click.echo(f"{'schema':<14}{out}" if out else text)


for _command in COMMANDS:
    _commands.add_command(_command)


def main() -> None:
    """Run the command line."""
    try:
        _commands(prog_name="mountwright", standalone_mode=False)
        sys.stdout.flush()
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except (click.Abort, KeyboardInterrupt):
        click.echo("mountwright: stopped", err=True)
        sys.exit(INTERRUPTED)
    except BrokenPipeError:
        reader_gone()
