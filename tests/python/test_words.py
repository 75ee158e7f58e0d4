"""Numbers in the words of the bench."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mountwright.packet.svg import clock_ticks, ticks
from mountwright.packet.words import clock, duration, figure, length, size, slug


@given(st.floats(0, 1e6))
def test_a_clock_is_within_half_a_second(seconds: float) -> None:
    minutes, _, rest = clock(seconds).partition(":")
    assert abs(int(minutes) * 60 + int(rest) - seconds) <= 0.5


@given(st.floats(0, 3.5e8))
def test_a_duration_is_never_more_than_a_tenth_off(seconds: float) -> None:
    words = duration(seconds)
    scale = {"s": 1, "min": 60, "h": 3600, "days": 86400}
    numbers = words.split(" ")
    said = sum(float(n) * scale[u] for n, u in zip(numbers[::2], numbers[1::2], strict=True))
    # Half a second of short times, half a minute of the five where minutes begin.
    assert abs(said - seconds) <= max(0.5, 0.1 * seconds)


@given(st.floats(1e-12, 1e12))
def test_a_figure_keeps_three_digits(value: float) -> None:
    # Half a unit of the third digit of a mantissa of 1.
    assert float(figure(value)) == pytest.approx(value, rel=5.1e-3)


@given(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6), st.integers(2, 12))
def test_ticks_are_inside_and_few(low: float, wide: float, most: int) -> None:
    marks = ticks(low, low + wide, most)
    slack = 1e-6 * max(abs(low), wide)
    assert 1 <= len(marks) <= most + 1
    assert all(low - slack <= mark <= low + wide + slack for mark in marks)


@given(st.floats(0.1, 1e7), st.integers(2, 10))
def test_clock_ticks_begin_at_nought(high: float, most: int) -> None:
    marks = clock_ticks(high, most)
    assert marks[0] == 0
    assert len(marks) <= most + 1
    assert marks[-1] <= high * (1 + 1e-9)


@pytest.mark.parametrize(
    ("name", "stem"), [("Left pod", "left-pod"), ("../../etc", "etc"), ("?", "part"), ("ß", "part")]
)
def test_a_stem_is_safe_as_a_file(name: str, stem: str) -> None:
    assert slug(name) == stem


def test_lengths_have_no_idle_zeros() -> None:
    assert length(0.0127, "metric") == "12.7 mm"
    assert length(0.1, "metric") == "100 mm"
    assert length(0.003175, "inch") == "0.125 in"
    assert size((1.22, 2.44), "metric") == "1220 × 2440 mm"
