"""Every case file of notes holds, and covers every entry of the file of knowledge it belongs to."""

from __future__ import annotations

import pytest

from knowledge import load
from tests.language.notes import NoteCase, cases_of, differences, heard_in

FILES = (
    "phrases/subjects.yaml",
    "phrases/states.yaml",
    "phrases/complaints.yaml",
    "phrases/intents.yaml",
    "phrases/particles.yaml",
    "phrases/numbers.yaml",
    "phrases/respellings.yaml",
    "checks/outdoor_look.yaml",
    "checks/outdoor_live.yaml",
    "checks/outdoor_dead.yaml",
    "checks/control.yaml",
    "checks/gauges.yaml",
    "checks/temperatures.yaml",
    "checks/air_side.yaml",
    "checks/noise.yaml",
    "safety/steps.yaml",
)
CASES = [(name, case) for name in FILES for case in cases_of(name)]


def sentence(value: object) -> str | None:
    return value.it if isinstance(value, NoteCase) else None


@pytest.mark.parametrize(("name", "case"), CASES, ids=sentence)
def test_a_note_is_heard_as_it_was_meant(name: str, case: NoteCase) -> None:
    found = heard_in(case)
    shown = "\n".join(map(str, found.heard))
    assert len(found.heard) == len(case.heard), f"{case.note!r} in {name}:\n{shown}\n{found.not_understood}"
    for expected, item in zip(case.heard, found.heard, strict=True):
        assert not differences(expected, item), f"{case.note!r} in {name}: {item}"
    assert found.not_understood == case.not_understood
    assert (found.problem is not None) == case.problem


def test_no_two_cases_of_a_file_say_the_same_in_the_same_conversation() -> None:
    seen = set()
    for name, case in CASES:
        key = (name, case.note, case.asked, case.last, case.open, case.spoken, tuple(case.plate))
        assert key not in seen, key
        seen.add(key)


def test_every_subject_is_heard_in_a_case() -> None:
    kb = load()
    heard = {item.about for case in cases_of("phrases/subjects.yaml") for item in case.heard}
    several = {subject.id for subject in kb.subjects.values() if subject.stands_for or subject.one_of}
    whole = {"comp_windings", "disconnect", "capacitor"}  # told apart into their parts, or heard in other files
    assert set(kb.subjects) - several - whole <= heard


def test_every_state_is_heard_in_a_case() -> None:
    kb = load()
    files = [name for name in FILES if name.startswith(("phrases", "checks"))]
    heard = {item.state for name in files for case in cases_of(name) for item in case.heard}
    assert set(kb.states) <= heard


def test_every_complaint_is_heard_in_a_case() -> None:
    heard = {item.about for case in cases_of("phrases/complaints.yaml") for item in case.heard}
    assert set(load().complaints) <= heard


def test_every_intent_is_heard_in_a_case() -> None:
    kb = load()
    heard = {item.about for case in cases_of("phrases/intents.yaml") for item in case.heard}
    assert {intent.about or intent.id for intent in kb.intents.values()} <= heard


def test_every_respelling_stands_in_a_case() -> None:
    notes = [f" {case.note} " for case in cases_of("phrases/respellings.yaml")]
    missing = [one.heard for one in load().respellings if not any(f" {one.heard} " in note for note in notes)]
    assert not missing


@pytest.mark.parametrize("name", [name for name in FILES if name.startswith("checks")])
def test_every_check_is_answered_unasked_and_asked(name: str) -> None:
    kb = load()
    file = name.removeprefix("checks/")
    checks = {check.id for check in kb.checks.values() if kb.files[f"check:{check.id}"].name == file}
    asked = {case.asked.removeprefix("check:") for case in cases_of(name) if case.asked}
    unasked = {case.it.split(",")[0] for case in cases_of(name) if not case.asked}
    assert checks <= asked
    assert checks <= unasked


def test_every_safety_step_has_its_words() -> None:
    named = {case.it.split(",")[0] for case in cases_of("safety/steps.yaml")}
    assert set(load().steps) <= named
