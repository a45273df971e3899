"""For authors of the vocabulary: what comes out of a note, readable."""

from __future__ import annotations

from knowledge import KnowledgeBase

from .models import Context, Heard
from .understand import understand


def explain_parse(text: str, kb: KnowledgeBase, context: Context | None = None) -> str:
    """Return every item of a note on a line of its own, then what was not understood."""
    understood = understand(text, kb, context or Context())
    lines = [f'note: "{understood.text}"']
    if understood.problem:
        lines.append(f"problem: {understood.problem}")
    for item in understood.heard:
        lines.append(_line(item))
        lines += [f"    or {_line(option).strip()}" for option in item.options]
    lines += [f'  not understood: "{words}"' for words in understood.not_understood]
    return "\n".join(lines)


def _line(item: Heard) -> str:
    value = "OL" if item.over_limit else "" if item.value is None else f"{item.value:g}"
    if item.high is not None:
        value += f" to {item.high:g}"
    state = ("not " if item.negated else "") + (item.state or "")
    parts = (item.about, item.quantity, value, item.unit, state.strip(), item.text, item.subject)
    said = ", ".join(part for part in parts if part)
    doubts = f"  [{', '.join(item.doubts)}]" if item.doubts else ""
    return f'  {item.kind}: {said}   <- "{item.said}"{doubts}'
