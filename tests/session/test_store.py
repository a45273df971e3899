"""The folder of visits: names, listing, and never failing because of one damaged visit."""

from __future__ import annotations

import errno
import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from assistant.session import events as e
from assistant.session.log import LogError, LogReadError, LogWriteError, VisitExistsError, VisitLog
from assistant.session.store import VisitStore

from .made import NOON, Story


class Clock:
    def __init__(self) -> None:
        self.now = NOON

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def store(tmp_path: Path, clock: Clock) -> VisitStore:
    return VisitStore(tmp_path / "far" / "visits", clock)


def told() -> Story:
    story = Story()
    story.hear()
    story.add(e.ComplaintReported, complaint="nothing_runs", said="nothing runs outside")
    story.add(e.PlateRead, item="place", text="12 Invented Lane", said="12 invented lane")
    story.add(e.PlateRead, item="model", text="QX-36", said="model QX-36")
    story.add(e.PhaseEntered, phase="finding")
    return story


def keep(store: VisitStore, story: Story, name: str | None = None) -> str:
    with store.create(name) as log:
        log.append(list(story.visit.events))
        return log.visit


def test_nothing_is_made_before_the_first_visit(store: VisitStore) -> None:
    assert store.visits() == []
    assert not store.folder.exists()


def test_visits_of_a_day_are_lettered(store: VisitStore, clock: Clock) -> None:
    names = [keep(store, told()) for _ in range(28)]
    assert names[:3] == ["2026-07-04-a", "2026-07-04-b", "2026-07-04-c"]
    assert names[25:] == ["2026-07-04-z", "2026-07-04-aa", "2026-07-04-ab"]
    clock.now += timedelta(days=1)
    assert keep(store, told()) == "2026-07-05-a"
    assert len(set(names)) == len(names)


def test_a_deleted_visit_does_not_make_two_of_the_same_day_change_places(store: VisitStore) -> None:
    keep(store, told())
    keep(store, told())
    store.path_of("2026-07-04-a").unlink()
    assert keep(store, told()) == "2026-07-04-c"


