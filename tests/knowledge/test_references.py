"""Every id used must be defined: whichever one is broken, loading fails and names the line it stands on."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from knowledge import KnowledgeErrors, YamlFileError, load
from knowledge.models.entry import Entry
from knowledge.references import definitions, entries, unresolved
from knowledge.use import Use
from knowledge.uses import uses
from tests.knowledge.doctored import Doctored, line_text

WRONG = "no_such_thing"


@pytest.fixture
def copy(tmp_path: Path) -> Doctored:
    return Doctored(tmp_path / "data")


def written(use: Use) -> bool:
    """Return whether the use stands in the file; a default (``source: estimate``) need not."""
    entry: Any = entries(load(), use.kind)[use.id] if use.id else getattr(load(), use.kind)
    for part in use.loc:
        if isinstance(part, int):
            entry = entry[part]
        elif isinstance(entry, dict):
            return True
        elif part not in entry.model_fields_set:
            return False
        else:
            entry = getattr(entry, part)
    return True


def one_of_each() -> list[Use]:
    """Return one use for every pair of field and kind of thing named there, numbers in the path left out."""
    found: dict[tuple[str, ...], Use] = {}
    for use in uses(load()):
        shape = [part for part in use.loc if isinstance(part, str)]
        if shape[0] in {"shows", "hints", "facts", "normally", "defaults", "ranges", "uses", "deciding"}:
            shape = shape[:1]
        if written(use):
            found.setdefault((use.kind, *shape, use.target.partition(" of ")[0]), use)
    return list(found.values())


def spoil(copy: Doctored, use: Use) -> None:
    """Write a wrong id where the use stands: in place of the value, or of the key where the key is the id."""
    path, data, entry = copy.at(use.kind, use.id)
    *way, last = use.loc
    for part in way:
        entry = entry[part]
    if use.loc[0] == "device_outcomes":
        entry[WRONG] = entry.pop(last)
    elif isinstance(entry, dict) and not isinstance(entry[last], str):
        if isinstance(entry[last], list | dict) and use.target.startswith("outcome of "):
            inner = entry[last]
            entry[last] = [WRONG] if isinstance(inner, list) else {WRONG: 1.0}
        else:
            entry[WRONG] = entry.pop(last)
    elif use.loc[0] == "when" and use.kind == "caution":
        entry[last] = f"{entry[last].partition(':')[0]}:{WRONG}"
    elif use.loc[0] == "when" or use.loc[-2:-1] == ("when",):
        entry[last] = f"{WRONG}.{WRONG}"
    else:
        entry[last] = WRONG
    copy.put(path, data)


def test_everything_shipped_resolves() -> None:
    assert unresolved(load()) == []


@pytest.mark.parametrize(
    "use", one_of_each(), ids=lambda use: f"{use.kind}-{use.loc[0]}-{use.target}".replace(" ", "_")
)
def test_any_broken_reference_fails_loading_and_names_its_line(copy: Doctored, use: Use) -> None:
    spoil(copy, use)
    problems = copy.problems()
    told = [problem for problem in problems if WRONG in problem.message]
    assert told
    for problem in told:
        assert problem.line
        assert WRONG in line_text(problem.path, problem.line) or "outcome of" in problem.message
    field = ".".join(str(part) for part in use.loc[:1])
    assert any(field in problem.message for problem in told)


def test_all_problems_are_told_at_once_in_order_and_with_a_near_name(copy: Doctored) -> None:
    copy.change("check", "v_fuse_1", limit="contact_dorp", about="fuse1")
    copy.change("fault", "coil_open", repair="replace_contacter")
    copy.change("repair", "replace_fuses", confirm=["r_fuse_1", "r_fuse_9"], given={})
    problems = copy.problems()
    assert len(problems) == 4
    assert [str(problem) for problem in problems] == sorted(str(problem) for problem in problems)
    said = "\n".join(str(problem) for problem in problems)
    for hint in ("contact_drop", "fuse_1", "replace_contactor", "r_fuse_"):
        assert f"did you mean '{hint}" in said
    assert all(problem.path.is_relative_to(copy.root) for problem in problems)


def test_a_part_of_itself_is_refused(copy: Doctored) -> None:
    copy.change("subject", "contactor", part_of="contactor_coil")
    said = [problem.message for problem in copy.problems()]
    assert "part_of: 'contactor' is a part of itself" in said
    assert "part_of: 'contactor_coil' is a part of itself" in said
    assert "part_of: 'pole_1' is a part of itself" not in said


def test_an_unknown_prefix_of_a_caution_is_refused(copy: Doctored) -> None:
    copy.change("caution", "one_try", when=["chek:a_compressor_start"])
    (problem,) = copy.problems()
    assert "no place for a caution 'chek:a_compressor_start'" in problem.message


@pytest.mark.parametrize("when", ["needs:lively", "phase:later", "hazard:", "wait:v_coil"])
def test_what_follows_a_prefix_must_be_of_its_kind(copy: Doctored, when: str) -> None:
    copy.change("caution", "one_try", when=[when])
    (problem,) = copy.problems()
    assert "one_try.when.0" in problem.message


def test_a_fact_that_nothing_asks_for_is_refused(copy: Doctored) -> None:
    copy.change("fault", "fan_seized", facts={"fan_free": "rather_stiff"})
    (problem,) = copy.problems()
    assert "fan_free.rather_stiff" in problem.message


def test_a_check_must_fit_the_unit(copy: Doctored) -> None:
    copy.change("check", "v_coil", measure={"kind": "volts", "between": ["K1", "K9"], "at": "calling"})
    problem, other = copy.problems()
    assert "no node of split_psc_240 'K9'" in problem.message
    assert "no node of three_phase 'K9'" in other.message
    assert problem.line
    assert "K9" in line_text(problem.path, problem.line)


def test_an_id_used_twice_in_a_kind_is_refused_on_its_second_line(copy: Doctored) -> None:
    copy.add("check", "v_coil", name="the same again")
    (problem,) = copy.problems()
    assert problem.message.startswith("id: 'v_coil' is already used in ")
    assert problem.line
    assert "v_coil" in line_text(problem.path, problem.line)
    assert problem.line > len(problem.path.read_text(encoding="utf-8").splitlines()) // 2


@pytest.mark.parametrize("kind", ["tool", "hazard", "wait", "plate_item"])
def test_an_id_used_twice_in_the_visit_file_is_refused_too(copy: Doctored, kind: str) -> None:
    first = next(iter(entries(load(), kind)))
    copy.add(kind, first, name="the same again")
    (problem,) = copy.problems()
    assert f"{first!r} is already used" in problem.message


def test_problems_of_different_files_are_told_together_and_each_once(copy: Doctored) -> None:
    (copy.root / "visit" / "visit.yaml").write_text("phases: 3\n", encoding="utf-8")
    (copy.root / "sources.yaml").write_text("sources: [\n", encoding="utf-8")
    said = [str(problem) for problem in copy.problems()]
    assert len(said) == len(set(said))
    assert any("sources.yaml:2: " in line for line in said)
    assert any("visit.yaml:1: phases: Input should be a valid array" in line for line in said)


def test_a_folder_without_knowledge_says_so(tmp_path: Path) -> None:
    from knowledge import read_knowledge

    with pytest.raises(YamlFileError, match="no knowledge files here"):
        read_knowledge(tmp_path)


def test_a_missing_file_is_named(copy: Doctored) -> None:
    (copy.root / "phrases" / "particles.yaml").unlink()
    with pytest.raises(KnowledgeErrors, match=r"particles\.yaml: cannot be read"):
        copy.read()


def test_every_entry_is_defined_under_its_kind() -> None:
    known = definitions(load())
    for kind in ("check", "fault", "repair", "plate item", "close out"):
        assert known[kind]
    assert isinstance(entries(load(), "check")["v_coil"], Entry)
