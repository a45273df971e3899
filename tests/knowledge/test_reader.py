"""The strict reader: what YAML would guess is kept as text or refused, and every refusal says where."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import Field

from knowledge import KnowledgeErrors, YamlFileError
from knowledge.models.entry import Closed
from knowledge.reader import line_in_entry, parse_file, read_model


class Round(Closed):
    kind: Literal["round"]
    width: float


class Square(Closed):
    kind: Literal["square"]
    side: int


class Part(Closed):
    id: str
    ready: bool = False
    minutes: float = 1.0
    count: int = 1
    words: tuple[str, ...] = ()
    shape: Annotated[Round | Square, Field(discriminator="kind")] | None = None
    shares: dict[str, float] = Field(default_factory=dict)


class PartFile(Closed):
    parts: tuple[Part, ...]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "parts.yaml"


def refused(file: Path, text: str | bytes) -> list[str]:
    """Return the refusals as ``line: message``, having checked that each starts with the path."""
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises((YamlFileError, KnowledgeErrors)) as caught:
        read_model(file, PartFile)
    said = str(caught.value).splitlines()
    assert all(line.startswith(f"{file}:") for line in said)
    return [line.removeprefix(f"{file}:").strip() for line in said]


@pytest.mark.parametrize("word", ["off", "on", "no", "yes", "Off", "NO", "True", "y", "N", "null-ish"])
def test_words_that_yaml_takes_for_truth_stay_words(file: Path, word: str) -> None:
    file.write_text(f"parts: [{{id: {word}, words: [{word}]}}]")
    part = read_model(file, PartFile).parts[0]
    assert (part.id, part.words) == (word, (word,))


@pytest.mark.parametrize("word", ["off", "on", "no", "yes", "True", "1"])
def test_only_true_and_false_are_truth(file: Path, word: str) -> None:
    assert refused(file, f"parts:\n  - id: a\n    ready: {word}\n") == [
        "3: parts.0.ready: Input should be a valid boolean"
    ]


@pytest.mark.parametrize(
    "text", ["1:30", "010", "0x10", "1_000", ".5", "5.", ".nan", ".inf", "2024-05-06", "0o17", "+.5e3"]
)
def test_what_is_no_decimal_number_stays_text_and_is_refused_as_a_number(file: Path, text: str) -> None:
    assert refused(file, f"parts:\n  - id: a\n    minutes: {text}\n") == [
        "3: parts.0.minutes: Input should be a valid number"
    ]
    file.write_text(f"parts: [{{id: a, words: [{text}]}}]")
    assert read_model(file, PartFile).parts[0].words == (text,)


@pytest.mark.parametrize(
    ("text", "value"), [("1e3", 1000.0), ("-0.5", -0.5), ("+7", 7.0), ("0", 0.0), ("1.5E-2", 0.015)]
)
def test_decimal_numbers_are_numbers(file: Path, text: str, value: float) -> None:
    file.write_text(f"parts: [{{id: a, minutes: {text}}}]")
    assert read_model(file, PartFile).parts[0].minutes == value


def test_a_fraction_is_no_count(file: Path) -> None:
    (said,) = refused(file, "parts:\n  - id: a\n    count: 1.5\n")
    assert said.startswith("3: parts.0.count: ")


def test_a_number_is_no_word(file: Path) -> None:
    assert refused(file, "parts:\n  - id: 5\n") == ["2: parts.0.id: Input should be a valid string"]


def test_a_number_beyond_all_size_is_refused(file: Path) -> None:
    assert refused(file, "parts:\n  - id: a\n    minutes: 1e999\n") == ["3: number 1e999 is too large"]


def test_a_repeated_key_is_refused_with_both_lines(file: Path) -> None:
    assert refused(file, "parts:\n  - id: a\n    minutes: 2\n    id: b\n") == [
        "4: duplicate key 'id' (first on line 2)"
    ]


@pytest.mark.parametrize(("one", "other"), [("1", '"1"'), ("on", '"on"'), ("true", "'true'")])
def test_keys_that_would_be_written_alike_are_one_key(file: Path, one: str, other: str) -> None:
    (said,) = refused(file, f"parts:\n  - id: a\n    shares:\n      {one}: 0.5\n      {other}: 0.5\n")
    assert said.startswith("5: duplicate key ")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("parts:\n  - &a {id: a}\n  - *a\n", "2: anchors and aliases are not used here; write it out"),
        ("parts: &a [*a]\n", "1: anchors and aliases are not used here; write it out"),
        ("parts:\n  - <<: {id: a}\n", "2: merge key '<<' is not used here; write the fields out"),
        ("parts:\n  - id: !!bool yes\n", "2: tag 'tag:yaml.org,2002:bool' is not used here"),
        ("parts:\n  - id: !!timestamp 2024-05-06\n", "2: tag 'tag:yaml.org,2002:timestamp' is not used here"),
        ("parts:\n  - id: !thing a\n", "2: tag '!thing' is not used here"),
        ("parts:\n\t- id: a\n", "2: tab in front of the text; indent with spaces"),
        ("parts:\n  - ? [a, b]\n    : c\n", "2: a key must be a name"),
        ("parts: []\n---\nparts: []\n", "2: expected a single document in the stream, but found another document"),
        ("parts:\n  - id: a\n    words: [a\n", "4: while parsing a flow sequence, did not find expected ',' or ']'"),
        ("# µ\nparts:\n  - id: \x07a\n", "3: control character 7 in the text"),
        ("", "1: file: nothing in it; expected parts"),
        ("# only a remark\n", "1: file: nothing in it; expected parts"),
        ("- id: a\n", "1: file: Input should be an object"),
        ("part: []\n", "1: parts: Field required\nPATH:1: part: Extra inputs are not permitted"),
        ("parts: {id: a}\n", "1: parts: Input should be a valid array"),
        ("parts:\n  - id: a\n    minute: 3\n", "3: parts.0.minute: Extra inputs are not permitted"),
    ],
)
def test_bad_files_are_refused_with_line_and_reason(file: Path, text: str, said: str) -> None:
    assert refused(file, text) == [line.removeprefix("PATH:") for line in said.splitlines()]


def test_marks_inside_sentences_are_ordinary_letters(file: Path) -> None:
    file.write_text('parts: [{id: "a & b * c!", words: [R&D, "*", 5*3]}]')
    assert read_model(file, PartFile).parts[0].words == ("R&D", "*", "5*3")


def test_a_wrong_field_deep_inside_a_union_is_found_on_its_line(file: Path) -> None:
    text = "parts:\n  - id: a\n  - id: b\n    shape:\n      kind: square\n      side: wide\n"
    assert refused(file, text) == ["6: parts.1.shape.square.side: Input should be a valid integer"]


def test_an_unknown_kind_in_a_union_is_found_on_its_line(file: Path) -> None:
    (said,) = refused(file, "parts:\n  - id: a\n    shape:\n      kind: star\n      side: 1\n")
    assert said.startswith("3: parts.0.shape: Input tag 'star' found using 'kind'")


def test_all_misfits_of_a_file_are_told_at_once(file: Path) -> None:
    text = "parts:\n  - id: 1\n  - id: b\n    count: two\n  - minutes: 3\n"
    assert refused(file, text) == [
        "2: parts.0.id: Input should be a valid string",
        "4: parts.1.count: Input should be a valid integer",
        "5: parts.2.id: Field required",
    ]


def test_a_byte_order_mark_is_no_content(file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbfparts: [{id: a}]\r\n")
    assert read_model(file, PartFile).parts[0].id == "a"


@pytest.mark.parametrize(("raw", "said"), [
    (b"parts:\n  - id: 45 \xb5F\n", "2: not UTF-8 text (byte 18); save the file as UTF-8"),
    (b"\xff\xfep\x00", "1: not UTF-8 text (byte 0); save the file as UTF-8"),
])  # fmt: skip
def test_other_encodings_are_refused_with_the_line(file: Path, raw: bytes, said: str) -> None:
    assert refused(file, raw) == [said]


def test_a_missing_file_and_a_folder_say_that_they_cannot_be_read(tmp_path: Path) -> None:
    for path in (tmp_path / "gone.yaml", tmp_path):
        with pytest.raises(YamlFileError, match="cannot be read: "):
            parse_file(path)


def test_deep_nesting_is_refused_and_nothing_falls_over(file: Path) -> None:
    for text in ("parts: " + "[" * 50_000, "\n".join(" " * depth + "a:" for depth in range(2_000))):
        (said,) = refused(file, text)
        assert "nest" in said


def test_the_line_of_an_entry_and_of_its_fields(file: Path) -> None:
    file.write_text("other: []\nparts:\n  - id: a\n  - id: b\n    words:\n      - x\n      - y\n")
    assert line_in_entry(file, "parts", "b") == 4
    assert line_in_entry(file, "parts", "b", ("words", 1)) == 7
    assert line_in_entry(file, "parts", "b", ("not_written",)) == 4
    assert line_in_entry(file, "parts", "gone") == 1


@given(
    st.dictionaries(
        st.from_regex(r"[a-z]{1,8}", fullmatch=True),
        st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc", "Cn"]), max_size=20),
        min_size=1,
    )
)
def test_quoted_text_comes_back_as_it_was_written(
    tmp_path_factory: pytest.TempPathFactory, words: dict[str, str]
) -> None:
    file = tmp_path_factory.mktemp("words") / "words.yaml"
    lines = [f"{key}: '{text.replace(chr(39), chr(39) * 2)}'" for key, text in words.items()]
    file.write_text("\n".join(lines), encoding="utf-8")
    assert parse_file(file) == words
