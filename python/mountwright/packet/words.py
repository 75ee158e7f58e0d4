"""Numbers and dates in the words of the bench.

Times are written in one way for each use, by packet, quote, workbook and terminal alike:

- at the bench, read off a stop watch: ``m:ss`` to 5 s, to the side that errs safely: up where it
  is waited for, :func:`from_beat`, down where it ends something, :func:`by_beat`. What is counted
  aloud from a cue, or is the rhythm of a hand, is in seconds: "5 s more", "turn it over every 8 s".
- what cures, dries or cools, and how long a job takes in all: :func:`duration`, in minutes below
  two hours, in hours below two days, in days from there. A range has the unit of its figure.
- work: :func:`hours`, with one digit; in a table of tasks :func:`minutes`.
- when: :func:`day`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import datetime
from typing import Any, Literal

from mountwright._core import said, show

Units = Literal["metric", "inch"]

NEVER = "never"
NO_SPREAD = (
    "No spread was computed: every figure is the likeliest, the price holds nothing for what "
    "usually goes wrong, and no chance stands behind the time."
)

# Keys under which a plan holds sentences of the core, in millimetres and degrees Celsius.
SENTENCES = {
    "why",
    "mend",
    "text",
    "source",
    "change",
    "what",
    "preparation",
    "words",
    "cautions",
    "value",
}


def slug(name: str) -> str:
    """Turn a name into the stem of a file: lower case, digits and hyphens.

    Examples
    --------
    >>> slug("Left pod (2)")
    'left-pod-2'
    """
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "part"


LONGEST = 100
"""Bytes of a stem: file systems take names of 255, and whole paths are bounded too."""


def unique(stem: str, taken: set[str]) -> str:
    """Shorten a stem to what file systems take, number it where it is taken, and take it.

    Examples
    --------
    >>> taken = {"left-pod"}
    >>> unique("left-pod", taken), unique("left-pod", taken), len(unique("x" * 300, taken))
    ('left-pod-2', 'left-pod-3', 100)
    """
    short = stem.encode()[:LONGEST].decode(errors="ignore").rstrip("-")
    found, number = short, 1
    while found in taken:
        number += 1
        found = f"{short}-{number}"
    taken.add(found)
    return found


def length(metres: float | None, units: Units, digits: int = 1) -> str:
    """Write a length in millimetres or inches, without idle zeros.

    Examples
    --------
    >>> length(0.003, "metric"), length(0.003175, "inch")
    ('3 mm', '0.125 in')
    """
    return NEVER if metres is None else _trim(show(metres, "length", units=units, digits=digits))


def size(metres: tuple[float, ...], units: Units) -> str:
    """Write sides that belong together.

    Examples
    --------
    >>> size((0.42, 0.31), "metric")
    '420 × 310 mm'
    """
    texts = [length(side, units) for side in metres]
    unit = texts[-1].rpartition(" ")[2]
    return " × ".join(text.removesuffix(f" {unit}") for text in texts) + f" {unit}"


def blank_size(blank: dict[str, Any], units: Units) -> str:
    """Write the size of a blank: of a disc its diameter.

    Examples
    --------
    >>> half = {"arc": {"centre": {"x_m": 0.0, "y_m": 0.0}}}
    >>> disc = {"outside": {"segments": [half, half]}}
    >>> blank_size({"length_m": 0.144, "width_m": 0.144, "outline": disc}, "metric")
    'Ø 144 mm'
    """
    outline = blank.get("outline") or {"outside": {"segments": []}}
    arcs = [segment.get("arc") for segment in outline["outside"]["segments"]]
    centres = {tuple(arc["centre"].values()) if arc else None for arc in arcs}
    if len(centres) == 1 and None not in centres:
        return f"Ø {length(blank['width_m'], units)}"
    return size((blank["length_m"], blank["width_m"]), units)


def thickness(part: dict[str, Any], units: Units) -> str:
    """Write the sheet of a part: of a grille that of frame and ring, of others all layers together.

    Examples
    --------
    >>> blank = {"layer_thicknesses_m": [0.006, 0.003]}
    >>> thickness({"kind": "grille", "blank": blank, "thickness_m": 0.009}, "metric")
    '6 mm, its retaining ring 3 mm'
    >>> thickness({"kind": "ring", "blank": blank, "thickness_m": 0.009}, "metric")
    '9 mm'
    """
    if part["kind"] == "grille":
        frame, ring = (length(t, units) for t in part["blank"]["layer_thicknesses_m"])
        return f"{frame}, its retaining ring {ring}"
    return length(part["thickness_m"], units)


def temperature(kelvin: float, units: Units, digits: int = 0) -> str:
    """Write a temperature, in whole degrees unless more digits are asked for.

    Examples
    --------
    >>> temperature(393.15, "metric"), temperature(393.15, "inch")
    ('120 °C', '248 °F')
    """
    return show(kelvin, "temperature", units=units, digits=digits)


def clock(seconds: float | None) -> str:
    """Write a short time as minutes and seconds, as a stop watch shows it.

    Examples
    --------
    >>> clock(112.4), clock(20), clock(None)
    ('1:52', '0:20', 'never')
    """
    if seconds is None or not math.isfinite(seconds):
        return NEVER
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def from_beat(seconds: float | None) -> str:
    """Write a time before which nothing is to be done, rounded up to 5 seconds.

    Examples
    --------
    >>> from_beat(111.1), from_beat(110.0), from_beat(1.2)
    ('1:55', '1:50', '0:05')
    """
    if seconds is None or not math.isfinite(seconds):
        return NEVER
    # What lies on a beat but for rounding stays there.
    return clock(max(5 * math.ceil(seconds / 5 - 1e-9), 5))


def by_beat(seconds: float | None) -> str:
    """Write a time by which something is done, rounded down to 5 seconds; below them in seconds.

    Examples
    --------
    >>> by_beat(114.4), by_beat(110.0), by_beat(3.7)
    ('1:50', '1:50', '0:03')
    """
    if seconds is None or not math.isfinite(seconds):
        return NEVER
    return clock(math.floor(seconds) if seconds < 5 else 5 * math.floor(seconds / 5 + 1e-9))


def window_times(opens: float | None, stop: float | None, closes: float | None) -> dict[str, str]:
    """Write the three times of a window, each rounded to the safe side: limp up, too hot down.

    To 5 seconds; to one second where that would leave no room between them.

    Examples
    --------
    >>> window_times(46.2, 58.0, 71.9)
    {'opens_s': '0:50', 'stop_s': '1:00', 'closes_s': '1:10'}
    """
    inf = math.inf
    for step in (5, 1):
        up = inf if opens is None else step * math.ceil(opens / step)
        mid = inf if stop is None else step * round(stop / step)
        down = inf if closes is None else step * math.floor(closes / step)
        if up <= mid < down and down > 0:
            break
    return {"opens_s": clock(up), "stop_s": clock(mid), "closes_s": clock(down)}


def duration(seconds: float | None, like: float | None = None) -> str:
    """Write a wait in the unit that a person would say, or in that of another wait.

    Examples
    --------
    >>> duration(20), duration(148), duration(3900), duration(8000), duration(200_000)
    ('20 s', '2.5 min', '65 min', '2.2 h', '2.3 days')
    >>> duration(140_000, like=86_400)
    '39 h'
    """
    if seconds is None or not math.isfinite(seconds):
        return NEVER
    size = seconds if like is None or not math.isfinite(like) else like
    if size < 60:
        return f"{round(seconds)} s"
    if size < 7200:
        return f"{minutes(seconds)} min"
    if size < 2 * 86400:
        return f"{seconds / 3600:.{1 if seconds < 36_000 else 0}f} h"
    return f"{seconds / 86400:.1f} days"


def minutes(seconds: float | None) -> str:
    """Write a time in minutes, whatever its length, for a table that is read down its columns.

    Examples
    --------
    >>> minutes(148), minutes(1500), minutes(20)
    ('2.5', '25', '0.3')
    """
    if seconds is None:
        return NEVER
    return f"{seconds / 60:.{1 if seconds < 600 else 0}f}".removesuffix(".0")


def hours(seconds: float | None) -> str:
    """Write working hours with one digit.

    Examples
    --------
    >>> hours(16_200)
    '4.5 h'
    """
    return NEVER if seconds is None else f"{seconds / 3600:.1f} h"


def day(stamp: str) -> str:
    """Write a date and time as people say it.

    Examples
    --------
    >>> day("2026-12-02 15:00")
    'Wed 2 Dec, 15:00'
    """
    at = moment(stamp)
    return f"{at:%a} {at.day} {at:%b}, {at:%H:%M}"


def promised(promise: dict[str, Any]) -> tuple[str, str]:
    """Give the time that is promised, and how sure it is: the same words wherever it stands.

    Examples
    --------
    >>> promised({"p50": "2026-12-02 12:00", "p90": "2026-12-02 15:00"})
    ('Wed 2 Dec, 15:00', 'nine jobs in ten like this one are ready by then')
    >>> promised({"p50": "2026-12-02 12:00", "p90": None})[1]
    'if every task takes its likeliest time'
    """
    if promise["p90"] is None:
        return day(promise["p50"]), "if every task takes its likeliest time"
    return day(promise["p90"]), "nine jobs in ten like this one are ready by then"


def dated(words: str) -> str:
    """Put the dates of a sentence as people say them.

    Examples
    --------
    >>> dated("ready by 2026-12-02 15:00")
    'ready by Wed 2 Dec, 15:00'
    """
    return re.sub(r"\d{4}-\d\d-\d\d \d\d:\d\d", lambda found: day(found[0]), words)


def moment(stamp: str) -> datetime:
    """Read the local time of a plan.

    Examples
    --------
    >>> moment("2026-12-02 15:00").hour
    15
    """
    return datetime.fromisoformat(stamp.replace(" ", "T", 1))


def figure(value: float | None, digits: int = 3) -> str:
    """Write a number to a few digits, plainly where it fits.

    Examples
    --------
    >>> figure(0.123456), figure(40), figure(1.4e-7), figure(120_000)
    ('0.123', '40', '1.4e-7', '120000')
    """
    if value is None:
        return NEVER
    if not math.isfinite(value):
        return "unbounded"
    if value == 0:
        return "0"
    power = math.floor(math.log10(abs(value)))
    if -4 <= power < 7:
        text = f"{value:.{max(digits - 1 - power, 0)}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text
    mantissa, _, exponent = f"{value:.{digits - 1}e}".partition("e")
    return f"{mantissa.rstrip('0').rstrip('.')}e{int(exponent)}"


def middle(band: dict[str, Any]) -> float | None:
    """Give the figure that a range belongs round: the median, or the likeliest without draws.

    Examples
    --------
    >>> middle({"nominal": 9.0, "p10": 10.0, "p50": 12.0, "p90": 15.0})
    12.0
    """
    found = band["nominal"] if band["p50"] is None else band["p50"]
    return None if found is None else float(found)


def chance(share: float, draws: int) -> str:
    """Write a chance that was counted in draws, which never show that there is none.

    Examples
    --------
    >>> chance(0.0, 256), chance(0.0, 64), chance(0.14, 64), chance(1.0, 256)
    ('below 1 %', 'below 2 %', '14 %', 'above 99 %')
    """
    least = max(1, math.ceil(100 / draws)) / 100
    if share < 0.01:
        return f"below {least:.0%}".replace("%", " %")
    if share > 0.99:
        return f"above {1 - least:.0%}".replace("%", " %")
    return f"{100 * share:.0f} %"


def plainly(fault: str) -> str:
    r"""Tell a fault of a file in the words of the bench: no path, no fields, no idle digits.

    Examples
    --------
    >>> plainly(
    ...     "7 failed (job.toml: 1 fault\n  line 8: rings[0]: depth_m is 6 mm, at least 6.0998799)"
    ... )
    '7 failed (rings, no. 1: depth is 6 mm, at least 6.1)'
    """
    fault = re.sub(r"[^\s(]*\.toml: \d+ faults?\s+", "", fault)
    fault = re.sub(r"\bline \d+: ", "", fault)
    fault = re.sub(r"\[(\d+)\]", lambda found: f", no. {int(found[1]) + 1}", fault)
    fault = re.sub(
        r"\b([a-z]+(?:_[a-z]+)*)_(?:m|m2|k|s|kg|n|pa|rad|fraction)\b",
        lambda found: found[1].replace("_", " "),
        fault,
    )
    return re.sub(r"\d+\.\d{3,}", lambda found: figure(float(found[0]), 4), fault)


def unmade(plan: dict[str, Any]) -> str:
    """Say that some of the draws cannot be made, and why; ``""`` where all can.

    Examples
    --------
    >>> unmade({"notes": [{"about": "cone", "text": "6 mm are left"}]})
    ''
    """
    texts = [note["text"] for note in plan.get("notes", []) if note["about"] == "draws"]
    found = next((text for text in texts if "could not be made" in text), "")
    return sentence(plainly(found))


def unfit(part: dict[str, Any]) -> str:
    """Say why a part is not to be made as it is planned; ``""`` where nothing speaks against it.

    Examples
    --------
    >>> bad = {"name": "web", "verdict": "fail"}
    >>> unfit({"name": "pod", "checks": [bad], "recipe": {"has_window": False}})
    'pod fails 1 check (web), its forming window never opens'
    """
    failed = [check["name"] for check in part["checks"] if check["verdict"] == "fail"]
    recipe = part.get("recipe")
    many = f"{len(failed)} check{'' if len(failed) == 1 else 's'}"
    # Names of checks have commas of their own: "shock, hot".
    why = [f"fails {many} ({'; '.join(failed)})"] if failed else []
    if recipe and not recipe.get("has_window"):
        why.append("its forming window never opens" if failed else "has no forming window")
    return f"{part['name']} {', '.join(why)}" if why else ""


def stopped(plan: dict[str, Any]) -> list[str]:
    """Say of each part that is not to be made why it is not; such a plan is no offer.

    Examples
    --------
    >>> stopped({"parts": [{"name": "pod", "checks": []}]})
    []
    """
    return [why for part in plan["parts"] if (why := unfit(part))]


def sentence(words: str) -> str:
    """Begin with a capital and end with a full stop.

    Examples
    --------
    >>> sentence("nobody has looked")
    'Nobody has looked.'
    """
    words = words.strip()
    if not words:
        return ""
    return words[0].upper() + words[1:] + ("" if words[-1] in ".!?" else ".")


def spoken(value: Any, units: Units, key: str = "") -> Any:
    """Tell the sentences of a plan in the shop's units; numbers and names stay as they are.

    Examples
    --------
    >>> spoken({"name": "3 mm sheet", "why": ["12 mm of 20 mm"]}, "inch")
    {'name': '3 mm sheet', 'why': ['0.47 in of 0.79 in']}
    """
    if units == "metric":
        return value
    if isinstance(value, dict):
        return {k: spoken(v, units, k) for k, v in value.items()}
    if isinstance(value, list):
        return [spoken(v, units, key) for v in value]
    if isinstance(value, str) and key in SENTENCES:
        return _pressures(said(value, units=units))
    return value


_FEET = {"m": ("ft", 0.3048), "m²": ("ft²", 0.3048**2)}
"""What stands for a unit of a bill in an inch shop, and how much of the metric one it is."""


def billed(line: dict[str, Any], units: Units) -> tuple[float, str, float]:
    """Give amount, unit and rate of a line of a bill in the shop's units.

    Examples
    --------
    >>> amount, unit, rate = billed({"amount": 3.048, "unit": "m", "rate": 1.0}, "inch")
    >>> round(amount, 6), unit, round(rate, 6)
    (10.0, 'ft', 0.3048)
    """
    unit = line["unit"]
    told, size = _FEET.get(unit, (unit, 1.0)) if units == "inch" else (unit, 1.0)
    return line["amount"] / size, told, line["rate"] * size


def coins(plan: dict[str, Any]) -> Callable[[float], str]:
    """Give what writes an amount in the shop's currency, with as many digits as its coins have.

    Examples
    --------
    >>> coins({"price": {"minor_digits": 0}, "shop": {"currency": "JPY"}})(866.2)
    '866 JPY'
    """
    digits = (plan["price"] or {"minor_digits": 2})["minor_digits"]
    return lambda amount: f"{amount:.{digits}f} {plan['shop']['currency']}"


LBF_N = 4.4482216152605
"""A pound-force: 0.45359237 kg · 9.80665 m/s², both exact."""

_PSI_PA = 6894.757293168
"""A pound-force on a square inch: 0.45359237 kg · 9.80665 m/s² / (0.0254 m)², all exact."""


def _pressures(text: str) -> str:
    """Tell pressures in psi, moduli in ksi, with the digits that were given or more.

    Examples
    --------
    >>> _pressures("bends it to 2.4 MPa; 1.8 GPa when hot")
    'bends it to 348 psi; 261 ksi when hot'
    """

    def told(found: re.Match[str]) -> str:
        psi = float(found[1]) * {"MPa": 1e6, "GPa": 1e9}[found[2]] / _PSI_PA
        digits = max(len(found[1].replace(".", "").lstrip("0")), 2)
        return f"{figure(psi / 1e3, digits)} ksi" if psi >= 1e5 else f"{figure(psi, digits)} psi"

    return re.sub(r"(?<![\w.-])(\d+(?:\.\d+)?) (MPa|GPa)\b", told, text)


def sheet_name(name: str) -> str:
    """Write the short name of a plastic in capitals, as the trade does.

    Examples
    --------
    >>> sheet_name("abs"), sheet_name("expanded-pvc")
    ('ABS', 'expanded-pvc')
    """
    return name.upper() if len(name) < 5 else name


def span(band: dict[str, Any] | None, write: Any) -> str:
    """Write the range of a band, ``""`` where no draws were made.

    Examples
    --------
    >>> span({"nominal": 112.0, "p10": 101.0, "p50": 112.0, "p90": 131.0}, clock)
    '1:41 to 2:11'
    >>> span({"nominal": 380.0, "p10": 290.0, "p50": 430.0, "p90": 610.0}, duration)
    '4.8 to 10 min'
    """
    if not band:
        return ""
    low, high = band.get("p10"), band.get("p90")
    if low is None and high is None:
        return ""
    if write is duration:
        ends = [duration(end, like=middle(band)) for end in (low, high)]
    else:
        ends = [write(low), write(high)]
    unit = ends[1].rpartition(" ")[2]
    return f"{ends[0].removesuffix(f' {unit}')} to {ends[1]}"


def _trim(text: str) -> str:
    number, _, unit = text.partition(" ")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {unit}"
