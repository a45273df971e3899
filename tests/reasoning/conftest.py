"""Knowledge and compiled tables, once per run."""

from __future__ import annotations

import pytest

from assistant.reasoning.tables import Tables, compile_tables
from knowledge.base import KnowledgeBase, load

PLATE = {"cap_herm_uf": 45.0, "cap_fan_uf": 5.0, "rla": 14.5, "lra": 80.0, "fan_fla": 1.1, "rated_voltage": 230.0}


@pytest.fixture(scope="session")
def kb() -> KnowledgeBase:
    return load()


@pytest.fixture(scope="session")
def tables(kb: KnowledgeBase) -> Tables:
    return compile_tables(kb, "split_psc_240")


@pytest.fixture(scope="session")
def plate() -> dict[str, float]:
    """The plate that the unit kind's own values stand for."""
    return dict(PLATE)
