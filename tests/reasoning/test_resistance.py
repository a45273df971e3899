"""Ohmmeter readings on the dead unit, leads lifted."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.reasoning.circuit import Wiring
from assistant.reasoning.circuit_dc import resistance
from assistant.reasoning.circuit_parts import Changes, Mode
from knowledge.base import load
from knowledge.models.check import Check, Ohms

KB = load()
UNIT = KB.units["split_psc_240"]
WIRING = Wiring(UNIT, KB.reasoning.physics)
LEADS = ("lead_c", "lead_r", "lead_s")
OHMS = [c for c in KB.checks.values() if isinstance(c.measure, Ohms) and not c.only_with]  # the usual unit's own


def ohms(a: str, b: str, lifted: tuple[str, ...] = LEADS, opened: str = "", **modes: tuple[Mode, float]) -> float:
    count = len(UNIT.elements)
    mode, value, state = np.zeros((1, count), dtype=np.int8), np.ones((1, count)), np.zeros((1, count), bool)
    for name, (one, amount) in modes.items():
        mode[0, WIRING.index[name]], value[0, WIRING.index[name]] = one, amount
    if opened:
        state[0, WIRING.index[opened]] = True
    here = tuple(name for name in lifted if name in WIRING.index)  # some leads are there with some options only
    return float(resistance(WIRING, Changes(mode, value), state, (a, b), here)[0])


def test_start_to_run_is_the_sum_of_both_windings() -> None:
    """HVAC textbook 2022, p. 531: single-phase winding resistances add up."""
    through_overload = 2 * 0.02

    assert ohms("CS", "CR") == pytest.approx(ohms("CC", "CR") + ohms("CC", "CS") - through_overload, abs=1e-6)


def test_an_open_overload_opens_both_windings_to_common_but_not_start_to_run() -> None:
    limit = KB.reasoning.meter.over_limit_ohm

    assert ohms("CC", "CR", opened="comp_overload") > limit
    assert ohms("CC", "CS", opened="comp_overload") > limit
    assert ohms("CS", "CR", opened="comp_overload") == pytest.approx(3.2)


def test_a_ground_is_read_through_the_winding() -> None:
    assert ohms("CR", "G", comp_main=(Mode.GROUND, 0.5)) == pytest.approx(1.3, abs=0.01)
    assert ohms("CR", "G") > KB.reasoning.meter.over_limit_ohm


def test_leads_left_on_hide_an_open_winding() -> None:
    """Why the leads come off: the other motor and the capacitor's neighbours stay in parallel."""
    with_leads = ohms("CC", "CR", lifted=(), comp_main=(Mode.OPEN, 1.0))

    assert with_leads < 100
    assert ohms("CC", "CR", comp_main=(Mode.OPEN, 1.0)) > KB.reasoning.meter.over_limit_ohm


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(OHMS), st.sampled_from([e.id for e in UNIT.elements]))
def test_opening_anything_never_lowers_a_resistance(check: Check, element: str) -> None:
    how = check.measure
    assert isinstance(how, Ohms)
    sound = ohms(*how.between, lifted=how.leads_off)
    opened = ohms(*how.between, lifted=how.leads_off, **{element: (Mode.OPEN, 1.0)})

    assert opened >= sound * (1 - 1e-6)


@pytest.mark.parametrize("check", OHMS, ids=lambda check: check.id)
def test_swapping_the_test_leads_changes_nothing(check: Check) -> None:
    how = check.measure
    assert isinstance(how, Ohms)
    a, b = how.between

    assert ohms(a, b, lifted=how.leads_off) == pytest.approx(ohms(b, a, lifted=how.leads_off))
