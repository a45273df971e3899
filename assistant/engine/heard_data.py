"""Language items as plain data for the log, and back."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from assistant.language.models import Doubt, Given, Heard, Kind


def as_data(item: Heard) -> dict[str, Any]:
    """Return the item as plain data without its empty fields."""
    data = asdict(item)
    data["options"] = [as_data(option) for option in item.options]
    data["inputs"] = [{key: value for key, value in one.items() if not _is_empty(value)} for one in data["inputs"]]
    return {key: value for key, value in data.items() if not _is_empty(value)}


def from_data(data: dict[str, Any]) -> Heard:
    """Return the item written by ``as_data``."""
    known = dict(data)
    known["kind"] = Kind(known["kind"])
    known["doubts"] = tuple(Doubt(doubt) for doubt in known.get("doubts", ()))
    known["options"] = tuple(from_data(option) for option in known.get("options", ()))
    known["inputs"] = tuple(Given(**one) for one in known.get("inputs", ()))
    return Heard(**known)


def _is_empty(value: object) -> bool:
    """Nought is a reading; only what was not said is empty."""
    return value is None or value is False or (isinstance(value, list | tuple) and not value)
