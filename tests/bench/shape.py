"""Time traced drawings and drawings out, against ezdxf and shapely on the same work.

Run: ``python tests/bench/shape.py``
"""

import io
import math
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import ezdxf
import shapely
from ezdxf import path as ezpath
from ezdxf import units

import mountwright as mw


def best(work: Callable[[], object], tries: int = 5) -> float:
    """Time the quickest of a few tries. [s]"""
    times = []
    for _ in range(tries):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def drawing(file: Path, holes: int) -> None:
    """Write a plate of polylines with bulges and ``holes`` circles."""
    doc = ezdxf.new("R2010")
    doc.units = units.MM
    space = doc.modelspace()
    side = math.ceil(math.sqrt(holes))
    size = 20.0 * (side + 1)
    space.add_lwpolyline(
        [(0, 0, 0), (size, 0, 0.1), (size, size, 0), (0, size, 0.1)], format="xyb", close=True
    )
    for i in range(holes):
        space.add_circle((20.0 * (i % side + 1), 20.0 * (i // side + 1)), 5)
    doc.saveas(file)


def main() -> None:
    """Print each time and its ratio to the alternative."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "plate.dxf"
        drawing(file, 1000)

        def theirs() -> float:
            space = ezdxf.readfile(file).modelspace()
            outer = next(iter(space.query("LWPOLYLINE")))
            plate = shapely.Polygon(
                [(v.x, v.y) for v in ezpath.make_path(outer).flattening(0.01)],
                [[(v.x, v.y) for v in c.flattening(0.01)] for c in space.query("CIRCLE")],
            )
            assert plate.is_valid
            return plate.area

        ours, other = best(lambda: mw.trace(file)), best(theirs)
        print(f"read 1001 contours with all checks  {ours * 1e3:8.1f} ms")
        print(f"  ezdxf and shapely                 {other * 1e3:8.1f} ms  {other / ours:5.1f} x")

    leg = mw.Leg(screw="57 mm", height="27 mm")

    def strap() -> mw.Strap:
        return mw.strap("pod", thickness="3 mm", body="47 mm", left=leg, right=leg, foam="2 mm")

    blank = strap().blank
    made = blank.drawing()
    print(f"strap, developed                    {best(strap) * 1e3:8.2f} ms")
    print(f"drawing laid out                    {best(blank.drawing) * 1e3:8.2f} ms")
    print(f"written as SVG                      {best(made.svg) * 1e3:8.2f} ms")
    print(f"written as DXF                      {best(made.dxf) * 1e3:8.2f} ms")
    print(f"written as PDF                      {best(made.pdf) * 1e3:8.2f} ms")
    text = made.dxf()

    def again() -> str:
        out = io.StringIO()
        ezdxf.read(io.StringIO(text)).write(out)
        return out.getvalue()

    other = best(again)
    ours = best(made.dxf)
    print(f"  ezdxf reads and writes that DXF   {other * 1e3:8.2f} ms  {other / ours:5.0f} x")


if __name__ == "__main__":
    main()
