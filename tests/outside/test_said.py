"""Published values and worked examples, asked for in a visit as a technician types them.

The functions behind are compared in ``tests/physics``; here the way through recognition, inputs, units and
rounding must not lose the value. Rules that are printed as words are told in a visit of their own.
``cases.yaml`` names the source of each.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from knowledge import load
from tests.engine.conversation import Conversation

FILE: dict[str, list[dict[str, Any]]] = yaml.safe_load(
    (Path(__file__).parent / "cases.yaml").read_text(encoding="utf-8")
)
CASES, TOLD = FILE["cases"], FILE["told"]
PUBLISHED = {"opened", "quoted"}
LIBRARIES = {"coolprop", "psychrolib"}


@pytest.fixture(scope="module")
def talk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Conversation]:
    """One visit for all: a question leaves no trace, so the order does not matter."""
    conversation = Conversation(tmp_path_factory.mktemp("outside"))
    yield conversation
    conversation.desk.close()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["say"])
def test_the_reply_gives_the_published_value(talk: Conversation, case: dict[str, Any]) -> None:
    reply = talk.say(case["say"])
    found = re.search(rf"(?:^|[ ,]){re.escape(case['shows'])} (-?\d+(?:\.\d+)?) ", reply.reply, re.MULTILINE)
    assert found is not None, reply.reply
    assert float(found[1]) == pytest.approx(case["gives"], abs=case["within"])
    assert reply.readings == ()


@pytest.mark.parametrize("case", TOLD, ids=lambda case: f"{case['rule']}: {case['notes'][-1]}")
def test_a_printed_rule_is_kept_in_a_visit(tmp_path: Path, talk: Conversation, case: dict[str, Any]) -> None:
    visit = Conversation(tmp_path, talk.cache)
    reply = visit.say(*case["notes"])
    visit.desk.close()
    assert [words for words in case["replies"] if words not in reply.reply] == [], reply.reply
    assert [words for words in case.get("silent", ()) if words in reply.reply] == [], reply.reply
    assert reply.power == case.get("power", reply.power)


def test_every_value_names_a_source_of_the_bibliography() -> None:
    assert {case["source"] for case in (*CASES, *TOLD)} <= set(load().sources)


def test_thirty_of_them_stand_in_print_and_not_in_a_library() -> None:
    printed = [one for one in (*CASES, *TOLD) if one["known"] in PUBLISHED and one["source"] not in LIBRARIES]
    assert len(printed) >= 30
