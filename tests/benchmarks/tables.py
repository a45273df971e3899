"""What the tables of each kind of unit cost, new and from the cache: ``python -m tests.benchmarks.tables``.

Each is timed in a process of its own, after the knowledge is loaded: seconds on the clock, which grow with what else
the machine does, and seconds of the processor, which hardly do.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass

NEW_AT_MOST_S, CACHED_AT_MOST_S = 3.0, 0.2

UNITS = {
    "single-phase 240 V": ("split_psc_240", ()),
    "heat pump": ("split_psc_240", (("cycle", "heat_pump"),)),
    "start kit, separate capacitors, delay board": (
        "split_psc_240",
        (("hard_start", "kit"), ("run_capacitors", "separate"), ("time_delay", "board")),
    ),
    "three-phase 208 V": ("three_phase", (("supply_volts", "v208"),)),
    "three-phase 240 V, high leg": ("three_phase", (("supply_volts", "high_leg"),)),
    "three-phase 480 V": ("three_phase", (("supply_volts", "v460"),)),
}
"""What it is called -> kind of unit and the choices that are told."""

_TIMED = """
import json, sys, time
from pathlib import Path
from assistant.reasoning.tables import compile_tables
from knowledge import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration
kind, told, cache = json.loads(sys.argv[1])
known = Configuration(kind)
for option, choice in told:
    known = known.knowing(option, choice)
kb = configured(load(), known)
clock, used = time.perf_counter(), time.process_time()
compile_tables(kb, kind, Path(cache))
print(json.dumps([time.perf_counter() - clock, time.process_time() - used]))
"""


@dataclass(frozen=True)
class Cost:
    """Seconds that the tables of one unit took."""

    what: str
    at_most_s: float
    clock_s: float
    processor_s: float


def costs() -> Iterator[Cost]:
    """Yield what each kind of unit costs, new and then from the cache, the best of three."""
    for name, (kind, told) in UNITS.items():
        with tempfile.TemporaryDirectory() as cache:
            yield Cost(f"tables new, {name}", NEW_AT_MOST_S, *_timed(kind, told, cache))
            again = min(_timed(kind, told, cache) for _ in range(3))
            yield Cost(f"tables from cache, {name}", CACHED_AT_MOST_S, *again)


def _timed(kind: str, told: tuple[tuple[str, str], ...], cache: str) -> tuple[float, float]:
    given = json.dumps([kind, told, cache])
    command = [sys.executable, "-c", _TIMED, given]
    done = subprocess.run(command, check=True, capture_output=True, text=True)  # noqa: S603 - our own code
    clock_s, processor_s = json.loads(done.stdout)
    return clock_s, processor_s


def main() -> int:
    """Print each cost beside its budget; exit 1 where one is missed on the clock."""
    missed = 0
    print(f"{'what':64} {'budget':>7} {'clock':>7} {'processor':>10}  [s]")
    for cost in costs():
        over = cost.clock_s > cost.at_most_s
        missed += over
        print(f"{cost.what:64} {cost.at_most_s:7.2f} {cost.clock_s:7.3f} {cost.processor_s:10.3f}"
              f"{'   MISSED' if over else ''}", flush=True)  # fmt: skip
    return int(missed > 0)


if __name__ == "__main__":
    sys.exit(main())
