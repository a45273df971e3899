"""A spoken visit: doubtful hearings are asked back, safety needs a clear yes, the voice obeys its own words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from assistant.desk import Desk
from assistant.voice.talk import Talk
from tests.voice.phrases import desk_at, phrase


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return desk_at(tmp_path)


@pytest.fixture
def talk(desk: Desk) -> Talk:
    return Talk(desk)


def test_a_clear_note_is_logged_as_spoken(talk: Talk) -> None:
    reply = talk.hear(phrase("contactor is out")).reply
    assert [item.about for item in reply.heard] == ["contactor"]


def test_a_doubtful_number_is_read_back_digit_by_digit_and_taken_after_a_clear_yes(talk: Talk) -> None:
    asked = talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1)).reply
    assert asked.heard == ()
    assert "four point eight" in asked.spoken
    assert asked.question is not None
    taken = talk.hear(phrase("yes")).reply
    assert [(item.about, item.value) for item in taken.heard] == [("cap_fan", 4.8)]


def test_fifteen_or_fifty_is_asked_digit_by_digit_one_after_the_other(talk: Talk) -> None:
    asked = talk.hear(phrase("herm reads fifty microfarads", "herm reads fifteen microfarads")).reply
    assert "five zero" in asked.spoken
    assert "one five" in asked.reply
    assert asked.heard == ()
    then = talk.hear(phrase("no")).reply
    assert "one five" in then.spoken
    assert then.heard == ()
    assert [item.value for item in talk.hear(phrase("yes")).reply.heard] == [15.0]


def test_a_yes_to_one_of_two_is_for_that_one_and_never_for_the_visit(talk: Talk, desk: Desk) -> None:
    desk.say("fan is humming")
    talk.hear(phrase("herm reads fifty microfarads", "herm reads fifteen microfarads"))
    taken = talk.hear(phrase("yes")).reply
    assert [(item.about, item.value) for item in taken.heard] == [("cap_herm", 50.0)]


def test_a_doubtful_yes_confirms_nothing(talk: Talk, desk: Desk) -> None:
    talk.hear(phrase("pulled the disconnect and locked and tagged"))
    before = desk.last_reply
    doubtful = talk.hear(phrase("yes", sure=0.1)).reply
    assert "clear yes" in doubtful.reply
    assert desk.last_reply is before
    assert doubtful.power == "unknown"


def test_a_doubtful_yes_does_not_settle_what_was_asked_back_either(talk: Talk) -> None:
    talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1))
    assert "clear yes" in talk.hear(phrase("yes", fit=0.65, sure=0.1)).reply.reply
    assert "Didn't catch that" in talk.hear(phrase()).reply.reply  # a cough drops nothing
    assert talk.hear(phrase("yes")).reply.heard


def test_one_clear_yes_is_enough_for_a_doubtful_safety_step(talk: Talk, tmp_path: Path) -> None:
    asked = talk.hear(phrase("pulled the disconnect", sure=0.1)).reply
    assert "clear yes" in asked.reply
    assert not steps_done(tmp_path)
    taken = talk.hear(phrase("yes")).reply
    assert taken.question is None
    assert steps_done(tmp_path) == ["disconnect_open"]


def test_a_clearly_heard_safety_step_still_needs_its_one_yes(talk: Talk, tmp_path: Path) -> None:
    assert "clear yes" in talk.hear(phrase("pulled the disconnect")).reply.reply
    assert not steps_done(tmp_path)
    talk.hear(phrase("yes"))
    assert steps_done(tmp_path) == ["disconnect_open"]


def test_of_two_safety_steps_in_one_doubtful_breath_each_needs_its_own_yes(talk: Talk, tmp_path: Path) -> None:
    talk.hear(phrase("pulled the disconnect locked and tagged", sure=0.1))
    talk.hear(phrase("yes"))
    assert not steps_done(tmp_path)
    talk.hear(phrase("yes"))
    assert len(steps_done(tmp_path)) <= 1


def test_fifteen_is_asked_once_where_it_was_read_back_digit_by_digit(talk: Talk) -> None:
    talk.hear(phrase("fan side reads fifteen microfarads", sure=0.1))
    taken = talk.hear(phrase("yes")).reply
    assert [item.value for item in taken.heard] == [15.0]


def test_a_typed_yes_to_what_was_asked_back_is_never_a_yes_to_the_visit(talk: Talk, desk: Desk, tmp_path: Path) -> None:
    desk.say("fan is humming")
    for note in ("what next", "let us make it safe"):
        desk.say(note)
    talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1))
    before = steps_done(tmp_path)
    taken = talk.typed("yes").reply
    assert [item.value for item in taken.heard] == [4.8]
    assert steps_done(tmp_path) == before
    talk.hear(phrase("fan side reads four point nine microfarads", sure=0.1))
    assert "Dropped" in talk.typed("no").reply.reply
    assert talk.typed("fan is hot").reply.heard


def steps_done(home: Path) -> list[str]:
    """Return the steps that stand in the log of the visit below ``home``."""
    lines = [line for path in home.rglob("*.jsonl") for line in path.read_text(encoding="utf-8").splitlines()]
    return re.findall(r'"step_confirmed".*?"step":"(\w+)"', "\n".join(lines))


def test_a_doubtful_done_is_read_back_and_counts_after_a_clear_yes(talk: Talk, desk: Desk) -> None:
    desk.say("replaced the capacitor")
    before = desk.last_reply
    assert "done" in talk.hear(phrase("done", fit=0.8)).reply.spoken
    assert desk.last_reply is before
    assert talk.hear(phrase("yes")).note == "done"
    assert desk.last_reply is not before


def test_no_drops_what_was_asked_back_and_another_note_replaces_it(talk: Talk) -> None:
    talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1))
    assert "Dropped" in talk.hear(phrase("no")).reply.reply
    talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1))
    reply = talk.hear(phrase("fan side reads four point nine microfarads")).reply
    assert [item.value for item in reply.heard] == [4.9]


def test_no_corrects_the_last_note(talk: Talk) -> None:
    talk.hear(phrase("fan side reads four point eight microfarads"))
    reply = talk.hear(phrase("no four point two")).reply
    assert [item.value for item in reply.heard] == [4.2]


def test_talk_that_is_no_note_is_not_caught_and_noise_gets_its_remedy(talk: Talk) -> None:
    assert "Didn't catch that" in talk.hear(phrase()).reply.reply
    assert "headset" in talk.hear(phrase("contactor", fit=0.0, snr_db=5)).reply.reply


def test_lost_sound_is_said(talk: Talk) -> None:
    assert "repeat" in talk.hear(phrase(fit=0.1, lost=True)).reply.reply


@pytest.mark.parametrize("belief", [0.99, 0.01])
def test_words_for_the_voice_always_work(talk: Talk, belief: float) -> None:
    talk.hear(phrase("contactor is out"))
    speed = talk.manner.words_per_minute
    assert talk.hear(phrase("slower", fit=belief, sure=belief)).control == "slower"
    assert talk.manner.words_per_minute < speed
    assert talk.hear(phrase("be quiet", fit=belief)).control == "quiet"
    assert talk.manner.muted
    assert talk.hear(phrase("stop", fit=belief)).control == "stop"
    assert talk.hear(phrase("talk to me", fit=belief)).control == "aloud"
    assert not talk.manner.muted


@pytest.mark.parametrize("belief", [0.99, 0.5])
def test_repeat_says_the_last_answer_again_and_leaves_what_was_asked_back(talk: Talk, belief: float) -> None:
    told = talk.hear(phrase("contactor is out")).reply
    assert talk.hear(phrase("repeat", fit=belief, sure=belief)).reply.spoken == told.spoken
    asked = talk.hear(phrase("fan side reads four point eight microfarads", sure=0.1)).reply
    assert talk.hear(phrase("say again", fit=belief, sure=belief)).reply.spoken == asked.spoken
    assert [item.value for item in talk.hear(phrase("yes")).reply.heard] == [4.8]


def test_a_free_note_is_kept_as_dictated_with_its_doubt(talk: Talk) -> None:
    reply = talk.hear(phrase("note outlet", dictated="note customer has a dog")).reply
    assert reply.heard[0].kind == "note"
    assert reply.heard[0].value == "customer has a dog"
    assert "may be wrong" in reply.reply
