"""Frames of the screen as text, compared with files that a person has looked at."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

GOLDENS = Path(__file__).parent / "goldens"
UPDATE = "PADSIDE_UPDATE_GOLDENS"


@pytest.fixture(autouse=True)
def _own_machine_kept_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compare text with a committed file; PADSIDE_UPDATE_GOLDENS=1 rewrites the files (look at them then)."""

    def check(name: str, actual: str) -> None:
        path = GOLDENS / f"{name}.txt"
        if os.environ.get(UPDATE):
            path.write_text(actual, encoding="utf-8", newline="\n")
        assert path.exists(), f"no golden yet: run with {UPDATE}=1 and look at {path}"
        assert actual == path.read_text(encoding="utf-8")

    return check
