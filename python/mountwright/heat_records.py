"""Answers of the room of heat: recipes with their ranges, ways to a window, heat behind foam."""

from __future__ import annotations

from typing import Any

from mountwright.kinds import text
from mountwright.records import Band, Record

__all__ = ["Behind", "Calibration", "Foam", "LineBend", "Ranges", "Recipe", "Way"]


class Ranges(Record):
    """The ranges of a recipe's times over its draws; None where no draw has such a time.

    The ``ranges`` of a :class:`Recipe` with draws; each is a :class:`Band` of seconds.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> strap = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> opens = mw.recipe("abs", heat=heat, draws=16, **strap).ranges.opens_s
    >>> opens.p10 < opens.p90
    True
    """

    opens_s: Band | None
    """Over the draws that have a window. [s]"""
    closes_s: Band | None
    """Over the draws whose window closes. [s]"""
    working_time_s: Band | None
    """[s]"""
    hold_s: Band | None
    """[s]"""
    past_opening_s: Band | None
    """From the opening of the window to the end of heat, each draw with its own. [s]"""
    touch_s: Band | None
    """[s]"""
    peak_face_k: Band | None
    """[K]"""

    def __getattr__(self, name: str) -> Any:
        found = super().__getattr__(name)
        return Band(found.to_dict()) if isinstance(found, Record) else found


