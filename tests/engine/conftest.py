"""Fixtures of the conversation tests."""

from pathlib import Path

import pytest

from tests.engine.conversation import visit

__all__ = ["cache", "visit"]


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One cache for the visits of a module: the tables of a way of building are made once."""
    return tmp_path_factory.mktemp("cache")
