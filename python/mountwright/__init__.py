"""Plans plastic mounts that are heat-formed and routed at the bench.

From a job and a shop to the recipe, the layout, the bond, the checks, the price and the promise,
each number with its range and its source. Importing this takes a few milliseconds: NumPy and the
rest are loaded when they are first used.
"""

from mountwright._core import (
    compare_materials,
    material,
    material_at,
    material_provenance,
    materials,
    measured_sheet,
    quantities,
    quantity,
    rank_materials,
    show,
)
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
from mountwright.records import (
    Comparison,
    Material,
    MaterialAt,
    Materials,
    Measure,
    Provenance,
    Ranked,
    Record,
    Sheet,
    Sourced,
)

__all__ = [
    "Comparison",
    "Drawn",
    "ImpossibleError",
    "Job",
    "JobError",
    "Material",
    "MaterialAt",
    "Materials",
    "Measure",
    "MountwrightError",
    "OutOfRangeError",
    "Plan",
    "Problem",
    "Provenance",
    "Ranked",
    "Record",
    "ShapeError",
    "Sheet",
    "Shop",
    "Sourced",
    "UnitError",
    "UnknownNameError",
    "compare_materials",
    "material",
    "material_at",
    "material_provenance",
    "materials",
    "measured_sheet",
    "plan",
    "quantities",
    "quantity",
    "rank_materials",
    "show",
]
