"""Circuit sizes that follow from the currents on the plates: to check a plate that is there, not to replace one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.physics import electricity
from knowledge.base import KnowledgeBase

from .results import figure


@dataclass(frozen=True, slots=True)
class CircuitSizes:
    """All in A. ``sources`` are ids of the bibliography."""

    minimum_circuit_ampacity_a: float
    protection_a: float
    """Ceiling for fuse or breaker before a standard size is taken."""
    fuse_down_a: float
    """Standard size below it: the reading of the code up to 2020, right under every edition."""
    fuse_up_a: float
    """Standard size above it, allowed since the 2023 edition."""
    fuse_ceiling_a: float
    """Largest standard size if the motor does not start on the former; no edition goes above."""
    disconnect_a: float
    conductor: str
    """Copper conductor of the column that the terminals count as."""
    column_c: int
    sentence: str
    validity: str
    sources: tuple[str, ...]


VALIDITY = (
    "one compressor circuit with its fans; the plate's own MCA and maximum fuse win; conductor before heat and bundling"
)


def circuit_sizes(kb: KnowledgeBase, compressors_a: Sequence[float], fans_a: Sequence[float] = ()) -> CircuitSizes:
    """Return what the code makes of RLA (or branch-circuit selection current) and FLA, in A.

    At least one compressor, every current > 0; OutsideValidity names what is outside, also a size beyond the tables.
    """
    tables = kb.electrical_tables
    currents = [*compressors_a, *fans_a]
    mca_a = electricity.minimum_circuit_ampacity_a(currents, tables.largest_motor_pct.value)
    largest = max(currents)
    others = list(currents)
    others.remove(largest)
    protection_a = electricity.maximum_protection_a(largest, others, tables.protection_pct.value)
    ceiling_a = electricity.maximum_protection_a(largest, others, tables.protection_ceiling_pct.value)
    sizes, least_a = tables.standard_fuses_a.sizes, tables.least_protection_a.value
    down_a, up_a, most_a = (
        electricity.next_size_down_a(max(protection_a, least_a), sizes),
        electricity.next_size_up_a(max(protection_a, least_a), sizes),
        electricity.next_size_down_a(max(ceiling_a, least_a), sizes),
    )
    column = next(c for c in tables.conductors if (c.column_c == 60) == (mca_a <= tables.terminals_60_c_up_to_a.value))
    conductor = electricity.smallest_conductor(mca_a, column.amps)
    sentence = (
        f"MCA {figure(mca_a, 'A')}; fuse or breaker up to {figure(protection_a, 'A')}: {figure(down_a, 'A')}, by the"
        f" 2023 code {figure(up_a, 'A')}, never above {figure(most_a, 'A')}. The plate's own maximum wins."
    )
    used = ("nec_440", tables.standard_fuses_a.source, column.source, tables.terminals_60_c_up_to_a.source)
    return CircuitSizes(
        mca_a,
        protection_a,
        down_a,
        up_a,
        most_a,
        electricity.minimum_disconnect_a(currents, tables.disconnect_pct.value),
        conductor,
        column.column_c,
        sentence,
        VALIDITY,
        used,
    )
