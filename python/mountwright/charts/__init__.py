"""Charts for notebooks and reports; they need the extra ``charts``: ``mountwright[charts]``.

Each takes an answer of the library and gives a matplotlib figure, to be shown in a notebook or
written with ``savefig``. ``units="inch"`` writes inches and degrees Fahrenheit, ``"metric"``
millimetres and degrees Celsius. Nothing global is touched: the style holds inside these figures
alone.

Colours are told apart by every kind of colour vision, and no chart rests on them: in grey, dashes,
hatching and words say the same. The attribute ``alt`` of a figure says what it shows in words, and
a notebook hands that on to readers who cannot see it. The line below a chart says where its numbers
come from.

Examples
--------
>>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
>>> r = mw.recipe("abs", thickness="3 mm", heat=heat, back="turned every 8 s", history=True)
>>> chart = mw.charts.forming_window(r, units="inch")
>>> chart.alt
'Forming window of ABS, 0.118 in...'
"""

try:
    import matplotlib as _  # noqa: F401 (asked for alone, to name the extra)
except ImportError as missing:
    raise ImportError(
        "charts need matplotlib: pip install 'mountwright[charts]'", name="matplotlib"
    ) from missing

from mountwright.charts.causes import causes
from mountwright.charts.cost_band import cost_band
from mountwright.charts.day import bench_day
from mountwright.charts.forming_window import forming_window
from mountwright.charts.sheet_layout import sheet_layout
from mountwright.charts.style import Chart
from mountwright.charts.temperatures import temperatures
from mountwright.charts.ways import ways
from mountwright.charts.working_range import working_range

__all__ = [
    "Chart",
    "bench_day",
    "causes",
    "cost_band",
    "forming_window",
    "sheet_layout",
    "temperatures",
    "ways",
    "working_range",
]
