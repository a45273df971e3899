"""The published and worked values in ``published.yaml``, read strictly."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from knowledge.models.source import Known
from knowledge.reader import read_model

FILE = Path(__file__).with_name("published.yaml")


class Closed(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, populate_by_name=True)


class Sourced(Closed):
    name: Annotated[str, Field(min_length=8)]
    source: str
    known: Known


class Check(Sourced):
    call: str
    args: tuple[float | str | tuple[float, ...], ...] = ()
    """A word stands for the table of that name in the same file, or for itself where there is none."""
    given: dict[str, float | list[float] | None] = Field(default_factory=dict, alias="with")
    gives: float | str | tuple[float, ...]
    within: float = 0.0


class Chart(Sourced):
    cells: tuple[tuple[float, float, float], ...]


class Cooling(Sourced):
    ambient_f: float
    minutes: tuple[float, ...]
    shell_f: tuple[float, ...]
    tau_min: float
    start_f: float
    largest_residual_f: float
    targets: tuple[tuple[float, float], ...]


class Sizes(Closed):
    amps: tuple[float, ...]
    source: str
    known: Known


class Rows(Closed):
    rows: tuple[tuple[float, float], ...]
    source: str
    known: Known


class Ampacities(Closed):
    amps: dict[str, float]
    source: str
    known: Known


class Published(Closed):
    checks: tuple[Check, ...]
    standard_sizes: Sizes
    derating_curve: Rows
    humidity_additions: Rows
    copper_60_c: Ampacities
    chart_cells: tuple[Chart, ...]
    chart_misfits: tuple[Chart, ...]
    cooling: tuple[Cooling, ...]


@lru_cache(maxsize=1)
def published() -> Published:
    return read_model(FILE, Published)
