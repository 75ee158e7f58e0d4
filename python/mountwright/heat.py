"""How to heat a sheet: one recipe or many, ways to a window, heat behind foam."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal, TypedDict, TypeVar, Unpack, overload

from mountwright import _core
from mountwright._core import Heat
from mountwright.heat_records import Behind, Foam, LineBend, Recipe, Way

__all__ = ["foam_for", "heat_behind", "line_bend", "recipe", "recipes", "ways_to_a_window"]

if TYPE_CHECKING:
    from numpy.typing import NDArray

Frame = TypeVar("Frame")


class Asked(TypedDict, total=False):
    """Keywords that every question shares; :func:`recipe` says what they mean."""

    thickness: str
    back: str
    need: Literal["limp", "formable"]
    air: str
    hold: Literal["in hand", "on a form", "on the part"]
    foam: str
    metal: str
    transfer: str
    width: str | None
    wrap: str | None
    stop: str | None
    pulse: str | None
    file: str | None


def question(
    material: str,
    *,
    thickness: str,
    back: str = "open",
    need: str = "limp",
    air: str = "20 °C",
    hold: str = "in hand",
    foam: str = "3 mm",
    metal: str = "5 mm",
    transfer: str = "5 s",
    width: str | None = None,
    wrap: str | None = None,
    stop: str | None = None,
    pulse: str | None = None,
    file: str | None = None,
) -> dict[str, str | None]:
    """Fill a question in, as the core takes it."""
    return dict(locals())


def recipe(
    material: str,
    *,
    thickness: str,
    heat: Heat,
    back: str = "open",
    need: Literal["limp", "formable"] = "limp",
    air: str = "20 °C",
    hold: Literal["in hand", "on a form", "on the part"] = "in hand",
    foam: str = "3 mm",
    metal: str = "5 mm",
    transfer: str = "5 s",
    width: str | None = None,
    wrap: str | None = None,
    stop: str | None = None,
    pulse: str | None = None,
    draws: int | None = None,
    spread: Mapping[str, tuple[str | float, ...]] | None = None,
    seed: int = 1,
    history: bool = False,
    file: str | None = None,
) -> Recipe:
    """Work out how to heat one part.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    thickness : str
        As measured: ``"3 mm"``; with draws also ``"3 mm ± 0.2 mm"``.
    heat : Heat
        From :meth:`HotAirGun.at`, or :class:`Heat`.
    back : str, default "open"
        What lies behind the heated face: ``"open"`` (still air), ``"board"``,
        ``"turned every 8 s"`` (still air, and turned over again and again) or ``"same heat"`` (both
        faces: an oven, a bath).
    need : {"limp", "formable"}, default "limp"
        Limp, enough for a strap or a fold; or formable, to draw.
    air : str, default "20 °C"
        Air and walls of the shop.
    hold : {"in hand", "on a form", "on the part"}, default "in hand"
        How it is held until it sets: both faces in air, its back on a wooden form, or its back on
        foam over a metal part.
    foam, metal : str, default "3 mm" and "5 mm"
        Thickness of the foam and of the metal behind it, for ``hold="on the part"``.
    transfer : str, default "5 s"
        From the end of heat until it is pressed on.
    width : str, optional
        Width of the strap; that of the heated patch where left out, 60 mm without one.
    wrap : str, optional
        How far air round the edges warms the air behind: ``"10 %"`` of the gas's excess. From the
        width where left out.
    stop : str, optional
        When heating stops. Where left out, the middle of the window, but at most as long again as
        it took to open: a window far from the nozzle may hardly end. With draws also not later than
        when one draw in ten is too hot, though not before the window opens.
    pulse : str, optional
        Bursts with rests between, ``"5 s on, 5 s off"``; or the strokes of a hand and the share of
        each in which a spot lies in the jet, ``"2 s strokes, 40 %"``.
    draws : int, optional
        Draws for the ranges of all times; 256 is usual. None or 0 gives the likeliest times only.
    spread : mapping of str to tuple, optional
        Laws in place of the usual spreads, by column of :func:`recipes`:
        ``{"limp_k": ("uniform", 385, 395)}``; laws are those of :func:`quantiles`.
    seed : int, default 1
        The same seed gives the same ranges, on any number of cores.
    history : bool, default False
        Also temperatures over time.
    file : str, optional
        A materials file of your own.

    Returns
    -------
    Recipe
        When the window opens and closes, working time, hold, reheats left; where there is no
        window, why. ``print`` tells it in the words of the bench.

    Raises
    ------
    UnknownNameError
        A material, back, need, hold or column is not known.
    UnitError
        A text is not a quantity of its kind.
    OutOfRangeError
        A number cannot be.
    ImpossibleError
        The material is not formed by heat.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    >>> mw.recipe("expanded-pvc", thickness="3 mm", heat=heat).has_window  # its back stays cold
    False
    >>> r = mw.recipe(
    ...     "expanded-pvc", thickness="3 mm", heat=heat, back="turned every 8 s", draws=64
    ... )
    >>> r.ranges.opens_s.p10 < r.opens_s < r.ranges.opens_s.p90
    True
    """
    asked = question(
        material,
        thickness=thickness,
        back=back,
        need=need,
        air=air,
        hold=hold,
        foam=foam,
        metal=metal,
        transfer=transfer,
        width=width,
        wrap=wrap,
        stop=stop,
        pulse=pulse,
        file=file,
    )
    laws = [
        (name, str(law[0]), [float(x) for x in law[1:]]) for name, law in (spread or {}).items()
    ]
    return Recipe.from_json(
        _core._recipe(asked, heat, draws=draws or 0, spread=laws, seed=seed, history=history)
    )


@overload
def recipes(
    rows: Mapping[str, Any],
    *,
    material: str | None = None,
    heat: Heat | None = None,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **asked: Unpack[Asked],
) -> dict[str, NDArray[Any]]: ...
@overload
def recipes(
    rows: Frame,
    *,
    material: str | None = None,
    heat: Heat | None = None,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **asked: Unpack[Asked],
) -> Frame: ...
def recipes(
    rows: Any,
    *,
    material: str | None = None,
    heat: Heat | None = None,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **asked: Unpack[Asked],
) -> Any:
    """Work out one recipe for each row of a table, on all cores.

    Columns have no place for words: what is weak in the data of a material, and what surprises, is
    told by :func:`material_notes`.

    Parameters
    ----------
    rows : mapping of str to array_like, pandas.DataFrame or polars.DataFrame
        Columns of numbers with their unit in the name: ``thickness_m``, ``conductivity_factor``,
        ``heat_capacity_factor``, ``emissivity``, ``film_w_m2_k``, ``gas_k``, ``air_k``, ``limp_k``,
        ``formable_k``, ``upper_k``, ``set_k``, ``stop_s``, ``wrap``. Or columns of texts with the
        keywords of :func:`recipe`: ``material``, ``thickness``, ``back``, ``need``, ``air``,
        ``hold``, ``stop``, ``gas``. A missing word is left to its default, a missing quantity is an
        error of its row. Arrays of a mapping are broadcast against each other; scalars give
        scalars.
    material : str, optional
        The material of all rows, unless there is a column.
    heat : Heat, optional
        The heat of all rows, unless there are columns ``film_w_m2_k`` and ``gas_k`` (or ``gas``);
        these columns take the place of its numbers.
    on_error : {"raise", "mark"}, default "raise"
        What to do with a row that cannot be: raise its error, or mark it in ``error`` and go on.
    progress : callable or True, optional
        Called some twenty times a second with the share done, 0 to 1, and with 1 at the end; True
        shows a tqdm bar.
    **asked
        The other keywords of :func:`recipe`, the same for all rows.

    Returns
    -------
    mapping, pandas.DataFrame or polars.DataFrame
        The kind that was given, its index kept: ``opens_s``, ``closes_s``, ``stop_s``,
        ``working_time_s``, ``hold_s``, ``touch_s``, ``peak_face_k``, ``reheats_left`` (NaN, or null
        in polars, stands for never), ``notes`` (what is to be known of the row, and why it has no
        window) and ``error`` (None, or what is wrong with the row).

    Raises
    ------
    UnknownNameError
        A column, a material, a back is not known.
    ShapeError
        Columns of different length, or none; one of dates or complex numbers; no thickness.
    MountwrightError
        With ``on_error="raise"``, the first row that cannot be.
    KeyboardInterrupt
        Ctrl-C is heard within 0.2 s.

    Examples
    --------
    >>> heat = mw.Heat.given(60, "247 °C")
    >>> columns = {"thickness": ["2 mm", "3 mm", "4 mm"]}
    >>> found = mw.recipes(columns, material="abs", heat=heat, back="same heat")
    >>> bool(found["opens_s"][0] < found["opens_s"][1] < found["opens_s"][2])
    True
    >>> bad = {"thickness_m": [3e-3, -1.0]}
    >>> found = mw.recipes(bad, material="abs", heat=heat, back="same heat", on_error="mark")
    >>> found["error"][0], found["error"][1].split(",")[0]
    (None, 'sheet.thickness_m is -1')
    """
    from mountwright.heat_frames import batch

    return batch(rows, material, heat, on_error, progress, dict(asked))


def ways_to_a_window(
    material: str, *, heat: Heat, seconds: str = "20 s", **asked: Unpack[Asked]
) -> tuple[Way, ...]:
    """Find what would open a window of the time asked for, or widen it.

    A board behind, turning over, the same heat on both faces, each from further away; bursts with
    rests; an oven. Each is worked out, none is guessed.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    heat : Heat
        What it was to be heated with.
    seconds : str, default "20 s"
        How long the window should stay open; 20 s is comfortable.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    tuple of Way
        Quickest first; empty where none of them opens such a window.

    Raises
    ------
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    >>> ways = mw.ways_to_a_window("expanded-pvc", thickness="3 mm", heat=heat)
    >>> any("turn it over every" in way.what for way in ways)
    True
    >>> all(way.seconds >= 20 for way in ways)
    True
    """
    found = json.loads(_core._ways(question(material, **_text(asked)), heat, seconds))
    return tuple(Way(way) for way in found)


def heat_behind(material: str, *, heat: Heat, **asked: Unpack[Asked]) -> Behind:
    """Say how warm a part behind foam becomes when the hot sheet is pressed on it.

    A contact at hand pressure is known to a factor of two; form on a plug where it is close.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    heat : Heat
        What heats the sheet.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    Behind
        Hottest face and mean of the metal, hottest point of the foam.

    Raises
    ------
    ImpossibleError
        The sheet has no forming window.
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    >>> strap = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> thin = mw.heat_behind("expanded-pvc", heat=heat, foam="2 mm", **strap)
    >>> thick = mw.heat_behind("expanded-pvc", heat=heat, foam="6 mm", **strap)
    >>> thick.face_k < thin.face_k
    True
    """
    return Behind.from_json(_core._behind(_pressed(material, asked), heat, None))


def foam_for(material: str, *, heat: Heat, limit: str, **asked: Unpack[Asked]) -> Foam:
    """Find the thinnest foam that keeps the face of the part below a limit.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    heat : Heat
        What heats the sheet.
    limit : str
        The part's limit: ``"60 °C"``.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    Foam
        Its thickness as it is pressed, to 1 %, and what it leads to.

    Raises
    ------
    ImpossibleError
        The sheet has no forming window, or 50 mm of foam do not do it.
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    >>> strap = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> foam = mw.foam_for("expanded-pvc", heat=heat, limit="60 °C", **strap)
    >>> foam.behind.face_k <= 60 + 273.15
    True
    """
    return Foam.from_json(_core._behind(_pressed(material, asked), heat, limit))


def line_bend(material: str, *, heat: Heat, strip: str, **asked: Unpack[Asked]) -> LineBend:
    """Work out the soak of a line bend, and how wide the sheet becomes soft.

    Parameters
    ----------
    material : str
        Its name or an alias of the trade.
    heat : Heat
        The strip: :meth:`Heat.bar` where the sheet lies on it, :meth:`Heat.panel` above it.
    strip : str
        Width of the strip: ``"12 mm"``. Heat goes through the thickness alone where it is wider
        than three thicknesses; a note says so where it is not.
    **asked
        The other keywords of :func:`recipe`; ``thickness`` is needed.

    Returns
    -------
    LineBend
        A recipe whose soak runs from ``opens_s`` to ``closes_s``, and ``soft_width_m``.

    Raises
    ------
    MountwrightError
        As :func:`recipe`.

    Examples
    --------
    >>> bar = mw.Heat.bar("175 °C")
    >>> bend = mw.line_bend("abs", thickness="3 mm", heat=bar, strip="12 mm", back="same heat")
    >>> bend.soft_width_m > 0.012
    True
    """
    found = json.loads(_core._line_bend(question(material, **_text(asked)), heat, strip))
    return LineBend({"soft_width_m": None, **found})


def _pressed(material: str, asked: Asked) -> dict[str, str | None]:
    return question(material, **_text({"hold": "on the part", **asked}))


def _text(asked: Any) -> Any:
    """Give the keywords as they are; only the type checker sees a difference."""
    return asked
