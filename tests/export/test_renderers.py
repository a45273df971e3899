"""The three formats say the same, and nothing that was said can break them."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from assistant.export import JobNote, to_json, to_markdown, to_text
from assistant.export.blocks import Bullets, Table, one_line
from assistant.export.markdown import escaped
from assistant.export.outline import outline
from assistant.export.text import WIDTH
from assistant.session import events as e
from knowledge import KnowledgeBase, load

from .conftest import note_of
from .stories import STORIES, Story

IDS = {"item", "check", "about", "quantity", "unit", "kind", "repair", "group", "phase", "standing", "signal"}
"""Fields that hold ids or kinds; the readable formats show their names."""
JSON_ONLY = {("safety", "said"), ("findings", "power")}
"""Kept for machines: the words that confirmed a step, and the power state of a look (of readings it is shown)."""
LABELLED = ("place of the unit", "model and serial", "not recorded")
"""Names that the readable formats replace by a heading of their own."""
RENDERERS = {"md": to_markdown, "txt": to_text, "json": to_json}
COMMONMARK = MarkdownIt("commonmark").enable("table")
"""An independent reader of CommonMark with the table extension (markdown-it-py)."""

# Every kind of character that Markdown, tables or terminals care about, besides any text at all.
HOSTILE = st.one_of(
    st.text(max_size=60),
    st.text(alphabet="|\\`*_[]()<>#~!&;-+=\r\n\t\x0b\x0c\x1b\x85\u2028\u202e\u200f \"':/1.@$", max_size=40),
    st.sampled_from(
        [
            "",
            " ",
            "|",
            "\\|",
            "a|b\n|c|",
            "- x",
            "+ x",
            "12. x",
            "7) x",
            "# x",
            "> x",
            "--- | ---",
            "<script>x</script>",
            "![x](y)",
            "&lt;",
            "\x1b[31mred",
            "`|`",
        ]
    ),
)


def facts(part: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str]]:
    """Yield every piece of text in the note with the fields that lead to it."""
    if isinstance(part, dict):
        for key, value in part.items():
            if key not in IDS:
                yield from facts(value, (*path, key))
    elif isinstance(part, list | tuple):
        for value in part:
            yield from facts(value, path)
    elif isinstance(part, str) and part.strip():
        yield path, part


def visible(note: JobNote) -> list[str]:
    found = facts(note.model_dump())
    return [text for path, text in found if (path[0], path[-1]) not in JSON_ONLY and text not in LABELLED]


def squeezed(text: str) -> str:
    return " ".join(text.split()).casefold()


@pytest.mark.parametrize("name", STORIES)
class TestEveryFactIsInEveryFormat:
    def test_in_plain_text(self, notes: dict[str, JobNote], name: str) -> None:
        shown = squeezed(to_text(notes[name]))

        assert [text for text in visible(notes[name]) if squeezed(text).rstrip(".") not in shown] == []

    def test_in_markdown(self, notes: dict[str, JobNote], name: str) -> None:
        shown = squeezed(to_markdown(notes[name]))
        wanted = visible(notes[name])

        assert [text for text in wanted if squeezed(escaped(text)).rstrip(".") not in shown] == []

    def test_in_json_with_nothing_lost(self, notes: dict[str, JobNote], name: str) -> None:
        assert JobNote.model_validate_json(to_json(notes[name])) == notes[name]

    def test_the_same_headings_in_both_readable_formats(self, notes: dict[str, JobNote], name: str) -> None:
        headings = [line.lstrip("# ") for line in to_markdown(notes[name]).splitlines() if line.startswith("#")]
        text = to_text(notes[name]).splitlines()

        assert [one for one in headings if one.replace("\\", "") not in text and one.upper() not in text] == []


class TestFirstHalfPage:
    @pytest.mark.parametrize("name", STORIES)
    def test_the_first_20_lines_tell_complaint_cause_work_result_and_what_is_open(
        self, notes: dict[str, JobNote], name: str
    ) -> None:
        head = to_text(notes[name]).splitlines()[:20]

        for label in ("Complaint:", "Found:", "Done:", "Works now:", "Left open:"):
            assert any(line.startswith(label) for line in head), label


class TestGoldens:
    @pytest.mark.parametrize("kind", RENDERERS)
    def test_a_whole_note_is_as_it_was_read_and_found_good(
        self, notes: dict[str, JobNote], golden: Callable[[str, str], None], kind: str
    ) -> None:
        golden(f"fan_capacitor.{kind}", RENDERERS[kind](notes["fan capacitor"]))


class TestSameInSameOut:
    @pytest.mark.parametrize("name", STORIES)
    def test_the_same_events_give_the_same_bytes(self, notes: dict[str, JobNote], kb: KnowledgeBase, name: str) -> None:
        again = STORIES[name](kb)
        again.events = [e.EVENT.validate_json(event.model_dump_json()) for event in again.events]

        for render in RENDERERS.values():
            assert render(note_of(again)).encode() == render(notes[name]).encode()

    def test_json_names_its_schema_version_and_uses_iso_times(self, notes: dict[str, JobNote]) -> None:
        data = json.loads(to_json(notes["fan capacitor"]))

        assert data["schema_version"] == 1
        assert data["made_at"] == "2031-07-14T15:10:00-05:00"


class TestAnyMomentOfAnyVisit:
    @given(st.sampled_from(sorted(STORIES)), st.floats(0, 1))
    @settings(max_examples=40, deadline=None)
    def test_a_log_cut_anywhere_gives_a_note_in_every_format(self, name: str, share: float) -> None:
        story = STORIES[name](load())
        story.events = story.events[: round(share * len(story.events))]
        note = note_of(story)

        for render in RENDERERS.values():
            assert render(note)


def told_with(text: str) -> JobNote:
    """A visit in which everything a technician can word freely is ``text``."""
    story = Story(load())
    story.complains("not_cooling", text)
    story.plate(text, "place", text=text)
    story.sees("look_fan", "humming", "humming", text)
    story.reads("uf_fan", 1.2, text)
    story.says(text, text, "second phrase")
    story.add(e.StopRaised, stop="wet_electrics", because=text)
    story.add(e.CheckSkipped, check="look_drain", because=text)
    story.add(e.FreeNote, text=text)
    story.says(text)
    story.add(e.RepairDone, repair="replace_capacitor", said=text, proposed=False)
    story.add(e.ProofRecorded, item="prove_start", verdict="not done", words=text)
    story.add(e.VerdictReached, verdict="cannot tell", because=(text,))
    return note_of(story)


def plain(inline: Token) -> str:
    """Return the text of an inline token; anything but text and emphasis of ours is markup that got through."""
    kinds = {child.type for child in inline.children or ()}
    assert kinds <= {"text", "text_special", "strong_open", "strong_close"}, (kinds, inline.content)
    return "".join(child.content for child in inline.children or ())


class TestHostileWords:
    @given(HOSTILE)
    @settings(max_examples=150, deadline=None)
    def test_markdown_tables_keep_their_shape_and_words_stay_words(self, text: str) -> None:
        note = told_with(text)
        tables = [block for block in outline(note) if isinstance(block, Table)]
        tokens = COMMONMARK.parse(to_markdown(note))
        cells = [plain(tokens[k + 1]) for k, token in enumerate(tokens) if token.type == "td_open"]
        wanted = [
            one_line(cell)
            for table in tables
            for row in table.rows
            for place, cell in enumerate(row)
            if any(other[place] for other in table.rows)
        ]

        assert sum(token.type == "table_open" for token in tokens) == len(tables)
        assert cells == wanted

    @given(HOSTILE)
    @settings(max_examples=150, deadline=None)
    def test_nothing_said_becomes_markup_outside_tables_either(self, text: str) -> None:
        note = told_with(text)
        tokens = COMMONMARK.parse(to_markdown(note))
        lists = [plain(token) for token in tokens if token.type == "inline"]
        items = [one_line(item) for block in outline(note) if isinstance(block, Bullets) for item in block.items]

        assert not {token.type for token in tokens} & {"html_block", "fence", "code_block", "blockquote_open"}
        assert [item for item in items if item not in lists] == []

    @given(HOSTILE)
    @settings(max_examples=150, deadline=None)
    def test_plain_text_keeps_its_width_and_holds_no_control_characters(self, text: str) -> None:
        lines = to_text(told_with(text)).split("\n")

        # RFC 5322, 2.1.1 (from memory): a line of a message should be at most 78 characters.
        assert max(len(line) for line in lines) <= WIDTH == 78
        assert all(char.isprintable() or char == " " or not char.isascii() for line in lines for char in line)
        assert "\x1b" not in "".join(lines)

    @given(HOSTILE)
    @settings(max_examples=100, deadline=None)
    def test_json_gives_every_word_back_unchanged(self, text: str) -> None:
        note = told_with(text)

        assert JobNote.model_validate_json(to_json(note)).free_notes[0].text == text

    def test_a_note_of_a_hundred_thousand_characters_is_kept_whole(self) -> None:
        text = "abcdefghij" * 10_000
        note = told_with(text)

        assert text in to_markdown(note)
        assert text in to_text(note).replace("\n", "").replace(" ", "")

    def test_marks_that_reorder_what_is_shown_are_dropped(self) -> None:
        assert one_line("5 \u202eFu 54\u202c µF") == "5 Fu 54 µF"
