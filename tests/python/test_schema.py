"""The schema of the files says what the parser does.

The validator is the library jsonschema, which knows JSON Schema draft 2020-12 and nothing of ours.
"""

import copy
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from jsonschema import Draft202012Validator

import mountwright as mw
from mountwright import _core
from mountwright.workbook.toml import toml

DEMO = Path(__file__).parents[2] / "demo-data"
FILES = sorted(DEMO.glob("*.toml"))
Kind = Literal["job", "shop"]


def kind_of(path: Path) -> Kind:
    return "shop" if path.name == "shop.toml" else "job"


def parser_faults(kind: Kind, data: dict[str, Any]) -> list[str]:
    try:
        _core.check_file(kind, toml(data).text, str(DEMO / "made.toml"))
    except mw.JobError as error:
        return [f"{p.field}: {p.message}" for p in error.problems]
    return []


def valid(kind: Kind, data: dict[str, Any]) -> bool:
    return bool(Draft202012Validator(mw.schema(kind)).is_valid(data))


@pytest.mark.parametrize("kind", ["job", "shop"])
def test_it_is_a_schema(kind: Kind) -> None:
    Draft202012Validator.check_schema(mw.schema(kind))
    assert json.loads(json.dumps(mw.schema(kind))) == mw.schema(kind)


