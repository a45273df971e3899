"""What practice takes for a wish, and what its invented units show."""

from __future__ import annotations

import pytest

from assistant.practice.asked import checks_asked
from knowledge import load
from knowledge.models.check import Residual
from knowledge.models.entry import Closed
from knowledge.practice import practice_of, running_units

from .case_files import cases

NOISE = 8.0
"""Reading errors of the recorded units, psi or degrees F: a slight fault, above all one that an expansion valve makes
up for, may hide in them on a single unit, but not point far the other way."""


class Wish(Closed):
    say: str
    checks: tuple[str, ...]


class Wishes(Closed):
    wishes: tuple[Wish, ...]


class Shift(Closed):
    fault: str
    lower: tuple[str, ...]
    higher: tuple[str, ...]


class Shifts(Closed):
    shifts: tuple[Shift, ...]


KB = load()
PRACTICE = practice_of(KB.root)
MEASURED = [check for check in KB.checks.values() if not isinstance(check.measure, Residual)]


@pytest.mark.parametrize("wish", cases("practice/practice.yaml", Wishes).wishes, ids=lambda wish: wish.say)
def test_a_wish_means_its_checks(wish: Wish) -> None:
    assert tuple(check.id for check in checks_asked(wish.say, KB, PRACTICE)) == wish.checks


@pytest.mark.parametrize("check", MEASURED, ids=lambda check: check.id)
def test_every_check_can_be_asked_for_by_its_own_name(check: object) -> None:
    assert checks_asked(check.name, KB, PRACTICE) == (check,)  # type: ignore[attr-defined]


@pytest.mark.parametrize("shift", cases("practice/running_units.yaml", Shifts).shifts, ids=lambda shift: shift.fault)
def test_the_recorded_units_show_a_fault_as_the_trade_knows_it(shift: Shift) -> None:
    units = running_units(KB.root)
    for direction, checks in ((-1, shift.lower), (1, shift.higher)):
        for check in checks:
            moved = [direction * (u.readings[shift.fault][check] - u.readings["sound"][check]) for u in units]
            assert sum(moved) / len(moved) > 0, check
            assert min(moved) > -NOISE, check


def test_practice_names_only_what_there_is() -> None:
    words = {check for checks in PRACTICE.words.look.values() for check in checks}
    shown = {check for unit in running_units(KB.root) for row in unit.readings.values() for check in row}
    assert words | shown <= set(KB.checks)
    signed = {fault.signature for fault in KB.faults.values()} - {None}
    assert all(signed <= set(unit.readings) == set(unit.standing) for unit in running_units(KB.root))
