"""Read YAML strictly: no silent duplicates, no surprise types, every error has file and line.

Plain ``yaml.safe_load`` reads ``power: off`` as False, ``t: 1:30`` as 90 and ``010`` as 8, and keeps the
last of two equal keys. Here only ``true``/``false``, decimal numbers and null are typed; all else stays text,
and a model that expects something else refuses it. Anchors, aliases and tags are refused: a knowledge file
says what it means where it says it.
"""

from __future__ import annotations

import json
import math
import re
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from .errors import KnowledgeErrors, YamlFileError

M = TypeVar("M", bound=BaseModel)
Loc = tuple[str | int, ...]
"""Place inside a file or an entry: ``("checks", 3, "answers", 0, "states")``."""

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml is ten times faster where it is built in
_NUMBER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)(\.[0-9]+(?:[eE][-+]?[0-9]+)?|[eE][-+]?[0-9]+)?")
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None, "~": None, "": None}


def _refused(problem: str, at: Any) -> yaml.constructor.ConstructorError:
    return yaml.constructor.ConstructorError(None, None, problem, at.start_mark)


def _built(text: str) -> Any:
    """Return the one document of a text, made straight from the parser's events: half the time of a node tree."""
    loader = _Loader(text)
    try:
        loader.get_event()  # start of the stream
        if loader.check_event(yaml.StreamEndEvent):
            return None
        loader.get_event()  # start of the document
        value = _value(loader, loader.get_event())
        loader.get_event()  # end of the document
        if not loader.check_event(yaml.StreamEndEvent):
            raise _refused("expected a single document in the stream, but found another document", loader.get_event())
        return value
    finally:
        loader.dispose()


def _unmarked(event: Any) -> Any:
    if isinstance(event, yaml.AliasEvent) or event.anchor:
        raise _refused("anchors and aliases are not used here; write it out", event)
    if event.tag:
        raise _refused(f"tag {event.tag!r} is not used here", event)
    return event


def _value(loader: Any, event: Any) -> Any:
    _unmarked(event)
    if isinstance(event, yaml.ScalarEvent):
        return _scalar(event) if event.implicit[0] else event.value
    if isinstance(event, yaml.MappingStartEvent):
        return _mapping(loader)
    items = []
    while not isinstance(event := loader.get_event(), yaml.SequenceEndEvent):
        items.append(_value(loader, event))
    return items


def _scalar(event: Any) -> Any:
    """Return an unquoted word as truth, null or decimal number where it is written as one, else as text."""
    written: str = event.value
    if written in _WORDS:
        return _WORDS[written]
    number = _NUMBER.fullmatch(written)
    if number is None:
        return written
    if not number.group(1):
        return int(written)
    if not math.isfinite(value := float(written)):
        raise _refused(f"number {written} is too large", event)
    return value


def _mapping(loader: Any) -> dict[str, Any]:
    first_line: dict[str, int] = {}
    result: dict[str, Any] = {}
    while not isinstance(at := loader.get_event(), yaml.MappingEndEvent):
        if not isinstance(_unmarked(at), yaml.ScalarEvent) or not at.value:
            raise _refused("a key must be a name", at)
        key = at.value  # as written, so that 1 and "1" are one key, and off and true are names
        if key in result:
            raise _refused(f"duplicate key {key!r} (first on line {first_line[key]})", at)
        if key == "<<":
            raise _refused("merge key '<<' is not used here; write the fields out", at)
        first_line[key] = at.start_mark.line + 1
        result[key] = _value(loader, loader.get_event())
    return result


def parse_file(path: Path) -> Any:
    """Return the content of one YAML file.

    Raises YamlFileError with path and line for anything that is not clean UTF-8 YAML.
    """
    return _load(path, _text_of(path))


def read_model(path: Path, model: type[M]) -> M:
    """Return one file as its model.

    Raises KnowledgeErrors naming every misfit with ``path:line: field: message``, and YamlFileError for a
    file that cannot be read, is empty or is not clean YAML.
    """
    text = _text_of(path)
    data = _load(path, text)
    if data is None:
        raise YamlFileError("file: nothing in it; expected " + ", ".join(model.model_fields), path, 1)
    try:
        return model.model_validate_json(json.dumps(data))
    except ValidationError as err:
        problems = [
            YamlFileError(f"{_field(item['loc'])}: {item['msg']}", path, line_of(text, item["loc"]))
            for item in err.errors(include_url=False)
        ]
        raise KnowledgeErrors(problems) from err


def line_of(text: str, loc: Loc) -> int:
    """Return the line (1-based) that a pydantic error location points at."""
    return _follow(_composed(text), loc)


def line_in_entry(path: Path, section: str, entry_id: str, loc: Loc = ()) -> int:
    """Return the line of a field of an entry; the entry's own line where the field is not written.

    ``section`` is the key of the list in the file (``checks``), or of the entry itself (``unit``); an entry
    that stands alone in its section has no id (``""``).
    """
    root = _composed(_text_of(path))
    for key, node in _pairs(root):
        if key.value != section:
            continue
        if not entry_id:
            return _follow(node, loc)
        for entry in node.value if isinstance(node, yaml.SequenceNode) else [node]:
            if entry_id in [value.value for name, value in _pairs(entry) if name.value == "id"]:
                return _follow(entry, loc)
    return 1


def _pairs(node: Any) -> list[tuple[Any, Any]]:
    return node.value if isinstance(node, yaml.MappingNode) else []


def _follow(node: Any, loc: Loc) -> int:
    line: int = node.start_mark.line + 1 if node is not None else 1
    for part in loc:
        if isinstance(node, yaml.MappingNode):
            pair = next(((k, v) for k, v in node.value if k.value == str(part)), None)
            if pair is None:
                continue  # the tag of a union is part of the location but not of the file
            line, node = pair[0].start_mark.line + 1, pair[1]
        elif isinstance(node, yaml.SequenceNode) and isinstance(part, int) and part < len(node.value):
            node = node.value[part]
            line = node.start_mark.line + 1
    return line


@lru_cache(maxsize=32)
def _composed(text: str) -> Any:
    return yaml.compose(text, Loader=_Loader)


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as err:
        good = path.read_bytes()[: err.start]
        problem = f"not UTF-8 text (byte {err.start}); save the file as UTF-8"
        raise YamlFileError(problem, path, good.count(b"\n") + 1) from err
    except OSError as err:
        raise YamlFileError(f"cannot be read: {err.strerror or err}", path) from err


def _load(path: Path, text: str) -> Any:
    try:
        return _built(text)
    except yaml.MarkedYAMLError as err:
        mark = err.problem_mark or err.context_mark
        raise YamlFileError(_said(err, text), path, mark.line + 1 if mark else None) from err
    except yaml.reader.ReaderError as err:
        line = text.encode()[: err.position].count(b"\n") + 1
        raise YamlFileError(f"control character {err.character!r} in the text", path, line) from err
    except yaml.YAMLError as err:
        raise YamlFileError(f"invalid YAML: {err}", path) from err
    except RecursionError as err:
        raise YamlFileError("nested too deeply", path) from err


def _said(err: yaml.MarkedYAMLError, text: str) -> str:
    mark = err.problem_mark
    before = "".join(text.splitlines()[mark.line : mark.line + 1])[: mark.column + 1] if mark else ""
    if "\t" in before:
        return "tab in front of the text; indent with spaces"
    said = ", ".join(part for part in (err.context, err.problem) if part)
    return said or "invalid YAML"


def _field(loc: Loc) -> str:
    return ".".join(str(part) for part in loc) or "file"
