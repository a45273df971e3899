"""For authors of the vocabulary: how a note was taken apart, readable."""

from __future__ import annotations

from knowledge import KnowledgeBase

from .models import Context, Heard
from .phrases import Mark, mark
from .spelling import read_spelling
from .tokens import Token, tokenise
from .understand import understand
from .vocabulary import vocabulary_of


def explain_parse(text: str, kb: KnowledgeBase, context: Context | None = None) -> str:
    """Return every item of a note on a line of its own, what was not understood, and what each word was taken for."""
    understood = understand(text, kb, context or Context())
    lines = [f'note: "{understood.text}"']
    if understood.problem:
        lines.append(f"problem: {understood.problem}")
    for item in understood.heard:
        lines.append(_line(item))
        lines += [f"    {one.about}: {one.text if one.value is None else f'{one.value:g}'}" for one in item.inputs]
        lines += [f"    or {_line(option).strip()}" for option in item.options]
    lines += [f'  not understood: "{words}"' for words in understood.not_understood]
    vocabulary = vocabulary_of(kb)
    tokens = read_spelling(tokenise(understood.text), vocabulary)
    if tokens:
        lines.append("words:")
        lines += [_words(found, tokens, understood.text) for found in mark(tokens, vocabulary)]
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


def _words(found: Mark, tokens: tuple[Token, ...], text: str) -> str:
    run = tokens[found.first : found.last]
    taken = "; ".join(f"{role}: {', '.join(ids)}" if ids else str(role) for role, ids in found.roles.items())
    if found.number is not None:
        taken += " " + " or ".join(f"{value:g}" for value in found.number.values)
    loose = f" (read as {' '.join(token.word for token in run)})" if found.loose else ""
    return f'  "{text[run[0].start : run[-1].end]}" {taken}{loose}'
