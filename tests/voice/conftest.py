"""The lesson is compiled once for all tests of a run."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache folder that all tests with the real child share."""
    return tmp_path_factory.mktemp("speech-cache")
