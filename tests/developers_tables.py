"""The generated tables of DEVELOPERS.md: ``python -m tests.developers_tables --write``."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path

from assistant.session.phases import phase_table
from assistant.session.power import power_table

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "DEVELOPERS.md"


def import_table() -> str:
    """Return the layers of the first import contract, highest first."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    layers = settings["tool"]["importlinter"]["contracts"][0]["layers"]
    rows = [f"| {number} | {layer.replace(' | ', ', ')} |" for number, layer in enumerate(layers, 1)]
    return "\n".join(["| Row | Modules (side by side in a row: do not know each other) |", "|---|---|", *rows]) + "\n"


def with_tables(text: str) -> str:
    """Return the guide with every table made anew."""
    for name, table in (("imports", import_table()), ("phases", phase_table()), ("power", power_table())):
        pattern = rf"(<!-- table:{name} -->\n).*?(<!-- end -->)"
        text, count = re.subn(pattern, lambda m, table=table: m[1] + table + m[2], text, flags=re.DOTALL)  # type: ignore[misc]
        if count != 1:
            raise ValueError(f"DEVELOPERS.md has no place for the table {name!r}")
    return text


if __name__ == "__main__":
    before = GUIDE.read_text(encoding="utf-8")
    after = with_tables(before)
    if "--write" in sys.argv:
        GUIDE.write_text(after, encoding="utf-8")
    sys.exit(0 if before == after or "--write" in sys.argv else "DEVELOPERS.md is stale: run with --write")
