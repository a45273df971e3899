"""The knowledge as it holds for the unit of one visit, and the tables made of it."""

from __future__ import annotations

from collections import OrderedDict
from pathlib import Path

from assistant.dialogue.prose import told_in
from assistant.dialogue.quantities import System
from assistant.reasoning.tables import Tables, compile_tables
from assistant.session.state import VisitState
from knowledge import KnowledgeBase
from knowledge.narrowing import configured
from knowledge.variants import Configuration

KEPT = 4
"""Configurations kept: one visit goes through a few as it is told how the unit is built."""


class Views:
    """Narrowed knowledge and its tables by configuration; the same state gives the very same objects."""

    def __init__(self, kb: KnowledgeBase, cache_dir: Path | None) -> None:
        self._kb = kb
        self._cache_dir = cache_dir
        self._views: OrderedDict[tuple[Configuration, System], KnowledgeBase] = OrderedDict()
        self._tables: OrderedDict[Configuration, Tables] = OrderedDict()

    def of(self, state: VisitState, system: System = "us") -> KnowledgeBase:
        """Return what is known of the unit of a visit; all there is where its kind is not told or not known.

        ``system``: the units in which its sentences are told.
        """
        unit = self._kb.units.get(state.unit_kind)
        if unit is None:
            return told_in(self._kb, system)
        known = (Configuration.of(unit, state.built), system)
        if known not in self._views:
            self._views[known] = configured(told_in(self._kb, system), known[0])
            _forget(self._views)
        self._views.move_to_end(known)
        return self._views[known]

    def tables(self, state: VisitState) -> Tables:
        """Return the tables for the unit of a visit, made once."""
        known = Configuration.of(self._kb.units[state.unit_kind], state.built)
        if known not in self._tables:
            self._tables[known] = compile_tables(self.of(state), state.unit_kind, self._cache_dir)
            _forget(self._tables)
        self._tables.move_to_end(known)
        return self._tables[known]


def _forget(
    kept: OrderedDict[tuple[Configuration, System], KnowledgeBase] | OrderedDict[Configuration, Tables],
) -> None:
    while len(kept) > KEPT:
        kept.popitem(last=False)
