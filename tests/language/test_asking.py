"""Every calculation is understood in the words of its cases, and gives its value."""

from __future__ import annotations

import pytest

from assistant.language.models import Asked, Context, Heard, Kind
from assistant.language.understand import understand
from assistant.reasoning.calculations import Calculated, calculate
from knowledge import load
from knowledge.models.entry import Closed, Id
from tests.knowledge.case_files import cases

KB = load()
FILES = ("calculations/asking.yaml", "calculations/asking_electrical.yaml")


class AskedFor(Closed):
    calculation: Id
    given: dict[Id, float | str]
    gives: float
    within: float
    said: tuple[str, ...]
    si: tuple[str, ...]


class AskedFile(Closed):
    asked: tuple[AskedFor, ...]


ALL = [case for name in FILES for case in cases(name, AskedFile).asked]
EXACT = [(case, note) for case in ALL for note in case.said]
METRIC = [(case, note) for case in ALL for note in case.si]


def request(note: str, context: Context | None = None) -> Heard:
    """The one request of a note, with nothing else heard and nothing left over."""
    found = understand(note, KB, context or Context())
    assert [item.kind for item in found.heard] == [Kind.REQUEST], found
    assert found.not_understood == (), found
    return found.heard[0]


def inputs(item: Heard) -> dict[str, float | str | None]:
    return {one.about: one.text if one.value is None else one.value for one in item.inputs}


@pytest.mark.parametrize(("case", "note"), EXACT, ids=[note for _, note in EXACT])
def test_a_wording_is_heard_with_its_inputs_and_gives_the_value(case: AskedFor, note: str) -> None:
    item = request(note)
    assert item.about == case.calculation
    assert inputs(item) == case.given
    result = calculate(KB, case.calculation, inputs(item))
    assert isinstance(result, Calculated), result
    assert result.value == pytest.approx(case.gives, abs=case.within + 1e-9)


@pytest.mark.parametrize(("case", "note"), METRIC, ids=[note for _, note in METRIC])
def test_the_same_in_si_gives_the_same(case: AskedFor, note: str) -> None:
    item = request(note)
    assert item.about == case.calculation
    assert set(inputs(item)) == set(case.given)
    result = calculate(KB, case.calculation, inputs(item))
    assert isinstance(result, Calculated), result
    assert result.value == pytest.approx(case.gives, abs=max(case.within, abs(case.gives) * 0.005) + 1e-9)


def test_every_calculation_is_asked_for_in_three_wordings_and_in_si() -> None:
    assert {case.calculation for case in ALL} == set(KB.calculations)
    assert all(len(case.said) >= 3 and case.si for case in ALL)
    assert set(KB.calculation_words) == set(KB.calculations)
    assert set(KB.input_words) == set(KB.calculation_inputs)


@pytest.mark.parametrize("note", ["superheat", "whats the superheat", "calculate the superheat please"])
def test_a_name_alone_is_a_question(note: str) -> None:
    assert (request(note).about, request(note).inputs) == ("superheat", ())


REPORTS = (
    "suction 118, line 52", "superheat 12", "superheat is 12 degrees", "subcooling 9", "18 degree split", "split 18",
    "return 75 supply 57", "return 75 supply 57, split 18", "suction line 52 degrees", "head pressure 340",
    "discharge temp 190", "herm to fan 4.6", "mca 28, max fuse 40", "contact drop 0.06", "standing pressure 185",
    "95 outside", "it's 95 out and 60 percent humidity", "compressor pulling 18 amps, rla 14.5", "drier is cold",
    "drop across the contacts 0.15 volts", "filter is dirty", "is the filter dirty?", "is the discharge line hot?",
    "suction 118, head 320, superheat 12, subcooling 9", "superheat was 12 and subcooling was 8",
    "is the reversing valve stuck", "the customer wants to know the price", "can i touch it",
    "is superheat 12 ok", "is a superheat of 12 ok", "l1 to l2 240, l2 to l3 239, l3 to l1 241",
    "unit is 3 ton r22", "plate says R-410A",
)  # fmt: skip


@pytest.mark.parametrize("note", REPORTS)
def test_what_is_only_told_is_no_question(note: str) -> None:
    heard = understand(note, KB).heard
    assert not [item for item in heard if item.kind is Kind.REQUEST and item.about in KB.calculations]


@pytest.mark.parametrize(
    ("note", "readings"),
    [
        ("got 118 on the suction and 250 on the head, whats the compression ratio", {"suction": 118, "discharge": 250}),
        ("i measured 95 outside. target superheat?", {"outdoor_air": 95}),
    ],
)
def test_readings_before_a_question_stay_readings(note: str, readings: dict[str, float]) -> None:
    heard = understand(note, KB).heard
    assert {item.about: item.value for item in heard if item.kind is Kind.READING} == readings
    assert [item.inputs for item in heard if item.kind is Kind.REQUEST] == [()]


