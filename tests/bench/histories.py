"""Times 10,000 hourly histories at once, against one call for each; prints the ratio."""

import time

import numpy as np

import mountwright as mw

HISTORIES = 10_000


def main() -> None:
    """Run both ways on the same air."""
    rng = np.random.default_rng(1)
    times = np.arange(0, 25) * 3600.0
    kelvin = 288.15 + 6.0 * rng.random((HISTORIES, times.size))
    humidity = np.full_like(kelvin, 0.5)
    cure = mw.cure("epoxy-slow")
    cure.ready_over(0.0, times, kelvin[:10], humidity[:10])

    best = np.inf
    for _ in range(5):
        start = time.perf_counter()
        many = cure.ready_over(0.0, times, kelvin, humidity)
        best = min(best, time.perf_counter() - start)
    few = 500
    start = time.perf_counter()
    for t, h, one in zip(kelvin[:few], humidity[:few], many["handling_s"], strict=False):
        ready = cure.ready_at(0.0, mw.Climate(t, h, times))
        assert ready.handling_s == one
    alone = (time.perf_counter() - start) / few * HISTORIES
    print(f"{HISTORIES} histories of {times.size} hours at once: {best * 1e3:.1f} ms")
    print(
        f"{best / HISTORIES * 1e6:.2f} us each; one call for each would take {alone * 1e3:.0f} ms"
    )
    print(f"{alone / best:.0f} times as long")


if __name__ == "__main__":
    main()
