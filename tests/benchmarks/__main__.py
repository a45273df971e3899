"""Print the budgets of the project beside what this machine needs: ``python -m tests.benchmarks``."""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import islice
from pathlib import Path

NOTES = (
    "fan is humming",
    "compressor silent",
    "{volts} line side",
    "{low} at the coil",
    "contactor pulled in",
    "what next",
    "why",
    "nothing on the load side",
    "herm reads {uf}",
    "stat is calling",
    "blower running",
    "where are we",
    "what should a 40 microfarad read",
    "note: customer has a dog",
)
LONG_VISIT = 5000


def main() -> int:
    """Measure in fresh processes where start or memory counts; exit 1 where a budget is missed."""
    rows = [
        ("knowledge load [s]", 0.4, _best(_fresh, "from knowledge import load; load()", baseline="pass")),
        ("start to first prompt [s]", 1.0, _best(_first_prompt)),
    ]
    early, late, flat, cold, peak = _visit()
    rows += [
        ("note to reply, notes 1-500, p95 [ms]", 50.0, early),
        (f"note to reply, last 500 of {LONG_VISIT}, p95 [ms]", 50.0, late),
        ("growth, late p95 / early p95 [-]", 2.0, flat),
        ("first diagnosis with no cache [s]", 3.0, cold),
        ("peak memory of that visit [MB]", 250.0, peak),
    ]
    missed = 0
    print(f"{'what':50} {'budget':>9} {'measured':>9}")
    for what, budget, measured in rows:
        over = measured > budget
        missed += over
        print(f"{what:50} {budget:9.2f} {measured:9.3f}{'   MISSED' if over else ''}")
    return 1 if missed else 0


def _best(run: Callable[..., float], *args: str, baseline: str | None = None) -> float:
    taken = min(run(*args) for _ in range(5))
    return taken - min(run(baseline) for _ in range(5)) if baseline else taken


def _fresh(code: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True)  # noqa: S603 - our own code
    return time.perf_counter() - start


def _first_prompt() -> float:
    """Time from start of the process to the first line of the plain front end."""
    with tempfile.TemporaryDirectory() as home:
        start = time.perf_counter()
        command = [sys.executable, "-m", "assistant", "--home", home, "--plain"]
        with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:  # noqa: S603
            assert process.stdout is not None
            process.stdout.readline()
            taken = time.perf_counter() - start
            process.communicate(b"")
    return taken


def _visit() -> tuple[float, float, float, float, float]:
    from assistant.open_visit import open_new
    from knowledge import load

    kb = load()
    with tempfile.TemporaryDirectory() as home:
        desk = open_new(kb, Path(home), cache=Path(home) / "cache")
        start = time.perf_counter()
        desk.say("nothing running outside")
        cold = time.perf_counter() - start
        times = []
        for number in range(LONG_VISIT):
            note = NOTES[number % len(NOTES)].format(
                volts=200 + number % 53, low=18 + number % 12, uf=30 + number % 17
            )  # values change, so that no answer comes from a cache
            start = time.perf_counter()
            desk.say(note)
            times.append((time.perf_counter() - start) * 1000)
        desk.close()
    early = statistics.quantiles(islice(times, 500), n=20)[-1]
    late = statistics.quantiles(times[-500:], n=20)[-1]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return early, late, late / early, cold, peak


if __name__ == "__main__":
    sys.exit(main())
