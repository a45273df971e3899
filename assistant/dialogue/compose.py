"""The whole answer in words: heard, danger, question, one next thing with its steps, limits and reason."""

from __future__ import annotations

from collections.abc import Sequence

from knowledge import KnowledgeBase

from .reply import LimitItem, NextItem, Reply
from .sentences import Said, sentence

_ORDER = {"danger": 0, "warning": 1, "caution": 2, "notice": 3}


def compose(
    kb: KnowledgeBase,
    reply: Reply,
    said: Sequence[Said],
    *,
    question: Said | None = None,
    told: frozenset[str] = frozenset(),
) -> tuple[str, str]:
    """Return (screen text, spoken text) of a reply; ``said``: remarks and answers; ``told``: cautions said before."""
    screen = [*_heard(kb, reply), *(_signalled(one) for one in _by_severity(said))]
    if question is not None:
        screen.append(question.screen)
    else:
        screen += _next(kb, reply, told)
    return "\n".join(line for line in screen if line), _spoken(kb, reply, said, question)


def _heard(kb: KnowledgeBase, reply: Reply) -> list[str]:
    shown = [item.shown + (f" ({item.doubt})" if item.doubt else "") for item in reply.heard if item.shown]
    lines = [sentence(kb, "heard", items="; ".join(shown)).screen] if shown else []
    if reply.not_understood:
        words = ", ".join(f'"{words}"' for words in reply.not_understood)
        lines.append(sentence(kb, "not_understood", words=words).screen)
    return lines


def _by_severity(said: Sequence[Said]) -> list[Said]:
    return sorted(said, key=lambda one: _ORDER.get(one.signal or "", 9))


def _signalled(one: Said) -> str:
    return f"{one.signal.upper()}: {one.screen}" if one.signal else one.screen


def _next(kb: KnowledgeBase, reply: Reply, told: frozenset[str]) -> list[str]:
    lines = []
    fresh = [caution for caution in reply.cautions if caution.id not in told]
    goal = reply.repair.say if reply.repair else reply.next.say if reply.next else ""
    if reply.safety_steps:
        first = reply.safety_steps[0]
        lines.append(sentence(kb, "first", step=first.spoken if first.again else first.say).screen)
        more = len(reply.safety_steps) - 1
        if more:
            lines.append(sentence(kb, "then_one_step" if more == 1 else "then_steps", count=more).screen)
        lines += [f"{caution.signal.upper()}: {caution.say}" for caution in fresh[:1]]
        if goal:
            lines.append(sentence(kb, "after_that", goal=goal).screen)
    else:
        most = None if reply.repair else 2  # who takes a repair up gets all that goes with it
        lines += [f"{caution.signal.upper()}: {caution.say}" for caution in fresh[:most]]
        if goal:
            lines.append(sentence(kb, "next_thing", goal=goal).screen)
    if reply.repair is not None:
        lines.append(sentence(kb, "ask_for", parts=reply.repair.parts).screen)
        if not reply.safety_steps:  # how to do it is read when the hands may go in
            lines += [f"- {step}" for step in reply.repair.steps]
            lines += [sentence(kb, "also", text=text).screen for text in reply.repair.also]
    elif reply.next is not None:
        lines += [_limit(kb, limit) for limit in reply.next.limits]
        lines.append(sentence(kb, "why_line", why=reply.next.why).screen)
    return lines


def _limit(kb: KnowledgeBase, limit: LimitItem) -> str:
    return sentence(
        kb, "should_read", window=limit.window or limit.formula, note=limit.note, source=limit.rests_on or limit.source
    ).screen


def _spoken(kb: KnowledgeBase, reply: Reply, said: Sequence[Said], question: Said | None) -> str:
    parts = [one.spoken for one in _by_severity(said)[:2]]
    shown = [item.shown.split(" - ")[0] for item in reply.heard if item.kind == "reading"][:2]
    parts = [*shown, *parts]
    if question is not None:
        parts.append(question.spoken)
    elif reply.safety_steps:
        parts.append(reply.safety_steps[0].spoken)
    elif reply.next is not None and reply.next.kind == "check":
        parts.append(kb.checks[reply.next.id].spoken if reply.next.id in kb.checks else reply.next.say)
    elif reply.next is not None:
        parts.append(_spoken_question(kb, reply.next))
    elif reply.repair is not None:
        parts.append(sentence(kb, "repair_ready", repair=kb.repairs[reply.repair.id].name).spoken)
    return " ".join(part if part.endswith((".", "?", "!")) else part + "." for part in parts if part)


def _spoken_question(kb: KnowledgeBase, asked: NextItem) -> str:
    """Return the spoken form of a proof or of a question about how the unit is built; else what the screen says."""
    if asked.id in kb.close_out:
        return kb.close_out[asked.id].spoken
    options = (option for unit in kb.units.values() for option in unit.options)
    return next((option.spoken for option in options if option.id == asked.id), asked.say)