def test_words_before_the_question_are_read_as_always() -> None:
    heard = understand("fan is running, superheat at 118 psi 52 line r410a?", KB).heard
    assert [item.kind for item in heard] == [Kind.FINDING, Kind.REQUEST]
    assert inputs(heard[1])["suction_line"] == 52


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("R-410A", "R-410A"), ("r410a", "R-410A"), ("410a", "R-410A"), ("r 410 a", "R-410A"), ("R410", "R-410A"),
        ("four ten a", "R-410A"), ("r four ten a", "R-410A"), ("are four ten a", "R-410A"), ("four ten ay", "R-410A"),
        ("four one oh a", "R-410A"), ("four hundred ten a", "R-410A"), ("on 410", "R-410A"), ("r22", "R-22"),
        ("R-22", "R-22"), ("r twenty two", "R-22"), ("r two two", "R-22"), ("refrigerant 22", "R-22"),
        ("hfc 32", "R-32"),
        ("r thirty two", "R-32"), ("four fifty four b", "R-454B"), ("four oh seven c", "R-407C"), ("407c", "R-407C"),
        ("one thirty four a", "R-134a"), ("134a", "R-134a"), ("four o four a", "R-404A"), ("452 b", "R-452B"),
        ("r438a", "R-438A"), ("R-12", "R-12"),
    ],
)  # fmt: skip
def test_a_refrigerant_is_heard_in_every_shape(said: str, meant: str) -> None:
    item = request(f"superheat {said} 60 psi 55 degree line")
    assert inputs(item) == {"refrigerant": meant, "suction_pressure": 60, "suction_line": 55}


def waiting(calculation: str, wanted: str) -> Context:
    item = Heard(Kind.REQUEST, "", 0, 0, about=calculation, subject=wanted)
    return Context(asked=Asked("calculation", calculation, wanted, options=(item,)))


@pytest.mark.parametrize(
    ("note", "wanted", "given"),
    [
        ("118", "suction_pressure", {"suction_pressure": 118}),
        ("it's 118", "suction_pressure", {"suction_pressure": 118}),
        ("about one eighteen", "suction_pressure", {"suction_pressure": 118}),
        ("1.2 megapascal", "suction_pressure", {"suction_pressure": pytest.approx(174.05, abs=0.01)}),
        ("410a", "refrigerant", {"refrigerant": "R-410A"}),
        ("four ten", "refrigerant", {"refrigerant": "R-410A"}),
        ("22", "refrigerant", {"refrigerant": "R-22"}),
        ("118 and the line is 52", "suction_pressure", {"suction_pressure": 118, "suction_line": 52}),
        ("dew temp is 40", "suction_saturation", {"suction_saturation": 40}),
    ],
)
def test_a_bare_answer_belongs_to_the_calculation_that_asked(note: str, wanted: str, given: dict[str, object]) -> None:
    item = request(note, waiting("superheat", wanted))
    assert item.about == "superheat"
    assert inputs(item) == given


@pytest.mark.parametrize(("note", "choice"), [("yes", "yes"), ("nope", "no"), ("airflow is good", "yes")])
def test_a_choice_is_answered_in_words(note: str, choice: str) -> None:
    item = request(note, waiting("charge_by_superheat", "airflow_proved"))
    assert inputs(item) == {"airflow_proved": choice}


@pytest.mark.parametrize("note", ["never mind", "skip it", "dont know", "forget it", "no"])
def test_a_calculation_that_waits_can_be_dropped(note: str) -> None:
    (item,) = understand(note, KB, waiting("superheat", "suction_pressure")).heard
    assert (item.kind, item.about) == (Kind.ANSWER, "skip")


@pytest.mark.parametrize("note", ["compressor is humming", "contactor load side 240", "pulled the disconnect"])
def test_other_news_is_no_answer_to_a_calculation(note: str) -> None:
    heard = understand(note, KB, waiting("superheat", "suction_pressure")).heard
    assert heard
    assert all(item.about != "superheat" for item in heard)


def test_a_range_is_its_middle_with_half_its_width_as_error() -> None:
    item = request("superheat between 116 and 120 psi 52 line r410a")
    one = next(one for one in item.inputs if one.about == "suction_pressure")
    assert (one.value, one.error) == (118, 2)


def test_strange_words_in_a_question_are_told() -> None:
    found = understand("superheat at 118 psi 52 line r410a blorptastic", KB)
    assert found.not_understood == ("blorptastic",)


@pytest.mark.parametrize(
    ("note", "about"),
    [("what can you calculate?", "calculations_known"), ("which refrigerants do you know?", "refrigerants_known")],
)
def test_lists_are_asked_for(note: str, about: str) -> None:
    assert request(note).about == about


@pytest.mark.parametrize(
    ("note", "values"),
    [
        ("what should a 35 on 370 read", [35]),
        ("what should a 45/5 at 440 read", [45, 5]),
        ("what does a good 40 uf 440 volt cap read", [40]),
    ],
)
def test_a_capacitor_is_named_by_its_print(note: str, values: list[float]) -> None:
    found = understand(note, KB)
    assert [(item.about, item.subject, item.value) for item in found.heard] == [
        ("limit", "capacitor", value) for value in values
    ]
    assert found.not_understood == ()


@pytest.mark.parametrize(
    ("note", "about"),
    [("whats 118 psi on 410a", "saturation_temperature"), ("what's 40 degrees on r22", "saturation_pressure")],
)
def test_refrigerant_and_number_alone_ask_for_saturation(note: str, about: str) -> None:
    assert request(note).about == about
