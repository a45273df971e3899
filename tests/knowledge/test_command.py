"""``python -m knowledge``: what it prints and how it ends."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.__main__ import main as padside
from knowledge import load
from knowledge.__main__ import main
from knowledge.models.source import Known
from knowledge.show import MARKERS
from tests.knowledge.doctored import Doctored


@pytest.fixture
def copy(tmp_path: Path) -> Doctored:
    return Doctored(tmp_path / "data")


def test_lint_of_the_shipped_knowledge_is_one_line_and_ends_well(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lint"]) == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert "0 high, 0 medium, 0 low" in line


def test_lint_prints_findings_sorted_and_fails_on_medium(copy: Doctored, capsys: pytest.CaptureFixture[str]) -> None:
    copy.change("check", "v_y_outdoor", limit=None)
    copy.change("check", "v_coil", limit=None)
    assert main(["lint", str(copy.root)]) == 1
    *findings, last = capsys.readouterr().out.splitlines()
    assert [line.split("] ")[1] for line in findings] == [
        "numeric-judged: v_coil: is a number without a limit",
        "numeric-judged: v_y_outdoor: is a number without a limit",
    ]
    assert "0 high, 2 medium, 0 low" in last


def test_low_findings_do_not_fail(copy: Doctored, capsys: pytest.CaptureFixture[str]) -> None:
    copy.change("check", "v_coil", why="Volts")
    assert main(["lint", str(copy.root)]) == 0
    assert "[low] full-stop" in capsys.readouterr().out


def test_knowledge_that_cannot_be_read_is_told_and_ends_badly(
    copy: Doctored, capsys: pytest.CaptureFixture[str]
) -> None:
    copy.change("check", "v_coil", limit="gone", about="nowhere")
    assert main(["lint", str(copy.root)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert len(said.err.splitlines()) == 2
    assert "outdoor_live.yaml:" in said.err


@pytest.mark.parametrize("command", [["lint"], ["sources"], ["show", "v_coil"]])
def test_a_folder_without_knowledge_is_told(
    command: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([*command, str(tmp_path)]) == 2
    assert "no knowledge files here" in capsys.readouterr().err


def test_lint_says_when_its_own_files_are_missing(copy: Doctored, capsys: pytest.CaptureFixture[str]) -> None:
    (copy.root / "lint_style.yaml").unlink()
    assert main(["lint", str(copy.root)]) == 2
    assert "lint_style.yaml: cannot be read" in capsys.readouterr().err


def test_show_prints_an_entry_with_its_place_and_references_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "v_fuse_1"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("check:v_fuse_1  (")
    assert "outdoor_live.yaml:" in said.splitlines()[0]
    before, after = said.split("  used by:")
    assert "limit:contact_drop" in before
    assert "node of split_psc_240:F1" in before
    assert "repair:replace_fuses (confirm)" in after


def test_show_prints_every_kind_that_has_the_id_or_just_the_one_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "comp_grounded"]) == 0
    both = capsys.readouterr().out
    assert "fault:comp_grounded" in both
    assert "stop:comp_grounded" in both
    assert main(["show", "stop:comp_grounded"]) == 0
    assert "fault:" not in capsys.readouterr().out


def test_show_of_an_unknown_id_names_what_is_spelled_alike(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["show", "v_fuze_1"]) == 2
    assert "v_fuse_1" in capsys.readouterr().err
    assert main(["show", "fault:v_fuse_1"]) == 2
    assert "no entry is called 'fault:v_fuse_1'" in capsys.readouterr().err


def test_show_can_print_entries_of_every_kind(capsys: pytest.CaptureFixture[str]) -> None:
    """The first two of each kind: all of them would take minutes."""
    of_kind: dict[str, list[str]] = {}
    for key in load().files:
        of_kind.setdefault(key.partition(":")[0], []).append(key)
    for key in (key for keys in of_kind.values() for key in keys[:2] if ":" in key):
        assert main(["show", key]) == 0
        assert capsys.readouterr().out.startswith(key)


def test_sources_tells_of_each_work_how_it_is_known_and_what_rests_on_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sources"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3 * len(load().sources)
    for title, known, carries in zip(lines[::3], lines[1::3], lines[2::3], strict=True):
        source = load().sources[title.rpartition("[")[2].rstrip("]")]
        assert title.startswith(source.title)
        assert known.strip().startswith(MARKERS[source.known])
        assert carries.startswith("  carries: ")
    assert set(MARKERS) == set(Known)


def test_a_wrong_command_is_refused_with_the_usage(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["polish"])
    assert ended.value.code == 2
    assert "lint,show,sources" in capsys.readouterr().err


def test_padside_sources_says_what_each_number_rests_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert padside(["sources", "fit.band"]) == 0
    assert "Kass and Raftery" in capsys.readouterr().out  # memory of the paper: a ratio up to 3 is worth a bare mention
    assert padside(["sources", "touch"]) == 0
    out = capsys.readouterr().out
    assert "metal to touch  [limit:touch_temperature]" in out
    assert "rests on: ASTM C1055" in out
    assert "FROM MEMORY, to be confirmed" in out
    assert "[nec_440]" not in out
    assert padside(["sources"]) == 0
    everything = capsys.readouterr().out
    assert all(f"[limit:{limit}]" in everything for limit in load().limits)
    assert all(f"[{source}]" in everything for source in load().sources)
    assert padside(["sources", "zzz"]) == 2
    assert "'zzz'" in capsys.readouterr().err
