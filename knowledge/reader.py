"""Read YAML strictly: no silent duplicates, no surprise types, every error has file and line.

Plain ``yaml.safe_load`` reads ``power: off`` as False, ``t: 1:30`` as 90 and ``010`` as 8, and keeps the last of
two equal keys. Here only ``true``/``false``, decimal numbers and null are typed; everything else stays text, and a
model that expects something else refuses it.
"""

from __future__ import annotations

import json
import re
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

import yaml
from pydantic import BaseModel, ValidationError

from .errors import KnowledgeErrors, YamlFileError

M = TypeVar("M", bound=BaseModel)
_Base: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml is ten times faster where the wheel has it


class _StrictLoader(_Base):  # type: ignore[misc]  # the C loader has no type information
    """Loader that knows true/false, decimal numbers and null, and nothing else."""


_StrictLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("bool", r"^(?:true|false)$", "tf"),
    ("int", r"^[-+]?(?:0|[1-9][0-9]*)$", "-+0123456789"),
    ("float", r"^[-+]?(?:0|[1-9][0-9]*)(?:\.[0-9]+(?:[eE][-+]?[0-9]+)?|[eE][-+]?[0-9]+)$", "-+0123456789"),
    ("null", r"^(?:null|~|)$", ["n", "~", ""]),
):
    _StrictLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(_pattern), list(_first))


def _mapping(loader: Any, node: yaml.MappingNode) -> dict[Any, Any]:
    first_line: dict[Any, int] = {}
    result: dict[Any, Any] = {}
    for key_node, value_node in node.value:
        key = loader.construct_object(key_node, deep=True)
        if not isinstance(key, str | int):
            raise yaml.constructor.ConstructorError(None, None, f"key {key!r} is not a name", key_node.start_mark)
        if key in result:
            problem = f"duplicate key {key!r} (first on line {first_line[key]})"
            raise yaml.constructor.ConstructorError(None, None, problem, key_node.start_mark)
        first_line[key] = key_node.start_mark.line + 1
        result[key] = loader.construct_object(value_node, deep=True)
    return result


_StrictLoader.add_constructor("tag:yaml.org,2002:map", _mapping)


def parse_file(path: Path) -> Any:
    """Return the content of one YAML file.

    Raises YamlFileError with path and line for anything that is not clean UTF-8 YAML.
    """
    return _load(path, _text_of(path))


def read_model(path: Path, model: type[M]) -> M:
    """Return one file as its model; raise KnowledgeErrors naming every misfit with ``path:line: field: message``."""
    text = _text_of(path)
    data = _load(path, text)
    try:
        return model.model_validate_json(json.dumps(data))
    except ValidationError as err:
        problems = [
            YamlFileError(f"{_field(item['loc'])}: {item['msg']}", path, line_of(text, item["loc"]))
            for item in err.errors(include_url=False)
        ]
        raise KnowledgeErrors(problems) from err


def line_of(text: str, loc: tuple[str | int, ...]) -> int:
    """Return the line (1-based) that a pydantic error location points at."""
    node = _composed(text)
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


@lru_cache(maxsize=4)
def _composed(text: str) -> Any:
    return yaml.compose(text, Loader=_StrictLoader)


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as err:
        raise YamlFileError(f"not UTF-8 text (byte {err.start}); save the file as UTF-8", path) from err
    except OSError as err:
        raise YamlFileError(f"cannot be read: {err.strerror or err}", path) from err


def _load(path: Path, text: str) -> Any:
    try:
        return yaml.load(text, Loader=_StrictLoader)  # noqa: S506  # a SafeLoader subclass
    except yaml.MarkedYAMLError as err:
        mark = err.problem_mark or err.context_mark
        raise YamlFileError(err.problem or "invalid YAML", path, mark.line + 1 if mark else None) from err
    except yaml.YAMLError as err:
        raise YamlFileError(f"invalid YAML: {err}", path) from err


def _field(loc: tuple[str | int, ...]) -> str:
    return ".".join(str(part) for part in loc) or "file"
