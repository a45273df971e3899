"""A good unit of each kind reads what the trade expects, and nothing its own limits would call wrong."""

from __future__ import annotations

import pytest
from pydantic import Field

from assistant.reasoning.diagnosis import Diagnosis
from knowledge import load
from knowledge.models.check import Gauge
from knowledge.models.entry import Closed, Id, Text
from knowledge.models.unit import UnitKind
from tests.knowledge.built_tables import KIND, tables_of
from tests.knowledge.case_files import cases


class Reading(Closed):
    check: Id
    low: float | None = None
    high: float | None = None
    over_limit: bool = False
    name: Text
    because: Text
    source: Id
    built: dict[Id, Id] = Field(default_factory=dict)


class Outcome(Closed):
    check: Id
    finds: Id


class UnitCases(Closed):
    readings: tuple[Reading, ...]
    outcomes: tuple[Outcome, ...]


FILES = {kind: cases(f"units/{kind}.yaml", UnitCases) for kind in load().units}
FILE = FILES[KIND]
READINGS = [(kind, case) for kind, file in FILES.items() for case in file.readings]
OUTCOMES = [(kind, case) for kind, file in FILES.items() for case in file.outcomes]


def diagnosis(kind: str = KIND, case: Reading | None = None) -> Diagnosis:
    """Return the diagnosis of which nothing is known yet, on a unit built as the case says."""
    return Diagnosis(tables_of({"kind": kind, **(case.built if case else {})}), ())


def name(value: object) -> str:
    return str(getattr(value, "check", value))


def unit() -> UnitKind:
    return load().units[KIND]


def value(element: str, name: str) -> float:
    return next(part.values[name] for part in unit().elements if part.id == element)


@pytest.mark.parametrize(("kind", "case"), READINGS, ids=name)
def test_a_good_unit_reads_as_the_trade_expects(kind: str, case: Reading) -> None:
    shown = diagnosis(kind, case).expected(case.check).healthy_value
    if case.over_limit:
        assert shown is None
    else:
        assert case.low is not None
        assert case.high is not None
        assert shown is not None
        assert case.low <= shown <= case.high


@pytest.mark.parametrize(("kind", "case"), OUTCOMES, ids=name)
def test_a_good_unit_looks_good(kind: str, case: Outcome) -> None:
    names = {answer.outcome: answer.name for answer in load().checks[case.check].answers}
    assert diagnosis(kind).expected(case.check).healthy == names[case.finds]


def test_every_source_is_in_the_bibliography() -> None:
    assert {case.source for _, case in READINGS} <= set(load().sources)


def test_every_check_has_its_good_reading_here() -> None:
    cased = {case.check for _, case in [*READINGS, *OUTCOMES]}
    raw = {check.id for check in load().checks.values() if isinstance(check.measure, Gauge)}  # judged by residuals
    assert cased == set(load().checks) - raw


def test_no_fixed_window_calls_a_good_unit_wrong() -> None:
    kb = load()
    for kind, case in READINGS:
        known = diagnosis(kind, case)
        limit = kb.limits.get(known.tables.kb.checks[case.check].limit or "")
        if limit is None or limit.formula != "fixed_window" or case.over_limit:
            continue
        shown = known.expected(case.check).healthy_value
        assert shown is not None
        bounds = {name.rpartition("_")[0]: number for name, number in limit.constants.items()}
        assert bounds.get("low", shown) <= shown <= bounds.get("high", shown), case.check


def test_the_windings_of_the_compressor_are_in_the_usual_relation() -> None:
    """Start winding above run winding: HVAC textbook 2022, p. 531."""
    assert value("comp_aux", "ohm_dc") > value("comp_main", "ohm_dc")


def test_locked_rotor_current_is_some_six_times_rated_load_current() -> None:
    """NEC 440.12(C) takes six times RLA where LRA is not marked; 4 to 8 is what plates say (common practice)."""
    assert 4 <= value("comp_main", "lra_a") / value("comp_main", "rla_a") <= 8


def test_fuses_and_breaker_are_within_what_the_code_allows_for_the_compressor() -> None:
    """NEC 440.22(A): at most 225 % of the largest RLA plus the others; next standard size below, NEC 240.6(A)."""
    most = 2.25 * value("comp_main", "rla_a") + value("fan_main", "rla_a")
    for device in ("breaker_1", "breaker_2", "fuse_1", "fuse_2"):
        assert value(device, "rated_a") <= most


def test_the_transformer_stays_a_class_2_source() -> None:
    """UL 5085-3: at most 30 V on the secondary."""
    assert value("transformer", "secondary_v") <= 30


def test_a_contactor_coil_pulls_in_above_where_it_drops_out_and_below_the_working_window() -> None:
    low = load().limits["control_voltage"].constants["low_v"]
    assert value("contactor_coil", "drop_out_v") < value("contactor_coil", "pull_in_v") <= low


def test_every_node_is_the_end_of_some_element_and_every_coil_drives_a_contact() -> None:
    ends = {end for part in unit().elements for end in (part.a, part.b, part.c, part.d) if end}
    assert set(unit().nodes) == ends
    assert {p.id for p in unit().elements if p.kind == "coil"} == {p.by for p in unit().elements if p.by}
