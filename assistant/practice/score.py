"""How the exercise is going, and the words at its end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from assistant.dialogue.sentences import Said, sentence
from assistant.open_visit import UNIT_KIND
from assistant.reasoning.tables import Tables
from knowledge import KnowledgeBase

from .exercise import Exercise, Wish, exercise
from .field_unit import FieldUnit
from .field_visit import Visit, run_visit
from .way_out import WayOut, way_out

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
    return run_visit(tables, _as_given(tables.kb, given), given.plate, (given.complaint,))


def given_by_physics(tables: Tables, given: Exercise) -> tuple[WayOut, ...]:
    """Return the way through the same unit that the physics gives, whatever the program makes of it."""
    return way_out(tables, _as_given(tables.kb, given), given.plate)


def _as_given(kb: KnowledgeBase, given: Exercise) -> FieldUnit:
    wish = Wish(given.faults if given.named else (), double=len(given.faults) > 1)
    return exercise(kb, given.built, given.seed, wish).unit


def debrief(
    kb: KnowledgeBase, given: Exercise, score: Score, outcome: str, best: Visit, ways: Sequence[WayOut] = ()
) -> list[Said]:
    """Return the words that end an exercise; ``ways``: what is told where the program itself does not repair it."""
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
    elif ways:
        path = [sentence(kb, "practice_way" if way.check else "practice_way_unconfirmed",
                         check=kb.checks[way.check].name if way.check else "", cause=kb.faults[way.fault].name,
                         repair=kb.repairs[way.repair].name).screen for way in ways]  # fmt: skip
        said.append(
            sentence(kb, "practice_ways", minutes=round(sum(way.minutes for way in ways)), path="; ".join(path))
        )
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
