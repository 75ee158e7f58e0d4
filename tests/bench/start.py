"""Time what a person waits for: the import, the plan, the command from start to packet.

Run it with the interpreter that has mountwright installed, from the top of the tree:
``.venv/bin/python tests/bench/start.py``. Each figure is the best of several runs; nothing fails
on a time.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import mountwright as mw

ROOT = Path(__file__).parents[2]
JOB, SHOP = "demo-data/pillar-pods.toml", "demo-data/shop.toml"


def best(run: Callable[[], object], times: int) -> float:
    """Give the shortest time of several runs, in seconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def python(*words: str) -> None:
    """Run the interpreter as a person would, and wait."""
    subprocess.run([sys.executable, *words], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)


def main() -> None:
    """Print the figures."""
    bare = best(lambda: python("-c", "pass"), 9)
    imported = best(lambda: python("-c", "import mountwright"), 9) - bare
    print(f"import, beyond the bare interpreter   {imported * 1e3:7.1f} ms")
    shop = mw.Shop.read(ROOT / SHOP)
    job = mw.Job.read(ROOT / JOB)
    for draws in (0, 256):
        spent = best(lambda draws=draws: mw.plan(job, shop=shop, draws=draws), 5)  # type: ignore[misc]
        print(f"plan of the demo job, {draws:3} draws       {spent * 1e3:7.1f} ms")
    plan = mw.plan(job, shop=shop)
    with tempfile.TemporaryDirectory() as folder:
        spent = best(lambda: plan.write_packet(folder), 5)
        print(f"packet of that plan                   {spent * 1e3:7.1f} ms")
        words = ["-m", "mountwright", "plan", JOB, "--shop", SHOP, "--out", folder]
        print(
            f"command from start to packet          {best(lambda: python(*words), 5) * 1e3:7.1f} ms"
        )


if __name__ == "__main__":
    main()
