"""Printed tables and the README say what the program does."""

from __future__ import annotations

import re
from pathlib import Path

from assistant.dialogue.reply import HeardItem, LimitItem, NextItem, RepairItem, Reply, SuspectItem
from tests.developers_tables import GUIDE, with_tables

README = Path(__file__).parents[2] / "README.md"


def test_tables_in_the_guide_are_fresh() -> None:
    """DEVELOPERS.md holds the tables as they are generated now."""
    text = GUIDE.read_text(encoding="utf-8")
    assert with_tables(text) == text


def test_readme_documents_every_field_of_the_interface() -> None:
    """Every field of the reply stands in the README's table for scripts."""
    documented = set(re.findall(r"`(\w+)`", README.read_text(encoding="utf-8")))
    missing = set(Reply.model_fields) - documented - {"visit", "note", "closed"}
    assert not missing


def test_readme_lists_the_parts_of_each_item() -> None:
    """The braces in the README list exactly the fields of the models."""
    text = README.read_text(encoding="utf-8")
    for field, model in (
        ("heard", HeardItem),
        ("next", NextItem),
        ("repair", RepairItem),
        ("suspects", SuspectItem),
        ("limits", LimitItem),
    ):
        row = next(line for line in text.splitlines() if line.startswith(f"| `{field}`"))
        listed = re.search(r"\{([^}]*)\}", row)
        assert listed is not None
        assert {name.strip() for name in listed[1].split(",")} == set(model.model_fields)
