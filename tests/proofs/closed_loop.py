"""Hundreds of whole visits on units that are not the model: ``python -m tests.proofs.closed_loop [singles] [seed]``.

See ``tests.reasoning.simulated_unit`` for what is drawn independently of the model, and ``tests.reasoning.flowchart``
for the fixed order that it is held against. The limits are the project's own goals.
"""

from __future__ import annotations

import sys

from assistant.reasoning.tables import Tables, compile_tables
from knowledge.base import load
from tests.reasoning.flowchart import fixed_order
from tests.reasoning.many_visits import Result, electrical, visits

NEEDLESS_AT_MOST, OF_THE_CHART_AT_MOST = 0.03, 0.70
FIXED_AT_LEAST = {1: 0.96, 2: 0.92}
CANNOT_TELL_AT_MOST = {1: 0.05, 2: 0.09}
DOUBLES_FROM = 10_000
"""Seeds of the visits with two faults begin here."""


def missed(result: Result, chart: Result, faults: int) -> list[str]:
    """Return the goals that were missed."""
    goals = {
        "fixed": result.fixed >= FIXED_AT_LEAST[faults],
        "needless repairs": result.needless <= NEEDLESS_AT_MOST,
        "cannot tell": result.cannot_tell <= CANNOT_TELL_AT_MOST[faults],
        "minutes": result.minutes <= OF_THE_CHART_AT_MOST * chart.minutes,
    }
    return [name for name, met in goals.items() if not met]


def played(tables: Tables, count: int, faults: int, first: int, among: frozenset[str] | None) -> list[str]:
    """Play the visits by the diagnosis and by the chart, print both, and return the goals that were missed."""
    first += DOUBLES_FROM if faults == 2 else 0
    result = visits(tables, count, faults, first=first, among=among)
    chart = visits(tables, count, faults, fixed_order, first, among)
    failed = missed(result, chart, faults)
    print(f"{count} visits with {faults} fault(s): {result}\n  fixed order: {chart}; "
          f"minutes {result.minutes / chart.minutes:.2f} of it{'; MISSED: ' + ', '.join(failed) if failed else ''}",
          flush=True)  # fmt: skip
    return failed


def main(singles: int, first: int) -> int:
    tables = compile_tables(load(), "split_psc_240")
    failed = []
    for kind, among in (("faults of the circuit", electrical(tables)), ("all faults, air and refrigerant too", None)):
        print(f"== {kind}")
        failed += [*played(tables, singles, 1, first, among), *played(tables, singles // 2, 2, first, among)]
    return int(bool(failed))


if __name__ == "__main__":
    sys.exit(main(*(int(given) for given in [*sys.argv[1:3], *("500", "0")[len(sys.argv[1:3]) :]])))
