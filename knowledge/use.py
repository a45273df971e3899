"""One id named by one entry of the knowledge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from .reader import Loc


class Use(NamedTuple):
    """One id named by one entry."""

    kind: str
    """Kind of the entry that names it: ``check``; ``reasoning`` and ``power_rules`` have no id."""
    id: str
    loc: Loc
    """Field inside the entry."""
    target: str
    """Kind of thing named: ``limit``, ``node of split_psc_240``, ``outcome of look_fan``."""
    value: str


def each(kind: str, entry_id: str, target: str, named: Iterable[tuple[Loc, str | None]]) -> Iterator[Use]:
    for loc, value in named:
        if value is not None:
            yield Use(kind, entry_id, loc, target, value)


def many(field: str, values: Iterable[str]) -> Iterator[tuple[Loc, str]]:
    for place, value in enumerate(values):
        yield (field, place), value


def outcomes(kind: str, entry_id: str, field: str, by_check: dict[str, tuple[str, ...]]) -> Iterator[Use]:
    for check, listed in by_check.items():
        yield Use(kind, entry_id, (field, check), "check", check)
        for outcome in listed:
            yield Use(kind, entry_id, (field, check), f"outcome of {check}", outcome)
