"""Which of the capacitors at hand may take the place of the one that failed: whole, by section, or two in parallel."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import isclose

from assistant.physics.electricity import parallel_tolerance_pct, parallel_uf
from assistant.physics.errors import above
from knowledge.base import KnowledgeBase

from .results import figure

_MOST_IN_PARALLEL = 2
"""More cans than this find no place in a unit, and every splice is another thing to fail."""


@dataclass(frozen=True, slots=True)
class Can:
    """A capacitor as marked: one section, or the two of a dual one."""

    sections_uf: tuple[float, ...]
    voltage_v: float
    tolerance_pct: float | None = None
    """As printed; None where none is."""
    start: bool = False
    """A start capacitor: never a substitute for a run capacitor, nor the other way round."""

    def __post_init__(self) -> None:
        for section in self.sections_uf:
            above("capacitance", section, 0, "µF")
        above("voltage rating", self.voltage_v, 0, "V")

    @property
    def marking(self) -> str:
        """``45/5 µF 370 V``"""
        return f"{'/'.join(f'{section:g}' for section in self.sections_uf)} µF {figure(self.voltage_v, 'V')}"


@dataclass(frozen=True, slots=True)
class Fitting:
    """One way to replace the marked capacitor: for each of its sections the stocked sections to connect."""

    parts: tuple[tuple[Can, ...], ...]
    """By section of the marked one; two cans of a section are connected in parallel."""
    tolerance_pct: float
    """The worst of the sections."""
    sentence: str

    @property
    def cans(self) -> int:
        return len({id(can) for section in self.parts for can in section})


@dataclass(frozen=True, slots=True)
class Choice:
    """Everything that fits, the simplest first, and why the rest does not."""

    fits: tuple[Fitting, ...]
    refused: tuple[tuple[Can, str], ...]
    sentence: str


def choose_capacitor(kb: KnowledgeBase, marked: Can, stock: Sequence[Can]) -> Choice:
    """Return which stocked capacitors may replace the marked one; its own µF exactly, its voltage never lower.

    Two single ones in parallel count where both voltage ratings reach the marked one's and the values add up to
    the marked value; a dual can serves as one section with its other terminal left free and covered.
    """
    says = kb.limits["capacitor_replacement"].says
    default_pct = kb.limits["capacitor_herm"].constants["tolerance_pct"]
    usable = [can for can in stock if can.start == marked.start and can.voltage_v >= marked.voltage_v]
    ways = sorted(_ways(marked, usable), key=lambda parts: (len(_cans(parts)), max(c.voltage_v for c in _cans(parts))))
    fits = tuple(_fitting(marked, parts, default_pct) for parts in ways)
    in_use = {id(can) for way in ways for can in _cans(way)}
    refused = tuple((can, _why(can, marked, says)) for can in stock if id(can) not in in_use)
    if fits:
        sentence = fits[0].sentence
    elif not stock:
        sentence = says["unmarked"]
    else:
        reasons: dict[str, dict[str, None]] = {}
        for can, reason in refused:
            reasons.setdefault(reason, {})[can.marking] = None
        why = " ".join(f"{', '.join(cans)}: {reason}" for reason, cans in reasons.items())
        sentence = f"Nothing at hand fits {marked.marking}. {why}"
    return Choice(fits, refused, sentence)


def _ways(marked: Can, usable: Sequence[Can]) -> Iterator[tuple[tuple[Can, ...], ...]]:
    """Every assignment of cans to the sections of the marked one, no can used twice but by its own two sections."""
    whole = [can for can in usable if _same(can.sections_uf, marked.sections_uf)]
    for can in whole:
        yield tuple((can,) for _ in marked.sections_uf)
    yield from _by_section(marked.sections_uf, [can for can in usable if can not in whole], ())


def _by_section(
    wanted_uf: tuple[float, ...], usable: Sequence[Can], chosen: tuple[tuple[Can, ...], ...]
) -> Iterator[tuple[tuple[Can, ...], ...]]:
    if len(chosen) == len(wanted_uf):
        if chosen:
            yield chosen
        return
    wanted = wanted_uf[len(chosen)]
    taken = {id(can) for cans in chosen for can in cans}
    free = [can for can in usable if id(can) not in taken]
    seen: set[tuple[str, ...]] = set()
    for count in range(1, _MOST_IN_PARALLEL + 1):
        for cans in combinations(free, count):
            marks = tuple(sorted(can.marking for can in cans))
            if marks not in seen and _gives(cans, wanted):
                seen.add(marks)
                yield from _by_section(wanted_uf, usable, (*chosen, cans))


def _gives(cans: Sequence[Can], wanted_uf: float) -> bool:
    """True where one can has such a section, or single ones add up to it."""
    if len(cans) == 1:
        return any(isclose(section, wanted_uf, rel_tol=1e-6) for section in cans[0].sections_uf)
    if any(len(can.sections_uf) > 1 for can in cans):
        return False  # a dual can beside another one leaves live spare terminals for nothing gained
    return isclose(parallel_uf(*(can.sections_uf[0] for can in cans)), wanted_uf, rel_tol=1e-6)


def _fitting(marked: Can, parts: tuple[tuple[Can, ...], ...], default_pct: float) -> Fitting:
    tolerance = max(
        parallel_tolerance_pct(
            [_section(can, wanted, len(cans)) for can in cans],
            [default_pct if can.tolerance_pct is None else can.tolerance_pct for can in cans],
        )
        for cans, wanted in zip(parts, marked.sections_uf, strict=True)
    )
    if len({id(can) for can in _cans(parts)}) == 1:
        can = parts[0][0]
        spare = len(can.sections_uf) > len(marked.sections_uf)
        words = f"Fit {can.marking}" + (", its other terminal left free and covered" if spare else "")
    else:
        pieces = (
            f"{' and '.join(can.marking for can in cans)} in parallel" if len(cans) > 1 else cans[0].marking
            for cans in parts
        )
        words = f"Fit {', and '.join(pieces)}"
    return Fitting(parts, tolerance, f"{words}, for {marked.marking}.")


def _section(can: Can, wanted_uf: float, count: int) -> float:
    if count > 1:
        return can.sections_uf[0]
    return next(section for section in can.sections_uf if isclose(section, wanted_uf, rel_tol=1e-6))


def _why(can: Can, marked: Can, says: Mapping[str, str]) -> str:
    if can.start != marked.start:
        return says["other_kind"]
    return says["lower_volts" if can.voltage_v < marked.voltage_v else "other_uf"]


def _cans(parts: tuple[tuple[Can, ...], ...]) -> list[Can]:
    return [can for cans in parts for can in cans]


def _same(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    pairs = zip(sorted(one), sorted(other), strict=False)
    return len(one) == len(other) and all(isclose(a, b, rel_tol=1e-6) for a, b in pairs)
