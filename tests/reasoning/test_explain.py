"""The reasons in words: readings with units, the parts between live and dead, the chain of events."""

from __future__ import annotations

import pytest

from assistant.reasoning.diagnosis import Diagnosis, Evidence
from assistant.reasoning.readout import amount
from assistant.reasoning.stretch import stretch
from assistant.reasoning.tables import Tables

POLE = [
    Evidence("look_fan", outcomes=("still",)),
    Evidence("look_contactor", outcomes=("pulled_in",)),
    Evidence("v_contactor_line", value=240.0),
    Evidence("v_contactor_load", value=0.0),
    Evidence("v_pole_1", value=239.0),
]


@pytest.fixture
def pole(tables: Tables, plate: dict[str, float]) -> Diagnosis:
    return Diagnosis(tables, POLE, plate=plate)


def test_decisive_readings_say_got_good_and_fault(pole: Diagnosis) -> None:
    text = "\n".join(pole.explain("replace_contactor"))

    assert "volts across contactor pole 1: found 239 V; a good unit gives 0 V; with this fault 240 V" in text


def test_the_parts_between_live_and_dead_are_named(pole: Diagnosis) -> None:
    (line,) = [line for line in pole.explain("replace_contactor") if "between" in line]

    assert "contactor pole 1, contactor pole 2" in line
    assert "fuse" not in line


def test_the_stretch_from_panel_to_contactor_holds_every_part_of_the_supply_path(tables: Tables) -> None:
    names = stretch(tables.wiring, ("D1", "D2"), ("L1", "L2"))

    assert names == [
        "disconnect blade 1", "fuse 1", "whip conductor leg 1",
        "disconnect blade 2", "fuse 2", "whip conductor leg 2",
    ]  # fmt: skip


def test_between_circuits_that_do_not_meet_there_is_no_stretch(tables: Tables) -> None:
    assert stretch(tables.wiring, ("D1", "D2"), ("K1", "K2")) == []


def test_the_chain_runs_from_the_root_to_the_complaint(tables: Tables, plate: dict[str, float]) -> None:
    history = [Evidence("look_fan", outcomes=("humming",)), Evidence("uf_fan", value=0.0)]
    told = Diagnosis(tables, history, plate=plate).explain("replace_capacitor")[-1]
    places = [told.index(word) for word in ("FAN section", "does not start", "pressure climbs", "drops out")]

    assert places == sorted(places)


def test_why_not_names_the_reading_that_speaks_against(tables: Tables, plate: dict[str, float]) -> None:
    history = [Evidence("look_fan", outcomes=("humming",)), Evidence("uf_fan", value=5.0)]
    lines = Diagnosis(tables, history, plate=plate).why_not("cap_fan_open")

    assert lines[0].startswith(
        "capacitance of the FAN section: found 5 µF; a good unit gives 5 µF; with this fault 0 µF; with "
    )


def test_why_not_is_silent_about_the_leading_fault(pole: Diagnosis) -> None:
    assert pole.why_not("pole_1_open") == ()


def test_exclusions_say_what_and_by_what(tables: Tables, plate: dict[str, float]) -> None:
    history = [Evidence("v_contactor_line", value=239.0), Evidence("look_blower", outcomes=("running",))]
    lines = Diagnosis(tables, history, plate=plate).exclusions()
    by_line = next(line for line in lines if "line side (239 V)" in line)

    assert "disconnect left pulled or off" in by_line
    assert " more: ruled out by" in by_line  # what one would have thought of first is named, the rest counted


def test_nothing_is_excluded_by_nothing(tables: Tables) -> None:
    assert Diagnosis(tables, []).exclusions() == ()


def test_suspects_come_with_rank_words_and_consequences(pole: Diagnosis) -> None:
    first, *others = pole.suspects(4)

    assert (first.faults, first.word, first.repair) == (("pole_1_open",), "likely", "replace_contactor")
    assert first.consequences
    assert len(others) == 3
    assert all(first.probability >= other.probability for other in others)


def test_two_faults_are_named_together_only_when_both_are_needed(tables: Tables, plate: dict[str, float]) -> None:
    both = [
        Evidence("uf_herm", value=0.0),
        Evidence("uf_herm", value=0.0),
        Evidence("look_drain", outcomes=("full",)),
        Evidence("v_float", value=26.0),
        Evidence("v_float", value=26.0),
        Evidence("look_fan", outcomes=("still",)),
    ]
    together = Diagnosis(tables, both, plate=plate).suspects(1)[0]
    alone = Diagnosis(tables, both[:2], plate=plate).suspects(1)[0]

    assert set(together.faults) == {"cap_herm_open", "drain_blocked"}
    assert alone.faults == ("cap_herm_open",)


def test_expected_tells_good_and_fault_apart(pole: Diagnosis) -> None:
    load_side = pole.expected("v_contactor_load")

    assert load_side.healthy_value == pytest.approx(238, abs=1)
    assert load_side.fault_value == pytest.approx(0, abs=1)
    assert (load_side.healthy, load_side.fault) == ("238 V", "0 V")
    assert pole.expected("look_fan").healthy == "turning at speed"


def test_a_floating_point_is_called_so(tables: Tables, plate: dict[str, float]) -> None:
    history = [Evidence("look_contactor", outcomes=("out",)), Evidence("v_coil", value=26.0)]

    assert Diagnosis(tables, history, plate=plate).expected("v_pole_1").fault == "a floating reading"


@pytest.mark.parametrize(
    ("check", "value", "text"),
    [
        ("v_coil", 0.0, "0 V"),
        ("v_coil", 25.96, "26 V"),
        ("v_contactor_line", 236.4, "236 V"),
        ("uf_fan", 4.98, "4.98 µF"),
        ("r_comp_ground", 40000.0, "40 kΩ"),
        ("r_comp_ground", 2.4e6, "2.4 MΩ"),
        ("r_c_r", None, "over limit (open)"),
    ],
)
def test_values_are_written_as_read(tables: Tables, check: str, value: float | None, text: str) -> None:
    assert amount(tables.kb, tables.checks[check], value) == text
