"""How the exercise is going, and the words at its end."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.sentences import Said, sentence
from assistant.reasoning.tables import Tables
from knowledge import KnowledgeBase

from .exercise import Exercise, exercise
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
    again = exercise(tables.kb, tables.unit.id, given.seed, given.fault if given.named else None)
    return run_visit(tables, again.unit, given.plate, (given.complaint,))


def debrief(kb: KnowledgeBase, given: Exercise, score: Score, outcome: str, best: Visit) -> list[Said]:
    """Return the words that end an exercise."""
    fault = kb.faults[given.fault]
    named = [entry.partition("=")[0].rstrip("*") for entry in best.log]
    path = [kb.checks[name].name for name in named if name in kb.checks]
    words = list(dict.fromkeys(path))
    if len(words) > SHOWN_PATH:
        words = [*words[:SHOWN_PATH], "..."]
    said = [
        sentence(kb, "practice_over", outcome=kb.sentences[outcome].screen, cause=fault.name,
                 repair=kb.repairs[fault.repair].name),
        sentence(kb, "practice_score", minutes=round(score.minutes), checks=score.checks,
                 needless=", ".join(kb.repairs[name].name for name in score.needless) or "none",
                 unsafe=len(score.unsafe), hints=score.hints),
    ]  # fmt: skip
    if score.unsafe:
        said.append(sentence(kb, "practice_moves", moves="; ".join(dict.fromkeys(score.unsafe))))
    if best.fixed:
        said.append(sentence(kb, "practice_path", minutes=round(best.minutes), checks=best.checks,
                             path=", ".join(words)))  # fmt: skip
    named_fault = f" --fault {given.fault}" if given.named else ""
    said.append(sentence(kb, "practice_again", seed=given.seed, fault=named_fault))
    return said
