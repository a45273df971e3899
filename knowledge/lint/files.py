"""The linter's own files: how texts are to be written, and which findings are accepted."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from pydantic import Field

from knowledge.models.entry import Closed, Text
from knowledge.reader import read_model

STYLE = "lint_style.yaml"
EXCEPTIONS = "lint_exceptions.yaml"
Count = Annotated[int, Field(ge=1)]


class Style(Closed):
    """Sizes of texts and words that are not used."""

    say_max: Count
    """Letters of one instruction on the screen."""
    spoken_max: Count
    spoken_words_max: Count
    near_edits: Count
    """Names of different things at most this many edits apart are too near."""
    near_letters: Count
    """Words shorter than this are not compared."""
    banned: tuple[Text, ...]


class StyleFile(Closed):
    style: Style


class Accepted(Closed):
    """A finding that stands for a reason."""

    entry: Text
    """``kind:id`` as the finding's entry."""
    rule: Text
    because: Text


class ExceptionFile(Closed):
    exceptions: tuple[Accepted, ...]


def read_style(root: Path) -> Style:
    """Return the style below a knowledge folder; raises YamlFileError or KnowledgeErrors."""
    return read_model(root / STYLE, StyleFile).style


def read_exceptions(root: Path) -> tuple[Accepted, ...]:
    """Return the accepted findings below a knowledge folder; raises YamlFileError or KnowledgeErrors."""
    return read_model(root / EXCEPTIONS, ExceptionFile).exceptions
