"""Knowledge narrowed to one unit holds together, whatever the unit is built of."""

from __future__ import annotations

import pytest

from knowledge import load
from knowledge.models.check import Amps, Microfarad, Ohms, Volts
from knowledge.narrowing import configured
from knowledge.open_questions import brings_parts, depends
from knowledge.variants import Configuration

KB = load()
BASES = [Configuration(unit) for unit in KB.units]
TOLD = [
    base.knowing(option.id, choice.id)
    for base in BASES
    for option in KB.units[base.kind].options
    for choice in option.choices
]
ALL = [*BASES, *TOLD]


def named(known: Configuration) -> str:
    return " ".join([known.kind, *(f"{option}.{choice}" for option, choice in known.known)])


@pytest.mark.parametrize("known", ALL, ids=named)
def test_everything_that_is_left_names_only_what_the_unit_has(known: Configuration) -> None:
    kb = configured(KB, known)
    unit = kb.units[known.kind]
    elements, nodes = {element.id for element in unit.elements}, set(unit.nodes)
    left = set(iter(kb.checks))
    for check in kb.checks.values():
        match check.measure:
            case Volts() | Ohms():
                assert set(check.measure.between) <= nodes
                assert set(getattr(check.measure, "leads_off", ())) <= elements
            case Amps():
                assert check.measure.through in elements
            case Microfarad():
                assert check.measure.of in elements
    for fault in kb.faults.values():
        assert {change.element for change in fault.sets} <= elements
        assert fault.sets or fault.facts or fault.shows or fault.signature
        assert set(fault.shows) <= left
        assert fault.repair in set(iter(kb.repairs))
        assert fault.part in set(iter(kb.subjects)), fault.id
    for repair in kb.repairs.values():
        assert repair.confirm
        assert set(repair.confirm) <= left
        assert {one for before in repair.given.values() for one in before} <= left
    for complaint in kb.complaints.values():
        assert set(complaint.hints) <= left


@pytest.mark.parametrize("known", ALL, ids=named)
def test_every_part_hangs_on_a_source_and_every_node_on_two_parts(known: Configuration) -> None:
    unit = configured(KB, known).units[known.kind]
    reached, frontier = {"G"}, {"G"}
    while frontier:
        beside = {
            end
            for part in unit.elements
            for end in (part.a, part.b, part.c, part.d)
            if end and frontier & {part.a, part.b, part.c, part.d}
        }
        frontier = beside - reached
        reached |= frontier
    assert reached == set(unit.nodes)


def test_the_commonest_choice_of_each_option_is_the_unit_as_it_stands_in_the_file() -> None:
    for base in BASES:
        assert configured(KB, base).units[base.kind].elements == KB.units[base.kind].elements


def test_shares_of_the_choices_add_up() -> None:
    for unit in KB.units.values():
        for option in unit.options:
            assert sum(choice.share for choice in option.choices) == pytest.approx(1), option.id


def test_what_is_narrowed_away_is_not_listed_but_still_found() -> None:
    kb = configured(KB, Configuration("split_psc_240").knowing("contactor_poles", "one_pole"))
    assert "v_pole_2" not in set(iter(kb.checks))
    assert "pole_2" not in set(iter(kb.subjects))
    assert kb.checks["v_pole_2"].name == KB.checks["v_pole_2"].name


def test_a_welded_one_pole_contactor_welds_its_one_pole() -> None:
    kb = configured(KB, Configuration("split_psc_240").knowing("contactor_poles", "one_pole"))
    assert [change.element for change in kb.faults["contactor_welded"].sets] == ["pole_1"]


def test_every_option_changes_a_check_or_brings_a_part_or_it_would_never_be_asked() -> None:
    for unit in KB.units.values():
        for option in unit.options:
            checks = [check.id for check in KB.checks.values() if depends(check, option, unit)]
            assert checks or brings_parts(option), option.id


def test_an_option_of_another_kind_of_unit_means_nothing_here() -> None:
    unit = KB.units["split_psc_240"]
    assert Configuration.of(unit, {"no_such": "thing", "contactor_poles": "no_such"}) == Configuration(unit.id)
