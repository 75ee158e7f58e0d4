"""Plans of the demo jobs, which many tests look at."""

from pathlib import Path

import pytest

import mountwright as mw

DEMO = Path(__file__).parents[2] / "demo-data"


def planned(job: str) -> mw.Plan:
    # Few draws: enough to have ranges, quick enough for every run.
    shop = mw.Shop.read(DEMO / "shop.toml")
    return mw.plan(mw.Job.read(DEMO / job), shop=shop, draws=32)


@pytest.fixture(scope="session")
def pods() -> mw.Plan:
    return planned("pillar-pods.toml")


@pytest.fixture(scope="session")
def rings() -> mw.Plan:
    return planned("door-rings.toml")


@pytest.fixture(scope="session")
def hopeless() -> mw.Plan:
    """Pods of foamed board in the sun: the window never opens, and checks fail."""
    text = (DEMO / "pillar-pods.toml").read_text(encoding="utf-8")
    for was, now in (
        ('sun = "mild"', 'sun = "hot"'),
        ('material = "abs"', 'material = "expanded-pvc"'),
        # Foamed board cracks in a tighter bend, which needs room.
        ('foot_radius = "6 mm"', 'foot_radius = "10 mm"'),
        ('front_screw = "50 mm', 'front_screw = "54 mm'),
    ):
        assert was in text
        text = text.replace(was, now)
    job = mw.Job.from_text(text, path=str(DEMO / "pillar-pods.toml"))
    return mw.plan(job, shop=mw.Shop.read(DEMO / "shop.toml"), draws=16)
