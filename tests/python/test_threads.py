"""The interpreter is free while the core works, and Ctrl-C is heard."""

import _thread
import threading
import time

import pytest

import mountwright as mw


def test_another_thread_keeps_ticking_and_an_interrupt_stops_the_work() -> None:
    texts = ["1 1/2 in"] * 3_000_000
    ticks = 0
    done = threading.Event()

    def tick() -> None:
        nonlocal ticks
        while not done.is_set():
            time.sleep(0.001)
            ticks += 1

    clock = threading.Thread(target=tick)
    clock.start()
    # Copying the strings in holds the interpreter; only then the work begins.
    before = time.perf_counter()
    mw.quantities(texts, "length")
    whole_s = time.perf_counter() - before
    done.set()
    clock.join()
    # Held, the clock would tick about once each switch interval of the copy alone.
    assert ticks > 20, (ticks, whole_s)

    interrupt = threading.Timer(whole_s / 2, _thread.interrupt_main)
    interrupt.start()
    with pytest.raises(KeyboardInterrupt):
        mw.quantities(texts, "length")
