"""What every entry of the knowledge shares: frozen, closed, strict, with an id and a pedigree."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
Text = Annotated[str, StringConstraints(min_length=1, max_length=400)]


class Closed(BaseModel):
    """A frozen model that refuses unknown keys and silent type changes."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        str_strip_whitespace=True,
    )


class Entry(Closed):
    """A thing with an id that other files may refer to."""

    id: Id


class PowerNeed(StrEnum):
    """The state of the unit's power that a check or repair needs, from least to most work done."""

    ANY = "any"
    """Looked at, listened to or asked from outside; nothing live can be touched."""
    LIVE = "live"
    """Energised, covers off: live-work precautions, qualified person only."""
    DEAD = "dead"
    """Isolated and proved dead in this power epoch."""
    DISCHARGED = "discharged"
    """Proved dead and stored charge removed (DC checked)."""


class Signal(StrEnum):
    """Signal words of the open standards for safety signs (ANSI Z535 / ISO 3864; source: ansi_z535)."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


class Wording(Closed):
    """What an entry is called with one choice or kind of unit, where that differs."""

    name: Text | None = None
    say: Text | None = None
    spoken: Text | None = None
    why: Text | None = None
    limit: Id | None = None
    phrases: tuple[str, ...] | None = None
    stands_for: tuple[Id, ...] | None = None
    specify: Text | None = None
    done: Text | None = None


class Fitted(Entry):
    """An entry that not every unit has a use for."""

    only_with: tuple[str, ...] = ()
    """Choices (``option.choice``) or kinds (``kind.unit``) it is for; of one option any will do."""
    not_with: tuple[str, ...] = ()
    """Choices or kinds it is not for."""
    wordings: dict[str, Wording] = Field(default_factory=dict)
    """Choice or kind -> what it is called and how it is asked there."""
