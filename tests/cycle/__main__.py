"""``python -m tests.cycle``: how well the signatures tell faults apart; ``--write``: make their table
anew; ``--units``: make the units of practice anew."""

from __future__ import annotations

import sys

from knowledge.base import DATA, load

from .recorded import recorded_units, units_yaml
from .selftest import report
from .table import as_yaml, at_height, height_yaml, signature_table

FILE = DATA / "reasoning" / "signatures.yaml"
HEAD, SHIFTS = "  at_height:\n", "  shifts:\n"
UNITS = DATA / "practice" / "running_units.yaml"


def main(arguments: list[str]) -> int:
    """Write the table, or print the self-test."""
    if arguments == ["--write"]:
        text = FILE.read_text(encoding="utf-8")
        FILE.write_text(
            text.partition(HEAD)[0] + height_yaml(at_height()) + SHIFTS + as_yaml(signature_table()), encoding="utf-8"
        )
        return 0
    if arguments == ["--units"]:
        UNITS.write_text(units_yaml(recorded_units(load())), encoding="utf-8")
        return 0
    print(report())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
