"""What practice plays with: refrigerant sides worked out beforehand, its own words, and minutes of work."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from .entry import Closed, Entry, Id, Text


class RunningUnit(Entry):
    """One invented unit as gauges and thermometers show it, sound and with each fault of its refrigerant side."""

    refrigerant: Id
    device: Literal["orifice", "txv"]
    readings: dict[Id, dict[Id, float]]
    """``sound`` or the id of a signature -> gauge check -> reading in the canonical unit of the check."""
    standing: dict[Id, float]
    """``sound`` or the id of a signature -> pressure when all has stood and equalised, psi."""


class RunningUnitFile(Closed):
    running_units: tuple[RunningUnit, ...]


class PracticeWords(Closed):
    """Words that only practice takes."""

    look: dict[str, tuple[Id, ...]]
    """Words that ask for a look, a touch or an ear instead of a meter -> the checks meant; none = any look."""
    measure: tuple[Text, ...] = ()
    """Words that ask for a meter where no quantity is named: measure the capacitor."""
    small: tuple[Text, ...]
    """Words around a wish that mean nothing."""
    asked: tuple[Text, ...]
    """Whole notes that do what was asked last."""
    hint: tuple[Text, ...]
    """Whole notes that want the program's next step."""
    plate: tuple[Text, ...]
    """Whole notes that read the nameplate."""
    reveal: tuple[Text, ...]
    """Whole notes that end the exercise and show the answer."""


class Practice(Closed):
    words: PracticeWords
    step_min: float = Field(gt=0)
    """Minutes that one step of making safe or restoring takes."""
    talk_min: float = Field(gt=0)
    """Minutes of anything else that is said."""
    alike: float = Field(ge=0, le=100)
    """How like the name of a check words must be, percent, where nothing in them names a part."""
    source: str


class PracticeFile(Closed):
    practice: Practice
