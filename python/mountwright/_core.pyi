# The compiled core: documented in src/bindings, where `help()` takes its text from.

from collections.abc import Sequence
from typing import Literal, TypeAlias, overload

import numpy as np
from numpy.typing import NDArray

from mountwright.records import Measure

__all__ = ["_faults", "quantities", "quantity", "show"]

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

def _faults() -> list[tuple[str, BaseException]]: ...
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
