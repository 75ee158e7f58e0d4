"""Every error of the core reaches Python as its class, with its fields and text, and pickles."""

import pickle
from collections.abc import Callable
from pathlib import Path

import pytest

import mountwright as mw
from mountwright import _core

# Variant of the Rust enum: class, what else it is, attributes, text.
TABLE: dict[str, tuple[type[BaseException], type[BaseException], dict[str, object], str]] = {
    "OutOfRange": (
        mw.OutOfRangeError,
        ValueError,
        {
            "what": "thickness_m",
            "given": 2.0,
            "allowed": (0.0001, 0.1),
            "unit": "m",
            "remedy": "measure the sheet",
        },
        "thickness_m is 2, allowed is 0.0001 to 0.1 m: measure the sheet",
    ),
    "Unit": (
        mw.UnitError,
        ValueError,
        {
            "what": "air",
            "given": "3 mm",
            "expected": "a temperature",
            "remedy": "use one of °C",
        },
        'air is "3 mm", expected a temperature: use one of °C',
    ),
    "Unknown": (
        mw.UnknownNameError,
        LookupError,
        {"kind": "material", "given": "abss", "near": ("abs",)},
        'no material is called "abss"; nearest: abs',
    ),
    "Shape": (
        mw.ShapeError,
        ValueError,
        {"what": "layers", "given": "0 layers", "allowed": "1 to 64 layers"},
        "layers is 0 layers, allowed is 1 to 64 layers",
    ),
    "Job": (
        mw.JobError,
        ValueError,
        {
            "path": "job.toml",
            "problems": (
                mw.Problem(3, "straps[1].thickness", "is missing"),
                mw.Problem(None, "schema", "is missing"),
            ),
        },
        "job.toml: 2 faults\n  line 3: straps[1].thickness: is missing\n  schema: is missing",
    ),
    "Impossible": (
        mw.ImpossibleError,
        RuntimeError,
        {
            "what": "a forming window",
            "why": "the face is past its limit first",
            "remedy": "turn the strap",
        },
        "a forming window is not possible: the face is past its limit first; turn the strap",
    ),
    "Io": (
        FileNotFoundError,
        OSError,
        {"errno": 2, "filename": "absent.toml", "strerror": "No such file or directory"},
        "[Errno 2] No such file or directory: 'absent.toml'",
    ),
    "Memory": (
        mw.MemoryFileError,
        RuntimeError,
        {
            "fault": "already-used",
            "path": "shop.db",
            "what": 'offcut "A-17" is used by another job',
            "remedy": "plan again",
        },
        'shop.db: offcut "A-17" is used by another job; plan again',
    ),
    "Stopped": (KeyboardInterrupt, KeyboardInterrupt, {}, "stopped before it was done"),
}

FAULTS = dict(_core._faults())


def test_every_variant_has_a_row() -> None:
    assert FAULTS.keys() == TABLE.keys()


@pytest.mark.parametrize("variant", TABLE)
def test_variant_reaches_python_whole(variant: str) -> None:
    error = FAULTS[variant]
    kind, also, facts, text = TABLE[variant]
    assert type(error) is kind
    assert isinstance(error, also)
    assert str(error) == text
    for name, value in facts.items():
        assert getattr(error, name) == value, name
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is kind
    assert str(back) == text
    for name, value in facts.items():
        assert getattr(back, name) == value, name


@pytest.mark.parametrize("variant", TABLE)
def test_every_error_of_our_own_has_one_parent(variant: str) -> None:
    kind = TABLE[variant][0]
    assert issubclass(kind, mw.MountwrightError) == (kind.__module__ == "mountwright.errors")


@pytest.mark.parametrize(
    "asked",
    [
        lambda: mw.draw_costs([], draws=-1),
        lambda: mw.draw_costs([], seed=-1),
        lambda: mw.draw_costs([], seed=2**70),
        lambda: mw.learning(1.0, -3, slope=0.9),
        lambda: mw.blanks_to_start(-1, 0.1),
        lambda: mw.lay_out([], [], seed=-1),
    ],
)
def test_whole_numbers_out_of_range_are_typed_errors(asked: Callable[[], object]) -> None:
    with pytest.raises(mw.OutOfRangeError, match="allowed is 0 to"):
        asked()


@pytest.mark.parametrize(("strap", "end"), [(0, "front"), (0, "rear"), (1, "front"), (1, "rear")])
def test_a_fault_of_a_strap_names_its_end_as_the_job_does(
    strap: int, end: str, tmp_path: Path
) -> None:
    # Left and right of a drawing change places with the side of the vehicle; front and rear do not.
    lines = Path("demo-data/pillar-pods.toml").read_text(encoding="utf-8").splitlines()
    at = [i for i, line in enumerate(lines) if line.startswith(f"{end}_screw")][strap]
    lines[at] = f'{end}_screw = "30 mm"'
    path = tmp_path / "near.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(mw.JobError) as found:
        mw.plan(mw.Job.read(path), shop=mw.Shop.read("demo-data/shop.toml"), draws=2)
    text = found.value.problems[0].message
    assert text.startswith(f"{end} screw, from the body's axis is 30 mm")
    assert not {"left", "right"} & set(text.split())


def test_a_point_has_three_numbers() -> None:
    with pytest.raises(mw.ShapeError, match="at_m is 2 numbers"):
        mw.aim((0, 1), (1, 2, 3), normal=(0, 0, 1), along=(1, 0, 0))
