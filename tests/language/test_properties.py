"""Whatever is typed: no exception, spans that fit, finite values, the same twice, no safety step by accident."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.language.models import Context, Doubt, Heard, Kind
from assistant.language.normalise import LONGEST_NOTE
from assistant.language.understand import understand
from assistant.language.vocabulary import vocabulary_of
from knowledge import load
from tests.language.notes import NoteCase, asked_for, context_of

WORDS = sorted(vocabulary_of(load()).known)
EXTRA = [
    "240",
    "24 v",
    "38.2",
    "1e999",
    "-5",
    ",",
    ".",
    "?",
    ";",
    "45/5",
    "1,200",
    "0,9",
    "[b]",
    "°C",
    "µF",
    "\n",
    "-----",
    "/",
]
TRADE = st.lists(st.one_of(st.sampled_from(WORDS), st.sampled_from(EXTRA)), min_size=1, max_size=14).map(" ".join)
QUESTIONS = (
    "check:uf_herm", "check:look_fan", "check:r_comp_ground", "check:look_contactor", "step:lock_tag",
    "step:zero_leg_to_leg", "step:dc_check", "plate:cap_herm_uf", "plate:model", "close_out:prove_cooling",
    "close_out:prove_start",
    "close_out:prove_cap_load", "close_out:secure_disconnect", "check:ask_size", "check:g_suction",
    "intake",
)  # fmt: skip
TALKS = (
    Context(),
    *(Context(asked=asked_for(name)) for name in QUESTIONS),
    context_of(NoteCase(it="after a note", note="", last="line side 240, fan humming")),
    context_of(NoteCase(it="asked back", note="", open="cap reads 12 uf")),
    Context(spoken=True, plate={"cap_herm_uf": 45.0, "cap_fan_uf": 5.0}),
)


def all_items(heard: tuple[Heard, ...]) -> list[Heard]:
    return [one for item in heard for one in (item, *item.options)]


def assert_sound(text: str, context: Context) -> None:
    found = understand(text, load(), context)
    for item in found.heard:
        assert found.text[item.start : item.end] == item.said
        assert item.said.strip()
        assert item.usable or item.options or Doubt.OUT_OF_RANGE in item.doubts
    for item in all_items(found.heard):
        assert all(math.isfinite(end) for end in (item.value, item.high) if end is not None)
    assert all(words in found.text for words in found.not_understood)
    assert understand(text, load(), context) == found


@settings(max_examples=300, deadline=None)
@given(st.text())
@example("\ud800 240 volts")
@example("0%")
@example("½")
def test_any_text_is_taken_apart_soundly(text: str) -> None:
    assert_sound(text, Context())


@settings(max_examples=400, deadline=None)
@given(TRADE, st.sampled_from(TALKS))
def test_any_words_of_the_trade_are_taken_apart_soundly_in_any_conversation(text: str, context: Context) -> None:
    assert_sound(text, context)


@settings(max_examples=300, deadline=None)
@given(st.text(alphabet=st.characters(codec="utf-8"), min_size=1, max_size=40))
def test_nothing_is_silently_lost(text: str) -> None:
    """What holds a letter or digit is heard, told as not understood, or refused with a reason."""
    found = understand(text, load())
    if any(char.isalnum() for char in found.text):
        assert found.heard or found.not_understood or found.problem


DEEDS = (
    "pulled the disconnect", "locked out", "lock and tag on", "proved the tester", "discharged the capacitor",
    "tools clear", "everybody clear", "disconnect is pulled", "disconnect's out", "locked and tagged out",
)  # fmt: skip
SPOILED = (
    "not {}", "I have not {}", "haven't {} yet", "I think {}", "maybe {}", "should I have {}?", "{}?", "once {}",
    "when I have {}", "before I {}", "going to have {}", "need to have {}", "make sure {}", "is {}?", "never {}",
    "customer says {}", "somebody {}", "almost {}", "if {}", "will have {}", "want me to have {}", "it should be {}",
    "{} not yet", "must have {}", "supposed to have {}", "forgot to have {}", "nobody {}", "can I have {}",
)  # fmt: skip


@pytest.mark.parametrize("deed", DEEDS)
@pytest.mark.parametrize("frame", SPOILED)
def test_a_denied_hedged_planned_or_asked_deed_is_no_clean_safety_step(deed: str, frame: str) -> None:
    for item in understand(frame.format(deed), load()).heard:
        assert item.kind is not Kind.SAFETY or item.negated or Doubt.UNSURE in item.doubts, item


@pytest.mark.parametrize("deed", DEEDS)
def test_a_plain_deed_is_a_clean_safety_step(deed: str) -> None:
    items = [item for item in understand(deed, load()).heard if item.kind is Kind.SAFETY]
    assert items
    assert all(not item.negated and not item.doubts for item in items)


LOOKED_AT = sorted((s, state) for s, states in vocabulary_of(load()).looked_at.items() for state in states)


@pytest.mark.parametrize("frame", ["{} is not {}", "{} isn't {}", "the {} was never {}"])
def test_a_denied_state_is_never_heard_as_the_state(frame: str) -> None:
    kb, vocabulary = load(), vocabulary_of(load())
    denials = {word for phrase in kb.particles.negation for word in phrase.split()} | vocabulary.nothing_words
    tried = 0
    for subject, state in LOOKED_AT:
        for phrase in kb.states[state].phrases:
            if not denials.isdisjoint(phrase.split()):
                continue
            tried += 1
            for item in understand(frame.format(kb.subjects[subject].phrases[0], phrase), kb).heard:
                same = item.kind is Kind.FINDING and item.about == subject and item.state == state
                assert not same or item.negated or not item.usable, item
    assert tried > 1000


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing in this note"),
        (" \n\t ", "nothing in this note"),
        ("\x00\x01\x02", "not text"),
        ("\x7fELF\x02\x01\x01\x00\x00\x00\x03>\x00\x01\x00\x00\x00", "not text"),
        ("\N{FIRE}\N{FIRE}", "English"),
        ("конденсатор не работает", "English"),
        ("压缩机不转", "English"),
    ],
)
def test_a_note_that_cannot_be_read_says_why(text: str, words: str) -> None:
    found = understand(text, load())
    assert found.problem is not None
    assert words in found.problem
    assert not found.heard


def test_a_hundred_kilobytes_keep_their_first_part_and_say_so() -> None:
    text = "240 line side, nothing on the load side. " * 2500
    found = understand(text, load())
    assert found.problem is not None
    assert "too long" in found.problem
    assert len(found.text) <= LONGEST_NOTE
    assert {item.about for item in found.heard} >= {"contactor_line", "contactor_load"}


def test_control_characters_and_brackets_do_not_hide_a_reading() -> None:
    found = understand("[b]line\x07 side[/b] \x1b[31m240 V\x1b[0m", load())
    readings = [item for item in found.heard if item.kind is Kind.READING]
    assert [(item.about, item.value) for item in readings] == [("contactor_line", 240.0)]


@pytest.mark.parametrize("text", ["1e999 volts line side", "nan ohms c to r", "9" * 400, "line side " + "9" * 30])
def test_no_absurd_number_becomes_a_usable_value(text: str) -> None:
    for item in understand(text, load()).heard:
        assert item.kind is not Kind.READING or item.over_limit or not item.usable
