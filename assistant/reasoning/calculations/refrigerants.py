"""Which refrigerant is meant, and whether its saturation can be backed."""

from __future__ import annotations

import re

from assistant.physics.refrigerant import SaturationTable
from knowledge.base import KnowledgeBase
from knowledge.models.refrigerant import Refrigerant

_NOT_A_NAME = re.compile(r"[^a-z0-9()]|\brefrigerant\b|\bhfc\b|\bhcfc\b|\bhfo\b")


def find_refrigerant(kb: KnowledgeBase, said: str) -> Refrigerant | None:
    """Return the refrigerant of a plate or a note (``R410A``, ``r 454 b``, ``HFC-32``); None for an unknown one.

    Letters and figures must all agree: refrigerant numbers a letter apart are different gases.
    """
    wanted = _plain(said)
    for refrigerant in kb.refrigerants.values():
        if wanted and wanted in {_plain(refrigerant.name), *map(_plain, refrigerant.phrases)}:
            return refrigerant
    return None


def saturation_table(kb: KnowledgeBase, refrigerant: Refrigerant) -> SaturationTable | None:
    """Return the saturation table of a refrigerant; None where it cannot be backed."""
    known = kb.saturation.get(refrigerant.id)
    if known is None:
        return None
    return SaturationTable(refrigerant.name, known.first_f, known.step_f, known.bubble_psia, known.dew_psia)


def _plain(name: str) -> str:
    return _NOT_A_NAME.sub("", name.lower()).removeprefix("r")