class Recipe(Record):
    """How to heat one part; prints in the words of the bench.

    ``opens``, ``closes``, ``stop``, ``working_time``, ``hold``, ``touch`` and ``reheats_left``
    are short names for the fields with a unit.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    >>> r = mw.recipe("expanded-pvc", thickness="3 mm", heat=heat, back="turned every 8 s")
    >>> r.opens == r.opens_s < r.closes_s
    True
    """

    material: str
    """The material's name."""
    thickness_m: float
    """Thickness. [m]"""
    width_m: float
    """Width of the strap. [m]"""
    source: str
    """What heats it."""
    film_w_m2_k: float
    """Film coefficient of the heat. [W/m²/K]"""
    gas_k: float
    """Gas temperature of the heat. [K]"""
    air_k: float
    """Air of the shop. [K]"""
    back: str
    """What lies behind it."""
    need: str
    """``"limp"`` or ``"formable"``."""
    held: str
    """How it is held."""
    limits: Record
    """``limp_k``, ``formable_k``, ``upper_k``, ``set_k``, ``fume_onset_k``, ``dose``, ``wear``."""
    opens_s: float | None
    """The coldest point reaches what the shape needs; from the start of heat, None if never. [s]"""
    closes_s: float | None
    """The hottest point reaches its limit or the dose is used up; None if never. [s]"""
    closed_by: str | None
    """``"upper"`` or ``"dose"``."""
    stop_s: float | None
    """When heating stops: the middle of the window, but at most as long again as it took to
    open; None without a window. [s]"""
    working_time_s: float | None
    """From the end of heat until the mean falls below what the shape needs. [s]"""
    hold_s: float | None
    """From the end of heat until the hottest point is below its set temperature. [s]"""
    touch_s: float | None
    """From the end of heat until a firm grip of ten seconds does not burn. [s]"""
    reheats: Record | None
    """More heats that the sheet stands: ``left``, and ``binds``, what bounds them."""
    dose: float | None
    """Dose of this heat at the worse face; 1 is visible colour change."""
    peak_face_k: float
    """Hottest that a face becomes. [K]"""
    core_k: float | None
    """Middle of the sheet at the end of heat. [K]"""
    mean_k: float | None
    """Mean at the end of heat. [K]"""
    fumes_from_s: float | None
    """A face gives off fumes from then on; None if not before the end of heat. [s]"""
    turns: int | None
    """Times that it is turned over before the end of heat."""
    behind: Record | None
    """How warm the metal behind the foam becomes: the fields of :class:`Behind`."""
    why_no_window: Record | None
    """Without a window: ``why``, ``coldest_k``, ``hottest_k`` and ``remedies``."""
    history: Record | None
    """Temperatures over time, where asked for: ``t_s``, ``mean_k``, ``front_k``, ``back_k``,
    ``coldest_k``; time 0 is the start of heat."""
    notes: tuple[Record, ...]
    """What is to be known, each with ``about`` and ``text``."""
    draws: int
    """Draws behind the ranges."""
    window_share: float | None
    """Share of the draws that have a window."""
    ranges: Ranges | None
    """10, 50 and 90 % of each time over the draws."""
    causes: tuple[Record, ...]
    """What of the spread of the opening goes when an input becomes known, largest first: ``name``,
    ``first_order``, 0 to 1."""
    drying: Record | None
    """Whether and how it is dried before."""
    allowances: Record
    """What to allow for: ``dry_s``, the time in the drying oven for this thickness;
    ``heated_shrinkage`` of a free sheet along its extrusion and ``after_shrinkage`` from the hot
    form to the cold part, both fractions; ``springback`` of a fold in radians; each with
    ``value``, ``low``, ``high`` and ``source``, None where the catalogue knows none."""
    hazards: Record | None
    """``fumes`` and ``cautions`` of the material."""

    def __getattr__(self, name: str) -> Any:
        if name == "ranges":
            found = self._fields["ranges"]
            return None if found is None else Ranges(found)
        return super().__getattr__(name)

    @property
    def opens(self) -> float | None:
        """Short for ``opens_s``."""
        return self.opens_s

    @property
    def closes(self) -> float | None:
        """Short for ``closes_s``."""
        return self.closes_s

    @property
    def stop(self) -> float | None:
        """Short for ``stop_s``."""
        return self.stop_s

    @property
    def working_time(self) -> float | None:
        """Short for ``working_time_s``."""
        return self.working_time_s

    @property
    def hold(self) -> float | None:
        """Short for ``hold_s``."""
        return self.hold_s

    @property
    def touch(self) -> float | None:
        """Short for ``touch_s``."""
        return self.touch_s

    @property
    def reheats_left(self) -> int | None:
        """Short for ``reheats.left``."""
        return None if self.reheats is None else int(self.reheats.left)

    @property
    def has_window(self) -> bool:
        """Whether there is a time at which it can be formed."""
        return self.opens_s is not None

    @property
    def more_s(self) -> float | None:
        """Seconds of heat from when it is seen to be limp, or formable, to the stop; 0 for at once.

        Counted from what is seen: by the clock, half of all sheets would be stopped before they are
        limp. It lies between the two times as they are told: ready up, stop down, to 5 seconds or
        to one where 5 would leave no room. With draws it does for nine of ten.

        Examples
        --------
        >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "60 mm x 200 mm")
        >>> r = mw.recipe("abs", thickness="3 mm", heat=heat, back="turned every 8 s")
        >>> r.more_s <= r.stop_s - r.opens_s
        True
        """
        from mountwright.heat_words import step_of

        if self.opens_s is None or self.stop_s is None:
            return None
        step = step_of(self)
        more = step * (self.stop_s // step + -self.opens_s // step)
        drawn = self.ranges.past_opening_s if self.ranges else None
        if drawn is not None:
            more = min(more, step * (drawn.p10 // step))
        return float(max(0, more))

    @property
    def too_hot_from_s(self) -> float | None:
        """When it is too hot, or one draw in ten is if sooner; in seconds, None if never."""
        band = self.ranges.closes_s if self.ranges else None
        found = [] if self.closes_s is None else [self.closes_s]
        return min(found if band is None else [*found, band.p10], default=None)

    def range_of(self, name: str) -> Band | None:
        """Give the range of a time where it may stand beside the likeliest figure.

        Ranges hold only draws that have such a time. Where fewer than nine draws in ten have a
        window, or the figure lies outside its own range, the range would mislead: there is none.

        Parameters
        ----------
        name : str
            A field of :class:`Ranges`, such as ``"opens_s"``.

        Returns
        -------
        Band or None
            The range; ``ranges`` has it in any case.

        Raises
        ------
        UnknownNameError
            There is no such range.
        KindError
            The name is no text.

        Examples
        --------
        >>> gun = mw.HotAirGun.two_setting("II")
        >>> asked = {"thickness": "3 mm", "back": "turned every 8 s", "draws": 64}
        >>> near = mw.recipe("abs", heat=gun.at("100 mm", "60 mm x 200 mm"), **asked)
        >>> near.range_of("opens_s").p10 < near.opens_s
        True
        >>> far = mw.recipe("abs", heat=gun.at("170 mm", "60 mm x 200 mm"), **asked)
        >>> far.window_share < 0.9, far.range_of("opens_s")
        (True, None)
        """
        known = tuple(Ranges.__annotations__)
        if text("name", name) not in known:
            from mountwright.tables import unknown

            raise unknown("range", name, known)
        band: Band | None = getattr(self.ranges, name) if self.ranges else None
        figure = getattr(self, name, None)
        if band is None or figure is None or (self.window_share or 0) < 0.9:
            return None
        return band if band.p10 <= figure <= band.p90 else None

    def explain(self) -> str:
        """Tell the recipe in the words of the bench.

        Times are rounded to the 5 seconds that the range supports: ready up, too hot down.

        Returns
        -------
        str
            Steps with what to see, feel and read, where to stop, and what can hurt.

        Examples
        --------
        >>> heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
        >>> r = mw.recipe("expanded-pvc", thickness="3 mm", heat=heat, back="turned every 8 s")
        >>> "turn it over every 8 s" in r.explain()
        True
        """
        from mountwright.heat_words import explain

        return explain(self)

    def svg(self) -> str:
        """Draw temperatures over time with the limits of the sheet.

        Returns
        -------
        str
            An SVG document.

        Raises
        ------
        ValueError
            The recipe was asked for without ``history=True``.
        """
        from mountwright.heat_words import chart

        return chart(self)

    def __str__(self) -> str:
        return self.explain()

    def _repr_html_(self) -> str:
        from mountwright.heat_words import recipe_html

        return recipe_html(self)


class LineBend(Recipe):
    """The soak of a line bend: a recipe, and the width that becomes soft.

    From :func:`line_bend`.

    Examples
    --------
    >>> bar = mw.Heat.bar("175 °C")
    >>> bend = mw.line_bend("abs", heat=bar, strip="12 mm", thickness="3 mm", back="same heat")
    >>> bend.opens_s < bend.closes_s
    True
    """

    soft_width_m: float | None
    """Soft at the end of the soak, an upper bound; None without a window. [m]"""


class Way(Record):
    """One way to a window.

    One of :func:`ways_to_a_window`: what to change where a window opens too late or not at all.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> all(way.seconds > 0 for way in mw.ways_to_a_window("abs", heat=heat, thickness="3 mm"))
    True
    """

    what: str
    """What to do."""
    window: Record
    """``warm_s``, ``closes_s``, ``closed_by``, ``fumes_s``."""
    film_w_m2_k: float
    """Film coefficient of the heat. [W/m²/K]"""
    gas_k: float
    """Gas temperature of the heat. [K]"""
    notes: tuple[Record, ...]
    """What is to be known of the material: weak data, conflicts, surprises."""

    @property
    def seconds(self) -> float:
        """How long the window stays open; infinite where it never closes; in seconds."""
        closes = self.window.closes_s
        return float("inf") if closes is None else float(closes - self.window.warm_s)

    def __str__(self) -> str:
        from mountwright.heat_words import way

        return way(self)


class Behind(Record):
    """How warm a part behind foam becomes when the hot sheet is pressed on it.

    From :func:`heat_behind`; temperatures in kelvin, times in seconds.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> strap = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> mw.heat_behind("abs", heat=heat, **strap).face_k > 293.15
    True
    """

    face_k: float
    """Hottest that the face of the metal becomes. [K]"""
    face_s: float
    """When; from the end of heat. [s]"""
    inside_k: float
    """Hottest mean of the metal. [K]"""
    foam_k: float
    """Hottest that any point of the foam becomes. [K]"""
    notes: tuple[Record, ...]
    """What is to be known of the material: weak data, conflicts, surprises."""


class Foam(Record):
    """The thinnest foam that keeps a part cool.

    From :func:`foam_for`, with what is behind it in ``behind``.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> strap = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> mw.foam_for("abs", heat=heat, limit="60 °C", **strap).behind.face_k <= 333.15
    True
    """

    thickness_m: float
    """Thickness as it is pressed. [m]"""
    behind: Record
    """What it leads to: the fields of :class:`Behind` without the notes."""
    notes: tuple[Record, ...]
    """What is to be known of the material: weak data, conflicts, surprises."""


class Calibration(Record):
    """What coupons told about a gun.

    The ``calibration`` of a gun from :meth:`HotAirGun.calibrated`; fitted with Student's t.

    Examples
    --------
    >>> gun = mw.HotAirGun.two_setting("II")
    >>> trial = mw.Coupon("abs", thickness="3 mm", distance="100 mm", limp_after="72 s")
    >>> len(gun.calibrated([trial]).calibration.residuals)
    1
    """

    log_film_factor: Record
    """Natural logarithm of the factor on the film: ``value`` and standard uncertainty ``sd``."""
    effectiveness_shift: Record
    """Shift of the effectiveness: ``value`` and ``sd``."""
    correlation: float
    """Correlation of the two."""
    residuals: tuple[float, ...]
    """What is left of each coupon, in its own standard uncertainties; positive where the model is
    slower or colder."""
    outliers: tuple[int, ...]
    """Coupons, counted from 0, that lie too far off to count."""
    contradict: bool
    """Whether coupons contradict each other more than their uncertainties allow."""
    notes: tuple[Record, ...]
    """What is to be known."""

    def __str__(self) -> str:
        from mountwright.heat_words import calibration

        return calibration(self)