def test_there_is_no_other() -> None:
    with pytest.raises(mw.UnknownNameError, match="jop"):
        mw.schema("jop")  # type: ignore[arg-type]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_the_demo_files_are_valid(path: Path) -> None:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    found = [e.message for e in Draft202012Validator(mw.schema(kind_of(path))).iter_errors(data)]
    assert found == []


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every table and every key of a document."""
    if isinstance(value, dict):
        yield path
        for key, inner in value.items():
            yield from places(inner, (*path, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from places(inner, (*path, i))
    else:
        yield path


def at(data: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_parser_and_schema_refuse_the_same(path: Path) -> None:
    kind = kind_of(path)
    good = tomllib.loads(path.read_text(encoding="utf-8"))
    validator = Draft202012Validator(mw.schema(kind))
    assert parser_faults(kind, good) == []
    tried = 0
    for place in places(good):
        broken = copy.deepcopy(good)
        value = at(broken, place)
        if isinstance(value, dict):
            # An unknown key, in every table; weekdays are the one table with keys of its own.
            value["no_such_key"] = 1
        elif place:
            # A value of another type: a date is neither a number, text, nor true or false.
            at(broken, place[:-1])[place[-1]] = [[1]]
        tried += 1
        assert not validator.is_valid(broken), place
        assert parser_faults(kind, broken) != [], place
    assert tried > 30


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_what_the_schema_demands_the_parser_demands(path: Path) -> None:
    """Each key is left out in turn: where the schema refuses, the parser says which is missing."""
    kind = kind_of(path)
    good = tomllib.loads(path.read_text(encoding="utf-8"))
    validator = Draft202012Validator(mw.schema(kind))
    demanded = 0
    for place in places(good):
        table = at(good, place)
        if not isinstance(table, dict):
            continue
        for key in table:
            broken = copy.deepcopy(good)
            del at(broken, place)[key]
            field = ".".join(map(str, (*place, key))).replace(".0", "[0]")
            told = any(
                "missing" in fault or "belong together" in fault
                for fault in parser_faults(kind, broken)
            )
            if not validator.is_valid(broken):
                demanded += 1
                assert told, field
    assert demanded > 10


def filled(schema: dict[str, Any]) -> Any:
    """Fill in everything that a schema knows, with a value of its type."""
    if "const" in schema:
        return schema["const"]
    if "enum" in schema:
        return schema["enum"][0]
    if "properties" in schema:
        return {key: filled(inner) for key, inner in schema["properties"].items()}
    for choices in (schema.get("anyOf"), schema.get("oneOf")):
        if choices:
            first = choices[0]
            return first["const"] if "const" in first else filled(first)
    match schema.get("type"):
        case "object":
            return {schema["propertyNames"]["enum"][0]: filled(schema["additionalProperties"])}
        case "array":
            return [filled(schema["items"])] * schema.get("minItems", 1)
        case "boolean":
            return True
        case "integer" | "number":
            return schema.get("minimum", 1)
        case _ if schema.get("format") in {"date", "moment"}:
            return schema["examples"][0]
        case _ if schema.get("pattern") == "^[A-Z]{3}$":
            return "XTS"
        case _:
            return schema.get("least", schema.get("examples", ["word"])[0])


@pytest.mark.parametrize("kind", ["job", "shop"])
def test_every_key_of_the_schema_is_known_to_the_parser(kind: Kind) -> None:
    """With everything filled in at once, no key is unknown and no value of the wrong type."""
    data = filled(mw.schema(kind))
    # Of what excludes each other, one.
    if kind == "shop":
        del data["rates"]["markup"], data["rates"]["overhead_on_labour"]
        del data["gun"]["air"]
    else:
        for strap in data["straps"]:
            del strap["lift"]
    assert valid(kind, data)
    form = ("unknown key", "expected", "not TOML", "unknown variant", "allowed are:")
    wrong = [f for f in parser_faults(kind, data) if any(words in f for words in form)]
    assert wrong == []


# What is tried in place of a value that is good: by the kind of the value.
TEXTS = (
    *(
        "",
        " ",
        "x" * 401,
        "bell\u0007",
        "tab\there",
        "a\nb",
        "ÜBER",
        "3 mm",
        "I",
        "III",
        "EUR",
        "eur",
    ),
    *("2026-11-25", "2026-1-5", "26-11-25", " 2026-11-25", "2026-11-25 08:30", "2026-11-25T08:30"),
    *("eur", "2026-13-45", "08:30-12:30", "8:5-9:0", "12:30-08:30", "25:00-26:00", "open", "08:30"),
)
OTHERS = (0, 1, 2, -1, 1.0, 1.5, 1e9, True)


def only_the_parser_sees(kind: Kind, place: tuple[Any, ...], value: Any) -> bool:
    """What JSON schema cannot say, or would say for no use: everything that is listed here.

    Quantities (their number, unit and bounds), names of what stands elsewhere in the files or in
    a catalogue that a shop may extend, names that are given once, drawings that are read, days that
    are in no calendar, times in their order, a shop that is never open, whole numbers that are
    written with a fraction (to JSON 1.0 is 1), and what hangs on values of other keys.
    """
    schema: Any = mw.schema(kind)
    for step in place:
        if isinstance(step, int):
            schema = schema["items"]
        else:
            schema = schema["properties"].get(step) if "properties" in schema else None
            schema = schema if schema is not None else {"format": "of another key"}
        if "additionalProperties" in schema and "propertyNames" in schema:
            return True  # Hours of a weekday: their form is in the schema, their order is not.
    if isinstance(value, float) and value.is_integer() and schema.get("type") == "integer":
        return True
    form = schema.get("format", "")
    text_of_the_parser = isinstance(value, str) and (form or place[-1] in {"name", "outline_file"})
    return bool(text_of_the_parser) or place[-1] in {"quantity", "corners", "driver_bolts"}


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_what_one_refuses_the_other_refuses(path: Path) -> None:
    """Every value is replaced in turn; what the parser alone refuses is in the list."""
    kind = kind_of(path)
    good = tomllib.loads(path.read_text(encoding="utf-8"))
    validator = Draft202012Validator(mw.schema(kind))
    tried = both = 0
    seen: set[tuple[Any, ...]] = set()
    for place in places(good):
        value = at(good, place)
        # One row of each list says as much as all.
        alike = tuple("[]" if isinstance(step, int) else step for step in place)
        if isinstance(value, dict) or alike in seen:
            continue
        seen.add(alike)
        for other in TEXTS if isinstance(value, str) else OTHERS:
            broken = copy.deepcopy(good)
            at(broken, place[:-1])[place[-1]] = other
            tried += 1
            by_schema, by_parser = not validator.is_valid(broken), parser_faults(kind, broken)
            if by_schema:
                # The schema never refuses what the parser takes.
                assert by_parser, (place, other)
                both += 1
            elif by_parser:
                assert only_the_parser_sees(kind, place, other), (place, other, by_parser)
    assert tried > 200
    assert both > tried / 10


@pytest.mark.parametrize(
    ("kind", "change", "fault"),
    [
        ("shop", {"schema": 2}, "this program reads 1"),
        ("shop", {"currency": "euro"}, "three capital letters"),
        ("shop", {"name": " "}, "is empty"),
        ("job", {"start": "26-1-5 08:30"}, "2026-11-25 08:30"),
        ("job", {"quote": {"date": "2026-1-5"}}, "2026-11-25"),
        ("shop", {"hours": {"open": {"monday": ["8 to 5"]}}}, "opening and closing"),
        ("shop", {"hours": {"open": {}}}, "never open"),
        ("shop", {"gun": {"name": "gun", "setting": "III"}}, "I, II"),
        ("shop", {"gun": {"name": "gun", "air": "400 °C"}}, "needs its airflow"),
        ("shop", {"gun": {"name": "gun"}}, "missing; give setting"),
    ],
)
def test_forms_are_told_by_both(kind: Kind, change: dict[str, Any], fault: str) -> None:
    file = "shop.toml" if kind == "shop" else "pillar-pods.toml"
    data = tomllib.loads((DEMO / file).read_text(encoding="utf-8")) | change
    assert not valid(kind, data)
    assert any(fault in told for told in parser_faults(kind, data)), parser_faults(kind, data)
