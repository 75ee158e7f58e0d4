# The compiled core: documented in src/bindings, where `help()` takes its text from.

from collections.abc import Sequence
from typing import Literal, TypeAlias, overload

import numpy as np
from numpy.typing import NDArray

from mountwright.records import Measure

__all__ = ["PlanResult", "_faults", "plan", "quantities", "quantity", "show", "text_of"]

_Dimension: TypeAlias = Literal[
    "length",
    "area",
    "volume",
    "angle",
    "time",
    "temperature",
    "temperature-difference",
    "mass",
    "force",
    "pressure",
    "power",
    "speed",
    "volume-flow",
    "density",
    "rotation",
    "fraction",
]
_System: TypeAlias = Literal["metric", "inch"]

class PlanResult:
    @property
    def json(self) -> str: ...
    @property
    def drawings(self) -> list[tuple[str, str, str, str, str]]: ...

def _faults() -> list[tuple[str, BaseException]]: ...
def plan(
    job_text: str,
    job_path: str,
    shop_text: str,
    shop_path: str,
    *,
    draws: int = 256,
    seed: int = 1,
) -> PlanResult: ...
def quantities(
    texts: Sequence[str], dimension: _Dimension, *, what: str = "quantity"
) -> NDArray[np.float64]: ...
def quantity(text: str, dimension: _Dimension, *, what: str = "quantity") -> Measure: ...
@overload
def show(
    values: float, dimension: _Dimension, *, units: _System = "metric", digits: int = 1
) -> str: ...
@overload
def show(
    values: Sequence[float] | NDArray[np.float64],
    dimension: _Dimension,
    *,
    units: _System = "metric",
    digits: int = 1,
) -> list[str]: ...
def text_of(path: str) -> str: ...
