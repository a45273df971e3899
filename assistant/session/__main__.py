"""Print the power-state table and the phase table: ``python -m assistant.session``."""

from __future__ import annotations

from .phases import phase_table
from .power import power_table

if __name__ == "__main__":
    print(power_table())
    print(phase_table(), end="")
