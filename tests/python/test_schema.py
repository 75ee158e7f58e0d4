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
            told = any("missing" in fault for fault in parser_faults(kind, broken))
            if not validator.is_valid(broken):
                demanded += 1
                assert told, field
    assert demanded > 10


def filled(schema: dict[str, Any]) -> Any:
    """Fill in everything that a schema knows, with a value of its type."""
    if "enum" in schema:
        return schema["enum"][0]
    for choices in (schema.get("anyOf"), schema.get("oneOf")):
        if choices:
            first = choices[0]
            return first["const"] if "const" in first else filled(first)
    match schema.get("type"):
        case "object" if "properties" in schema:
            return {key: filled(inner) for key, inner in schema["properties"].items()}
        case "object":
            return {schema["propertyNames"]["enum"][0]: filled(schema["additionalProperties"])}
        case "array":
            return [filled(schema["items"])] * schema.get("minItems", 1)
        case "boolean":
            return True
        case "integer" | "number":
            return schema.get("minimum", 1)
        case _:
            return schema.get("least", schema.get("examples", ["word"])[0])


@pytest.mark.parametrize("kind", ["job", "shop"])
def test_every_key_of_the_schema_is_known_to_the_parser(kind: Kind) -> None:
    """With everything filled in at once, no key is unknown and no value of the wrong type."""
    data = filled(mw.schema(kind))
    data["schema"] = 1
    assert valid(kind, data)
    form = ("unknown key", "expected", "not TOML", "unknown variant", "allowed are:")
    wrong = [f for f in parser_faults(kind, data) if any(words in f for words in form)]
    # Formats of text are the parser's own; everything else is of the schema.
    assert [f for f in wrong if "gun.setting" not in f and "hours" not in f] == []
