"""Lines of any bytes become notes, one each, without holding a long line whole."""

from __future__ import annotations

import io

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.plain.incoming import LINE_BYTES, notes

CUT = "The line is longer than"
NOT_TEXT = "Some bytes are not text (UTF-8) and were replaced."


class Counted(io.BytesIO):
    """Remembers the longest piece that was asked for."""

    longest = 0

    def readline(self, size: int | None = -1) -> bytes:
        self.longest = max(self.longest, len(self.getvalue()) if size is None or size < 0 else size)
        return super().readline(size)


@settings(deadline=None)
@given(data=st.binary(max_size=400), limit=st.integers(1, 50))
def test_there_is_one_note_for_every_line(data: bytes, limit: int) -> None:
    lines = data.split(b"\n")
    expected = len(lines) - (lines[-1] == b"")
    assert len(list(notes(io.BytesIO(data), limit))) == expected


@settings(deadline=None)
@given(texts=st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\r\n\ufeff"))))
def test_text_comes_through_as_it_is(texts: list[str]) -> None:
    data = "".join(f"{text}\n" for text in texts).encode()
    assert [note.text for note in notes(io.BytesIO(data))] == texts


@settings(deadline=None)
@given(data=st.binary(max_size=60).map(lambda data: data.replace(b"\n", b"").replace(b"\r", b"")))
def test_whatever_is_not_utf_8_is_replaced_and_told(data: bytes) -> None:
    (note,) = notes(io.BytesIO(data + b"\n"))
    try:
        good = data.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError:
        assert note.notice == NOT_TEXT
        assert "\ufffd" in note.text
    else:
        assert (note.text, note.notice) == (good, None)


def test_replacement_follows_the_unicode_example() -> None:
    """Unicode 16.0, table 3-11 (from memory, not opened): maximal subparts are replaced one by one."""
    data = b"\x61\xf1\x80\x80\xe1\x80\xc2\x62\x80\x63\x80\xbf\x64\n"
    (note,) = notes(io.BytesIO(data))
    assert note.text == "a\ufffd\ufffd\ufffdb\ufffdc\ufffd\ufffdd"


def test_a_huge_line_is_cut_told_and_the_next_one_is_read() -> None:
    stream = Counted(b"x" * 5_000_000 + b"\nfan hums\n")
    first, second = notes(stream)
    assert len(first.text) == LINE_BYTES
    assert first.notice is not None
    assert first.notice.startswith(CUT)
    assert second.text == "fan hums"
    assert stream.longest <= LINE_BYTES + 1


def test_a_line_of_exactly_the_limit_is_whole() -> None:
    (note,) = notes(io.BytesIO(b"12345\n"), limit=5)
    assert (note.text, note.notice) == ("12345", None)


def test_a_character_cut_in_two_at_the_limit_is_left_out_not_called_broken() -> None:
    (note,) = notes(io.BytesIO("ab°C".encode()), limit=3)
    assert note.text == "ab"
    assert note.notice is not None
    assert NOT_TEXT not in note.notice


def test_line_ends_of_other_systems_and_a_byte_order_mark_are_no_part_of_a_note() -> None:
    assert [note.text for note in notes(io.BytesIO(b"\xef\xbb\xbffan hums\r\nlast"))] == ["fan hums", "last"]
