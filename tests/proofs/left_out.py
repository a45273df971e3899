"""What happens when the true fault is not in the knowledge: ``python -m tests.proofs.left_out [visits per fault]``.

Each fault in turn is taken out of the knowledge, and units that have it are visited. Honest ends are "cannot tell" or
the right repair for another reason; a repair done in vain is a confident wrong answer.
"""

from __future__ import annotations

import sys
from dataclasses import replace

from assistant.reasoning.tables import Tables, compile_tables
from knowledge.base import load
from tests.reasoning.many_visits import Result, visit

WRONG_AT_MOST = 0.25


def without(tables: Tables, fault: str, count: int, first: int) -> Result:
    """Return what came of ``count`` visits to units with a fault that the knowledge does not hold."""
    kb = replace(tables.kb, faults={name: entry for name, entry in tables.kb.faults.items() if name != fault})
    ignorant = compile_tables(kb, tables.unit.id)
    return Result(tuple(visit(ignorant, first + n, (fault,), truth=tables) for n in range(count)))


def main(count: int) -> int:
    """Print the share of confident wrong answers; exit 1 where it is too large."""
    tables = compile_tables(load(), "split_psc_240")
    found = {fault: without(tables, fault, count, 100 * n) for n, fault in enumerate(tables.kb.faults)}
    for fault, result in found.items():
        if result.confidently_wrong:
            print(f"{fault}: wrong in {result.confidently_wrong:.0%}")
    every = Result(tuple(one for result in found.values() for one in result.visits))
    print(f"{len(every.visits)} visits: confidently wrong {every.confidently_wrong:.1%} (at most {WRONG_AT_MOST:.0%}); "
          f"{every}")  # fmt: skip
    return int(every.confidently_wrong > WRONG_AT_MOST)


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 4))
