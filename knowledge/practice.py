"""The files of practice, read only when practice is wanted: a visit starts without them."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from .models.practice import Practice, PracticeFile, RunningUnit, RunningUnitFile
from .reader import read_model

FOLDER = "practice"
UNITS, WORDS = "running_units.yaml", "practice.yaml"


def practice_files(root: Path) -> frozenset[Path]:
    """Return the files that practice reads."""
    return frozenset({root / FOLDER / UNITS, root / FOLDER / WORDS})


@lru_cache(maxsize=2)
def running_units(root: Path) -> tuple[RunningUnit, ...]:
    """Return the refrigerant sides below a knowledge folder; raises YamlFileError or KnowledgeErrors."""
    return read_model(root / FOLDER / UNITS, RunningUnitFile).running_units


@lru_cache(maxsize=2)
def practice_of(root: Path) -> Practice:
    """Return words and minutes of practice below a knowledge folder; raises YamlFileError or KnowledgeErrors."""
    return read_model(root / FOLDER / WORDS, PracticeFile).practice
