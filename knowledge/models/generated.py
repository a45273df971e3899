"""Rare faults that are made of a unit's parts and conductors instead of being written one by one."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from .entry import Closed, Id, Text
from .fault import FaultMode

Sort = Literal[
    "source", "wire", "insulating", "switch", "fuse", "contact", "coil", "transformer", "capacitor", "main", "aux",
    "phase", "overload", "load",
]  # fmt: skip
"""Kind of element; ``insulating``: what keeps two conductors apart."""
Shares = dict[Id, dict[Id, float]]
Weight = Annotated[float, Field(gt=0.0)]


class ModeWords(Closed):
    """What holds for a way to fail unless a group says otherwise."""

    name: Text
    """``{element}``: what a technician calls it."""
    why: Text
    prior: Weight
    value: float | None = None
    """resistive, ground and short: ohms; weak: fraction of the rated value."""


class Made(Closed):
    """One way in which the elements of a group fail."""

    repair: Id
    name: Text | None = None
    why: Text | None = None
    prior: Weight | None = None
    value: float | None = None
    shows: Shares = Field(default_factory=dict)


class Group(Closed):
    """Elements that fail alike."""

    part: Id
    """Subject that is at fault."""
    elements: tuple[Id, ...]
    faults: dict[FaultMode, Made]


class NotMade(Closed):
    """Ways to fail that are left out on purpose."""

    elements: tuple[Id, ...]
    modes: tuple[FaultMode, ...]
    why: Text


class Generated(Closed):
    source: str
    """Where the priors are from."""
    kinds: dict[Sort, tuple[FaultMode, ...]]
    """What may happen to an element of a kind: each is written, made, or left out with a reason."""
    modes: dict[FaultMode, ModeWords]
    groups: tuple[Group, ...]
    not_made: tuple[NotMade, ...]


class GeneratedFile(Closed):
    generated: Generated
