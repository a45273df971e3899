"""Tables of a unit as a case says that it is built."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from assistant.reasoning.tables import Tables, compile_tables
from knowledge import load
from knowledge.narrowing import configured
from knowledge.variants import Configuration

KIND = "split_psc_240"


def tables_of(built: Mapping[str, str]) -> Tables:
    """Return the tables for the choices told, ``kind`` among them; made once per run."""
    told = dict(built)
    kind = told.pop("kind", KIND)
    return _tables(kind, tuple(sorted(told.items())))


@cache
def _tables(kind: str, told: tuple[tuple[str, str], ...]) -> Tables:
    kb = load()
    known = Configuration.of(kb.units[kind], dict(told))
    assert known.known == told, "no such option or choice"
    return compile_tables(configured(kb, known), kind)