def test_a_name_that_another_program_takes_in_this_moment_is_passed_over(
    store: VisitStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(store, told())
    monkeypatch.setattr(store, "_taken_today", lambda: 0)
    assert keep(store, told()) == "2026-07-04-b"


def test_a_visit_can_be_given_a_name_once(store: VisitStore) -> None:
    assert keep(store, told(), "rooftop-unit-3") == "rooftop-unit-3"
    with pytest.raises(VisitExistsError):
        store.create("rooftop-unit-3")


@pytest.mark.parametrize("name", ["", "../up", "a/b", "A", ".hidden", "-a", "a-", "x" * 41, "a.b", "ä", "a\n", "a b"])
def test_names_that_no_visit_can_have(store: VisitStore, name: str) -> None:
    for use in (store.create, store.open, store.read):
        with pytest.raises(LogError, match="cannot name a visit"):
            use(name)
    assert not any(store.folder.parent.rglob("*.jsonl"))


def test_several_visits_stand_side_by_side(store: VisitStore) -> None:
    first, second = store.create(), store.create()
    first.append(list(told().visit.events)[:1])
    second.append(list(told().visit.events))
    first.close()
    second.close()
    assert len(store.read(first.visit).events) == 1
    with store.open(second.visit) as again:
        assert again.content.events == tuple(told().visit.events)


def test_an_unknown_visit_is_answered_with_those_there_are(store: VisitStore) -> None:
    with pytest.raises(LogReadError, match="There are no visits yet"):
        store.open("2026-07-04-q")
    keep(store, told())
    with pytest.raises(LogReadError, match="The last ones are 2026-07-04-a"):
        store.open("2026-07-04-q")
    for _ in range(6):
        keep(store, told())
    with pytest.raises(LogReadError, match="and 2 more"):
        store.read("2026-07-04-q")


def test_a_summary_shows_what_is_known(store: VisitStore) -> None:
    keep(store, told())
    (visit,) = store.visits()
    assert (visit.id, visit.place, visit.model) == ("2026-07-04-a", "12 Invented Lane", "QX-36")
    assert (visit.complaint, visit.said, visit.phase) == ("nothing_runs", "nothing runs outside", "finding")
    assert visit.opened == told().state.opened
    assert visit.last == list(told().visit.events)[-1].at
    assert (visit.closed, visit.outcome, visit.problem, visit.notes) == (False, None, None, 1)


def test_a_summary_of_a_visit_just_begun_knows_little(store: VisitStore) -> None:
    keep(store, Story())
    (visit,) = store.visits()
    assert (visit.place, visit.model, visit.complaint, visit.said, visit.phase) == (None, None, None, None, "intake")


def test_a_summary_leaves_out_what_was_taken_back_and_knows_the_end(store: VisitStore) -> None:
    story = told()
    story.take_back(1)
    story.hear()
    story.add(e.ComplaintReported, complaint="ice", said='"type":"plate_read" it says')
    story.add(e.VisitClosed, outcome="repaired")
    keep(store, story)
    (visit,) = store.visits()
    assert (visit.complaint, visit.place, visit.phase) == ("ice", None, "closed")
    assert (visit.closed, visit.outcome) == (True, "repaired")


def test_a_summary_agrees_with_the_whole_fold(store: VisitStore) -> None:
    story = told()
    story.read("v_coil", 27.0)
    story.take_back(2)
    keep(store, story)
    (visit,) = store.visits()
    assert visit.phase == story.state.phase
    assert visit.notes == story.state.note


def test_the_visit_worked_on_last_comes_first(store: VisitStore) -> None:
    keep(store, told())
    longer = told()
    for _ in range(5):
        longer.hear()
    keep(store, longer)
    keep(store, Story())
    assert [visit.id for visit in store.visits()] == ["2026-07-04-b", "2026-07-04-a", "2026-07-04-c"]


def test_damaged_visits_are_listed_with_their_problem(store: VisitStore) -> None:
    names = [keep(store, told()) for _ in range(5)]
    paths = [store.path_of(name) for name in names]
    whole = paths[0].read_bytes()
    paths[1].write_bytes(whole[:-9])
    paths[2].write_bytes(b"")
    paths[3].write_bytes(b"\x00" * 300)
    paths[4].write_bytes(whole + b'{"v":9,"type":"later"}\n')
    (store.folder / "notes.txt").write_text("not a visit")
    (store.folder / "2026-07-04-x.jsonl").mkdir()
    (store.folder / "UPPER.jsonl").write_text("not a visit's name")
    found = {visit.id: visit for visit in store.visits()}
    assert set(found) == set(names)
    assert found[names[0]].problem is None
    assert found[names[1]].place == "12 Invented Lane"
    for name, word in zip(names[1:], ["cut off", "empty", "not the log", "version 9"], strict=True):
        assert word in (found[name].problem or "")
    assert [path.read_bytes() for path in paths[2:4]] == [b"", b"\x00" * 300]


def test_a_visit_open_elsewhere_is_listed_as_it_stands(store: VisitStore) -> None:
    log = store.create()
    log.append(list(told().visit.events))
    (visit,) = store.visits()
    assert (visit.id, visit.problem) == (log.visit, None)
    log.close()


def test_a_file_where_the_folder_should_be(tmp_path: Path, clock: Clock) -> None:
    (tmp_path / "visits").write_text("in the way")
    store = VisitStore(tmp_path / "visits", clock)
    with pytest.raises(LogWriteError, match="file stands where a folder is needed"):
        store.create()
    with pytest.raises(LogReadError, match="file stands where a folder is needed"):
        store.visits()
    with pytest.raises(LogWriteError, match="file stands where a folder is needed"):
        VisitStore(tmp_path / "visits" / "deeper", clock).create()


@pytest.mark.parametrize(("number", "word"), [(errno.EROFS, "read-only"), (errno.EACCES, "permissions")])
def test_a_folder_that_cannot_be_made(
    store: VisitStore, monkeypatch: pytest.MonkeyPatch, number: int, word: str
) -> None:
    def fail(*_args: object, **_kw: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(Path, "mkdir", fail)
    with pytest.raises(LogWriteError, match=word):
        store.create()


def test_a_log_is_for_its_owner_only(store: VisitStore) -> None:
    log: VisitLog = store.create()
    log.close()
    if os.name == "posix":
        assert log.path.stat().st_mode & 0o077 == 0
