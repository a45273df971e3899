"""Published values and worked examples, asked for in a visit as a technician types them.

The functions behind are compared in ``tests/physics``; here the way through recognition, inputs, units and
rounding must not lose the value. ``cases.yaml`` names the source of each.
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

CASES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "cases.yaml").read_text(encoding="utf-8"))[
    "cases"
]


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


def test_every_value_names_a_source_of_the_bibliography() -> None:
    assert {case["source"] for case in CASES} <= set(load().sources)
