"""The author's view of a note shows what was heard, what else it may be, and what was not understood."""

from __future__ import annotations

from assistant.language.explain import explain_parse
from knowledge import load


def test_it_shows_items_options_and_leftovers() -> None:
    shown = explain_parse("cap reads 12 uf, flux wobbles", load())
    assert "cap_herm" in shown
    assert "cap_fan" in shown
    assert "ambiguous" in shown
    assert "flux wobbles" in shown


def test_it_shows_what_each_run_of_words_was_taken_for() -> None:
    shown = explain_parse("teh contacter is chatterin", load())
    assert "subject: contactor" in shown
    assert "state: chattering" in shown


def test_it_shows_the_problem_of_a_note() -> None:
    assert "nothing in this note" in explain_parse("", load())
