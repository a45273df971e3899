"""Circuit sizes, capacitors at hand and advice for the heat, against their sourced cases."""

from __future__ import annotations

from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict

from assistant.physics.errors import OutsideValidity
from assistant.reasoning.limits import Can, choose_capacitor, circuit_sizes, heat_advice
from knowledge.base import load
from knowledge.models.source import Known
from knowledge.reader import read_model
from tests.knowledge.case_files import CASES

KB = load()
steady = settings(derandomize=True, deadline=None, max_examples=150)


class Sourced(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)
    name: str
    source: str
    known: Known


class Sizes(Sourced):
    compressors: tuple[float, ...]
    fans: tuple[float, ...]
    mca: float
    protection: float
    down: float
    up: float
    ceiling: float
    disconnect: float
    conductor: str
    column: int


class Marked(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)
    uf: tuple[float, ...]
    v: float
    start: bool = False

    def can(self) -> Can:
        return Can(self.uf, self.v, start=self.start)


class Stock(Sourced):
    marked: Marked
    stock: tuple[Marked, ...]
    fits: tuple[str, ...]
    refused: tuple[str, ...] = ()


class Tables(BaseModel):
    sizes: tuple[Sizes, ...]
    stock: tuple[Stock, ...]


class Advice(Sourced):
    temp_f: float
    rh: float
    sun: Literal["shade", "partly_cloudy", "full_sun"]
    effort: Literal["light", "moderate", "heavy"]
    index: float | None = None
    band: str | None = None
    adjusted: float | None = None
    work: float | None
    says: str = ""


class HeatCases(BaseModel):
    advice: tuple[Advice, ...]


TABLES = read_model(CASES / "electrical_tables.yaml", Tables)
HEAT = read_model(CASES / "heat_stress.yaml", HeatCases)


@pytest.mark.parametrize("case", TABLES.sizes, ids=lambda case: case.name)
def test_circuit_sizes_from_the_plate_currents(case: Sizes) -> None:
    got = circuit_sizes(KB, case.compressors, case.fans)
    assert got.minimum_circuit_ampacity_a == pytest.approx(case.mca, abs=0.001)
    assert got.protection_a == pytest.approx(case.protection, abs=0.001)
    assert (got.fuse_down_a, got.fuse_up_a, got.fuse_ceiling_a) == (case.down, case.up, case.ceiling)
    assert got.disconnect_a == pytest.approx(case.disconnect, abs=0.001)
    assert (got.conductor, got.column_c) == (case.conductor, case.column)
    assert "plate's own maximum wins" in got.sentence
    assert set(got.sources) <= set(KB.sources)


def test_circuit_beyond_the_tables_is_refused_with_their_end() -> None:
    with pytest.raises(OutsideValidity, match="15 to 250 A"):
        circuit_sizes(KB, [160])
    with pytest.raises(OutsideValidity, match="at most 130 A"):
        circuit_sizes(KB, [100], [10])
    with pytest.raises(OutsideValidity, match="at least 1"):
        circuit_sizes(KB, [])


@steady
@given(st.lists(st.floats(2, 60), min_size=1, max_size=2), st.lists(st.floats(0.2, 5), max_size=2))
def test_sizes_keep_their_order_and_each_rounds_its_own_way(compressors: list[float], fans: list[float]) -> None:
    try:
        got = circuit_sizes(KB, compressors, fans)
    except OutsideValidity:
        return
    assert got.fuse_down_a <= got.fuse_up_a
    assert got.fuse_down_a <= got.fuse_ceiling_a
    assert got.fuse_down_a <= max(got.protection_a, 15) <= got.fuse_up_a
    column = next(c for c in KB.electrical_tables.conductors if c.column_c == got.column_c)
    assert column.amps[got.conductor] >= got.minimum_circuit_ampacity_a


@pytest.mark.parametrize("case", TABLES.stock, ids=lambda case: case.name)
def test_capacitor_chosen_from_what_is_at_hand(case: Stock) -> None:
    choice = choose_capacitor(KB, case.marked.can(), [one.can() for one in case.stock])
    assert len(choice.fits) == len(case.fits)
    for fit, words in zip(choice.fits, case.fits, strict=True):
        assert words in fit.sentence
    if not case.fits:
        assert sorted(next(w for w in case.refused if w in why) for _, why in choice.refused) == sorted(case.refused)
        assert len(choice.refused) == len(case.stock)


SECTION = st.sampled_from([5.0, 7.5, 10.0, 35.0, 40.0, 45.0, 50.0])
CANS = st.builds(
    Can,
    st.one_of(st.tuples(SECTION), st.tuples(SECTION, SECTION)),
    st.sampled_from([370.0, 440.0]),
    start=st.booleans(),
)


@steady
@given(CANS, st.lists(CANS, max_size=6))
def test_whatever_is_chosen_has_the_marked_value_and_never_less_voltage(marked: Can, stock: list[Can]) -> None:
    choice = choose_capacitor(KB, marked, stock)
    for fit in choice.fits:
        assert len(fit.parts) == len(marked.sections_uf)
        for cans, wanted in zip(fit.parts, marked.sections_uf, strict=True):
            assert all(can.voltage_v >= marked.voltage_v and can.start == marked.start for can in cans)
            total = sum(can.sections_uf[0] for can in cans)
            assert total == pytest.approx(wanted) or wanted in cans[0].sections_uf
            assert len(cans) <= 2
        assert fit.tolerance_pct > 0
    named = {id(can) for fit in choice.fits for cans in fit.parts for can in cans}
    assert all(id(can) not in named for can, _ in choice.refused)
    assert choice.sentence.endswith(".")


@pytest.mark.parametrize("case", HEAT.advice, ids=lambda case: case.name)
def test_heat_advice(case: Advice) -> None:
    got = heat_advice(KB, case.temp_f, case.rh, case.sun, case.effort)
    if case.index is not None:
        assert got.heat_index_f == pytest.approx(case.index, abs=0.5)
    if case.band is not None:
        assert got.band == case.band
    if case.adjusted is not None:
        assert got.adjusted_f == pytest.approx(case.adjusted)
    assert got.work_min == case.work
    assert got.rest_min == (None if case.work is None else 60 - case.work)
    assert case.says in got.sentence
    assert "at most 48 oz an hour" in got.sentence
    assert set(got.sources) <= set(KB.sources)


@steady
@given(st.floats(60, 115), st.floats(10, 60), st.sampled_from(["shade", "partly_cloudy", "full_sun"]))
def test_more_heat_never_means_less_care(temp_f: float, rh: float, sun: Literal["shade"]) -> None:
    bands = [band.name for band in KB.heat_stress.bands]
    for effort in ("light", "moderate", "heavy"):
        cooler, hotter = (heat_advice(KB, temp_f + more, rh, sun, effort) for more in (0, 5))  # type: ignore[arg-type]
        assert bands.index(cooler.band) <= bands.index(hotter.band)
        assert (hotter.work_min or 0) <= (cooler.work_min or 0)


def test_heat_outside_validity_is_refused_with_the_range() -> None:
    with pytest.raises(OutsideValidity, match="40 to 125 °F"):
        heat_advice(KB, 130, 40)


def test_every_schedule_has_a_row_for_every_degree_between_normal_and_caution() -> None:
    for schedule in KB.heat_stress.schedules:
        degrees = range(int(schedule.normal_to_f) + 1, int(schedule.caution_from_f))
        assert list(schedule.work_min) == [str(degree) for degree in degrees]
