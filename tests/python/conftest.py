"""Plans that many tests look at."""

import pytest

import mountwright as mw

from . import sample


@pytest.fixture(scope="session")
def pods() -> mw.Plan:
    return mw.Plan(sample.plan(), drawings=sample.drawings())


@pytest.fixture(scope="session")
def rings() -> mw.Plan:
    return mw.Plan(sample.plan(), drawings=sample.drawings())
