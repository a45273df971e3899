"""What names no calculation: an answer to one that waits, a wanted list, saturation by two words, a print."""

from __future__ import annotations

from .asking_inputs import read_inputs
from .asking_marked import marked_values
from .asking_names import is_question
from .asking_run import Run
from .models import Asked, Context, Heard, Kind

CALCULATION = "calculation"
"""Kind of the pending question for a missing input."""
LISTS = {"refrigerants": "refrigerants_known", "calculations": "calculations_known"}
"""Role of the words for a list -> request."""


def read_without_name(run: Run, context: Context) -> tuple[Heard, ...]:
    """Return what a whole note asks or answers without naming a calculation; nothing where it is something else."""
    for role, request in LISTS.items():
        if run.has(role):
            return (run.heard(Kind.REQUEST, request),)
    asked = context.asked
    if asked is not None and asked.kind == CALCULATION:
        answer = _dropped(run, asked) or _answered(run, asked)
        if answer is not None:
            return (answer,)
    return tuple(marked_values(run)) or _saturation(run)


def _dropped(run: Run, waiting: Asked) -> Heard | None:
    """Return the word that lets a question for an input go: never mind."""
    drops = [phrase for phrase in run.phrases if "drop" in phrase.roles]
    chosen = any(one.input == waiting.about and one.choice for phrase in run.phrases for one in phrase.named)
    if not drops or run.gases or chosen:
        return None
    meant = {place for phrase in drops for place in range(phrase.first, phrase.last)}
    alone = all(place in meant or run.is_small(token) for place, token in enumerate(run.tokens))
    return run.heard(Kind.ANSWER, "skip") if alone else None


def _answered(run: Run, waiting: Asked) -> Heard | None:
    """Return the inputs that the note gives to the calculation that waits, where it says nothing else."""
    if any("measured" in phrase.roles and not phrase.named for phrase in run.phrases):
        return None
    offered = run.offered([waiting.id], awaited=waiting.about)
    read = read_inputs(run.words, offered)
    given = run.given(offered, read)
    return run.request(waiting.id, given) if given and not run.left(read) else None


def _saturation(run: Run) -> tuple[Heard, ...]:
    """What's 118 psi on 410a."""
    if not run.gases or len(run.numbers) != 1 or not run.numbers[0].units or not is_question(run):
        return ()
    for called in run.kb.calculation_words.values():
        if called.nameless:
            offered = run.offered([called.id])
            read = read_inputs(run.words, offered)
            if read.given and not run.left(read):
                return (run.request(called.id, run.given(offered, read)),)
    return ()
