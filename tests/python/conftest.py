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
