"""Plans plastic mounts that are heat-formed and routed at the bench.

From a job and a shop to the recipe, the layout, the bond, the checks, the price and the promise,
each number with its range and its source. Importing this takes a few milliseconds: NumPy and the
rest are loaded when they are first used.
"""

from mountwright._core import quantities, quantity, show
from mountwright.errors import (
    ImpossibleError,
    JobError,
    MountwrightError,
    OutOfRangeError,
    Problem,
    ShapeError,
    UnitError,
    UnknownNameError,
)
from mountwright.plan import Drawn, Job, Plan, Shop, plan
from mountwright.records import Measure, Record

__all__ = [
    "Drawn",
    "ImpossibleError",
    "Job",
    "JobError",
    "Measure",
    "MountwrightError",
    "OutOfRangeError",
    "Plan",
    "Problem",
    "Record",
    "ShapeError",
    "Shop",
    "UnitError",
    "UnknownNameError",
    "plan",
    "quantities",
    "quantity",
    "show",
]
