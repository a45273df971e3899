"""What the recogniser is taught comes from the knowledge, and every word of it can be heard."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pocketsphinx
import pytest

from assistant.language.understand import understand
from assistant.voice.lesson import lesson_of
from assistant.voice.number_speech import NumberSpeaker
from assistant.voice.sayable import Sayable
from knowledge import KnowledgeBase, load
from speech.messages import Lesson
from speech.pronounce import PHONES, Pronouncer, read_dictionary

DICTIONARY = read_dictionary(Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict")))


@pytest.fixture(scope="module")
def kb() -> KnowledgeBase:
    return load()


@pytest.fixture(scope="module")
def lesson(kb: KnowledgeBase) -> Lesson:
    return lesson_of(kb)


def test_every_word_that_is_taught_has_its_sounds(kb: KnowledgeBase, lesson: Lesson) -> None:
    missing = Pronouncer(DICTIONARY, lesson.pronunciations).missing(lesson.words())
    assert missing == [], "add them to pronunciations (or unspoken) in knowledge/data/speech/spoken.yaml"


def test_added_sounds_use_the_phones_of_the_model_and_each_word_stands_once(kb: KnowledgeBase) -> None:
    words = [one.word for one in kb.spoken.pronunciations]
    assert len(words) == len(set(words))
    for one in kb.spoken.pronunciations:
        for way in one.sounds:
            assert set(way.split()) <= PHONES, one.word
            assert way not in DICTIONARY.get(one.word, ()), f"{one.word}: the dictionary says that already"


def test_words_left_unspoken_are_words_of_the_knowledge_that_the_dictionary_has_not(kb: KnowledgeBase) -> None:
    for word in kb.spoken.unspoken:
        assert Pronouncer(DICTIONARY, {}).word(word) == (), word


def test_a_phrase_left_unspoken_is_one_of_the_knowledge_and_is_not_taught(kb: KnowledgeBase) -> None:
    sayable = Sayable(kb)
    written = {phrase for intent in kb.intents.values() for phrase in intent.phrases}
    for phrase in (one for one in kb.spoken.unspoken if " " in one):
        assert phrase in written, phrase
        assert sayable.spoken(phrase) is None
    assert sayable.spoken("wires are tight") == "wires_are_tight"


def test_the_same_knowledge_makes_the_same_notes(kb: KnowledgeBase) -> None:
    assert Sayable(kb, seed=3).sentences(300) == Sayable(kb, seed=3).sentences(300)


def test_most_of_what_is_taught_is_understood(kb: KnowledgeBase) -> None:
    notes = [sentence.replace("_", " ") for sentence in Sayable(kb, seed=5).sentences(250)]
    understood = [note for note in notes if understand(note, kb).heard]
    assert len(understood) > 0.85 * len(notes), sorted(set(notes) - set(understood))[:20]


def test_each_form_and_quantity_of_the_spans_is_known(kb: KnowledgeBase) -> None:
    assert {span.quantity for span in kb.spoken.spans} - {"small", "rating"} <= set(kb.quantities)
    assert all(span.least < span.most for span in kb.spoken.spans)
    assert sum(kb.spoken.shares.values()) == pytest.approx(100, abs=5)


def test_what_is_often_or_usually_said_is_of_the_knowledge(kb: KnowledgeBase) -> None:
    assert set(kb.spoken.often) <= set(kb.intents)
    assert set(kb.spoken.also_said) <= set(kb.subjects)
    assert {state for states in kb.spoken.also_said.values() for state in states} <= set(kb.states)


def test_every_complaint_comes_about_as_often(kb: KnowledgeBase) -> None:
    sayable = Sayable(kb, seed=7)
    notes = Counter(sayable.sentences(20_000))
    first = [sayable.spoken(complaint.phrases[0]) for complaint in kb.complaints.values()]
    assert all(notes[token] for token in first if token), [token for token in first if token and not notes[token]]


def test_words_that_mark_or_hedge_a_value_can_be_heard_anywhere(kb: KnowledgeBase, lesson: Lesson) -> None:
    sayable, taught = Sayable(kb), {token for sentence in lesson.sentences for token in sentence.split()}
    words = kb.particles
    spoken = {sayable.spoken(one) for one in (*words.measured, *words.hedge, *words.about_number)} - {None}
    assert {"pulling", "i_think", "customer_says", "about"} <= spoken
    assert spoken <= taught


def test_a_part_is_put_in_new_but_never_pulled_new(kb: KnowledgeBase) -> None:
    notes = [note.replace("_", " ") for note in Sayable(kb, seed=11).sentences(20_000)]
    assert any(note.startswith("installed a new") for note in notes)
    assert not [note for note in notes if note.startswith(("pulled a new", "discharged a new"))]


def test_every_word_of_a_phrase_can_be_heard_by_itself(kb: KnowledgeBase, lesson: Lesson) -> None:
    taught = {token for sentence in lesson.sentences for token in sentence.split()}
    phrases = Sayable(kb).every_phrase()
    assert [word for phrase in phrases for word in phrase.split("_") if word not in taught] == []


def test_halves_are_said_for_tons_and_microfarads(kb: KnowledgeBase) -> None:
    ways = list(NumberSpeaker(kb.number_words).ways(7.5))
    assert "seven and a half" in ways
    assert not any("half" in way for way in NumberSpeaker(kb.number_words).ways(240.5))
