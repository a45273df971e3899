"""Where the log of a test lies, and a whole one."""

from __future__ import annotations

from pathlib import Path

import pytest

from .logs import written


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "2026-07-04-a.jsonl"


@pytest.fixture
def data(path: Path) -> bytes:
    return written(path)
