"""The interface for scripts: one line of JSON for every line of input, whatever the input is."""

from __future__ import annotations

import io
import json
import os
from typing import Any, cast

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.dialogue.reply import SuspectItem
from assistant.paths import SaveError
from assistant.plain import run_json

from .invented_visit import HUMMING, VISIT, EchoDesk, PlayedDesk, as_desk
from .streams import Closed, Interrupted, json_lines

KEYS = {
    "heard": {"kind", "about", "quantity", "value", "unit", "said", "doubt"},
    "next": {"id", "say", "why", "minutes", "limits"},
    "suspects": {"id", "name", "probability", "word", "consequences"},
    "limits": {"quantity", "low", "high", "unit", "source"},
}
WHOLE = {
    "heard", "not_understood", "power", "phase", "stops", "safety_steps", "next", "repair", "suspects", "limits",
    "reply", "spoken", "notice",
}  # fmt: skip


def one(desk: PlayedDesk, line: bytes) -> dict[str, Any]:
    (answer,), code = json_lines(desk, line)
    assert code == 0
    return cast("dict[str, Any]", json.loads(answer))


@settings(deadline=None)
@given(data=st.binary(max_size=300))
def test_any_bytes_give_one_object_for_every_line(data: bytes) -> None:
    answers, code = json_lines(EchoDesk(), data)
    lines = data.split(b"\n")
    assert len(answers) == len(lines) - (lines[-1] == b"")
    assert code == 0
    for answer in answers:
        assert json.loads(answer).keys() >= WHOLE
        assert answer.decode("utf-8").splitlines() == [answer.decode("utf-8")]


@settings(deadline=None)
@given(text=st.text(st.characters(codec="utf-8", exclude_characters="\r\n\ufeff")))
def test_what_was_said_comes_back_exactly(text: str) -> None:
    assert one(EchoDesk(), f"{text}\n".encode())["heard"][0]["said"] == text


def test_a_note_that_could_not_be_saved_has_its_notice() -> None:
    desk = PlayedDesk(HUMMING)
    desk.save_problem = "Your last note is not saved. The disk is full."
    assert one(desk, b"fan is huming\n")["notice"] == desk.save_problem
    assert one(desk, b"fan \xff\n")["notice"].endswith(f"were replaced. {desk.save_problem}")


def test_an_object_holds_the_documented_keys() -> None:
    found = one(PlayedDesk(HUMMING), b"fan is huming\n")
    assert found.keys() >= WHOLE
    assert all(item.keys() >= KEYS["heard"] for item in found["heard"])
    assert found["next"].keys() >= KEYS["next"]
    assert all(item.keys() >= KEYS["limits"] for item in found["next"]["limits"])
    assert all(item.keys() >= KEYS["suspects"] for item in found["suspects"])
    assert found["repair"] is None
    assert found["notice"] is None
    assert (found["heard"][1]["value"], found["heard"][1]["unit"]) == (241, "V")


def test_no_input_prints_nothing_and_the_greeting_is_not_printed() -> None:
    assert json_lines(PlayedDesk(), b"") == ([], 0)


def test_an_empty_line_is_answered_too() -> None:
    desk = EchoDesk()
    answers, _ = json_lines(desk, b"\n\n  \nfan\n")
    assert desk.said == ["", "", "  ", "fan"]
    assert [json.loads(answer)["reply"] for answer in answers] == ["Nothing was said."] * 2 + ["  ", "fan"]


def test_what_is_wrong_with_a_line_is_told_beside_its_answer() -> None:
    assert "not text" in one(EchoDesk(), b"fan \xff hums\n")["notice"]
    assert "longer than 200,000 bytes" in one(PlayedDesk(HUMMING), b"x" * 300_000 + b"\n")["notice"]


def test_an_error_gives_an_object_with_what_is_still_known_and_the_next_line_is_answered() -> None:
    full = SaveError(cast("Any", "log"), "The disk is full. Free some space.")
    answers, code = json_lines(PlayedDesk(HUMMING, full, KeyError("x"), HUMMING), b"a\nb\nc\nd\n")
    first, second, third, last = map(json.loads, answers)
    assert (second["reply"], second["notice"]) == ("The disk is full. Free some space.",) * 2
    assert (second["heard"], second["not_understood"]) == ([], ["b"])
    assert second["power"] == first["power"]
    assert second["safety_steps"] == first["safety_steps"]
    assert third["reply"].startswith("That could not be done (KeyError: 'x').")
    assert last == first
    assert code == 0


def test_an_error_on_the_first_line_still_gives_a_whole_object_with_power_unknown() -> None:
    found = one(PlayedDesk(ValueError("No such unit.")), b"fan\n")
    assert found.keys() >= WHOLE
    assert (found["visit"], found["power"], found["reply"]) == (VISIT, "unknown", "No such unit.")


def test_numbers_json_does_not_know_become_null() -> None:
    odd = SuspectItem(id="x", name="x", probability=float("nan"), word="possible")
    found = one(PlayedDesk(HUMMING.model_copy(update={"suspects": (odd,)})), b"fan\n")
    assert found["suspects"][0]["probability"] is None


def test_ctrl_c_and_a_reader_that_went_away_end_quietly() -> None:
    assert run_json(as_desk(PlayedDesk()), Interrupted(), io.BytesIO()) == 130
    assert run_json(as_desk(PlayedDesk()), io.BytesIO(b"a\nb\n"), Closed()) == 0


def test_a_real_pipe_without_a_reader_can_be_closed_afterwards() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as out:
        assert run_json(as_desk(PlayedDesk(HUMMING)), io.BytesIO(b"fan\n" * 50), out) == 0
