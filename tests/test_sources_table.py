"""The table of sources holds every sourced check and names how each value is known."""

from __future__ import annotations

from pathlib import Path

from knowledge.base import load

from .sources_table import resting_checks, table


def test_table_lists_every_sourced_check_below_its_source() -> None:
    kb, checks = load(), list(resting_checks())
    text = table(kb, iter(checks))
    assert len(checks) > 100
    assert text.count("\n    [") == len(checks)
    assert "nema_mg1_12_44: NEMA MG 1" in text
    assert "[opened] " in text.partition("nws_heat_index:")[2]


def test_checks_on_published_sources_outnumber_nothing_but_arithmetic() -> None:
    """The main job is compared with something outside the project, not only with its own arithmetic."""
    outside = [c for c in resting_checks() if c.source not in {"derived", "estimate", "practice"}]
    assert len({c.source for c in outside}) >= 12


def test_source_that_nobody_listed_is_shown_as_such(tmp_path: Path) -> None:
    (tmp_path / "strange.yaml").write_text("cases:\n  - {name: a strange case, source: hearsay}\n", encoding="utf-8")
    found = list(resting_checks(tmp_path))
    assert [(c.source, c.known, c.name) for c in found] == [("hearsay", "", "a strange case")]
