"""Cases of notes as data: what a technician says, in which conversation, and what must be heard."""

from __future__ import annotations

from functools import cache
from typing import Literal

from pydantic import Field

from assistant.language.models import Asked, Context, Heard, Understood
from assistant.language.understand import understand
from knowledge import KnowledgeBase, load
from knowledge.models.entry import Closed, Id, Text
from knowledge.narrowing import configured
from knowledge.variants import Configuration
from tests.knowledge.case_files import cases

Doubts = tuple[Literal["unsure", "ambiguous", "out of range", "spelling", "assumed", "approximate", "misheard"], ...]


class Expected(Closed):
    """One item that must be heard; fields left out are not looked at, doubts always are."""

    kind: Literal[
        "reading", "finding", "plate", "complaint", "safety", "power", "repair", "answer",
        "request", "correction", "tool", "hazard", "photo", "note",
    ]  # fmt: skip
    about: Id | None = None
    quantity: Id | None = None
    value: float | None = None
    high: float | None = None
    over_limit: bool = False
    state: Id | None = None
    negated: bool = False
    text: str | None = None
    subject: Id | None = None
    said: str | None = None
    doubts: Doubts = ()
    options: tuple[Expected, ...] = ()


class NoteCase(Closed):
    """A note and everything heard in it, in order; nothing else may be heard, nothing may be left over."""

    it: Text
    note: str
    asked: str | None = None
    """Pending question: ``check:ID``, ``step:ID``, ``plate:ID``, ``close_out:ID`` or ``intake``."""
    open: str | None = None
    """The note whose first unclear item is being asked back."""
    last: str | None = None
    """The note before this one."""
    plate: dict[Id, float] = Field(default_factory=dict)
    spoken: bool = False
    kind: Id = "split_psc_240"
    """Kind of unit that the visit is on."""
    heard: tuple[Expected, ...] = ()
    not_understood: tuple[str, ...] = ()
    problem: bool = False


class NoteCases(Closed):
    cases: tuple[NoteCase, ...]


def cases_of(name: str) -> tuple[NoteCase, ...]:
    """Return the cases of one file below ``tests/knowledge/cases``."""
    return cases(name, NoteCases).cases


@cache
def kb_of(kind: str) -> KnowledgeBase:
    """Return the knowledge as a visit on a unit of this kind has it at first."""
    return configured(load(), Configuration(kind))


def heard_in(case: NoteCase) -> Understood:
    """Return what comes out of the case's note in its conversation."""
    return understand(case.note, kb_of(case.kind), context_of(case))


def context_of(case: NoteCase) -> Context:
    kb = kb_of(case.kind)
    asked = asked_for(case.asked) if case.asked else None
    if case.open is not None:
        unclear = next(item for item in understand(case.open, kb).heard if item.options)
        asked = Asked("clarify", unclear.about or unclear.kind, options=unclear.options)
    last = understand(case.last, kb).heard if case.last else ()
    return Context(asked=asked, plate=case.plate, last=last, spoken=case.spoken)


@cache
def asked_for(name: str) -> Asked:
    """Return the pending question the way the engine puts it."""
    kb = load()
    kind, _, entry_id = name.partition(":")
    if kind == "check":
        check = kb.checks[entry_id]
        states = tuple(state for answer in check.answers for state in answer.states)
        return Asked(kind, check.id, check.about, check.quantity, _unit(check.quantity), states, check.plausible)
    if kind == "step":
        step = kb.steps[entry_id]
        return Asked(kind, step.id, step.about, step.reading, _unit(step.reading))
    if kind == "plate":
        item = kb.plate_items[entry_id]
        return Asked(kind, item.id, item.subject, item.quantity, _unit(item.quantity), plausible=item.plausible)
    if kind == "close_out":
        proof = kb.close_out[entry_id]
        return Asked(kind, proof.id, proof.about, proof.quantity, _unit(proof.quantity))
    if kind == "intake":
        return Asked(kind, "intake")
    raise KeyError(name)


def differences(expected: Expected, item: Heard) -> list[str]:
    """Return what about an item is not as expected, in words."""
    wrong = [
        f"{field}: {found!r} instead of {wanted!r}"
        for field in ("kind", "about", "quantity", "value", "high", "state", "text", "subject", "said")
        for wanted, found in [(getattr(expected, field), getattr(item, field))]
        if wanted is not None and found != wanted and not _close(found, wanted)
    ]
    wrong += [
        f"{field}: {getattr(item, field)}"
        for field in ("over_limit", "negated")
        if getattr(item, field) != getattr(expected, field)
    ]
    if set(item.doubts) != set(expected.doubts):
        wrong.append(f"doubts: {[*map(str, item.doubts)]} instead of {[*expected.doubts]}")
    if len(item.options) != len(expected.options):
        wrong.append(f"options: {len(item.options)} instead of {len(expected.options)}")
    for want, option in zip(expected.options, item.options, strict=False):
        settled = want.model_copy(update={"doubts": tuple(str(doubt) for doubt in option.doubts)})
        wrong += [f"option {option.about}: {problem}" for problem in differences(settled, option)]
    return wrong


def _unit(quantity: str | None) -> str | None:
    return load().quantities[quantity].unit if quantity else None


def _close(found: object, wanted: object) -> bool:
    return isinstance(found, float) and isinstance(wanted, float) and abs(found - wanted) <= 1e-6 * abs(wanted)
