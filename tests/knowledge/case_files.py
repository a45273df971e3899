"""Case files: one below ``cases`` for each file of the knowledge whose content can be right or wrong."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from knowledge.models.entry import Closed
from knowledge.reader import read_model

CASES = Path(__file__).parent / "cases"
F = TypeVar("F", bound=Closed)


def cases(name: str, model: type[F]) -> F:
    """Return a case file, read as strictly as the knowledge itself."""
    return read_model(CASES / name, model)
