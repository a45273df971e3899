"""How the exercise is going, and the words at its end."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.dialogue.sentences import Said, sentence
from assistant.open_visit import UNIT_KIND
from assistant.reasoning.tables import Tables
from knowledge import KnowledgeBase

from .exercise import Exercise, Wish, exercise
from .field_visit import Visit, run_visit

SHOWN_PATH = 12


@dataclass
class Score:
    """What counts."""

    minutes: float = 0.0
    checks: int = 0
    hints: int = 0
    needless: list[str] = field(default_factory=list)
    unsafe: list[str] = field(default_factory=list)


def shortest(tables: Tables, given: Exercise) -> Visit:
    """Return the visit of the program's own best policy on the same unit as it was at the beginning."""
    wish = Wish(given.faults if given.named else (), double=len(given.faults) > 1)
    again = exercise(tables.kb, given.built, given.seed, wish)
    return run_visit(tables, again.unit, given.plate, (given.complaint,))


def debrief(kb: KnowledgeBase, given: Exercise, score: Score, outcome: str, best: Visit) -> list[Said]:
    """Return the words that end an exercise."""
    faults = [kb.faults[name] for name in given.faults]
    repairs = dict.fromkeys(kb.repairs[fault.repair].name for fault in faults)
    named = [entry.partition("=")[0].rstrip("*") for entry in best.log]
    path = [kb.checks[name].name for name in named if name in kb.checks]
    words = list(dict.fromkeys(path))
    if len(words) > SHOWN_PATH:
        words = [*words[:SHOWN_PATH], "..."]
    cause = _joined(fault.name for fault in faults)
    said = [
        sentence(kb, "practice_over", outcome=kb.sentences[outcome].screen, cause=cause, repair=_joined(repairs)),
        sentence(kb, "practice_score", minutes=round(score.minutes), checks=score.checks,
                 needless=", ".join(kb.repairs[name].name for name in score.needless) or "none",
                 unsafe=len(score.unsafe), hints=score.hints),
    ]  # fmt: skip
    if score.unsafe:
        said.append(sentence(kb, "practice_moves", moves="; ".join(dict.fromkeys(score.unsafe))))
    if best.fixed:
        said.append(sentence(kb, "practice_path", minutes=round(best.minutes), checks=best.checks,
                             path=", ".join(words)))  # fmt: skip
    said.append(sentence(kb, "practice_again", seed=given.seed, fault=_options(given)))
    return said


def _joined(names: Iterable[str]) -> str:
    return " and ".join(names)


def _options(given: Exercise) -> str:
    """Return what must be said on the command line besides the seed for the same unit."""
    kind = given.built.kind
    built = [*([kind] if kind != UNIT_KIND else []), *(choice for _, choice in given.built.known)]
    words = [f" --built {choice}" for choice in built]
    if given.named:
        words += [f" --fault {fault}" for fault in given.faults]
    elif len(given.faults) > 1:
        words.append(" --double")
    return "".join(words)
